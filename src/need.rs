//! What length of cloth an order needs: at other widths, laid the other way, and whether a length
//! that is at hand will do.

use crate::drafting::Material;
use crate::job;
use crate::lay::{self, Buying, ClothRules, Lay, LayFault, OrderLength, Search};
use crate::order::{Choice, Cloth, Layout, Order};
use crate::pattern::Pattern;
use rayon::prelude::*;

/// Widths in which suitings are woven, mm (common practice, no source).
pub const WIDTHS: [f64; 4] = [1400.0, 1450.0, 1500.0, 1550.0];

/// A lay of an order's cloth and the length to order for it.
pub type Needed = Result<(Lay, OrderLength), LayFault>;

/// One row of the table: a width, and what is needed of it in each way it may be laid.
#[derive(Debug, Clone)]
pub struct Row {
    /// Width of the cloth, mm.
    pub width: f64,
    /// Plain: open, doubled.
    pub plain: [Needed; 2],
    /// With the pattern of the order's cloth: open, doubled. `None` if it has none.
    pub patterned: Option<[Needed; 2]>,
}

/// What the order's pattern needs of a cloth.
pub fn needed(order: &Order, pattern: &Pattern, cloth: &Cloth, search: &Search) -> Needed {
    let items = lay::items(pattern, Material::Cloth, cloth.nap);
    let lay = lay::plan(&items, &ClothRules::of(cloth), search)?;
    let length = lay::order_length(&lay, &Buying::new(&order.house, cloth));
    Ok((lay, length))
}

/// The lengths to order by width, for the usual widths and the order's own.
pub fn table(order: &Order, pattern: &Pattern, search: &Search) -> Vec<Row> {
    let mut widths = WIDTHS.to_vec();
    if widths.iter().all(|w| (w - order.cloth.width).abs() > 1.0) {
        widths.push(order.cloth.width);
    }
    widths.sort_by(f64::total_cmp);
    let has_pattern = order.cloth.repeat_across > 0.0 || order.cloth.repeat_along > 0.0;
    let lay = |width: f64, layout: Layout, patterned: bool| {
        let mut cloth = Cloth {
            width,
            layout,
            ..order.cloth.clone()
        };
        if !patterned {
            (cloth.repeat_across, cloth.repeat_along) = (0.0, 0.0);
        }
        // Each of them on one thread: there are more lays than threads.
        let alone = Search {
            threads: 1,
            progress: None,
            ..*search
        };
        needed(order, pattern, &cloth, &alone)
    };
    let both = |width: f64, patterned: bool| {
        let (open, doubled) = rayon::join(
            || lay(width, Layout::Open, patterned),
            || lay(width, Layout::Doubled, patterned),
        );
        [open, doubled]
    };
    widths
        .into_par_iter()
        .map(|width| Row {
            width,
            plain: both(width, false),
            patterned: has_pattern.then(|| both(width, true)),
        })
        .collect()
}

/// Whether a length at hand will do.
#[derive(Debug, Clone)]
pub struct Verdict {
    /// What the order needs of its cloth as it stands.
    pub needed: Needed,
    /// Whether that is no more than there is.
    pub enough: bool,
    /// What else would do with the length at hand, in words; only looked for where it is not enough.
    pub instead: Vec<String>,
}

/// Whether cloth of a length (mm, before shrinking) is enough for an order; the merchant's step does
/// not matter for cloth that is at hand.
pub fn have(order: &Order, pattern: &Pattern, length: f64, search: &Search) -> Verdict {
    let fits = |cloth: &Cloth, needed: &Needed| {
        let buying = Buying::new(&order.house, cloth);
        let net = |lay: &Lay| (lay.length + buying.ends) * (1.0 + buying.shrinkage);
        needed.as_ref().is_ok_and(|(lay, _)| net(lay) <= length)
    };
    let as_it_is = needed(order, pattern, &order.cloth, search);
    let enough = fits(&order.cloth, &as_it_is);
    let mut instead = Vec::new();
    if !enough {
        let other = match order.cloth.layout {
            Layout::Open => Layout::Doubled,
            Layout::Doubled => Layout::Open,
        };
        let mut tried = vec![(
            format!("laid {}", layout_word(other)),
            Cloth {
                layout: other,
                ..order.cloth.clone()
            },
        )];
        tried.extend(
            WIDTHS
                .iter()
                .filter(|w| **w > order.cloth.width + 1.0)
                .map(|&width| {
                    let cloth = Cloth {
                        width,
                        ..order.cloth.clone()
                    };
                    (format!("{:.0} cm wide", width / 10.0), cloth)
                }),
        );
        for (words, cloth) in tried {
            if fits(&cloth, &needed(order, pattern, &cloth, search)) {
                instead.push(words);
            }
        }
        if let Some(plain) = without_turn_ups(order)
            && let Ok(drafted) = job::draft(&plain)
            && fits(
                &order.cloth,
                &needed(&plain, &drafted.pattern, &order.cloth, search),
            )
        {
            instead.push("without turn-ups".to_owned());
        }
    }
    Verdict {
        needed: as_it_is,
        enough,
        instead,
    }
}

/// The layout in the trade's word.
pub fn layout_word(layout: Layout) -> &'static str {
    match layout {
        Layout::Open => "open",
        Layout::Doubled => "doubled",
    }
}

/// The order with plain hems, if it has turn-ups.
fn without_turn_ups(order: &Order) -> Option<Order> {
    let mut plain = order.clone();
    let mut changed = false;
    for choice in plain.garments.iter_mut().flat_map(|g| g.style.values_mut()) {
        if *choice == Choice::Word("turn_ups".into()) {
            *choice = Choice::Word("plain".into());
            changed = true;
        }
    }
    changed.then_some(plain)
}

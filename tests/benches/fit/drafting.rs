//! Drafting a man from what is told of him, by a model of the others.

use super::Lengths;
use super::dimensions::Fit;
use super::measuring::{body, coat, trousers, waistcoat};
use super::survey::{self, Body, Man};
use chalkstripe::diagnostic::Source;
use chalkstripe::order::likely::Model;
use chalkstripe::order::{self, Order, Origin, derive, telling};
use chalkstripe::script::{self, Library};
use std::path::Path;

/// The measures of mode A.
pub(crate) const FIVE: [&str; 5] = ["height", "chest", "waist", "seat", "neck"];

/// What is told of a man.
#[derive(Clone, Copy)]
pub(crate) enum Told {
    /// Height, chest, waist, seat and neck, and so many of the measures that the form then asks for.
    Five(usize),
    /// Every measure that the survey gives.
    All,
}

/// By what the measures that were not taken are derived.
#[derive(Clone, Copy)]
pub(crate) struct By<'a> {
    pub model: &'a Model,
    pub blocks: Option<&'a Path>,
    /// The chance of a misfit from which on a man is doubted.
    pub doubt: f64,
}

/// Drafts a man from what is told of him, and measures the draft and him.
pub(crate) fn drafted(man: &Man, told: Told, by: By) -> Result<Fit, String> {
    let mut all = man.body.clone();
    if let Some(leg) = all.get_mut("inside_leg") {
        *leg -= 2.0;
    }
    let order = match told {
        Told::All => ordered(&all, by)?,
        Told::Five(asked) => {
            let mut known = all.clone();
            known.retain(|name, _| FIVE.contains(name));
            let five = ordered(&known, by)?;
            let names = telling::telling(&five.measures, &garments(&five));
            let more = names.iter().take(asked);
            known.extend(more.filter_map(|name| Some((*name, *all.get(name)?))));
            if asked == 0 {
                five
            } else {
                ordered(&known, by)?
            }
        }
    };
    let derived = (order.measures.0.iter())
        .filter(|(_, measure)| measure.origin == Origin::Derived)
        .filter_map(|(name, _)| Some(order::measures::kind(name)?.name));
    let chance = telling::misfit(&order.measures, &garments(&order));
    Ok(Fit {
        line: man.line,
        draft: lengths(&order, by.blocks)?,
        body: body(man),
        derived: derived.collect(),
        chance,
        doubted: chance >= by.doubt,
    })
}

fn garments(order: &Order) -> Vec<String> {
    order.garments.iter().map(|g| g.block.clone()).collect()
}

/// The order for a man of whom so much is known, with what is derived by the model.
fn ordered(known: &Body, by: By) -> Result<Order, String> {
    let text = survey::order(known, by.blocks, "[jacket]\n[trousers]\n[waistcoat]\n");
    let source = Source::new("order.toml", text);
    let checked = order::parse("order", &source, Path::new(""))
        .map_err(|faults| faults.iter().map(|f| f.render(false)).collect::<String>())?;
    let mut order = checked.order;
    // As they were written.
    let taken = known.keys().filter_map(|name| {
        let mm = order.measures.mm(name)?;
        Some((*name, mm / 10.0))
    });
    for (name, found) in derive::complete_by(by.model, &taken.collect(), &order.house) {
        let own = order.measures.0.get_mut(name);
        if let Some(measure) = own.filter(|measure| measure.origin == Origin::Derived) {
            (measure.mm, measure.open) = (10.0 * found.cm, 10.0 * found.open);
        }
    }
    Ok(order)
}

/// The lengths of the drafts of an order.
fn lengths(order: &Order, blocks: Option<&Path>) -> Result<Lengths, String> {
    let library = match blocks {
        None => Library::embedded(),
        Some(folder) => Library::with_folder(folder).map_err(|fault| fault.to_string())?,
    };
    let mut lengths = Lengths::new();
    let band = 10.0 * order.house.number("trousers.waistband").unwrap_or_default();
    for garment in &order.garments {
        let draft = script::draft(&library, order, garment).map_err(|fault| fault.to_string())?;
        let own = match garment.block.as_str() {
            "jacket" => coat(&draft),
            "trousers" => trousers(&draft, band),
            _ => waistcoat(&draft, band),
        };
        lengths.extend(own.ok_or_else(|| format!("the {} lacks a part", garment.block))?);
    }
    Ok(lengths)
}

//! From items and a cloth to a checked lay.

use super::check::{self, TOLERANCE};
use super::contour;
use super::crowd::{Ground, Spot, stands};
use super::first;
use super::kept;
use super::search::{self, Found};
use super::shape::Shape;
use super::strip::Strip;
use super::table::Table;
use super::types::*;
use super::ways::{Shapes, Way};
use super::work::{Part, Work};
use crate::order::Layout;
use kurbo::{Affine, Vec2};
use std::sync::atomic::Ordering;
use std::time::Instant;

/// Lays every copy of every item on the cloth, as short as the search finds.
///
/// The lay is checked before it is returned: no two pieces overlap by more than [`TOLERANCE`] and
/// everything lies on the usable cloth. An empty list gives an empty lay.
pub fn plan(items: &[Item], cloth: &ClothRules, search: &Search) -> Result<Lay, LayFault> {
    Ready::new(items.to_vec(), cloth.gap)?.plan(cloth, search)
}

/// Items made ready to be laid: their shapes and where these may not stand beside each other, which
/// cloths of any width, layout and pattern share.
#[derive(Debug)]
pub struct Ready {
    items: Vec<Item>,
    gap: f64,
    shapes: Shapes,
    table: Table,
}

impl Ready {
    /// Makes items ready for cloths on which this gap is kept between pieces.
    ///
    /// # Errors
    /// When an outline encloses nothing.
    pub fn new(items: Vec<Item>, gap: f64) -> Result<Self, LayFault> {
        let shapes = Shapes::new(&items, gap)?;
        let table = Table::new(&shapes.list);
        Ok(Self {
            items,
            gap,
            shapes,
            table,
        })
    }

    /// The items.
    pub fn items(&self) -> &[Item] {
        &self.items
    }

    /// Lays the items on a cloth, as [`plan`] does; its gap is the one they were made ready for.
    pub fn plan(&self, cloth: &ClothRules, search: &Search) -> Result<Lay, LayFault> {
        self.plan_from(None, cloth, search)
    }

    /// As [`plan`](Self::plan), from a lay of the same items on narrower cloth, or on one with a pattern,
    /// that is otherwise the same, where there is one: the search starts from that, and what it finds is no
    /// longer. One in which the items cannot lie on this cloth (see [`holds`](Self::holds)) is not used.
    pub fn plan_from(
        &self,
        known: Option<&Standing>,
        cloth: &ClothRules,
        search: &Search,
    ) -> Result<Lay, LayFault> {
        let cloth = &self.with_gap(cloth);
        let items = &self.items;
        let work = Work::new(&self.shapes, items, cloth)?;
        let found = self.searched(cloth, &work, search, known);
        let lay = finished(items, cloth, &work, &found);
        check::check(items, cloth, &lay)
            .map_err(|fault| self.crossed_on_the_grid().unwrap_or(fault))?;
        match cloth.longest {
            Some(longest) if lay.length > longest + TOLERANCE => Err(LayFault::TooLong {
                needs: lay.length,
                longest,
            }),
            _ => Ok(lay),
        }
    }

    /// The lay in which the items lie on a cloth as they stand in another; `None` where they cannot, because
    /// that is of other pieces or of other cloth.
    pub fn holds(&self, cloth: &ClothRules, known: &Standing) -> Option<Lay> {
        let cloth = &self.with_gap(cloth);
        let work = Work::new(&self.shapes, &self.items, cloth).ok()?;
        let found = self.known(cloth, &work, known)?;
        Some(finished(&self.items, cloth, &work, &found))
    }

    fn with_gap(&self, cloth: &ClothRules) -> ClothRules {
        ClothRules {
            gap: self.gap,
            ..cloth.clone()
        }
    }

    /// Where the parts stand as in another lay, if that is a sound lay of them.
    fn known(&self, cloth: &ClothRules, work: &Work, known: &Standing) -> Option<Found> {
        let ground = Ground::new(work, &self.table);
        let strip = strip(work, cloth);
        let spots = self.taken_over(cloth, &ground, &strip, known)?;
        let found = Found::new(&ground, &strip, spots);
        let lay = finished(&self.items, cloth, work, &found);
        check::check(&self.items, cloth, &lay).ok()?;
        Some(found)
    }

    /// The fault of an outline with a needle so fine that its sides cross once its corners are on the grid: no
    /// lay of it can be trusted.
    fn crossed_on_the_grid(&self) -> Option<LayFault> {
        let crosses = |index: usize| {
            let ways = [false, true].map(|mirrored| self.shapes.ways(index, mirrored, false, true));
            let mut contours =
                (ways.iter().flatten()).flat_map(|way| &self.shapes.list[way.shape].contours);
            contours.any(|contour| contour::crosses_itself(contour))
        };
        let crossed = (0..self.items.len()).find(|&index| crosses(index))?;
        Some(LayFault::Outline {
            name: self.items[crossed].name.clone(),
        })
    }

    /// Where each part stands after the search.
    fn searched(
        &self,
        cloth: &ClothRules,
        work: &Work,
        how: &Search,
        known: Option<&Standing>,
    ) -> Found {
        let items = &self.items;
        let began = Instant::now();
        let ground = Ground::new(work, &self.table);
        let strip = strip(work, cloth);
        let known = known.and_then(|known| self.known(cloth, work, known));
        let start = strip.last().0;
        let mut best = known.unwrap_or_else(|| {
            let spots = first::first_lay(&ground, &strip, &first::largest_first(&ground));
            Found::new(&ground, &strip, spots)
        });
        let searchers = how.searchers.max(1);
        let threads = search::Threads::new(how.threads.min(searchers));
        let tell = |found: &Found, done: f64| {
            if let Some(report) = how.progress {
                report(Progress {
                    length: (start + found.length() - work.gap).max(0.0),
                    done,
                });
            }
        };
        tell(&best, 0.0);
        if !work.parts.is_empty() {
            // What the search believes to be clear is believed only once the check agrees.
            let sound = |found: &Found| {
                let lay = finished(items, cloth, work, found);
                check::check(items, cloth, &lay).is_ok()
            };
            let least = if strip.bays.len() == 1 {
                shortest(work)
            } else {
                0.0
            };
            let mut starts = kept::starts(how.kept, items, &ground, &strip, searchers);
            starts.retain(|start| start.length > least);
            let first = best.clone();
            let mut search =
                search::Search::new(&ground, &strip, first, &starts, how.seed, searchers);
            let mut rounds = 0;
            while best.length() > least + TOLERANCE {
                let done = match how.effort {
                    Effort::Rounds(0) => 1.0,
                    Effort::Rounds(all) => f64::from(rounds) / f64::from(all),
                    Effort::Seconds(all) => began.elapsed().as_secs_f64() / all,
                };
                let stopped = how.cancel.is_some_and(|stop| stop.load(Ordering::Relaxed));
                if done >= 1.0 || stopped {
                    break;
                }
                best = search.round(&threads, &sound).clone();
                rounds += 1;
                tell(&best, done);
            }
        }
        tell(&best, 1.0);
        best
    }

    /// Where the parts stand as they lie in another lay, as far from the middle of the cloth as there;
    /// `None` where one cannot stand so.
    fn taken_over(
        &self,
        cloth: &ClothRules,
        ground: &Ground,
        strip: &Strip,
        known: &Standing,
    ) -> Option<Vec<Spot>> {
        let onto_strip = ground.work.origin(cloth) - known.pattern_at.to_vec2();
        let spot = |(index, part): (usize, &Part)| {
            let placed = known.placements.iter().find(|placed| {
                (placed.piece, placed.copy, placed.mirrored, placed.on_fold)
                    == (
                        self.items[part.item].piece,
                        part.copy,
                        part.mirrored,
                        part.on_fold,
                    )
            })?;
            let lying = self.shapes.lying_at(part.item, placed)?;
            // Of ways that come out the same a part may have another.
            let has = |is: &dyn Fn(&Way) -> bool| part.ways.iter().position(is);
            let way = has(&|way| way.degrees == lying.degrees)
                .or_else(|| has(&|way| way.shape == lying.shape))?;
            let corner = placed.transform.translation() - lying.to_shape.translation();
            let centre = (corner + onto_strip + ground.size(index, way) / 2.0).to_point();
            let room = stands(ground, strip, index, way);
            let near =
                !room.is_empty() && (room.nearest(centre) - centre).hypot() < TOLERANCE / 10.0;
            near.then(|| Spot {
                way,
                centre: room.nearest(centre),
            })
        };
        ground.work.parts.iter().enumerate().map(spot).collect()
    }
}

/// The strip that is filled, before anything lies on it.
fn strip(work: &Work, cloth: &ClothRules) -> Strip {
    Strip {
        width: work.width,
        bays: bays(work, cloth),
    }
}

/// The pieces of cloth one after another; the last, the long one, has no end yet. A pattern goes on
/// from each to the next.
fn bays(work: &Work, cloth: &ClothRules) -> Vec<(f64, f64)> {
    let (pieces, start) = cloth.pieces();
    let mut bays: Vec<(f64, f64)> = pieces
        .iter()
        .map(|(start, end)| (*start, end + work.gap))
        .collect();
    // Longer than all parts one after another, each a step of the pattern from the next.
    let of = |part: &Part| {
        let size = work.shapes[part.ways[0].shape].size;
        size.x.max(size.y) + 2.0 * cloth.repeat.y
    };
    let enough: f64 = work.parts.iter().map(of).sum();
    bays.push((start, start + 2.0 * enough + work.gap));
    bays
}

/// What no lay can be shorter than: the longest part at its shortest, and all areas side by side.
fn shortest(work: &Work) -> f64 {
    let of = |part: &Part, what: &dyn Fn(&Shape) -> f64| {
        let ways = part.ways.iter().map(|way| what(&work.shapes[way.shape]));
        ways.fold(f64::INFINITY, f64::min)
    };
    let longest = work
        .parts
        .iter()
        .map(|part| of(part, &|shape| shape.size.y));
    let area: f64 = work
        .parts
        .iter()
        .map(|part| of(part, &|shape| shape.area))
        .sum();
    longest.fold(area / work.width, f64::max)
}

/// The lay that puts each part of the work where it stands.
fn finished(items: &[Item], cloth: &ClothRules, work: &Work, found: &Found) -> Lay {
    let (left, right) = cloth.usable();
    // The strip of the work begins half a gap before the usable cloth and ends half a gap after.
    let before = if cloth.remnants.is_empty() {
        found.last.0
    } else {
        0.0
    };
    let onto_cloth = Vec2::new(left - cloth.gap / 2.0, -cloth.gap / 2.0 - before);
    let mut placements = Vec::new();
    let mut notes = Vec::new();
    let (mut length, mut area): (f64, f64) = (0.0, 0.0);
    let plies = if cloth.layout == Layout::Doubled {
        2
    } else {
        1
    };
    for (part, spot) in work.parts.iter().zip(&found.spots) {
        let item = &items[part.item];
        let way = &part.ways[spot.way];
        let corner = spot.centre.to_vec2() - work.shapes[way.shape].size / 2.0;
        // On the grid, which is far coarser than the millionths in which a report writes a place, so that a lay
        // read back from one lies exactly as it lay.
        let place = contour::on_grid((corner + onto_cloth).to_point()).to_vec2();
        let transform = Affine::translate(place) * way.to_shape;
        let outline: Vec<_> = item.outline.iter().map(|&p| transform * p).collect();
        length = length.max(contour::bounds(&outline).y1);
        let holes: f64 = item
            .holes
            .iter()
            .map(|h| contour::signed_area(h).abs())
            .sum();
        let cut = contour::signed_area(&outline).abs() - holes - item.spare;
        // On the fold both plies make one.
        area += cut * f64::from(if part.on_fold { 1 } else { part.plies });
        if part.plies < plies {
            notes.push(format!(
                "{} is cut through the upper ply alone: the cloth under it, {:.0} cm², is left over",
                item.name,
                cut / 100.0
            ));
        }
        placements.push(Placement {
            piece: item.piece,
            copy: part.copy,
            mirrored: part.mirrored,
            degrees: way.degrees,
            tilt: way.tilt,
            plies: part.plies,
            on_fold: part.on_fold,
            transform,
        });
    }
    let (at_hand, long_from) = cloth.pieces();
    for (index, (start, end)) in at_hand.iter().enumerate() {
        notes.push(format!(
            "piece {} of the cloth at hand lies from {:.1} to {:.1} cm",
            index + 1,
            start / 10.0,
            end / 10.0
        ));
    }
    let usable = (right - left) * length * f64::from(plies);
    Lay {
        cloth_width: cloth.lying_width(),
        layout: cloth.layout,
        face: cloth.face,
        usable: (left, right),
        length,
        at_hand,
        bought: (length - long_from).max(0.0),
        efficiency: if usable > 0.0 { area / usable } else { 0.0 },
        pattern_at: work.origin(cloth).to_point() + onto_cloth,
        placements,
        notes,
    }
}

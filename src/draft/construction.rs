//! The construction of a draft as a cutter chalks it: only the points and curves that the pieces take, each
//! once, piece by piece, numbered in that order.

use super::ids::PieceId;
use super::types::{BoardCurve, BoardPoint, Draft, Makes, Step, Use};
use crate::geometry;
use std::collections::{BTreeMap, BTreeSet};

/// The steps that the pieces of a draft are drawn by.
#[derive(Debug, Clone, PartialEq)]
pub struct Construction {
    /// The draft with its points, curves and steps numbered anew from 1 in the order they are made; its
    /// pieces and pages are unchanged.
    pub draft: Draft,
    /// The steps piece by piece. A section takes points and curves from itself and from earlier ones only.
    pub sections: Vec<Section>,
}

/// Everything that is made for one piece and was not made for an earlier one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// The piece.
    pub piece: PieceId,
    /// Points and curves that are made, in order.
    pub made: Vec<Makes>,
    /// Numbers of all points that the piece takes, from this section or an earlier one.
    pub points: Vec<usize>,
}

/// Points that lie closer than this are one point, in mm.
const SAME: f64 = 1e-3;

/// Builds the construction of a draft.
pub fn construction(draft: &Draft) -> Construction {
    let once = Once::new(draft);
    let mut kept = Kept::default();
    let mut sections = Vec::new();
    for piece in draft.piece_ids() {
        let needed = once.needed_by(draft, piece);
        let steps = draft.steps.iter().map(|step| step.makes);
        let made = steps.filter_map(|makes| needed.contains(&makes).then(|| kept.add(makes))?);
        let made = made.collect();
        let points = needed.iter().filter_map(|makes| match kept.new.get(makes) {
            Some(Makes::Point(n)) => Some(*n),
            _ => None,
        });
        let points = points.collect();
        sections.push(Section {
            piece,
            made,
            points,
        });
    }
    let drawn = draft.steps.iter();
    let source = drawn.filter_map(|step| Some((*kept.new.get(&step.makes)?, &step.source)));
    let source: BTreeMap<Makes, &String> = source.collect();
    let made = sections.iter().flat_map(|section: &Section| &section.made);
    let steps = made.map(|makes| Step {
        makes: *makes,
        source: source.get(makes).map(|s| (*s).clone()).unwrap_or_default(),
    });
    Construction {
        draft: Draft {
            steps: steps.collect(),
            ..once.numbered(draft, &kept.new)
        },
        sections,
    }
}

/// The points and curves that are kept, with their new numbers.
#[derive(Default)]
struct Kept {
    new: BTreeMap<Makes, Makes>,
    points: usize,
    curves: usize,
}

impl Kept {
    /// Numbers a point or curve; returns its number, or `None` if it has one already.
    fn add(&mut self, old: Makes) -> Option<Makes> {
        if self.new.contains_key(&old) {
            return None;
        }
        let new = match old {
            Makes::Point(_) => {
                self.points += 1;
                Makes::Point(self.points)
            }
            Makes::Curve(_) => {
                self.curves += 1;
                Makes::Curve(self.curves)
            }
        };
        self.new.insert(old, new);
        Some(new)
    }
}

/// The number of every point and curve of the board once points at the same place, and curves of the same
/// path, are one.
struct Once {
    points: Vec<usize>,
    curves: Vec<usize>,
}

impl Once {
    fn new(draft: &Draft) -> Self {
        let mut first = BTreeMap::new();
        let points = draft.points.iter().map(|point| {
            let place = |mm: f64| (mm / SAME).round() as i64;
            *first
                .entry((place(point.at.x), place(point.at.y)))
                .or_insert(point.number)
        });
        let points: Vec<usize> = points.collect();
        let mut once = Self {
            points,
            curves: Vec::with_capacity(draft.curves.len()),
        };
        // Twins begin at the same place and have as many elements: only those are compared.
        let mut alike: BTreeMap<_, Vec<&BoardCurve>> = BTreeMap::new();
        for curve in &draft.curves {
            let start = geometry::start(&curve.path).unwrap_or_default();
            let kind = (
                start.x.to_bits(),
                start.y.to_bits(),
                curve.path.elements().len(),
            );
            let known = alike.entry(kind).or_default();
            let same = |other: &&&BoardCurve| {
                other.path == curve.path
                    && (other.name.is_none() || curve.name.is_none() || other.name == curve.name)
            };
            match known.iter().find(same) {
                Some(twin) => once.curves.push(twin.number),
                None => {
                    once.curves.push(curve.number);
                    known.push(curve);
                }
            }
        }
        once
    }

    fn point(&self, number: usize) -> usize {
        listed(&self.points, number).copied().unwrap_or_default()
    }

    fn curve(&self, number: usize) -> usize {
        listed(&self.curves, number).copied().unwrap_or_default()
    }

    /// Collects everything that a piece is drawn by, and everything that is made from in turn.
    fn needed_by(&self, draft: &Draft, piece: PieceId) -> BTreeSet<Makes> {
        let mut needed = BTreeSet::new();
        let uses = draft.uses.iter().filter(|used| used.piece == piece);
        let mut waiting: Vec<Makes> = uses.flat_map(|used| used.made.iter().copied()).collect();
        while let Some(makes) = waiting.pop() {
            let makes = match makes {
                Makes::Point(n) => Makes::Point(self.point(n)),
                Makes::Curve(n) => Makes::Curve(self.curve(n)),
            };
            let (points, curves) = match makes {
                Makes::Point(n) => match listed(&draft.points, n) {
                    Some(point) => (point.how.points(), point.how.curves()),
                    None => continue,
                },
                Makes::Curve(n) => match listed(&draft.curves, n) {
                    Some(curve) => (curve.how.points(), curve.how.curves().to_vec()),
                    None => continue,
                },
            };
            if needed.insert(makes) {
                waiting.extend(points.into_iter().map(Makes::Point));
                waiting.extend(curves.into_iter().map(Makes::Curve));
            }
        }
        needed
    }

    /// Returns the draft with only the points and curves that are kept, under their new numbers. A kept one
    /// without a name takes that of a twin.
    fn numbered(&self, draft: &Draft, kept: &BTreeMap<Makes, Makes>) -> Draft {
        let new_point = |n: usize| match kept.get(&Makes::Point(self.point(n))) {
            Some(Makes::Point(new)) => *new,
            _ => 0,
        };
        let new_curve = |n: usize| match kept.get(&Makes::Curve(self.curve(n))) {
            Some(Makes::Curve(new)) => *new,
            _ => 0,
        };
        let own_point =
            |old: &&BoardPoint| self.point(old.number) == old.number && new_point(old.number) > 0;
        let points = draft.points.iter().filter(own_point).map(|old| BoardPoint {
            number: new_point(old.number),
            how: old.how.numbered(new_point, new_curve),
            ..old.clone()
        });
        let mut points: Vec<BoardPoint> = points.collect();
        let own_curve =
            |old: &&BoardCurve| self.curve(old.number) == old.number && new_curve(old.number) > 0;
        let curves = draft.curves.iter().filter(own_curve).map(|old| BoardCurve {
            number: new_curve(old.number),
            how: old.how.numbered(new_point, new_curve),
            ..old.clone()
        });
        let mut curves: Vec<BoardCurve> = curves.collect();
        points.sort_by_key(|point| point.number);
        curves.sort_by_key(|curve| curve.number);
        for old in &draft.points {
            let known = listed_mut(&mut points, new_point(old.number));
            take_name(known.map(|point| &mut point.name), old.name.as_ref());
        }
        for old in &draft.curves {
            let known = listed_mut(&mut curves, new_curve(old.number));
            take_name(known.map(|curve| &mut curve.name), old.name.as_ref());
        }
        for (number, name) in draft.uses.iter().filter_map(|used| edge_name(draft, used)) {
            let known = listed_mut(&mut curves, new_curve(number));
            take_name(known.map(|curve| &mut curve.name), Some(&name));
        }
        Draft {
            points,
            curves,
            steps: Vec::new(),
            uses: Vec::new(),
            ..draft.clone()
        }
    }
}

/// Finds what has a number, which counts from 1, in a list.
fn listed<T>(list: &[T], number: usize) -> Option<&T> {
    list.get(number.checked_sub(1)?)
}

fn listed_mut<T>(list: &mut [T], number: usize) -> Option<&mut T> {
    list.get_mut(number.checked_sub(1)?)
}

fn take_name(known: Option<&mut Option<String>>, name: Option<&String>) {
    if let Some(known @ None) = known {
        *known = name.cloned();
    }
}

/// Names a curve that is the whole of an edge after that edge; returns its number with the name.
fn edge_name(draft: &Draft, used: &Use) -> Option<(usize, String)> {
    let piece = &draft[used.piece];
    match used.made.as_slice() {
        [Makes::Curve(n)] => {
            let edge = &piece[used.edge?].name;
            Some((*n, format!("{edge} of the {}", piece.name)))
        }
        _ => None,
    }
}

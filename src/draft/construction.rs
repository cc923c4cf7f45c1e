//! The construction of a draft as a cutter chalks it: only what the pieces take, each point once,
//! piece by piece, numbered in that order.

use super::types::{BoardCurve, BoardPoint, Draft, Makes, Step};
use crate::geometry;
use std::collections::BTreeMap;

/// The steps that the pieces of a draft are drawn by.
#[derive(Debug, Clone, PartialEq)]
pub struct Construction {
    /// Its points, curves and steps, numbered anew from 1 in the order they are made; with the
    /// draft's own pieces and pages.
    pub draft: Draft,
    /// The steps piece by piece. A section leans on itself and on those before it only.
    pub sections: Vec<Section>,
}

/// What is made for a piece and was not made for one before it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// The piece, by name.
    pub piece: String,
    /// What is made, in order.
    pub made: Vec<Makes>,
    /// Every point that the piece leans on, in this section or one before, by number.
    pub points: Vec<usize>,
}

/// Points that lie closer than this are one point, in mm.
const SAME: f64 = 1e-3;

/// Sorts out the construction of a draft.
pub fn construction(draft: &Draft) -> Construction {
    let once = Once::new(draft);
    let mut kept: BTreeMap<Makes, Makes> = BTreeMap::new();
    let mut sections = Vec::new();
    let (mut points, mut curves) = (0, 0);
    for (index, piece) in draft.pieces.iter().enumerate() {
        let needed = once.needed_by(draft, index);
        let fresh: Vec<Makes> = draft
            .steps
            .iter()
            .map(|step| step.makes)
            .filter(|makes| needed.contains_key(makes) && !kept.contains_key(makes))
            .collect();
        let made = fresh.iter().map(|old| {
            let new = match old {
                Makes::Point(_) => {
                    points += 1;
                    Makes::Point(points)
                }
                Makes::Curve(_) => {
                    curves += 1;
                    Makes::Curve(curves)
                }
            };
            kept.insert(*old, new);
            new
        });
        let made = made.collect();
        let points = needed.keys().filter_map(|makes| match kept.get(makes) {
            Some(Makes::Point(n)) => Some(*n),
            _ => None,
        });
        sections.push(Section {
            piece: piece.name.clone(),
            made,
            points: points.collect(),
        });
    }
    let mut numbered = once.numbered(draft, &kept);
    let source: BTreeMap<Makes, &String> = draft
        .steps
        .iter()
        .filter_map(|step| Some((*kept.get(&step.makes)?, &step.source)))
        .collect();
    let made = sections.iter().flat_map(|section: &Section| &section.made);
    numbered.steps = made
        .map(|makes| Step {
            makes: *makes,
            source: source.get(makes).map(|s| (*s).clone()).unwrap_or_default(),
        })
        .collect();
    Construction {
        draft: numbered,
        sections,
    }
}

/// What every point and curve of the board is called once twins are one.
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
        number
            .checked_sub(1)
            .and_then(|i| self.points.get(i))
            .copied()
            .unwrap_or_default()
    }

    fn curve(&self, number: usize) -> usize {
        number
            .checked_sub(1)
            .and_then(|i| self.curves.get(i))
            .copied()
            .unwrap_or_default()
    }

    /// Everything that a piece is drawn by, and what that is made from in turn.
    fn needed_by(&self, draft: &Draft, piece: usize) -> BTreeMap<Makes, ()> {
        let mut needed = BTreeMap::new();
        let uses = draft.uses.iter().filter(|used| used.piece == piece);
        let mut waiting: Vec<Makes> = uses.flat_map(|used| used.made.iter().copied()).collect();
        while let Some(makes) = waiting.pop() {
            let makes = match makes {
                Makes::Point(n) => Makes::Point(self.point(n)),
                Makes::Curve(n) => Makes::Curve(self.curve(n)),
            };
            let (points, curves) = match makes {
                Makes::Point(n) => match n.checked_sub(1).and_then(|i| draft.points.get(i)) {
                    Some(point) => (point.how.points(), point.how.curves()),
                    None => continue,
                },
                Makes::Curve(n) => match n.checked_sub(1).and_then(|i| draft.curves.get(i)) {
                    Some(curve) => (curve.how.points(), curve.how.curves().to_vec()),
                    None => continue,
                },
            };
            if needed.insert(makes, ()).is_none() {
                waiting.extend(points.into_iter().map(Makes::Point));
                waiting.extend(curves.into_iter().map(Makes::Curve));
            }
        }
        needed
    }

    /// The draft with only what was kept, under its new numbers; a name of any twin is kept.
    fn numbered(&self, draft: &Draft, kept: &BTreeMap<Makes, Makes>) -> Draft {
        let point = |n: usize| match kept.get(&Makes::Point(self.point(n))) {
            Some(Makes::Point(new)) => *new,
            _ => 0,
        };
        let curve = |n: usize| match kept.get(&Makes::Curve(self.curve(n))) {
            Some(Makes::Curve(new)) => *new,
            _ => 0,
        };
        let mut points: Vec<BoardPoint> = Vec::new();
        let mut curves: Vec<BoardCurve> = Vec::new();
        for old in &draft.points {
            if self.point(old.number) == old.number && point(old.number) > 0 {
                points.push(BoardPoint {
                    number: point(old.number),
                    how: old.how.numbered(point, curve),
                    ..old.clone()
                });
            }
        }
        for old in &draft.curves {
            if self.curve(old.number) == old.number && curve(old.number) > 0 {
                curves.push(BoardCurve {
                    number: curve(old.number),
                    how: old.how.numbered(point, curve),
                    ..old.clone()
                });
            }
        }
        points.sort_by_key(|point| point.number);
        curves.sort_by_key(|curve| curve.number);
        for old in &draft.points {
            let known = point(old.number).checked_sub(1);
            if let Some(known) = known.and_then(|i| points.get_mut(i))
                && known.name.is_none()
            {
                known.name.clone_from(&old.name);
            }
        }
        for old in &draft.curves {
            let known = curve(old.number).checked_sub(1);
            if let Some(known) = known.and_then(|i| curves.get_mut(i))
                && known.name.is_none()
            {
                known.name.clone_from(&old.name);
            }
        }
        let named = |used: &super::types::Use| {
            let edge = used.edge.as_ref()?;
            let piece = &draft.pieces.get(used.piece)?.name;
            match used.made.as_slice() {
                [Makes::Curve(n)] => Some((curve(*n), format!("{edge} of the {piece}"))),
                _ => None,
            }
        };
        for (number, name) in draft.uses.iter().filter_map(named) {
            if let Some(known) = number.checked_sub(1).and_then(|i| curves.get_mut(i))
                && known.name.is_none()
            {
                known.name = Some(name);
            }
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

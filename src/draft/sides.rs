//! Two halves of a body that are not alike: a draft for each, and one draft of both.
//!
//! A block draws the right half. Where the left differs it is drafted by itself, and the pairs that come
//! out otherwise are cut one for each side. Both lie as they were drafted; the one that is then for the
//! other hand is turned over with all that is cut for one side alone (`hands`).

use super::types::{
    BoardCurve, BoardPoint, Bound, Count, Draft, DraftPiece, Makes, Match, Need, Seam, SheetPage,
    Step, Stretch, Use,
};
use crate::order::Side;
use kurbo::{BezPath, PathEl, Point, Shape};
use std::collections::{BTreeMap, BTreeSet};

/// Points nearer than this are the same, mm.
const SAME: f64 = 0.01;

/// Lengths that differ by less than this, mm, are needed alike on both sides.
const TOLD: f64 = 1.0;

/// Both halves as one draft. On a patterned cloth what meets a piece that is cut for each side is so as well:
/// two that are alike would not both lie on its pattern.
pub(crate) fn merged(right: Draft, left: Draft, patterned: bool) -> Draft {
    let of_left = |name: &str| left.pieces.iter().find(|piece| piece.name == name);
    // Pairs that differ are divided; what is cut for one side alone is that side's.
    let pairs = |piece: &&DraftPiece| matches!(piece.count, Count::Pairs(_));
    let mut divided: BTreeSet<String> = right
        .pieces
        .iter()
        .filter(pairs)
        .filter(|piece| of_left(&piece.name).is_some_and(|other| !alike(piece, other)))
        .map(|piece| piece.name.clone())
        .collect();
    if patterned {
        let paired = right.pieces.iter().filter(pairs).map(|piece| &piece.name);
        let paired: BTreeSet<&String> = paired.collect();
        let meets = |of: &&Match| divided.contains(&of.piece) && paired.contains(&of.partner);
        let met: Vec<String> = (right.matches.iter().filter(meets))
            .map(|of| of.partner.clone())
            .collect();
        divided.extend(met);
    }
    let single = right.pieces.iter().chain(&left.pieces);
    let names = Names {
        single: single
            .filter_map(|piece| Some((piece.name.clone(), word(piece.side?))))
            .collect(),
        divided,
    };

    let mut both = Draft {
        divided: names.divided.iter().cloned().collect(),
        ..Draft::default()
    };
    for piece in &right.pieces {
        if names.is_of(&piece.name, "left") {
            both.pieces.extend(of_left(&piece.name).cloned());
            continue;
        }
        if !names.divided.contains(&piece.name) {
            both.pieces.push(piece.clone());
            continue;
        }
        let left = of_left(&piece.name);
        let both_sides = [(Some(piece), Side::Right), (left, Side::Left)];
        for (piece, side) in both_sides {
            both.pieces.extend(piece.map(|piece| of_one(piece, side)));
        }
    }
    for (draft, hand, other) in [(&right, "right", "left"), (&left, "left", "right")] {
        names.prove(draft, hand, other, &mut both);
    }
    both.matches = names.matched(&right, &left);
    both.needs = needed(&right.needs, &left.needs);
    both.warnings.clone_from(&right.warnings);
    for warning in &left.warnings {
        if !both.warnings.contains(warning) {
            both.warnings.push(format!("left: {warning}"));
        }
    }
    both.pages = right
        .pages
        .iter()
        .flat_map(|page| names.sides_of(page))
        .collect();
    names.construct(&right, "right", &mut both);
    if !names.divided.is_empty() || names.single.values().any(|hand| *hand == "left") {
        names.construct(&left, "left", &mut both);
    }
    both.garment = right.garment;
    both
}

/// One of a pair, cut for one side by itself.
fn of_one(piece: &DraftPiece, side: Side) -> DraftPiece {
    let (Count::Pairs(number) | Count::Alike(number)) = piece.count;
    let (hand, other) = match side {
        Side::Right => ("right", Side::Left),
        Side::Left => ("left", Side::Right),
    };
    DraftPiece {
        name: sided(&piece.name, hand),
        count: Count::Alike(number),
        side: Some(side),
        pair: Some(piece.name.clone()),
        ..of_one_hand(piece, other)
    }
}

/// What both sides need: of each thing as much as the side that needs more, each side's own length where
/// it is cut for both.
fn needed(right: &[Need], left: &[Need]) -> Vec<Need> {
    let own = |need: &Need, needs: &[Need]| {
        let same = |other: &&Need| (&other.name, &other.of) == (&need.name, &need.of);
        needs.iter().find(same).cloned()
    };
    let mut needs = Vec::new();
    for need in right {
        let Some(other) = own(need, left) else {
            needs.push(need.clone());
            continue;
        };
        let (a, b) = (need.length.unwrap_or(0.0), other.length.unwrap_or(0.0));
        if (a - b).abs() >= TOLD && need.count % 2 == 0 && need.count == other.count {
            needs.extend([(need, "right"), (&other, "left")].map(|(of, hand)| Need {
                name: sided(&of.name, hand),
                count: of.count / 2,
                ..of.clone()
            }));
        } else {
            needs.push(Need {
                count: need.count.max(other.count),
                length: need.length.map(|length| length.max(b)),
                ..need.clone()
            });
        }
    }
    let only_left = left.iter().filter(|need| own(need, right).is_none());
    needs.extend(only_left.cloned());
    needs
}

/// What became of the pieces' names.
struct Names {
    /// Pairs that are cut one for each side.
    divided: BTreeSet<String>,
    /// What is cut for one side alone, and for which.
    single: BTreeMap<String, &'static str>,
}

impl Names {
    /// Whether a piece is cut for that side alone.
    fn is_of(&self, piece: &str, hand: &str) -> bool {
        self.single.get(piece).is_some_and(|own| *own == hand)
    }

    /// Adds the points and curves of one side, and what the pieces that come from it take of them. The
    /// left side's are those of the right half that it is drafted as, before it is turned over.
    fn construct(&self, draft: &Draft, hand: &str, both: &mut Draft) {
        let (points, curves) = (both.points.len(), both.curves.len());
        let point = |n: usize| if n > 0 { n + points } else { 0 };
        let curve = |n: usize| if n > 0 { n + curves } else { 0 };
        let renumbered = |makes: &Makes| match makes {
            Makes::Point(n) => Makes::Point(point(*n)),
            Makes::Curve(n) => Makes::Curve(curve(*n)),
        };
        both.points
            .extend(draft.points.iter().map(|old| BoardPoint {
                number: point(old.number),
                how: old.how.numbered(point, curve),
                ..old.clone()
            }));
        both.curves
            .extend(draft.curves.iter().map(|old| BoardCurve {
                number: curve(old.number),
                how: old.how.numbered(point, curve),
                ..old.clone()
            }));
        both.steps.extend(draft.steps.iter().map(|step| Step {
            makes: renumbered(&step.makes),
            source: step.source.clone(),
        }));
        for used in &draft.uses {
            let Some(name) = draft.pieces.get(used.piece).map(|piece| &piece.name) else {
                continue;
            };
            let own = match (self.divided.contains(name), self.is_of(name, "left")) {
                (true, _) => sided(name, hand),
                (false, of_left) if of_left == (hand == "left") => name.clone(),
                _ => continue,
            };
            if let Some(piece) = both.pieces.iter().position(|piece| piece.name == own) {
                both.uses.push(Use {
                    piece,
                    edge: used.edge.clone(),
                    made: used.made.iter().map(renumbered).collect(),
                });
            }
        }
    }

    /// A page for each side where one has a piece of its own.
    fn sides_of(&self, page: &SheetPage) -> Vec<SheetPage> {
        if !page.pieces.iter().any(|name| self.divided.contains(name)) {
            return vec![page.clone()];
        }
        let of = |hand: &str| {
            let own = |name: &&String| {
                self.divided.contains(*name) || (hand == "left") == self.is_of(name, "left")
            };
            let named = |name: &String| match self.divided.contains(name) {
                true => sided(name, hand),
                false => name.clone(),
            };
            SheetPage {
                name: sided(&page.name, hand),
                pieces: page.pieces.iter().filter(own).map(named).collect(),
            }
        };
        vec![of("right"), of("left")]
    }

    /// Whether a run takes the same edge of a divided piece twice: once for each side.
    fn twice(&self, run: &[Stretch]) -> bool {
        run.iter()
            .enumerate()
            .any(|(i, s)| self.divided.contains(&s.piece) && run[..i].contains(s))
    }

    /// The run with the first of such a pair on the right, the second on the left.
    fn spanning(&self, run: &[Stretch]) -> Vec<Stretch> {
        let hand = |i: usize, s: &Stretch| {
            if run[..i].contains(s) {
                "left"
            } else {
                "right"
            }
        };
        let stretch = |(i, s): (usize, &Stretch)| match self.divided.contains(&s.piece) {
            true => Stretch {
                piece: sided(&s.piece, hand(i, s)),
                ..s.clone()
            },
            false => s.clone(),
        };
        run.iter().enumerate().map(stretch).collect()
    }

    /// Where the pieces meet on a patterned cloth, by their own names and each by the points of the half that
    /// it was drafted in: a divided one meets what is on its own side, the two sides of one piece each other;
    /// on one side alone what is cut for it, or where the match is called so.
    fn matched(&self, right: &Draft, left: &Draft) -> Vec<Match> {
        let named = |name: &str, hand: &str| match self.divided.contains(name) {
            true => sided(name, hand),
            false => name.to_owned(),
        };
        let from_left = |piece: &str, hand: &str| {
            hand == "left" && self.divided.contains(piece) || self.is_of(piece, "left")
        };
        let mut matches: Vec<Match> = Vec::new();
        for of in &right.matches {
            let known =
                |m: &&Match| (&m.name, &m.piece, &m.partner) == (&of.name, &of.piece, &of.partner);
            let on_left = left.matches.iter().find(known).unwrap_or(of);
            let own = of.piece == of.partner;
            for (hand, other) in [("right", "left"), ("left", "right")] {
                let theirs = |piece: &str| self.is_of(piece, other);
                let wanted =
                    !belongs(&of.name, other) && !theirs(&of.piece) && !theirs(&of.partner);
                if !wanted || own && hand == "left" {
                    continue;
                }
                let facing = if own { "left" } else { hand };
                let found = Match {
                    piece: named(&of.piece, hand),
                    at: match from_left(&of.piece, hand) {
                        true => on_left.at,
                        false => of.at,
                    },
                    partner: named(&of.partner, facing),
                    partner_at: match from_left(&of.partner, facing) {
                        true => on_left.partner_at,
                        false => of.partner_at,
                    },
                    ..of.clone()
                };
                if !matches.contains(&found) {
                    matches.push(found);
                }
            }
        }
        matches
    }

    /// Adds what one side has to prove: everything that bears on a piece of its own, and, from the right
    /// side, whatever bears on none.
    fn prove(&self, draft: &Draft, hand: &str, other: &str, both: &mut Draft) {
        let wanted = |name: &str, pieces: &[&String]| {
            let ours = pieces.iter().any(|p| self.is_of(p, hand));
            let theirs = pieces.iter().any(|p| self.is_of(p, other));
            let own = ours || pieces.iter().any(|p| self.divided.contains(*p));
            if belongs(name, "left") || belongs(name, "right") {
                belongs(name, hand)
            } else if ours && theirs {
                hand == "right"
            } else {
                !theirs && (own || hand == "right")
            }
        };
        let named = |name: &str, pieces: &[&String]| {
            if pieces.iter().any(|p| self.divided.contains(*p)) && !belongs(name, hand) {
                sided(name, hand)
            } else {
                name.to_owned()
            }
        };
        let piece = |name: &str| {
            if self.divided.contains(name) {
                sided(name, hand)
            } else {
                name.to_owned()
            }
        };
        let run = |stretches: &[Stretch]| -> Vec<Stretch> {
            stretches
                .iter()
                .map(|s| Stretch {
                    piece: piece(&s.piece),
                    ..s.clone()
                })
                .collect()
        };
        for seam in &draft.seams {
            // What a pair is sewn to each other by: one side against the other.
            let paired = seam.a == seam.b && seam.a.iter().all(|s| self.divided.contains(&s.piece));
            if paired {
                if hand == "right" {
                    let of = |hand: &str| -> Vec<Stretch> {
                        let on = |s: &Stretch| Stretch {
                            piece: sided(&s.piece, hand),
                            ..s.clone()
                        };
                        seam.a.iter().map(on).collect()
                    };
                    both.seams.push(Seam {
                        a: of("right"),
                        b: of("left"),
                        ..seam.clone()
                    });
                }
                continue;
            }
            let pieces: Vec<&String> = seam.a.iter().chain(&seam.b).map(|s| &s.piece).collect();
            // The whole of what spans both sides, against one half and the other.
            if hand == "right" && [&seam.a, &seam.b].into_iter().any(|run| self.twice(run)) {
                let mut seam = seam.clone();
                (seam.a, seam.b) = (self.spanning(&seam.a), self.spanning(&seam.b));
                both.seams.push(seam);
            } else if [&seam.a, &seam.b].into_iter().any(|run| self.twice(run)) {
                continue;
            } else if wanted(&seam.name, &pieces) {
                let mut seam = seam.clone();
                seam.name = named(&seam.name, &pieces);
                (seam.a, seam.b) = (run(&seam.a), run(&seam.b));
                both.seams.push(seam);
            }
        }
        for join in &draft.joins {
            let pieces = [&join.a.0, &join.b.0];
            if wanted(&join.name, &pieces) {
                let mut join = join.clone();
                join.name = named(&join.name, &pieces);
                for name in [
                    &mut join.a.0,
                    &mut join.b.0,
                    &mut join.seam.0.0,
                    &mut join.seam.1.0,
                ] {
                    *name = piece(name);
                }
                both.joins.push(join);
            }
        }
        for dart in &draft.darts {
            if wanted(&dart.name, &[&dart.piece]) {
                let mut dart = dart.clone();
                dart.name = named(&dart.name, &[&dart.piece]);
                dart.piece = piece(&dart.piece);
                both.darts.push(dart);
            }
        }
        for bound in &draft.bounds {
            let same = |b: &Bound| b.name == bound.name && (b.found - bound.found).abs() < SAME;
            if !both.bounds.iter().any(same) {
                let name = match both.bounds.iter().any(|b| b.name == bound.name) {
                    true => sided(&bound.name, hand),
                    false => bound.name.clone(),
                };
                both.bounds.push(Bound {
                    name,
                    ..bound.clone()
                });
            }
        }
        for girth in &draft.girths {
            let known = both.girths.iter().find(|g| g.name == girth.name);
            match known {
                None => both.girths.push(girth.clone()),
                Some(g)
                    if (g.finished - girth.finished).abs() < SAME
                        && (g.meant - girth.meant).abs() < SAME => {}
                Some(_) => {
                    let mut girth = girth.clone();
                    girth.name = sided(&girth.name, "twice the left half");
                    both.girths.push(girth);
                }
            }
        }
    }
}

fn sided(name: &str, hand: &str) -> String {
    format!("{name}, {hand}")
}

/// Whether a name is that of one side.
fn belongs(name: &str, hand: &str) -> bool {
    name.split(|c: char| !c.is_alphanumeric())
        .any(|word| word == hand)
}

fn word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

fn alike(a: &DraftPiece, b: &DraftPiece) -> bool {
    let near = |p: Point, q: Point| p.distance(q) < SAME;
    let same = |p: &BezPath, q: &BezPath| {
        let ends = |el: &PathEl| el.end_point().unwrap_or_default();
        p.elements().len() == q.elements().len()
            && p.elements()
                .iter()
                .zip(q.elements())
                .all(|(x, y)| near(ends(x), ends(y)))
            && (p.area() - q.area()).abs() < 1.0
    };
    a.edges.len() == b.edges.len()
        && a.edges
            .iter()
            .zip(&b.edges)
            .all(|(x, y)| x.name == y.name && same(&x.path, &y.path))
        && a.notches.len() == b.notches.len()
        && a.notches
            .iter()
            .zip(&b.notches)
            .all(|(x, y)| (x.at - y.at).abs() < SAME)
        && a.marks.len() == b.marks.len()
        && a.marks
            .iter()
            .zip(&b.marks)
            .all(|(x, y)| same(&x.path, &y.path))
        && near(a.grain.0, b.grain.0)
        && near(a.grain.1, b.grain.1)
}

/// The piece without the marks that are for the other hand: holes, buttons, a breast pocket.
fn of_one_hand(piece: &DraftPiece, other: Side) -> DraftPiece {
    let mut piece = piece.clone();
    piece.marks.retain(|mark| mark.side != Some(other));
    piece
}

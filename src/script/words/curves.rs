//! Lines and curves between points. Lengths in cm.

use super::points::Headed;
use crate::draft::Makes;
use crate::draft::{Drawn, How};
use crate::geometry::{self, Knot};
use crate::script::board::{Board, Spot};
use crate::script::limits;
use crate::script::numbers::{Made, fault, length, number, source};
use kurbo::{Affine, BezPath, Point, Vec2};
use rhai::{Array, Dynamic, Engine, NativeCallContext};
use std::sync::Arc;

/// A line or curve on the board, with a direction from its start to its end.
#[derive(Debug, Clone)]
pub(in crate::script) struct Curve {
    pub path: Arc<BezPath>,
    board: Board,
    /// The curves on the board that it lies on, by number.
    on: Vec<usize>,
    /// The points it was drawn through, as messages name them.
    through: String,
}

impl Curve {
    /// An edge of a piece as a curve of its own; `on` as for any curve.
    pub(super) fn edge(board: Board, path: BezPath, on: Vec<usize>, name: &str) -> Curve {
        board.spend(path.elements().len() + on.len());
        Curve {
            path: path.into(),
            board,
            on,
            through: shortened(name),
        }
    }

    /// The path, for a word that walks along it.
    fn walk(&self) -> &BezPath {
        self.board.spend(self.path.elements().len());
        &self.path
    }

    /// What it lies on, for a piece that takes it.
    pub(super) fn made(&self) -> Vec<Makes> {
        self.on.iter().map(|n| Makes::Curve(*n)).collect()
    }

    /// The curve that this one is by itself: one curve on the board from end to end.
    fn whole(&self) -> Option<usize> {
        let &[number] = self.on.as_slice() else {
            return None;
        };
        let sheet = self.board.sheet();
        let curve = sheet.draft.curves.get(number.checked_sub(1)?)?;
        (curve.path == *self.path).then_some(number)
    }

    /// A stretch of the same curve, or the curve the other way round.
    fn with(&self, path: BezPath) -> Curve {
        self.board.spend(path.elements().len() + self.on.len());
        Curve {
            path: path.into(),
            board: self.board.clone(),
            on: self.on.clone(),
            through: self.through.clone(),
        }
    }

    /// Another curve, drawn from this one.
    fn drawn(&self, ctx: &NativeCallContext, path: BezPath, how: Drawn) -> Curve {
        let number = self.board.draw(&path, how, source(ctx));
        Curve {
            on: vec![number],
            ..self.with(path)
        }
    }

    fn put(&self, ctx: &NativeCallContext, at: Point, how: How) -> Spot {
        self.board.put(at, how, "", source(ctx))
    }
}

/// Arc length in mm of a place on a curve that a script gives as a length in cm or as a point.
pub(super) fn place_on(ctx: &NativeCallContext, path: &BezPath, place: &Dynamic) -> Made<f64> {
    let place = place.flatten_clone();
    match place.clone().try_cast::<Spot>() {
        Some(spot) => Ok(geometry::nearest(path, spot.at).at),
        None => length(ctx, &place),
    }
}

fn line(ctx: &NativeCallContext, from: &Spot, to: &Spot) -> Curve {
    let mut path = BezPath::new();
    path.move_to(from.at);
    path.line_to(to.at);
    let how = Drawn::Line(from.number, to.number);
    Curve {
        on: vec![from.board.draw(&path, how, source(ctx))],
        path: path.into(),
        board: from.board.clone(),
        through: format!("{}, {}", from.label(), to.label()),
    }
}

/// A fair curve through points; a headed point gives the direction there.
fn curve(ctx: &NativeCallContext, points: &Array) -> Made<Curve> {
    let mut knots = Vec::with_capacity(points.len());
    let mut through = Vec::with_capacity(points.len());
    let mut board = None;
    for point in points {
        let point = point.flatten_clone();
        let (spot, way) = if let Some(headed) = point.clone().try_cast::<Headed>() {
            knots.push(Knot::toward(
                headed.spot.at,
                Vec2::from_angle(headed.degrees.to_radians()),
            ));
            (headed.spot, Some(headed.degrees))
        } else if let Some(spot) = point.clone().try_cast::<Spot>() {
            knots.push(Knot::new(spot.at));
            (spot, None)
        } else {
            return Err(fault(
                ctx,
                format!("a curve goes through points, not {}", point.type_name()),
            ));
        };
        through.push((spot.number, way));
        board.get_or_insert(spot.board);
    }
    if knots
        .windows(2)
        .any(|pair| matches!(pair, [a, b] if a.at.distance(b.at) < 1e-6))
    {
        return Err(fault(ctx, "two of the curve's points lie on each other"));
    }
    match board {
        Some(board) if knots.len() > 1 => {
            allowed(ctx, knots.len())?;
            let path = geometry::spline(&knots);
            let labels: Vec<String> = through.iter().map(|(n, _)| n.to_string()).collect();
            Ok(Curve {
                on: vec![board.draw(&path, Drawn::Through(through), source(ctx))],
                path: path.into(),
                board,
                through: shortened(&labels.join(", ")),
            })
        }
        _ => Err(fault(ctx, "a curve needs two points or more")),
    }
}

/// What a curve runs through, in a text that a message can hold.
fn shortened(through: &str) -> String {
    const LONGEST: usize = 120;
    match through.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", &through[..end]),
        None => through.to_owned(),
    }
}

/// Refuses a curve of more segments than any garment has.
fn allowed(ctx: &NativeCallContext, segments: usize) -> Made<()> {
    if segments <= limits::MOST_SEGMENTS {
        return Ok(());
    }
    let most = limits::MOST_SEGMENTS;
    Err(fault(
        ctx,
        format!("a curve of {segments} segments, where {most} are the most"),
    ))
}

/// The curve with its start moved, less and less of it along the way and nothing at its end; the
/// directions at both ends stay.
fn start_moved(path: &BezPath, by: Vec2) -> BezPath {
    const PARTS: u32 = 12;
    let long = geometry::length(path);
    let knots: Vec<Knot> = (0..=PARTS)
        .map(|i| {
            let part = f64::from(i) / f64::from(PARTS);
            let at = part * long;
            let moved = 1.0 - part * part * (3.0 - 2.0 * part);
            let place = geometry::point_at(path, at) + by * moved;
            match i {
                0 | PARTS => Knot::toward(place, geometry::tangent_at(path, at)),
                _ => Knot::new(place),
            }
        })
        .collect();
    geometry::spline(&knots)
}

/// A point on a curve, as a length from the start of the curve on the board that it lies on.
fn on_curve(ctx: &NativeCallContext, c: &Curve, at: Point) -> Spot {
    let mut nearest: Option<(usize, geometry::Nearest)> = None;
    {
        let sheet = c.board.sheet();
        let curves = c.on.iter().filter_map(|n| {
            let curve = sheet.draft.curves.get(n.checked_sub(1)?)?;
            c.board.spend(curve.path.elements().len());
            Some((*n, geometry::nearest(&curve.path, at)))
        });
        for (number, found) in curves {
            if nearest
                .as_ref()
                .is_none_or(|(_, best)| found.distance < best.distance)
            {
                nearest = Some((number, found));
            }
        }
    }
    let (number, along) = nearest.map_or((0, 0.0), |(number, found)| (number, found.at));
    c.put(ctx, at, How::Along(vec![number], along))
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Curve>("curve");
    engine.register_fn("line", |ctx: NativeCallContext, a: Spot, b: Spot| {
        line(&ctx, &a, &b)
    });
    engine.register_fn("curve", |ctx: NativeCallContext, points: Array| {
        curve(&ctx, &points)
    });

    engine.register_fn(
        "called",
        |ctx: NativeCallContext, c: &mut Curve, name: &str| {
            let unnamed = c.whole().filter(|n| c.board.curve_name(*n).is_none());
            let called = match unnamed {
                Some(_) => c.clone(),
                None => c.drawn(&ctx, (*c.path).clone(), Drawn::Joined(c.on.clone())),
            };
            if let Some(number) = called.whole() {
                c.board.name_curve(number, name);
            }
            called
        },
    );
    engine.register_get("length", |c: &mut Curve| geometry::length(c.walk()) / 10.0);
    engine.register_get("start", |ctx: NativeCallContext, c: &mut Curve| {
        on_curve(&ctx, c, geometry::point_at(c.walk(), 0.0))
    });
    engine.register_get("end", |ctx: NativeCallContext, c: &mut Curve| {
        let end = geometry::point_at(c.walk(), geometry::length(c.walk()));
        on_curve(&ctx, c, end)
    });
    engine.register_fn(
        "at",
        |ctx: NativeCallContext, c: &mut Curve, d: Dynamic| -> Made<Spot> {
            let mm = length(&ctx, &d)?;
            Ok(on_curve(&ctx, c, geometry::point_at(c.walk(), mm)))
        },
    );
    engine.register_fn(
        "heading_at",
        |ctx: NativeCallContext, c: &mut Curve, place: Dynamic| -> Made<f64> {
            let at = place_on(&ctx, c.walk(), &place)?;
            Ok(geometry::tangent_at(c.walk(), at).atan2().to_degrees())
        },
    );
    engine.register_fn("place_of", |c: &mut Curve, spot: Spot| {
        geometry::nearest(c.walk(), spot.at).at / 10.0
    });
    engine.register_fn(
        "part",
        |ctx: NativeCallContext, c: &mut Curve, from: Dynamic, to: Dynamic| -> Made<Curve> {
            let (from, to) = (
                place_on(&ctx, c.walk(), &from)?,
                place_on(&ctx, c.walk(), &to)?,
            );
            if to - from < 1e-6 {
                return Err(fault(&ctx, "the part of the curve ends before it starts"));
            }
            Ok(c.with(geometry::sub_path(c.walk(), from, to)))
        },
    );
    engine.register_fn(
        "from",
        |ctx: NativeCallContext, c: &mut Curve, from: Dynamic| -> Made<Curve> {
            let from = place_on(&ctx, c.walk(), &from)?;
            Ok(c.with(geometry::sub_path(
                c.walk(),
                from,
                geometry::length(c.walk()),
            )))
        },
    );
    engine.register_fn(
        "to",
        |ctx: NativeCallContext, c: &mut Curve, to: Dynamic| -> Made<Curve> {
            let to = place_on(&ctx, c.walk(), &to)?;
            Ok(c.with(geometry::sub_path(c.walk(), 0.0, to)))
        },
    );
    engine.register_get("reversed", |c: &mut Curve| {
        c.with(geometry::reversed(c.walk()))
    });
    engine.register_fn(
        "then",
        |ctx: NativeCallContext, c: &mut Curve, next: Curve| -> Made<Curve> {
            let end = geometry::end(c.walk());
            let start = geometry::start(&next.path);
            match (end, start) {
                (Some(end), Some(start)) if end.distance(start) < 0.01 => {
                    allowed(&ctx, c.path.elements().len() + next.path.elements().len())?;
                    let mut joined = c.with(geometry::joined([&*c.path, &*next.path], 0.02));
                    joined.on.extend(&next.on);
                    allowed(&ctx, joined.on.len())?;
                    joined.through = shortened(&format!("{}; {}", c.through, next.through));
                    Ok(joined)
                }
                _ => Err(fault(
                    &ctx,
                    "the next curve does not start where this one ends",
                )),
            }
        },
    );
    engine.register_fn(
        "moved",
        |ctx: NativeCallContext, c: &mut Curve, x: Dynamic, y: Dynamic| -> Made<Curve> {
            let by = Vec2::new(length(&ctx, &x)?, length(&ctx, &y)?);
            let moved = Affine::translate(by) * c.walk().clone();
            Ok(c.drawn(&ctx, moved, Drawn::Moved(c.on.clone(), by)))
        },
    );
    engine.register_fn(
        "start_moved",
        |ctx: NativeCallContext, c: &mut Curve, x: Dynamic, y: Dynamic| -> Made<Curve> {
            let by = Vec2::new(length(&ctx, &x)?, length(&ctx, &y)?);
            let moved = start_moved(c.walk(), by);
            Ok(c.drawn(&ctx, moved, Drawn::StartMoved(c.on.clone(), by)))
        },
    );
    engine.register_fn(
        "end_moved",
        |ctx: NativeCallContext, c: &mut Curve, x: Dynamic, y: Dynamic| -> Made<Curve> {
            let by = Vec2::new(length(&ctx, &x)?, length(&ctx, &y)?);
            let turned = start_moved(&geometry::reversed(c.walk()), by);
            let moved = geometry::reversed(&turned);
            Ok(c.drawn(&ctx, moved, Drawn::EndMoved(c.on.clone(), by)))
        },
    );
    engine.register_fn(
        "beside",
        |ctx: NativeCallContext, c: &mut Curve, d: Dynamic| -> Made<Curve> {
            let mm = length(&ctx, &d)?;
            let beside = geometry::offset(c.walk(), &[mm]);
            allowed(&ctx, beside.elements().len())?;
            Ok(c.drawn(&ctx, beside, Drawn::Beside(c.on.clone(), mm)))
        },
    );
    engine.register_fn(
        "turned",
        |ctx: NativeCallContext, c: &mut Curve, about: Spot, degrees: Dynamic| -> Made<Curve> {
            let degrees = number(&ctx, &degrees)?;
            let turned = Affine::rotate_about(degrees.to_radians(), about.at) * c.walk().clone();
            let how = Drawn::Turned(c.on.clone(), about.number, degrees);
            Ok(c.drawn(&ctx, turned, how))
        },
    );
    engine.register_fn(
        "stretched",
        |ctx: NativeCallContext,
         c: &mut Curve,
         from: Spot,
         x: Dynamic,
         y: Dynamic|
         -> Made<Curve> {
            let times = Vec2::new(number(&ctx, &x)?, number(&ctx, &y)?);
            if !(times.x > 0.0 && times.y > 0.0) {
                return Err(fault(&ctx, "a curve is stretched by more than nothing"));
            }
            let at = from.at.to_vec2();
            let stretch = Affine::scale_non_uniform(times.x, times.y)
                .then_translate(Vec2::new(at.x * (1.0 - times.x), at.y * (1.0 - times.y)));
            let stretched = stretch * c.walk().clone();
            let how = Drawn::Stretched(c.on.clone(), from.number, times);
            Ok(c.drawn(&ctx, stretched, how))
        },
    );
    engine.register_fn(
        "mirrored",
        |ctx: NativeCallContext, c: &mut Curve, a: Spot, b: Spot| {
            let mirrored = Affine::reflect(a.at, b.at - a.at) * c.walk().clone();
            let how = Drawn::Mirrored(c.on.clone(), a.number, b.number);
            c.drawn(&ctx, mirrored, how)
        },
    );
    engine.register_fn(
        "on_level",
        |ctx: NativeCallContext, c: &mut Curve, spot: Spot| -> Made<Spot> {
            match geometry::line_crossings(c.walk(), spot.at, Vec2::new(1.0, 0.0)).first() {
                Some(crossing) => Ok(c.put(
                    &ctx,
                    crossing.point,
                    How::OnLevel(c.on.clone(), spot.number),
                )),
                None => Err(fault(
                    &ctx,
                    format!("{} does not cross that level", c.through),
                )),
            }
        },
    );
    engine.register_fn(
        "meets",
        |ctx: NativeCallContext, c: &mut Curve, other: Curve| -> Made<Spot> {
            let pairs = c.path.elements().len() * other.path.elements().len();
            c.board.spend(pairs * limits::PAIR);
            match geometry::crossings(c.walk(), other.walk()).first() {
                Some(crossing) => Ok(c.put(
                    &ctx,
                    crossing.point,
                    How::Meets(c.on.clone(), other.on.clone()),
                )),
                None => Err(fault(
                    &ctx,
                    format!("{} does not meet {}", c.through, other.through),
                )),
            }
        },
    );
}

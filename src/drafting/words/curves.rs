//! Lines and curves between points, and solving for a length. Lengths in cm.

use super::points::Headed;
use crate::drafting::board::{Board, Spot};
use crate::drafting::limits;
use crate::drafting::numbers::{Made, fault, length, number, source};
use crate::geometry::{self, Knot};
use kurbo::{Affine, BezPath, Point, Vec2};
use rhai::{Array, Dynamic, Engine, FnPtr, NativeCallContext};
use std::sync::Arc;

/// A line or curve on the board, with a direction from its start to its end.
#[derive(Debug, Clone)]
pub(in crate::drafting) struct Curve {
    pub path: Arc<BezPath>,
    board: Board,
    /// The points it was drawn through, as instructions name them.
    through: String,
}

impl Curve {
    /// A path of a piece as a curve of its own.
    pub(super) fn on(board: Board, path: BezPath, name: &str) -> Curve {
        board.spend(path.elements().len());
        Curve {
            path: path.into(),
            board,
            through: shortened(name),
        }
    }

    /// The path, for a word that walks along it.
    fn walk(&self) -> &BezPath {
        self.board.spend(self.path.elements().len());
        &self.path
    }

    fn with(&self, path: BezPath) -> Curve {
        self.board.spend(path.elements().len());
        Curve {
            path: path.into(),
            board: self.board.clone(),
            through: self.through.clone(),
        }
    }

    fn put(&self, ctx: &NativeCallContext, at: Point, text: String) -> Spot {
        self.board.put(at, text, source(ctx))
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

fn line(from: &Spot, to: &Spot) -> Curve {
    let mut path = BezPath::new();
    path.move_to(from.at);
    path.line_to(to.at);
    from.board.spend(2);
    Curve {
        path: path.into(),
        board: from.board.clone(),
        through: format!("{}, {}", from.label(), to.label()),
    }
}

/// A fair curve through points; a headed point gives the direction there.
fn curve(ctx: &NativeCallContext, points: &Array) -> Made<Curve> {
    let mut knots = Vec::with_capacity(points.len());
    let mut labels = Vec::with_capacity(points.len());
    let mut board = None;
    for point in points {
        let point = point.flatten_clone();
        let spot = if let Some(headed) = point.clone().try_cast::<Headed>() {
            knots.push(Knot::toward(
                headed.spot.at,
                Vec2::from_angle(headed.degrees.to_radians()),
            ));
            headed.spot
        } else if let Some(spot) = point.clone().try_cast::<Spot>() {
            knots.push(Knot::new(spot.at));
            spot
        } else {
            return Err(fault(
                ctx,
                format!("a curve goes through points, not {}", point.type_name()),
            ));
        };
        labels.push(spot.label());
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
            Ok(Curve::on(
                board,
                geometry::spline(&knots),
                &labels.join(", "),
            ))
        }
        _ => Err(fault(ctx, "a curve needs two points or more")),
    }
}

/// What a curve runs through, in a text that an instruction can hold.
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

/// Finds the number between `low` and `high` for which `of` returns `target`, by Brent-like
/// bisection and secant steps (Illinois); the trials leave nothing on the board.
fn solve(
    ctx: &NativeCallContext,
    board: &Board,
    low: f64,
    high: f64,
    target: f64,
    of: &FnPtr,
) -> Made<f64> {
    board.sheet().trying += 1;
    let miss = |x: f64| -> Made<f64> {
        let value: Dynamic = of.call_within_context(ctx, (x,))?;
        Ok(number(ctx, &value)? - target)
    };
    let found = bracketed(low, high, miss);
    board.sheet().trying -= 1;
    found?.ok_or_else(|| {
        fault(ctx, format!("nothing between {low:.2} and {high:.2} gives {target:.2}: the measures do not go together here"))
    })
}

fn bracketed(low: f64, high: f64, mut miss: impl FnMut(f64) -> Made<f64>) -> Made<Option<f64>> {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (miss(a)?, miss(b)?);
    if fa == 0.0 {
        return Ok(Some(a));
    }
    if fa * fb > 0.0 {
        return Ok(None);
    }
    for _ in 0..60 {
        let c = b - fb * (b - a) / (fb - fa);
        let fc = miss(c)?;
        if fc.abs() < 1e-7 || (b - a).abs() < 1e-9 {
            return Ok(Some(c));
        }
        if fc * fb < 0.0 {
            (a, fa) = (b, fb);
        } else {
            fa /= 2.0;
        }
        (b, fb) = (c, fc);
    }
    Ok(Some(b))
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Curve>("curve");
    engine.register_fn("line", |a: Spot, b: Spot| line(&a, &b));
    engine.register_fn("curve", |ctx: NativeCallContext, points: Array| {
        curve(&ctx, &points)
    });
    engine.register_fn(
        "solve",
        |ctx: NativeCallContext,
         board: &mut Board,
         low: Dynamic,
         high: Dynamic,
         target: Dynamic,
         of: FnPtr|
         -> Made<f64> {
            let (low, high, target) = (
                number(&ctx, &low)?,
                number(&ctx, &high)?,
                number(&ctx, &target)?,
            );
            solve(&ctx, board, low, high, target, &of)
        },
    );

    engine.register_fn(
        "called",
        |ctx: NativeCallContext, c: &mut Curve, name: &str| {
            c.board
                .note(format!("{name}: through {}", c.through), source(&ctx));
            c.clone()
        },
    );
    engine.register_get("length", |c: &mut Curve| geometry::length(c.walk()) / 10.0);
    engine.register_get("start", |ctx: NativeCallContext, c: &mut Curve| {
        c.put(
            &ctx,
            geometry::point_at(c.walk(), 0.0),
            format!("the start of {}", c.through),
        )
    });
    engine.register_get("end", |ctx: NativeCallContext, c: &mut Curve| {
        c.put(
            &ctx,
            geometry::point_at(c.walk(), geometry::length(c.walk())),
            format!("the end of {}", c.through),
        )
    });
    engine.register_fn(
        "at",
        |ctx: NativeCallContext, c: &mut Curve, d: Dynamic| -> Made<Spot> {
            let mm = length(&ctx, &d)?;
            let text = format!(
                "on {}, {} from its start",
                c.through,
                crate::drafting::board::cm(mm)
            );
            Ok(c.put(&ctx, geometry::point_at(c.walk(), mm), text))
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
            Ok(c.with(Affine::translate(by) * c.walk().clone()))
        },
    );
    engine.register_fn(
        "start_moved",
        |ctx: NativeCallContext, c: &mut Curve, x: Dynamic, y: Dynamic| -> Made<Curve> {
            let by = Vec2::new(length(&ctx, &x)?, length(&ctx, &y)?);
            Ok(c.with(start_moved(c.walk(), by)))
        },
    );
    engine.register_fn(
        "end_moved",
        |ctx: NativeCallContext, c: &mut Curve, x: Dynamic, y: Dynamic| -> Made<Curve> {
            let by = Vec2::new(length(&ctx, &x)?, length(&ctx, &y)?);
            let turned = start_moved(&geometry::reversed(c.walk()), by);
            Ok(c.with(geometry::reversed(&turned)))
        },
    );
    engine.register_fn(
        "beside",
        |ctx: NativeCallContext, c: &mut Curve, d: Dynamic| -> Made<Curve> {
            let beside = geometry::offset(c.walk(), &[length(&ctx, &d)?]);
            allowed(&ctx, beside.elements().len())?;
            Ok(c.with(beside))
        },
    );
    engine.register_fn(
        "turned",
        |ctx: NativeCallContext, c: &mut Curve, about: Spot, degrees: Dynamic| -> Made<Curve> {
            let turn = Affine::rotate_about(number(&ctx, &degrees)?.to_radians(), about.at);
            Ok(c.with(turn * c.walk().clone()))
        },
    );
    engine.register_fn("mirrored", |c: &mut Curve, a: Spot, b: Spot| {
        c.with(Affine::reflect(a.at, b.at - a.at) * c.walk().clone())
    });
    engine.register_fn(
        "on_level",
        |ctx: NativeCallContext, c: &mut Curve, spot: Spot| -> Made<Spot> {
            match geometry::line_crossings(c.walk(), spot.at, Vec2::new(1.0, 0.0)).first() {
                Some(crossing) => Ok(c.put(
                    &ctx,
                    crossing.point,
                    format!("on {}, on the level of {}", c.through, spot.label()),
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
                    format!("where {} meets {}", c.through, other.through),
                )),
                None => Err(fault(
                    &ctx,
                    format!("{} does not meet {}", c.through, other.through),
                )),
            }
        },
    );
}

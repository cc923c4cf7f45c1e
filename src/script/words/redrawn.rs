//! Curves from curves: stretches of one, and curves drawn from others. Lengths in cm.

use super::curves::{Curve, allowed, place_on, shortened};
use crate::draft::Drawn;
use crate::geometry::{self, Knot};
use crate::script::board::Spot;
use crate::script::numbers::{Made, fault, length, number, source};
use kurbo::{Affine, BezPath, Vec2};
use rhai::{Dynamic, Engine, NativeCallContext};

/// Number of stretches into which a curve is parted where one end of it is moved: enough that the curve
/// between them keeps its shape.
const PARTS: u32 = 12;
/// Curves whose ends are nearer than this follow each other, mm.
const FOLLOWS: f64 = 0.01;
/// The widest gap that is closed between two curves that follow each other, mm.
const CLOSED: f64 = 0.02;

fn part(ctx: NativeCallContext, c: &mut Curve, from: Dynamic, to: Dynamic) -> Made<Curve> {
    let place = |place: &Dynamic| place_on(&ctx, c.walk(), place);
    let (from, to) = (place(&from)?, place(&to)?);
    if to - from < 1e-6 {
        return Err(fault(&ctx, "the part of the curve ends before it starts"));
    }
    Ok(c.with(geometry::sub_path(c.walk(), from, to)))
}

fn from(ctx: NativeCallContext, c: &mut Curve, from: Dynamic) -> Made<Curve> {
    let (from, long) = (place_on(&ctx, c.walk(), &from)?, geometry::length(c.walk()));
    Ok(c.with(geometry::sub_path(c.walk(), from, long)))
}

fn to(ctx: NativeCallContext, c: &mut Curve, to: Dynamic) -> Made<Curve> {
    let to = place_on(&ctx, c.walk(), &to)?;
    Ok(c.with(geometry::sub_path(c.walk(), 0.0, to)))
}

fn reversed(c: &mut Curve) -> Curve {
    c.with(geometry::reversed(c.walk()))
}

fn then(ctx: NativeCallContext, c: &mut Curve, next: Curve) -> Made<Curve> {
    let ends = geometry::end(c.walk()).zip(geometry::start(&next.path));
    if !ends.is_some_and(|(end, start)| end.distance(start) < FOLLOWS) {
        let text = "the next curve does not start where this one ends";
        return Err(fault(&ctx, text));
    }
    allowed(&ctx, c.path.elements().len() + next.path.elements().len())?;
    let mut joined = c.with(geometry::joined([&*c.path, &*next.path], CLOSED));
    joined.on.extend(&next.on);
    allowed(&ctx, joined.on.len())?;
    joined.through = shortened(&format!("{}; {}", c.through, next.through));
    Ok(joined)
}

/// Moves the start of a path, and less and less of the rest up to its end, which stays. The directions at both
/// ends stay as well.
fn with_start_moved(path: &BezPath, by: Vec2) -> BezPath {
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

fn by(ctx: &NativeCallContext, x: &Dynamic, y: &Dynamic) -> Made<Vec2> {
    Ok(Vec2::new(length(ctx, x)?, length(ctx, y)?))
}

fn moved(ctx: NativeCallContext, c: &mut Curve, x: Dynamic, y: Dynamic) -> Made<Curve> {
    let by = by(&ctx, &x, &y)?;
    let moved = Affine::translate(by) * c.walk().clone();
    Ok(c.drawn(&ctx, moved, || Drawn::Moved(c.on.clone(), by)))
}

fn start_moved(ctx: NativeCallContext, c: &mut Curve, x: Dynamic, y: Dynamic) -> Made<Curve> {
    let by = by(&ctx, &x, &y)?;
    let moved = with_start_moved(c.walk(), by);
    Ok(c.drawn(&ctx, moved, || Drawn::StartMoved(c.on.clone(), by)))
}

fn end_moved(ctx: NativeCallContext, c: &mut Curve, x: Dynamic, y: Dynamic) -> Made<Curve> {
    let by = by(&ctx, &x, &y)?;
    let turned = with_start_moved(&geometry::reversed(c.walk()), by);
    let moved = geometry::reversed(&turned);
    Ok(c.drawn(&ctx, moved, || Drawn::EndMoved(c.on.clone(), by)))
}

fn beside(ctx: NativeCallContext, c: &mut Curve, d: Dynamic) -> Made<Curve> {
    let mm = length(&ctx, &d)?;
    let beside = geometry::offset(c.walk(), &[mm]);
    allowed(&ctx, beside.elements().len())?;
    Ok(c.drawn(&ctx, beside, || Drawn::Beside(c.on.clone(), mm)))
}

fn turned(ctx: NativeCallContext, c: &mut Curve, about: Spot, degrees: Dynamic) -> Made<Curve> {
    let degrees = number(&ctx, &degrees)?;
    let turned = Affine::rotate_about(degrees.to_radians(), about.at) * c.walk().clone();
    let source = source(&ctx);
    let how = || Drawn::Turned(c.on.clone(), about.chalked(&source), degrees);
    Ok(c.drawn(&ctx, turned, how))
}

fn stretched(
    ctx: NativeCallContext,
    c: &mut Curve,
    from: Spot,
    x: Dynamic,
    y: Dynamic,
) -> Made<Curve> {
    let times = Vec2::new(number(&ctx, &x)?, number(&ctx, &y)?);
    if !(times.x > 0.0 && times.y > 0.0) {
        return Err(fault(&ctx, "a curve must be scaled by more than 0"));
    }
    let at = from.at.to_vec2();
    let stretch = Affine::scale_non_uniform(times.x, times.y)
        .then_translate(Vec2::new(at.x * (1.0 - times.x), at.y * (1.0 - times.y)));
    let stretched = stretch * c.walk().clone();
    let source = source(&ctx);
    let how = || Drawn::Stretched(c.on.clone(), from.chalked(&source), times);
    Ok(c.drawn(&ctx, stretched, how))
}

fn mirrored(ctx: NativeCallContext, c: &mut Curve, a: Spot, b: Spot) -> Curve {
    let mirrored = Affine::reflect(a.at, b.at - a.at) * c.walk().clone();
    let source = source(&ctx);
    let how = || Drawn::Mirrored(c.on.clone(), a.chalked(&source), b.chalked(&source));
    c.drawn(&ctx, mirrored, how)
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_fn("part", part);
    engine.register_fn("from", from);
    engine.register_fn("to", to);
    engine.register_get("reversed", reversed);
    engine.register_fn("then", then);
    engine.register_fn("moved", moved);
    engine.register_fn("start_moved", start_moved);
    engine.register_fn("end_moved", end_moved);
    engine.register_fn("beside", beside);
    engine.register_fn("turned", turned);
    engine.register_fn("stretched", stretched);
    engine.register_fn("mirrored", mirrored);
}

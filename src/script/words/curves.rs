//! Lines and curves between points, their places and lengths. Lengths in cm.

use super::points::Headed;
use crate::draft::Makes;
use crate::draft::{Drawn, How};
use crate::geometry::{self, Knot};
use crate::script::board::{Board, Spot};
use crate::script::limits;
use crate::script::numbers::{Made, fault, length, source};
use kurbo::{BezPath, Point, Vec2};
use rhai::{Array, Dynamic, Engine, NativeCallContext};
use std::sync::Arc;

/// A line or curve on the board, with a direction from its start to its end.
#[derive(Debug, Clone)]
pub(in crate::script) struct Curve {
    pub path: Arc<BezPath>,
    pub(super) board: Board,
    /// Numbers of the curves on the board that it lies on.
    pub(super) on: Vec<usize>,
    /// The points it was drawn through, as messages name them.
    pub(super) through: String,
}

impl Curve {
    /// Makes a curve of an edge or a mark of a piece; `on` as for any curve.
    pub(super) fn edge(board: Board, path: BezPath, on: Vec<usize>, name: &str) -> Self {
        board.spend(path.elements().len() + on.len());
        Self {
            path: path.into(),
            board,
            on,
            through: shortened(name),
        }
    }

    /// Returns the path, for a word that walks along it.
    pub(super) fn walk(&self) -> &BezPath {
        self.board.spend(self.path.elements().len());
        &self.path
    }

    /// Returns the curves on the board that it lies on, for a piece that takes it.
    pub(super) fn made(&self) -> Vec<Makes> {
        self.on.iter().map(|n| Makes::Curve(*n)).collect()
    }

    /// Returns the curve on the board that this one is from end to end, if it is one.
    fn whole(&self) -> Option<usize> {
        let &[number] = self.on.as_slice() else {
            return None;
        };
        let sheet = self.board.sheet();
        let curve = sheet.draft.curves.get(number.checked_sub(1)?)?;
        (curve.path == *self.path).then_some(number)
    }

    /// Returns a stretch of the same curve, or the curve the other way round.
    pub(super) fn with(&self, path: BezPath) -> Self {
        self.board.spend(path.elements().len() + self.on.len());
        Self {
            path: path.into(),
            board: self.board.clone(),
            on: self.on.clone(),
            through: self.through.clone(),
        }
    }

    /// Draws another curve from this one.
    pub(super) fn drawn(
        &self,
        ctx: &NativeCallContext,
        path: BezPath,
        how: impl FnOnce() -> Drawn,
    ) -> Self {
        let number = self.board.draw(&path, how, source(ctx));
        Self {
            on: number.into_iter().collect(),
            ..self.with(path)
        }
    }

    pub(super) fn put(
        &self,
        ctx: &NativeCallContext,
        at: Point,
        how: impl FnOnce() -> How,
    ) -> Spot {
        self.board.put(at, how, "", source(ctx))
    }
}

/// Returns the arc length, mm, of a place on a curve. A script gives it as a length in cm or as a point.
pub(super) fn place_on(ctx: &NativeCallContext, path: &BezPath, place: &Dynamic) -> Made<f64> {
    let place = place.flatten_clone();
    match place.clone().try_cast::<Spot>() {
        Some(spot) => Ok(geometry::nearest(path, spot.at).at),
        None => length(ctx, &place),
    }
}

fn line(ctx: NativeCallContext, from: Spot, to: Spot) -> Curve {
    let mut path = BezPath::new();
    path.move_to(from.at);
    path.line_to(to.at);
    let source = source(&ctx);
    let how = || Drawn::Line(from.chalked(&source), to.chalked(&source));
    let number = from.board.draw(&path, how, source.clone());
    Curve {
        on: number.into_iter().collect(),
        path: path.into(),
        board: from.board.clone(),
        through: format!("{}, {}", from.label(), to.label()),
    }
}

/// Draws a fair curve through points; a headed point gives the direction there.
fn curve(ctx: NativeCallContext, points: Array) -> Made<Curve> {
    let mut knots = Vec::with_capacity(points.len());
    let mut through = Vec::with_capacity(points.len());
    let mut board = None;
    for point in &points {
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
                &ctx,
                format!("a curve goes through points, not {}", point.type_name()),
            ));
        };
        board.get_or_insert(spot.board.clone());
        through.push((spot, way));
    }
    if knots
        .windows(2)
        .any(|pair| matches!(pair, [a, b] if a.at.distance(b.at) < 1e-6))
    {
        return Err(fault(&ctx, "two of the curve's points lie on each other"));
    }
    match board {
        Some(board) if knots.len() > 1 => {
            allowed(&ctx, knots.len())?;
            let path = geometry::spline(&knots);
            let labels: Vec<String> = through.iter().map(|(spot, _)| spot.label()).collect();
            let source = source(&ctx);
            let numbered = |(spot, way): &(Spot, Option<f64>)| (spot.chalked(&source), *way);
            let how = || Drawn::Through(through.iter().map(numbered).collect());
            let number = board.draw(&path, how, source.clone());
            Ok(Curve {
                on: number.into_iter().collect(),
                path: path.into(),
                board,
                through: shortened(&labels.join(", ")),
            })
        }
        _ => Err(fault(&ctx, "a curve needs two points or more")),
    }
}

/// Shortens the list of what a curve runs through to a text that a message can hold.
pub(super) fn shortened(through: &str) -> String {
    const LONGEST: usize = 120;
    match through.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", &through[..end]),
        None => through.to_owned(),
    }
}

/// Refuses a curve of more segments than any garment has.
pub(super) fn allowed(ctx: &NativeCallContext, segments: usize) -> Made<()> {
    if segments <= limits::MOST_SEGMENTS {
        return Ok(());
    }
    let most = limits::MOST_SEGMENTS;
    Err(fault(
        ctx,
        format!("a curve of {segments} segments is too long; {most} is the most"),
    ))
}

/// Makes a point on a curve, as a length from the start of the curve on the board that it lies on.
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
    // A curve that is no whole of the board's gives a point that begins at its place.
    let how = || match nearest {
        Some((number, found)) => How::Along(vec![number], found.at),
        None => How::Start(at),
    };
    c.put(ctx, at, how)
}

/// Names a curve. One that is not a whole curve of the board, or has a name already, is drawn anew.
fn called(ctx: NativeCallContext, c: &mut Curve, name: &str) -> Curve {
    let unnamed = c.whole().filter(|n| c.board.curve_name(*n).is_none());
    let called = match unnamed {
        Some(_) => c.clone(),
        None => c.drawn(&ctx, (*c.path).clone(), || Drawn::Joined(c.on.clone())),
    };
    if let Some(number) = called.whole() {
        c.board.name_curve(number, name);
    }
    called
}

fn curve_length(c: &mut Curve) -> f64 {
    geometry::length(c.walk()) / 10.0
}

fn start(ctx: NativeCallContext, c: &mut Curve) -> Spot {
    on_curve(&ctx, c, geometry::point_at(c.walk(), 0.0))
}

fn end(ctx: NativeCallContext, c: &mut Curve) -> Spot {
    let end = geometry::point_at(c.walk(), geometry::length(c.walk()));
    on_curve(&ctx, c, end)
}

fn at(ctx: NativeCallContext, c: &mut Curve, d: Dynamic) -> Made<Spot> {
    let mm = length(&ctx, &d)?;
    Ok(on_curve(&ctx, c, geometry::point_at(c.walk(), mm)))
}

fn heading_at(ctx: NativeCallContext, c: &mut Curve, place: Dynamic) -> Made<f64> {
    let at = place_on(&ctx, c.walk(), &place)?;
    Ok(geometry::tangent_at(c.walk(), at).atan2().to_degrees())
}

/// Returns the direction in which a curve leaves its start, degrees.
fn leaves(c: &mut Curve) -> f64 {
    geometry::tangent_at(c.walk(), 0.0).atan2().to_degrees()
}

/// Returns the direction in which a curve arrives at its end, degrees.
fn arrives(c: &mut Curve) -> f64 {
    let end = geometry::length(c.walk());
    geometry::tangent_at(c.walk(), end).atan2().to_degrees()
}

fn place_of(c: &mut Curve, spot: Spot) -> f64 {
    geometry::nearest(c.walk(), spot.at).at / 10.0
}

fn on_level(ctx: NativeCallContext, c: &mut Curve, spot: Spot) -> Made<Spot> {
    let level = Vec2::new(1.0, 0.0);
    let crossings = geometry::line_crossings(c.walk(), spot.at, level);
    let crossing = crossings.first().ok_or_else(|| {
        let text = format!("{} does not cross that level", c.through);
        fault(&ctx, text)
    })?;
    let source = source(&ctx);
    let how = || How::OnLevel(c.on.clone(), spot.chalked(&source));
    Ok(c.put(&ctx, crossing.point, how))
}

fn meets(ctx: NativeCallContext, c: &mut Curve, other: Curve) -> Made<Spot> {
    let pairs = c.path.elements().len() * other.path.elements().len();
    c.board.spend(pairs * limits::PAIR);
    let crossings = geometry::crossings(c.walk(), other.walk());
    let crossing = crossings.first().ok_or_else(|| {
        let text = format!("{} does not meet {}", c.through, other.through);
        fault(&ctx, text)
    })?;
    let how = || How::Meets(c.on.clone(), other.on.clone());
    Ok(c.put(&ctx, crossing.point, how))
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Curve>("curve");
    engine.register_fn("line", line);
    engine.register_fn("curve", curve);
    engine.register_fn("called", called);
    engine.register_get("length", curve_length);
    engine.register_get("start", start);
    engine.register_get("end", end);
    engine.register_get("leaves", leaves);
    engine.register_get("arrives", arrives);
    engine.register_fn("at", at);
    engine.register_fn("heading_at", heading_at);
    engine.register_fn("place_of", place_of);
    engine.register_fn("on_level", on_level);
    engine.register_fn("meets", meets);
}

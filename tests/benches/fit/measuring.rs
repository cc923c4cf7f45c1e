//! The lengths of a draft and of a body that are held against each other.

use super::Lengths;
use super::survey::Man;
use chalkstripe::draft::{Draft, DraftPiece, MarkKind, Part, Role};
use chalkstripe::geometry::{end, flattened, length, line_crossings, start};
use chalkstripe::order::Side;
use kurbo::{BezPath, Point, Shape, Vec2};

/// The man's own lengths.
pub(crate) fn body(man: &Man) -> Lengths {
    let mm: Lengths = man
        .body
        .iter()
        .chain(&man.besides)
        .map(|(name, cm)| (*name, 10.0 * cm))
        .collect();
    let of = |name: &str| mm.get(name).copied();
    // The neck point lies some 15 mm below the nape, from memory.
    let slope = || {
        let nape = of("cervicaleheight")?;
        let falls = nape - 15.0 - of("acromialheight")?;
        Some(
            (falls / of("shoulderlength")?)
                .clamp(-1.0, 1.0)
                .asin()
                .to_degrees(),
        )
    };
    // Both are taped to the level of the navel.
    let balance = || Some(of("waistfrontlengthsitting")? - of("waistbacklength")?);
    let all = [
        ("fork run", of("fork_run")),
        ("thigh", of("thigh")),
        ("back length", of("nape_to_waist")),
        ("shoulder seam", of("shoulderlength")),
        ("across back", of("half_back").map(|half| 2.0 * half)),
        ("sleeve girth", of("biceps")),
        ("sleeve length", of("sleeve").map(|sleeve| sleeve - 35.0)),
        ("inside leg", of("inside_leg")),
        ("shoulder slope, degrees", slope()),
        ("balance", balance()),
        ("waistcoat, chest", of("chest")),
        ("waistcoat, waist", of("waist")),
        ("waistcoat over the band", of("nape_to_waist")),
    ];
    all.into_iter()
        .filter_map(|(name, length)| Some((name, length?)))
        .collect()
}

fn edge(piece: &DraftPiece, role: Role) -> Option<&BezPath> {
    piece.edge(role).map(|edge| &edge.path)
}

/// Where a path crosses a level, the furthest back.
fn on_level(path: &BezPath, y: f64) -> Option<Point> {
    let crossings = line_crossings(path, Point::new(0.0, y), Vec2::new(1.0, 0.0));
    let points = crossings.into_iter().map(|crossing| crossing.point);
    points.min_by(|a, b| a.x.total_cmp(&b.x))
}

/// The distance between two paths on a level.
fn across(a: &BezPath, b: &BezPath, y: f64) -> Option<f64> {
    Some((on_level(a, y)?.x - on_level(b, y)?.x).abs())
}

/// The first mark of a kind.
fn mark(piece: &DraftPiece, kind: MarkKind) -> Option<&BezPath> {
    piece
        .marks
        .iter()
        .find(|mark| mark.kind == kind)
        .map(|mark| &mark.path)
}

/// The nape of a back: where its neck meets the centre back.
fn nape(back: &DraftPiece) -> Option<Point> {
    let neck = edge(back, Role::Neck)?;
    let ends = [start(neck)?, end(neck)?];
    ends.into_iter().min_by(|a, b| a.x.total_cmp(&b.x))
}

/// The length of a back or a forepart from its neck point down to the waist.
fn down_from_the_neck_point(piece: &DraftPiece) -> Option<f64> {
    let shoulder = edge(piece, Role::Shoulder)?;
    let ends = [start(shoulder)?, end(shoulder)?];
    let neck_point = ends.into_iter().min_by(|a, b| a.y.total_cmp(&b.y))?;
    Some(start(mark(piece, MarkKind::WaistLine)?)?.y - neck_point.y)
}

pub(crate) fn coat(draft: &Draft) -> Option<Lengths> {
    let back = draft.part_on(Part::Back, Side::Left)?;
    let fore = draft.part_on(Part::Forepart, Side::Left)?;
    let waist = start(mark(back, MarkKind::WaistLine)?)?;
    let scye = flattened(edge(back, Role::Scye)?, 0.1);
    let inmost = scye.into_iter().min_by(|a, b| a.x.total_cmp(&b.x))?;
    let centre = on_level(edge(back, Role::CentreBack)?, inmost.y)?;
    let shoulder = edge(fore, Role::Shoulder)?;
    let slope = |path: &BezPath| {
        let run = end(path)? - start(path)?;
        Some(run.y.abs().atan2(run.x.abs()).to_degrees())
    };
    let slopes = [slope(shoulder)?, slope(edge(back, Role::Shoulder)?)?];
    let top = draft.part_on(Part::TopSleeve, Side::Left)?;
    let under = draft.part_on(Part::UnderSleeve, Side::Left)?;
    let level = edge(under, Role::Crown)?.bounding_box().y1;
    let girth = |piece: &DraftPiece| {
        across(
            edge(piece, Role::Forearm)?,
            edge(piece, Role::Hindarm)?,
            level,
        )
    };
    let hem = edge(top, Role::Hem)?.bounding_box();
    Some(Lengths::from([
        ("back length", waist.y - nape(back)?.y),
        ("across back", 2.0 * (inmost.x - centre.x)),
        ("shoulder seam", length(shoulder)),
        ("shoulder slope, degrees", (slopes[0] + slopes[1]) / 2.0),
        (
            "balance",
            down_from_the_neck_point(fore)? - down_from_the_neck_point(back)?,
        ),
        ("sleeve girth", girth(top)? + girth(under)?),
        (
            "sleeve length",
            hem.center().y - edge(top, Role::Crown)?.bounding_box().y0,
        ),
    ]))
}

/// Trousers under a waistband of this depth, of which half lies above the natural waist.
pub(crate) fn trousers(draft: &Draft, band: f64) -> Option<Lengths> {
    let top = draft.part_on(Part::TopSide, Side::Left)?;
    let under = draft.part_on(Part::UnderSide, Side::Left)?;
    let seams = [top, under].map(|piece| edge(piece, Role::Middle).map(length));
    let thighs = [top, under].map(|piece| mark(piece, MarkKind::ForkLine).map(length));
    let inside = edge(top, Role::InsideLeg)?;
    Some(Lengths::from([
        ("fork run", seams[0]? + seams[1]? + band),
        ("thigh", thighs[0]? + thighs[1]?),
        ("inside leg", inside.bounding_box().height()),
    ]))
}

pub(crate) fn waistcoat(draft: &Draft, band: f64) -> Option<Lengths> {
    let back = draft.part_on(Part::Back, Side::Left)?;
    let hem = edge(back, Role::Hem)?;
    let side = [start(hem)?, end(hem)?]
        .into_iter()
        .max_by(|a, b| a.x.total_cmp(&b.x))?;
    let girth = |name: &str| {
        let girth = draft.girths.iter().find(|girth| girth.name == name);
        girth.map(|girth| girth.finished)
    };
    Some(Lengths::from([
        ("waistcoat, chest", girth("chest")?),
        ("waistcoat, waist", girth("waist")?),
        (
            "waistcoat over the band",
            side.y - nape(back)?.y - band / 2.0,
        ),
    ]))
}

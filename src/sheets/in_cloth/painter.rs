//! Paints a view in its cloth, and draws its lines over it.

use super::lines;
use super::palette::{ButtonLook, Palette};
use super::phase::Phases;
use crate::cloth::{Canvas, Corner, Covered, Light};
use crate::draft::Draft;
use crate::made_up::{self, CLOTH, Facing, Filled, Patch, Shade, Shown, Stroke, closed};
use crate::sheets::drawing::{Drawing, Ink, Item, Layer, Painted};
use kurbo::{Affine, BezPath, Cap, Circle, Point, Rect, Shape, StrokeOpts};

/// Pixels to a mm of the sheet: 150 to the inch.
const DOTS: f64 = 150.0 / 25.4;
/// The most pixels across a part of a view that is shown small: two for each that a page gives it.
const MOST_DOTS: f64 = 320.0;

/// The light on a surface that turns wholly away from the viewer: cloth is matt, and is never seen black.
const LEAST_LIGHT: f64 = 0.38;

/// How quickly the sheen of silk fades where it turns from the light (judged by eye).
const GLOSSY: i32 = 4;

/// How much light falls on the wrong side of the cloth.
const WRONG_SIDE: f64 = 0.92;

/// Draws a garment in its cloth, x from the middle of the figure and y down from the nape. `first` is the place of its
/// first piece in the pattern.
pub(super) fn view(
    draft: &Draft,
    first: usize,
    (facing, scale, window): (Facing, f64, Option<Rect>),
    palette: &Palette,
    phases: &Phases,
) -> Option<Drawing> {
    let shown = made_up::view(draft, facing)?;
    let bounds = match window {
        Some(window) => Affine::scale(1.0 / scale).transform_rect_bbox(window),
        None => shown.iter().map(bounds).reduce(|a, b| a.union(b))?,
    };
    let dots = match window {
        Some(window) => (MOST_DOTS / window.width().max(1.0)).min(DOTS),
        None => DOTS,
    };
    let pixels = dots * scale;
    // A whole number of pixels, so that the picture is not stretched on the sheet.
    let size = |mm: f64| (mm * pixels).ceil().max(1.0);
    let (width, height) = (size(bounds.width()), size(bounds.height()));
    let mut painter = Painter {
        canvas: Canvas::new(width as usize, height as usize)?,
        to_canvas: Affine::scale(pixels) * Affine::translate(-bounds.origin().to_vec2()),
        draft,
        first,
        palette,
        phases,
    };
    for seen in &shown {
        painter.paint(seen);
    }
    let corner = Affine::scale(scale) * bounds.origin();
    let place = Rect::from_origin_size(corner, (width / dots, height / dots));
    let mut sheet = Drawing::new("", 0.0, 0.0);
    sheet.items.push(Item {
        layer: Layer::Page,
        part: 0,
        ink: Ink::Painted(Painted::new(painter.canvas.picture(), place)?),
    });
    let window = window.map(|_| bounds);
    for (path, pen) in lines::seen(&shown, window, palette.ink()) {
        sheet.line(Layer::Page, Affine::scale(scale) * path, pen);
    }
    Some(sheet)
}

/// Returns the box round what is seen.
fn bounds(seen: &Shown) -> Rect {
    let round = |points: &[Point]| closed(points).bounding_box();
    match seen {
        Shown::Region { outline, .. } => round(outline),
        Shown::Line(points, _) => round(points),
        Shown::Button { at, across, .. } => Rect::from_center_size(*at, (*across, *across)),
    }
}

struct Painter<'a> {
    canvas: Canvas,
    to_canvas: Affine,
    draft: &'a Draft,
    first: usize,
    palette: &'a Palette,
    phases: &'a Phases<'a>,
}

impl Painter<'_> {
    fn paint(&mut self, seen: &Shown) {
        match seen {
            Shown::Region {
                outline,
                shade,
                filled,
            } => self.region(outline, *shade, filled),
            Shown::Line(points, Stroke::Stitch) => {
                let light = self.palette.thread();
                self.thread(points, THREAD, &STITCHES, light);
            }
            Shown::Line(points, Stroke::Hole) => {
                let light = self.palette.twist();
                self.thread(points, TWIST, &[], light);
            }
            Shown::Line(..) => {}
            Shown::Button {
                at, across, seen, ..
            } => self.button(*at, *across, *seen),
        }
    }

    fn region(&mut self, outline: &[Point], shade: Shade, filled: &Filled) {
        let palette = self.palette;
        let (material, patches) = match filled {
            Filled::Plain(material) => (material.as_str(), &[][..]),
            Filled::Nothing => (CLOTH, &[][..]),
            Filled::Patches(patches) => {
                let first = patches.first();
                let material = first.map(|patch| self.draft[patch.piece].material.id.as_str());
                (material.unwrap_or(CLOTH), patches.as_slice())
            }
        };
        let dimmed = dimmed(shade);
        let ground = palette.ground(material).map(|part| part * dimmed as f32);
        let outline = self.to_canvas * closed(outline);
        let Some(mut covered) = Covered::new(&self.canvas, &outline, ground) else {
            return;
        };
        for patch in patches {
            self.patch(patch, dimmed, &mut covered);
        }
        self.canvas.lay_on(&covered);
    }

    fn patch(&self, patch: &Patch, dimmed: f64, covered: &mut Covered) {
        let material = &self.draft[patch.piece].material.id;
        let texture = match patch.wrong_side {
            true => self.palette.wrong_side_of(material),
            false => self.palette.of(material),
        };
        let on_cloth = self.phases.of(self.first + patch.piece.0, patch.side);
        let sheen = self.palette.sheen(&self.draft[patch.piece].material);
        let dimmed = match patch.wrong_side {
            true => dimmed * WRONG_SIDE,
            false => dimmed,
        };
        let corner = |corner: &made_up::Corner| Corner {
            at: self.to_canvas * corner.at,
            on: on_cloth * corner.on,
            light: dimmed
                * (LEAST_LIGHT + (1.0 - LEAST_LIGHT) * corner.light)
                * (1.0 + sheen * corner.light.powi(GLOSSY)),
        };
        let corners: Vec<Corner> = patch.corners.iter().map(corner).collect();
        let on_border = patch.on_border();
        for triangle in &patch.triangles {
            let [a, b, c] = triangle.map(|place| place as usize);
            let of = |place: usize| corners.get(place).copied();
            let (Some(one), Some(two), Some(three)) = (of(a), of(b), of(c)) else {
                continue;
            };
            match on_border[a] || on_border[b] || on_border[c] {
                true => covered.paint([one, two, three], texture),
                false => covered.paint_amid([one, two, three], texture),
            }
        }
    }

    /// Paints a thread along a line, `width` mm thick, in dashes if there are any.
    fn thread(&mut self, points: &[Point], width: f64, dashes: &[f64], light: Light) {
        let mut path = closed(points);
        path.pop();
        if !dashes.is_empty() {
            path = kurbo::dash(path.iter(), 0.0, dashes).collect();
        }
        let style = kurbo::Stroke::new(width).with_caps(Cap::Round);
        let outline = kurbo::stroke(path, &style, &StrokeOpts::default(), 0.05);
        self.canvas.fill(&(self.to_canvas * outline), light);
    }

    /// Paints cloth over a part of a button, its pattern straight and in the middle of the mould, as it is cut.
    fn covered(&mut self, outline: &BezPath, middle: Point, light: f32) {
        let palette = self.palette;
        let ground = palette.ground(CLOTH);
        let Some(mut covered) = Covered::new(&self.canvas, outline, ground) else {
            return;
        };
        let on_cloth = Affine::translate(-middle.to_vec2()) * self.to_canvas.inverse();
        let round = outline.bounding_box();
        let corner = |x: f64, y: f64| Corner {
            at: Point::new(x, y),
            on: on_cloth * Point::new(x, y),
            light: f64::from(light),
        };
        let [a, b] = [corner(round.x0, round.y0), corner(round.x1, round.y0)];
        let [c, d] = [corner(round.x1, round.y1), corner(round.x0, round.y1)];
        covered.paint([a, b, c], palette.of(CLOTH));
        covered.paint([a, c, d], palette.of(CLOTH));
        self.canvas.lay_on(&covered);
    }

    fn button(&mut self, at: Point, across: f64, seen: f64) {
        let look = self.palette.button();
        let to_canvas = self.to_canvas;
        let mut disc = |offset: (f64, f64), size: f64, light: Light| {
            let disc = Circle::new(Point::new(offset.0, offset.1), size / 2.0).to_path(0.02);
            let round: BezPath = Affine::translate(at.to_vec2())
                * Affine::scale_non_uniform(seen * across, across)
                * disc;
            let round = to_canvas * round;
            match look.of_cloth {
                true => self.covered(&round, at, light[1] / look.face[1].max(1e-6)),
                false => self.canvas.fill(&round, light),
            }
        };
        for (offset, size, light) in faces(&look) {
            disc(offset, size, light);
        }
        if let Some(light) = look.holes
            && seen > 0.5
        {
            for (x, y) in [(-0.1, -0.1), (0.1, -0.1), (-0.1, 0.1), (0.1, 0.1)] {
                disc((x, y), 0.11, light);
            }
        }
    }
}

/// Thickness of sewing thread and of buttonhole twist as they lie, mm, and the stitches of the former with the spaces
/// between them.
const THREAD: f64 = 0.5;
const TWIST: f64 = 1.3;
const STITCHES: [f64; 2] = [2.4, 2.6];

/// Returns the discs of which a button is painted, from the rim in: each with its place and size as shares of the
/// button's, the light falling from the upper left.
fn faces(look: &ButtonLook) -> [((f64, f64), f64, Light); 4] {
    let lit = |times: f32| look.face.map(|part| part * times);
    let shining = |share: f32| {
        look.face
            .map(|part| part + (1.0 - part) * share * look.sheen)
    };
    [
        ((0.0, 0.0), 1.0, lit(0.7)),
        ((-0.02, -0.02), 0.94, shining(0.35)),
        ((0.0, 0.0), 0.72, lit(0.8)),
        ((-0.02, -0.02), 0.66, shining(0.15)),
    ]
}

/// Returns the part of the light that falls into a region.
fn dimmed(shade: Shade) -> f64 {
    match shade {
        Shade::Face => 1.0,
        Shade::Neck => 0.8,
        Shade::Inside => 0.68,
        Shade::Lap => 0.72,
    }
}

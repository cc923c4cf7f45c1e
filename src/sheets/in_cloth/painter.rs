//! Paints a view in its cloth, and draws its lines over it.

use super::lines::visible;
use super::palette::{ButtonLook, Palette};
use super::phase::Phases;
use crate::cloth::{Canvas, Corner, Covered, Light};
use crate::draft::Draft;
use crate::made_up::{self, CLOTH, Facing, Filled, Patch, Shade, Shown, Stroke, closed};
use crate::sheets::drawing::{Drawing, Ink, Item, Layer, Painted, Pen};
use crate::sheets::views::hand::pen;
use kurbo::{Affine, BezPath, Cap, Circle, Point, Rect, Shape, StrokeOpts, Vec2};

/// Pixels to a mm of the sheet: 150 to the inch.
const PIXELS: f64 = 150.0 / 25.4;

/// The light on a surface that turns wholly away from the viewer: cloth is matt, and is never seen black.
const LEAST_LIGHT: f64 = 0.38;

/// How much light falls on the wrong side of the cloth.
const WRONG_SIDE: f64 = 0.92;

/// Draws a garment in its cloth, x from the middle of the figure and y down from the nape. `first` is the place of its
/// first piece in the pattern.
pub(super) fn view(
    draft: &Draft,
    first: usize,
    (facing, scale): (Facing, f64),
    palette: &Palette,
    phases: &Phases,
) -> Option<Drawing> {
    let shown = made_up::view(draft, facing)?;
    let bounds = shown.iter().map(bounds).reduce(|a, b| a.union(b))?;
    let pixels = PIXELS * scale;
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
    let place = Rect::from_origin_size(corner, (width / PIXELS, height / PIXELS));
    let mut sheet = Drawing::new("", 0.0, 0.0);
    sheet.items.push(Item {
        layer: Layer::Page,
        part: 0,
        ink: Ink::Painted(Painted::new(painter.canvas.picture(), place)?),
    });
    lines(&shown, &mut sheet, Affine::scale(scale), palette.ink());
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

/// Draws the lines of a view where no later region covers them.
fn lines(shown: &[Shown], sheet: &mut Drawing, place: Affine, ink: f64) {
    let covers: Vec<Option<&[Point]>> = shown
        .iter()
        .map(|seen| match seen {
            Shown::Region { outline, .. } => Some(outline.as_slice()),
            _ => None,
        })
        .collect();
    for (i, seen) in shown.iter().enumerate() {
        let later: Vec<&[Point]> = covers[i + 1..].iter().flatten().copied().collect();
        match seen {
            Shown::Line(points, stroke @ (Stroke::Edge | Stroke::Seam | Stroke::Hidden)) => {
                for path in visible(points, &later) {
                    let pen = pen(*stroke);
                    sheet.line(Layer::Page, place * path, pen.grey(ink));
                }
            }
            Shown::Line(points, Stroke::Outline) => {
                for path in visible(points, &later) {
                    sheet.line(Layer::Page, place * path, pen(Stroke::Outline));
                }
            }
            Shown::Line(_, Stroke::Stitch | Stroke::Hole) | Shown::Region { .. } => {}
            Shown::Button {
                at, across, seen, ..
            } => {
                let ring: Vec<Point> = (0..=32)
                    .map(|step| Vec2::from_angle(f64::from(step) * std::f64::consts::TAU / 32.0))
                    .map(|way| *at + Vec2::new(way.x * seen, way.y) * (across / 2.0))
                    .collect();
                for path in visible(&ring, &later) {
                    sheet.line(Layer::Page, place * path, Pen::full(0.1).grey(0.1));
                }
            }
        }
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
            Filled::Plain(material) => (*material, &[][..]),
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
        let texture = self.palette.of(&self.draft[patch.piece].material.id);
        let on_cloth = self.phases.of(self.first + patch.piece.0, patch.side);
        let dimmed = match patch.wrong_side {
            true => dimmed * WRONG_SIDE,
            false => dimmed,
        };
        let corner = |corner: &made_up::Corner| Corner {
            at: self.to_canvas * corner.at,
            on: on_cloth * corner.on,
            light: dimmed * (LEAST_LIGHT + (1.0 - LEAST_LIGHT) * corner.light),
        };
        let corners: Vec<Corner> = patch.corners.iter().map(corner).collect();
        for triangle in &patch.triangles {
            let of = |i: usize| corners.get(triangle[i] as usize).copied();
            if let (Some(a), Some(b), Some(c)) = (of(0), of(1), of(2)) {
                covered.paint([a, b, c], texture);
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

    fn button(&mut self, at: Point, across: f64, seen: f64) {
        let look = self.palette.button();
        let to_canvas = self.to_canvas;
        let mut disc = |offset: (f64, f64), size: f64, light: Light| {
            let disc = Circle::new(Point::new(offset.0, offset.1), size / 2.0).to_path(0.02);
            let round: BezPath = Affine::translate(at.to_vec2())
                * Affine::scale_non_uniform(seen * across, across)
                * disc;
            self.canvas.fill(&(to_canvas * round), light);
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

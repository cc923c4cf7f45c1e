//! Drafts that are looked at beside one another: slim, regular and stout.

use crate::samples::forks::Closed;
use chalkstripe::diagnostic::Source;
use chalkstripe::draft::Draft;
use chalkstripe::geometry::{length, point_at};
use chalkstripe::order;
use chalkstripe::script::{self, Library};
use kurbo::{Affine, BezPath, Rect, Shape};
use std::fmt::Write;
use std::path::Path;

/// Height, chest, waist, seat, neck in cm of three invented men: slim, regular, stout.
const MEN: [[f64; 5]; 3] = [
    [182.0, 92.0, 76.0, 94.0, 37.0],
    [176.0, 100.0, 88.0, 103.0, 40.0],
    [174.0, 116.0, 118.0, 116.0, 44.0],
];

/// The draft of one garment, given as its section of an order.
fn drafted([height, chest, waist, seat, neck]: [f64; 5], garment: &str) -> Draft {
    let text = format!(
        "[client]\nname = \"A Client\"\nreference = \"R-1\"\ndate = 2026-03-02\n\
         [measures]\nheight = {height}\nchest = {chest}\nwaist = {waist}\nseat = {seat}\nneck = {neck}\n\
         [cloth]\nname = \"grey worsted\"\nwidth = 150\n{garment}\n"
    );
    let source = Source::new("order.toml", text);
    let order = order::parse("order", &source, Path::new(""))
        .expect("an order")
        .order;
    script::draft(&Library::embedded(), &order, &order.garments[0]).expect("a draft")
}

/// Trousers with the inside leg closed, the line of front, fork and seat thick, to below the fork.
pub(super) fn forks() -> String {
    let mut body = String::new();
    for (i, man) in MEN.into_iter().enumerate() {
        let closed = Closed::of(&drafted(man, "[trousers]"));
        let (front, seat) = closed.fork();
        let fork = point_at(&front, length(&front));
        let place = Affine::translate((340.0 + 920.0 * i as f64 - fork.x, 420.0 - fork.y));
        for (_, path) in closed.top.iter().chain(&closed.under) {
            draw(&mut body, place * path, 1.5);
        }
        draw(&mut body, place * front, 4.0);
        draw(&mut body, place * seat, 4.0);
    }
    sheet(2700.0, 640.0, &body)
}

/// Back and forepart of a waistcoat on each of them, a row for each lapel.
pub(super) fn waistcoats() -> String {
    const ROWS: [&str; 3] = [
        "[waistcoat]",
        "[waistcoat]\nfastening = \"five\"\nlapel = \"notch\"",
        "[waistcoat]\nfastening = \"double_six\"\nlapel = \"shawl\"",
    ];
    let mut body = String::new();
    for (row, style) in ROWS.into_iter().enumerate() {
        for (i, man) in MEN.into_iter().enumerate() {
            let draft = drafted(man, style);
            for (j, name) in ["back", "forepart"].into_iter().enumerate() {
                let piece = draft
                    .pieces
                    .iter()
                    .find(|p| p.name == name)
                    .expect("a piece");
                let edges: Vec<&BezPath> = piece.edges.iter().map(|e| &e.path).collect();
                let bounds = edges.iter().map(|path| path.bounding_box());
                let Some(bounds) = bounds.reduce(|a: Rect, b| a.union(b)) else {
                    continue;
                };
                let across = 30.0 + 820.0 * i as f64 + 380.0 * j as f64;
                let place =
                    Affine::translate((across - bounds.x0, 20.0 + 660.0 * row as f64 - bounds.y0));
                for path in edges {
                    draw(&mut body, place * path.clone(), 2.5);
                }
                for mark in &piece.marks {
                    draw(&mut body, place * mark.path.clone(), 1.0);
                }
            }
        }
    }
    sheet(2480.0, 1930.0, &body)
}

fn draw(body: &mut String, path: BezPath, wide: f64) {
    let path = path.to_svg();
    writeln!(body, "<path d=\"{path}\" stroke-width=\"{wide}\"/>").expect("it is written");
}

fn sheet(wide: f64, high: f64, body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {wide} {high}\" width=\"{wide}mm\" height=\"{high}mm\" fill=\"none\" stroke=\"#222\">\n{body}</svg>\n"
    )
}

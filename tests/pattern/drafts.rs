//! Drafts made by hand: two panels of a skirt-like shape that are sewn at a curved side, and a crown
//! with the hollow it is sewn into.

use chalkstripe::draft::{
    Bound, Dart, Draft, DraftEdge, DraftNotch, DraftPiece, EdgeId, Girth, Join, Joined, PieceId,
    Seam, SeamLine, Stretch,
};
use chalkstripe::geometry::{Knot, length, reversed, spline};
use kurbo::{Affine, BezPath, Point, Vec2};

pub(super) fn line(a: (f64, f64), b: (f64, f64)) -> BezPath {
    spline(&[Knot::new(a.into()), Knot::new(b.into())])
}

pub(super) fn edge(name: &str, path: BezPath, allowance: &str) -> DraftEdge {
    DraftEdge {
        name: name.into(),
        path,
        allowance: allowance.into(),
        turns: 0,
        part_of: None,
        turns_in: false,
        source: "skirt/skirt.rhai:7".into(),
    }
}

pub(super) fn piece(name: &str, edges: Vec<DraftEdge>) -> DraftPiece {
    DraftPiece {
        edges,
        grain: (Point::new(100.0, 100.0), Point::new(100.0, 500.0)),
        ..DraftPiece::new(
            name,
            crate::program::material("cloth"),
            "skirt/skirt.rhai:5".into(),
        )
    }
}

/// Puts a notch on an edge of a piece.
pub(super) fn notch(piece: &mut DraftPiece, name: &str, edge: &str, at: f64) {
    let edge = piece.edge_named(edge).expect("an edge of the piece");
    let name = name.into();
    piece.notches.push(DraftNotch { name, edge, at });
}

/// Finds an edge of a piece among pieces, by the names of both.
pub(super) fn at(pieces: &[DraftPiece], piece: &str, edge: &str) -> (PieceId, EdgeId) {
    let place = pieces.iter().position(|own| own.name == piece);
    let place = place.expect("a piece of the draft");
    let edge = pieces[place].edge_named(edge).expect("an edge of it");
    (PieceId(place), edge)
}

pub(super) fn whole((piece, edge): (PieceId, EdgeId)) -> Stretch {
    Stretch {
        piece,
        edge,
        from: None,
        to: None,
    }
}

pub(super) fn part(of: (PieceId, EdgeId), from: f64, to: f64) -> Stretch {
    Stretch {
        from: Some(from),
        to: Some(to),
        ..whole(of)
    }
}

/// An edge of a piece that runs through the end of a seam along another edge.
fn joined(pieces: &[DraftPiece], piece: &str, edge: &str, seam: &str) -> Joined {
    let ((piece, edge), (_, seam)) = (at(pieces, piece, edge), at(pieces, piece, seam));
    let seam = SeamLine::Edge(seam);
    Joined { piece, edge, seam }
}

/// The side seam of the panels, from the waist out to the hip and down: square to waist and hem.
fn side() -> BezPath {
    let (waist, hip, hem) = ((180.0, 0.0), (215.0, 210.0), (235.0, 600.0));
    let mut path = spline(&[
        Knot::toward(waist.into(), Vec2::new(0.1, 1.0)),
        Knot::toward(hip.into(), Vec2::new(0.1, 1.0)),
    ]);
    let rest = spline(&[
        Knot::toward(hip.into(), Vec2::new(0.1, 1.0)),
        Knot::toward(hem.into(), Vec2::new(0.0, 1.0)),
    ]);
    path.extend(rest.segments().map(|s| s.as_path_el()));
    path
}

/// Two panels that are each other's mirror image but for their hems' allowance, with everything that
/// can be proven about them.
pub(super) fn panels() -> Draft {
    let mut front = piece(
        "front",
        vec![
            edge("waist", line((0.0, 0.0), (180.0, 0.0)), "seam"),
            edge("side", side(), "side_seam_back"),
            edge("hem", line((235.0, 600.0), (0.0, 600.0)), "jacket_hem"),
            edge("fold", line((0.0, 600.0), (0.0, 0.0)), "none"),
        ],
    );
    front.edges[1].turns = 1;
    let over = Affine::FLIP_X.then_translate(Vec2::new(700.0, 0.0));
    let mut back = front.clone();
    back.name = "back".into();
    for edge in &mut back.edges {
        edge.path = over * edge.path.clone();
    }
    back.edges[1].allowance = "under_arm".into();
    let hip = length(&side()) * 0.35;
    for piece in [&mut front, &mut back] {
        notch(piece, "hip", "side", hip);
    }
    let pieces = vec![front, back];
    let source = "skirt/skirt.rhai:12".to_owned();
    Draft {
        garment: "skirt".into(),
        points: Vec::new(),
        curves: Vec::new(),
        steps: Vec::new(),
        uses: Vec::new(),
        pages: Vec::new(),
        seams: vec![Seam {
            name: "side seam".into(),
            side: None,
            a: vec![whole(at(&pieces, "front", "side"))],
            b: vec![whole(at(&pieces, "back", "side"))],
            least: -0.5,
            most: 0.5,
            source: source.clone(),
        }],
        joins: ["waist", "hem"]
            .map(|edge| Join {
                name: format!("{edge} through the side seam"),
                side: None,
                a: joined(&pieces, "front", edge, "side"),
                b: joined(&pieces, "back", edge, "side"),
                most_degrees: if edge == "waist" { 12.0 } else { 2.0 },
                source: source.clone(),
            })
            .to_vec(),
        girths: vec![Girth {
            name: "hem".into(),
            finished: 940.0,
            body: 0.0,
            meant: 938.0,
            within: 5.0,
            source: "skirt/skirt.rhai:20".into(),
        }],
        bounds: vec![Bound {
            name: "length".into(),
            found: 600.0,
            least: 400.0,
            most: 900.0,
            source: "skirt/skirt.rhai:22".into(),
        }],
        matches: Vec::new(),
        darts: vec![Dart {
            name: "waist dart".into(),
            piece: PieceId(0),
            legs: (90.0, 90.4),
            source: "skirt/skirt.rhai:21".into(),
        }],
        pieces,
        needs: Vec::new(),
        warnings: Vec::new(),
        heeds: Default::default(),
        divided: Vec::new(),
    }
}

/// A hollow between two pitches and the crown sewn into it with 30 mm of ease, all of it above the
/// pitches: the crown's edge goes the other way round its piece.
pub(super) fn crown() -> Draft {
    let hollow = spline(&[
        Knot::toward(Point::new(0.0, 0.0), Vec2::new(0.3, 1.0)),
        Knot::toward(Point::new(100.0, 120.0), Vec2::new(1.0, 0.0)),
        Knot::toward(Point::new(200.0, 0.0), Vec2::new(0.3, -1.0)),
    ]);
    let (below, all) = (60.0, length(&hollow));
    let body = piece(
        "body",
        vec![
            edge("scye", hollow, "scye"),
            edge("right", line((200.0, 0.0), (200.0, 300.0)), "seam"),
            edge("bottom", line((200.0, 300.0), (0.0, 300.0)), "jacket_hem"),
            edge("left", line((0.0, 300.0), (0.0, 0.0)), "seam"),
        ],
    );
    let height = height_of_crown(all + 30.0);
    let head = head(height);
    let long = length(&head);
    let sleeve = piece(
        "sleeve",
        vec![
            edge("crown", reversed(&head), "crown"),
            edge("left", line((0.0, 0.0), (0.0, 300.0)), "forearm"),
            edge("hem", line((0.0, 300.0), (240.0, 300.0)), "sleeve_hem"),
            edge("right", line((240.0, 300.0), (240.0, 0.0)), "hindarm_top"),
        ],
    );
    let mut pieces = vec![body, sleeve];
    for piece in &mut pieces {
        piece.edges[0].turns = 2;
    }
    notch(&mut pieces[0], "front pitch", "scye", below);
    notch(&mut pieces[0], "back pitch", "scye", all - below);
    notch(&mut pieces[1], "back pitch", "crown", below);
    notch(&mut pieces[1], "front pitch", "crown", long - below);
    Draft {
        garment: "top".into(),
        seams: vec![Seam {
            name: "crown".into(),
            side: None,
            a: vec![part(at(&pieces, "sleeve", "crown"), long, 0.0)],
            b: vec![whole(at(&pieces, "body", "scye"))],
            least: 29.0,
            most: 31.0,
            source: "top/sleeve.rhai:40".into(),
        }],
        pieces,
        joins: Vec::new(),
        girths: Vec::new(),
        darts: Vec::new(),
        matches: Vec::new(),
        ..panels()
    }
}

fn head(height: f64) -> BezPath {
    spline(&[
        Knot::toward(Point::new(0.0, 0.0), Vec2::new(1.0, -0.3)),
        Knot::toward(Point::new(120.0, -height), Vec2::new(1.0, 0.0)),
        Knot::toward(Point::new(240.0, 0.0), Vec2::new(1.0, 0.3)),
    ])
}

/// The height at which the head is so long, by halving.
fn height_of_crown(long: f64) -> f64 {
    let (mut low, mut high) = (20.0, 400.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if length(&head(middle)) < long {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

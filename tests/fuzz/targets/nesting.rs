//! Reads bytes as pieces and a cloth to lay them on. They are laid without overlap on the cloth, or refused in words.
#![no_main]

use chalkstripe::draft::Count;
use chalkstripe::lay::{ClothRules, Effort, Item, Lay, LayFault, MatchedPoints, Repeat, Search, plan};
use chalkstripe::order::{Face, Layout};
use kurbo::{Point, Vec2};
use libfuzzer_sys::fuzz_target;

/// Takes numbers from the bytes; zeros once they are used up.
struct Bytes<'a>(&'a [u8]);

impl Bytes<'_> {
    fn next(&mut self) -> u8 {
        let Some((first, rest)) = self.0.split_first() else {
            return 0;
        };
        self.0 = rest;
        *first
    }

    fn below(&mut self, most: u8) -> u8 {
        self.next() % most
    }

    /// Takes a length in steps of a hundredth of a mm, up to 655 mm.
    fn mm(&mut self) -> f64 {
        f64::from(u16::from_le_bytes([self.next(), self.next()])) / 100.0
    }

    /// Takes a coordinate as `mm` does. Where the pieces are wild, it is now and then one that no piece has.
    fn place(&mut self, wild: bool) -> f64 {
        const NEVER: [f64; 9] = [
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            1e300,
            -1e300,
            1e9,
            -1e5,
            1e-300,
            -0.0,
        ];
        match wild.then(|| self.next()) {
            Some(byte) if byte >= 240 => NEVER[usize::from(byte) % NEVER.len()],
            _ => self.mm(),
        }
    }

    /// Takes a contour. Where the pieces are wild, some of its corners repeat the one before.
    fn contour(&mut self, least: u8, wild: bool) -> Vec<Point> {
        let corners = least + self.below(10);
        let mut contour: Vec<Point> = Vec::new();
        for _ in 0..corners {
            let corner = match contour.last() {
                Some(last) if wild && self.below(8) == 7 => *last,
                _ => Point::new(self.place(wild), self.place(wild)),
            };
            contour.push(corner);
        }
        contour
    }
}

fn item(piece: usize, bytes: &mut Bytes, patterned: bool, wild: bool) -> Item {
    let outline = bytes.contour(if wild { 0 } else { 3 }, wild);
    let holes = match wild.then(|| bytes.below(4)) {
        Some(holes) => (0..holes).map(|_| bytes.contour(0, wild)).collect(),
        None => Vec::new(),
    };
    let count = match bytes.below(4) {
        0 => Count::Pairs(1),
        n => Count::Alike(u32::from(n)),
    };
    let turns = match bytes.below(5) {
        0 => vec![0.0],
        1 => vec![0.0, 180.0],
        2 => vec![0.0, 90.0, 180.0, 270.0],
        3 => vec![45.0],
        _ if wild => vec![f64::from(bytes.next()), bytes.place(wild)],
        _ => vec![f64::from(bytes.next())],
    };
    let grain = match bytes.below(3) {
        0 => Vec2::new(bytes.place(wild) - 300.0, bytes.place(wild) + 0.01),
        _ => Vec2::new(0.0, 1.0),
    };
    let matches = if patterned && !outline.is_empty() && bytes.below(2) == 1 {
        let way = bytes.next();
        vec![MatchedPoints {
            name: "a match".into(),
            at: outline[0],
            partner: usize::from(bytes.below(4)),
            partner_at: Point::new(bytes.place(wild), bytes.place(wild)),
            across: way & 1 == 1,
            along: way & 2 == 2,
            opposed: way & 4 == 4,
        }]
    } else {
        Vec::new()
    };
    Item {
        name: format!("piece {piece}"),
        kind: format!("piece {piece}"),
        holes,
        count,
        grain,
        turns,
        matches,
        ..Item::new(piece, outline)
    }
}

/// Asserts that every copy is laid and every corner lies on the cloth. The program's own check has proven the rest.
fn assert_sound(items: &[Item], cloth: &ClothRules, lay: &Lay) {
    let wanted: u32 = items.iter().map(|item| item.count.total()).sum();
    let cuts = lay.placements.iter();
    let laid: u32 = cuts.map(|p| if p.on_fold { 1 } else { p.plies }).sum();
    assert_eq!(wanted, laid);
    let (left, right) = cloth.usable();
    for placement in &lay.placements {
        for corner in &items[placement.piece].outline {
            let mut corner = placement.transform * *corner;
            if placement.on_fold && corner.x > right {
                corner.x = 2.0 * right - corner.x;
            }
            assert!(corner.x > left - 0.1 && corner.x < right + 0.1, "{corner}");
            assert!(corner.y > -0.1 && corner.y < lay.length + 0.1, "{corner}");
        }
    }
}

fuzz_target!(|bytes: &[u8]| {
    let mut bytes = Bytes(bytes);
    let flags = bytes.next();
    let patterned = flags & 1 == 1;
    let wild = flags & 16 == 16;
    let repeat = if patterned {
        Repeat::new(bytes.mm(), bytes.mm())
    } else {
        Repeat::default()
    };
    let cloth = ClothRules {
        width: 650.0 + bytes.mm(),
        selvedge: if flags & 2 == 2 { 10.0 } else { 0.0 },
        layout: if flags & 4 == 4 {
            Layout::Doubled
        } else {
            Layout::Open
        },
        face: if flags & 8 == 8 { Face::Down } else { Face::Up },
        gap: f64::from(flags >> 5),
        longest: None,
        table: None,
        repeat,
        remnants: if flags & 8 == 8 {
            vec![bytes.mm()]
        } else {
            Vec::new()
        },
    };
    let count = 1 + usize::from(bytes.below(4));
    let items: Vec<Item> = (0..count)
        .map(|piece| item(piece, &mut bytes, patterned, wild))
        .collect();
    let search = Search {
        effort: Effort::Rounds(1),
        threads: Some(1),
        ..Search::default()
    };
    match plan(&items, &cloth, &search) {
        Ok(lay) => assert_sound(&items, &cloth, &lay),
        Err(fault @ LayFault::Unsound { .. }) => panic!("{fault}"),
        Err(fault) => assert!(!fault.to_string().is_empty()),
    }
});

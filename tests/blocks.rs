//! Every choice of every block alone, and all choices in pairs, drafted and proven on slight, regular
//! and stout figures. The count of drafts is printed (`cargo test --release --test outside blocks:: -- --nocapture`).

use chalkstripe::order::Order;
use chalkstripe::pattern;
use chalkstripe::script::{self, Library};
use chalkstripe::trial::{self, Body, Pick, pairs, written};
use chalkstripe::workshop::Workshop;
use std::collections::BTreeSet;

/// Height, chest, waist, seat, neck in cm: slight to stout, short to tall (invented figures, spread
/// over the range of chests 88 to 132 and heights 160 to 200).
const FIGURES: [[f64; 5]; 12] = [
    [160.0, 88.0, 72.0, 90.0, 36.0],
    [178.0, 88.0, 76.0, 92.0, 36.5],
    [200.0, 92.0, 78.0, 96.0, 38.0],
    [170.0, 96.0, 84.0, 99.0, 39.0],
    [176.0, 100.0, 88.0, 103.0, 40.0],
    [192.0, 104.0, 90.0, 106.0, 40.5],
    [166.0, 108.0, 104.0, 110.0, 42.5],
    [184.0, 112.0, 98.0, 112.0, 43.0],
    [176.0, 116.0, 118.0, 118.0, 44.5],
    [200.0, 120.0, 110.0, 120.0, 45.0],
    [172.0, 126.0, 130.0, 126.0, 47.0],
    [182.0, 132.0, 136.0, 134.0, 48.0],
];

/// The figure on which every single choice is proven.
const REGULAR: [f64; 5] = FIGURES[4];

/// The same for what is worn over waist and seat: waists of 66 to 130 and seats of 84 to 136, from a
/// stomach that hangs over to an athlete's drop; chest and neck as those predict them.
const WAISTS: [[f64; 5]; 12] = [
    [160.0, 86.5, 66.0, 84.0, 36.0],
    [182.0, 88.5, 66.0, 90.0, 36.5],
    [178.0, 97.8, 76.0, 100.0, 38.5],
    [168.0, 100.4, 84.0, 94.0, 39.0],
    [176.0, 105.7, 88.0, 103.0, 40.5],
    [190.0, 109.9, 90.0, 112.0, 41.5],
    [164.0, 109.0, 98.0, 96.0, 41.0],
    [172.0, 115.1, 104.0, 104.0, 42.5],
    [198.0, 124.0, 110.0, 120.0, 44.5],
    [170.0, 125.2, 118.0, 110.0, 45.0],
    [166.0, 136.8, 130.0, 124.0, 47.5],
    [188.0, 140.8, 130.0, 136.0, 48.5],
];

/// The values that are tried of each choice of a garment: every word, the least and the most.
pub(crate) fn values(garment: &str) -> Vec<Vec<Pick>> {
    let choices = Workshop::embedded().catalogue.choices(garment);
    trial::values(choices.expect("the built-in choices"))
}

/// An order for a figure with these picks; those that have no meaning beside the others are left out.
pub(crate) fn order(garment: &str, figure: [f64; 5], picks: &[Pick]) -> Order {
    let [height, chest, waist, seat, neck] = figure;
    let body = Body {
        height,
        chest,
        waist,
        seat,
        neck,
    };
    trial::ordered(Workshop::embedded(), garment, body, picks, "")
        .unwrap_or_else(|faults| panic!("{garment} {figure:?} {picks:?}\n{faults:#?}"))
}

/// Drafts and proves one: whether it was drafted or refused with a reason; what went wrong, in a line.
fn prove(
    library: &Library,
    garment: &str,
    figure: [f64; 5],
    picks: &[Pick],
) -> Result<bool, String> {
    let order = order(garment, figure, picks);
    match script::draft(library, &order, &order.garments[0]) {
        Ok(draft) => pattern::make(&order, &[draft])
            .map(|_| true)
            .map_err(|faults| format!("{figure:?} {picks:?}: {faults:#?}")),
        // A contradiction refused with its reason is what the choice asks for.
        Err(fault) if fault.refused => Ok(false),
        Err(fault) => Err(format!("{figure:?} {picks:?}: {fault}")),
    }
}

/// What a sweep has seen.
#[derive(Default)]
struct Tally {
    proven: usize,
    refused: usize,
    failed: Vec<String>,
    /// Picks that were refused together, none of which could be left out.
    contradictions: BTreeSet<Vec<Pick>>,
}

impl Tally {
    /// Proves one and counts it; whether it was drafted rather than refused.
    fn prove(
        &mut self,
        library: &Library,
        garment: &str,
        figure: [f64; 5],
        picks: &[Pick],
    ) -> bool {
        match prove(library, garment, figure, picks) {
            Ok(true) => self.proven += 1,
            Ok(false) => {
                self.refused += 1;
                return false;
            }
            Err(fault) => self.failed.push(fault),
        }
        true
    }

    /// Proves a set. If it is refused, what contradicts itself in it is found, and the set is proven
    /// without the first and without the last of those picks in its stead: all its other pairs are tried.
    fn prove_set(&mut self, library: &Library, garment: &str, figure: [f64; 5], set: &[Pick]) {
        if self.prove(library, garment, figure, set) {
            return;
        }
        let refuses = |picks: &[Pick]| refuses(library, garment, figure, picks);
        let known = self
            .contradictions
            .iter()
            .find(|known| known.iter().all(|pick| set.contains(pick)) && refuses(known));
        let found = known.cloned().unwrap_or_else(|| {
            let mut kept = set.to_vec();
            for pick in set {
                let without: Vec<Pick> = kept.iter().filter(|p| *p != pick).cloned().collect();
                if refuses(&without) {
                    kept = without;
                }
            }
            kept
        });
        let mut ends: Vec<&Pick> = found.first().into_iter().chain(found.last()).collect();
        ends.dedup();
        for end in ends {
            let without: Vec<Pick> = set.iter().filter(|pick| *pick != end).cloned().collect();
            self.prove_set(library, garment, figure, &without);
        }
        self.contradictions.insert(found);
    }
}

/// Whether these picks are refused with a reason.
fn refuses(library: &Library, garment: &str, figure: [f64; 5], picks: &[Pick]) -> bool {
    let order = order(garment, figure, picks);
    script::draft(library, &order, &order.garments[0]).is_err_and(|fault| fault.refused)
}

/// Drafts and proves everything, and holds what is refused to two lists: `refused`, each choice that one of
/// the figures does not bear by itself, after height, chest and waist of that figure; `contradictions`, the
/// fewest choices that do not go together on some figure.
fn sweep(
    library: &Library,
    garment: &str,
    figures: &[[f64; 5]],
    refused: &[&str],
    contradictions: &[&str],
) {
    let values = values(garment);
    let alone = || {
        let mut tally = Tally::default();
        let mut found = Vec::new();
        let singles = values.iter().flatten().map(|pick| vec![pick.clone()]);
        for (i, picks) in std::iter::once(Vec::new()).chain(singles).enumerate() {
            // Every choice on a regular figure, and on the whole range of figures, four at a time.
            let range = figures.iter().skip(i % 3).step_by(3);
            for figure in range.filter(|f| **f != REGULAR).chain([&REGULAR]) {
                if !tally.prove(library, garment, *figure, &picks) {
                    let [height, chest, waist, ..] = figure;
                    found.push(format!("{height}/{chest}/{waist}: {}", written(&picks)));
                }
            }
        }
        (tally, found)
    };
    let paired = || {
        let mut tally = Tally::default();
        for (i, picks) in pairs(&values).iter().enumerate() {
            for figure in figures.iter().skip(i % 4).step_by(4) {
                tally.prove_set(library, garment, *figure, picks);
            }
        }
        tally
    };
    let ((alone, found_alone), paired) = rayon::join(alone, paired);
    println!(
        "{garment}: {} drafts proven ({} with one choice, {} with all in pairs); refused with a reason: {} with one choice, {} in pairs, for {} contradictions",
        alone.proven + paired.proven,
        alone.proven,
        paired.proven,
        alone.refused,
        paired.refused,
        paired.contradictions.len(),
    );
    let failed = [alone.failed, paired.failed].concat();
    assert!(
        failed.is_empty(),
        "{} failed; the first: {}",
        failed.len(),
        failed[..failed.len().min(60)].join("\n")
    );
    // A word that is refused on the regular figure would be a choice that nobody has.
    let [height, chest, waist, ..] = REGULAR;
    let regular = format!("{height}/{chest}/{waist}: ");
    let words = found_alone
        .iter()
        .filter(|found| found.starts_with(&regular) && found.contains('"'));
    assert_eq!(words.collect::<Vec<_>>(), Vec::<&String>::new());
    let found_paired: Vec<String> = paired.contradictions.iter().map(|c| written(c)).collect();
    assert_eq!(
        (found_alone, found_paired),
        (texts(refused), texts(contradictions)),
        "what does not go together is not what it was"
    );
}

fn texts(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| (*line).to_owned()).collect()
}

#[test]
fn jackets_of_every_choice_are_proven() {
    let refused = [
        "178/88/76: vent_length = 27",
        "184/112/98: vent_length = 27",
        "172/126/130: vent_length = 27",
        "176/100/88: vent_length = 27",
    ];
    let contradictions = [
        "fastening = \"four_two\", quarters = \"classic\"",
        "fastening = \"four_two\", quarters = \"closed\"",
        "fastening = \"four_two\", quarters = \"open\"",
        "fastening = \"six_two\", quarters = \"classic\"",
        "fastening = \"six_two\", quarters = \"closed\"",
        "fastening = \"six_two\", quarters = \"open\"",
        "hip_pocket = \"jetted\", ticket_pocket = \"overlapping\"",
        "hip_pocket = \"patch\", ticket_pocket = \"overlapping\"",
        "lapel = \"shawl\", collar = \"two_piece\"",
        "vent_length = 27",
    ];
    sweep(
        &Library::embedded(),
        "jacket",
        &FIGURES,
        &refused,
        &contradictions,
    );
}

#[test]
fn trousers_of_every_choice_are_proven() {
    let figures = [FIGURES, WAISTS].concat();
    let refused = [
        "200/92/78: knee = 36",
        "192/104/90: knee = 36",
        "176/116/118: knee = 36",
        "182/132/136: knee = 36",
        "178/97.8/76: knee = 36",
        "190/109.9/90: knee = 36",
        "198/124/110: knee = 36",
        "188/140.8/130: knee = 36",
        "176/100/88: knee = 36",
        "160/88/72: knee = 72",
        "170/96/84: knee = 72",
        "160/86.5/66: knee = 72",
        "168/100.4/84: knee = 72",
        "164/109/98: knee = 72",
        "184/112/98: hem = 30",
        "172/126/130: hem = 30",
        "176/105.7/88: hem = 30",
        "172/115.1/104: hem = 30",
        "166/136.8/130: hem = 30",
        "176/100/88: hem = 30",
        "200/92/78: hem = 72",
        "192/104/90: hem = 72",
        "176/116/118: hem = 72",
        "178/97.8/76: hem = 72",
        "190/109.9/90: hem = 72",
        "198/124/110: hem = 72",
        "176/100/88: hem = 72",
    ];
    let contradictions = [
        "braid = \"one\", bottoms = \"turn_ups\"",
        "braid = \"one\", side_pockets = \"frogmouth\"",
        "braid = \"one\", side_pockets = \"slanted\"",
        "braid = \"two\", bottoms = \"turn_ups\"",
        "braid = \"two\", side_pockets = \"frogmouth\"",
        "braid = \"two\", side_pockets = \"slanted\"",
        "hem = 30",
        "hem = 72",
        "knee = 36",
        "knee = 72",
        "knee = 72, bottoms = \"turn_ups\"",
    ];
    sweep(
        &Library::embedded(),
        "trousers",
        &figures,
        &refused,
        &contradictions,
    );
}

#[test]
fn waistcoats_of_every_choice_are_proven() {
    let figures = [FIGURES, WAISTS].concat();
    let contradictions = [
        "opening = \"dress\", fastening = \"double_six\"",
        "opening = \"dress\", fastening = \"five\"",
        "opening = \"dress\", fastening = \"six\"",
        "opening = \"dress\", lapel = \"notch\"",
        "opening = \"dress\", strap = \"none\", back = \"backless\"",
    ];
    let library = Library::embedded();
    sweep(&library, "waistcoat", &figures, &[], &contradictions);
}

#[test]
fn overcoats_of_every_choice_are_proven() {
    let refused = [
        "172/126/130: vent_length = 60",
        "176/100/88: vent_length = 60",
    ];
    let contradictions = [
        "back = \"whole\", vent = \"centre\"",
        "hip_pocket = \"jetted\", ticket_pocket = \"overlapping\"",
        "hip_pocket = \"welt\", ticket_pocket = \"overlapping\"",
        "hip_pocket = \"welt\", ticket_pocket = \"plain\"",
        "length = \"three_quarter\", vent_length = 60",
        "vent_length = 60",
    ];
    let library = Library::embedded();
    sweep(&library, "overcoat", &FIGURES, &refused, &contradictions);
}

/// A refusal is no proof.
#[test]
#[should_panic(expected = "176/100/88: fastening")]
fn a_block_that_refuses_everything_is_found() {
    let script = include_str!("../blocks/waistcoat/waistcoat.rhai");
    let library = changed(
        "waistcoat/waistcoat.rhai",
        &format!("refuse(\"no\");\n{script}"),
    );
    sweep(&library, "waistcoat", &FIGURES[..1], &[], &[]);
}

/// The blocks with one script in the place of another.
fn changed(script: &str, text: &str) -> Library {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join(script);
    std::fs::create_dir_all(file.parent().expect("it lies in a folder")).expect("a folder");
    std::fs::write(file, text).expect("the script is written");
    Library::with_folder(folder.path()).expect("blocks")
}

/// Lines that are drawn where they do not belong, each so that all that is sewn to it follows: a slip in a
/// script, and the proof that names it.
#[test]
fn a_line_that_was_drawn_on_a_wrong_level_is_found() {
    for (garment, script, right, wrong, told) in [
        (
            "jacket",
            "jacket/frame.rhai",
            "nape.down(depth + 1,",
            "nape.down(depth + 14,",
            "jacket: depth of scye of 3",
        ),
        (
            "jacket",
            "jacket/frame.rhai",
            "nape.down(depth + 1,",
            "nape.down(depth - 3,",
            "jacket: depth of scye of 2",
        ),
        (
            "jacket",
            "jacket/neck.rhai",
            "m.neck / 5 + 0.2 + make.neck, \"a fifth",
            "m.neck / 3 + 0.2 + make.neck, \"a fifth",
            "jacket: back neck of",
        ),
        (
            "jacket",
            "jacket/neck.rhai",
            ".up(2.2 + make.rise, \"rise",
            ".up(8.2 + make.rise, \"rise",
            "jacket: rise of the back neck of",
        ),
        (
            "jacket",
            "jacket/neck.rhai",
            "let width = most(",
            "let width = 0.5 * most(",
            "jacket: shoulder of",
        ),
        (
            "jacket",
            "jacket/sleeve.rhai",
            "{ return frame.arm; }",
            "{ return frame.arm + 0.6; }",
            "jacket: biceps comes out at",
        ),
        (
            "jacket",
            "jacket/sleeve.rhai",
            "front_hem.aslant(-4, 2)",
            "front_hem.aslant(-4, 3)",
            "jacket: sleeve at the cuff of",
        ),
        (
            "jacket",
            "jacket/sleeve.rhai",
            "top.down(m.sleeve + ",
            "top.down(8 + m.sleeve + ",
            "jacket: length of the sleeve of",
        ),
        (
            "jacket",
            "jacket/cuffs/parts.rhai",
            "0.08 * m.chest + 6.2",
            "0.08 * m.chest + 6.6",
            "jacket: cuff comes out at",
        ),
        (
            "jacket",
            "jacket/front_line.rhai",
            "toward(breaks, 8.2 + ",
            "toward(breaks, 13.2 + ",
            "jacket: front neck down to the gorge of",
        ),
        (
            "trousers",
            "trousers/widths.rhai",
            "front_fork: m.seat / 18",
            "front_fork: m.seat / 30",
            "trousers: front fork of",
        ),
        (
            "waistcoat",
            "waistcoat/fastenings/six.rhai",
            "{ 0.4 }",
            "{ 0.66 }",
            "waistcoat: foot of the V above the waist of",
        ),
        (
            "trousers",
            "trousers/levels.rhai",
            "natural.down(rise,",
            "natural.down(rise + 5,",
            "trousers: rise of",
        ),
        (
            "trousers",
            "trousers/levels.rhai",
            "taken.down(m.inside_leg + figure",
            "fork.down(5 + m.inside_leg + figure",
            "trousers: inside leg of",
        ),
        (
            "trousers",
            "trousers/widths.rhai",
            "/ 4 + leg.side;",
            "/ 4 + leg.side + 0.3;",
            "trousers: seat comes out at",
        ),
        (
            "trousers",
            "trousers/widths.rhai",
            "room::waist()) / 2;",
            "room::waist()) / 2 + 0.3;",
            "trousers: waist comes out at",
        ),
        (
            "waistcoat",
            "waistcoat/body.rhai",
            "house.waistcoat.scye + follows;",
            "house.waistcoat.scye + 9;",
            "waistcoat: depth of scye of",
        ),
        (
            "waistcoat",
            "waistcoat/body.rhai",
            "most(house.waistcoat.side, covers() + 1)",
            "most(house.waistcoat.side, covers() + 14)",
            "waistcoat: side below the waist of",
        ),
    ] {
        let text = std::fs::read_to_string(format!("blocks/{script}")).expect("a script");
        assert!(text.contains(right), "{script} has no {right}");
        let library = changed(script, &text.replace(right, wrong));
        let order = order(garment, REGULAR, &[]);
        let draft = script::draft(&library, &order, &order.garments[0]);
        let draft = draft.unwrap_or_else(|fault| panic!("{script}, {wrong}: {fault}"));
        let faults = pattern::make(&order, &[draft]).expect_err(wrong);
        let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
        assert!(
            faults.iter().any(|fault| fault.contains(told)),
            "{script}, {wrong}: no '{told}' in {faults:#?}"
        );
    }
}

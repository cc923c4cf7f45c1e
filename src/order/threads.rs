//! Checking a cloth that is described thread by thread.

use super::catalogue::Catalogue;
use super::cloth::WIDEST_REPEAT;
use super::colours;
use super::file::Free;
use super::reading::Findings;
use crate::cloth::{Colour, Count, LARGEST, Weave, Woven};
use crate::diagnostic::Diagnostic;
use std::ops::Range;
use toml::Spanned;

/// The most colours of one cloth, and letters of the name of one.
const MOST_COLOURS: usize = 24;
const LONGEST_NAME: usize = 12;

/// Ends or picks to a cm: from a blanket to a lining (common practice, no source).
const SETT: (f64, f64) = (2.0, 80.0);

/// The keys by which a cloth is described thread by thread.
pub(super) struct Written {
    pub colours: Option<Spanned<Free<String>>>,
    pub weave: Option<Spanned<String>>,
    pub warp: Option<Spanned<String>>,
    pub weft: Option<Spanned<String>>,
    pub sett: [Option<Spanned<f64>>; 2],
}

impl Written {
    /// Returns the place of the first of the keys that is there.
    pub(super) fn first(&self) -> Option<Range<usize>> {
        let texts =
            [&self.weave, &self.warp, &self.weft].map(|key| key.as_ref().map(Spanned::span));
        let numbers = self
            .sett
            .each_ref()
            .map(|key| key.as_ref().map(Spanned::span));
        let colours = self.colours.as_ref().map(Spanned::span);
        let all = texts.into_iter().chain(numbers).chain([colours]).flatten();
        all.min_by_key(|place| place.start)
    }

    /// Tells which of the keys are missing.
    fn missing(&self, first: Range<usize>, findings: &mut Findings) {
        let present = [
            (
                "colours",
                self.colours.is_some(),
                "colours = { n = \"#2a3550\", w = \"ivory\" }",
            ),
            ("weave", self.weave.is_some(), "weave = \"twill\""),
            ("warp", self.warp.is_some(), "warp = \"n60 w2\""),
            (
                "weft",
                self.weft.is_some(),
                "weft = \"warp\" is the same count as the warp's",
            ),
            ("ends", self.sett[0].is_some(), "ends = 26, to the cm"),
            ("picks", self.sett[1].is_some(), "picks = 24, to the cm"),
        ];
        for (key, is_there, help) in present {
            if !is_there && !findings.is_left_out("cloth", key) {
                let fault = Diagnostic::error(format!(
                    "a cloth that is described by its threads needs {key}"
                ));
                findings.at(first.clone(), fault.help(help));
            }
        }
    }

    /// Makes the cloth, and returns it with the places of its counts; `None` where something is at fault.
    pub(super) fn woven(
        self,
        first: Range<usize>,
        catalogue: &Catalogue,
        findings: &mut Findings,
    ) -> Option<(Woven, [Range<usize>; 2])> {
        self.missing(first, findings);
        let colours = threads_of(self.colours?, findings);
        let weave = weave(&self.weave?, catalogue, findings);
        let (warp_words, weft_words) = (self.warp?, self.weft?);
        let places = [warp_words.span(), weft_words.span()];
        let warp_count = count(&warp_words, &colours, findings);
        let weft_count = match weft_words.get_ref().trim() {
            "warp" => warp_count.clone(),
            _ => count(&weft_words, &colours, findings),
        };
        let [warp_sett, weft_sett] = self.sett;
        let sett = [
            sett("ends", &warp_sett?, findings),
            sett("picks", &weft_sett?, findings),
        ];
        let (weave, warp, weft) = (weave?, warp_count?, weft_count?);
        let [ends, picks] = sett;
        let made = Woven::new(weave, &colours, [&warp, &weft], [ends?, picks?]);
        if made.is_none() {
            let fault = Diagnostic::error(format!(
                "weave and colours together repeat after more than {LARGEST} crossings, or 4000 threads"
            ));
            let (weave_ends, weave_picks) = (weave.ends(), weave.picks());
            findings.at(places[0].clone(), fault.help(format!(
                "make the warp a multiple of {weave_ends} threads and the weft of {weave_picks}, as a weaver does, so that the weave runs on"
            )));
        }
        let woven = made?;
        believed(&woven, &places, findings);
        Some((woven, places))
    }
}

/// Tells where the repeat of a cloth is too large to be believed.
fn believed(woven: &Woven, places: &[Range<usize>; 2], findings: &mut Findings) {
    let widest = 10.0 * WIDEST_REPEAT;
    for (size, place) in woven.repeat().into_iter().zip(places) {
        if size > widest {
            let unit = findings.unit;
            let fault = Diagnostic::error(format!(
                "the threads repeat after {}, and no repeat over {} is believed",
                unit.show(size),
                unit.show(widest)
            ));
            findings.at(place.clone(), fault);
        }
    }
}

/// Reads the colours of threads.
fn threads_of(raw: Spanned<Free<String>>, findings: &mut Findings) -> Vec<(String, Colour)> {
    let place = raw.span();
    let mut colours = Vec::new();
    for (name, written) in raw.into_inner() {
        let letters = name.get_ref().chars();
        let is_name = letters.clone().all(char::is_alphabetic) && !name.get_ref().is_empty();
        if !is_name || letters.count() > LONGEST_NAME {
            let fault = Diagnostic::error(format!("`{}` is no name of a thread", name.get_ref()));
            let help = format!("name it by letters, at most {LONGEST_NAME}: n, navy");
            findings.at(name.span(), fault.help(help));
        } else if let Some(colour) = colours::of(&written, findings) {
            colours.push((name.into_inner(), colour));
        } else {
            // So that it is not called unknown as well.
            colours.push((name.into_inner(), Colour([0; 3])));
        }
    }
    if colours.len() > MOST_COLOURS {
        let fault = Diagnostic::error(format!("a cloth has at most {MOST_COLOURS} colours here"));
        findings.at(place, fault);
        colours.truncate(MOST_COLOURS);
    }
    colours
}

fn weave<'a>(
    raw: &Spanned<String>,
    catalogue: &'a Catalogue,
    findings: &mut Findings,
) -> Option<&'a Weave> {
    let weaves = match catalogue.weaves() {
        Ok(weaves) => weaves,
        Err(fault) => {
            findings.all.push(fault);
            return None;
        }
    };
    let found = weaves.iter().find(|weave| weave.name == *raw.get_ref());
    if found.is_none() {
        let names: Vec<&str> = weaves.iter().map(|weave| weave.name.as_str()).collect();
        let fault = Diagnostic::error(format!("there is no weave `{}`", raw.get_ref()));
        let fault = fault.suggest(raw.get_ref(), names.iter().copied());
        let fault = fault.note(format!("the weaves are {}", names.join(", ")));
        findings.at(
            raw.span(),
            fault.note("a weaves.toml in a folder of blocks adds others"),
        );
    }
    found
}

/// Reads a thread count and checks that its colours are known.
fn count(
    raw: &Spanned<String>,
    colours: &[(String, Colour)],
    findings: &mut Findings,
) -> Option<Count> {
    let text = raw.get_ref();
    // Between plain quotes a place in the text is one in the file.
    let within = |at: Range<usize>| match raw.span() {
        whole if whole.len() == text.len() + 2 => {
            whole.start + 1 + at.start..whole.start + 1 + at.end
        }
        whole => whole,
    };
    let count = match Count::parse(text) {
        Ok(count) => count,
        Err((at, told)) => {
            let fault = Diagnostic::error(format!("this is no thread count: {told}"));
            findings.at(
                within(at),
                fault.note("a count is \"n60 w2\": sixty threads of n, then two of w"),
            );
            return None;
        }
    };
    let names: Vec<&str> = colours.iter().map(|(name, _)| name.as_str()).collect();
    let stranger = count
        .runs
        .iter()
        .find(|(name, _)| !names.contains(&name.as_str()));
    if let Some((name, _)) = stranger {
        let at = text.find(name.as_str()).unwrap_or_default();
        let fault = Diagnostic::error(format!("`{name}` is not among the colours of the cloth"));
        let fault = fault.suggest(name, names.iter().copied());
        let help = format!("add it: colours = {{ {name} = \"…\" }}");
        findings.at(within(at..at + name.len()), fault.help(help));
        return None;
    }
    Some(count)
}

/// Reads the threads to a cm and returns those to a mm.
fn sett(name: &str, raw: &Spanned<f64>, findings: &mut Findings) -> Option<f64> {
    let (least, most) = SETT;
    if (least..=most).contains(raw.get_ref()) {
        return Some(raw.get_ref() / 10.0);
    }
    let fault = Diagnostic::error(format!("{name}: a cloth has {least} to {most} to the cm"));
    let to_an_inch = raw.get_ref() / 2.54;
    let fault = match (least..=most).contains(&to_an_inch) {
        true => fault.help(format!("if it is to the inch, write {to_an_inch:.1}")),
        false => fault,
    };
    findings.at(raw.span(), fault);
    None
}

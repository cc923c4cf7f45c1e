//! Pictures of every way to choose: each is drafted for the starter order's figure, and drawn where it makes a
//! difference.

use crate::diagnostic::{Diagnostic, Source};
use crate::draft::Draft;
use crate::order::choices::{Choices, Declared, Domain};
use crate::order::phrase::Terms;
use crate::order::{self, Choice, Garment, Order, Style};
use crate::script::{Library, draft};
use crate::sheets::views;
use crate::sheets::views::choices::{Pictured, Tailored, Way};
use crate::units::Unit;
use crate::workshop::Workshop;
use rayon::prelude::*;
use std::path::Path;

/// Drafts every way to make each choice of a garment, or one choice, and draws what differs.
///
/// # Errors
/// Returns the faults of the garment's choices or of the house file.
pub fn pictures(
    workshop: &Workshop,
    garment: &str,
    only: Option<&str>,
) -> Result<Vec<Pictured>, Vec<Diagnostic>> {
    let catalogue = &workshop.catalogue;
    let choices = catalogue.choices(garment).map_err(|fault| vec![fault])?;
    let mut order = Order {
        unit: catalogue.terms().unit,
        house: catalogue.house()?.clone(),
        materials: catalogue.materials()?.clone(),
        ..reference()?
    };
    catalogue.ask_besides(garment, &mut order);
    let shown = |choice: &&Declared| only.is_none_or(|only| choice.name == only);
    let wanted: Vec<&Declared> = choices.0.iter().filter(shown).collect();
    let drawn = wanted.par_iter().map(|choice| Pictured {
        about: choice.about.text(&catalogue.terms()),
        notes: choice.notes(order.unit),
        choice: (*choice).clone(),
        ways: ways_of(choice, choices, garment, &order, &workshop.library),
    });
    Ok(drawn.collect())
}

/// Returns the starter order, whose figure the pictures are drafted for.
fn reference() -> Result<Order, Vec<Diagnostic>> {
    let catalogue = &Workshop::embedded().catalogue;
    let text = order::starter(catalogue).map_err(|fault| vec![fault])?;
    let source = Source::new("reference", text);
    let open = |_: Option<&Path>| Ok(catalogue.clone());
    Ok(order::parse_with("reference", &source, Path::new(""), &open)?.order)
}

fn ways_of(
    declared: &Declared,
    choices: &Choices,
    garment: &str,
    order: &Order,
    library: &Library,
) -> Vec<Way> {
    let drafted = |choice: &Choice| {
        let mut style = beside(declared);
        style.insert(declared.name.clone(), choice.clone());
        choices.complete(&mut style);
        let garment = Garment {
            block: garment.to_owned(),
            style,
        };
        draft(library, order, &garment).map_err(|fault| fault.message)
    };
    let mut usual = beside(declared);
    choices.complete(&mut usual);
    let terms = Terms {
        unit: order.unit,
        house: Some(&order.house),
    };
    let tried: Vec<Tried> = match &declared.domain {
        domain @ Domain::Word(_) => {
            let words = domain.words(&terms).into_iter();
            words
                .map(|(word, about)| {
                    Tried::new(word, &about, drafted(&Choice::Word(word.to_owned())))
                })
                .collect()
        }
        Domain::Flag => [false, true]
            .map(|flag| Tried::new(&flag.to_string(), "", drafted(&Choice::Flag(flag))))
            .into(),
        Domain::Length(least, most) => {
            let usual = match usual.get(&declared.name) {
                Some(Choice::Length(mm)) => Some(mm / 10.0),
                _ => None,
            };
            let drafted = |cm: f64| drafted(&Choice::Length(10.0 * cm));
            Scale::new(*least, *most, 0.5, Some(order.unit)).tried(usual, &drafted)
        }
        Domain::Count(least, most) | Domain::Number(least, most) => {
            let usual = match usual.get(&declared.name) {
                Some(Choice::Number(number)) => Some(*number),
                _ => None,
            };
            let whole = matches!(declared.domain, Domain::Count(..));
            let step = if whole { 1.0 } else { (most - least) / 16.0 };
            let drafted = |number: f64| drafted(&Choice::Number(number));
            Scale::new(*least, *most, step, None).tried(usual, &drafted)
        }
    };
    let good = tried.iter().flat_map(|tried| &tried.draft);
    let good: Vec<Tailored> = good.map(Tailored::in_lines).collect();
    let mut drawn = views::choices::shown(&good).1.into_iter();
    let way = |one: Tried| Way {
        name: one.name,
        about: one.about,
        picture: (one.draft).and_then(|_| drawn.next().ok_or_else(|| "no picture".to_owned())),
    };
    tried.into_iter().map(way).collect()
}

/// A way to choose, with its draft for the reference figure.
struct Tried {
    name: String,
    about: String,
    draft: Result<Draft, String>,
}

impl Tried {
    fn new(name: &str, about: &str, draft: Result<Draft, String>) -> Self {
        Self {
            name: name.to_owned(),
            about: about.to_owned(),
            draft,
        }
    }
}

/// A range of numbers of which one is chosen.
struct Scale {
    least: f64,
    most: f64,
    /// The least difference that is worth a picture.
    step: f64,
    /// Of a length in cm the unit in which it is shown.
    unit: Option<Unit>,
}

impl Scale {
    fn new(least: f64, most: f64, step: f64, unit: Option<Unit>) -> Self {
        Self {
            least,
            most,
            step,
            unit,
        }
    }

    /// Drafts the least, the usual and the most that the figure can have. Where it cannot have an end of the
    /// range, the last number before it is drafted, with the reason.
    fn tried(
        &self,
        usual: Option<f64>,
        drafted: &dyn Fn(f64) -> Result<Draft, String>,
    ) -> Vec<Tried> {
        let between = |from: f64, to: f64| self.on_step((from + to) / 2.0);
        let first = usual.unwrap_or(between(self.least, self.most));
        let share =
            |i: u32| self.on_step(self.least + (self.most - self.least) * f64::from(i) / 8.0);
        let mut places = std::iter::once(first).chain((0..=8).map(share));
        let Some(good) = places.find(|&at| drafted(at).is_ok()) else {
            let ends = [self.least, first, self.most];
            return ends.map(|at| self.way(at, "", drafted(at))).into();
        };
        let ends = [self.least, self.most].map(|end| self.furthest(good, end, drafted));
        let [(least, _, _), (most, _, _)] = ends;
        let middle = usual.filter(|usual| (least..=most).contains(usual));
        let middle = middle.unwrap_or(between(least, most));
        let [lower, upper] = ends.map(|(at, why, draft)| (at, self.way(at, &why, draft)));
        let mut tried = vec![
            lower,
            (middle, self.way(middle, "", drafted(middle))),
            upper,
        ];
        tried.dedup_by(|a, b| a.0 == b.0);
        tried.into_iter().map(|(_, way)| way).collect()
    }

    /// Finds the last number between a good one and an end that can be drafted, and why the end cannot.
    fn furthest(
        &self,
        mut good: f64,
        end: f64,
        drafted: &dyn Fn(f64) -> Result<Draft, String>,
    ) -> (f64, String, Result<Draft, String>) {
        let why = match drafted(end) {
            Err(why) => why,
            draft => return (end, String::new(), draft),
        };
        let mut bad = end;
        let way = if end < good { "less" } else { "more" };
        loop {
            let middle = self.on_step((good + bad) / 2.0);
            if (good - bad).abs() < 1.5 * self.step || middle == good || middle == bad {
                return (
                    good,
                    format!("no {way} on this figure. {why}"),
                    drafted(good),
                );
            }
            if drafted(middle).is_ok() {
                good = middle;
            } else {
                bad = middle;
            }
        }
    }

    fn on_step(&self, at: f64) -> f64 {
        let at = (at / self.step).round() * self.step;
        at.clamp(self.least, self.most)
    }

    fn way(&self, at: f64, about: &str, draft: Result<Draft, String>) -> Tried {
        let name = match self.unit {
            Some(unit) => unit.show(10.0 * at),
            None => order::words::shown(at),
        };
        Tried::new(&name, about, draft)
    }
}

/// Returns a style in which a choice has a meaning.
fn beside(declared: &Declared) -> Style {
    let needs = declared.only_with.iter();
    let first = needs.filter_map(|(other, words)| Some((other.clone(), words.first()?.clone())));
    first
        .map(|(other, word)| (other, Choice::Word(word)))
        .collect()
}

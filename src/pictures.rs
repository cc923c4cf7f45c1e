//! Pictures of every way to choose: each is drafted for the starter order's figure, and drawn where it makes a
//! difference.

use crate::diagnostic::{Diagnostic, Source};
use crate::draft::Draft;
use crate::order::choices::{Choices, Declared, Domain};
use crate::order::phrase::Terms;
use crate::order::{self, Choice, Garment, Order, Style};
use crate::pattern::{self, Pattern, PatternFault};
use crate::script::{Library, draft};
use crate::sheets::in_cloth::InCloth;
use crate::sheets::views;
use crate::sheets::views::choices::{Pictured, Tailored, Way};
use crate::units::Unit;
use crate::workshop::Workshop;
use rayon::prelude::*;
use std::path::Path;

/// Drafts every way to make each choice of a garment, or one choice, and draws what differs: on the figure of an order,
/// as it is chosen there for the rest and in its cloth where that is described, or else on the starter order's figure.
///
/// # Errors
/// Returns the faults of the garment's choices or of the house file.
pub fn pictures(
    workshop: &Workshop,
    order: Option<&Order>,
    garment: &str,
    only: Option<&str>,
) -> Result<Vec<Pictured>, Vec<Diagnostic>> {
    let catalogue = &workshop.catalogue;
    let choices = catalogue.choices(garment).map_err(|fault| vec![fault])?;
    let said = order.map_or_else(Style::new, |order| order.said(garment));
    let mut order = match order {
        Some(order) => order.clone(),
        None => Order {
            unit: catalogue.terms().unit,
            house: catalogue.house()?.clone(),
            materials: catalogue.materials()?.clone(),
            ..reference()?
        },
    };
    catalogue.ask_besides(garment, &mut order);
    let sitter = Sitter {
        order,
        garment,
        said,
        library: &workshop.library,
    };
    let shown = |choice: &&Declared| only.is_none_or(|only| choice.name == only);
    let wanted: Vec<&Declared> = choices.0.iter().filter(shown).collect();
    let terms = sitter.terms();
    let drawn = wanted.par_iter().map(|choice| Pictured {
        about: choice.about.text(&terms),
        notes: choice.notes(sitter.order.unit),
        choice: (*choice).clone(),
        ways: ways_of(choice, choices, &sitter),
    });
    Ok(drawn.collect())
}

/// Returns the starter order, whose figure the pictures are drafted for where there is no other.
fn reference() -> Result<Order, Vec<Diagnostic>> {
    let catalogue = &Workshop::embedded().catalogue;
    let text = order::starter(catalogue).map_err(|fault| vec![fault])?;
    let source = Source::new("reference", text);
    let open = |_: Option<&Path>| Ok(catalogue.clone());
    Ok(order::parse_with("reference", &source, Path::new(""), &open)?.order)
}

/// Whom a garment is drawn on.
struct Sitter<'a> {
    order: Order,
    garment: &'a str,
    /// What the order chose by name for the garment.
    said: Style,
    library: &'a Library,
}

impl Sitter<'_> {
    fn terms(&self) -> Terms<'_> {
        Terms {
            unit: self.order.unit,
            house: Some(&self.order.house),
        }
    }

    /// Returns a style in which a choice has a meaning, without that choice.
    fn beside(&self, declared: &Declared) -> Style {
        let mut style = self.said.clone();
        style.remove(&declared.name);
        for (other, words) in &declared.only_with {
            let has_meaning = |word: &String| style.get(other) == Some(&Choice::Word(word.clone()));
            if let Some(first) = words.first().filter(|_| !words.iter().any(has_meaning)) {
                style.insert(other.clone(), Choice::Word(first.clone()));
            }
        }
        style
    }

    /// Drafts the garment of a style, with its pattern where its cloth is to be seen.
    ///
    /// # Errors
    /// Returns in words why it cannot be made.
    fn drafted(&self, style: Style) -> Result<Made, String> {
        let own = Garment {
            block: self.garment.to_owned(),
            style,
        };
        let drafts = [draft(self.library, &self.order, &own).map_err(|fault| fault.message)?];
        let dressed = match self.order.look_of(self.garment) {
            None => None,
            Some(_) => {
                let order = Order {
                    garments: vec![own],
                    ..self.order.clone()
                };
                let pattern = pattern::make(&order, &drafts);
                let told = |faults: Vec<PatternFault>| {
                    faults
                        .first()
                        .map_or(String::new(), PatternFault::to_string)
                };
                let pattern = pattern.map_err(told)?;
                Some((order, pattern))
            }
        };
        Ok(Made { drafts, dressed })
    }
}

/// A garment that was drafted.
struct Made {
    drafts: [Draft; 1],
    /// The order of it alone and its pattern, where its cloth is to be seen.
    dressed: Option<(Order, Pattern)>,
}

impl Made {
    fn in_cloth(&self) -> Option<InCloth<'_>> {
        let (order, pattern) = self.dressed.as_ref()?;
        InCloth::new(order, &self.drafts, pattern, &[])
    }
}

fn ways_of(declared: &Declared, choices: &Choices, sitter: &Sitter) -> Vec<Way> {
    let drafted = |choice: &Choice| {
        let mut style = sitter.beside(declared);
        style.insert(declared.name.clone(), choice.clone());
        choices.complete(&mut style);
        sitter.drafted(style)
    };
    let mut usual = sitter.beside(declared);
    choices.complete(&mut usual);
    let terms = sitter.terms();
    let unit = sitter.order.unit;
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
            Scale::new(*least, *most, 0.5, Some(unit)).tried(usual, &drafted)
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
    let good: Vec<&Made> = tried.iter().flat_map(|tried| &tried.made).collect();
    let cloths: Vec<Option<InCloth>> = good.iter().map(|made| made.in_cloth()).collect();
    let good = good.iter().zip(&cloths).map(|(made, cloth)| Tailored {
        draft: &made.drafts[0],
        cloth: cloth.as_ref().map(|cloth| (cloth, 0)),
    });
    let good: Vec<Tailored> = good.collect();
    let mut drawn = views::choices::shown(&good).1.into_iter();
    let way = |one: Tried| Way {
        name: one.name,
        about: one.about,
        picture: (one.made).and_then(|_| drawn.next().ok_or_else(|| "no picture".to_owned())),
    };
    tried.into_iter().map(way).collect()
}

/// A way to choose, as it was made.
struct Tried {
    name: String,
    about: String,
    made: Result<Made, String>,
}

impl Tried {
    fn new(name: &str, about: &str, made: Result<Made, String>) -> Self {
        Self {
            name: name.to_owned(),
            about: about.to_owned(),
            made,
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
        drafted: &dyn Fn(f64) -> Result<Made, String>,
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
        drafted: &dyn Fn(f64) -> Result<Made, String>,
    ) -> (f64, String, Result<Made, String>) {
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

    fn way(&self, at: f64, about: &str, draft: Result<Made, String>) -> Tried {
        let name = match self.unit {
            Some(unit) => unit.show(10.0 * at),
            None => order::words::shown(at),
        };
        Tried::new(&name, about, draft)
    }
}

//! How jacket, trousers and waistcoat fit the men of a survey, held against lengths that the draft was not given.
//!
//! `cargo bench --bench fit -- FILE.csv` reads a file with the columns of ANSUR II (2012 Anthropometric Survey of
//! U.S. Army Personnel, NATICK/TR-15/007), in mm; without one it reads the sample beside the project. A folder
//! named after it holds blocks to try.
//!
//! Each man is drafted from what is told of him: in mode A height, chest, waist, seat and neck, as a client whom
//! nobody has measured further; in A+1 to A+3 so many more, those that the form for the tape marks; in mode B every
//! measure that the survey gives (`tests/bodies/survey.rs`), the inside leg 2 cm short of the crotch height for
//! the room of the fork. Every dimension is measured on the draft, by the parts of its pieces and the roles of
//! their edges, and the body's own is taken off. A row of the table tells, in mm: the mean, the standard deviation, the first and the last hundredth of that difference; the share of men
//! below the least that can be worn; the correlation of draft and body; the share beyond twice the tolerance
//! around the ease that is meant.
//!
//! The survey's landmarks are not the tailor's: what its men of the house's reference figure (height 176, chest
//! 100, waist 88, seat 103, neck 40) measure differs from what the trade has for it by a constant, the `level` of
//! a dimension, in mm. A measure that is derived stands on the trade's level, one that is given on the survey's;
//! so in mode A the level is added to the least and to the ease that is meant. The levels are regressions on the
//! sample of 400 at the reference figure, set against the house's. Most is the waist's: the mean of tenth rib
//! and iliocristale lies 14 mm above the waist of trousers on a reference figure's side of 108.2 cm, so the tape
//! from waist to waist through the fork is 28 mm longer there.
//!
//! Below the table of mode A stands what the inlays are worth: for each dimension that a baste can let out, how much
//! the house leaves for it, and the share of men whom that is too little for: those whose own measure asks for more
//! than was drafted, lengths and the back's width up to the ease that is meant, girths and the run up to the least.
//!
//! The balance is the length from the neck point to the waist in front less that behind; the man's is taken from
//! neck and nape to the navel, so that the level of its mean says nothing, and its row stands where a file has the
//! column waistfrontlengthsitting.
//!
//! The program's model of men is fitted on the sample, so the table tells of men whom it has seen, where the file
//! is the sample. `--held-out` drafts every man by a model of the others: one half of the file, the lines of even
//! numbers, by the model of the odd ones, and the other way round. So are men doubted: from the chance of a misfit
//! on that the least known fifth of the other half has. What stays in sample are the numbers of the blocks and the
//! levels, chosen by men of the sample.
//!
//! The last line tells which share of men has any dimension beyond twice its tolerance.

mod dimensions;
mod drafting;
#[path = "../../bodies/fitted.rs"]
mod fitted;
mod inlays;
mod measuring;
#[path = "../../bodies/survey.rs"]
mod survey;
#[path = "../surveyed.rs"]
mod surveyed;
mod table;

use chalkstripe::order::likely::Model;
use chalkstripe::order::telling;
use dimensions::Fit;
use drafting::{By, Told, drafted};
use fitted::fitted;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::path::Path;
use std::process::ExitCode;
use survey::Man;
use table::share;

/// Lengths of a draft or a body by the name of their dimension, in mm.
type Lengths = BTreeMap<&'static str, f64>;

fn main() -> ExitCode {
    let words = || std::env::args().skip(1);
    let (read, blocks) = match surveyed::asked() {
        Ok(read) => read,
        Err(ended) => return ended,
    };
    let men: Vec<&Man> = read.iter().collect();
    let blocks = blocks.as_deref();
    if words().any(|word| word == "--held-out") {
        held_out(&men, blocks);
    } else {
        let by = By {
            model: Model::survey(),
            blocks,
            doubt: telling::DOUBT,
        };
        tables("by the program's model", &|told| {
            all_drafted(&men, told, by)
        });
    }
    ExitCode::SUCCESS
}

/// Prints the tables of men held out: each half by the model and the doubts of the other.
fn held_out(men: &[&Man], blocks: Option<&Path>) {
    let (even, odd): (Vec<&Man>, Vec<&Man>) = men.iter().partition(|man| man.line % 2 == 0);
    let turns = [(&even, &odd), (&odd, &even)];
    let models = turns.map(|(_, seen)| {
        let bodies: Vec<_> = seen.iter().map(|man| &man.body).collect();
        let model = fitted(&bodies);
        let by = By {
            model: &model,
            blocks,
            doubt: f64::INFINITY,
        };
        let mut chances: Vec<f64> = all_drafted(seen, Told::Five(0), by)
            .iter()
            .map(|fit| fit.chance)
            .collect();
        chances.sort_by(f64::total_cmp);
        let doubt = chances[chances.len() * 4 / 5];
        println!(
            "doubted from a chance of {doubt:.2} on, as {} others give",
            seen.len()
        );
        (model, doubt)
    });
    tables("held out, each half by the other", &|told| {
        let both = turns.iter().zip(&models);
        both.flat_map(|((judged, _), (model, doubt))| {
            let by = By {
                model,
                blocks,
                doubt: *doubt,
            };
            all_drafted(judged, told, by)
        })
        .collect()
    });
}

/// Prints the table of each mode, then what comes of asking further.
fn tables(whose: &str, draft: &dyn Fn(Told) -> Vec<Fit>) {
    println!("{whose}:");
    table::head();
    let misfit = |men: &[Fit]| share(men, Fit::is_misfit);
    let five = draft(Told::Five(0));
    table::told("A", &five);
    table::doubted(&five);
    inlays::inlays(&five);
    let all = draft(Told::All);
    table::told("B", &all);
    let further: Vec<Vec<Fit>> = (1..=3).map(|asked| draft(Told::Five(asked))).collect();
    let told = further
        .iter()
        .zip(1..)
        .map(|(men, asked)| format!("A+{asked} {:.1} %", misfit(men)));
    println!(
        "misfit where the form's first are taken as well: {}",
        told.collect::<Vec<_>>().join(", ")
    );
    let after = |fit: &Fit| {
        let asked = further
            .last()
            .and_then(|men| men.iter().find(|man| man.line == fit.line));
        asked.map_or(fit.is_misfit(), Fit::is_misfit)
    };
    let left = share(&five, |fit| {
        if fit.doubted {
            after(fit)
        } else {
            fit.is_misfit()
        }
    });
    println!("misfit where the doubted alone are asked for three: {left:.1} %");
    println!("misfit A {:.1} % B {:.1} %", misfit(&five), misfit(&all));
}

/// Drafts some men; tells of those whom a block refuses.
fn all_drafted(men: &[&Man], told: Told, by: By) -> Vec<Fit> {
    let found: Vec<Result<Fit, String>> =
        men.par_iter().map(|man| drafted(man, told, by)).collect();
    let mut drafted = Vec::new();
    for (man, one) in men.iter().zip(found) {
        match one {
            Ok(fit) => drafted.push(fit),
            Err(why) => eprintln!("line {}: not drafted: {why}", man.line),
        }
    }
    drafted
}

//! Jackets and trousers for the men of a survey, drafted and proven on every core.
//!
//! `cargo bench --bench bodies -- FILE.csv` reads any file with the survey's columns, in mm (see
//! `tests/bodies/survey.rs`); without one it reads the sample beside the project. A folder named after it
//! holds blocks to try. `--others` drafts two more men for each in their stead (stretched and mixed),
//! `--extremes` four hundred at the ends of what men are (see `tests/bodies/others.rs`). It tells on which
//! line a man was refused or failed, then in one line how many were drafted, refused and failed, and how many
//! men were done in a second.

#[path = "../bodies/others.rs"]
mod others;
#[path = "../bodies/outcome.rs"]
mod outcome;
#[path = "../bodies/survey.rs"]
mod survey;
mod surveyed;

use outcome::Outcome;
use rayon::prelude::*;
use std::process::ExitCode;
use std::time::Instant;

const EXTREMES: usize = 400;

fn main() -> ExitCode {
    let (men, blocks) = match surveyed::asked() {
        Ok(read) => read,
        Err(ended) => return ended,
    };
    let asked = |word: &str| std::env::args().any(|arg| arg == word);
    let men = if asked("--extremes") {
        others::extremes(EXTREMES, 1)
    } else if asked("--others") {
        others::others(&men)
    } else {
        men
    };
    let begun = Instant::now();
    let outcomes: Vec<Outcome> = men
        .par_iter()
        .map(|man| outcome::suit(man, blocks.as_deref()))
        .collect();
    let seconds = begun.elapsed().as_secs_f64();
    let (mut drafted, mut refused, mut failed) = (0, 0, 0);
    for (man, outcome) in men.iter().zip(&outcomes) {
        match outcome {
            Outcome::Drafted => drafted += 1,
            Outcome::Refused(why) => {
                refused += 1;
                eprintln!("line {}: refused: {why}", man.line);
            }
            Outcome::Failed(why) => {
                failed += 1;
                eprintln!("line {}: failed: {why}\n{:.1?}", man.line, man.body);
            }
        }
    }
    let per_second = men.len() as f64 / seconds;
    println!("drafted {drafted} refused {refused} failed {failed} per_second {per_second:.1}");
    ExitCode::from(u8::from(failed > 0))
}

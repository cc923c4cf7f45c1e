//! Jackets and trousers for the men of a survey, drafted and proven on every core.
//!
//! `cargo bench --bench bodies -- FILE.csv` reads any file with the survey's columns (see
//! `tests/bodies/survey.rs`); without one it reads the sample beside the project. A folder named after
//! it holds blocks to try, and `--others` drafts two more men for each in their stead (stretched and mixed,
//! see `survey::others`). It tells what was
//! refused and what failed, then in one line how many were drafted, refused and failed, and how many
//! men were done in a second.

#[path = "../bodies/survey.rs"]
mod survey;

use rayon::prelude::*;
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Instant;
use survey::Outcome;

fn main() -> ExitCode {
    let mut named = std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with("--"));
    let (file, blocks) = (named.next(), named.next().map(PathBuf::from));
    let sample = file.is_none();
    let file = PathBuf::from(file.unwrap_or_else(|| survey::SAMPLE.to_owned()));
    if sample && !file.exists() {
        eprintln!("SKIPPED: {} is not here", file.display());
        return ExitCode::SUCCESS;
    }
    let men = match survey::men(&file) {
        Ok(men) => men,
        Err(fault) => {
            eprintln!("{fault}");
            return ExitCode::from(2);
        }
    };
    let men = match std::env::args().any(|word| word == "--others") {
        true => survey::others(&men),
        false => men,
    };
    let begun = Instant::now();
    let outcomes: Vec<Outcome> = men
        .par_iter()
        .map(|man| {
            survey::prove(&survey::order(
                man,
                blocks.as_deref(),
                "[jacket]\n[trousers]\n",
            ))
        })
        .collect();
    let seconds = begun.elapsed().as_secs_f64();
    let (mut drafted, mut refused, mut failed) = (0, 0, 0);
    for (i, outcome) in outcomes.iter().enumerate() {
        match outcome {
            Outcome::Drafted => drafted += 1,
            Outcome::Refused(why) => {
                refused += 1;
                eprintln!("man {}: refused: {why}", i + 1);
            }
            Outcome::Failed(why) => {
                failed += 1;
                eprintln!("man {}: failed: {why}", i + 1);
            }
        }
    }
    let per_second = men.len() as f64 / seconds;
    println!("drafted {drafted} refused {refused} failed {failed} per_second {per_second:.1}");
    ExitCode::from(u8::from(failed > 0))
}

//! A long talk: memory stays flat, and the order's file small.

use super::answers::SAID;
use super::client::{Served, begin, example};
use std::fs;
use std::time::Instant;

/// Answers of the talk; `CHALKSTRIPE_ANSWERS` asks for more, as 2000.
const ANSWERS: usize = 60;
/// Answers before memory is first looked at: by then every cache is full.
const WARM: usize = 30;
/// How much memory may grow, KiB: what an allocator keeps of pictures that are gone varies by as much.
const GROWS: u64 = 48 * 1024;

/// The memory that a talk holds, KiB; `None` where the system does not tell.
fn held(served: &Served) -> Option<u64> {
    let status = fs::read_to_string(format!("/proc/{}/status", served.child.id())).ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

#[test]
fn a_long_talk_holds_no_more_than_a_short_one() {
    let folder = tempfile::tempdir().unwrap();
    let mut text = example(folder.path(), "check-side-vents");
    text.push_str("\n[waistcoat]\n");
    fs::write(folder.path().join("a.toml"), &text).unwrap();
    let served = begin(folder.path(), "a.toml");
    let answers = std::env::var("CHALKSTRIPE_ANSWERS");
    let answers = answers.map_or(ANSWERS, |answers| answers.parse().unwrap());
    let mut first = None;
    let mut times = Vec::new();
    for i in 0..answers {
        if i == WARM {
            first = held(&served);
        }
        let (at, said) = SAID[i % SAID.len()];
        let begun = Instant::now();
        let answer = served.answer(at, said);
        times.push(begun.elapsed());
        assert_eq!(answer["refused"], false, "{answer}");
    }
    times.sort();
    let last = held(&served);
    println!(
        "{answers} answers: {first:?} KiB after {WARM}, {last:?} after all; median {:?}, worst {:?}",
        times[times.len() / 2],
        times[times.len() - 1]
    );
    if let Some((first, last)) = first.zip(last) {
        assert!(last < first + GROWS, "{first} KiB became {last} KiB");
    }
    let file = fs::read_to_string(folder.path().join("a.toml")).unwrap();
    assert!(
        file.len() < text.len() + 400,
        "{} bytes became {}",
        text.len(),
        file.len()
    );
    let beside = fs::read_dir(folder.path().join(".chalkstripe"));
    let beside = beside.into_iter().flatten().count();
    assert!(beside < 8, "{beside} files stayed beside the order");
}

//! Many orders: several are worked at at once, and what is told of each comes in the order of their files, as
//! soon as it and those before it are done.

use super::show::{self, Progress};
use super::stop;
use chalkstripe::diagnostic::Diagnostic;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;
use std::time::Instant;

/// What came of one order: what was found, and what is told of it; no text where it is at fault.
pub(super) struct Told {
    /// Faults and warnings, to be shown.
    pub findings: Vec<Diagnostic>,
    /// What is told.
    pub text: Option<String>,
    /// What is told besides where it is at fault.
    pub amiss: String,
    /// How many warnings it has, shown or not.
    pub warnings: usize,
}

/// What came of them all.
#[derive(Default)]
pub(super) struct Sum {
    /// How many were done.
    pub done: usize,
    /// How many of them are at fault.
    pub faulty: usize,
    /// How many of the others have warnings.
    pub warned: usize,
    /// Whether what is told is still taken.
    pub heard: bool,
    /// Seconds since the first was begun.
    pub seconds: f64,
}

/// Works on each of the files and shows what is told of them, one after another in the order of the files.
/// After Ctrl-C no other is begun: what was done by then is told, and what was cut short by it is not.
pub(super) fn each_in_order(
    what: &str,
    files: &[PathBuf],
    work: impl Fn(&Path) -> Told + Sync,
) -> Sum {
    let began = Instant::now();
    let progress = Progress::new(what);
    let next = AtomicUsize::new(0);
    let mut sum = Sum {
        heard: true,
        ..Sum::default()
    };
    std::thread::scope(|scope| {
        let (send, receive) = mpsc::channel();
        let hands = std::thread::available_parallelism().map_or(1, usize::from);
        for _ in 0..hands.min(files.len()) {
            let (send, next, work) = (send.clone(), &next, &work);
            // The next of the files, not a share of them: then none waits long for those before it.
            scope.spawn(move || {
                while !stop::asked() {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some(file) = files.get(at) else { return };
                    let told = work(file);
                    // What is cut short by Ctrl-C is not done.
                    if stop::asked() || send.send((at, told)).is_err() {
                        return;
                    }
                }
            });
        }
        drop(send);
        let mut waiting: BTreeMap<usize, Told> = BTreeMap::new();
        let mut due = 0;
        for (at, told) in receive {
            waiting.insert(at, told);
            while let Some(told) = waiting.remove(&due) {
                due += 1;
                progress.aside(|| tell(told, &mut sum));
            }
            progress.says(&format!("{} of {} orders", sum.done, files.len()));
            if !sum.heard {
                next.store(files.len(), Ordering::Relaxed);
            }
        }
        // After Ctrl-C one that was cut short stands before some that were done.
        for told in waiting.into_values() {
            progress.aside(|| tell(told, &mut sum));
        }
    });
    drop(progress);
    sum.seconds = began.elapsed().as_secs_f64();
    let (left, all) = (files.len() - sum.done, files.len());
    if stop::asked() && left > 0 {
        let told = format!("stopped: {left} of the {all} orders were not done");
        show::findings(&[Diagnostic::error(told)]);
    }
    sum
}

fn tell(told: Told, sum: &mut Sum) {
    sum.done += 1;
    show::findings(&told.findings);
    match &told.text {
        Some(text) => {
            sum.warned += usize::from(told.warnings > 0);
            sum.heard &= show::print(text);
        }
        None => {
            sum.faulty += 1;
            sum.heard &= told.amiss.is_empty() || show::print(&told.amiss);
        }
    }
}

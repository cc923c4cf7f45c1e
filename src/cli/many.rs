//! Work on many orders at once. What is said of each is printed in the order of their files, as soon as it and
//! those before it are done.

use super::show::{self, Progress};
use super::stop;
use chalkstripe::diagnostic::Diagnostic;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;
use std::time::Instant;

/// What came of one order.
pub(super) struct Told {
    /// Faults and warnings, to be shown.
    pub findings: Vec<Diagnostic>,
    /// What is printed; `None` where the order is at fault.
    pub text: Option<String>,
    /// What is printed where it is at fault.
    pub amiss: String,
    /// How many warnings it has, shown or not.
    pub warnings: usize,
}

/// What came of all orders.
#[derive(Default)]
pub(super) struct Sum {
    /// How many were done.
    pub done: usize,
    /// How many of them are at fault.
    pub faulty: usize,
    /// How many of those without a fault have warnings.
    pub warned: usize,
    /// Whether the output is still read.
    pub heard: bool,
    /// Seconds since the first was begun.
    pub seconds: f64,
}

/// Works on each of the files and prints what came of them in the order of the files. After Ctrl-C no other is
/// begun: what was done by then is printed, and what was cut short is not.
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
            // Each thread takes the next file rather than a share of them, so that none waits long for those
            // before it.
            scope.spawn(move || {
                while !stop::asked() {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some(file) = files.get(at) else { return };
                    let told = work(file);
                    // An order that Ctrl-C cut short is not done.
                    if stop::asked() || send.send((at, told)).is_err() {
                        return;
                    }
                }
            });
        }
        drop(send);
        let mut waiting: BTreeMap<usize, Told> = BTreeMap::new();
        let mut due = 0;
        for (at, answer) in receive {
            waiting.insert(at, answer);
            while let Some(told) = waiting.remove(&due) {
                due += 1;
                progress.aside(|| tell(told, &mut sum));
            }
            progress.says(&format!("{} of {} orders", sum.done, files.len()));
            if !sum.heard {
                next.store(files.len(), Ordering::Relaxed);
            }
        }
        // After Ctrl-C an order that was cut short may stand before some that were done.
        for told in waiting.into_values() {
            progress.aside(|| tell(told, &mut sum));
        }
    });
    drop(progress);
    sum.seconds = began.elapsed().as_secs_f64();
    let (left, all) = (files.len() - sum.done, files.len());
    if stop::asked() && left > 0 {
        let told = format!("stopped: {left} of the {all} orders are not done");
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

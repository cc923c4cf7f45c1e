//! Cuts the order from the page: the work of a few seconds, with its progress, that can be stopped.

use super::reading::in_words;
use super::state::{Now, Talk, held};
use crate::diagnostic::unwritten;
use crate::job::{self, Drafted, JobFault};
use crate::lay::{Progress, Search};
use crate::order::Order;
use crate::sheets::options::SheetOptions;
use crate::sheets::paper::{Paper, Size};
use crate::sheets::{Sheet, drafting_sheet, fingerprint, folder, names};
use crate::units::Unit;
use crate::workshop::Workshop;
use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

/// What can be made from the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Work {
    /// The pattern, the lays and the ticket.
    Cut,
    /// The construction, to chalk by hand.
    Draft,
}

/// The work that goes on, and what is said of it.
#[derive(Debug, Default)]
pub(super) struct Making {
    going: AtomicBool,
    stop: AtomicBool,
    said: Mutex<String>,
}

impl Making {
    /// Tells whether work goes on.
    pub(super) fn is_going(&self) -> bool {
        self.going.load(Ordering::Relaxed)
    }

    /// Returns what was said last.
    pub(super) fn said(&self) -> String {
        held(&self.said).clone()
    }

    /// Asks the work to stop: it ends without writing anything.
    pub(super) fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }

    /// Does a piece of work, unless one goes on; `tell` is called whenever something new is said.
    pub(super) fn work(&self, work: Work, talk: &Talk, tell: &dyn Fn()) {
        if self.going.swap(true, Ordering::Relaxed) {
            return;
        }
        self.stop.store(false, Ordering::Relaxed);
        let now = talk.now();
        let says = |words: &str| {
            words.clone_into(&mut held(&self.said));
            tell();
        };
        says("drafting");
        let outcome = self.made(work, &now, &talk.sheets(), &says);
        self.going.store(false, Ordering::Relaxed);
        says(&outcome.unwrap_or_else(|fault| fault));
    }

    fn made(
        &self,
        work: Work,
        now: &Now,
        folder: &Path,
        says: &dyn Fn(&str),
    ) -> Result<String, String> {
        let (Some(order), Some(drafted)) = (&now.reading.order, &now.reading.drafted) else {
            return Err("the order has faults: nothing was written".to_owned());
        };
        let unwritten = |error| in_words(&unwritten("the sheets", folder, &error));
        folder::can_take(folder).map_err(unwritten)?;
        let workshop = &now.reading.workshop;
        let sheets = match work {
            Work::Cut => {
                let sheets = self.cut(workshop, order, drafted, says);
                let sheets = sheets.map_err(|fault| told(&fault, order.unit))?;
                if self.stop.load(Ordering::Relaxed) {
                    return Err("stopped: nothing was written".to_owned());
                }
                let mark = fingerprint::of(order, &drafted.drafts);
                folder::replace_all(&sheets, folder, &mark).map_err(unwritten)?;
                sheets
            }
            Work::Draft => {
                let sheets = drafting(workshop, order, drafted);
                folder::write_all(&sheets, folder).map_err(unwritten)?;
                sheets
            }
        };
        Ok(format!("{}: {}", folder.display(), names(&sheets)))
    }

    /// Makes the sheets as `cut` does when nothing else is asked for.
    fn cut(
        &self,
        workshop: &Workshop,
        order: &Order,
        drafted: &Drafted,
        says: &dyn Fn(&str),
    ) -> Result<Vec<Sheet>, JobFault> {
        let options = SheetOptions::on(Paper::Pages(Size::A4));
        job::check_options(order, &drafted.pattern, &options)?;
        let (send, heard) = std::sync::mpsc::channel();
        let shown = move |p: Progress| {
            let (length, done) = (order.unit.show(p.length), p.done * 100.0);
            // Nobody listens any more once the lay is found.
            let _ = send.send(format!("laying: {length}, {done:.0} %"));
        };
        let search = Search {
            kept: &workshop.kept,
            cancel: Some(&self.stop),
            progress: Some(&shown),
            ..Search::default()
        };
        let ready = job::ready(order, &drafted.pattern)?;
        let lays = std::thread::scope(|scope| {
            let lays = scope.spawn(|| job::lay_ready(order, &drafted.pattern, &ready, &search));
            while !lays.is_finished() {
                let wait = std::time::Duration::from_millis(50);
                if let Ok(words) = heard.recv_timeout(wait) {
                    says(&words);
                }
            }
            lays.join()
        });
        let lays = lays.unwrap_or_else(|panic| std::panic::resume_unwind(panic))?;
        says("drawing");
        job::sheets(workshop, order, drafted, &lays, &options).map(|made| made.sheets)
    }
}

fn told(fault: &JobFault, unit: Unit) -> String {
    fault.words(unit).replace('`', "")
}

/// Draws the drafting sheet and the views, as `draft` does when nothing else is asked for.
fn drafting(workshop: &Workshop, order: &Order, drafted: &Drafted) -> Vec<Sheet> {
    let before = job::draft(workshop, &order.uncorrected()).ok();
    let pages = drafted.drafts.iter().map(|draft| {
        let old = before.as_ref().and_then(|before| before.unlike(draft));
        drafting_sheet::drafting_sheet(draft, old, order)
    });
    let pages: Vec<_> = pages.collect();
    job::drafting(order, drafted, &pages).sheets
}

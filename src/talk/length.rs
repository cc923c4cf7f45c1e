//! The length of cloth that the order takes, found beside the talk: at once roughly, then better.

use super::state::{Now, held};
use crate::job::{self, JobFault};
use crate::lay::{Effort, Search, TURNS};
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// The rounds of the searches, one after another; the last are those of a cut.
const STAGES: [u32; 3] = [1, TURNS[0], TURNS[2]];

/// The time without an answer after which a search begins.
const PAUSE: Duration = Duration::from_millis(150);

/// A length as it is told.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Length {
    /// The revision of the order that it is for.
    pub revision: u64,
    /// The length to order, in words.
    pub words: String,
    /// What it costs, in words, where the order has a price.
    pub cost: Option<String>,
    /// By how much the last change made it longer or shorter, in words; empty if it did not.
    pub change: String,
    /// Whether a longer search goes on.
    pub rough: bool,
}

/// Lengths that are searched for. Only the order as it stands is: a search for one before it is stopped.
pub(super) struct Lengths {
    wanted: Mutex<Wanted>,
    bell: Condvar,
    told: Mutex<Option<Length>>,
}

#[derive(Default)]
struct Wanted {
    now: Option<Arc<Now>>,
    stop: Arc<AtomicBool>,
    ended: bool,
}

impl Lengths {
    /// Begins with nothing to search for.
    pub(super) fn new() -> Self {
        Self {
            wanted: Mutex::default(),
            bell: Condvar::new(),
            told: Mutex::default(),
        }
    }

    /// Asks for the length of an order as it stands now; a search that goes on is stopped.
    pub(super) fn want(&self, now: &Arc<Now>) {
        if self
            .told()
            .is_some_and(|told| told.revision == now.revision && !told.rough)
        {
            return;
        }
        let mut wanted = held(&self.wanted);
        wanted.stop.store(true, Ordering::Relaxed);
        wanted.now = Some(now.clone());
        self.bell.notify_one();
    }

    /// Stops the search that goes on, so that a draft has the machine to itself.
    pub(super) fn pause(&self) {
        held(&self.wanted).stop.store(true, Ordering::Relaxed);
    }

    /// Ends all searches.
    pub(super) fn end(&self) {
        let mut wanted = held(&self.wanted);
        wanted.ended = true;
        wanted.stop.store(true, Ordering::Relaxed);
        self.bell.notify_one();
    }

    /// Returns the length that was told last.
    pub(super) fn told(&self) -> Option<Length> {
        held(&self.told).clone()
    }

    /// Searches for what is asked for until it is ended; `tell` hears each length.
    pub(super) fn work(&self, tell: &dyn Fn(&Length)) {
        let mut before = BTreeMap::new();
        while let Some((now, stop)) = self.next() {
            self.search(&now, &stop, &mut before, tell);
        }
    }

    fn next(&self) -> Option<(Arc<Now>, Arc<AtomicBool>)> {
        let mut wanted = held(&self.wanted);
        loop {
            if wanted.ended {
                return None;
            }
            if let Some(now) = wanted.now.take() {
                let (now, mut wanted) = self.last(now, wanted);
                if wanted.ended {
                    return None;
                }
                wanted.stop = Arc::new(AtomicBool::new(false));
                return Some((now, wanted.stop.clone()));
            }
            let waited = self.bell.wait(wanted);
            wanted = waited.unwrap_or_else(PoisonError::into_inner);
        }
    }

    /// Waits until no other order has come for a while: answers that follow one another have the machine to
    /// themselves. The first order does not wait.
    fn last<'a>(
        &'a self,
        mut now: Arc<Now>,
        mut wanted: MutexGuard<'a, Wanted>,
    ) -> (Arc<Now>, MutexGuard<'a, Wanted>) {
        while now.revision > 0 && !wanted.ended {
            let waited = self.bell.wait_timeout(wanted, PAUSE);
            let (held, time) = waited.unwrap_or_else(PoisonError::into_inner);
            wanted = held;
            match wanted.now.take() {
                Some(newer) => now = newer,
                None if time.timed_out() => break,
                None => {}
            }
        }
        (now, wanted)
    }

    /// Searches for one order. `before` holds the lengths of the order before it, by stage: only those of one
    /// stage are compared, as a longer search finds a shorter lay of the same pieces.
    fn search(
        &self,
        now: &Now,
        stop: &AtomicBool,
        before: &mut BTreeMap<u32, f64>,
        tell: &dyn Fn(&Length),
    ) {
        let (Some(order), Some(drafted)) = (&now.reading.order, &now.reading.drafted) else {
            return;
        };
        let mut cloths = Vec::new();
        for own in order.by_cloth() {
            let Ok(ready) = job::ready(&own, &drafted.pattern) else {
                return;
            };
            cloths.push((own, ready));
        }
        for rounds in STAGES {
            let search = Search {
                effort: Effort::Rounds(rounds),
                threads: Some(1),
                kept: &now.reading.workshop.kept,
                cancel: Some(stop),
                ..Search::default()
            };
            let lengths: Result<Vec<f64>, _> = (cloths.iter())
                .map(|(own, ready)| {
                    let laid = job::lay_cloth(own, &drafted.pattern, ready, None, &search)?;
                    Ok::<f64, JobFault>(laid.order_length.length)
                })
                .collect();
            if stop.load(Ordering::Relaxed) {
                // What these stages found is of an order before the one before.
                before.retain(|&stage, _| stage < rounds);
                return;
            }
            let Ok(lengths) = lengths else {
                return;
            };
            let mm: f64 = lengths.iter().sum();
            let words = lengths.iter().map(|length| order.unit.cloth(*length));
            let of_each = cloths.iter().zip(&lengths);
            let costs = of_each.filter_map(|((own, _), length)| {
                let price = own.cloth.price.as_ref()?;
                Some(price.of(order.unit.cloths(*length)))
            });
            let costs: Vec<String> = costs.collect();
            let earlier = before.insert(rounds, mm);
            let length = Length {
                revision: now.revision,
                words: words.collect::<Vec<_>>().join(" + "),
                cost: (!costs.is_empty()).then(|| costs.join(" + ")),
                change: earlier.map_or_else(String::new, |earlier| {
                    let more = mm - earlier;
                    match more.abs() < 1.0 {
                        true => String::new(),
                        false if more > 0.0 => format!("+ {}", order.unit.cloth(more)),
                        false => format!("− {}", order.unit.cloth(-more)),
                    }
                }),
                rough: rounds != TURNS[2],
            };
            *held(&self.told) = Some(length.clone());
            tell(&length);
        }
    }
}

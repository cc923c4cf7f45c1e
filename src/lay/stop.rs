//! When a search is to stop.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

/// When a search is to stop before its work is done.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Stop<'a> {
    /// At this time.
    pub at: Option<Instant>,
    /// Once this is set.
    pub cancel: Option<&'a AtomicBool>,
}

impl Stop<'_> {
    /// Whether it is to stop now.
    pub(super) fn is_due(&self) -> bool {
        self.cancel
            .is_some_and(|cancel| cancel.load(Ordering::Relaxed))
            || self.at.is_some_and(|at| Instant::now() >= at)
    }
}

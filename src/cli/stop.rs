//! Ctrl-C: the first ends the work with the best lay so far, the second ends the program at once.

use super::show;
use chalkstripe::diagnostic::Diagnostic;
use std::sync::atomic::{AtomicBool, Ordering};

/// The exit code of a run that was stopped: 128 plus the number of the signal, as shells count.
pub(super) const CODE: u8 = 130;

/// Set by the first Ctrl-C.
pub(super) static STOP: AtomicBool = AtomicBool::new(false);

/// Listens for Ctrl-C from now on: it sets [`STOP`], and the command ends when its work allows.
pub(super) fn listen() {
    let handler = || {
        if STOP.swap(true, Ordering::Relaxed) {
            std::process::exit(CODE.into());
        }
    };
    if let Err(error) = ctrlc::set_handler(handler) {
        let doubt = Diagnostic::warning(format!("Ctrl-C will stop at once: {error}"));
        show::findings(&[doubt]);
    }
}

/// Tells whether the user has asked to stop.
pub(super) fn asked() -> bool {
    STOP.load(Ordering::Relaxed)
}

//! What all requests share: the talk, the searches beside it, and those who listen.

use crate::diagnostic::Diagnostic;
use crate::talk::length::Lengths;
use crate::talk::making::{Making, Work};
use crate::talk::page::{self, Frame};
use crate::talk::state::{Now, Talk, held};
use std::fmt::Write;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, OnceLock};
use tokio::sync::{Semaphore, broadcast};

/// The most windows that follow one talk.
const MOST_WINDOWS: usize = 8;
/// The events that a slow window may lag behind; it reads everything anew after that.
const LAG: usize = 64;

/// Something that every window hears.
#[derive(Debug, Clone)]
pub(super) enum Heard {
    /// The order has changed; the number of the change.
    Changed(u64),
    /// The cloth that it takes, as a piece of the page.
    Length(String),
    /// What a way to answer adds, as JSON.
    Added(String),
    /// What is said of the work that goes on, as a piece of the page.
    Progress(String),
}

/// A talk with what serves it.
pub(super) struct App {
    talk: OnceLock<Talk>,
    /// The lengths that are searched for.
    pub lengths: Lengths,
    /// The work that was asked for from the page.
    pub making: Making,
    /// Those who listen.
    pub heard: broadcast::Sender<Heard>,
    /// The key in the address.
    pub key: String,
    /// The only name by which it may be called: address and port.
    pub host: String,
    /// Room for windows that listen.
    pub windows: Arc<Semaphore>,
    /// The time at which a window last asked to see a question tried, in its own ms: those before it are overtaken.
    pub last_tried: AtomicU64,
    /// Stops the search for what the words add: there is one at a time, and an answer overtakes it.
    adding: Mutex<Arc<AtomicBool>>,
    ended: AtomicBool,
}

impl App {
    /// Takes up an order.
    ///
    /// # Errors
    /// Returns a fault where it is in use or cannot be read or written, or the system gives no key.
    pub(super) fn begin(order: &Path, out: &Path, host: String) -> Result<Arc<Self>, Diagnostic> {
        let (heard, _) = broadcast::channel(LAG);
        let app = Arc::new(Self {
            talk: OnceLock::new(),
            lengths: Lengths::new(),
            making: Making::default(),
            heard,
            key: key()?,
            host,
            windows: Arc::new(Semaphore::new(MOST_WINDOWS)),
            last_tried: AtomicU64::new(0),
            adding: Mutex::default(),
            ended: AtomicBool::new(false),
        });
        let weak = Arc::downgrade(&app);
        let changed = move |now: &Arc<Now>| {
            if let Some(open) = weak.upgrade() {
                open.tell(Heard::Changed(now.revision));
                open.lengths.want(now);
            }
        };
        let talk = Talk::begin(order, out, Box::new(changed))?;
        app.lengths.want(&talk.now());
        // It is set once, here.
        let _ = app.talk.set(talk);
        Ok(app)
    }

    /// Returns the talk.
    #[expect(
        clippy::expect_used,
        reason = "`begin` sets it before anybody has the app"
    )]
    pub(super) fn talk(&self) -> &Talk {
        self.talk.get().expect("the talk has begun")
    }

    /// Tells every window something. With none there is nobody to tell.
    pub(super) fn tell(&self, heard: Heard) {
        let _ = self.heard.send(heard);
    }

    /// Searches for lengths of cloth until the end.
    pub(super) fn find_lengths(&self) {
        self.lengths
            .work(&|length| self.tell(Heard::Length(page::length(length))));
    }

    /// Does a piece of work and tells its progress.
    pub(super) fn make(&self, work: Work) {
        self.pause();
        let tell = || self.tell(Heard::Progress(page::progress(&self.frame())));
        self.making.work(work, self.talk(), &tell);
        tell();
        self.lengths.want(&self.talk().now());
    }

    /// Begins another search for what the words add, and returns what stops it. The one before is stopped.
    pub(super) fn begin_adding(&self) -> Arc<AtomicBool> {
        let mut adding = held(&self.adding);
        adding.store(true, Ordering::Relaxed);
        *adding = Arc::new(AtomicBool::new(false));
        adding.clone()
    }

    /// Leaves the machine to a draft: what is searched for beside the talk stops.
    pub(super) fn pause(&self) {
        self.lengths.pause();
        held(&self.adding).store(true, Ordering::Relaxed);
    }

    /// Returns what the page is written from.
    pub(super) fn frame(&self) -> Frame<'_> {
        Frame {
            talk: self.talk(),
            lengths: &self.lengths,
            making: &self.making,
            key: &self.key,
        }
    }

    /// Ends what goes on beside the talk.
    pub(super) fn end(&self) {
        self.ended.store(true, Ordering::Relaxed);
        self.making.stop();
        held(&self.adding).store(true, Ordering::Relaxed);
        self.lengths.end();
    }

    /// Tells whether the talk is over.
    pub(super) fn ended(&self) -> bool {
        self.ended.load(Ordering::Relaxed)
    }
}

/// Makes a key that nobody can guess: 128 bits, in hexadecimal digits.
fn key() -> Result<String, Diagnostic> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes)
        .map_err(|error| Diagnostic::error(format!("the system gives no random key: {error}")))?;
    let mut key = String::new();
    for byte in bytes {
        // Writing to a string cannot fail.
        let _ = write!(key, "{byte:02x}");
    }
    Ok(key)
}

//! Woven cloth: a weave, the colours of its threads, and how close they lie.

use super::colour::{Colour, Light};
use super::count::{Axis, Count, axis};
use super::weave::Weave;

/// The most crossings of one repeat: what 60 MB hold, and a plaid of 40 by 40 cm in fine worsted.
pub const LARGEST: usize = 1 << 21;

/// A cloth described by its threads.
#[derive(Debug, Clone, PartialEq)]
pub struct Woven {
    weave: Weave,
    colours: Vec<Colour>,
    /// One repeat of each, by the numbers of the colours.
    warp: Vec<u8>,
    weft: Vec<u8>,
    /// Width of an end and of a pick, mm.
    end: f64,
    pick: f64,
}

/// The finest pattern that is seen as one, mm: a smaller repeat is a shade or a grain of the cloth (judged).
const FINEST_SEEN: f64 = 4.0;

impl Woven {
    /// Makes a cloth. `colours` are the colours by name, of which the counts must know every one; `sett` is the
    /// number of ends and of picks to a mm. Returns `None` where weave and counts together repeat after more than
    /// [`LARGEST`] crossings.
    pub fn new(
        weave: &Weave,
        colours: &[(String, Colour)],
        [warp, weft]: [&Count; 2],
        [ends, picks]: [f64; 2],
    ) -> Option<Self> {
        let number = |name: &str| {
            let found = colours.iter().position(|(own, _)| own == name);
            found.and_then(|at| u8::try_from(at).ok()).unwrap_or(0)
        };
        let woven = Self {
            weave: weave.clone(),
            colours: colours.iter().map(|(_, colour)| *colour).collect(),
            warp: warp.threads(number),
            weft: weft.threads(number),
            end: 1.0 / ends,
            pick: 1.0 / picks,
        };
        let [across, along] = woven.repeat_in_threads()?;
        (across * along <= LARGEST).then_some(woven)
    }

    fn repeat_in_threads(&self) -> Option<[usize; 2]> {
        Some([
            Weave::together(self.weave.ends(), self.warp.len())?,
            Weave::together(self.weave.picks(), self.weft.len())?,
        ])
    }

    /// Returns the number of ends and of picks of one repeat of weave and colours together.
    pub fn threads(&self) -> [usize; 2] {
        // It was possible when the cloth was made.
        self.repeat_in_threads().unwrap_or([1, 1])
    }

    /// Returns the size of one repeat of weave and colours together, across and along, mm.
    pub fn size(&self) -> [f64; 2] {
        let [ends, picks] = self.threads();
        [ends as f64 * self.end, picks as f64 * self.pick]
    }

    /// Returns the repeat of the pattern that is seen, across and along, mm; 0 where none is seen. That of the
    /// colours, where they repeat after more threads than the weave; a weave in threads of one colour shows no
    /// pattern along a twill line.
    pub fn repeat(&self) -> [f64; 2] {
        let of = |threads: usize, own: usize, mm: f64| {
            let all = match threads > own {
                true => threads,
                false => Weave::together(own, threads).unwrap_or(threads),
            };
            let repeat = all as f64 * mm;
            if repeat < FINEST_SEEN { 0.0 } else { repeat }
        };
        [
            of(self.warp.len(), self.weave.ends(), self.end),
            of(self.weft.len(), self.weave.picks(), self.pick),
        ]
    }

    /// Tells whether the colours read the same both ways, across and along.
    pub fn reads_both_ways(&self) -> [bool; 2] {
        [&self.warp, &self.weft].map(|threads| axis(threads).even)
    }

    /// Returns the place of the bar from which the pattern is measured, in threads from the first.
    pub(super) fn origin(&self) -> [f64; 2] {
        [&self.warp, &self.weft]
            .map(|threads| axis(threads))
            .map(|Axis { at, .. }| at)
    }

    /// Returns the light of the thread on top where an end and a pick cross.
    pub(super) fn crossing(&self, end: usize, pick: usize) -> Light {
        self.colours[usize::from(self.on_top(end, pick))].light()
    }

    fn on_top(&self, end: usize, pick: usize) -> u8 {
        match self.weave.lifted(end, pick) {
            true => self.warp[end % self.warp.len()],
            false => self.weft[pick % self.weft.len()],
        }
    }

    /// Returns the light at a place, in threads from the first end and pick, as the cloth looks from near: each
    /// thread is round, and dives under the thread that crosses over it.
    pub(super) fn near(&self, across: f64, along: f64) -> Light {
        let [ends, picks] = self.threads();
        let cell = |at: f64, of: usize| {
            let at = at.rem_euclid(of as f64);
            // A place just below 0 may round up to the end.
            ((at as usize).min(of - 1), at - at.floor() - 0.5)
        };
        let ((end, x), (pick, y)) = (cell(across, ends), cell(along, picks));
        let warp = self.weave.lifted(end, pick);
        // Across the thread, and along it to the nearer of the crossings beside this one.
        let (side, way) = if warp { (x, y) } else { (y, x) };
        let beyond = |step: f64| {
            let next = |at: usize, of: usize| if step < 0.0 { at + of - 1 } else { at + 1 } % of;
            match warp {
                true => self.weave.lifted(end, next(pick, picks)),
                false => self.weave.lifted(next(end, ends), pick),
            }
        };
        let dives = if beyond(way) == warp {
            0.0
        } else {
            way.abs() * 2.0
        };
        let round = 1.0 - ROUND * (2.0 * side).powi(2);
        let shade = (round - DIVE * dives.powi(3)) as f32 * LIFT;
        self.crossing(end, pick).map(|part| (part * shade).min(1.0))
    }
}

/// How much darker a thread is at its sides, how much where it dives under another, and how much lighter on its
/// ridge, so that the mean is that of the flat thread (judged by eye).
const ROUND: f64 = 0.55;
const DIVE: f64 = 0.3;
const LIFT: f32 = 1.26;

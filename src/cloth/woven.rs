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

    /// Returns the cloth as it is seen from the wrong side, at the same places.
    pub(super) fn behind(&self) -> Self {
        Self {
            weave: self.weave.behind(),
            ..self.clone()
        }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cloth::{Colour, Described, Texture, weaves};
    use std::sync::Arc;

    const DARK: [u8; 3] = [30, 34, 52];
    const LIGHT: [u8; 3] = [235, 230, 220];

    /// Cloth of dark (`d`) and light (`l`) threads, 26 ends and 24 picks to the cm.
    fn woven(weave: &str, warp: &str, weft: &str) -> Woven {
        let all = weaves(None).unwrap();
        let weave = all.iter().find(|own| own.name == weave).unwrap();
        let colours = [("d", DARK), ("l", LIGHT)];
        let colours = colours.map(|(name, rgb)| (name.to_owned(), Colour(rgb)));
        let counts = [warp, weft].map(|text| Count::parse(text).unwrap());
        Woven::new(weave, &colours, [&counts[0], &counts[1]], [2.6, 2.4]).unwrap()
    }

    /// Whether a light thread is on top.
    fn light(cloth: &Woven, end: usize, pick: usize) -> bool {
        Colour::of(cloth.crossing(end, pick)).0 == LIGHT
    }

    /// The part of a cloth that is light, of so many ends and picks.
    fn share(cloth: &Woven, ends: usize, picks: usize) -> f64 {
        let all = (0..ends * picks).filter(|i| light(cloth, i % ends, i / ends));
        all.count() as f64 / (ends * picks) as f64
    }

    #[test]
    fn a_houndstooth_is_its_own_negative_half_a_repeat_on() {
        let tooth = woven("twill", "d4 l4", "d4 l4");
        assert_eq!(tooth.threads(), [8, 8]);
        assert_eq!(share(&tooth, 8, 8), 0.5);
        for (end, pick) in (0..64).map(|i| (i % 8, i / 8)) {
            assert_ne!(light(&tooth, end, pick), light(&tooth, end + 4, pick + 4));
            // Four by four threads of one colour, and between them the lines of the twill.
            match (end < 4, pick < 4) {
                (true, true) => assert!(!light(&tooth, end, pick)),
                (false, false) => assert!(light(&tooth, end, pick)),
                (true, false) => assert_eq!(light(&tooth, end, pick), (end + pick) % 4 < 2),
                (false, true) => assert_eq!(light(&tooth, end, pick), (end + pick) % 4 >= 2),
            }
        }
    }

    #[test]
    fn a_glen_check_has_blocks_of_houndstooth_and_of_twos() {
        let fours = "d4 l4 ".repeat(6);
        let twos = "d2 l2 ".repeat(11);
        let check = woven(
            "twill",
            &format!("{fours}{twos}"),
            &format!("{fours}{twos}"),
        );
        assert_eq!(check.threads(), [92, 92]);
        for (end, pick) in (0..36 * 36).map(|i| (i % 36, i / 36)) {
            let at = light(&check, end, pick);
            assert_eq!(
                at,
                light(&check, end + 8, pick),
                "fours by fours repeat after eight"
            );
            let small = light(&check, 48 + end, 48 + pick);
            assert_eq!(
                small,
                light(&check, 52 + end, 48 + pick),
                "twos by twos after four"
            );
            assert_eq!(small, light(&check, 48 + end, 52 + pick));
        }
        let [across, along] = check.repeat();
        assert!((across - 92.0 / 2.6).abs() < 1e-9 && (along - 92.0 / 2.4).abs() < 1e-9);
    }

    #[test]
    fn stripes_are_as_wide_and_as_far_apart_as_their_threads() {
        // Half of a warp-wise stripe lies under the weft of a 2/2 twill.
        for (warp, apart, part) in [
            ("d30 l1", 31.0 / 2.6, 1.0 / 62.0),
            ("d60 l5", 25.0, 5.0 / 130.0),
        ] {
            let stripe = woven("twill", warp, "d1");
            assert!((stripe.repeat()[0] - apart).abs() < 1e-9);
            assert_eq!(stripe.repeat()[1], 0.0);
            let [ends, picks] = stripe.threads();
            assert!((share(&stripe, ends, picks) - part).abs() < 1e-9, "{warp}");
        }
        let pane = woven("twill", "d142 l2", "d166 l2");
        assert!((pane.repeat()[0] - 144.0 / 2.6).abs() < 1e-9);
        assert!((pane.repeat()[1] - 70.0).abs() < 1e-9);
        assert_eq!(share(&pane, 142, 166), 0.0, "the pane is plain");
    }

    #[test]
    fn a_herringbone_of_one_colour_repeats_with_its_weave() {
        let bone = woven("herringbone", "l1", "d1");
        let [across, along] = bone.repeat();
        assert!((across - 20.0 / 2.6).abs() < 1e-9);
        assert_eq!(along, 0.0, "the twill line is too fine to be matched");
        assert_eq!(share(&bone, 20, 4), 0.5);
        let plain = woven("twill", "d1", "d1");
        assert_eq!(plain.repeat(), [0.0, 0.0]);
    }

    fn texture(woven: Woven) -> Texture {
        let (woven, stretch) = (Arc::new(woven), [1.0, 1.0]);
        Described::Woven { woven, stretch }.texture()
    }

    /// A houndstooth is the hardest to show small: its repeat of 3 mm is 3.6 pixels of a fifth of true size at 150 dpi.
    #[test]
    fn a_fine_pattern_shows_no_bars_in_a_small_picture() {
        let cloth = texture(woven("twill", "d4 l4", "d4 l4"));
        let mean = cloth.mean()[0];
        for pixel in [0.85, 1.0, 1.3, 1.7, 2.6, 4.0] {
            let at = |i: u32| f64::from(i) * pixel;
            // Blocks of a dozen repeats: the part of one that is left over counts for little.
            let block = |x: u32, y: u32| {
                let all = (0..1600).map(|i| cloth.sample(at(x + i % 40), at(y + i / 40), pixel)[0]);
                all.sum::<f32>() / 1600.0
            };
            let blocks = (0..64).map(|i| block(40 * (i % 8), 40 * (i / 8)));
            let worst = blocks
                .map(|light| (light / mean - 1.0).abs())
                .fold(0.0, f32::max);
            assert!(worst < 0.04, "pixels of {pixel} mm: {worst}");
        }
    }

    #[test]
    fn round_threads_are_as_light_as_flat_ones() {
        let cloth = texture(woven("twill", "d1", "l1"));
        let step = 0.01;
        let near = (0..20_000).map(|i| {
            let (x, y) = (f64::from(i % 160) * step, f64::from(i / 160) * step);
            cloth.sample(x, y, step)[0]
        });
        let near = near.sum::<f32>() / 20_000.0;
        assert!(
            (near / cloth.mean()[0] - 1.0).abs() < 0.12,
            "{near} {:?}",
            cloth.mean()
        );
    }
}

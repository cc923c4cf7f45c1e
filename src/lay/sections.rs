//! Sections of a long strip, which are searched each by itself.
//!
//! What lies across an end of a section is fixed to that end, and what comes after a section moves up by what it
//! gains.

use super::instance::Instance;
use super::packing::{End, Packing, Position};
use super::solution::Solution;
use super::strip::Strip;

/// Number of parts that a section holds, about: one suit (judged by benches; no source).
const HELD: usize = 36;
/// Least length of a section, in lengths of the longest part, so that none lies across both of its ends.
const LEAST: f64 = 1.5;
/// Extent by which a part may lie across an end and still lie in the section, mm: rounding.
const HAIR: f64 = 1e-6;

/// All sections of a strip, from its start to its end.
#[derive(Debug, Clone)]
pub(super) struct Sections {
    /// Where all parts stand.
    pub positions: Vec<Position>,
    /// Where each section starts, and where the last ends.
    ends: Vec<f64>,
    /// The parts that lie in each.
    inside: Vec<Vec<usize>>,
    /// The parts that lie across the end of each.
    across: Vec<Vec<usize>>,
}

/// One section, to be searched.
pub(super) struct Section<'a> {
    /// Its parts, first those that lie in it.
    pub instance: Instance<'a>,
    /// The ends to which they are fixed.
    pub fixed: Vec<Option<End>>,
    /// The strip that it is.
    pub strip: Strip,
    /// Where its parts stand.
    pub positions: Vec<Position>,
}

impl Sections {
    /// Divides a lay into sections of one length, of which the first is cut off to `first` of it.
    pub(super) fn new(packing: &Packing, lay: &Solution, first: f64) -> Self {
        let tallest =
            |(part, position): (usize, &Position)| packing.size(part, position.orientation).y;
        let parts = || lay.positions.iter().enumerate();
        let longest = parts().map(tallest).fold(0.0, f64::max);
        let (start, end) = lay.last;
        let wanted = (packing.count() as f64 / HELD as f64).max(1.0);
        let length = (lay.length() / wanted).max(LEAST * longest);
        let mut ends = vec![start];
        let mut at = start + first * length;
        while at < end - length / 2.0 {
            ends.push(at);
            at += length;
        }
        ends.push(end);
        let count = ends.len() - 1;
        let mut sections = Self {
            positions: lay.positions.clone(),
            ends,
            inside: vec![Vec::new(); count],
            across: vec![Vec::new(); count],
        };
        for (part, position) in parts() {
            let half = packing.size(part, position.orientation).y / 2.0 - HAIR;
            let (low, high) = (position.centre.y - half, position.centre.y + half);
            let crossed = (1..count).find(|&k| low < sections.ends[k] && high > sections.ends[k]);
            if let Some(next) = crossed {
                sections.across[next - 1].push(part);
            } else {
                let own = sections.ends[1..count].partition_point(|&edge| edge <= low);
                sections.inside[own].push(part);
            }
        }
        sections
    }

    /// Number of sections.
    pub(super) fn count(&self) -> usize {
        self.inside.len()
    }

    /// Returns a section with its parts.
    pub(super) fn section<'a>(&self, whole: &Instance<'a>, index: usize) -> Section<'a> {
        let (mut parts, mut fixed) = (self.inside[index].clone(), Vec::new());
        fixed.resize(parts.len(), None);
        let before = index.checked_sub(1).map_or(&[][..], |k| &self.across[k]);
        for (list, end) in [(before, End::Start), (&self.across[index], End::Finish)] {
            parts.extend(list);
            fixed.resize(parts.len(), Some(end));
        }
        Section {
            positions: parts.iter().map(|&part| self.positions[part]).collect(),
            instance: whole.of(&parts),
            fixed,
            strip: Strip {
                bays: vec![(self.ends[index], self.ends[index + 1])],
                goes_on: [index > 0, index + 1 < self.count()],
                ..Strip::alone(whole.width)
            },
        }
    }

    /// Puts sections back that have been searched, and moves up what comes after each.
    pub(super) fn put_back(&mut self, searched: &[(usize, Solution)]) {
        let mut by = 0.0;
        for index in 0..self.count() {
            let own = searched.iter().find(|(of, _)| *of == index);
            let (start, end) = (self.ends[index], self.ends[index + 1]);
            let (from, to) = own.map_or((start, end), |(_, solution)| solution.last);
            // The start of the first section is the strip's own: nothing lies before it.
            if index > 0 {
                by -= from - start;
            } else {
                self.ends[0] = from;
            }
            for (place, &part) in self.inside[index].iter().enumerate() {
                let position = &mut self.positions[part];
                if let Some((_, solution)) = own {
                    *position = solution.positions[place];
                }
                position.centre.y += by;
            }
            by -= end - to;
            for &part in &self.across[index] {
                self.positions[part].centre.y += by;
            }
            self.ends[index + 1] += by;
        }
    }
}

//! A lay on a table: it is cut across into sections, each no longer than the table.

use super::packing::{Packing, Position};
use super::parallel::{EVALUATIONS, Threads};
use super::phase::TURNS;
use super::random::Random;
use super::searcher::Searcher;
use super::solution::Solution;
use super::stop::Stop;
use super::strip::Strip;
use super::tolerance::TOLERANCE;

/// Groups parts, each of which reaches from one place to another along the cloth, into sections no longer than the
/// table. Between two sections the cloth is cut straight across. Each section is as long as it can be, from the
/// first on. Returns where each begins and ends, or `None` if parts that no cut divides are longer than the table.
pub(super) fn sections(spans: &[(f64, f64)], table: f64) -> Option<Vec<(f64, f64)>> {
    let mut spans = spans.to_vec();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    // Runs of parts that lie beside one another, between which the cloth is clear.
    let mut runs: Vec<(f64, f64)> = Vec::new();
    for (low, high) in spans {
        match runs.last_mut() {
            Some(run) if low < run.1 - TOLERANCE => run.1 = run.1.max(high),
            _ => runs.push((low, high)),
        }
    }
    let mut sections: Vec<(f64, f64)> = Vec::new();
    for (low, high) in runs {
        if high - low > table + TOLERANCE {
            return None;
        }
        match sections.last_mut() {
            Some(section) if high - section.0 <= table + TOLERANCE => section.1 = high,
            _ => sections.push((low, high)),
        }
    }
    Some(sections)
}

/// Parts on a table, section by section.
#[derive(Debug, Clone)]
pub(super) struct OnTable {
    /// Where each part stands. Sections follow one another as close as the pattern allows.
    pub positions: Vec<Position>,
    /// The parts of each section.
    sections: Vec<Vec<usize>>,
    /// Where the cloth begins.
    start: f64,
    /// Longest section, with the gap that parts have grown by.
    reach: f64,
}

/// Two neighbouring sections, to be searched together.
struct Neighbours {
    /// The parts of both.
    parts: Vec<usize>,
    /// Where these stand.
    positions: Vec<Position>,
    /// A bay for each of the two.
    strip: Strip,
}

/// The search of two neighbouring sections.
struct Task {
    first: usize,
    of: Neighbours,
    random: Random,
    found: Option<Solution>,
}

impl OnTable {
    /// Divides the last bay of a lay: each section takes all parts that end within its reach from where the first
    /// part left begins. No part may be longer than `reach`.
    pub(super) fn new(packing: &Packing, lay: &Solution, reach: f64) -> Self {
        let mut divided = Self {
            positions: lay.positions.clone(),
            sections: Vec::new(),
            start: lay.last.0,
            reach,
        };
        let mut left: Vec<usize> = (0..packing.count())
            .filter(|&part| divided.positions[part].centre.y > lay.last.0)
            .collect();
        while !left.is_empty() {
            let (low, _) = divided.span(packing, &left);
            let ends_within = |&part: &usize| {
                let (_, high) = divided.span(packing, &[part]);
                high <= low + reach + TOLERANCE
            };
            let (inside, after): (Vec<usize>, Vec<usize>) =
                left.iter().partition(|part| ends_within(part));
            if inside.is_empty() {
                // Unreachable for parts that are no longer than the table; it keeps a lay whole nevertheless.
                divided.sections.push(after);
                break;
            }
            divided.sections.push(inside);
            left = after;
        }
        divided.close_up(packing);
        divided
    }

    /// Number of sections.
    pub(super) fn count(&self) -> usize {
        self.sections.len()
    }

    /// Returns the lay that it is.
    pub(super) fn solution(&self, packing: &Packing, strip: &Strip) -> Solution {
        Solution::new(packing, strip, self.positions.clone())
    }

    /// Returns a section and the one after it on bays of their own, the second bay after the reach of the first.
    fn neighbours(&self, packing: &Packing, first: usize) -> Neighbours {
        let [one, two] = [&self.sections[first], &self.sections[first + 1]];
        let (start, _) = self.span(packing, one);
        let (low, _) = self.span(packing, two);
        let by = whole_repeats(packing, start + self.reach - low);
        let mut positions: Vec<Position> = one.iter().map(|&part| self.positions[part]).collect();
        positions.extend(two.iter().map(|&part| {
            let mut position = self.positions[part];
            position.centre.y += by;
            position
        }));
        let second = low + by;
        Neighbours {
            parts: [one.as_slice(), two].concat(),
            positions,
            strip: Strip {
                bays: vec![(start, start + self.reach), (second, second + self.reach)],
                ..Strip::alone(packing.instance.width)
            },
        }
    }

    /// Takes up what a search found for two neighbouring sections.
    fn put_back(&mut self, first: usize, of: &Neighbours, found: &Solution) {
        let (second, _) = of.strip.last();
        let mut both = [Vec::new(), Vec::new()];
        for (&part, &position) in of.parts.iter().zip(&found.positions) {
            both[usize::from(position.centre.y > second)].push(part);
            self.positions[part] = position;
        }
        let [one, two] = both;
        self.sections[first] = one;
        self.sections[first + 1] = two;
    }

    /// Searches every second pair of neighbours, from the first or from the second section. Returns the number of
    /// overlap evaluations that it was to make.
    pub(super) fn sweep(
        &mut self,
        packing: &Packing,
        from: usize,
        threads: &Threads,
        random: &mut Random,
        stop: &Stop,
    ) -> u64 {
        let mut tasks: Vec<Task> = (from..self.count().saturating_sub(1))
            .step_by(2)
            .map(|first| Task {
                first,
                of: self.neighbours(packing, first),
                random: random.split(),
                found: None,
            })
            .collect();
        threads.each(&mut tasks, |task| {
            let instance = packing.instance.of(&task.of.parts);
            let own = Packing::new(&instance, packing.table);
            let first = Solution::new(&own, &task.of.strip, task.of.positions.clone());
            let mut searcher = Searcher::new(&own, &task.of.strip, &first, task.random.clone());
            for _ in 0..TURNS[0] {
                if searcher.base.length() > TOLERANCE {
                    searcher.run(&own, EVALUATIONS * own.count() as u64, stop);
                }
            }
            task.found = Some(searcher.base);
        });
        let parts: usize = tasks.iter().map(|task| task.of.parts.len()).sum();
        for task in &tasks {
            if let Some(found) = &task.found {
                self.put_back(task.first, &task.of, found);
            }
        }
        self.close_up(packing);
        u64::from(TURNS[0]) * EVALUATIONS * parts as u64
    }

    /// Moves each section up to the one before it, and leaves out those that have become empty.
    fn close_up(&mut self, packing: &Packing) {
        self.sections.retain(|section| !section.is_empty());
        let mut at = self.start;
        for index in 0..self.sections.len() {
            let section = self.sections[index].clone();
            let (low, high) = self.span(packing, &section);
            let by = whole_repeats(packing, at - low);
            for part in section {
                self.positions[part].centre.y += by;
            }
            at = high + by;
        }
    }

    /// Where some parts begin and end along the strip.
    fn span(&self, packing: &Packing, parts: &[usize]) -> (f64, f64) {
        let span = |&part: &usize| {
            let position = self.positions[part];
            let half = packing.size(part, position.orientation).y / 2.0;
            (position.centre.y - half, position.centre.y + half)
        };
        let all = parts.iter().map(span);
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |all, own| {
            (all.0.min(own.0), all.1.max(own.1))
        })
    }
}

/// Returns the least way of whole repeats of the pattern along that is no less than this one, or the way itself on
/// cloth without bars.
fn whole_repeats(packing: &Packing, way: f64) -> f64 {
    /// Rounding, mm.
    const HAIR: f64 = 1e-6;
    match packing.instance.repeat.along {
        Some(repeat) => ((way - HAIR) / repeat).ceil() * repeat,
        None => way,
    }
}

#[cfg(test)]
mod tests {
    use super::sections;

    #[test]
    fn sections_are_as_long_as_the_table_allows() {
        let spans = [(0.0, 4.0), (1.0, 3.0), (4.0, 7.0), (7.5, 9.0), (9.0, 12.0)];
        assert_eq!(sections(&spans, 20.0), Some(vec![(0.0, 12.0)]));
        assert_eq!(sections(&spans, 7.0), Some(vec![(0.0, 7.0), (7.5, 12.0)]));
        let three = vec![(0.0, 4.0), (4.0, 9.0), (9.0, 12.0)];
        assert_eq!(sections(&spans, 5.0), Some(three));
        assert_eq!(sections(&spans, 3.5), None);
    }

    #[test]
    fn parts_that_lie_beside_one_another_are_not_cut_apart() {
        let spans = [(0.0, 3.0), (3.0, 6.0), (2.0, 4.0)];
        assert_eq!(sections(&spans, 4.0), None);
        assert_eq!(sections(&spans, 6.0), Some(vec![(0.0, 6.0)]));
    }
}

//! The sampler: it looks for the best place for one part among the others. It draws places at random, moves the
//! best of them downhill, and pushes them out of what they still overlap by exact steps.

use super::arrangement::Arrangement;
use super::obstacle::{Obstacle, Wall};
use super::packing::{Packing, Position};
use super::random::Random;
use super::strip::{InnerFit, Strip};
use kurbo::{Point, Vec2};

/// Places drawn for each orientation where another part is touched. (These numbers and those below are judged
/// by benches; no source.)
const TOUCHING: usize = 8;
/// Places drawn for each orientation anywhere on the strip.
const ANYWHERE: usize = 8;
/// Places drawn for each orientation near where the part stands.
const NEARBY: usize = 8;
/// Spread of the places nearby, as a part of the part's own size.
const NEAR: f64 = 0.15;
/// Number of the best places that are moved downhill. The part's present position is moved too.
const KEPT: usize = 2;
/// First step downhill, as a part of the part's lesser extent.
const REACH: f64 = 0.05;
/// Last step downhill, as a part of the first.
const FINE: f64 = 0.02;

/// Looks for places; keeps its lists from one call to the next.
#[derive(Debug, Default)]
pub(super) struct Sampler<'a> {
    /// The other parts, for each orientation of the part that is relocated.
    obstacles: Vec<Vec<Obstacle<'a>>>,
    /// Those of them that are near the candidate.
    close: Vec<Obstacle<'a>>,
    /// Obstacles that may be overlapped at a place, each with a lower bound of the cost of those before it.
    met: Vec<(usize, f64)>,
    walls: Vec<Wall>,
    /// Overlap evaluations so far: the measure of work.
    pub evaluations: u64,
}

/// A position and its cost.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    cost: f64,
    position: Position,
}

impl<'a> Sampler<'a> {
    /// Moves a part to the best position found, unless its present one is as good. With `tilts` the part may be
    /// tilted off its grain.
    pub(super) fn relocate(
        &mut self,
        packing: &Packing<'a>,
        strip: &Strip,
        arrangement: &mut Arrangement,
        random: &mut Random,
        part: usize,
        tilts: bool,
    ) {
        let orientations = packing.orientations(part, tilts);
        self.obstacles
            .resize_with(orientations.max(self.obstacles.len()), Vec::new);
        let inner_fits: Vec<InnerFit> = (0..orientations)
            .map(|orientation| packing.inner_fit(strip, part, orientation))
            .collect();
        let here = Candidate {
            cost: arrangement.weighted_overlap_of(part),
            position: arrangement.positions[part],
        };
        let mut best: Vec<Candidate> = Vec::with_capacity(KEPT + 2);
        best.push(here);
        for (orientation, inner_fit) in inner_fits.iter().enumerate() {
            if !inner_fit.is_empty() {
                let obstacles = &mut self.obstacles[orientation];
                arrangement.obstacles(packing, part, orientation, obstacles);
                let size = packing.size(part, orientation);
                let now = here.position.centre;
                self.sample(
                    packing,
                    inner_fit,
                    random,
                    orientation,
                    (now, size),
                    &mut best,
                );
            }
        }
        let mut found = here;
        for candidate in best {
            let orientation = candidate.position.orientation;
            // A part that came with a tilt stays as it is, or is laid upright.
            let inner_fit = inner_fits.get(orientation);
            let Some(inner_fit) = inner_fit.filter(|inner_fit| !inner_fit.is_empty()) else {
                continue;
            };
            let size = packing.size(part, orientation);
            let candidate = self.downhill(packing, inner_fit, random, candidate, size);
            if candidate.cost < found.cost {
                found = candidate;
            }
            if found.cost == 0.0 {
                break;
            }
        }
        if found.cost < here.cost {
            arrangement.move_part(packing, part, found.position);
            self.evaluations += packing.count() as u64;
        }
    }

    /// Draws places in one orientation and takes the best of them among the candidates. `near` is the part's
    /// present centre and its size.
    fn sample(
        &mut self,
        packing: &Packing<'a>,
        inner_fit: &InnerFit,
        random: &mut Random,
        orientation: usize,
        near: (Point, Vec2),
        best: &mut Vec<Candidate>,
    ) {
        let spread = near.1 * NEAR;
        for index in 0..TOUCHING + ANYWHERE + NEARBY {
            let centre = if index < TOUCHING {
                let others = &self.obstacles[orientation];
                match others.get(random.index(others.len())) {
                    Some(other) => inner_fit.nearest(other.touching(packing, random)),
                    None => inner_fit.any(random),
                }
            } else if index < TOUCHING + ANYWHERE {
                inner_fit.any(random)
            } else {
                let step = Vec2::new(random.near_zero() * spread.x, random.near_zero() * spread.y);
                inner_fit.nearest(near.0 + step)
            };
            let limit = best.get(KEPT).map_or(f64::INFINITY, |kept| kept.cost);
            let cost = self.cost(packing, orientation, centre, limit);
            if cost < limit {
                let position = Position {
                    orientation,
                    centre,
                };
                let at = best.partition_point(|other| other.cost <= cost);
                best.insert(at, Candidate { cost, position });
                best.truncate(KEPT + 1);
            }
        }
    }

    /// Returns the cost of a place. If it is beyond the limit, a lower bound that is also beyond it may be
    /// returned.
    fn cost(&mut self, packing: &Packing, orientation: usize, p: Point, limit: f64) -> f64 {
        self.evaluations += self.obstacles[orientation].len() as u64;
        cost(
            packing,
            &self.obstacles[orientation],
            &mut self.met,
            p,
            limit,
        )
    }

    /// Moves a candidate downhill along axes and diagonals by shrinking steps, then pushes it.
    fn downhill(
        &mut self,
        packing: &Packing<'a>,
        inner_fit: &InnerFit,
        random: &mut Random,
        mut candidate: Candidate,
        size: Vec2,
    ) -> Candidate {
        let reach = REACH * size.x.min(size.y);
        let fine = FINE * reach;
        let mut step = reach;
        while step > fine && candidate.cost > 0.0 {
            self.gather(candidate.position, 2.0 * reach);
            let start = candidate.position.centre;
            // Only obstacles within this reach have been listed.
            while step > fine && (candidate.position.centre - start).hypot() < reach {
                let slant = if random.unit() < 0.5 { 1.0 } else { -1.0 };
                let direction = match random.index(3) {
                    0 => Vec2::new(slant, 0.0),
                    1 => Vec2::new(0.0, slant),
                    _ => Vec2::new(slant, if random.unit() < 0.5 { 1.0 } else { -1.0 }) * 0.7,
                };
                let mut moved = false;
                for sign in [1.0, -1.0] {
                    let centre = inner_fit.nearest(
                        candidate.position.centre + inner_fit.stride(direction * (step * sign)),
                    );
                    let cost = self.close_cost(packing, centre, candidate.cost);
                    if cost < candidate.cost {
                        candidate.cost = cost;
                        candidate.position.centre = centre;
                        moved = true;
                        break;
                    }
                }
                if candidate.cost == 0.0 {
                    return candidate;
                }
                step *= if moved { 1.1 } else { 0.6 };
                step = step.min(reach);
            }
        }
        self.gather(candidate.position, 2.0 * reach);
        self.push(packing, inner_fit, candidate, reach)
    }

    /// Lists the obstacles within reach of a position.
    fn gather(&mut self, position: Position, reach: f64) {
        let obstacles = &self.obstacles[position.orientation];
        self.evaluations += obstacles.len() as u64;
        let near = obstacles
            .iter()
            .filter(|o| o.is_near(position.centre, reach));
        self.close.clear();
        self.close.extend(near.copied());
    }

    fn close_cost(&mut self, packing: &Packing, p: Point, limit: f64) -> f64 {
        self.evaluations += self.close.len() as u64;
        cost(packing, &self.close, &mut self.met, p, limit)
    }

    /// Pushes a candidate out of what it overlaps: of the steps that would clear one or two of the nearest
    /// walls at once, were they straight, it takes the one that is expected to cost least, if it truly costs
    /// less.
    fn push(
        &mut self,
        packing: &Packing,
        inner_fit: &InnerFit,
        mut candidate: Candidate,
        reach: f64,
    ) -> Candidate {
        // Judged by benches; no source.
        const STEPS: usize = 6;
        for _ in 0..STEPS {
            if candidate.cost == 0.0 {
                break;
            }
            let p = candidate.position.centre;
            self.evaluations += 2 * self.close.len() as u64;
            self.walls.clear();
            for obstacle in &self.close {
                if let Some(wall) = obstacle.wall(packing, p).filter(|wall| wall.depth > -reach) {
                    self.walls.push(wall);
                }
            }
            let to = pushed(&self.walls, inner_fit, p, reach);
            let cost = self.close_cost(packing, to, candidate.cost);
            if cost >= candidate.cost {
                break;
            }
            candidate.cost = cost;
            candidate.position.centre = to;
        }
        candidate
    }
}

/// Returns the place to which the best step out of some walls leads; `p` where no step is short enough.
fn pushed(walls: &[Wall], inner_fit: &InnerFit, p: Point, reach: f64) -> Point {
    /// Clearance beyond a wall, mm, so that rounding leaves no overlap.
    const CLEAR: f64 = 1e-4;
    /// Sine of the angle below which two walls count as parallel.
    const PARALLEL: f64 = 1e-3;
    /// Cost of a step, for each mm: of steps that clear as much the shortest is taken.
    const STEP_COST: f64 = 1e-6;
    let expected = |step: Vec2| -> f64 {
        let left = |wall: &Wall| wall.weight * (wall.depth - wall.direction.dot(step)).max(0.0);
        walls.iter().map(left).sum::<f64>() + STEP_COST * step.hypot()
    };
    let mut best = (f64::INFINITY, p);
    let mut consider = |step: Vec2| {
        if step.hypot2() <= reach * reach {
            let to = inner_fit.nearest(p + step);
            let cost = expected(to - p);
            if cost < best.0 {
                best = (cost, to);
            }
        }
    };
    for (index, a) in walls.iter().enumerate() {
        if a.depth > 0.0 {
            consider(a.direction * (a.depth + CLEAR));
        }
        for b in &walls[..index] {
            let cross = a.direction.cross(b.direction);
            if (a.depth > 0.0 || b.depth > 0.0) && cross.abs() > PARALLEL {
                let (da, db) = (a.depth + CLEAR, b.depth + CLEAR);
                consider(Vec2::new(
                    (da * b.direction.y - db * a.direction.y) / cross,
                    (db * a.direction.x - da * b.direction.x) / cross,
                ));
            }
        }
    }
    best.1
}

/// Returns the weighted overlap of a place with some obstacles. If it is beyond the limit, a lower bound that
/// is also beyond it may be returned.
fn cost(
    packing: &Packing,
    obstacles: &[Obstacle],
    met: &mut Vec<(usize, f64)>,
    p: Point,
    limit: f64,
) -> f64 {
    met.clear();
    let mut least = 0.0;
    for (index, obstacle) in obstacles.iter().enumerate() {
        if let Some(more) = obstacle.least_cost(p) {
            met.push((index, least));
            least += more;
        }
    }
    // The lower bounds together are mostly beyond the limit already. Otherwise each obstacle is looked at more
    // closely. A bound depends on what any thread has asked before; a cost below the limit does not.
    let mut sum = 0.0;
    for &(index, before) in met.iter().rev() {
        if sum + least >= limit {
            return sum + least;
        }
        least = before;
        sum += obstacles[index].cost(packing, p, limit - sum - least);
    }
    sum
}

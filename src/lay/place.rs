//! The best place for one part among the others: places tried at random, the best of them moved
//! downhill, and at last pushed out of what they still overlap by exact steps.

use super::chance::Chance;
use super::crowd::{Crowd, Ground, Obstacle, Spot, stands};
use super::strip::{Room, Strip};
use kurbo::{Point, Vec2};

/// Places tried for each way: those where another part is touched, anywhere on the strip, and near
/// where the part stands.
const TOUCHING: usize = 8;
const ANYWHERE: usize = 8;
const NEARBY: usize = 8;
/// How near: as a part of the part's own size.
const NEAR: f64 = 0.15;
/// How many of the best places are moved downhill, besides where the part stands.
const KEPT: usize = 2;
/// First step downhill, as a part of the part's lesser extent, and the last as a part of the first.
const REACH: f64 = 0.05;
const FINE: f64 = 0.02;

/// Looks for places; keeps its lists from one search to the next.
#[derive(Debug, Default)]
pub(super) struct Seeker<'a> {
    obstacles: Vec<Vec<Obstacle<'a>>>,
    close: Vec<Obstacle<'a>>,
    /// Obstacles that may be overlapped at a place, and the least that it costs.
    met: Vec<(usize, f64)>,
    walls: Vec<(f64, Vec2, f64)>,
    /// Obstacles asked so far: the measure of work done.
    pub asked: u64,
}

/// A place and what it costs.
#[derive(Debug, Clone, Copy)]
struct Place {
    cost: f64,
    spot: Spot,
}

impl<'a> Seeker<'a> {
    /// Moves a part to the best place found, unless where it stands is as good. `tilts`: it may be tilted off
    /// its grain.
    pub(super) fn relocate(
        &mut self,
        ground: &Ground<'a>,
        strip: &Strip,
        crowd: &mut Crowd,
        chance: &mut Chance,
        part: usize,
        tilts: bool,
    ) {
        let now = crowd.spots[part];
        let ways = ground.ways(part, tilts);
        self.obstacles
            .resize_with(ways.max(self.obstacles.len()), Vec::new);
        let rooms: Vec<Room> = (0..ways)
            .map(|way| stands(ground, strip, part, way))
            .collect();
        let here = Place {
            cost: crowd.cost_of(part),
            spot: now,
        };
        let mut best: Vec<Place> = Vec::with_capacity(KEPT + 2);
        best.push(here);
        for (way, room) in rooms.iter().enumerate() {
            if room.is_empty() {
                continue;
            }
            crowd.obstacles(ground, part, way, &mut self.obstacles[way]);
            let spread = ground.size(part, way) * NEAR;
            for index in 0..TOUCHING + ANYWHERE + NEARBY {
                let centre = if index < TOUCHING {
                    let others = &self.obstacles[way];
                    match others.get(chance.one_of(others.len())) {
                        Some(other) => room.nearest(other.touching(ground, chance)),
                        None => room.any(chance),
                    }
                } else if index < TOUCHING + ANYWHERE {
                    room.any(chance)
                } else {
                    let step = Vec2::new(chance.near() * spread.x, chance.near() * spread.y);
                    room.nearest(now.centre + step)
                };
                let limit = best.get(KEPT).map_or(f64::INFINITY, |place| place.cost);
                let cost = self.cost(ground, way, centre, limit);
                if cost < limit {
                    let place = Place {
                        cost,
                        spot: Spot { way, centre },
                    };
                    let at = best.partition_point(|other| other.cost <= cost);
                    best.insert(at, place);
                    best.truncate(KEPT + 1);
                }
            }
        }
        let mut found = here;
        for place in best {
            let way = place.spot.way;
            // A part that came with a tilt stays as it is, or is laid upright.
            if rooms.get(way).is_none_or(Room::is_empty) {
                continue;
            }
            let place = self.downhill(ground, &rooms[way], chance, place, ground.size(part, way));
            if place.cost < found.cost {
                found = place;
            }
            if found.cost == 0.0 {
                break;
            }
        }
        if found.cost < here.cost {
            crowd.shift(ground, part, found.spot);
            self.asked += ground.count() as u64;
        }
    }

    /// Cost of a place; gives up once it is beyond the limit.
    fn cost(&mut self, ground: &Ground, way: usize, p: Point, limit: f64) -> f64 {
        self.asked += self.obstacles[way].len() as u64;
        cost(ground, &self.obstacles[way], &mut self.met, p, limit)
    }

    /// Moves a place downhill along axes and diagonals with shrinking steps, then pushes.
    fn downhill(
        &mut self,
        ground: &Ground<'a>,
        room: &Room,
        chance: &mut Chance,
        mut place: Place,
        size: Vec2,
    ) -> Place {
        let reach = REACH * size.x.min(size.y);
        let fine = FINE * reach;
        let mut step = reach;
        while step > fine && place.cost > 0.0 {
            self.gather(place.spot, 2.0 * reach);
            let start = place.spot.centre;
            // Within the reach of what was gathered.
            while step > fine && (place.spot.centre - start).hypot() < reach {
                let slant = if chance.part() < 0.5 { 1.0 } else { -1.0 };
                let direction = match chance.one_of(3) {
                    0 => Vec2::new(slant, 0.0),
                    1 => Vec2::new(0.0, slant),
                    _ => Vec2::new(slant, if chance.part() < 0.5 { 1.0 } else { -1.0 }) * 0.7,
                };
                let mut moved = false;
                for sign in [1.0, -1.0] {
                    let centre =
                        room.nearest(place.spot.centre + room.stride(direction * (step * sign)));
                    let cost = self.close_cost(ground, centre, place.cost);
                    if cost < place.cost {
                        place.cost = cost;
                        place.spot.centre = centre;
                        moved = true;
                        break;
                    }
                }
                if place.cost == 0.0 {
                    return place;
                }
                step *= if moved { 1.1 } else { 0.6 };
                step = step.min(reach);
            }
        }
        self.gather(place.spot, 2.0 * reach);
        self.push(ground, room, place, reach)
    }

    /// The obstacles within reach of a place.
    fn gather(&mut self, spot: Spot, reach: f64) {
        let obstacles = &self.obstacles[spot.way];
        self.asked += obstacles.len() as u64;
        let near = obstacles.iter().filter(|o| o.is_near(spot.centre, reach));
        self.close.clear();
        self.close.extend(near.copied());
    }

    fn close_cost(&mut self, ground: &Ground, p: Point, limit: f64) -> f64 {
        self.asked += self.close.len() as u64;
        cost(ground, &self.close, &mut self.met, p, limit)
    }

    /// Steps that would bring the part clear of one or two of the obstacles at once, were their
    /// boundaries straight; the best by the same reckoning is taken if it truly costs less.
    fn push(&mut self, ground: &Ground, room: &Room, mut place: Place, reach: f64) -> Place {
        const CLEAR: f64 = 1e-4;
        for _ in 0..6 {
            if place.cost == 0.0 {
                break;
            }
            let p = place.spot.centre;
            self.asked += 2 * self.close.len() as u64;
            self.walls.clear();
            for obstacle in &self.close {
                if let Some(wall) = obstacle.out(ground, p).filter(|wall| wall.0 > -reach) {
                    self.walls.push(wall);
                }
            }
            let walls = &self.walls;
            let reckoned = |step: Vec2| -> f64 {
                let left = |&(depth, toward, weight): &(f64, Vec2, f64)| {
                    weight * (depth - toward.dot(step)).max(0.0)
                };
                walls.iter().map(left).sum::<f64>() + 1e-6 * step.hypot()
            };
            let mut best = (f64::INFINITY, p);
            let mut consider = |step: Vec2| {
                if step.hypot2() <= reach * reach {
                    let to = room.nearest(p + step);
                    let cost = reckoned(to - p);
                    if cost < best.0 {
                        best = (cost, to);
                    }
                }
            };
            for (index, a) in walls.iter().enumerate() {
                if a.0 > 0.0 {
                    consider(a.1 * (a.0 + CLEAR));
                }
                for b in &walls[..index] {
                    let cross = a.1.cross(b.1);
                    if (a.0 > 0.0 || b.0 > 0.0) && cross.abs() > 1e-3 {
                        let (da, db) = (a.0 + CLEAR, b.0 + CLEAR);
                        consider(Vec2::new(
                            (da * b.1.y - db * a.1.y) / cross,
                            (db * a.1.x - da * b.1.x) / cross,
                        ));
                    }
                }
            }
            let cost = self.close_cost(ground, best.1, place.cost);
            if cost >= place.cost {
                break;
            }
            place.cost = cost;
            place.spot.centre = best.1;
        }
        place
    }
}

/// Weighted overlap of a place with some obstacles; gives up once it is known to be beyond the limit.
fn cost(
    ground: &Ground,
    obstacles: &[Obstacle],
    met: &mut Vec<(usize, f64)>,
    p: Point,
    limit: f64,
) -> f64 {
    met.clear();
    let mut least = 0.0;
    for (index, obstacle) in obstacles.iter().enumerate() {
        if let Some(more) = obstacle.least_cost(ground, p) {
            // With what those before it cost at the least.
            met.push((index, least));
            least += more;
        }
    }
    // What is known of all at once is mostly enough; each is then looked at more closely. What is known
    // depends on what was asked before, by whichever thread; a cost below the limit does not.
    let mut sum = 0.0;
    for &(index, before) in met.iter().rev() {
        if sum + least >= limit {
            return sum + least;
        }
        least = before;
        sum += obstacles[index].cost(ground, p, limit - sum - least);
    }
    sum
}

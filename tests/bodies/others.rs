//! Men who are in no survey, made from those who are. The same every time.

use super::survey::{Body, Man};
use chalkstripe::order::likely::{ASIDE, DOUBT, Likely, Model, NAMES};

/// Numbers from 0 to 1 of a linear congruential generator: D. E. Knuth, The Art of Computer Programming,
/// volume 2, section 3.3.4, line 26 of table 1 (MMIX).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.next()
    }

    /// Of a normal distribution, nearly: the sum of twelve, less 6.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.next()).sum::<f64>() - 6.0
    }
}

/// Lengths of a body; all else goes round it, or across.
const LENGTHS: [&str; 6] = [
    "height",
    "scye_depth",
    "nape_to_waist",
    "sleeve",
    "outside_leg",
    "inside_leg",
];

/// Two more men for each: himself with his girths and his lengths each up to 15 % more or less, and a
/// mixture of him and another, up to 15 % larger or smaller.
pub(crate) fn others(men: &[Man]) -> Vec<Man> {
    let mut chance = Chance(20_261_125);
    let mut found = Vec::new();
    for man in men {
        let (round, long) = (chance.between(0.85, 1.15), chance.between(0.85, 1.15));
        let stretched = man.body.iter().map(|(name, cm)| {
            let by = if LENGTHS.contains(name) { long } else { round };
            (*name, by * cm)
        });
        found.push(stretched.collect());
        let other = &men[(chance.next() * men.len() as f64) as usize % men.len()];
        let (part, by) = (chance.next(), chance.between(0.85, 1.15));
        let mixed = man.body.iter().filter_map(|(name, cm)| {
            let both = part * cm + (1.0 - part) * other.body.get(name)?;
            Some((*name, by * both))
        });
        found.push(mixed.collect());
    }
    numbered(found)
}

/// The least and the most of stature and chest that a survey of thousands has, and the most of the waist, cm.
const STATURE: (f64, f64) = (150.0, 205.0);
const CHEST: (f64, f64) = (75.0, 145.0);
const WAIST: (f64, f64) = (58.0, 140.0);

/// So many men out to the ends of what men are: every other one of any stature and any chest, the others as
/// they may come; whatever else they measure, with half again as much spread as the men of the survey have.
pub(crate) fn extremes(count: usize, seed: u64) -> Vec<Man> {
    let mut chance = Chance(seed);
    let model = measured();
    let men = (0..count).map(|i| {
        let mut body = Body::new();
        if i % 2 == 0 {
            body.insert("height", chance.between(STATURE.0, STATURE.1));
            body.insert("chest", chance.between(CHEST.0, CHEST.1));
        }
        for (at, name) in NAMES.into_iter().enumerate() {
            if body.contains_key(name) {
                continue;
            }
            let (cm, spread) = match Likely::by(&model, &body).expected(name) {
                Some(expected) => (expected.cm, (expected.most / expected.cm).ln() / DOUBT),
                // Nothing else is known.
                None => (model.mean[at].exp(), model.covariance[at][at].sqrt()),
            };
            body.insert(name, cm * (1.5 * spread * chance.normal()).exp());
            for (held, (least, most)) in [("height", STATURE), ("chest", CHEST), ("waist", WAIST)] {
                body.entry(held)
                    .and_modify(|value| *value = value.clamp(least, most));
            }
        }
        body
    });
    numbered(men.collect())
}

/// The survey's model without what it allows for a tailor's tape: his hand is no part of a man.
fn measured() -> Model {
    let mut model = Model::survey().clone();
    for (i, aside) in ASIDE.iter().enumerate() {
        // What a measure has of its own is little beside; the knee is all another's.
        model.covariance[i][i] = (model.covariance[i][i] - 0.8 * aside * aside).max(0.0);
    }
    model
}

fn numbered(bodies: Vec<Body>) -> Vec<Man> {
    let men = bodies.into_iter().zip(1..);
    men.map(|(body, line)| Man {
        line,
        body,
        besides: Body::new(),
        unread: Vec::new(),
    })
    .collect()
}

//! What is believed of the numbers of a house file, by name.

use super::house::HouseValue;
use super::words::shown;

/// The beginning of a name with the least and most that is believed of such numbers, the longer beginning
/// first. A number of the house file that none of them covers fails a test.
const BOUNDS: &[(&str, f64, f64)] = &[
    ("allowance.", 0.0, 15.0),
    ("inlay.", 0.0, 15.0),
    ("mitre.", 1.0, 10.0),
    ("print.", 0.0, 5.0),
    ("plot.", 1.0, 8.0),
    ("baste.", 0.0, 10.0),
    ("ease.crown", 0.0, 0.2),
    ("ease.hand", 0.0, 15.0),
    ("ease.biceps", 0.0, 20.0),
    ("ease.", 0.0, 50.0),
    ("wadding.", 0.0, 4.0),
    ("belly.cut", 0.0, 1.0),
    ("belly.rise", 0.0, 0.5),
    ("belly.hem", 0.0, 1.0),
    ("belly.", 0.0, 3.0),
    ("spacing.buttons", 1.0, 30.0),
    ("spacing.", 0.0, 15.0),
    ("button.front_thick", 0.1, 1.5),
    ("button.cuff_thick", 0.1, 1.5),
    ("button.", 0.5, 5.0),
    ("collar.stand", 1.5, 5.0),
    ("collar.fall", 2.5, 8.0),
    ("collar.swing", 2.0, 30.0),
    ("collar.turn", 0.1, 1.0),
    ("collar.over", -0.2, 1.0),
    ("collar.", 0.0, 1.5),
    ("silk.turn", 0.0, 0.4),
    ("silk.join", 2.0, 12.0),
    ("silk.off", -45.0, 45.0),
    ("braid.", 0.3, 4.0),
    ("pocket.level", 2.0, 20.0),
    ("pocket.bag", 5.0, 40.0),
    ("pocket.jet", 0.2, 2.0),
    ("pocket.", 1.0, 12.0),
    ("quarters.closed_hem", 3.0, 15.0),
    ("quarters.classic_hem", 6.0, 16.0),
    ("quarters.open_hem", 8.0, 18.0),
    ("quarters.", 0.0, 6.0),
    ("scye.front_pitch", 0.16, 0.32),
    ("cloth.width", 65.0, 320.0),
    ("cloth.selvedge", 0.0, 6.0),
    ("cloth.gap", 0.0, 3.0),
    ("cloth.ends", 0.0, 100.0),
    ("cloth.table", 0.0, 10000.0),
    ("cloth.shrinkage", 0.0, 0.15),
    ("cloth.step_yards", 0.125, 10.0),
    ("cloth.step", 1.0, 1000.0),
    ("grain.", 0.0, 22.5),
    ("lining.pleat", 0.0, 6.0),
    ("lining.rise", 0.0, 4.0),
    ("lining.hem_short", 0.5, 4.0),
    ("lining.jump", 0.5, 4.0),
    ("lining.", 0.0, 1.5),
    ("canvas.behind_roll", 0.0, 5.0),
    ("canvas.", 0.0, 20.0),
    ("tape.", 0.0, 3.0),
    ("trousers.side_back", 0.0, 2.0),
    ("trousers.pleat_place", -3.0, 3.0),
    ("trousers.waistband", 1.0, 12.0),
    ("trousers.fly", 2.0, 8.0),
    ("trousers.fork_ease", 0.0, 8.0),
    ("trousers.back_rise", 2.0, 9.0),
    ("trousers.", 0.5, 40.0),
    ("waistcoat.shoulder_part", 0.4, 1.0),
    ("waistcoat.welt", 1.0, 6.0),
    ("waistcoat.strap", 0.5, 8.0),
    ("waistcoat.scye", 0.0, 8.0),
    ("waistcoat.", 0.0, 12.0),
    ("width.", 20.0, 320.0),
    ("derived.", -5.0, 150.0),
];

/// Names whose numbers must be eighths, as lengths of cloth are written in them.
const EIGHTHS: &[&str] = &["cloth.step_yards"];

/// The beginnings of names whose numbers must be whole.
const WHOLE: &[&str] = &["plot."];

/// The most that is believed of a number that [`BOUNDS`] does not cover.
const MOST: f64 = 100.0;

/// The most numbers that one allowance may have along its edge.
const MOST_ALONG: usize = 50;

/// Returns the least and the most that is believed of a number of that name.
pub(super) fn bounds(name: &str) -> (f64, f64) {
    let known = BOUNDS.iter().find(|(start, ..)| name.starts_with(start));
    known.map_or((0.0, MOST), |(_, least, most)| (*least, *most))
}

/// Tells whether a number of that name must be whole.
pub(super) fn is_whole(name: &str) -> bool {
    WHOLE.iter().any(|start| name.starts_with(start))
}

/// Checks that the numbers of a value lie within what is believed of its name.
pub(super) fn bounded(name: &str, value: &HouseValue) -> Result<(), String> {
    bounded_by(name, value, bounds(name))
}

/// Checks that the numbers of a value lie within bounds, and have the form that its name asks for.
pub(super) fn bounded_by(
    name: &str,
    value: &HouseValue,
    (least, most): (f64, f64),
) -> Result<(), String> {
    let numbers = match value {
        HouseValue::Number(number) => std::slice::from_ref(number),
        HouseValue::Along(numbers) => numbers,
        HouseValue::Word(_) => return Ok(()),
    };
    if numbers.len() > MOST_ALONG {
        let found = numbers.len();
        return Err(format!("it has {found} numbers; {MOST_ALONG} is the most"));
    }
    let fraction = numbers.iter().find(|n| n.fract() != 0.0 && n.is_finite());
    if let Some(fraction) = fraction.filter(|_| is_whole(name)) {
        let fraction = shown(*fraction);
        return Err(format!(
            "it must be a whole number from {least} to {most}, not {fraction}"
        ));
    }
    let eighths = EIGHTHS.contains(&name);
    if let Some(part) = numbers
        .iter()
        .find(|n| eighths && (**n * 8.0).fract() != 0.0)
    {
        let part = shown(*part);
        return Err(format!(
            "it must be a number of eighths, as 0.125, 0.25 or 0.5, not {part}"
        ));
    }
    match numbers.iter().find(|n| !(least..=most).contains(*n)) {
        Some(stray) => Err(format!(
            "{} cannot be right: it must be between {least} and {most}",
            shown(*stray)
        )),
        None => Ok(()),
    }
}

/// Tells whether something is said of a name's numbers.
#[cfg(test)]
pub(super) fn covers(name: &str) -> bool {
    BOUNDS.iter().any(|(start, ..)| name.starts_with(start))
}

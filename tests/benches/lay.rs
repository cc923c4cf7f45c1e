//! The lay's search on strip-packing instances of the literature:
//! `cargo bench --bench lay -- --seconds 20 --seed 1 FILE...` prints `name length density seconds`.

use chalkstripe::drafting::Count;
use chalkstripe::lay::{ClothRules, Effort, Item, Search, plan};
use chalkstripe::order::{Face, Layout};
use kurbo::{Point, Vec2};
use serde_json::Value;
use std::process::ExitCode;
use std::time::Instant;

const USAGE: &str =
    "cargo bench --bench lay -- [--seconds N | --rounds N] [--seed S] [--threads N] FILE...";

/// What to run.
struct Wanted {
    effort: Effort,
    seed: u64,
    threads: usize,
    files: Vec<String>,
}

fn main() -> ExitCode {
    let wanted = match wanted(std::env::args().skip(1)) {
        Ok(wanted) => wanted,
        Err(fault) => {
            eprintln!("error: {fault}\nusage: {USAGE}");
            return ExitCode::from(2);
        }
    };
    if wanted.files.is_empty() {
        println!("no instance was named: {USAGE}");
    }
    let mut well = true;
    for file in &wanted.files {
        match run(file, &wanted) {
            Ok(line) => println!("{line}"),
            Err(fault) => {
                eprintln!("error: {file}: {fault}");
                well = false;
            }
        }
    }
    if well {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(2)
    }
}

fn wanted(mut arguments: impl Iterator<Item = String>) -> Result<Wanted, String> {
    let mut wanted = Wanted {
        effort: Effort::Seconds(20.0),
        seed: 1,
        threads: 2,
        files: Vec::new(),
    };
    while let Some(argument) = arguments.next() {
        let mut value = || arguments.next().ok_or(format!("{argument} needs a value"));
        match argument.as_str() {
            "--seconds" => wanted.effort = Effort::Seconds(number(&value()?)?),
            "--rounds" => wanted.effort = Effort::Rounds(number(&value()?)?),
            "--seed" => wanted.seed = number(&value()?)?,
            "--threads" => wanted.threads = number(&value()?)?,
            "--bench" => {} // cargo adds it
            option if option.starts_with("--") => return Err(format!("no option {option}")),
            _ => wanted.files.push(argument),
        }
    }
    Ok(wanted)
}

fn number<T: std::str::FromStr>(text: &str) -> Result<T, String> {
    text.parse()
        .map_err(|_| format!("`{text}` is not a number of that kind"))
}

fn run(file: &str, wanted: &Wanted) -> Result<String, String> {
    let text = std::fs::read_to_string(file).map_err(|e| e.to_string())?;
    let instance: Value = serde_json::from_str(&text).map_err(|e| e.to_string())?;
    let began = Instant::now();
    let name = instance["name"].as_str().unwrap_or(file).to_owned();
    let height = instance["strip_height"].as_f64().ok_or("no strip_height")?;
    // Instances have units of their own: as cloth 1.5 m wide, all bounds mean the same.
    let scale = 1500.0 / height;
    let rows = instance["items"].as_array().ok_or("no items")?;
    let items = rows
        .iter()
        .enumerate()
        .map(|(index, row)| item(index, row, scale))
        .collect::<Result<Vec<_>, _>>()?;
    let cloth = ClothRules {
        width: 1500.0,
        selvedge: 0.0,
        layout: Layout::Open,
        face: Face::Up,
        gap: 0.0,
        longest: None,
        repeat: Vec2::ZERO,
        remnants: Vec::new(),
    };
    let search = Search {
        seed: wanted.seed,
        effort: wanted.effort,
        threads: wanted.threads,
        ..Search::default()
    };
    let lay = plan(&items, &cloth, &search).map_err(|fault| fault.to_string())?;
    Ok(format!(
        "{name} {:.3} {:.4} {:.1}",
        lay.length / scale,
        lay.efficiency,
        began.elapsed().as_secs_f64()
    ))
}

/// One row of the instance: the strip's height lies across the cloth, its length along it.
fn item(index: usize, row: &Value, scale: f64) -> Result<Item, String> {
    let fault = |what: &str| format!("item {index}: {what}");
    let shape = &row["shape"];
    let data = &shape["data"];
    let ring = |value: &Value| ring(value, scale).ok_or(fault("a corner is not two numbers"));
    let (outline, holes) = match shape["type"].as_str() {
        Some("simple_polygon") => (ring(data)?, Vec::new()),
        Some("polygon") => {
            let inner = data["inner"].as_array().cloned().unwrap_or_default();
            let holes = inner.iter().map(ring).collect::<Result<_, _>>()?;
            (ring(&data["outer"])?, holes)
        }
        Some("rectangle") => {
            let [x, y, width, height] = ["x_min", "y_min", "width", "height"]
                .map(|key| data[key].as_f64().unwrap_or_default() * scale);
            let corners = [
                (x, y),
                (x + width, y),
                (x + width, y + height),
                (x, y + height),
            ];
            (corners.map(Point::from).to_vec(), Vec::new())
        }
        other => return Err(fault(&format!("a shape of type {other:?} is not known"))),
    };
    let turns = match row["allowed_orientations"].as_array() {
        Some(angles) if !angles.is_empty() => angles
            .iter()
            .filter_map(Value::as_f64)
            .map(|d| d.rem_euclid(360.0))
            .collect(),
        _ => vec![0.0],
    };
    let demand = row["demand"].as_u64().unwrap_or(1);
    Ok(Item {
        piece: index,
        name: format!("item {index}"),
        outline,
        holes,
        spare: 0.0,
        count: Count::Alike(u32::try_from(demand).map_err(|_| fault("too many"))?),
        grain: Vec2::new(1.0, 0.0),
        turns,
        off_grain: 0.0,
        fold: None,
        matches: Vec::new(),
    })
}

/// A ring of corners, without the first repeated at its end.
fn ring(value: &Value, scale: f64) -> Option<Vec<Point>> {
    let mut corners = value
        .as_array()?
        .iter()
        .map(|corner| {
            let pair = corner.as_array()?;
            Some(Point::new(
                pair.first()?.as_f64()? * scale,
                pair.get(1)?.as_f64()? * scale,
            ))
        })
        .collect::<Option<Vec<Point>>>()?;
    if corners.len() > 1 && corners.first() == corners.last() {
        corners.pop();
    }
    Some(corners)
}

//! Runs the lay's search on strip-packing instances of the literature (JSON) and on orders (TOML).
//! `cargo bench --bench lay -- --seconds 20 --seed 1 FILE...` prints `name length density seconds MB`, the last
//! the most memory that the program has taken so far (on Linux), and with `--each` the length of the first lay and
//! the best after each round. With `--together` all orders are laid in one lay.

use chalkstripe::diagnostic::Diagnostic;
use chalkstripe::draft::Count;
use chalkstripe::job;
use chalkstripe::lay::{self, Buying, ClothRules, Effort, Item, Progress, Repeat, Search, plan};
use chalkstripe::order::{self, Face, Layout};
use chalkstripe::workshop::Workshop;
use kurbo::{Point, Vec2};
use serde_json::Value;
use std::path::Path;
use std::process::ExitCode;
use std::sync::Mutex;
use std::time::Instant;

const USAGE: &str = "cargo bench --bench lay -- [--seconds N | --rounds N] [--seed S] [--threads N] [--each] [--together] FILE...";

/// What to run.
struct Wanted {
    effort: Effort,
    seed: u64,
    threads: usize,
    each: bool,
    together: bool,
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
    let files: Vec<&[String]> = match wanted.together {
        true => vec![&wanted.files],
        false => wanted.files.chunks(1).collect(),
    };
    for batch in files.into_iter().filter(|batch| !batch.is_empty()) {
        match run(batch, &wanted) {
            Ok(line) => println!("{line}"),
            Err(fault) => {
                eprintln!("error: {}: {fault}", batch.join(", "));
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
        each: false,
        together: false,
        files: Vec::new(),
    };
    while let Some(argument) = arguments.next() {
        let mut value = || arguments.next().ok_or(format!("{argument} needs a value"));
        match argument.as_str() {
            "--seconds" => wanted.effort = Effort::Seconds(number(&value()?)?),
            "--rounds" => wanted.effort = Effort::Rounds(number(&value()?)?),
            "--seed" => wanted.seed = number(&value()?)?,
            "--threads" => wanted.threads = number(&value()?)?,
            "--each" => wanted.each = true,
            "--together" => wanted.together = true,
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

/// Lays the items of files. Returns the line that is printed of them.
fn run(files: &[String], wanted: &Wanted) -> Result<String, String> {
    let (name, items, cloth, scale) = match files {
        [file] if !file.ends_with(".toml") => instance(file)?,
        _ => orders(files)?,
    };
    let began = Instant::now();
    let lengths = Mutex::new(Vec::new());
    let told = |progress: Progress| {
        if let Ok(mut lengths) = lengths.lock() {
            lengths.push(progress.length / scale);
        }
    };
    let kept = &Workshop::embedded().kept;
    let search = Search {
        seed: wanted.seed,
        kept,
        effort: wanted.effort,
        threads: Some(wanted.threads),
        progress: Some(&told),
        ..Search::default()
    };
    let lay = plan(&items, &cloth, &search).map_err(|fault| fault.to_string())?;
    let mut line = format!(
        "{name} {:.3} {:.4} {:.1} {}",
        lay.length / scale,
        lay.efficiency,
        began.elapsed().as_secs_f64(),
        memory()
    );
    if wanted.each {
        let lengths = lengths.into_inner().unwrap_or_default();
        for length in lengths {
            line.push_str(&format!(" {length:.1}"));
        }
    }
    Ok(line)
}

/// What is to be laid: its name, the items, the cloth, and mm to one of its own units.
type Task = (String, Vec<Item>, ClothRules, f64);

/// Returns the most memory that the program has taken, MB; 0 where the system does not tell.
fn memory() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kilobytes = line.and_then(|line| line.trim().strip_suffix("kB"));
    kilobytes.map_or(0, |number| number.trim().parse().unwrap_or(0) / 1024)
}

/// Reads orders of one cloth, and returns the items of it.
fn orders(files: &[String]) -> Result<Task, String> {
    let fault = |faults: Vec<Diagnostic>| {
        let faults: Vec<String> = faults.iter().map(|f| f.message.clone()).collect();
        faults.join("; ")
    };
    let mut all = Vec::new();
    for file in files {
        let order = order::read(Path::new(file)).map_err(fault)?.order;
        let drafted = job::draft(Workshop::embedded(), &order).map_err(|told| told.to_string())?;
        all.push((order, drafted.pattern));
    }
    let (order, pattern) = match &all[..] {
        [one] => one.clone(),
        _ => job::together(&all).map_err(|told| told.to_string())?,
    };
    let items = lay::items(&pattern, &order.cloth.material, order.cloth.nap);
    let cloth = ClothRules::new(
        &order.cloth,
        &Buying::new(&order.house, &order.cloth, order.unit),
    );
    Ok((order.name, items, cloth, 1.0))
}

/// Reads an instance of the literature.
fn instance(file: &str) -> Result<Task, String> {
    let text = std::fs::read_to_string(file).map_err(|e| e.to_string())?;
    let instance: Value = serde_json::from_str(&text).map_err(|e| e.to_string())?;
    let name = instance["name"].as_str().unwrap_or(file).to_owned();
    let height = instance["strip_height"].as_f64().ok_or("no strip_height")?;
    // Instances have units of their own. They are laid as cloth 1.5 m wide, so that all bounds mean the same.
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
        table: None,
        repeat: Repeat::default(),
        remnants: Vec::new(),
    };
    Ok((name, items, cloth, scale))
}

/// Reads one item of an instance. The strip's height lies across the cloth, its length along it.
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
        name: format!("item {index}"),
        kind: format!("item {index}"),
        holes,
        count: Count::Alike(u32::try_from(demand).map_err(|_| fault("too many"))?),
        grain: Vec2::new(1.0, 0.0),
        turns,
        ..Item::new(index, outline)
    })
}

/// Reads a ring of corners, without the first repeated at its end.
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

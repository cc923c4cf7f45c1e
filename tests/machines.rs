//! Orders are independent of one another and of the machine: the same files come of them on any number of threads, in
//! any country, and from many jobs at once of which some were killed, by the recipe of DEVELOPERS.md.

use crate::program::{run, told, trousers};
use crate::skipped::skipped_but_on_ci;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Returns every file below a folder with its bytes.
pub(crate) fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            let inner = files(&path).into_iter();
            found.extend(inner.map(|(file, bytes)| (format!("{name}/{file}"), bytes)));
        } else {
            found.insert(name, fs::read(&path).unwrap());
        }
    }
    found
}

#[test]
fn threads_locale_and_time_zone_change_no_byte() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("suit.toml"), trousers()).unwrap();
    let cut = |out: &str, settings: &[(&str, &str)]| {
        let output = Command::new(env!("CARGO_BIN_EXE_chalkstripe"))
            .args(["cut", "suit.toml", "--rounds", "6", "--dxf", "--out", out])
            .envs(settings.iter().copied())
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert!(output.status.success(), "{settings:?}: {}", told(&output));
        files(&folder.path().join(out))
    };
    let first = cut(
        "a",
        &[("RAYON_NUM_THREADS", "1"), ("LC_ALL", "C"), ("TZ", "UTC")],
    );
    assert!(first.len() > 12, "{} files", first.len());
    for (out, settings) in [
        (
            "b",
            [
                ("RAYON_NUM_THREADS", "2"),
                ("LC_ALL", "de_DE.UTF-8"),
                ("TZ", "Asia/Kathmandu"),
            ],
        ),
        (
            "c",
            [
                ("RAYON_NUM_THREADS", "8"),
                ("LC_ALL", "tr_TR.UTF-8"),
                ("TZ", "America/St_Johns"),
            ],
        ),
    ] {
        let other = cut(out, &settings);
        assert!(first.keys().eq(other.keys()), "{settings:?}");
        for (file, bytes) in &first {
            assert!(other[file] == *bytes, "{file} differs with {settings:?}");
        }
    }
}

/// The lines of the recipe in DEVELOPERS.md that begin with this word, each of which must run as it stands.
fn recipe(begins: &str) -> String {
    let text = include_str!("../DEVELOPERS.md");
    let (_, section) = text.split_once("## Many orders\n").unwrap();
    let mut lines = section.lines();
    lines
        .find(|line| line.starts_with(begins))
        .unwrap()
        .to_owned()
}

/// Starts the recipe in a folder of which `orders` holds the orders.
fn begin(folder: &Path) -> Child {
    let program = Path::new(env!("CARGO_BIN_EXE_chalkstripe"));
    let path = std::env::var("PATH").unwrap_or_default();
    let own = program.parent().unwrap().display();
    Command::new("sh")
        .args(["-c", &format!("exec {}", recipe("parallel "))])
        .env("PATH", format!("{own}:{path}"))
        .env("HOME", folder)
        .current_dir(folder)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Returns the orders that the log of the jobs says were cut, each with how often.
fn cut_of(log: &Path) -> BTreeMap<String, usize> {
    let mut cut = BTreeMap::new();
    for line in fs::read_to_string(log).unwrap_or_default().lines().skip(1) {
        let columns: Vec<&str> = line.split('\t').collect();
        if let [_, _, _, _, _, _, "0", "0", command] = columns[..] {
            *cut.entry(command.to_owned()).or_default() += 1;
        }
    }
    cut
}

/// GNU parallel keeps a log of its jobs; killed in the middle it goes on from there, and every order is cut once.
#[test]
fn forty_orders_are_cut_once_each_although_the_jobs_are_killed_half_way() {
    if Command::new("parallel").arg("--version").output().is_err() {
        skipped_but_on_ci("GNU parallel is not installed");
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let orders = folder.path().join("orders");
    fs::create_dir(&orders).unwrap();
    for i in 0..40 {
        let waist = format!("waist = {}", 84.0 + f64::from(i) / 5.0);
        let text = trousers().replace("waist = 88", &waist);
        fs::write(orders.join(format!("{i:02}.toml")), text).unwrap();
    }
    let log = folder.path().join("cut.log");
    let mut first = begin(folder.path());
    let since = Instant::now();
    while cut_of(&log).len() < 8 {
        assert!(since.elapsed() < Duration::from_secs(120), "nothing is cut");
        std::thread::sleep(Duration::from_millis(20));
    }
    first.kill().unwrap();
    first.wait().unwrap();
    let before = cut_of(&log).len();
    assert!(before < 40, "all were cut before the kill");
    let again = begin(folder.path()).wait_with_output().unwrap();
    assert!(
        again.status.success(),
        "{}",
        String::from_utf8_lossy(&again.stderr)
    );
    let cut = cut_of(&log);
    assert_eq!(cut.len(), 40, "{cut:?}");
    assert!(cut.values().all(|times| *times == 1), "{cut:?}");
    // Alone, each gives the same.
    for name in ["00", "17", "39"] {
        let order = format!("orders/{name}.toml");
        let alone = run(&["cut", &order, "--out", "alone"], folder.path());
        assert!(alone.status.success(), "{}", told(&alone));
        let of = |out: &str| files(&folder.path().join(out).join(name));
        assert!(of("out") == of("alone"), "{name} differs");
    }
    for i in 0..40 {
        assert!(
            folder
                .path()
                .join(format!("out/{i:02}/report.json"))
                .is_file()
        );
    }
}

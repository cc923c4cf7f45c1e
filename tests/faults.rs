//! The real program where the machine fails it: killed at any moment, a full disk, a folder that goes
//! away, two runs at once. No sheet is ever half written, and no good one is lost.
#![cfg(unix)]

use crate::program::{PLAIN, tells, told};
use crate::skipped::skipped;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::sync::LazyLock;
use std::thread::sleep;
use std::time::{Duration, Instant};

/// The folder of the sheets within `--out`, and what may stand there besides sheets.
const ORDER: &str = "order";
const ASIDE: &str = ".chalkstripe";
const NOTICE: &str = "DO-NOT-CUT.txt";

type Files = BTreeMap<String, Vec<u8>>;

fn command(order: &Path, out: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_chalkstripe"));
    command.args(["cut", "--rounds", "1", "--paper", "a0", "--out"]);
    command.arg(out).arg(order);
    command.stdout(Stdio::null()).stderr(Stdio::piped());
    command
}

/// The files of a folder, the side folder left out.
fn files(folder: &Path) -> Files {
    let Ok(entries) = fs::read_dir(folder) else {
        return Files::new();
    };
    let entries = entries
        .map(|e| e.unwrap())
        .filter(|e| e.file_name() != ASIDE);
    entries
        .map(|e| {
            (
                e.file_name().into_string().unwrap(),
                fs::read(e.path()).unwrap(),
            )
        })
        .collect()
}

/// An order that is quickly cut: the trousers of the plain one.
fn trousers() -> String {
    let (head, rest) = PLAIN.split_once("[jacket]").unwrap();
    let (_, trousers) = rest.split_once("[trousers]").unwrap();
    format!("{head}[trousers]{trousers}")
}

/// What is cut from each of the two orders, found once.
static SHEETS: LazyLock<[Files; 2]> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let orders = write_orders(folder.path());
    let sheets = [0, 1].map(|i| {
        let out = folder.path().join(format!("out-{i}"));
        assert!(command(&orders[i], &out).status().unwrap().success());
        files(&out.join(ORDER))
    });
    assert!(sheets[0].len() >= 6 && sheets[0].keys().eq(sheets[1].keys()));
    assert!(sheets[0]["ticket.pdf"] != sheets[1]["ticket.pdf"]);
    sheets
});

/// Writes two orders of one name that differ in what is cut from them.
fn write_orders(folder: &Path) -> [PathBuf; 2] {
    let plain = trousers();
    let other = plain.replace("Edmund Farrow", "Ambrose Tell");
    let texts = [plain, other.replace("waist = 88", "waist = 90")];
    [0, 1].map(|i| {
        let path = folder.join(format!("{i}/{ORDER}.toml"));
        fs::create_dir(path.parent().unwrap()).unwrap();
        fs::write(&path, &texts[i]).unwrap();
        path
    })
}

/// A folder with the two orders in it.
struct Pair {
    folder: tempfile::TempDir,
    orders: [PathBuf; 2],
}

impl Pair {
    fn new() -> Self {
        LazyLock::force(&SHEETS);
        let folder = tempfile::tempdir().unwrap();
        let orders = write_orders(folder.path());
        Self { folder, orders }
    }

    /// Whose sheets are in the folder: those of one order, or of both if the notice is among them.
    fn whose(&self, found: &Files) -> String {
        let mut theirs = [true, true];
        for (name, bytes) in found.iter().filter(|(name, _)| *name != NOTICE) {
            let is = [0, 1].map(|i| SHEETS[i].get(name) == Some(bytes));
            assert!(is[0] || is[1], "{name} is damaged: {} bytes", bytes.len());
            theirs = [theirs[0] && is[0], theirs[1] && is[1]];
        }
        let missing = SHEETS[0].keys().find(|name| !found.contains_key(*name));
        assert_eq!(missing, None, "a sheet was lost");
        if found.contains_key(NOTICE) {
            return "under the notice".into();
        }
        assert!(
            theirs[0] || theirs[1],
            "sheets of two orders without a notice"
        );
        format!("of order {}", usize::from(!theirs[0]))
    }
}

/// Numbers that look random, the same in every run of the tests.
struct Chance(u64);

impl Chance {
    fn below(&mut self, most: Duration) -> Duration {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        most.mul_f64((self.0 >> 40) as f64 / (1_u64 << 24) as f64)
    }
}

/// `CHALKSTRIPE_KILLS=200` for a long trial.
#[test]
fn killed_at_any_moment_the_sheets_are_whole() {
    let runs = std::env::var("CHALKSTRIPE_KILLS").map_or(12, |n| n.parse().unwrap());
    let pair = Pair::new();
    let out = pair.folder.path().join("out");
    let sheets = out.join(ORDER);
    let began = Instant::now();
    assert!(command(&pair.orders[0], &out).status().unwrap().success());
    let whole = began.elapsed();
    let mut chance = Chance(7);
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    for run in 0..runs {
        let mut child = command(&pair.orders[(run + 1) % 2], &out).spawn().unwrap();
        // Every other time at a moment of the whole run; otherwise while the sheets are written.
        if run % 2 == 0 {
            sleep(chance.below(whole));
        } else {
            wait_for(&sheets.join(ASIDE), &mut child);
            sleep(chance.below(Duration::from_millis(25)));
        }
        child.kill().unwrap();
        let ended = child.wait().unwrap();
        let aside = sheets.join(ASIDE).exists();
        let state = pair.whose(&files(&sheets));
        let what = match (ended.code(), aside) {
            (Some(code), _) => format!("ended with {code} before it was killed"),
            (None, true) => "killed while writing".into(),
            (None, false) => "killed".into(),
        };
        *seen.entry(format!("{what}: sheets {state}")).or_default() += 1;
    }
    for (what, times) in &seen {
        eprintln!("{times:4} × {what}");
    }
    assert!(command(&pair.orders[1], &out).status().unwrap().success());
    let names: Vec<_> = fs::read_dir(&sheets)
        .unwrap()
        .map(|e| e.unwrap().file_name())
        .collect();
    assert_eq!(
        names.len(),
        SHEETS[1].len(),
        "{names:?}: something was left behind"
    );
    assert_eq!(pair.whose(&files(&sheets)), "of order 1");
}

fn wait_for(path: &Path, child: &mut Child) {
    // What an earlier kill left aside is not this run's.
    let began = |folder: &Path| {
        fs::metadata(folder.join("paper-a0.pdf"))
            .and_then(|m| m.modified())
            .ok()
    };
    let before = began(path);
    while began(path) == before && child.try_wait().unwrap().is_none() {
        sleep(Duration::from_micros(200));
    }
}

#[test]
fn two_runs_into_one_folder_leave_the_sheets_of_one() {
    let pair = Pair::new();
    let out = pair.folder.path().join("out");
    for _ in 0..3 {
        let runs = [0, 1].map(|i| command(&pair.orders[i], &out).spawn().unwrap());
        for run in runs {
            let output = run.wait_with_output().unwrap();
            assert!(output.status.success(), "{}", told(&output));
        }
        assert!(pair.whose(&files(&out.join(ORDER))).starts_with("of order"));
        assert!(!out.join(ORDER).join(ASIDE).exists());
    }
}

#[test]
fn a_folder_taken_away_is_told_and_no_crash() {
    let pair = Pair::new();
    let out = pair.folder.path().join("out");
    for _ in 0..3 {
        let mut child = command(&pair.orders[0], &out).spawn().unwrap();
        while child.try_wait().unwrap().is_none() {
            let _ = fs::remove_dir_all(&out);
            sleep(Duration::from_millis(1));
        }
        let output = child.wait_with_output().unwrap();
        let told = told(&output);
        let code = output.status.code();
        let well =
            code == Some(0) || code == Some(2) && told.contains("the sheets cannot be written");
        assert!(well, "{code:?}: {told}");
        let _ = fs::remove_dir_all(&out);
    }
}

/// A run that cannot write everything says so, changes nothing and leaves nothing.
fn refused(pair: &Pair, output: &Output, out: &Path, says: &str) {
    let told = told(output);
    assert_eq!(output.status.code(), Some(2), "{told}");
    assert!(
        told.contains("the sheets cannot be written") && tells(&told, says),
        "{told}"
    );
    assert!(
        !out.join(ORDER).join(ASIDE).exists(),
        "something was left aside"
    );
    assert_eq!(pair.whose(&files(&out.join(ORDER))), "of order 0");
}

/// Where what is printed cannot be taken, that is told and not passed over.
#[test]
#[cfg(target_os = "linux")]
fn a_standard_output_that_is_full_is_told() {
    let full = fs::OpenOptions::new().write(true).open("/dev/full");
    let full = full.expect("the device that is always full");
    let mut command = Command::new(env!("CARGO_BIN_EXE_chalkstripe"));
    let output = command.arg("blocks").stdout(full).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(
        tells(&told(&output), "the disk is full"),
        "{}",
        told(&output)
    );
}

/// A limit on the size of one file fails a write like a disk that is full, and needs no rights.
#[test]
fn a_write_that_fails_changes_nothing() {
    let pair = Pair::new();
    let out = pair.folder.path().join("out");
    assert!(command(&pair.orders[0], &out).status().unwrap().success());
    let limited = |into: &Path| {
        let program = command(&pair.orders[1], into);
        Command::new("sh")
            .args(["-c", "trap '' XFSZ; ulimit -f 64; exec \"$0\" \"$@\""])
            .arg(program.get_program())
            .args(program.get_args())
            .output()
            .unwrap()
    };
    refused(&pair, &limited(&out), &out, "large");
    let fresh = pair.folder.path().join("fresh");
    assert_eq!(limited(&fresh).status.code(), Some(2));
    assert!(!fresh.exists(), "a folder was made for nothing");
}

/// A small disk of its own, where the tests may mount one.
struct Disk(PathBuf);

impl Disk {
    fn new(folder: &Path, size: &str) -> Option<Self> {
        let disk = folder.join("disk");
        fs::create_dir(&disk).unwrap();
        let options = format!("size={size}");
        let mount = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &options, "tmpfs"])
            .arg(&disk)
            .output();
        if mount.is_ok_and(|output| output.status.success()) {
            return Some(Self(disk));
        }
        skipped(
            "no disk can be mounted here (it takes root), so that none is filled or made read-only",
        );
        None
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

#[test]
fn a_full_disk_is_told_and_the_sheets_before_stay() {
    let pair = Pair::new();
    let needed: usize = SHEETS[0].values().map(Vec::len).sum();
    let Some(disk) = Disk::new(pair.folder.path(), &format!("{}k", needed * 3 / 2 / 1024)) else {
        return;
    };
    assert!(
        command(&pair.orders[0], &disk.0)
            .status()
            .unwrap()
            .success()
    );
    let output = command(&pair.orders[1], &disk.0).output().unwrap();
    refused(&pair, &output, &disk.0, "they need");
}

#[test]
fn a_disk_that_is_read_only_is_told() {
    let pair = Pair::new();
    let Some(disk) = Disk::new(pair.folder.path(), "16m") else {
        return;
    };
    assert!(
        command(&pair.orders[0], &disk.0)
            .status()
            .unwrap()
            .success()
    );
    let remount = Command::new("mount")
        .args(["-o", "remount,ro"])
        .arg(&disk.0)
        .status();
    assert!(remount.unwrap().success());
    let output = command(&pair.orders[1], &disk.0).output().unwrap();
    refused(&pair, &output, &disk.0, "is read-only");
}

/// Waits until a run catches Ctrl-C, where the system tells; elsewhere long enough.
fn wait_until_it_listens(child: &Child) {
    const INTERRUPT: u64 = 1 << 1;
    let caught = || {
        let status = fs::read_to_string(format!("/proc/{}/status", child.id())).ok()?;
        let line = status.lines().find_map(|l| l.strip_prefix("SigCgt:"))?;
        u64::from_str_radix(line.trim(), 16).ok()
    };
    while let Some(caught) = caught() {
        if caught & INTERRUPT != 0 {
            return;
        }
        sleep(Duration::from_millis(1));
    }
    sleep(Duration::from_secs(2));
}

fn interrupt(child: &Child) {
    let kill = Command::new("sh")
        .args(["-c", &format!("kill -INT {}", child.id())])
        .status();
    assert!(kill.unwrap().success());
}

#[test]
fn ctrl_c_ends_a_long_lay_with_the_best_so_far() {
    let folder = tempfile::tempdir().unwrap();
    let (order, out) = (folder.path().join("order.toml"), folder.path().join("out"));
    fs::write(&order, trousers()).unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_chalkstripe"));
    command.args(["lay", "--seconds", "3600", "--out"]);
    command.arg(&out).arg(&order);
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    let child = command.spawn().unwrap();
    wait_until_it_listens(&child);
    sleep(Duration::from_millis(500));
    interrupt(&child);
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(130), "{}", told(&output));
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(said.contains("of the cloth used; order "), "{said}");
    let written = files(&out.join(ORDER));
    let names: Vec<_> = written.keys().collect();
    assert_eq!(names, ["lay.json", "lay.plt", "lay.svg"]);
    let (plot, drawing) = (&written["lay.plt"], &written["lay.svg"]);
    assert!(plot.starts_with(b"IN;") && plot.ends_with(b";\n"));
    assert!(
        String::from_utf8_lossy(drawing)
            .trim_end()
            .ends_with("</svg>")
    );
}

#[test]
fn ctrl_c_ends_the_order_at_hand_and_begins_no_other() {
    let folder = tempfile::tempdir().unwrap();
    let orders = folder.path().join("orders");
    fs::create_dir(&orders).unwrap();
    for i in 0..20 {
        fs::write(orders.join(format!("{i:02}.toml")), trousers()).unwrap();
    }
    let out = folder.path().join("out");
    let mut child = command(&orders, &out).spawn().unwrap();
    while !out.join("00/ticket.pdf").exists() {
        assert!(child.try_wait().unwrap().is_none(), "it ended too soon");
        sleep(Duration::from_millis(1));
    }
    interrupt(&child);
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(130), "{}", told(&output));
    assert!(tells(&told(&output), "of the orders were not started"));
    let begun: Vec<PathBuf> = fs::read_dir(&out)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    assert!((1..20).contains(&begun.len()), "{begun:?}");
    for order in begun {
        assert!(
            files(&order).len() >= 6 && !order.join(ASIDE).exists(),
            "{order:?}"
        );
    }
}

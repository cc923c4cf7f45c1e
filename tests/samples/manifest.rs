//! What the first five examples write, byte for byte: `manifest.txt` holds a hash of each file. What changes it was
//! meant to. `CHALKSTRIPE_KEEP=1` writes it anew.

use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::process::Command;

const EXAMPLES: [&str; 5] = [
    "plain-worsted",
    "three-piece",
    "check-side-vents",
    "corpulent-inches",
    "fitted-twice",
];

/// The hash of Fowler, Noll and Vo, 64 bits, variant 1a.
fn hash(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// The authors give these values (from memory).
#[test]
fn the_hash_is_the_published_one() {
    assert_eq!(hash(b""), 0xcbf2_9ce4_8422_2325);
    assert_eq!(hash(b"a"), 0xaf63_dc4c_8601_ec8c);
    assert_eq!(hash(b"foobar"), 0x8594_4171_f739_67e8);
}

#[test]
fn the_first_five_examples_write_the_same_bytes() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let out = tempfile::tempdir().expect("a temporary folder");
    let mut found = String::new();
    for example in EXAMPLES {
        let done = Command::new(env!("CARGO_BIN_EXE_chalkstripe"))
            .arg("cut")
            .arg(root.join(format!("examples/{example}.toml")))
            .args(["--dxf", "--rounds", "4", "--out"])
            .arg(out.path())
            .output()
            .expect("the program runs");
        let said = String::from_utf8_lossy(&done.stderr);
        assert!(done.status.success(), "{example}: {said}");
        let entries = fs::read_dir(out.path().join(example)).expect("its files");
        let mut files: Vec<_> = entries.map(|entry| entry.expect("a file").path()).collect();
        files.retain(|path| path.is_file());
        files.sort();
        for path in files {
            let name = path.file_name().expect("a name").to_string_lossy();
            let bytes = fs::read(&path).expect("a file");
            let _ = writeln!(found, "{:016x} {example}/{name}", hash(&bytes));
        }
    }
    let kept = root.join("tests/samples/manifest.txt");
    if std::env::var_os("CHALKSTRIPE_KEEP").is_some() {
        fs::write(&kept, &found).expect("the manifest can be written");
    }
    let known = fs::read_to_string(&kept).unwrap_or_default();
    let changed: Vec<&str> = found
        .lines()
        .filter(|line| known.lines().all(|old| old != *line))
        .collect();
    assert!(
        changed.is_empty() && known.lines().count() == found.lines().count(),
        "written otherwise now: {changed:#?}; look at them, then run with CHALKSTRIPE_KEEP=1"
    );
}

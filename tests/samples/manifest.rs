//! What the first five examples write, byte for byte: `manifest.txt` holds a hash of each file. What changes it was
//! meant to. `CHALKSTRIPE_KEEP=1` writes it anew.

use crate::machines::files;
use crate::program::{run, told};
use chalkstripe::sheets::fingerprint::Hash;
use std::fmt::Write;
use std::fs;
use std::path::Path;

const EXAMPLES: [&str; 5] = [
    "plain-worsted",
    "three-piece",
    "check-side-vents",
    "corpulent-inches",
    "fitted-twice",
];

fn hash(bytes: &[u8]) -> u64 {
    let mut hash = Hash::default();
    hash.add(bytes);
    hash.0
}

/// G. Fowler, L. C. Noll and K.-P. Vo give these values of FNV-1a with 64 bits (from memory).
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
    for example in EXAMPLES {
        let order = root.join(format!("examples/{example}.toml"));
        let order = order.to_str().expect("a path");
        let cut = ["cut", order, "--dxf", "--rounds", "4", "--out", "out"];
        let done = run(&cut, out.path());
        assert!(done.status.success(), "{example}: {}", told(&done));
    }
    let mut found = String::new();
    for (name, bytes) in files(&out.path().join("out")) {
        let _ = writeln!(found, "{:016x} {name}", hash(&bytes));
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

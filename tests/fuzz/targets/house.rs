//! Any text as a house file and as the choices of a block: taken, or refused with a finding that can
//! be shown.
#![no_main]

use chalkstripe::order::{Catalogue, HouseValue, Style};
use libfuzzer_sys::fuzz_target;
use std::fs;
use std::sync::LazyLock;
use tempfile::TempDir;

/// Two folders of blocks: one for the house file, one for the choices.
static FOLDERS: LazyLock<[TempDir; 2]> = LazyLock::new(|| {
    let folders = [0, 1].map(|_| tempfile::tempdir().expect("a folder"));
    fs::create_dir(folders[1].path().join("jacket")).expect("a folder");
    folders
});

fuzz_target!(|text: &str| {
    let [house, block] = &*FOLDERS;
    fs::write(house.path().join("house.toml"), text).expect("a house file");
    let catalogue = Catalogue::open(Some(house.path())).expect("a folder of blocks");
    match catalogue.house() {
        Ok(house) => {
            for value in house.values().values() {
                if let HouseValue::Number(number) = value {
                    assert!(number.is_finite());
                }
            }
        }
        Err(faults) => {
            assert!(!faults.is_empty());
            for fault in faults {
                assert!(!fault.render(false).is_empty());
            }
        }
    }
    fs::write(block.path().join("jacket/choices.toml"), text).expect("a file of choices");
    let catalogue = Catalogue::open(Some(block.path())).expect("a folder of blocks");
    match catalogue.choices("jacket") {
        Ok(choices) => choices.complete(&mut Style::new()),
        Err(fault) => assert!(!fault.render(false).is_empty()),
    }
});

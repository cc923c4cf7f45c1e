//! Any texts as the files of a garment that is like another: an order for it is read, or it is refused with findings
//! that can be shown. A line `---` parts the choices from the numbers, the numbers from the measures.
#![no_main]

use chalkstripe::diagnostic::Source;
use chalkstripe::order::{self, Catalogue};
use libfuzzer_sys::fuzz_target;
use std::fs;
use std::sync::LazyLock;
use tempfile::TempDir;

const ORDER: &str = "blocks = \".\"\n[client]\nname = \"Invented\"\n[measures]\nheight = 176\nchest = 100\nwaist = 88\n\
     seat = 103\nneck = 40\n[cloth]\nname = \"a coating\"\n[heir]\n";

static FOLDER: LazyLock<TempDir> = LazyLock::new(|| {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("heir")).expect("a folder");
    folder
});

fuzz_target!(|text: &str| {
    let mut parts = text.splitn(3, "\n---\n");
    for name in ["choices.toml", "house.toml", "measures.toml"] {
        let part = parts.next().unwrap_or_default();
        fs::write(FOLDER.path().join("heir").join(name), part).expect("a file");
    }
    let source = Source::new("order.toml", ORDER);
    match order::parse("order", &source, FOLDER.path()) {
        Ok(checked) => assert_eq!(checked.order.garments.len(), 1),
        Err(faults) => {
            assert!(!faults.is_empty());
            for fault in faults {
                assert!(!fault.render(false).is_empty());
            }
        }
    }
    let catalogue = Catalogue::open(Some(FOLDER.path())).expect("a folder of blocks");
    if let Err(fault) = catalogue.choices("heir") {
        assert!(!fault.render(false).is_empty());
    }
});

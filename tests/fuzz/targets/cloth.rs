//! Any text as what an order says of its cloth: it is woven and painted, or refused with findings that can be shown.
#![no_main]

use chalkstripe::diagnostic::Source;
use chalkstripe::order;
use libfuzzer_sys::fuzz_target;
use std::path::Path;

const ORDER: &str = "[client]\nname = \"Invented\"\n[measures]\nheight = 176\nchest = 100\nwaist = 88\nseat = 103\n\
     neck = 40\n[trousers]\n[cloth]\nname = \"a suiting\"\n";

fuzz_target!(|text: &str| {
    let source = Source::new("order.toml", format!("{ORDER}{text}"));
    match order::parse("order", &source, Path::new("/nowhere")) {
        Ok(checked) => {
            let looks = checked.order.look.iter();
            let others = checked.order.other_cloths.iter();
            for look in looks.chain(others.filter_map(|cloth| cloth.look.as_ref())) {
                let cloth = look.cloth.texture();
                for place in [-500.0, 0.0, 0.37, 99.0] {
                    for footprint in [0.08, 5.0, 400.0] {
                        let light = cloth.sample(place, 2.0 * place, footprint);
                        assert!(light.iter().all(|part| part.is_finite()));
                    }
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
});

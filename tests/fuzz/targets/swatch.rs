//! Any bytes as the photograph of a swatch: it is read, whichever way up, and its cloth has a colour everywhere, or it
//! is refused with words.
#![no_main]

use chalkstripe::cloth::{Described, Swatch};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    match Swatch::read(bytes, 120.0, [40.0, 0.0]) {
        Ok(swatch) => {
            let cloth = Described::Swatch(swatch.into()).texture();
            for place in [-75.0, 0.0, 0.3, 39.9, 1e6] {
                for footprint in [0.05, 1.0, 200.0] {
                    let light = cloth.sample(place, -place, footprint);
                    assert!(light.iter().all(|part| part.is_finite()));
                }
            }
        }
        Err(fault) => assert!(!fault.help().is_empty()),
    }
});

//! What is answered, in turn, in a talk that is measured.

pub(crate) const SAID: [(&str, &str); 8] = [
    ("jacket.lapel", "peak"),
    ("jacket.vent", "centre"),
    ("trousers.bottoms", "plain"),
    ("waistcoat.lapel", "none"),
    ("jacket.lapel", "notch"),
    ("jacket.vent", "side"),
    ("trousers.bottoms", "turn_ups"),
    ("waistcoat.lapel", "notch"),
];

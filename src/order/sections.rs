//! The sections of an order's file, and what other workshops call the things in them.

/// The sections that every order may have. A garment has a section of its own beside them.
pub(super) const SECTIONS: &[&str] = &[
    "client",
    "measures",
    "figure",
    "fitting",
    "cloth",
    "lining",
    "trimmings",
    "colours",
    "house",
];

/// Names that a garment or the cloth has elsewhere, each with the name it has here.
const OTHER_NAMES: [(&str, &str); 9] = [
    ("blazer", "jacket"),
    ("coat", "jacket"),
    ("pants", "trousers"),
    ("slacks", "trousers"),
    ("gilet", "waistcoat"),
    ("vest", "waistcoat"),
    ("fabric", "cloth"),
    ("greatcoat", "overcoat"),
    ("topcoat", "overcoat"),
];

/// Returns what a thing is called here, for suggestions: `waistcoat` for `vest`. A name that is not known
/// elsewhere either is returned as it is.
pub fn called_here(name: &str) -> &str {
    let plain = name.to_lowercase();
    let other = OTHER_NAMES.iter().find(|(other, _)| *other == plain);
    other.map_or(name, |(_, here)| here)
}

//! The files of the page, which are part of the program.

/// The files of the page: name, kind and text.
const FILES: [(&str, &str, &str); 5] = [
    ("talk.css", "text/css", include_str!("../files/talk.css")),
    (
        "talk.js",
        "text/javascript",
        include_str!("../files/talk.js"),
    ),
    (
        "keys.js",
        "text/javascript",
        include_str!("../files/keys.js"),
    ),
    (
        "fields.js",
        "text/javascript",
        include_str!("../files/fields.js"),
    ),
    (
        "read.js",
        "text/javascript",
        include_str!("../files/read.js"),
    ),
];

/// The kinds of sheets that a browser opens, by the ending of their names.
const KINDS: [(&str, &str); 6] = [
    (".pdf", "application/pdf"),
    (".svg", "image/svg+xml"),
    (".png", "image/png"),
    (".html", "text/html; charset=utf-8"),
    (".json", "application/json"),
    (".plt", "application/octet-stream"),
];

/// Returns the kind and the text of a file of the page.
pub(in crate::talk) fn file(name: &str) -> Option<(&'static str, &'static str)> {
    let file = FILES.iter().find(|(known, ..)| *known == name)?;
    Some((file.1, file.2))
}

/// Returns the kind of a sheet by its name, or `None` for what is no sheet.
pub(in crate::talk) fn kind_of(name: &str) -> Option<&'static str> {
    let kind = KINDS.iter().find(|(ending, _)| name.ends_with(ending))?;
    (!name.starts_with('.')).then_some(kind.1)
}

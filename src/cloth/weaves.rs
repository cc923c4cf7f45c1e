//! Reads the file of weaves: those that come with the program, and a workshop's own.

use super::weave::Weave;
use crate::diagnostic::{Diagnostic, Source};
use serde::Deserialize;
use std::path::Path;
use std::sync::{Arc, LazyLock};
use toml::Spanned;

/// The file of weaves in a folder of blocks.
const FILE: &str = "weaves.toml";

/// Weaves, or the fault of their file.
type Weaves = Result<Arc<[Weave]>, Diagnostic>;

static BUILT_IN: LazyLock<Weaves> = LazyLock::new(|| {
    let text = include_str!("../../blocks/weaves.toml");
    parse(&Source::new("blocks/weaves.toml", text)).map(Into::into)
});

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    weave: Vec<Spanned<Entry>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    name: String,
    #[serde(default)]
    about: String,
    lifts: Spanned<Vec<String>>,
}

/// Returns the weaves that come with the program, with those that a folder of blocks adds. One of the same name
/// replaces the program's.
///
/// # Errors
/// When the file cannot be read, or something in it is not a weave: with its line.
pub fn weaves(folder: Option<&Path>) -> Weaves {
    let Some(own) = folder
        .map(|folder| folder.join(FILE))
        .filter(|own| own.is_file())
    else {
        return BUILT_IN.clone();
    };
    let mut all = BUILT_IN.clone()?.to_vec();
    for weave in parse(&Source::read(&own)?)? {
        all.retain(|other| other.name != weave.name);
        all.push(weave);
    }
    Ok(all.into())
}

fn parse(source: &Arc<Source>) -> Result<Vec<Weave>, Diagnostic> {
    let file: File = toml::from_str(&source.text).map_err(|error| {
        let fault = Diagnostic::error(format!("the weaves cannot be read: {}", error.message()));
        match error.span() {
            Some(span) => fault.at(source, span, ""),
            None => fault.in_file(source),
        }
    })?;
    let made = file.weave.into_iter().map(|entry| {
        let entry = entry.into_inner();
        let made = Weave::new(&entry.name, &entry.about, entry.lifts.get_ref());
        made.map_err(|fault| {
            let fault = Diagnostic::error(format!("the weave `{}`: {fault}", entry.name));
            fault.at(source, entry.lifts.span(), "")
        })
    });
    made.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn weave(name: &str) -> Weave {
        let all = weaves(None).unwrap();
        all.iter().find(|weave| weave.name == name).unwrap().clone()
    }

    #[test]
    fn the_weaves_of_the_program_are_what_their_names_say() {
        let up = |name: &str, end: i32, pick: i32| {
            let weave = weave(name);
            let of = |at: i32, count: usize| at.rem_euclid(count as i32) as usize;
            weave.lifted(of(end, weave.ends()), of(pick, weave.picks()))
        };
        for (end, pick) in (0..80).flat_map(|end| (0..8).map(move |pick| (end, pick))) {
            assert_ne!(up("plain", end, pick), up("plain", end + 1, pick));
            assert_ne!(up("plain", end, pick), up("plain", end, pick + 1));
            // A twill is the same one pick higher and one end to the right; 2/2: the other two ends on.
            assert_eq!(up("twill", end, pick), up("twill", end + 1, pick - 1));
            assert_ne!(up("twill", end, pick), up("twill", end + 2, pick));
            assert_eq!(
                up("twill_left", end, pick),
                up("twill_left", end - 1, pick - 1)
            );
            assert_eq!(up("prunelle", end, pick), up("prunelle", end + 1, pick - 1));
            // A herringbone rises to the right for ten ends and to the left for ten, and where it turns the ends
            // beside each other are opposite.
            let of_ten = end.rem_euclid(20);
            let way = if of_ten < 10 { -1 } else { 1 };
            let (beside, turn) = (end + 1, of_ten == 9 || of_ten == 19);
            match turn {
                true => assert_ne!(
                    up("herringbone", end, pick),
                    up("herringbone", beside, pick)
                ),
                false => assert_eq!(
                    up("herringbone", end, pick),
                    up("herringbone", beside, pick + way)
                ),
            }
        }
    }

    #[test]
    fn a_workshop_adds_weaves_and_replaces_them() {
        let folder = tempfile::tempdir().unwrap();
        let written = |text: &str| {
            std::fs::write(folder.path().join(FILE), text).unwrap();
            weaves(Some(folder.path()))
        };
        let all = written(
            "[[weave]]\nname = \"twill\"\nlifts = [\"x..\", \".x.\", \"..x\"]\n\
             [[weave]]\nname = \"own\"\nlifts = [\"x.\", \".x\"]\n",
        );
        let all = all.unwrap();
        let named = |name: &str| all.iter().filter(|weave| weave.name == name).count();
        assert_eq!((named("twill"), named("own"), named("plain")), (1, 1, 1));
        let fault = written("[[weave]]\nname = \"own\"\nlifts = [\n\"x.\", \"x.\"]\n").unwrap_err();
        assert!(
            fault.render(false).contains("weaves.toml, line 3:"),
            "{}",
            fault.render(false)
        );
        let unknown = written("[[weeve]]\n").unwrap_err().render(false);
        assert!(unknown.contains("line 1:"), "{unknown}");
    }
}

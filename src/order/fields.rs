//! The fields of an order that are asked for in words, not as choices of a garment: what stands at each, for a form.

use super::alterations::ALTERATIONS;
use super::corrections::CORRECTIONS;
use super::file::TRIMMINGS;
pub use super::keys::Form;
use super::keys::KEYS;
use super::measures::wanted;
use super::slope;

/// A field of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Field {
    /// The section, such as `cloth`.
    pub section: &'static str,
    /// The key in it, such as `width`.
    pub key: &'static str,
    /// What may stand there.
    pub form: Form,
    /// What it is for.
    pub about: &'static str,
}

/// Lists the fields of a section in the order in which they are asked for. The measures are those by which
/// `garments` are drafted. A section that is not known has none.
pub fn fields(section: &str, garments: &[String]) -> Vec<Field> {
    let field = |of, key, form, about| Field {
        section: of,
        key,
        form,
        about,
    };
    match section {
        "trimmings" => {
            let all = TRIMMINGS.iter();
            all.map(|(key, about)| field("trimmings", *key, Form::Text, *about))
                .collect()
        }
        "measures" => wanted(garments)
            .into_iter()
            .map(|kind| field("measures", kind.name, Form::Length, kind.taken))
            .collect(),
        "figure" => CORRECTIONS
            .iter()
            .map(|seen| field("figure", seen.name, Form::Length, seen.about))
            .chain([field("figure", slope::KEY, Form::Text, slope::ABOUT)])
            .collect(),
        "fitting" => ALTERATIONS
            .iter()
            .map(|altered| field("fitting", altered.name, Form::Length, altered.words))
            .collect(),
        other => KEYS
            .iter()
            .filter(|(own, ..)| *own == other)
            .map(|(own, key, form, about)| field(own, key, *form, about))
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_section_has_its_fields() {
        let garments = ["trousers".to_owned()];
        let keys = |section| -> Vec<&str> {
            let all = fields(section, &garments);
            all.iter().map(|field| field.key).collect()
        };
        assert_eq!(keys("lining"), ["body", "sleeves", "width"]);
        assert!(keys("cloth").starts_with(&["name", "width"]));
        assert!(keys("trimmings").contains(&"buttonhole_twist"));
        assert!(keys("measures").contains(&"inside_leg"));
        assert!(!keys("measures").contains(&"sleeve"));
        assert!(keys("figure").contains(&"stooping"));
        assert!(keys("fitting").contains(&"shorten_sleeves"));
        assert!(keys("house").is_empty());
    }
}

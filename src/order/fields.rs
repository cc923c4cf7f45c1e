//! The fields of an order that are asked for in words, not as choices of a garment: what stands at each, for a form.

use super::alterations::ALTERATIONS;
use super::catalogue::Catalogue;
use super::corrections::CORRECTIONS;
use super::file::TRIMMINGS;
pub use super::keys::Form;
use super::keys::KEYS;
use super::slope;

/// A field of a section.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// The section, such as `cloth`.
    pub section: &'static str,
    /// The key in it, such as `width`.
    pub key: String,
    /// What may stand there.
    pub form: Form,
    /// What it is for.
    pub about: String,
}

/// Lists the fields of a section in the order in which they are asked for. The measures and corrections are those by
/// which `garments` are drafted. A section that is not known has none.
pub fn fields(section: &str, garments: &[String], catalogue: &Catalogue) -> Vec<Field> {
    let field = |of, key: &str, form, about: &str| Field {
        section: of,
        key: key.to_owned(),
        form,
        about: about.to_owned(),
    };
    match section {
        "trimmings" => {
            let all = TRIMMINGS.iter();
            all.map(|(key, about)| field("trimmings", key, Form::Text, about))
                .collect()
        }
        "measures" => catalogue
            .measures_for(garments)
            .into_iter()
            .map(|kind| field("measures", kind.name, Form::Length, kind.taken))
            .collect(),
        "figure" => CORRECTIONS
            .iter()
            .chain(&catalogue.corrections_for(garments))
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
            .map(|(own, key, form, about)| field(*own, key, *form, about))
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_section_has_its_fields() {
        let garments = ["trousers".to_owned()];
        let catalogue = Catalogue::embedded();
        let keys = |section| -> Vec<String> {
            let all = fields(section, &garments, &catalogue).into_iter();
            all.map(|field| field.key).collect()
        };
        let has = |section, key: &str| keys(section).iter().any(|own| own == key);
        assert_eq!(keys("lining"), ["body", "sleeves", "width"]);
        assert_eq!(keys("cloth")[..2], ["name", "width"]);
        assert!(has("trimmings", "buttonhole_twist"));
        assert!(has("measures", "inside_leg"));
        assert!(!has("measures", "sleeve") && !has("measures", "coat_length"));
        let coat = fields("measures", &["overcoat".to_owned()], &catalogue);
        assert!(coat.iter().any(|field| field.key == "coat_length"));
        assert!(has("figure", "stooping"));
        assert!(has("fitting", "shorten_sleeves"));
        assert!(keys("house").is_empty());
    }
}

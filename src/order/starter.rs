//! A starter order: valid as it stands, with every choice and its default in comments.

use super::Choice;
use super::alterations::ALTERATIONS;
use super::catalogue::Catalogue;
use super::choices::{Choices, Declared, DefaultChoice, Domain};
use super::corrections::CORRECTIONS;
use super::derive::{FIGURE, complete};
use super::file::TRIMMINGS;
use super::measures::{KINDS, Kind};
use super::phrase::Terms;
use super::slope;
use super::words::exact;
use crate::diagnostic::Diagnostic;
use crate::units::Unit;
use std::collections::BTreeMap;
use std::fmt::Write;

const HEAD: &str = "# An order. Fill it in, delete the # before what you want to change, and run
#   chalkstripe check THIS-FILE    to check it; nothing is written
#   chalkstripe cut THIS-FILE      to draft, lay and draw it
# The draft is a starting point for a trained cutter's eye: cut a toile, or leave the inlays and
# baste, before you cut good cloth.
# An editor can complete and check this file: run
#   chalkstripe schema > order.schema.json
# and make the next line start with #:
# :schema ./order.schema.json

# blocks = \"folder\"   # blocks of your own, before the program's

[client]
name = \"A. Client\"
# reference = \"\"      # if empty, the name of this file
# date = 2026-01-31
# notes = [\"for the ticket\"]
";

const CLOTH: &str = "
# Numbers are cm; or give the unit, as in \"60 in\".
[cloth]
name = \"the cloth\"
width = 150           # selvedge to selvedge
# selvedge = 1        # on each side, not used
# repeat_across = 0   # of a check or stripe
# repeat_along = 0
# nap = \"two_ways\"    # or \"one_way\": nap, pile, shading, a pattern that reads one way
# layout = \"doubled\"  # folded lengthwise; or \"open\", as patterned cloth is laid unless you say
# shrinkage = \"3 %\"   # along
# gap = 0.3           # between the pieces
# price = 85          # of a metre (of a yard where the measures are in inches), or \"85 EUR\": `talk` tells the cost
# remnants = []       # lengths of pieces of it in stock, used before any is ordered: [180, 95]
# To have the suit shown in its cloth, describe the threads; the repeat follows from them:
# colours = { n = \"#2a3550\", w = \"ivory\" }  # by letters of your own: hex, or names of CSS
# weave = \"twill\"     # WEAVES
# warp = \"n60 w2\"     # the ends of one repeat, by colour
# weft = \"warp\"       # the same, or a count of its own
# ends = 26           # to the cm
# picks = 24
# or a picture, PNG or JPEG, in this folder or one within it:
# swatch = \"swatches/314.jpg\"
# swatch_width = 10   # what of the cloth it shows from side to side

# Words for the ticket.
[lining]
# body = \"\"
# sleeves = \"\"

[trimmings]
";

const COLOURS: &str = "
# How it is shown, once the cloth is described.
[colours]
# lining = \"maroon\"    # or a ground and a stripe: [\"ivory\", \"navy\"]
# sleeve_lining = [\"ivory\", \"grey\"]
# felt = \"grey\"
# pocketing = \"ivory\"
# buttons = \"horn\"     # mother_of_pearl, covered; or with a colour: [\"horn\", \"black\"]
# buttonholes = \"navy\" # twist; else a shade of the cloth
# stitching = \"navy\"   # that is seen; else a shade of the cloth
";

const GOODS: &str = "
# Which of another material is meant, and its width, in a section of its own: name = \"\", width = 110
";

/// Returns the text of a starter order for every garment of the catalogue.
///
/// # Errors
/// Returns the fault of the house's numbers, or of a garment whose choices cannot be read.
pub fn starter(catalogue: &Catalogue) -> Result<String, Diagnostic> {
    let mut text = HEAD.to_owned();
    text.push_str(
        "\n# Numbers are in this unit; or give another, as in \"39.5 cm\", \"15 1/2 in\".\n",
    );
    text.push_str("[measures]\nunit = \"cm\"             # or \"in\"\n");
    let house = catalogue.house().map_err(first)?;
    let known = complete(&BTreeMap::from(FIGURE), house);
    let look = |name: &str| known.get(name).map_or(0.0, |known| known.cm);
    for kind in KINDS {
        measure(kind, look(kind.name), "", &mut text);
    }
    for garment in catalogue.garments() {
        let besides = catalogue.besides(garment).into_iter();
        for own in besides.flat_map(|besides| &besides.measures) {
            let whose = format!(" ({garment})");
            measure(&own.kind(), own.example(&look), &whose, &mut text);
        }
    }
    figure(catalogue, &mut text);
    let weaves = catalogue.weaves()?.iter().map(|weave| weave.name.as_str());
    text.push_str(&CLOTH.replace("WEAVES", &weaves.collect::<Vec<_>>().join(", ")));
    for (name, about) in TRIMMINGS {
        let _ = writeln!(text, "{:<25} # {about}", format!("# {name} = \"\""));
    }
    text.push_str(COLOURS);
    if let Ok(materials) = catalogue.materials() {
        text.push_str(GOODS);
        for material in materials.all().skip(1).filter(|m| m.id != "lining") {
            let line = format!("# [{}]", material.id);
            let _ = writeln!(text, "{line:<25} # {}", material.about);
        }
    }
    let terms = catalogue.terms();
    for garment in catalogue.garments() {
        let choices = catalogue.choices(garment)?;
        let _ = writeln!(
            text,
            "\n# Delete this section if none is wanted.\n[{garment}]"
        );
        choices
            .0
            .iter()
            .for_each(|declared| choice(declared, choices, &terms, &mut text));
    }
    text.push_str("\n# The workshop's own numbers for this order, in cm.\n[house]\n# allowance.side_seam_back = 2.5\n");
    Ok(text)
}

/// Returns the first of some faults.
fn first(faults: Vec<Diagnostic>) -> Diagnostic {
    let unsaid = || Diagnostic::error("the house's numbers cannot be read");
    faults.into_iter().next().unwrap_or_else(unsaid)
}

/// Writes `[figure]` and an example of a fitting, all in comments.
fn figure(catalogue: &Catalogue, text: &mut String) {
    text.push_str(
        "\n# What the cutter saw. Amounts are in cm; slopes also in degrees (\"4 deg\"); if the sides differ,\n # { left = 0, right = 1 }. Give only what the measures do not already show.\n[figure]\n# notes = [\"\"]\n",
    );
    for correction in CORRECTIONS.iter().chain(&catalogue.corrections_for(&[])) {
        let other = correction
            .opposite
            .map(|o| format!("; or {o}"))
            .unwrap_or_default();
        let line = format!("# {} = 0", correction.name);
        let _ = writeln!(text, "{line:<25} # {}{other}", correction.about);
    }
    let angle = format!("# {} = 21", slope::KEY);
    let _ = writeln!(text, "{angle:<25} # {}", slope::ABOUT);
    text.push_str("\n# One record for each fitting, by date; the draft follows all of them.\n# [[fitting]]\n# date = 2026-02-14\n# order = \"\"          # its reference, if an earlier order was fitted\n# notes = [\"\"]\n");
    for alteration in ALTERATIONS {
        let line = format!("# {} = 0", alteration.name);
        let _ = writeln!(text, "{line:<31} # {} …", alteration.words);
    }
}

fn measure(kind: &Kind, cm: f64, whose: &str, text: &mut String) {
    let line = format!(
        "{}{} = {cm}",
        if kind.required { "" } else { "# " },
        kind.name
    );
    let rule = if kind.required {
        String::new()
    } else {
        let rule = kind.rule_in(Unit::Cm);
        format!("; else {}", rule.unwrap_or_else(|| "derived".to_owned()))
    };
    let _ = writeln!(text, "{line:<23} # {}{whose}{rule}", kind.taken);
}

pub(super) fn choice(declared: &Declared, choices: &Choices, terms: &Terms, text: &mut String) {
    let unit = terms.unit;
    let _ = writeln!(text, "\n# {}.", declared.about.text(terms));
    if let domain @ Domain::Word(_) = &declared.domain {
        let words = domain.words(terms);
        let width = words
            .iter()
            .map(|(word, _)| word.chars().count())
            .max()
            .unwrap_or_default();
        for (word, about) in words {
            let line = format!("#   {word:<width$}  {about}");
            let _ = writeln!(text, "{}", line.trim_end());
        }
    } else {
        let _ = writeln!(text, "#   {}", declared.domain.described(unit));
    }
    for (other, words) in &declared.only_with {
        let _ = writeln!(text, "#   only with {other} = {}", words.join(" or "));
    }
    let default = match &declared.default {
        DefaultChoice::Fixed(choice) => written(choice, unit),
        DefaultChoice::By(..) => {
            let mut style = super::Style::new();
            choices.complete(&mut style);
            let usual = style.get(&declared.name);
            usual.map(|usual| written(usual, unit)).unwrap_or_default()
        }
        DefaultChoice::Drafted => {
            let _ = writeln!(text, "#   drawn from the figure unless it is given");
            let _ = writeln!(text, "# {} =", declared.name);
            return;
        }
    };
    let _ = writeln!(text, "# {} = {default}", declared.name);
}

/// Writes a choice as an order has it: `"notch"`, `9`, `"3 1/2 in"`, `true`.
pub fn written(choice: &Choice, unit: Unit) -> String {
    match choice {
        Choice::Word(word) => format!("\"{word}\""),
        Choice::Length(mm) if unit == Unit::Cm => exact(mm / 10.0),
        Choice::Length(mm) => unit.written(*mm, Unit::Cm),
        Choice::Number(number) => exact(*number),
        Choice::Flag(flag) => format!("{flag}"),
    }
}

#[cfg(test)]
mod tests {
    use super::super::parse;
    use super::*;
    use crate::diagnostic::Source;
    use std::path::Path;

    #[test]
    fn the_starter_is_an_order_without_a_doubt() {
        let text = starter(&Catalogue::embedded()).unwrap();
        let checked = parse("starter", &Source::new("starter.toml", text), Path::new("")).unwrap();
        assert_eq!(checked.warnings, []);
        assert_eq!(
            checked.order.garments.len(),
            Catalogue::embedded().garments().count()
        );
    }

    /// Taking the # away from every choice and default must leave the same order.
    #[test]
    fn every_commented_choice_is_its_default() {
        let catalogue = Catalogue::embedded();
        let text = starter(&catalogue).unwrap();
        let plain = parse(
            "starter",
            &Source::new("starter.toml", text.clone()),
            Path::new(""),
        )
        .unwrap();
        let (head, garments) = text.split_once("[jacket]").unwrap();
        let mut garment = "jacket";
        let mut said = format!("{head}[jacket]");
        for line in garments.lines() {
            if let Some(next) = line.strip_prefix('[').and_then(|l| l.strip_suffix(']')) {
                garment = next;
            }
            said += &uncommented(line, garment, &catalogue);
            said += "\n";
        }
        assert_ne!(said, text);
        let all = parse("starter", &Source::new("starter.toml", said), Path::new("")).unwrap();
        assert_eq!(all.order.garments, plain.order.garments);
    }

    fn uncommented(line: &str, garment: &str, catalogue: &Catalogue) -> String {
        let name = line
            .strip_prefix("# ")
            .and_then(|l| l.split(" = ").next())
            .unwrap_or_default();
        let mut style = super::super::Style::new();
        if let Ok(choices) = catalogue.choices(garment) {
            choices.complete(&mut style);
        }
        if style.contains_key(name) {
            line.trim_start_matches("# ").to_owned()
        } else {
            line.to_owned()
        }
    }
}

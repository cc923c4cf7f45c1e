//! The sheets of an order that is drafted and neither laid nor cut: to chalk by hand, and to look at.

use super::Drafted;
use crate::draft::Draft;
use crate::order::Order;
use crate::sheets::drawing::Drawing;
use crate::sheets::in_cloth::InCloth;
use crate::sheets::{Sheet, drafting_sheet, fingerprint, folder, views};

/// The sheets of a draft.
#[derive(Debug, Clone, PartialEq)]
pub struct Drafting {
    /// The drafting sheet and the views.
    pub sheets: Vec<Sheet>,
    /// The mark of the draft that they show.
    pub mark: String,
}

impl Drafted {
    /// Returns the garment of a draft as it is drafted here, if its pieces are others.
    pub fn unlike(&self, draft: &Draft) -> Option<&Draft> {
        let mut drafts = self.drafts.iter();
        drafts.find(|own| own.garment == draft.garment && own.pieces != draft.pieces)
    }
}

/// Makes the sheets of a draft from the pages of its drafting sheet, a row for each garment.
pub fn drafting(order: &Order, drafted: &Drafted, pages: &[Vec<Drawing>]) -> Drafting {
    let mark = fingerprint::of(order, &drafted.drafts);
    let mut drawn = drafting_sheet::pages_as_svg(pages, order);
    fingerprint::put(&mut drawn, &mark);
    let [svg, pdf] = folder::DRAFTING_SHEET;
    let mut sheets = vec![
        Sheet::new(pdf, drafting_sheet::pages_as_pdf(pages, order)),
        Sheet::new(svg, drawn),
    ];
    let cloth = InCloth::new(order, &drafted.drafts, &drafted.pattern, &[]);
    let views = views::of_order(&drafted.drafts, cloth.as_ref());
    sheets.extend(views::files(&views, order));
    Drafting { sheets, mark }
}

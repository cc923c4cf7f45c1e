//! An order as it stands: its text, what is wrong with it, and its draft.

use super::text;
use crate::diagnostic::{Diagnostic, Severity, Source};
use crate::job::{self, Drafted};
use crate::order::phrase::Terms;
use crate::order::{self, Order, Style};
use crate::units::Unit;
use crate::workshop::{Workshop, Workshops};
use std::path::Path;
use std::sync::Arc;

/// An order's text with everything that follows from it.
#[derive(Debug, Clone)]
pub(super) struct Reading {
    /// The text.
    pub source: Arc<Source>,
    /// The workshop whose blocks it asks for; the program's own where those cannot be read.
    pub workshop: Arc<Workshop>,
    /// The order; `None` where the text is at fault.
    pub order: Option<Order>,
    /// Its draft, proven; `None` where it cannot be made.
    pub drafted: Option<Arc<Drafted>>,
    /// Everything that was found, faults and doubts.
    pub findings: Vec<Diagnostic>,
}

impl Reading {
    /// Reads the text of an order that stands in a folder, and drafts it. `name` is the order's.
    pub(super) fn of(
        source: &Arc<Source>,
        name: &str,
        folder: &Path,
        workshops: &Workshops,
    ) -> Self {
        let open = |blocks: Option<&Path>| Ok(workshops.open(blocks)?.catalogue.clone());
        let read = order::parse_with(name, source, folder, &open);
        let blocks = text::top(&source.text, "blocks").map(|blocks| folder.join(blocks));
        let workshop = workshops
            .open(blocks.as_deref())
            .unwrap_or_else(|_| Workshop::embedded().clone());
        let mut reading = Self {
            source: source.clone(),
            workshop,
            order: None,
            drafted: None,
            findings: Vec::new(),
        };
        match read {
            Err(findings) => reading.findings = findings,
            Ok(checked) => {
                reading.findings = checked.warnings;
                reading.findings.extend(job::unprintable(&checked.texts));
                reading.draft(checked.order);
            }
        }
        reading
    }

    fn draft(&mut self, order: Order) {
        match job::draft(&self.workshop, &order) {
            Ok(drafted) => {
                let warnings = drafted.drafts.iter().flat_map(|draft| {
                    let of = |warning| Diagnostic::warning(format!("{}: {warning}", draft.garment));
                    draft.warnings.iter().map(of)
                });
                self.findings.extend(warnings);
                self.drafted = Some(Arc::new(drafted));
            }
            Err(fault) => self
                .findings
                .extend(fault.diagnostics(&order, &self.workshop.library)),
        }
        self.order = Some(order);
    }

    /// Lists what keeps the order from being made.
    pub(super) fn faults(&self) -> Vec<&Diagnostic> {
        let faults = self.findings.iter();
        faults
            .filter(|finding| finding.severity == Severity::Error)
            .collect()
    }

    /// Lists the garments of the order, as its file has them.
    pub(super) fn garments(&self) -> Vec<String> {
        let known: Vec<&str> = self.workshop.catalogue.garments().collect();
        let mut sections = text::sections(&self.source.text);
        sections.retain(|section| known.contains(&section.as_str()));
        sections
    }

    /// Returns the choices of a garment that were made by name, without those that follow from them. Of a faulty
    /// order there are none.
    pub(super) fn said(&self, garment: &str) -> Style {
        self.order
            .as_ref()
            .map_or_else(Style::new, |order| order.said(garment))
    }

    /// Returns the unit in which the tailor thinks.
    pub(super) fn unit(&self) -> Unit {
        match &self.order {
            Some(order) => order.unit,
            None => match text::get(&self.source.text, ("measures", "unit")).as_deref() {
                Some("in") => Unit::Inch,
                _ => self.workshop.catalogue.terms().unit,
            },
        }
    }

    /// Returns the terms in which the choices are told.
    pub(super) fn terms(&self) -> Terms<'_> {
        match &self.order {
            Some(order) => Terms {
                unit: order.unit,
                house: Some(&order.house),
            },
            None => self.workshop.catalogue.terms(),
        }
    }
}

/// Says a finding in a few sentences, for the page.
pub(super) fn in_words(finding: &Diagnostic) -> String {
    let mut words = finding.message.replace('`', "");
    for help in finding.help.iter().take(1) {
        words.push_str(": ");
        words.push_str(&help.replace('`', ""));
    }
    words
}

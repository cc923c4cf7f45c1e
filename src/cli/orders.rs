//! The orders a command was given: files, and folders of them.

use super::{show, stop};
use chalkstripe::diagnostic::{Diagnostic, Source};
use chalkstripe::job::{self, Drafted, JobFault};
use chalkstripe::lay::Laid;
use chalkstripe::order::{Order, called_here};
use chalkstripe::sheets::words;
use chalkstripe::units::Unit;
use chalkstripe::workshop::{Workshop, Workshops};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Returns the order files that were named, in order; a folder stands for the `.toml` files in it.
pub(super) fn files(named: &[PathBuf]) -> Result<Vec<PathBuf>, Vec<Diagnostic>> {
    let (mut files, mut faults) = (Vec::new(), Vec::new());
    for path in named {
        if !path.is_dir() {
            files.push(path.clone());
            continue;
        }
        match in_folder(path) {
            Ok(found) if !found.is_empty() => files.extend(found),
            Ok(_) => faults.push(about(path, "this folder has no order (.toml) in it")),
            Err(error) => faults.push(about(path, &format!("the folder cannot be read: {error}"))),
        }
    }
    if faults.is_empty() {
        Ok(files)
    } else {
        Err(faults)
    }
}

fn in_folder(folder: &Path) -> std::io::Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.extension().is_some_and(|e| e == "toml") && path.is_file() {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

fn about(path: &Path, message: &str) -> Diagnostic {
    Diagnostic::error(message).in_file(&Source::new(path.display().to_string(), ""))
}

/// An order that a command works on, with the workshop that makes it.
pub(super) struct Task {
    /// The order's file.
    pub file: PathBuf,
    /// The order.
    pub order: Order,
    /// The workshop that makes it.
    pub workshop: Arc<Workshop>,
}

impl Task {
    /// Reads and checks an order. The warnings beside it hold also what the sheets cannot print of its texts.
    pub(super) fn checked(
        workshops: &Workshops,
        file: &Path,
    ) -> Result<(Self, Vec<Diagnostic>), Vec<Diagnostic>> {
        let (checked, workshop) = workshops.read(file)?;
        let mut warnings = checked.warnings;
        warnings.extend(job::unprintable(&checked.texts));
        warnings.sort_by_key(Diagnostic::start);
        let task = Self {
            file: file.to_owned(),
            order: checked.order,
            workshop,
        };
        Ok((task, warnings))
    }

    /// Reads and checks an order and shows what was found; `None` if it has a fault.
    pub(super) fn read(workshops: &Workshops, file: &Path) -> Option<Self> {
        match Self::checked(workshops, file) {
            Ok((task, warnings)) => {
                show::findings(&warnings);
                Some(task)
            }
            Err(findings) => {
                show::findings(&findings);
                None
            }
        }
    }

    /// Drafts the order, proves its pattern, and shows what the blocks warn of.
    pub(super) fn draft(&self) -> Result<Drafted, Vec<Diagnostic>> {
        let (drafted, warnings) = self.drafted()?;
        show::findings(&warnings);
        Ok(drafted)
    }

    /// Drafts the order and proves its pattern; the blocks' warnings stand beside it, for whoever shows them.
    pub(super) fn drafted(&self) -> Result<(Drafted, Vec<Diagnostic>), Vec<Diagnostic>> {
        let drafted = job::draft(&self.workshop, &self.order).map_err(|fault| self.told(&fault))?;
        let warnings = drafted.drafts.iter().flat_map(|draft| {
            let of = |warning| Diagnostic::warning(format!("{}: {warning}", draft.garment));
            draft.warnings.iter().map(of)
        });
        let warnings = all_about(&self.file, warnings.collect());
        Ok((drafted, warnings))
    }

    /// Tells a fault of the job, which is about the order's file where it has no other place.
    pub(super) fn told(&self, fault: &JobFault) -> Vec<Diagnostic> {
        all_about(
            &self.file,
            fault.diagnostics(&self.order, &self.workshop.library),
        )
    }
}

/// Begins the work on some files: listens for Ctrl-C from now on, and shows what is wrong with the files, if
/// anything is.
pub(super) fn begin(files: Result<Vec<PathBuf>, Vec<Diagnostic>>) -> Option<Vec<PathBuf>> {
    stop::listen();
    files.map_err(|faults| show::findings(&faults)).ok()
}

/// Reads one order, does the work on it and returns what is to be printed of it; shows what was at fault.
pub(super) fn one(
    workshops: &Workshops,
    file: &Path,
    work: impl Fn(&Task) -> Result<String, Vec<Diagnostic>>,
) -> Option<String> {
    let task = Task::read(workshops, file)?;
    work(&task)
        .map_err(|faults| show::findings(&all_about(file, faults)))
        .ok()
}

/// Works through orders one after another and prints what came of each; true if all went well. After Ctrl-C no
/// other is begun.
pub(super) fn each(
    files: Result<Vec<PathBuf>, Vec<Diagnostic>>,
    work: impl Fn(&Task) -> Result<String, Vec<Diagnostic>>,
) -> bool {
    let Some(files) = begin(files) else {
        return false;
    };
    let workshops = Workshops::default();
    let mut well = true;
    for (i, file) in files.iter().enumerate() {
        if stop::asked() {
            let left = files.len() - i;
            let told = format!("stopped: {left} of the orders were not started");
            show::findings(&[Diagnostic::error(told)]);
            return false;
        }
        well &= one(&workshops, file, &work).is_some_and(|text| show::print(&text));
    }
    well
}

/// Returns an order with the cloth of a garment in the place of the suit's, or as it is where none is named.
pub(super) fn with_cloth_of(
    order: &Order,
    garment: Option<&str>,
) -> Result<Order, Vec<Diagnostic>> {
    let Some(garment) = garment else {
        return Ok(order.clone());
    };
    let known = || order.garments.iter().map(|known| known.block.as_str());
    if !known().any(|block| block == garment) {
        let fault = Diagnostic::error(format!("the order has no garment `{garment}`"));
        let fault = fault.suggest(called_here(garment), known());
        let all: Vec<&str> = known().collect();
        return Err(vec![fault.note(format!("it has {}", all.join(", ")))]);
    }
    let wanted = &order.cloth_of(garment).material;
    let mut all = order.by_cloth().into_iter();
    let found = all.find(|own| own.cloth.material == *wanted);
    Ok(found.unwrap_or_else(|| order.clone()))
}

/// Names the cloths of an order, the suit's first.
pub(super) fn cloths(order: &Order) -> String {
    let names: Vec<&str> = order.cloths().map(|cloth| cloth.name.as_str()).collect();
    names.join("; ")
}

/// Says how much to order of each material that is laid, a line each.
pub(super) fn lengths(lays: &[Laid], unit: Unit) -> String {
    let line = |laid: &Laid| {
        let material = words::capital(&laid.material.name);
        let (length, how) = (
            unit.cloth(laid.order_length.length),
            laid.order_length.how(unit),
        );
        format!("  {material}: order {length} ({how})\n")
    };
    lays.iter().map(line).collect()
}

/// Places the findings: those that have no place are about the file as a whole.
pub(super) fn all_about(file: &Path, findings: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let source = Source::new(file.display().to_string(), "");
    let placed = |finding: Diagnostic| {
        if finding.place.is_none() {
            finding.in_file(&source)
        } else {
            finding
        }
    };
    findings.into_iter().map(placed).collect()
}

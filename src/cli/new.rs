//! `new`: a starter order.

use super::show;
use chalkstripe::order::{Catalogue, Diagnostic, Source, starter};
use std::fs::File;
use std::io::Write;
use std::path::Path;

/// Writes a starter order to a new file, or prints it; true if all went well.
pub fn run(file: Option<&Path>) -> bool {
    let text = match starter(&Catalogue::default()) {
        Ok(text) => text,
        Err(fault) => {
            show::findings(&[fault]);
            return false;
        }
    };
    let Some(path) = file else {
        return show::print(&text);
    };
    match File::create_new(path).and_then(|mut file| file.write_all(text.as_bytes())) {
        Ok(()) => show::print(&format!(
            "{}: a starter order; change it and run `chalkstripe check`\n",
            path.display()
        )),
        Err(error) => {
            let here = Source::new(path.display().to_string(), "");
            let fault = Diagnostic::error(format!("the starter order cannot be written: {error}"))
                .in_file(&here);
            let there = error.kind() == std::io::ErrorKind::AlreadyExists;
            let fault = if there {
                fault.help("give a name that is not taken yet")
            } else {
                fault
            };
            show::findings(&[fault]);
            false
        }
    }
}

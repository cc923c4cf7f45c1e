//! `talk`: the page on which an order is settled.

use super::{show, stop};
use chalkstripe::diagnostic::{Diagnostic, unwritten};
use chalkstripe::talk::Server;
use std::io::{Write, stderr};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};

/// What `talk` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// The order file; a starter order is written where there is none.
    #[arg(value_name = "ORDER")]
    pub order: PathBuf,
    /// The port of this machine [default: any that is free].
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
    pub port: u16,
    /// Do not open the browser.
    #[arg(long)]
    pub no_browser: bool,
    /// Where to put the folder of the order's sheets.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
}

/// Serves the page until Ctrl-C. That is how a talk ends: it is no fault.
pub(super) fn run(settings: &Settings) -> ExitCode {
    stop::listen();
    let served = Server::begin(&settings.order, &settings.out, settings.port).and_then(|server| {
        let address = server.address();
        if !show::print(&format!("{address}\n")) {
            return Ok(());
        }
        let told = match settings.no_browser || open(&address) {
            true => "Ctrl-C ends the talk; every answer is in the order's file.\n",
            false => "No browser could be opened: open the address above. Ctrl-C ends the talk.\n",
        };
        // If nobody listens on the standard error there is nobody to tell.
        let _ = stderr().write_all(told.as_bytes());
        let failed =
            |error| unwritten("the page", Path::new("the network of this machine"), &error);
        server.run(&stop::STOP).map_err(failed)
    });
    match served {
        Ok(()) => ExitCode::SUCCESS,
        Err(fault) => refused(fault),
    }
}

fn refused(fault: Diagnostic) -> ExitCode {
    show::findings(&[fault]);
    ExitCode::from(show::FAULT)
}

/// Opens the browser at an address, as the system does it; true if that could be begun.
fn open(address: &str) -> bool {
    let (program, before): (&str, &[&str]) = match std::env::consts::OS {
        "macos" => ("open", &[]),
        "windows" => ("rundll32", &["url.dll,FileProtocolHandler"]),
        _ => ("xdg-open", &[]),
    };
    let quiet = Command::new(program)
        .args(before)
        .arg(address)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    quiet.is_ok()
}

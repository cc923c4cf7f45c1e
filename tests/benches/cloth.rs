//! A season's rail: the cloth lengths of 200 invented orders in one command, on every core.
//!
//! `cargo bench --bench cloth` prints the command's last lines: orders, seconds and the most memory used.
//! `-- N` asks for another number of orders.

use std::fs;
use std::process::{Command, ExitCode};

fn main() -> ExitCode {
    let number = std::env::args().find_map(|word| word.parse::<u32>().ok());
    let folder = tempfile::tempdir().expect("a temporary folder");
    for index in 0..number.unwrap_or(200) {
        let order = order(index);
        fs::write(folder.path().join(format!("rail-{index:03}.toml")), order).expect("an order");
    }
    let done = Command::new(env!("CARGO_BIN_EXE_chalkstripe"))
        .arg("cloth")
        .arg(folder.path())
        .output()
        .expect("the program runs");
    let said = String::from_utf8_lossy(&done.stdout);
    for line in said.lines().skip(said.lines().count().saturating_sub(3)) {
        println!("{line}");
    }
    eprint!("{}", String::from_utf8_lossy(&done.stderr));
    if done.status.success() {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

/// A suit for one of many figures, on one of three cloths.
fn order(index: u32) -> String {
    let chest = 92.0 + f64::from(index % 20);
    let waist = chest - 14.0 + f64::from(index / 20 % 5);
    let height = 170 + index % 7 * 3;
    let cloth = match index % 3 {
        0 => "layout = \"doubled\"",
        1 => "layout = \"open\"",
        _ => "layout = \"open\"\nrepeat_across = 4\nrepeat_along = 5",
    };
    format!(
        "[client]\nname = \"Client {index}\"\n\n[measures]\nheight = {height}\nchest = {chest}\nwaist = {waist}\nseat = {}\nneck = {}\n\n\
         [cloth]\nname = \"a suiting\"\nwidth = 150\n{cloth}\n\n[jacket]\n\n[trousers]\n",
        chest + 3.0,
        40.0 + (chest - 100.0) * 0.25
    )
}

//! The real program, from the examples to their sheets.

use crate::program::{PLAIN, told, trousers};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// Cuts with a search of one round: how good the lay is does not matter here.
fn cut(arguments: &[&str], folder: &Path) -> Output {
    command(arguments, folder)
        .output()
        .expect("the program runs")
}

fn command(arguments: &[&str], folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_chalkstripe"));
    command
        .args(["cut", "--rounds", "1"])
        .args(arguments)
        .current_dir(folder);
    command
}

/// Every file of a folder by name.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).unwrap().map(|e| e.unwrap());
    entries
        .map(|e| {
            (
                e.file_name().into_string().unwrap(),
                fs::read(e.path()).unwrap(),
            )
        })
        .collect()
}

#[test]
fn every_example_is_cut_and_the_same_again() {
    let folder = tempfile::tempdir().unwrap();
    let examples = fs::canonicalize("examples").unwrap();
    let runs = ["once", "again"].map(|out| {
        let mut run = command(&[examples.to_str().unwrap(), "--out", out], folder.path());
        run.stdout(Stdio::piped()).stderr(Stdio::piped());
        run.spawn().expect("the program runs")
    });
    for run in runs {
        let output = run.wait_with_output().unwrap();
        assert!(output.status.success(), "{}", told(&output));
        assert_eq!(told(&output), "", "progress was drawn in a pipe");
        assert!(String::from_utf8_lossy(&output.stdout).contains("Cloth: order "));
    }
    for name in [
        "plain-worsted",
        "check-side-vents",
        "corpulent-inches",
        "three-piece",
    ] {
        let once = files(&folder.path().join("once").join(name));
        for file in [
            "paper-a4.pdf",
            "lay.svg",
            "lay.plt",
            "ticket.pdf",
            "report.json",
            "pieces.svg",
            "pieces.png",
            "lay.png",
            "order.html",
        ] {
            assert!(
                once.get(file).is_some_and(|bytes| !bytes.is_empty()),
                "{name} lacks {file}"
            );
        }
        // However many garments an order has.
        let tickets = once.keys().filter(|file| file.contains("ticket"));
        assert_eq!(tickets.count(), 1);
        let ticket = lopdf::Document::load_mem(&once["ticket.pdf"]).unwrap();
        assert_eq!(ticket.get_pages().len(), 2, "pages of the ticket of {name}");
        let again = files(&folder.path().join("again").join(name));
        for (file, bytes) in &once {
            assert!(
                again.get(file) == Some(bytes),
                "{name}/{file} is not the same again"
            );
        }
        assert_eq!(once.len(), again.len());
    }
}

#[test]
fn nothing_is_written_for_an_order_at_fault() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("bad.toml"),
        PLAIN.replace("chest", "chset"),
    )
    .unwrap();
    let output = cut(&["bad.toml"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    assert!(
        told(&output).contains("Perhaps: chest"),
        "{}",
        told(&output)
    );
    assert_eq!(files(folder.path()).len(), 1, "something was written");
}

#[test]
fn a_block_at_fault_is_shown_with_its_line_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let ours = folder.path().join("ours/jacket");
    fs::create_dir_all(&ours).unwrap();
    fs::write(
        ours.join("jacket.rhai"),
        "// Ours.\nlet scye = m.scye_dpeth + 1;\n",
    )
    .unwrap();
    fs::write(
        folder.path().join("order.toml"),
        format!("blocks = \"ours\"\n{PLAIN}"),
    )
    .unwrap();
    let output = cut(&["order.toml"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    let told = told(&output);
    for part in [
        "the jacket cannot be drafted",
        "scye_dpeth",
        "jacket.rhai, line 2",
        "\n    let scye = m.scye_dpeth + 1;\n",
        "^",
    ] {
        assert!(told.contains(part), "{part:?} is not told:\n{told}");
    }
    assert!(!folder.path().join("out").exists());
}

#[test]
fn a_folder_that_cannot_be_written_is_told() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("order.toml"), trousers()).unwrap();
    // A file where a folder should be: nobody can write into it, not even the superuser.
    fs::write(folder.path().join("taken"), "a file").unwrap();
    let output = cut(&["order.toml", "--out", "taken"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    assert!(
        told(&output).contains("the sheets cannot be written"),
        "{}",
        told(&output)
    );
    assert_eq!(fs::read(folder.path().join("taken")).unwrap(), b"a file");
}

#[test]
fn old_sheets_go_and_other_files_stay() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("order.toml"), trousers()).unwrap();
    let out = folder.path().join("out/order");
    fs::create_dir_all(&out).unwrap();
    fs::write(out.join("paper-a0.pdf"), "last month's").unwrap();
    fs::write(out.join("ticket.pdf"), "last month's").unwrap();
    fs::write(out.join("letter.pdf"), "the client's").unwrap();
    assert!(cut(&["order.toml"], folder.path()).status.success());
    let files = files(&out);
    assert!(!files.contains_key("paper-a0.pdf") && files.contains_key("paper-a4.pdf"));
    assert_eq!(files["letter.pdf"], b"the client's");
    assert_ne!(files["ticket.pdf"], b"last month's");
    assert!(
        files.keys().all(|name| !name.starts_with('.')),
        "a folder was left aside"
    );
}

#[test]
fn what_is_asked_for_is_printed() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("order.toml"), PLAIN).unwrap();
    let asked = [
        "order.toml",
        "--paper",
        "a0",
        "--print",
        "lay",
        "--only",
        "jacket",
        "--margin",
        "1/4in",
        "--overlap",
        "12",
        "--plot",
        "short",
        "--dxf",
    ];
    let output = cut(&asked, folder.path());
    assert!(output.status.success(), "{}", told(&output));
    let framed = files(&folder.path().join("out/order"));
    for file in ["paper-a0.pdf", "lay-A1.plt", "lay-B1.plt", "pieces.dxf"] {
        assert!(framed.contains_key(file), "no {file}");
    }
    assert!(!framed.contains_key("lay.plt"));
    // The next run takes the frames away again.
    assert!(cut(&["order.toml"], folder.path()).status.success());
    let whole = files(&folder.path().join("out/order"));
    assert!(whole.contains_key("lay.plt") && !whole.contains_key("lay-A1.plt"));
    assert!(!whole.contains_key("pieces.dxf") && !whole.contains_key("paper-a0.pdf"));
}

#[cfg(unix)]
#[test]
fn sheets_can_be_read_by_whoever_may_read_a_new_file() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("order.toml"), trousers()).unwrap();
    assert!(cut(&["order.toml"], folder.path()).status.success());
    let mode = |path: &str| {
        fs::metadata(folder.path().join(path))
            .unwrap()
            .permissions()
            .mode()
    };
    assert_eq!(mode("out/order/ticket.pdf"), mode("order.toml"));
}

#[test]
fn papers_and_clashing_names_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("order.toml"), PLAIN).unwrap();
    let output = cut(&["order.toml", "--paper", "leter"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    assert!(
        told(&output).contains("perhaps: letter"),
        "{}",
        told(&output)
    );
    for (wish, told_of) in [
        (["--only", "forpart"], "Perhaps: forepart"),
        (["--margin", "45mm"], "smaller --margin"),
        (["--margin", "1 yard"], "yard"),
        (["--plot", "hpgl3"], "possible values"),
    ] {
        let refused = cut(&["order.toml", wish[0], wish[1]], folder.path());
        assert_eq!(refused.status.code(), Some(2));
        assert!(told(&refused).contains(told_of), "{}", told(&refused));
    }
    fs::create_dir(folder.path().join("other")).unwrap();
    fs::write(folder.path().join("other/order.toml"), PLAIN).unwrap();
    let clashing = cut(&["order.toml", "other"], folder.path());
    assert_eq!(clashing.status.code(), Some(2));
    assert!(
        told(&clashing).contains("same folder"),
        "{}",
        told(&clashing)
    );
    assert!(!folder.path().join("out").exists());
}

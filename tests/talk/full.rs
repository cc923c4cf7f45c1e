//! A disk that is full, and one that nothing can be written on: an answer is refused in words, and the order is whole.

use super::client::{Served, begin, example};
use crate::skipped::skipped;
use serde_json::json;
use std::fs;
use std::path::Path;
use std::process::Command;

/// A small disk of its own, which goes with the test.
struct Disk(tempfile::TempDir);

impl Disk {
    /// Mounts one; the system allows it to few.
    fn small() -> Option<Self> {
        let folder = tempfile::tempdir().unwrap();
        let mounted = mount(&["-t", "tmpfs", "-o", "size=64k", "tmpfs"], folder.path());
        if !mounted {
            skipped("no disk can be mounted here: run it as root");
            return None;
        }
        Some(Self(folder))
    }

    fn path(&self) -> &Path {
        self.0.path()
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(self.path()).status();
    }
}

fn mount(how: &[&str], on: &Path) -> bool {
    let mount = Command::new("mount").args(how).arg(on).output();
    mount.is_ok_and(|mount| mount.status.success())
}

/// Answers on a disk that takes nothing, and again once it does.
fn refused_and_then_taken(served: &Served, folder: &Path, text: &str, mend: impl Fn()) {
    let answer = served.answer("jacket.lapel", "peak");
    assert_eq!(answer["refused"], json!(true), "{answer}");
    let told = answer["told"].as_str().unwrap();
    assert!(told.contains("cannot be written"), "{told}");
    let file = || fs::read_to_string(folder.join("a.toml")).unwrap();
    assert_eq!(file(), text, "the order is as it was");
    assert_eq!(served.get("/").status, 200, "the page is still served");
    mend();
    assert_eq!(
        served.answer("jacket.lapel", "peak")["refused"],
        json!(false)
    );
    assert!(file().contains("lapel = \"peak\""));
}

#[test]
fn a_full_disk_is_told_and_the_order_stays_whole() {
    let Some(disk) = Disk::small() else {
        return;
    };
    let text = example(disk.path(), "plain-worsted");
    let served = begin(disk.path(), "a.toml");
    // Everything that is left, to the last page.
    let rest = disk.path().join("rest");
    let mut size = 128 * 1024;
    while size > 0 {
        let more = fs::read(&rest).unwrap_or_default().len() + size;
        if fs::write(&rest, vec![0; more]).is_err() {
            let _ = fs::write(&rest, vec![0; more - size]);
            size /= 2;
        }
    }
    refused_and_then_taken(&served, disk.path(), &text, || {
        fs::remove_file(&rest).unwrap();
    });
}

#[test]
fn a_disk_that_became_read_only_is_told_and_taken_up_again() {
    let Some(disk) = Disk::small() else {
        return;
    };
    let text = example(disk.path(), "plain-worsted");
    let served = begin(disk.path(), "a.toml");
    let again = |how: &str| mount(&["-o", &format!("remount,{how}")], disk.path());
    // The lock of the talk is open for writing, so that the disk as a whole cannot be made read-only; a mount of it can.
    if !again("ro") && !mount(&["--bind"], disk.path()) {
        let bound = Command::new("mount")
            .arg("--bind")
            .args([disk.path(), disk.path()])
            .status();
        let read_only = bound.is_ok_and(|bound| bound.success()) && again("bind,ro");
        if !read_only {
            skipped("no disk can be made read-only here");
            return;
        }
    }
    refused_and_then_taken(&served, disk.path(), &text, || {
        let _ = again("bind,rw") || again("rw");
    });
    let _ = Command::new("umount").arg(disk.path()).status();
}

//! What the page says and does, asked over the network.

use super::client::{begin, command, example, until};
use crate::program::run;
use serde_json::json;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::net::{TcpListener, TcpStream};

#[test]
fn an_answer_is_written_and_drawn() {
    let folder = tempfile::tempdir().unwrap();
    let before = example(folder.path(), "three-piece");
    let served = begin(folder.path(), "a.toml");
    let page = served.get("/");
    assert_eq!(page.status, 200);
    assert!(page.text().contains("Not yet settled"), "{}", page.text());
    let answer = served.answer("jacket.lapel", "peak");
    assert_eq!(
        (&answer["refused"], &answer["revision"]),
        (&json!(false), &json!(1))
    );
    assert!(answer["pieces"]["suit"].as_str().unwrap().contains("<svg"));
    let written = fs::read_to_string(folder.path().join("a.toml")).unwrap();
    let added = written.replace("lapel = \"peak\"\n", "");
    assert_eq!(added, before, "nothing else has changed");
    served.act(&json!({ "do": "undo", "look": {} }));
    assert_eq!(
        fs::read_to_string(folder.path().join("a.toml")).unwrap(),
        before
    );
}

#[test]
fn a_word_that_cannot_be_is_told_before_it_is_chosen() {
    let folder = tempfile::tempdir().unwrap();
    let text = example(folder.path(), "plain-worsted");
    let bad = text
        .replace("[jacket]", "[jacket]\nvent_length = 18")
        .replace("vent = ", "#");
    fs::write(folder.path().join("a.toml"), bad).unwrap();
    let served = begin(folder.path(), "a.toml");
    // No vents would leave a length without a meaning: the answer takes it out.
    let answer = served.answer("jacket.vent", "none");
    assert!(
        answer["told"].as_str().unwrap().contains("vent length"),
        "{answer}"
    );
    served.answer("jacket.fastening", "six_two");
    let ways = served.get("/ways?at=jacket.quarters&number=1").text();
    assert!(ways.contains("<svg"), "{ways}");
    let refused = ways.matches("not possible").count();
    let named = ways.matches("data-said").count();
    assert_eq!(refused, ways.matches("aria-disabled=\"true\"").count());
    assert!(refused < named, "one of them stands");
    for (word, wrong) in [("lapel_width", "30"), ("lapel", "wavy")] {
        let wrongly = served.answer(&format!("jacket.{word}"), wrong);
        assert_eq!(wrongly["refused"], json!(true));
    }
}

#[test]
fn the_rest_as_the_house_does_leaves_nothing_open() {
    let folder = tempfile::tempdir().unwrap();
    example(folder.path(), "three-piece");
    let told = |text: &str| text.contains("never settled");
    let check = run(&["check", "a.toml"], folder.path());
    assert!(told(&String::from_utf8_lossy(&check.stdout)));
    let served = begin(folder.path(), "a.toml");
    let answer = served.act(&json!({ "do": "rest", "look": {} }));
    assert_eq!(answer["refused"], json!(false), "{answer}");
    drop(served);
    let again = run(&["check", "a.toml"], folder.path());
    assert!(again.status.success());
    assert!(!told(&String::from_utf8_lossy(&again.stdout)));
}

#[test]
fn a_change_in_an_editor_is_told_to_every_window() {
    let folder = tempfile::tempdir().unwrap();
    let text = example(folder.path(), "plain-worsted");
    let served = begin(folder.path(), "a.toml");
    let mut stream = TcpStream::connect(&served.host).unwrap();
    let (host, key) = (&served.host, &served.key);
    write!(
        stream,
        "GET /events?key={key} HTTP/1.1\r\nhost: {host}\r\n\r\n"
    )
    .unwrap();
    let edited = text.replace("[jacket]", "[jacket]\ngorge = \"high\"");
    fs::write(folder.path().join("a.new"), &edited).unwrap();
    fs::rename(folder.path().join("a.new"), folder.path().join("a.toml")).unwrap();
    let mut lines = BufReader::new(stream).lines().map_while(Result::ok);
    let mut revisions = std::iter::from_fn(|| {
        lines.find(|line| line == "event: changed")?;
        lines.next()
    });
    // A window that begins to listen is first told the revision that it joins: nought.
    assert!(revisions.any(|line| line.starts_with("data: ") && line != "data: 0"));
    until("the page shows it", || {
        served
            .get("/pieces?at=jacket.gorge")
            .text()
            .contains("settled")
    });
    // It is undone like an answer.
    served.act(&json!({ "do": "undo", "look": {} }));
    assert_eq!(
        fs::read_to_string(folder.path().join("a.toml")).unwrap(),
        text
    );
}

#[test]
fn an_order_with_faults_is_shown_with_them_and_can_be_mended() {
    let folder = tempfile::tempdir().unwrap();
    let text = example(folder.path(), "plain-worsted");
    let faulty = text.replace("chest = ", "chest = 1");
    assert_ne!(faulty, text);
    fs::write(folder.path().join("a.toml"), &faulty).unwrap();
    let served = begin(folder.path(), "a.toml");
    let page = served.get("/?at=measures").text();
    assert!(page.contains("cannot be made as it stands"), "{page}");
    assert!(page.contains("data-go=\"measures\""));
    let answer = served.answer("jacket.lapel", "peak");
    assert_eq!(
        answer["refused"],
        json!(false),
        "the rest can be used: {answer}"
    );
    let mended = served.answer("measures.chest", "100");
    assert!(
        !mended["pieces"]["suit"]
            .as_str()
            .unwrap()
            .contains("cannot be made")
    );
}

#[test]
fn what_an_order_says_is_never_taken_for_markup() {
    let folder = tempfile::tempdir().unwrap();
    example(folder.path(), "plain-worsted");
    let served = begin(folder.path(), "a.toml");
    let evil = "<script>alert(1)</script>\"'&";
    for at in [
        "client.name",
        "client.notes",
        "cloth.name",
        "lining.body",
        "trimmings.buttons",
    ] {
        let answer = served.answer(at, evil);
        assert_eq!(answer["refused"], json!(false), "{at} {answer}");
    }
    for path in [
        "/",
        "/?at=client",
        "/?at=cloth",
        "/?at=trimmings",
        "/read",
        "/pieces?at=lining",
    ] {
        let page = served.get(path);
        assert_eq!(page.status, 200);
        assert!(!page.text().contains("<script>alert"), "{path}");
    }
}

#[test]
fn a_second_talk_and_a_taken_port_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    example(folder.path(), "plain-worsted");
    let served = begin(folder.path(), "a.toml");
    let second = command(folder.path(), "a.toml").output().unwrap();
    assert_eq!(second.status.code(), Some(2));
    assert_eq!(second.stdout, b"");
    drop(served);
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let refused = command(folder.path(), "a.toml")
        .args(["--port", &port])
        .output()
        .unwrap();
    assert_eq!(refused.status.code(), Some(2));
    begin(folder.path(), "a.toml");
}

#[test]
fn a_new_order_is_begun_where_there_is_none() {
    let folder = tempfile::tempdir().unwrap();
    let served = begin(folder.path(), "new.toml");
    let answer = served.answer("client.name", "Edwin Marlow");
    assert_eq!(answer["refused"], json!(false), "{answer}");
    served.answer("garments.waistcoat", "no");
    served.answer("trousers.bottoms", "turn_ups");
    drop(served);
    let text = fs::read_to_string(folder.path().join("new.toml")).unwrap();
    assert!(text.contains("name = \"Edwin Marlow\"\n") && !text.contains("[waistcoat]"));
    assert!(text.contains("\nbottoms = \"turn_ups\"\n") && !text.contains("# bottoms ="));
    assert!(run(&["check", "new.toml"], folder.path()).status.success());
}

#[test]
fn the_baste_is_written_down_and_its_seams_told() {
    let folder = tempfile::tempdir().unwrap();
    example(folder.path(), "plain-worsted");
    let served = begin(folder.path(), "a.toml");
    let said = json!({
        "date": "2027-01-15", "notes": "The back drew",
        "altered": [
            { "key": "let_out_side_seams", "amount": "0.5" },
            { "key": "shorten_sleeves", "amount": "1", "side": "left" },
        ],
    });
    let moved = served.act(&json!({ "do": "fit", "said": said }));
    let moved = moved["moved"].as_str().unwrap();
    assert!(moved.contains("can be let out"), "{moved}");
    let answer = served.act(&json!({ "do": "fitting", "said": said, "look": { "at": "fitting" } }));
    assert_eq!(answer["refused"], json!(false), "{answer}");
    let text = fs::read_to_string(folder.path().join("a.toml")).unwrap();
    let typed = "\n[[fitting]]\ndate = \"2027-01-15\"\nlet_out_side_seams = 0.5\nshorten_sleeves = { left = 1, right = 0 }\nnotes = [\"The back drew\"]\n";
    assert!(text.ends_with(typed), "{text}");
    let twice = served.act(&json!({ "do": "fit", "said": { "date": "2027-01-16", "altered": [{ "key": "let_out_side_seams", "amount": "9" }] } }));
    assert!(
        twice["moved"].as_str().unwrap().contains("fault"),
        "{twice}"
    );
}

#[test]
fn what_is_cut_from_the_page_is_what_cut_makes() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("a.toml"), crate::program::trousers()).unwrap();
    let served = begin(folder.path(), "a.toml");
    served.act(&json!({ "do": "cut", "look": {} }));
    let out = folder.path().join("out/a");
    until("it is cut", || {
        out.join("report.json").exists() && !out.join("DO-NOT-CUT.txt").exists()
    });
    until("it can be opened", || {
        served.get("/pieces").text().contains("/sheets/ticket.pdf")
    });
    assert_eq!(served.get("/sheets/ticket.pdf").status, 200);
    let page = fs::read_to_string(out.join("order.html")).unwrap();
    assert!(
        page.contains("* as the house does"),
        "what nobody chose is marked"
    );
    let agreed = served.act(&json!({ "do": "agree", "look": {} }));
    assert_eq!(agreed["refused"], json!(false), "{agreed}");
    assert!(
        fs::read(out.join("agreed.pdf"))
            .unwrap()
            .starts_with(b"%PDF")
    );
    let typed = run(&["cut", "a.toml", "--out", "typed"], folder.path());
    assert!(typed.status.success());
    for entry in fs::read_dir(folder.path().join("typed/a")).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name();
        let same = fs::read(entry.path()).unwrap() == fs::read(out.join(&name)).unwrap();
        assert!(same, "{name:?}");
    }
}

#[test]
fn an_answer_that_cannot_be_written_is_told_and_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let text = example(folder.path(), "plain-worsted");
    let served = begin(folder.path(), "a.toml");
    // A file stands where the side folder goes: the folder takes nothing, whoever asks.
    fs::write(folder.path().join(".chalkstripe"), "").unwrap();
    let answer = served.answer("jacket.lapel", "peak");
    assert_eq!(answer["refused"], json!(true));
    assert!(
        answer["told"]
            .as_str()
            .unwrap()
            .contains("cannot be written"),
        "{answer}"
    );
    assert_eq!(
        fs::read_to_string(folder.path().join("a.toml")).unwrap(),
        text
    );
    fs::remove_file(folder.path().join(".chalkstripe")).unwrap();
    assert_eq!(
        served.answer("jacket.lapel", "peak")["refused"],
        json!(false)
    );
}

//! A whole suit settled in a real browser, by mouse and again by keyboard, and what is cut of it.

use super::client::{Served, begin, command, example, until};
use super::webdriver::{self, Browser};
use crate::program::run;
use crate::skipped::skipped;
use std::fs;
use std::path::Path;
use std::time::Instant;

/// Keys that have no letter.
const TAB: char = '\u{E004}';
const ENTER: char = '\u{E007}';
const RIGHT: char = '\u{E014}';
const END: char = '\u{E010}';
const DELETE: char = '\u{E017}';

fn browser() -> Option<Browser> {
    match webdriver::open() {
        Ok(browser) => Some(browser),
        Err(why) => {
            skipped(&format!("{why}: apt-get install chromium chromium-driver"));
            None
        }
    }
}

/// Writes a new order for a jacket and trousers, as the talk begins it.
fn new_order(folder: &Path) -> String {
    fs::create_dir_all(folder).unwrap();
    assert!(run(&["new", "suit.toml"], folder).status.success());
    let text = fs::read_to_string(folder.join("suit.toml")).unwrap();
    let (suit, rest) = text
        .split_once("\n# Delete this section if none is wanted.\n[waistcoat]")
        .unwrap();
    let (_, house) = rest.split_once("\n# The workshop's own numbers").unwrap();
    let without = format!("{suit}\n# The workshop's own numbers{house}");
    fs::write(folder.join("suit.toml"), &without).unwrap();
    without
}

/// What was said to one question: its address, the number of the word among all, and the word.
type Said = (String, usize, String);

/// The question at which the page looks.
fn at(browser: &Browser) -> String {
    let at = "new URLSearchParams(location.search).get('at') || document.body.dataset.at";
    browser.value(at).as_str().unwrap().to_owned()
}

/// Waits until an answer is shown.
fn settled(browser: &Browser, word: usize) {
    browser.until(&format!(
        "document.querySelectorAll('.way')[{word}]?.getAttribute('aria-pressed') === 'true' \
         && document.querySelector('.place').textContent.includes('settled')"
    ));
}

/// Settles every choice with the mouse: of each question another word, that is not greyed.
fn by_mouse(browser: &Browser) -> Vec<Said> {
    let mut said = Vec::new();
    browser.click("#foot [data-go='jacket.fastening']");
    browser.until("document.getElementById('question').textContent === 'Fastening'");
    loop {
        browser.until("document.getElementById('ways')?.dataset.tried !== 'no'");
        let question = at(browser);
        let ways = browser.value(
            "[...document.querySelectorAll('.way')].map((way) => way.getAttribute('aria-disabled') ? '' : way.dataset.said)",
        );
        let ways: Vec<&str> = ways
            .as_array()
            .unwrap()
            .iter()
            .map(|way| way.as_str().unwrap())
            .collect();
        let begin = said.len() % ways.len();
        let word = (begin..ways.len())
            .chain(0..begin)
            .find(|i| !ways[*i].is_empty());
        let word = word.expect("one of them is possible");
        browser.click(&format!(".ways li:nth-child({}) .way", word + 1));
        settled(browser, word);
        said.push((question.clone(), word, ways[word].to_owned()));
        if browser.value("!document.querySelector('.steps .next')") == true {
            return said;
        }
        browser.click(".steps .next");
        browser.until(&format!(
            "new URLSearchParams(location.search).get('at') !== '{question}'"
        ));
    }
}

/// Says the same by keyboard alone.
fn by_keyboard(browser: &Browser, said: &[Said]) {
    browser.keys("/");
    browser.until("document.getElementById('find').open");
    browser.keys(&format!("jacket fastening{ENTER}"));
    browser.until("document.getElementById('question').textContent === 'Fastening'");
    for (i, (question, word, _)) in said.iter().enumerate() {
        assert_eq!(at(browser), *question);
        browser.keys(&(word + 1).to_string());
        settled(browser, *word);
        if i + 1 < said.len() {
            browser.keys(&RIGHT.to_string());
            browser.until(&format!(
                "new URLSearchParams(location.search).get('at') !== '{question}'"
            ));
        }
    }
}

/// Types the same answers into a new order by hand: the # before a choice is deleted and its value written.
fn by_hand(order: &str, said: &[Said]) -> String {
    let mut garment = "";
    let mut lines = Vec::new();
    for line in order.lines() {
        garment = line
            .strip_prefix('[')
            .map_or(garment, |name| name.trim_end_matches(']'));
        let key = line
            .strip_prefix("# ")
            .and_then(|line| line.split(" =").next());
        let answer = key.and_then(|key| {
            let question = format!("{garment}.{key}");
            said.iter()
                .find(|(asked, ..)| *asked == question)
                .map(|(.., word)| (key, word))
        });
        lines.push(match answer {
            None => line.to_owned(),
            Some((name, word)) => match word.as_str() {
                "yes" => format!("{name} = true"),
                "no" => format!("{name} = false"),
                number if number.parse::<f64>().is_ok() => format!("{name} = {number}"),
                word => format!("{name} = \"{word}\""),
            },
        });
    }
    lines.join("\n") + "\n"
}

#[test]
fn a_whole_suit_is_settled_by_mouse_and_by_keyboard_and_cut() {
    let Some(browser) = browser() else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let [mouse, keys, hand] = ["mouse", "keys", "hand"].map(|name| folder.path().join(name));
    let order = new_order(&mouse);
    new_order(&keys);
    new_order(&hand);
    let file = |of: &Path| fs::read_to_string(of.join("suit.toml")).unwrap();

    let with_mouse = begin(&mouse, "suit.toml");
    browser.go(&with_mouse.address());
    let said = by_mouse(&browser);
    assert!(said.len() > 30, "{} questions", said.len());
    browser.click("#foot [data-act='cut']");
    let out = mouse.join("out/suit");
    until("it is cut", || {
        out.join("report.json").exists() && !out.join("DO-NOT-CUT.txt").exists()
    });
    drop(with_mouse);

    let with_keys = begin(&keys, "suit.toml");
    browser.go(&with_keys.address());
    by_keyboard(&browser, &said);
    drop(with_keys);
    assert_eq!(file(&keys), file(&mouse));

    let typed = by_hand(&order, &said);
    assert_eq!(typed, file(&mouse));
    fs::write(hand.join("suit.toml"), typed).unwrap();
    let cut = run(&["cut", "suit.toml"], &hand);
    assert!(cut.status.success());
    assert!(!String::from_utf8_lossy(&cut.stdout).contains("never settled"));
    let mut compared = 0;
    for entry in fs::read_dir(hand.join("out/suit")).unwrap() {
        let entry = entry.unwrap();
        let same =
            fs::read(entry.path()).unwrap() == fs::read(out.join(entry.file_name())).unwrap();
        assert!(same, "{:?}", entry.file_name());
        compared += 1;
    }
    assert!(compared > 10, "{compared} sheets");
}

#[test]
fn fields_are_filled_in_by_keyboard_and_doubts_told_beside_them() {
    let Some(browser) = browser() else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    example(folder.path(), "plain-worsted");
    let served = begin(folder.path(), "a.toml");
    browser.go(&format!("{}&at=measures", served.address()));
    browser.click("[id='measures.waist']");
    browser.value("document.activeElement.select()");
    browser.keys(&format!("{DELETE}150"));
    browser.until("document.getElementById('measures.waist-found').textContent !== ''");
    let text = || fs::read_to_string(folder.path().join("a.toml")).unwrap();
    browser.value("document.activeElement.select()");
    browser.keys(&format!("{DELETE}91{END}{TAB}"));
    until("it is written", || text().contains("waist = 91\n"));
    // The next field has the focus, so that the tape goes on.
    browser.until("document.activeElement.id === 'measures.seat'");
}

#[test]
fn a_baste_is_written_down_from_the_garment_as_by_hand() {
    let Some(browser) = browser() else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let text = example(folder.path(), "three-piece");
    let served = begin(folder.path(), "a.toml");
    browser.go(&format!("{}&at=fitting", served.address()));
    let date = "(() => { const date = document.getElementById('date'); date.value = '2027-01-15'; return true; })()";
    assert_eq!(browser.value(date), true);
    // The place that is pressed leads to its line, and its side.
    browser.click(".spot[data-spot=sloping_shoulders][data-side=left]");
    browser.until("document.activeElement.name === 'amount'");
    browser.keys("0.5");
    browser.click(".spot[data-spot=coat_length]");
    browser.until("document.activeElement.closest('[data-place=coat_length]') !== null");
    browser.keys("1");
    browser.click("[data-place=coat_length] option[value=shorten_coat]");
    browser.until("/[a-z]/.test(document.getElementById('moved').textContent)");
    browser.until("document.querySelectorAll('.over svg').length >= 4");
    // As a hand turns the wheel, so that the steps at the foot do not lie over them.
    let shown = |what: &str| {
        let show = format!(
            "(document.querySelector('{what}').scrollIntoView({{ block: 'center' }}), true)"
        );
        assert_eq!(browser.value(&show), true);
    };
    shown("#notes");
    browser.click("#notes");
    browser.keys("Passes the mirror.");
    shown("#baste [type=submit]");
    browser.click("#baste [type=submit]");
    let file = || fs::read_to_string(folder.path().join("a.toml")).unwrap();
    until("it is written", || file() != text);
    let typed = "\n[[fitting]]\ndate = \"2027-01-15\"\nlower_shoulder = { left = 0.5, right = 0 }\n\
        shorten_coat = 1\nnotes = [\"Passes the mirror.\"]\n";
    assert_eq!(file(), format!("{text}{typed}"));
    assert!(run(&["check", "a.toml"], folder.path()).status.success());
}

#[test]
fn the_page_is_usable_at_once_follows_the_file_and_is_begun_again() {
    let Some(browser) = browser() else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let text = example(folder.path(), "three-piece");
    let begun = Instant::now();
    let served = begin(folder.path(), "a.toml");
    let started = begun.elapsed();
    browser.go(&format!("{}&at=jacket.lapel", served.address()));
    eprintln!(
        "address after {started:?}, page after {:?}",
        begun.elapsed()
    );
    // A change in an editor appears.
    let edited = text.replace("[jacket]", "[jacket]\nlapel = \"fishmouth\"");
    fs::write(folder.path().join("a.toml"), &edited).unwrap();
    browser.until(
        "document.querySelector('[data-said=fishmouth]').getAttribute('aria-pressed') === 'true'",
    );
    // Two side by side, and one of them chosen.
    browser.click("[data-act=aside]");
    browser.until("!!document.querySelector('.views.pair')");
    browser.click("[data-said=peak]");
    browser.until("document.querySelectorAll('.views.pair svg').length === 2");
    browser.click("[data-act=choose-kept]");
    browser.until("!document.querySelector('.views.pair')");
    assert_eq!(
        fs::read_to_string(folder.path().join("a.toml")).unwrap(),
        edited
    );
    // A talk that ended is begun again at the same address but for its key.
    let port = served.host.rsplit(':').next().unwrap().to_owned();
    drop(served);
    let mut again = command(folder.path(), "a.toml");
    let mut child = again.args(["--port", &port]).spawn().unwrap();
    let mut line = String::new();
    std::io::BufRead::read_line(
        &mut std::io::BufReader::new(child.stdout.take().unwrap()),
        &mut line,
    )
    .unwrap();
    browser.go(line.trim());
    child.kill().unwrap();
    child.wait().unwrap();
}

#[test]
fn everything_has_a_name_fits_a_narrow_screen_and_is_of_contrast() {
    let Some(browser) = browser() else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    example(folder.path(), "three-piece");
    let served: Served = begin(folder.path(), "a.toml");
    for at in [
        "jacket.lapel",
        "jacket.lapel_width",
        "garments",
        "cloth",
        "measures",
        "fitting",
    ] {
        browser.size(1280, 800);
        browser.go(&format!("{}&at={at}", served.address()));
        let nameless = "[...document.querySelectorAll('button, input, select, textarea, a')].filter((one) => \
            !(one.textContent.trim() || one.getAttribute('aria-label') || one.labels?.length)).length";
        assert_eq!(browser.value(nameless), 0, "{at}");
        let twice = "[...document.querySelectorAll('[id]')].map((one) => one.id).filter((id, i, all) => all.indexOf(id) !== i).join()";
        assert_eq!(browser.value(twice), "", "{at}");
        let heading = browser.inspect("Accessibility.getFullAXTree", &serde_json::json!({}));
        assert!(
            heading["nodes"]
                .as_array()
                .is_some_and(|nodes| nodes.len() > 20)
        );
        // 360 px wide, and a screen of 1280 at 200 %.
        for (width, height) in [(360, 640), (640, 400)] {
            browser.size(width, height);
            let over =
                "document.documentElement.scrollWidth - document.documentElement.clientWidth";
            assert_eq!(browser.value(over), 0, "{at} at {width}");
        }
    }
    let contrast = include_str!("contrast.js");
    for scheme in ["light", "dark"] {
        let feature = serde_json::json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] });
        browser.inspect("Emulation.setEmulatedMedia", &feature);
        browser.size(1280, 800);
        browser.go(&format!("{}&at=jacket.lapel", served.address()));
        let poor = browser.value(contrast);
        assert_eq!(poor, "", "{scheme}");
    }
}

/// The pictures of the README. They depend on the browser's fonts, so that they are not compared.
#[test]
fn the_page_is_pictured() {
    let samples = ["talk.png", "talk-phone.png"].map(|name| Path::new("out-samples").join(name));
    if std::env::var_os("CHALKSTRIPE_KEEP").is_some() {
        let Some(browser) = browser() else {
            return;
        };
        let folder = tempfile::tempdir().unwrap();
        example(folder.path(), "check-side-vents");
        let served = begin(folder.path(), "a.toml");
        for (sample, (width, height)) in samples.iter().zip([(1280, 800), (390, 844)]) {
            browser.size(width, height);
            browser.go(&format!("{}&at=jacket.lapel", served.address()));
            browser.until("document.getElementById('ways')?.dataset.tried === 'yes'");
            browser.until("/ m|yd/.test(document.getElementById('length').textContent)");
            fs::write(sample, browser.picture()).unwrap();
        }
    }
    for sample in &samples {
        assert!(
            fs::read(sample).unwrap().starts_with(b"\x89PNG"),
            "{sample:?}"
        );
    }
}

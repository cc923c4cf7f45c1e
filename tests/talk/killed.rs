//! A talk that is killed at any moment leaves the order whole, and the next one takes it up.

use super::client::{begin, example};
use std::fs;
use std::thread;
use std::time::Duration;

/// Times that it is killed; `CHALKSTRIPE_KILLS` asks for more.
const KILLS: u64 = 12;

#[test]
fn a_killed_talk_leaves_the_order_whole() {
    let folder = tempfile::tempdir().unwrap();
    let before = example(folder.path(), "plain-worsted");
    let with = |word: &str| before.replace("[jacket]", &format!("[jacket]\ngorge = \"{word}\""));
    fs::write(folder.path().join("a.toml"), with("low")).unwrap();
    let whole: Vec<String> = ["low", "classic", "high"].map(with).into();
    let kills = std::env::var("CHALKSTRIPE_KILLS").map_or(KILLS, |kills| kills.parse().unwrap());
    for i in 0..kills {
        let mut served = begin(folder.path(), "a.toml");
        let (host, key) = (served.host.clone(), served.key.clone());
        let asking = thread::spawn(move || {
            for word in ["classic", "high", "low"].into_iter().cycle().take(30) {
                let body = format!(
                    "{{\"do\":\"answer\",\"at\":\"jacket.gorge\",\"said\":\"{word}\",\"look\":{{}}}}"
                );
                let request = format!(
                    "POST /do?key={key} HTTP/1.1\r\nhost: {host}\r\norigin: http://{host}\r\ncontent-type: application/json\r\ncontent-length: {}\r\nconnection: close\r\n\r\n{body}",
                    body.len()
                );
                let Ok(mut stream) = std::net::TcpStream::connect(&host) else {
                    return;
                };
                let _ = std::io::Write::write_all(&mut stream, request.as_bytes());
                let _ = std::io::Read::read_to_end(&mut stream, &mut Vec::new());
            }
        });
        thread::sleep(Duration::from_millis(150 + 37 * (i % 20)));
        served.child.kill().unwrap();
        served.child.wait().unwrap();
        asking.join().unwrap();
        let text = fs::read_to_string(folder.path().join("a.toml")).unwrap();
        assert!(whole.contains(&text), "after {i} kills: {text}");
    }
    let served = begin(folder.path(), "a.toml");
    assert_eq!(served.answer("jacket.gorge", "high")["refused"], false);
    drop(served);
}

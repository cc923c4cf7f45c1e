//! Milliseconds from an answer to the new picture of three garments, asked of the running server; from its start to
//! a page; and to the first length of cloth.
#![allow(clippy::unwrap_used)]

#[path = "../talk/answers.rs"]
mod answers;

use answers::SAID;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Command, Stdio};
use std::time::Instant;

/// Answers that are measured.
const ANSWERS: usize = 200;

fn main() {
    let lines = std::fs::read_to_string("examples/three-piece.toml").unwrap();
    measured("in lines", &lines);
    let cloth = std::fs::read_to_string("examples/check-side-vents.toml").unwrap();
    measured("in cloth", &format!("{cloth}\n[waistcoat]\n"));
}

fn measured(how: &str, order: &str) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.toml"), order).unwrap();
    let begun = Instant::now();
    let mut child = Command::new(env!("CARGO_BIN_EXE_chalkstripe"))
        .args(["talk", "a.toml", "--no-browser"])
        .current_dir(folder.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut line = String::new();
    let mut out = BufReader::new(child.stdout.take().unwrap());
    out.read_line(&mut line).unwrap();
    let (host, key) = line
        .trim()
        .strip_prefix("http://")
        .unwrap()
        .split_once("/?key=")
        .unwrap();
    let ms = |since: Instant| since.elapsed().as_secs_f64() * 1000.0;
    ask(host, &format!("GET /?key={key}&show=all HTTP/1.1"), "");
    println!("{how}: start to a page: {:.0} ms", ms(begun));
    loop {
        let page = ask(host, &format!("GET /pieces?key={key} HTTP/1.1"), "");
        if page.contains("cloth ") && page.contains(" m<") {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    println!("{how}: start to the first length: {:.0} ms", ms(begun));
    let mut times = Vec::new();
    for i in 0..ANSWERS {
        let (at, said) = SAID[i % SAID.len()];
        let body = format!(
            "{{\"do\":\"answer\",\"at\":\"{at}\",\"said\":\"{said}\",\"look\":{{\"at\":\"{at}\",\"show\":\"all\"}}}}"
        );
        let since = Instant::now();
        let answer = ask(host, &format!("POST /do?key={key} HTTP/1.1"), &body);
        times.push(ms(since));
        assert!(
            answer.contains("\"refused\":false") && answer.contains("svg"),
            "{answer}"
        );
    }
    times.sort_by(f64::total_cmp);
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
    println!(
        "{how}: answer to picture, {ANSWERS} answers, three garments: median {:.0} ms, 95th percentile {:.0} ms, worst {:.0} ms",
        at(0.5),
        at(0.95),
        at(1.0)
    );
    child.kill().unwrap();
    child.wait().unwrap();
}

fn ask(host: &str, first: &str, body: &str) -> String {
    let mut stream = TcpStream::connect(host).unwrap();
    write!(
        stream,
        "{first}\r\nhost: {host}\r\norigin: http://{host}\r\ncontent-type: application/json\r\n\
         content-length: {}\r\nconnection: close\r\n\r\n{body}",
        body.len()
    )
    .unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    answer
}

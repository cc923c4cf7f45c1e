//! A server of the page, and a small client for it.

use serde_json::{Value, json};
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// The longest that a test waits for something that comes by itself.
pub(super) const PATIENCE: Duration = Duration::from_secs(90);

/// A talk that the program serves; it ends with the test.
pub(super) struct Served {
    pub child: Child,
    /// `127.0.0.1:PORT`
    pub host: String,
    pub key: String,
}

/// What was answered to a request.
#[derive(Debug)]
pub(super) struct Answer {
    pub status: u16,
    pub head: String,
    pub body: Vec<u8>,
}

impl Answer {
    pub(super) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub(super) fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|_| panic!("{}", self.text()))
    }
}

/// Begins a talk about an order in a folder.
pub(super) fn begin(folder: &Path, order: &str) -> Served {
    let mut child = command(folder, order).spawn().expect("the program runs");
    let mut line = String::new();
    let out = child.stdout.take().expect("its output");
    BufReader::new(out).read_line(&mut line).expect("a line");
    let address = line.trim().strip_prefix("http://");
    let address = address.unwrap_or_else(|| panic!("no address: {line}"));
    let (host, key) = address.split_once("/?key=").expect("a key");
    Served {
        child,
        host: host.to_owned(),
        key: key.to_owned(),
    }
}

/// The command that serves a talk, without a browser.
pub(super) fn command(folder: &Path, order: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_chalkstripe"));
    command
        .args(["talk", order, "--no-browser"])
        .current_dir(folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::null());
    command
}

/// Puts an example into a folder as `a.toml`.
pub(super) fn example(folder: &Path, name: &str) -> String {
    let text = fs::read_to_string(format!("examples/{name}.toml")).unwrap();
    fs::write(folder.join("a.toml"), &text).unwrap();
    text
}

impl Served {
    /// Sends bytes and reads what is answered until the other end closes.
    pub(super) fn raw(&self, request: &[u8]) -> Option<Answer> {
        let mut stream = TcpStream::connect(&self.host).ok()?;
        stream.set_read_timeout(Some(PATIENCE)).ok()?;
        // The other end may close before everything is sent.
        let _ = stream.write_all(request);
        let mut all = Vec::new();
        let _ = stream.read_to_end(&mut all);
        let end = all.windows(4).position(|four| four == b"\r\n\r\n")?;
        let head = String::from_utf8_lossy(&all[..end]).into_owned();
        let status = head.split(' ').nth(1)?.parse().ok()?;
        Some(Answer {
            status,
            head,
            body: all[end + 4..].to_vec(),
        })
    }

    /// Asks for an address, with the key.
    pub(super) fn get(&self, path: &str) -> Answer {
        let join = if path.contains('?') { '&' } else { '?' };
        let (host, key) = (&self.host, &self.key);
        let request = format!(
            "GET {path}{join}key={key} HTTP/1.1\r\nhost: {host}\r\nconnection: close\r\n\r\n"
        );
        self.raw(request.as_bytes()).expect("an answer")
    }

    /// Does something, as the page does.
    pub(super) fn act(&self, what: &Value) -> Value {
        let answer = self.post(&what.to_string(), "");
        assert_eq!(answer.status, 200, "{}", answer.text());
        answer.json()
    }

    /// Sends a body as the page does, with further lines in the head.
    pub(super) fn post(&self, body: &str, more: &str) -> Answer {
        let (host, key, long) = (&self.host, &self.key, body.len());
        let request = format!(
            "POST /do?key={key} HTTP/1.1\r\nhost: {host}\r\norigin: http://{host}\r\n\
             content-type: application/json\r\ncontent-length: {long}\r\nconnection: close\r\n{more}\r\n{body}"
        );
        self.raw(request.as_bytes()).expect("an answer")
    }

    /// Answers a question.
    pub(super) fn answer(&self, at: &str, said: &str) -> Value {
        self.act(&json!({ "do": "answer", "at": at, "said": said, "look": { "at": at } }))
    }

    /// The page as a browser opens it.
    pub(super) fn address(&self) -> String {
        format!("http://{}/?key={}", self.host, self.key)
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Waits until something holds.
pub(super) fn until(what: &str, holds: impl Fn() -> bool) {
    let begun = Instant::now();
    while !holds() {
        assert!(begun.elapsed() < PATIENCE, "waited in vain: {what}");
        std::thread::sleep(Duration::from_millis(20));
    }
}

//! A browser that a test drives: Debian's Chromium, by way of its driver.
//!
//! The protocol (`WebDriver`, of the W3C) is one JSON request for each command, so that a few lines do here; a library for it
//! brings some fifty crates into every build of the tests.

use super::client::PATIENCE;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// A browser with one window.
pub(super) struct Browser {
    driver: Child,
    port: u16,
    session: String,
}

/// Opens a browser, or says why none can be opened here.
pub(super) fn open() -> Result<Browser, String> {
    let driver = Command::new("chromedriver")
        .arg("--port=0")
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn();
    let mut driver = driver.map_err(|_| "chromium-driver is not installed".to_owned())?;
    let out = driver.stdout.take().expect("its output");
    let mut lines = BufReader::new(out).lines().map_while(Result::ok);
    let port = lines.find_map(|line| {
        let (_, port) = line.split_once("started successfully on port ")?;
        port.trim_end_matches('.').parse().ok()
    });
    // It would stop where nobody reads what it says.
    std::thread::spawn(move || lines.for_each(drop));
    let mut browser = Browser {
        driver,
        port: port.ok_or("chromium-driver does not start")?,
        session: String::new(),
    };
    let options = json!({ "args": [
        "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--window-size=1280,800",
    ] });
    let wanted = json!({ "capabilities": { "alwaysMatch": { "goog:chromeOptions": options } } });
    let session = browser.asked("POST", "/session", &wanted)?;
    let id = session["sessionId"]
        .as_str()
        .ok_or("no browser can be opened")?;
    browser.session = format!("/session/{id}");
    Ok(browser)
}

impl Browser {
    fn asked(&self, method: &str, path: &str, body: &Value) -> Result<Value, String> {
        let fault = |error: std::io::Error| error.to_string();
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).map_err(fault)?;
        let body = if method == "POST" {
            body.to_string()
        } else {
            String::new()
        };
        write!(
            stream,
            "{method} {path} HTTP/1.1\r\nhost: 127.0.0.1:{}\r\ncontent-type: application/json\r\n\
             content-length: {}\r\nconnection: close\r\n\r\n{body}",
            self.port,
            body.len()
        )
        .map_err(fault)?;
        // The driver keeps the connection open, so that its length tells where the answer ends.
        let mut answer = BufReader::new(stream);
        let mut long = 0;
        loop {
            let mut line = String::new();
            answer.read_line(&mut line).map_err(fault)?;
            let line = line.trim().to_lowercase();
            if let Some(length) = line.strip_prefix("content-length:") {
                long = length.trim().parse().map_err(|_| "no length")?;
            }
            if line.is_empty() {
                break;
            }
        }
        let mut received = vec![0; long];
        answer.read_exact(&mut received).map_err(fault)?;
        let value: Value = serde_json::from_slice(&received).map_err(|error| error.to_string())?;
        match value["value"]["error"].as_str() {
            Some(error) => Err(format!("{error}: {}", value["value"]["message"])),
            None => Ok(value["value"].clone()),
        }
    }

    fn command(&self, path: &str, body: &Value) -> Value {
        let path = format!("{}{path}", self.session);
        self.asked("POST", &path, body)
            .unwrap_or_else(|why| panic!("{path}: {why}"))
    }

    /// Opens an address and waits until the page can be used.
    pub(super) fn go(&self, address: &str) {
        self.command("/url", &json!({ "url": address }));
        self.until("document.body.dataset.ready === 'yes'");
    }

    /// Evaluates an expression on the page.
    pub(super) fn value(&self, expression: &str) -> Value {
        let script = format!("return ({expression});");
        self.command("/execute/sync", &json!({ "script": script, "args": [] }))
    }

    /// Waits until an expression on the page is true.
    pub(super) fn until(&self, expression: &str) {
        let begun = Instant::now();
        while self.value(expression) != json!(true) {
            assert!(begun.elapsed() < PATIENCE, "waited in vain: {expression}");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Presses what a selector finds with the mouse, where a person would see it; again, if the page has just
    /// exchanged it.
    pub(super) fn click(&self, selector: &str) {
        const TRIES: usize = 5;
        let pressed = (0..TRIES).find_map(|_| self.pressed(selector).ok());
        pressed.unwrap_or_else(|| panic!("{selector}: {:?}", self.pressed(selector)));
    }

    fn pressed(&self, selector: &str) -> Result<Value, String> {
        let found = self.command(
            "/element",
            &json!({ "using": "css selector", "value": selector }),
        );
        let id = found
            .as_object()
            .and_then(|found| found.values().next())
            .cloned();
        let id = id
            .and_then(|id| id.as_str().map(str::to_owned))
            .expect("an element");
        let path = format!("{}/element/{id}/click", self.session);
        self.asked("POST", &path, &json!({}))
    }

    /// Presses keys, one after another.
    pub(super) fn keys(&self, keys: &str) {
        let pressed: Vec<Value> = keys
            .chars()
            .flat_map(|key| ["keyDown", "keyUp"].map(|kind| json!({ "type": kind, "value": key })))
            .collect();
        let source = json!({ "type": "key", "id": "keys", "actions": pressed });
        self.command("/actions", &json!({ "actions": [source] }));
    }

    /// Makes the window as large as a screen.
    pub(super) fn size(&self, width: u32, height: u32) {
        let size =
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        let command = json!({ "cmd": "Emulation.setDeviceMetricsOverride", "params": size });
        self.command("/goog/cdp/execute", &command);
    }

    /// Returns what is seen in the window, as PNG.
    pub(super) fn picture(&self) -> Vec<u8> {
        let path = format!("{}/screenshot", self.session);
        let picture = self.asked("GET", &path, &Value::Null).expect("a picture");
        decoded(picture.as_str().expect("in letters"))
    }

    /// Asks the browser's own inspector.
    pub(super) fn inspect(&self, what: &str, how: &Value) -> Value {
        self.command("/goog/cdp/execute", &json!({ "cmd": what, "params": how }))
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.asked("DELETE", &self.session, &Value::Null);
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

/// Decodes base64 (RFC 4648).
fn decoded(letters: &str) -> Vec<u8> {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut bytes = Vec::new();
    let (mut held, mut bits) = (0_u32, 0);
    for letter in letters.bytes().take_while(|letter| *letter != b'=') {
        let value = LETTERS.iter().position(|known| *known == letter);
        held = held << 6 | value.expect("base64") as u32;
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push((held >> bits) as u8);
            held &= (1 << bits) - 1;
        }
    }
    bytes
}

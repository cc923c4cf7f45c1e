//! Requests that are not from the page: nothing is read, nothing is written, and the page is still served.

use super::client::{Served, begin, example};
use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

#[test]
fn only_this_machine_with_the_key_from_its_own_page_is_answered() {
    let folder = tempfile::tempdir().unwrap();
    let before = example(folder.path(), "plain-worsted");
    let served = begin(folder.path(), "a.toml");
    let Served { host, key, .. } = &served;
    let body = "{\"do\":\"answer\",\"at\":\"jacket.lapel\",\"said\":\"peak\",\"look\":{}}";
    let long = body.len();
    let json = "content-type: application/json\r\n";
    let own = format!("origin: http://{host}\r\n");
    let get = |query: &str, head: &str| {
        format!("GET /{query} HTTP/1.1\r\n{head}connection: close\r\n\r\n")
    };
    let post = |query: &str, head: &str| {
        format!(
            "POST /do{query} HTTP/1.1\r\n{head}content-length: {long}\r\nconnection: close\r\n\r\n{body}"
        )
    };
    let (own_host, keyed) = (format!("host: {host}\r\n"), format!("?key={key}"));
    let wrong = format!("?key={}", "0".repeat(32));
    let port = host.rsplit(':').next().unwrap();
    let refused = [
        ("no key", get("", &own_host)),
        ("wrong key", get(&wrong, &own_host)),
        ("half a key", get(&keyed[..keyed.len() - 1], &own_host)),
        ("no host", get(&keyed, "")),
        ("another host", get(&keyed, "host: tailor.example\r\n")),
        (
            "a name that leads here",
            get(&keyed, &format!("host: localhost:{port}\r\n")),
        ),
        ("another port", get(&keyed, "host: 127.0.0.1:1\r\n")),
        (
            "another origin",
            get(
                &keyed,
                &format!("{own_host}origin: http://tailor.example\r\n"),
            ),
        ),
        (
            "no origin at all",
            get(&keyed, &format!("{own_host}origin: null\r\n")),
        ),
        (
            "another site",
            get(&keyed, &format!("{own_host}sec-fetch-site: cross-site\r\n")),
        ),
        (
            "a form of another site",
            post(
                &keyed,
                &format!("{own_host}origin: http://tailor.example\r\n{json}"),
            ),
        ),
        (
            "a form",
            post(
                &keyed,
                &format!("{own_host}{own}content-type: application/x-www-form-urlencoded\r\n"),
            ),
        ),
        (
            "plain text",
            post(
                &keyed,
                &format!("{own_host}{own}content-type: text/plain\r\n"),
            ),
        ),
        ("no kind", post(&keyed, &format!("{own_host}{own}"))),
        (
            "a write without an origin",
            post(&keyed, &format!("{own_host}{json}")),
        ),
        (
            "a write without a key",
            post("", &format!("{own_host}{own}{json}")),
        ),
        (
            "another method",
            get(&keyed, &own_host).replace("GET", "DELETE"),
        ),
    ];
    for (what, request) in &refused {
        let answer = served.raw(request.as_bytes()).expect(what);
        assert!(
            (400..500).contains(&answer.status),
            "{what}: {}",
            answer.status
        );
        assert!(!answer.text().contains("chest"), "{what}");
        assert!(
            answer.status == 400 || answer.head.contains("content-security-policy"),
            "{what}"
        );
    }
    assert_eq!(
        fs::read_to_string(folder.path().join("a.toml")).unwrap(),
        before
    );
    let good = post(&keyed, &format!("{own_host}{own}{json}"));
    assert_eq!(
        served.raw(good.as_bytes()).unwrap().status,
        200,
        "the same from the page is done"
    );
}

#[test]
fn no_address_leads_to_the_disk() {
    let folder = tempfile::tempdir().unwrap();
    example(folder.path(), "plain-worsted");
    fs::create_dir_all(folder.path().join("out/a")).unwrap();
    fs::write(folder.path().join("out/secret.pdf"), "secret").unwrap();
    fs::write(folder.path().join("out/a/.hidden.pdf"), "secret").unwrap();
    fs::write(folder.path().join("out/a/notes.txt"), "secret").unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("../secret.pdf", folder.path().join("out/a/link.pdf")).unwrap();
    let served = begin(folder.path(), "a.toml");
    for path in [
        "/sheets/../secret.pdf",
        "/sheets/..%2fsecret.pdf",
        "/sheets/%2e%2e%2fsecret.pdf",
        "/sheets/..\\secret.pdf",
        "/sheets/.hidden.pdf",
        "/sheets/notes.txt",
        "/sheets/link.pdf",
        "/sheets/%00ticket.pdf",
        "/sheets//etc/passwd",
        "/files/../../a.toml",
        "/files/%2e%2e%2fa.toml",
        "//a.toml",
        "/a.toml",
        "/sheets/",
        "/files/",
    ] {
        let answer = served.get(path);
        assert!(
            (400..500).contains(&answer.status),
            "{path}: {}",
            answer.status
        );
        assert!(!answer.text().contains("secret"), "{path}");
    }
}

#[test]
fn what_is_too_much_is_refused_and_the_page_still_served() {
    let folder = tempfile::tempdir().unwrap();
    let before = example(folder.path(), "plain-worsted");
    let served = begin(folder.path(), "a.toml");
    let Served { host, key, .. } = &served;
    let head = format!(
        "POST /do?key={key} HTTP/1.1\r\nhost: {host}\r\norigin: http://{host}\r\ncontent-type: application/json\r\n"
    );
    // A body of a gigabyte is refused by its length alone, and one that does not say its length where it gets long.
    let huge = format!("{head}content-length: 1073741824\r\nconnection: close\r\n\r\n");
    assert_eq!(served.raw(huge.as_bytes()).unwrap().status, 413);
    let chunk = format!("10000\r\n{}\r\n", "x".repeat(0x10000));
    let endless = format!(
        "{head}transfer-encoding: chunked\r\nconnection: close\r\n\r\n{}0\r\n\r\n",
        chunk.repeat(8)
    );
    assert!(
        served
            .raw(endless.as_bytes())
            .is_none_or(|answer| answer.status == 413)
    );
    for body in [
        "",
        "{",
        "[]",
        "{\"do\":\"burn\"}",
        "{\"do\":\"answer\"}",
        "\u{0}",
    ] {
        assert_eq!(served.post(body, "").status, 400, "{body}");
    }
    let deep = "[".repeat(100_000);
    assert_eq!(served.post(&deep, "").status, 400);
    let long = format!(
        "GET /?key={key}&at={} HTTP/1.1\r\nhost: {host}\r\nconnection: close\r\n\r\n",
        "a".repeat(200_000)
    );
    assert!(
        served
            .raw(long.as_bytes())
            .is_none_or(|answer| answer.status >= 400)
    );
    assert_eq!(served.get("/").status, 200);
    assert_eq!(
        fs::read_to_string(folder.path().join("a.toml")).unwrap(),
        before
    );
}

#[test]
fn slow_and_many_connections_do_not_keep_the_page_away() {
    let folder = tempfile::tempdir().unwrap();
    example(folder.path(), "plain-worsted");
    let served = begin(folder.path(), "a.toml");
    let mut slow = TcpStream::connect(&served.host).unwrap();
    slow.write_all(b"GET / HTTP/1.1\r\nhost: ").unwrap();
    let mut held = Vec::new();
    for _ in 0..10_000 {
        let Ok(stream) = TcpStream::connect(&served.host) else {
            break;
        };
        // As many as this process may have open at a time.
        if held.len() < 300 {
            held.push(stream);
        }
    }
    let begun = Instant::now();
    let page = loop {
        let request = format!(
            "GET /?key={} HTTP/1.1\r\nhost: {}\r\nconnection: close\r\n\r\n",
            served.key, served.host
        );
        if let Some(answer) = served.raw(request.as_bytes()) {
            break answer;
        }
        assert!(
            begun.elapsed() < super::client::PATIENCE,
            "it is not served any more"
        );
        std::thread::sleep(Duration::from_millis(100));
    };
    assert_eq!(page.status, 200);
    // The slow one is closed: it never said what it wants.
    slow.set_read_timeout(Some(Duration::from_secs(30)))
        .unwrap();
    let mut rest = Vec::new();
    slow.read_to_end(&mut rest).expect("it is closed");
    assert!(!String::from_utf8_lossy(&rest).contains("200 OK"));
}

#[test]
fn too_many_windows_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    example(folder.path(), "plain-worsted");
    let served = begin(folder.path(), "a.toml");
    let windows: Vec<TcpStream> = (0..12)
        .map(|_| {
            let mut stream = TcpStream::connect(&served.host).unwrap();
            let (host, key) = (&served.host, &served.key);
            write!(
                stream,
                "GET /events?key={key} HTTP/1.1\r\nhost: {host}\r\n\r\n"
            )
            .unwrap();
            stream
        })
        .collect();
    let status = |mut stream: &TcpStream| {
        let mut head = [0; 12];
        stream.read_exact(&mut head).unwrap();
        String::from_utf8_lossy(&head[9..]).into_owned()
    };
    let open = windows
        .iter()
        .filter(|window| status(window) == "200")
        .count();
    assert_eq!(open, 8);
    assert_eq!(served.get("/").status, 200);
}

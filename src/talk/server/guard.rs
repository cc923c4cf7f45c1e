//! Who may ask: this machine, by this server's own name, with its key, from its own page.

use super::app::App;
use axum::extract::{Request, State};
use axum::http::header::{self, HeaderMap, HeaderName, HeaderValue};
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;
use std::time::Duration;

/// What the page may do: use its own files and nothing else.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; \
     connect-src 'self'; form-action 'none'; frame-ancestors 'none'; base-uri 'none'";
/// What a sheet may do that is opened from the page: its style and pictures are in it.
const SHEET_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; \
     form-action 'none'; frame-ancestors 'none'; base-uri 'none'";
/// The largest body of a request, in bytes.
pub(super) const LARGEST_BODY: usize = 256 * 1024;
/// The time in which a request must be answered, its body read and all; events are answered at once.
const TIME: Duration = Duration::from_secs(30);

/// Refuses a request that is not from the page itself, and seals every answer.
pub(super) async fn guard(State(app): State<Arc<App>>, request: Request, next: Next) -> Response {
    let sheet = request.uri().path().starts_with("/sheets/");
    let mut response = match refused(&app, &request) {
        Some(why) => (StatusCode::FORBIDDEN, why).into_response(),
        None if is_too_large(request.headers()) => StatusCode::PAYLOAD_TOO_LARGE.into_response(),
        None => match tokio::time::timeout(TIME, next.run(request)).await {
            Ok(response) => response,
            Err(_) => StatusCode::REQUEST_TIMEOUT.into_response(),
        },
    };
    let policy = if sheet { SHEET_POLICY } else { POLICY };
    for (name, value) in [
        (header::CONTENT_SECURITY_POLICY, policy),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
    ] {
        response
            .headers_mut()
            .insert(name, HeaderValue::from_static(value));
    }
    response
}

/// Says why a request is refused, or `None` where it is not.
fn refused(app: &App, request: &Request) -> Option<&'static str> {
    let headers = request.headers();
    let origin = format!("http://{}", app.host);
    let own = |name: &HeaderName, value: &str| {
        headers
            .get(name)
            .is_none_or(|found| found.as_bytes() == value.as_bytes())
    };
    if !headers.contains_key(header::HOST) || !own(&header::HOST, &app.host) {
        return Some("this server has another name");
    }
    if request
        .uri()
        .authority()
        .is_some_and(|authority| authority.as_str() != app.host)
    {
        return Some("this server has another name");
    }
    if !own(&header::ORIGIN, &origin) || from_another_site(headers) {
        return Some("the page of another site may not ask");
    }
    if !has_key(request.uri().query().unwrap_or_default(), &app.key) {
        return Some("the key is missing or wrong: use the address that chalkstripe printed");
    }
    match *request.method() {
        Method::GET => None,
        Method::POST => {
            let json = headers
                .get(header::CONTENT_TYPE)
                .is_some_and(|kind| kind.as_bytes() == b"application/json");
            let named = headers.contains_key(header::ORIGIN);
            (!json || !named).then_some("only the page itself may write")
        }
        _ => Some("there is nothing of the kind here"),
    }
}

/// Tells whether a body says that it is larger than any act of the page. One that says nothing is cut off where it
/// gets too long.
fn is_too_large(headers: &HeaderMap) -> bool {
    let long = headers.get(header::CONTENT_LENGTH);
    let long = long.and_then(|long| long.to_str().ok()?.parse::<usize>().ok());
    long.is_some_and(|long| long > LARGEST_BODY)
}

/// Tells whether a browser says that another site asks.
fn from_another_site(headers: &HeaderMap) -> bool {
    let site = headers.get("sec-fetch-site").map(HeaderValue::as_bytes);
    site.is_some_and(|site| !matches!(site, b"same-origin" | b"none"))
}

/// Tells whether a query holds the key. It takes as long for a wrong key as for the right one.
fn has_key(query: &str, key: &str) -> bool {
    let mut pairs = query.split('&');
    let given = pairs
        .find_map(|pair| pair.strip_prefix("key="))
        .unwrap_or_default();
    let differ = given
        .bytes()
        .zip(key.bytes())
        .fold(0, |differ, (a, b)| differ | (a ^ b));
    given.len() == key.len() && differ == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_whole_key_opens() {
        assert!(has_key("at=client&key=abc", "abc"));
        for query in [
            "", "key=", "key=ab", "key=abcd", "key=abd", "akey=abc", "at=abc",
        ] {
            assert!(!has_key(query, "abc"), "{query}");
        }
    }
}

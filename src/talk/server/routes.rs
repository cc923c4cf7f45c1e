//! The addresses of the page. No address leads to the disk but those of the order's own sheets.

use super::acts::{self, Act};
use super::app::{App, Heard};
use super::events::events;
use super::guard::{LARGEST_BODY, guard};
use crate::talk::adds::{Added, adds};
use crate::talk::page::{self, Looking};
use crate::talk::questions::question;
use crate::talk::ways;
use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::middleware::from_fn_with_state;
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use serde::Deserialize;
use std::fs;
use std::sync::Arc;
use std::sync::atomic::Ordering;

/// Returns the routes.
pub(super) fn routes(app: &Arc<App>) -> Router {
    Router::new()
        .route("/", get(whole))
        .route("/files/{name}", get(file))
        .route("/pieces", get(pieces))
        .route("/ways", get(tried))
        .route("/adds", get(added))
        .route("/do", post(act))
        .route("/events", get(events))
        .route("/read", get(read))
        .route("/sheets/{name}", get(sheet))
        .layer(DefaultBodyLimit::max(LARGEST_BODY))
        .layer(from_fn_with_state(app.clone(), guard))
        .with_state(app.clone())
}

/// Does work that takes a while off the thread that listens.
async fn aside<T: Send + 'static>(
    app: Arc<App>,
    work: impl FnOnce(&Arc<App>) -> T + Send + 'static,
) -> Result<T, StatusCode> {
    let done = tokio::task::spawn_blocking(move || work(&app)).await;
    done.map_err(|_| StatusCode::INTERNAL_SERVER_ERROR)
}

async fn whole(State(app): State<Arc<App>>, Query(look): Query<Looking>) -> Response {
    let page = aside(app, move |app| page::whole(&app.frame(), &look)).await;
    page.map(Html).into_response()
}

async fn file(Path(name): Path<String>) -> Response {
    match page::file(&name) {
        Some((kind, text)) => ([(header::CONTENT_TYPE, kind)], text).into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

async fn pieces(State(app): State<Arc<App>>, Query(look): Query<Looking>) -> Response {
    let pieces = aside(app, move |app| {
        let now = app.talk().now();
        page::pieces(&app.frame(), &now, &look, "", false)
    });
    pieces.await.map(json).into_response()
}

/// A question of which each way is to be tried, and when it was asked for, in ms.
#[derive(Debug, Deserialize)]
struct Asked {
    at: String,
    #[serde(default)]
    number: u64,
}

async fn tried(State(app): State<Arc<App>>, Query(asked): Query<Asked>) -> Response {
    app.last_tried.fetch_max(asked.number, Ordering::Relaxed);
    let ways = aside(app, move |app| {
        // One that was overtaken while it waited for its turn is dropped.
        if app.last_tried.load(Ordering::Relaxed) > asked.number {
            return None;
        }
        let now = app.talk().now();
        let question = question(&now.reading, &asked.at)?;
        let ways = ways::tried(app.talk(), &now, &question)?;
        Some(page::ways(&ways))
    });
    match ways.await {
        Ok(Some(ways)) => Html(ways).into_response(),
        Ok(None) => StatusCode::NO_CONTENT.into_response(),
        Err(failed) => failed.into_response(),
    }
}

async fn added(State(app): State<Arc<App>>, Query(asked): Query<Asked>) -> Response {
    let stop = app.begin_adding();
    // Nobody waits for it: every window hears of each word as soon as it is known.
    tokio::task::spawn_blocking(move || {
        let now = app.talk().now();
        if let Some(question) = question(&now.reading, &asked.at) {
            let tell = |added: Added| app.tell(Heard::Added(serde_json::json!(added).to_string()));
            adds(app.talk(), &now, &question, &stop, &tell);
        }
    });
    StatusCode::NO_CONTENT.into_response()
}

async fn act(State(app): State<Arc<App>>, body: Bytes) -> Response {
    let act: Act = match serde_json::from_slice(&body) {
        Ok(act) => act,
        Err(fault) => return (StatusCode::BAD_REQUEST, fault.to_string()).into_response(),
    };
    let done = aside(app, move |app| acts::done(app, act)).await;
    done.map(json).into_response()
}

async fn read(State(app): State<Arc<App>>) -> Response {
    let page = aside(app, move |app| page::read_back(&app.frame())).await;
    page.map(Html).into_response()
}

/// Hands out one of the order's own sheets, by the name that it has in its folder.
async fn sheet(State(app): State<Arc<App>>, Path(name): Path<String>) -> Response {
    let found = aside(app, move |app| {
        let folder = app.talk().sheets();
        let mut entries = fs::read_dir(&folder).ok()?.flatten();
        let entry = entries.find(|entry| entry.file_name().to_str() == Some(name.as_str()))?;
        let kind = page::kind_of(&name)?;
        let plain = entry.file_type().ok()?.is_file();
        let bytes = plain.then(|| fs::read(entry.path()).ok())??;
        Some((kind, bytes))
    });
    match found.await {
        Ok(Some((kind, bytes))) => ([(header::CONTENT_TYPE, kind)], bytes).into_response(),
        Ok(None) => StatusCode::NOT_FOUND.into_response(),
        Err(failed) => failed.into_response(),
    }
}

fn json(value: serde_json::Value) -> Response {
    let kind = [(header::CONTENT_TYPE, "application/json")];
    (kind, value.to_string()).into_response()
}

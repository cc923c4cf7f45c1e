//! What happens beside a request, told to every window that listens.

use super::app::{App, Heard};
use crate::talk::page;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use std::convert::Infallible;
use std::sync::Arc;
use tokio_stream::wrappers::BroadcastStream;
use tokio_stream::{StreamExt, once};

/// Tells a window from now on what it must know. Too many windows are refused.
pub(super) async fn events(State(app): State<Arc<App>>) -> Response {
    let Ok(window) = app.windows.clone().try_acquire_owned() else {
        return (StatusCode::SERVICE_UNAVAILABLE, "too many windows are open").into_response();
    };
    let heard = BroadcastStream::new(app.heard.subscribe()).map(move |heard| {
        let _held = &window;
        // A window that lags behind reads everything anew.
        heard.unwrap_or(Heard::Changed(u64::MAX))
    });
    let first = app.lengths.told();
    let first = first.map_or(Heard::Changed(app.talk().now().revision), |length| {
        Heard::Length(page::length(&length))
    });
    let all = once(first).chain(heard).map(|heard| {
        Ok::<_, Infallible>(match heard {
            Heard::Changed(revision) => {
                Event::default().event("changed").data(revision.to_string())
            }
            Heard::Length(piece) => Event::default().event("length").data(piece),
            Heard::Added(json) => Event::default().event("added").data(json),
            Heard::Progress(piece) => Event::default().event("progress").data(piece),
        })
    });
    Sse::new(all)
        .keep_alive(KeepAlive::default())
        .into_response()
}

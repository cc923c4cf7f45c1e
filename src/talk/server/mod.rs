//! Hands out the page: to this machine alone, with a key, and to no page of another site.

mod acts;
mod app;
mod events;
mod guard;
mod routes;

use crate::diagnostic::Diagnostic;
use app::App;
use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::io;
use std::net::{Ipv4Addr, TcpListener};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;
use tokio::net::TcpStream;
use tokio::sync::Semaphore;

/// The most connections at a time. One more is closed at once: a browser has six to a server and an event stream for
/// each window.
const MOST_CONNECTIONS: usize = 128;
/// The time in which the head of a request must have come.
const HEAD: Duration = Duration::from_secs(5);
/// The largest head of a request, in bytes.
const LARGEST_HEAD: usize = 16 * 1024;
/// How often the order's file is looked at for a change made elsewhere.
const LOOK: Duration = Duration::from_millis(300);
/// How often it is looked whether the server is to end.
const ENDING: Duration = Duration::from_millis(50);

/// A server of the page of one order.
pub struct Server {
    listener: TcpListener,
    app: Arc<App>,
}

impl Server {
    /// Takes up an order, new or begun, and a port of this machine; 0 takes any that is free. The order's sheets go
    /// into a folder in `out`.
    ///
    /// # Errors
    /// Returns a fault where the order is in use or cannot be read or written, or the port is taken.
    pub fn begin(order: &Path, out: &Path, port: u16) -> Result<Self, Diagnostic> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(|error| {
            let fault = match error.kind() {
                io::ErrorKind::AddrInUse => format!("port {port} is taken"),
                _ => format!("port {port} cannot be used: {error}"),
            };
            Diagnostic::error(fault).help("leave --port out: any free port is used then")
        })?;
        let address = listener.local_addr();
        let port = address.map_or(port, |address| address.port());
        let app = App::begin(order, out, format!("127.0.0.1:{port}"))?;
        Ok(Self { listener, app })
    }

    /// Returns the address of the page, with its key.
    pub fn address(&self) -> String {
        format!("http://{}/?key={}", self.app.host, self.app.key)
    }

    /// Serves the page until `stop` is set. What was answered is in the order's file by then.
    ///
    /// # Errors
    /// Returns what the system says where it cannot serve.
    pub fn run(self, stop: &AtomicBool) -> io::Result<()> {
        self.listener.set_nonblocking(true)?;
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_io()
            .enable_time()
            .max_blocking_threads(8)
            .build()?;
        thread::scope(|scope| {
            let app = &self.app;
            scope.spawn(move || app.find_lengths());
            scope.spawn(move || {
                while !app.ended() {
                    app.talk().look();
                    thread::sleep(LOOK);
                }
            });
            let outcome = runtime.block_on(accepting(&self.listener, app, stop));
            app.end();
            outcome
        })
    }
}

/// Takes connections until `stop` is set.
async fn accepting(listener: &TcpListener, app: &Arc<App>, stop: &AtomicBool) -> io::Result<()> {
    let listener = tokio::net::TcpListener::from_std(listener.try_clone()?)?;
    let routes = routes::routes(app);
    let room = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    while !stop.load(Ordering::Relaxed) {
        let Ok(accepted) = tokio::time::timeout(ENDING, listener.accept()).await else {
            continue;
        };
        let Ok((stream, _)) = accepted else {
            // Too many open files: wait for some to be closed.
            tokio::time::sleep(ENDING).await;
            continue;
        };
        if let Ok(permit) = room.clone().try_acquire_owned() {
            let routes = routes.clone();
            tokio::spawn(async move {
                connection(stream, routes).await;
                drop(permit);
            });
        }
    }
    Ok(())
}

/// Serves one connection. What goes wrong with it is the other end's to know.
async fn connection(stream: TcpStream, routes: Router) {
    let _ = stream.set_nodelay(true);
    let served = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD)
        .max_buf_size(LARGEST_HEAD)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(routes));
    let _ = served.await;
}

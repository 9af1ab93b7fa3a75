//! The page and the status over HTTP.
//!
//! In: the [`Snapshot`] that the last cycle left. Out: a page, a JSON status, a health reply.
//! Computes nothing, changes nothing, and cannot hold up a cycle.

mod page;
mod snapshot;
mod status;

use std::fmt;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::State;
use axum::http::header::{CACHE_CONTROL, CONTENT_SECURITY_POLICY, X_CONTENT_TYPE_OPTIONS};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::get;
use chrono::{DateTime, Utc};
use thiserror::Error;
use tokio::net::TcpListener;
use tokio::sync::watch;
use tokio_util::sync::CancellationToken;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::set_header::SetResponseHeaderLayer;
use tower_http::timeout::TimeoutLayer;

pub use snapshot::{Board, GardenSnapshot, Snapshot};

/// A request that takes longer is answered with a time-out.
const REQUEST_TIMEOUT: Duration = Duration::from_secs(10);

/// Open connections get so long to finish when the program ends; less than a service manager waits.
const DRAIN_TIMEOUT: Duration = Duration::from_secs(5);

/// The page brings its own style and nothing else may load or run.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; \
                      frame-ancestors 'none'";

/// A server that cannot start or go on.
#[derive(Debug, Error)]
pub enum WebError {
    /// The address cannot be listened on.
    #[error("cannot listen on {address}")]
    Listen {
        /// The address.
        address: SocketAddr,
        /// Why.
        source: std::io::Error,
    },
    /// The server broke.
    #[error("the web server stopped")]
    Serve(#[source] std::io::Error),
}

/// Tells the time.
pub type Now = Arc<dyn Fn() -> DateTime<Utc> + Send + Sync>;

#[derive(Clone)]
struct Shared {
    snapshot: watch::Receiver<Arc<Snapshot>>,
    now: Now,
}

impl fmt::Debug for Shared {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Shared").finish_non_exhaustive()
    }
}

/// Opens the address; port 0 takes any free port.
///
/// # Errors
/// [`WebError::Listen`].
pub async fn listen(address: SocketAddr) -> Result<TcpListener, WebError> {
    TcpListener::bind(address)
        .await
        .map_err(|source| WebError::Listen { address, source })
}

/// Serves until `stop` is cancelled, then lets open connections finish for a short while.
///
/// A client that has sent half a request would hold up the end for ever, hence the limit.
///
/// # Errors
/// [`WebError::Serve`].
pub async fn serve(
    listener: TcpListener,
    app: Router,
    stop: CancellationToken,
) -> Result<(), WebError> {
    let server = axum::serve(listener, app).with_graceful_shutdown(stop.clone().cancelled_owned());
    let patience = async {
        stop.cancelled().await;
        tokio::time::sleep(DRAIN_TIMEOUT).await;
    };
    tokio::select! {
        ended = server.into_future() => ended.map_err(WebError::Serve),
        () = patience => Ok(()),
    }
}

/// The routes over the newest snapshot.
pub fn app(snapshot: watch::Receiver<Arc<Snapshot>>, now: Now) -> Router {
    let header =
        |name, value| SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value));
    Router::new()
        .route("/", get(show_page))
        .route("/status", get(show_status))
        .route("/healthz", get(show_health))
        .with_state(Shared { snapshot, now })
        .layer(header(CONTENT_SECURITY_POLICY, POLICY))
        .layer(header(X_CONTENT_TYPE_OPTIONS, "nosniff"))
        .layer(header(CACHE_CONTROL, "no-cache"))
        .layer(RequestBodyLimitLayer::new(1024))
        .layer(TimeoutLayer::with_status_code(
            StatusCode::REQUEST_TIMEOUT,
            REQUEST_TIMEOUT,
        ))
        .layer(CatchPanicLayer::new())
}

async fn show_page(State(shared): State<Shared>) -> Html<String> {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    Html(page::board(&snapshot))
}

async fn show_status(State(shared): State<Shared>) -> Response {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    axum::Json(status::status(&snapshot, (shared.now)())).into_response()
}

async fn show_health(State(shared): State<Shared>) -> Response {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    match snapshot.next_by {
        Some(by) if (shared.now)() > by => {
            (StatusCode::SERVICE_UNAVAILABLE, "the cycle is overdue\n").into_response()
        }
        Some(_) | None => (StatusCode::OK, "ok\n").into_response(),
    }
}

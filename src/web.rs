//! The pages and the status over HTTP.
//!
//! In: the [`Snapshot`] that the last cycle left, the almanac, readings that are posted. Out: pages, their style sheet, a
//! JSON status, a health reply, the posts. Computes nothing, keeps nothing, and cannot hold up a cycle.

mod page;
mod readings;
mod reply;
mod snapshot;
mod status;

use std::fmt;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::get;
use chrono::{DateTime, Utc};
use serde::Deserialize;
use thiserror::Error;
use tokio::net::TcpListener;
use tokio::sync::watch;
use tokio_util::sync::CancellationToken;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::set_header::SetResponseHeaderLayer;
use tower_http::timeout::TimeoutLayer;

use reply::{CSS, HTML, tagged};

use crate::almanac::Almanac;

pub use readings::{Posted, Receipt, Slot, readings};
pub use snapshot::{Board, GardenSnapshot, JournalEntry, Snapshot};

/// A request that takes longer is answered with a time-out.
const REQUEST_TIMEOUT: Duration = Duration::from_secs(10);

/// Open connections get so long to finish when the program ends; less than a service manager waits.
const DRAIN_TIMEOUT: Duration = Duration::from_secs(5);

/// Pages load their style sheet from here and nothing else may load or run.
const POLICY: &str = "default-src 'none'; style-src 'self'; img-src 'self' data:; form-action 'self'; \
                      base-uri 'none'; frame-ancestors 'none'";

/// The style sheet of all pages.
const STYLE: &str = include_str!("web/style.css");

/// What is written into the search of the almanac is read no further than so many letters.
const SOUGHT_MAX: usize = 100;

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
    almanac: Arc<Almanac>,
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

/// The routes over the newest snapshot and the almanac.
pub fn app(snapshot: watch::Receiver<Arc<Snapshot>>, almanac: Arc<Almanac>, now: Now) -> Router {
    let header =
        |name, value| SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value));
    Router::new()
        .route("/", get(show_board))
        .route("/garden/{garden}", get(show_garden))
        .route("/garden/{garden}/plan", get(show_plan))
        .route("/garden/{garden}/journal", get(show_journal))
        .route("/garden/{garden}/cut/{cut}", get(show_cut))
        .route("/almanac", get(show_kinds))
        .route("/almanac/{kind}", get(show_kind))
        .route("/style.css", get(show_style))
        .route("/status", get(show_status))
        .route("/healthz", get(show_health))
        .fallback(get(async || missing()))
        .with_state(Shared {
            snapshot,
            almanac,
            now,
        })
        .layer(header(CONTENT_SECURITY_POLICY, POLICY))
        .layer(header(X_CONTENT_TYPE_OPTIONS, "nosniff"))
        .layer(header(REFERRER_POLICY, "no-referrer"))
        .layer(header(CACHE_CONTROL, "no-cache"))
        .layer(RequestBodyLimitLayer::new(1024))
        .layer(TimeoutLayer::with_status_code(
            StatusCode::REQUEST_TIMEOUT,
            REQUEST_TIMEOUT,
        ))
        .layer(CatchPanicLayer::new())
}

impl Shared {
    /// A page of a garden; the page that says so where there is no such one.
    fn of_garden(
        &self,
        (headers, name): (&HeaderMap, &str),
        page: impl FnOnce(&GardenSnapshot) -> Option<String>,
    ) -> Response {
        let snapshot = Arc::clone(&self.snapshot.borrow());
        let garden = snapshot.gardens.iter().find(|garden| garden.name == name);
        match garden.and_then(page) {
            Some(page) => tagged(headers, HTML, page),
            None => missing(),
        }
    }
}

fn missing() -> Response {
    (StatusCode::NOT_FOUND, Html(page::missing())).into_response()
}

async fn show_board(State(shared): State<Shared>, headers: HeaderMap) -> Response {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    tagged(&headers, HTML, page::board(&snapshot))
}

async fn show_garden(
    State(shared): State<Shared>,
    Path(garden): Path<String>,
    headers: HeaderMap,
) -> Response {
    shared.of_garden((&headers, &garden), |garden| Some(page::garden(garden)))
}

async fn show_plan(
    State(shared): State<Shared>,
    Path(garden): Path<String>,
    headers: HeaderMap,
) -> Response {
    shared.of_garden((&headers, &garden), |garden| Some(page::plan(garden)))
}

async fn show_journal(
    State(shared): State<Shared>,
    Path(garden): Path<String>,
    headers: HeaderMap,
) -> Response {
    shared.of_garden((&headers, &garden), |garden| Some(page::journal(garden)))
}

async fn show_cut(
    State(shared): State<Shared>,
    Path((garden, cut)): Path<(String, String)>,
    headers: HeaderMap,
) -> Response {
    shared.of_garden((&headers, &garden), |garden| page::cut(garden, &cut))
}

/// What is sought in the almanac.
#[derive(Debug, Default, Deserialize)]
struct Sought {
    #[serde(default)]
    q: String,
}

async fn show_kinds(
    State(shared): State<Shared>,
    sought: Result<Query<Sought>, QueryRejection>,
    headers: HeaderMap,
) -> Response {
    let sought = sought.map(|Query(sought)| sought.q).unwrap_or_default();
    let sought: String = sought.chars().take(SOUGHT_MAX).collect();
    tagged(&headers, HTML, page::kinds(&shared.almanac, &sought))
}

async fn show_kind(
    State(shared): State<Shared>,
    Path(kind): Path<String>,
    headers: HeaderMap,
) -> Response {
    match shared.almanac.kind(&kind) {
        Some(kind) => tagged(&headers, HTML, page::kind(kind)),
        None => missing(),
    }
}

async fn show_style(headers: HeaderMap) -> Response {
    tagged(&headers, CSS, STYLE.to_owned())
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

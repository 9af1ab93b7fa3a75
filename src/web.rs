//! The pages and the status over HTTP.
//!
//! In: the [`Snapshot`] that the last cycle left, the almanac, readings that are posted. Out: pages, their style sheet, a
//! JSON status, a health reply, the posts. Computes nothing, keeps nothing, and cannot hold up a cycle.

mod answer;
mod feed;
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
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::get;
use chrono::{DateTime, NaiveTime, TimeDelta, Utc};
use serde::Deserialize;
use thiserror::Error;
use tokio::net::TcpListener;
use tokio::sync::watch;
use tokio_util::sync::CancellationToken;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::set_header::SetResponseHeaderLayer;
use tower_http::timeout::TimeoutLayer;

use reply::{CALENDAR, CSS, HTML, METRICS, tagged};

use crate::almanac::Almanac;
use crate::garden::Answer;
use crate::link::{Links, Slip};
use crate::locale::Locale;

pub use answer::{AnswerWish, Answered, Outcome, answers};
pub use readings::{Posted, Receipt, Slot, readings};
pub use snapshot::{Board, GardenSnapshot, JournalEntry, Snapshot, Trouble, Weight};

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
    /// Makes the links by which the keeper tells something; none where nobody takes answers.
    links: Option<Arc<Links>>,
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
///
/// With `links` the page of a cut leads to what its keeper may tell; see [`answers`].
pub fn app(
    snapshot: watch::Receiver<Arc<Snapshot>>,
    almanac: Arc<Almanac>,
    links: Option<Arc<Links>>,
    now: Now,
) -> Router {
    let routes = Router::new()
        .route("/", get(show_board))
        .route("/garden/{garden}", get(show_garden))
        .route("/garden/{garden}/plan", get(show_plan))
        .route("/garden/{garden}/journal", get(show_journal))
        .route("/garden/{garden}/cut/{cut}", get(show_cut))
        .route("/garden/{garden}/windows.ics", get(show_windows))
        .route("/almanac", get(show_kinds))
        .route("/almanac/{kind}", get(show_kind))
        .route("/style.css", get(show_style))
        .route("/status", get(show_status))
        .route("/healthz", get(show_health))
        .route("/metrics", get(show_metrics))
        .fallback(get(show_missing))
        .with_state(Shared {
            snapshot,
            almanac,
            links,
            now,
        });
    guarded(routes)
}

/// Routes with what guards each reply: what a page may load, how long a request may take, how large it may be.
fn guarded(routes: Router) -> Router {
    let header =
        |name, value| SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value));
    let fallback =
        |name, value| SetResponseHeaderLayer::if_not_present(name, HeaderValue::from_static(value));
    routes
        .layer(header(CONTENT_SECURITY_POLICY, POLICY))
        .layer(header(X_CONTENT_TYPE_OPTIONS, "nosniff"))
        .layer(header(REFERRER_POLICY, "no-referrer"))
        .layer(fallback(CACHE_CONTROL, "no-cache"))
        .layer(RequestBodyLimitLayer::new(1024))
        .layer(TimeoutLayer::with_status_code(
            StatusCode::REQUEST_TIMEOUT,
            REQUEST_TIMEOUT,
        ))
        .layer(CatchPanicLayer::new())
}

impl Shared {
    /// How the pages that belong to no garden are read.
    fn locale(&self) -> Locale {
        self.snapshot.borrow().locale
    }

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
            None => missing(snapshot.locale),
        }
    }
}

/// What the keeper may tell on the page of a cut.
const TOLD_ON_PAGE: [Answer; 5] = [
    Answer::Done,
    Answer::NotThisYear,
    Answer::Later,
    Answer::InBloom,
    Answer::FrostDamage,
];

/// The links of a page hold to the end of the next day at least.
const PAGE_LINKS_HOLD_DAYS: i64 = 2;

impl Shared {
    /// What may be told of a cut, each with its link. A link is the same all day, so that what was told once is not
    /// noted twice.
    fn links_of(&self, garden: &str, cut: &str) -> Vec<(Answer, String)> {
        let Some(links) = &self.links else {
            return Vec::new();
        };
        let day = (self.now)().date_naive() + TimeDelta::days(PAGE_LINKS_HOLD_DAYS);
        let link = |answer| {
            let slip = Slip {
                garden: garden.to_owned(),
                cut: cut.to_owned(),
                answer,
                until: day.and_time(NaiveTime::MIN).and_utc(),
            };
            (answer, links.path(&slip))
        };
        TOLD_ON_PAGE.map(link).to_vec()
    }
}

fn missing(locale: Locale) -> Response {
    (StatusCode::NOT_FOUND, Html(page::missing(locale))).into_response()
}

async fn show_missing(State(shared): State<Shared>) -> Response {
    missing(shared.locale())
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
    let tell = shared.links_of(&garden, &cut);
    shared.of_garden((&headers, &garden), |garden| page::cut(garden, &cut, &tell))
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
    let locale = shared.locale();
    tagged(
        &headers,
        HTML,
        page::kinds(&shared.almanac, &sought, locale),
    )
}

async fn show_kind(
    State(shared): State<Shared>,
    Path(kind): Path<String>,
    headers: HeaderMap,
) -> Response {
    match shared.almanac.kind(&kind) {
        Some(kind) => tagged(&headers, HTML, page::kind(kind, shared.locale())),
        None => missing(shared.locale()),
    }
}

async fn show_style(headers: HeaderMap) -> Response {
    tagged(&headers, CSS, STYLE.to_owned())
}

async fn show_status(State(shared): State<Shared>) -> Response {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    axum::Json(status::status(&snapshot, (shared.now)())).into_response()
}

async fn show_windows(
    State(shared): State<Shared>,
    Path(garden): Path<String>,
    headers: HeaderMap,
) -> Response {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    let garden = snapshot.gardens.iter().find(|one| one.name == garden);
    match garden {
        Some(garden) => tagged(&headers, CALENDAR, feed::windows(garden)),
        None => missing(snapshot.locale),
    }
}

async fn show_metrics(State(shared): State<Shared>) -> Response {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    let media = [(CONTENT_TYPE, METRICS)];
    (media, feed::metrics(&snapshot, (shared.now)())).into_response()
}

async fn show_health(State(shared): State<Shared>) -> Response {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    if let Some(why) = snapshot.standstill() {
        return (StatusCode::SERVICE_UNAVAILABLE, format!("{why}\n")).into_response();
    }
    match snapshot.next_by {
        Some(by) if (shared.now)() > by => {
            (StatusCode::SERVICE_UNAVAILABLE, "the cycle is overdue\n").into_response()
        }
        Some(_) | None => (StatusCode::OK, "ok\n").into_response(),
    }
}

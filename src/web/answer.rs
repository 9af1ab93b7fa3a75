//! `/answer/TOKEN`: what the keeper answers by a link.
//!
//! To follow a link shows what it would note and a button; only the button notes it, since mail programs and scanners
//! follow every link. Nothing is stored here: the answer goes on to whoever keeps them, and the page says what became of
//! it. A stranger cannot tell a link that is over from one that never was.

use std::sync::Arc;

use axum::Router;
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, State};
use axum::http::header::{CACHE_CONTROL, HOST, ORIGIN};
use axum::http::{HeaderMap, HeaderName, StatusCode};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use chrono::NaiveDate;
use serde::Deserialize;
use tokio::sync::{mpsc, oneshot, watch};

use super::{Now, Snapshot, page};
use crate::link::{Links, Signer, Slip};
use crate::locale::Locale;

/// Whence a browser says that a request comes (W3C Fetch Metadata).
const FETCH_SITE: HeaderName = HeaderName::from_static("sec-fetch-site");

/// An answer on its way to whoever keeps it.
#[derive(Debug)]
pub struct Answered {
    /// What the link says.
    pub slip: Slip,
    /// What tells the link from all others.
    pub mark: String,
    /// The local day of which it is told; today when nothing is said.
    pub day: Option<NaiveDate>,
    /// How much of the live growth was taken, in percent.
    pub share: Option<u8>,
    /// Note it, or take it back.
    pub wish: AnswerWish,
    /// Where the outcome goes.
    pub reply: oneshot::Sender<Outcome>,
}

/// What is to become of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AnswerWish {
    /// It is noted.
    Note,
    /// What was noted is taken back.
    TakeBack,
}

/// What became of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// It is noted, of that day.
    Noted(NaiveDate),
    /// It was noted before.
    Before,
    /// What was noted is taken back.
    TakenBack,
    /// There was nothing to take back.
    Nothing,
    /// The garden file has no such cut any more.
    NoSuchCut,
    /// The day lies ahead or too far back.
    OtherDay,
}

#[derive(Clone)]
struct Desk {
    links: Arc<Links>,
    snapshot: watch::Receiver<Arc<Snapshot>>,
    inbox: mpsc::Sender<Answered>,
    now: Now,
}

/// What the form of the page sends; a mail service that stops letters sends other fields (RFC 8058), which do not matter.
#[derive(Debug, Default, Deserialize)]
struct Filled {
    #[serde(default)]
    day: String,
    #[serde(default)]
    share: String,
}

/// The routes for answers; what comes in goes to `inbox`.
pub fn answers(
    links: Arc<Links>,
    snapshot: watch::Receiver<Arc<Snapshot>>,
    inbox: mpsc::Sender<Answered>,
    now: Now,
) -> Router {
    let desk = Desk {
        links,
        snapshot,
        inbox,
        now,
    };
    super::guarded(
        Router::new()
            .route("/answer/{token}", get(ask).post(note))
            .route("/answer/{token}/undo", post(take_back))
            .with_state(desk),
    )
}

async fn ask(State(desk): State<Desk>, Path(token): Path<String>) -> Response {
    let Ok(slip) = desk.links.signer().read(&token, (desk.now)()) else {
        return over(desk.locale());
    };
    let snapshot = Arc::clone(&desk.snapshot.borrow());
    private(StatusCode::OK, page::ask(&snapshot, &slip, &token))
}

async fn note(
    State(desk): State<Desk>,
    Path(token): Path<String>,
    headers: HeaderMap,
    filled: Result<Form<Filled>, FormRejection>,
) -> Response {
    let filled = filled.map(|Form(filled)| filled).unwrap_or_default();
    desk.hand_on((&token, &headers), filled, AnswerWish::Note)
        .await
}

async fn take_back(
    State(desk): State<Desk>,
    Path(token): Path<String>,
    headers: HeaderMap,
) -> Response {
    desk.hand_on((&token, &headers), Filled::default(), AnswerWish::TakeBack)
        .await
}

impl Desk {
    /// How the pages that belong to no garden are read.
    fn locale(&self) -> Locale {
        self.snapshot.borrow().locale
    }

    /// How the keeper of a link's garden reads.
    fn locale_of(&self, slip: &Slip) -> Locale {
        let snapshot = self.snapshot.borrow();
        let mut gardens = snapshot.gardens.iter();
        let garden = gardens.find(|garden| garden.name == slip.garden);
        garden.map_or(snapshot.locale, |garden| garden.locale)
    }

    async fn hand_on(
        &self,
        (token, headers): (&str, &HeaderMap),
        filled: Filled,
        wish: AnswerWish,
    ) -> Response {
        let Ok(slip) = self.links.signer().read(token, (self.now)()) else {
            return over(self.locale());
        };
        let locale = self.locale_of(&slip);
        if !is_own(headers) {
            return private(StatusCode::FORBIDDEN, page::from_elsewhere(locale));
        }
        let (Ok(day), Ok(share)) = (day_of(&filled.day), share_of(&filled.share)) else {
            return private(StatusCode::BAD_REQUEST, page::not_understood(token, locale));
        };
        let (reply, outcome) = oneshot::channel();
        let answered = Answered {
            slip: slip.clone(),
            mark: Signer::mark(token),
            day,
            share,
            wish,
            reply,
        };
        if self.inbox.try_send(answered).is_err() {
            return private(StatusCode::SERVICE_UNAVAILABLE, page::busy(token, locale));
        }
        match outcome.await {
            Ok(outcome) => {
                let snapshot = Arc::clone(&self.snapshot.borrow());
                let status = match outcome {
                    Outcome::NoSuchCut => StatusCode::GONE,
                    Outcome::OtherDay => StatusCode::BAD_REQUEST,
                    Outcome::Noted(_) | Outcome::Before | Outcome::TakenBack | Outcome::Nothing => {
                        StatusCode::OK
                    }
                };
                private(status, page::outcome(&snapshot, &slip, token, outcome))
            }
            Err(_) => private(StatusCode::SERVICE_UNAVAILABLE, page::busy(token, locale)),
        }
    }
}

/// Whether a request comes from our own page or from no page at all: from elsewhere nobody presses our buttons.
///
/// Browsers say whence (W3C Fetch Metadata), older ones from which origin; a mail service says neither.
fn is_own(headers: &HeaderMap) -> bool {
    let text = |name: HeaderName| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
    match (text(FETCH_SITE), text(ORIGIN)) {
        (Some(site), _) => matches!(site, "same-origin" | "none"),
        (None, Some(origin)) => {
            let host = origin.split_once("://").map(|(_, host)| host);
            host.is_some() && host == text(HOST)
        }
        (None, None) => true,
    }
}

fn day_of(written: &str) -> Result<Option<NaiveDate>, chrono::ParseError> {
    let written = written.trim();
    (!written.is_empty()).then(|| written.parse()).transpose()
}

/// A share of 1 to 100 percent; none when nothing is written.
fn share_of(written: &str) -> Result<Option<u8>, ()> {
    let number = written.trim().trim_end_matches('%').trim_end();
    if number.is_empty() {
        return Ok(None);
    }
    let share = number.parse().map_err(|_| ())?;
    (1..=100).contains(&share).then_some(Some(share)).ok_or(())
}

fn over(locale: Locale) -> Response {
    private(StatusCode::NOT_FOUND, page::over(locale))
}

/// A page that nobody keeps a copy of.
fn private(status: StatusCode, body: String) -> Response {
    (status, [(CACHE_CONTROL, "no-store")], Html(body)).into_response()
}

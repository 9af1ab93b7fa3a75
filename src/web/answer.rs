//! `/answer/TOKEN`: what the keeper answers by a link.
//!
//! To follow a link shows what it would note and a button; only the button notes it, since mail programs and scanners
//! follow every link. Nothing is stored here: the answer goes on to whoever keeps them, and the page says what became of
//! it. A stranger cannot tell a link that is over from one that never was.

use std::sync::Arc;

use axum::Extension;
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, FromRequest, Path, Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_LENGTH, CONTENT_TYPE, HOST, ORIGIN, TRANSFER_ENCODING,
};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{MethodRouter, get, post};
use chrono::NaiveDate;
use serde::Deserialize;
use tokio::sync::{mpsc, oneshot, watch};
use tower_http::set_header::SetResponseHeaderLayer;

use super::door::WrongKey;
use super::pages::PAGE;
use super::problem::Problem;
use super::route::{Access, Body, Operation, Reader, Route, Shape};
use super::{Now, Snapshot, page};
use crate::garden::Answer;
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

/// Where answers go.
#[derive(Clone)]
pub(super) struct Desk {
    pub(super) links: Arc<Links>,
    pub(super) snapshot: watch::Receiver<Arc<Snapshot>>,
    pub(super) inbox: mpsc::Sender<Answered>,
    pub(super) now: Now,
}

/// What the form of the page sends, or a mail service that stops letters (RFC 8058).
#[derive(Debug, Default, Deserialize)]
struct Filled {
    #[serde(default)]
    day: String,
    #[serde(default)]
    share: String,
    #[serde(default, rename = "List-Unsubscribe")]
    unsubscribe: String,
}

/// What is told with a link.
const FORM: Body = Body {
    media: "application/x-www-form-urlencoded",
    shape: Shape::Named("Answer"),
};

/// The routes for answers.
pub(super) fn routes(desk: &Desk) -> Vec<Route> {
    // Nobody keeps a copy of what a link shows.
    let unkept =
        SetResponseHeaderLayer::overriding(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    let route = |path, operations, handler: MethodRouter<Desk>| Route {
        path,
        reader: Reader::Person,
        access: Access::Key,
        operations,
        handler: handler.with_state(desk.clone()).layer(unkept.clone()),
    };
    let form = Operation::read(
        "ask",
        "What a link would note, and the button that notes it.",
        PAGE,
    );
    let note = Operation::read("note", "Notes what a link says.", PAGE);
    let undo = Operation::read("undo", "Takes back what a link has noted.", PAGE);
    vec![
        route(
            "/answer/{token}",
            vec![
                form.untagged().failing(&[404]),
                note.posting(&[FORM])
                    .failing(&[403, 404, 409, 410, 415, 422]),
            ],
            get(ask).post(note_answer),
        ),
        route(
            "/answer/{token}/undo",
            vec![undo.posting(&[]).failing(&[403, 404, 409, 410])],
            post(take_back),
        ),
    ]
}

async fn ask(State(desk): State<Desk>, Path(token): Path<String>) -> Response {
    let Ok(slip) = desk.links.signer().read(&token, (desk.now)()) else {
        return over(desk.locale());
    };
    let snapshot = Arc::clone(&desk.snapshot.borrow());
    Html(page::ask(&snapshot, &slip, &token)).into_response()
}

async fn note_answer(
    State(desk): State<Desk>,
    Path(token): Path<String>,
    request: Request,
) -> Response {
    let headers = request.headers().clone();
    let filled = if says_nothing(&headers) {
        Ok(Filled::default())
    } else {
        let form = Form::from_request(request, &()).await;
        form.map(|Form(filled)| filled)
    };
    desk.hand_on((&token, &headers), filled, AnswerWish::Note)
        .await
}

async fn take_back(
    State(desk): State<Desk>,
    Path(token): Path<String>,
    headers: HeaderMap,
) -> Response {
    let nothing = Ok(Filled::default());
    desk.hand_on((&token, &headers), nothing, AnswerWish::TakeBack)
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
        let garden = snapshot.garden(&slip.garden);
        garden.map_or(snapshot.locale, |garden| garden.locale)
    }

    async fn hand_on(
        &self,
        (token, headers): (&str, &HeaderMap),
        filled: Result<Filled, FormRejection>,
        wish: AnswerWish,
    ) -> Response {
        let Ok(slip) = self.links.signer().read(token, (self.now)()) else {
            return over(self.locale());
        };
        let locale = self.locale_of(&slip);
        let filled = match filled {
            Ok(filled) => filled,
            // A mail service that stops letters sends a body of its own (RFC 8058, 3.2), in either form of forms.
            Err(_) if slip.answer == Answer::NoLetters => Filled::default(),
            Err(rejected) => {
                let problem = Problem::of(rejected.status(), rejected.body_text());
                return problem.on_page(page::not_understood(token, locale));
            }
        };
        let is_one_click = slip.answer == Answer::NoLetters && filled.unsubscribe == "One-Click";
        if !is_own(headers) && !is_one_click {
            let detail = "This came from another page; only our own may send it.";
            let problem = Problem::of(StatusCode::FORBIDDEN, detail);
            return problem.on_page(page::from_elsewhere(locale));
        }
        let (Ok(day), Ok(share)) = (day_of(&filled.day), share_of(&filled.share)) else {
            let detail = "A day is written as 2027-04-22, a share as a number from 1 to 100.";
            let problem = Problem::of(StatusCode::BAD_REQUEST, detail);
            return problem.on_page(page::not_understood(token, locale));
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
            return busy(token, locale);
        }
        match outcome.await {
            Ok(outcome) => {
                let snapshot = Arc::clone(&self.snapshot.borrow());
                let page = page::outcome(&snapshot, &slip, token, outcome);
                match problem_of(outcome) {
                    Some(problem) => problem.on_page(page),
                    None => Html(page).into_response(),
                }
            }
            Err(_) => busy(token, locale),
        }
    }
}

/// What is wrong with an answer that cannot be noted.
fn problem_of(outcome: Outcome) -> Option<Problem> {
    let (status, detail) = match outcome {
        Outcome::NoSuchCut => (
            StatusCode::GONE,
            "The garden file has no such cut any more.",
        ),
        Outcome::OtherDay => (
            StatusCode::CONFLICT,
            "The day has to be today or one of the sixty days before it.",
        ),
        Outcome::Noted(_) | Outcome::Before | Outcome::TakenBack | Outcome::Nothing => return None,
    };
    Some(Problem::of(status, detail))
}

/// Whether a request has no body.
fn says_nothing(headers: &HeaderMap) -> bool {
    let length = headers.get(CONTENT_LENGTH);
    let is_empty = length.is_none_or(|length| length == "0");
    is_empty && !headers.contains_key(CONTENT_TYPE) && !headers.contains_key(TRANSFER_ENCODING)
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

/// The same for a link that never was and for one whose time is over.
fn over(locale: Locale) -> Response {
    let detail = "Links hold for sixty days, and only when they are whole.";
    let problem = Problem::of(StatusCode::NOT_FOUND, detail);
    let page = problem.on_page(page::over(locale));
    (Extension(WrongKey), page).into_response()
}

fn busy(token: &str, locale: Locale) -> Response {
    let detail = "The program is busy. Try it again in a minute.";
    Problem::of(StatusCode::SERVICE_UNAVAILABLE, detail).on_page(page::busy(token, locale))
}

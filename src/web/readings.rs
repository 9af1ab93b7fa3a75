//! `POST /readings`: readings of a garden's own thermometer, from whoever has its token.
//!
//! The token names the garden. Nothing is stored here: the post goes on to whoever keeps readings, and the answer says
//! what became of it. Errors are problem details (RFC 9457).

use std::sync::Arc;

use axum::Extension;
use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::{DefaultBodyLimit, State};
use axum::http::header::{CONTENT_TYPE, WWW_AUTHENTICATE};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use axum::routing::post;
use chrono::{DateTime, Utc};
use schemars::JsonSchema;
use secrecy::SecretString;
use serde::{Deserialize, Serialize};
use tokio::sync::{mpsc, oneshot};

use super::credentials;
use super::door::WrongKey;
use super::problem::Problem;
use super::reply::JSON;
use super::route::{Access, Body, Operation, Reader, Route, Shape};
use crate::thermometer::{Layout, Missing, Reading, Refusal, Refused, TimeForm, Unit};
use crate::units::Celsius;

/// So many bytes a post may have: a day of readings a minute.
pub(super) const BODY_MAX: usize = 64 * 1024;

/// A garden whose readings may be posted.
#[derive(Debug, Clone)]
pub struct Slot {
    /// The garden's name.
    pub garden: String,
    /// What the sender has to show.
    pub token: SecretString,
}

/// Readings that were posted, and where the answer goes.
#[derive(Debug)]
pub struct Posted {
    /// The garden.
    pub garden: String,
    /// Each reading, or why it cannot be read.
    pub given: Vec<Result<Reading, Refusal>>,
    /// Where the answer goes.
    pub answer: oneshot::Sender<Receipt>,
}

/// What became of a post.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Receipt {
    /// How many readings are new.
    pub kept: usize,
    /// How many were there already.
    pub known: usize,
    /// How many were refused, by the reason.
    pub refused: Refused,
}

/// Where readings go.
#[derive(Clone)]
pub(super) struct Letterbox {
    pub(super) slots: Arc<[Slot]>,
    pub(super) inbox: mpsc::Sender<Posted>,
}

/// What a post may look like.
const POSTS: &[Body] = &[
    Body {
        media: JSON,
        shape: Shape::Named("Readings"),
    },
    Body {
        media: "text/csv",
        shape: Shape::Named("Table"),
    },
];

/// The route for posts.
pub(super) fn routes(letterbox: &Letterbox) -> Vec<Route> {
    let gives = Body {
        media: JSON,
        shape: Shape::Named("Receipt"),
    };
    let post_readings = Operation::read(
        "readings",
        "Takes readings of a garden's own thermometer.",
        gives,
    )
    .posting(POSTS)
    .failing(&[401, 415, 422]);
    vec![Route {
        path: "/readings",
        reader: Reader::Machine,
        access: Access::Key,
        operations: vec![post_readings],
        handler: post(take)
            .with_state(letterbox.clone())
            .layer(DefaultBodyLimit::max(BODY_MAX)),
    }]
}

async fn take(
    State(letterbox): State<Letterbox>,
    headers: HeaderMap,
    body: Result<Bytes, BytesRejection>,
) -> Response {
    let Some(garden) = letterbox.garden_of(&headers) else {
        let problem = Problem::of(
            StatusCode::UNAUTHORIZED,
            "send the garden's token as: Authorization: Bearer TOKEN",
        );
        let challenge = [(WWW_AUTHENTICATE, "Bearer")];
        let asks = (challenge, problem).into_response();
        // Whoever shows none has not guessed.
        return match credentials::bearer(&headers) {
            Some(_) => (Extension(WrongKey), asks).into_response(),
            None => asks,
        };
    };
    let body = body.map_err(|rejected| Problem::of(rejected.status(), rejected.body_text()));
    let given = match body.and_then(|body| given(&headers, &body)) {
        Ok(given) => given,
        Err(problem) => return problem.into_response(),
    };
    let (answer, receipt) = oneshot::channel();
    let posted = Posted {
        garden,
        given,
        answer,
    };
    if letterbox.inbox.try_send(posted).is_err() {
        return Problem::of(StatusCode::SERVICE_UNAVAILABLE, "busy; send it again later")
            .into_response();
    }
    match receipt.await {
        Ok(receipt) => well(&receipt),
        Err(_) => Problem::of(
            StatusCode::SERVICE_UNAVAILABLE,
            "the readings could not be kept; send them again later",
        )
        .into_response(),
    }
}

fn well(receipt: &Receipt) -> Response {
    match serde_json::to_string(receipt) {
        Ok(body) => ([(CONTENT_TYPE, JSON)], body).into_response(),
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}

impl Letterbox {
    /// The garden whose token was shown. All tokens are compared, each in a time that does not tell how much fits.
    fn garden_of(&self, headers: &HeaderMap) -> Option<String> {
        let shown = credentials::bearer(headers)?;
        let found = self.slots.iter().fold(None, |found, slot| {
            if credentials::fits(&slot.token, shown) {
                Some(slot)
            } else {
                found
            }
        });
        found.map(|slot| slot.garden.clone())
    }
}

/// One reading as JSON.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "Reading")]
pub(super) struct Written {
    /// When it was read.
    time: DateTime<Utc>,
    /// What was read, in °C.
    temperature: f64,
}

/// A post as JSON: one reading or a list.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
#[schemars(rename = "Readings")]
pub(super) enum WrittenAll {
    One(Written),
    Many(Vec<Written>),
}

/// The readings of a body, by its media type.
fn given(headers: &HeaderMap, body: &[u8]) -> Result<Vec<Result<Reading, Refusal>>, Problem> {
    let media = headers
        .get(CONTENT_TYPE)
        .and_then(|media| media.to_str().ok())
        .and_then(|media| media.split(';').next())
        .map(|media| media.trim().to_ascii_lowercase());
    match media.as_deref() {
        Some("application/json") => of_json(body),
        Some("text/csv") => of_csv(body),
        Some(_) | None => Err(Problem::of(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "send application/json or text/csv",
        )),
    }
}

fn of_json(body: &[u8]) -> Result<Vec<Result<Reading, Refusal>>, Problem> {
    let written = serde_json::from_slice(body).map_err(|_| {
        Problem::of(
            StatusCode::BAD_REQUEST,
            "allowed: {\"time\": \"2027-04-10T05:00:00Z\", \"temperature\": -1.5} (in °C), or a list of such",
        )
    })?;
    let written = match written {
        WrittenAll::One(one) => vec![one],
        WrittenAll::Many(many) => many,
    };
    let reading = |written: Written| {
        Ok(Reading {
            at: written.time,
            temperature: Celsius::new(written.temperature),
        })
    };
    Ok(written.into_iter().map(reading).collect())
}

/// Lines with the columns time (RFC 3339) and temperature (°C); a first line that names them may stand before.
fn of_csv(body: &[u8]) -> Result<Vec<Result<Reading, Refusal>>, Problem> {
    let problem = |what: &str| Problem::of(StatusCode::BAD_REQUEST, what);
    let text = std::str::from_utf8(body).map_err(|_| problem("the text is not UTF-8"))?;
    let text = text.trim_start_matches('\u{feff}');
    let first = text.lines().next().unwrap_or_default();
    let is_header = first.to_ascii_lowercase().contains("temperature");
    let column = |name: &str, place: &str| {
        if is_header {
            name.to_owned()
        } else {
            place.to_owned()
        }
    };
    let layout = Layout {
        delimiter: ',',
        decimal: '.',
        header: is_header,
        time: vec![column("time", "1")],
        time_form: TimeForm::Rfc3339,
        temperature: column("temperature", "2"),
        unit: Unit::Celsius,
        missing: Missing::default(),
    };
    let columns = layout
        .columns(first)
        .map_err(|error| problem(&error.to_string()))?;
    let body = match text.split_once('\n') {
        Some((_, rest)) if is_header => rest,
        None if is_header => "",
        Some(_) | None => text,
    };
    let given = layout.read(&columns, body, None);
    let is_unreadable = |one: &Result<Reading, Refusal>| *one == Err(Refusal::Unreadable);
    if !given.is_empty() && given.iter().all(is_unreadable) {
        return Err(Problem::of(
            StatusCode::UNPROCESSABLE_ENTITY,
            "no line could be read; allowed: lines such as 2027-04-10T05:00:00Z,-1.5 (in °C)",
        ));
    }
    Ok(given)
}

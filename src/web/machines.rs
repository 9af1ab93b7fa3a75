//! The routes for programs: the status, calendars, figures, health, the style sheet, the description of all routes.
//!
//! In: the snapshot. Out: JSON and text, with tags where a copy may be kept. Computes nothing.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodRouter, get};
use serde_json::Value;

use super::problem::Problem;
use super::reply::{CALENDAR, CSS, JSON, METRICS, TEXT, Tagged, tagged};
use super::route::{Access, Body, Operation, Reader, Route, Shape};
use super::{Shared, feed, figures};

/// The style sheet of all pages.
const STYLE: &str = include_str!("style.css");

const fn text(media: &'static str) -> Body {
    Body {
        media,
        shape: Shape::Text,
    }
}

const STATUS: Body = Body {
    media: JSON,
    shape: Shape::Named("Status"),
};

/// The routes over the newest snapshot.
pub(super) fn routes(shared: &Shared) -> Vec<Route> {
    let route = |path, access, operation, handler: MethodRouter<Shared>| Route {
        path,
        reader: Reader::Machine,
        access,
        operations: vec![operation],
        handler: handler.with_state(shared.clone()),
    };
    let state = |id, summary| {
        Operation::read(id, summary, text(TEXT))
            .untagged()
            .failing(&[503])
    };
    vec![
        route(
            "/status",
            Access::Owner,
            Operation::read("status", "How everything stands: °C, UTC.", STATUS),
            get(show_status),
        ),
        route(
            "/garden/{garden}/windows.ics",
            Access::Owner,
            Operation::read(
                "windows",
                "The windows of a garden, as a calendar.",
                text(CALENDAR),
            )
            .failing(&[404]),
            get(show_windows),
        ),
        route(
            "/metrics",
            Access::Owner,
            Operation::read("metrics", "Figures for a monitor.", text(METRICS)),
            get(show_metrics),
        ),
        route(
            "/healthz",
            Access::Open,
            state("health", "Whether the program keeps its times."),
            get(show_health),
        ),
        route(
            "/readyz",
            Access::Open,
            state("ready", "Whether every garden was looked at."),
            get(show_readiness),
        ),
        route(
            "/style.css",
            Access::Open,
            Operation::read("style", "The style sheet of the pages.", text(CSS)),
            get(show_style),
        ),
    ]
}

/// What the description says of itself.
pub(super) const DESCRIBED: (&str, Reader, Access, &[Operation]) = (
    DESCRIPTION,
    Reader::Machine,
    Access::Owner,
    &[Operation::read(
        "description",
        "What you read: all routes, after OpenAPI 3.1.",
        Body {
            media: JSON,
            shape: Shape::Object,
        },
    )],
);

const DESCRIPTION: &str = "/openapi.json";

/// The route of the description, once that is written.
pub(super) fn description(written: &Value) -> Route {
    let written = Tagged::new(written.to_string());
    let show = async move |headers: HeaderMap| written.clone().reply(&headers, JSON);
    let (path, reader, access, operations) = DESCRIBED;
    Route {
        path,
        reader,
        access,
        operations: operations.to_vec(),
        handler: get(show),
    }
}

async fn show_style(headers: HeaderMap) -> Response {
    tagged(&headers, CSS, STYLE.to_owned())
}

async fn show_status(State(shared): State<Shared>, headers: HeaderMap) -> Response {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    match shared.status.of(&snapshot) {
        Ok(status) => status.reply(&headers, JSON),
        Err(error) => {
            tracing::error!(%error, "the status cannot be written");
            StatusCode::INTERNAL_SERVER_ERROR.into_response()
        }
    }
}

async fn show_windows(
    State(shared): State<Shared>,
    Path(garden): Path<String>,
    headers: HeaderMap,
) -> Response {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    match snapshot.garden(&garden) {
        Some(garden) => tagged(&headers, CALENDAR, feed::windows(garden)),
        None => Problem::of(StatusCode::NOT_FOUND, "There is no such garden.").into_response(),
    }
}

async fn show_metrics(State(shared): State<Shared>, headers: HeaderMap) -> Response {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    tagged(
        &headers,
        METRICS,
        figures::metrics(&snapshot, (shared.now)()),
    )
}

async fn show_health(State(shared): State<Shared>) -> Response {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    let late = snapshot.next_by.is_some_and(|by| (shared.now)() > by);
    let late = late.then_some("the cycle is overdue");
    word(snapshot.standstill().or(late))
}

/// The store is open before the first request comes; what may be missing is the first look.
async fn show_readiness(State(shared): State<Shared>) -> Response {
    let snapshot = Arc::clone(&shared.snapshot.borrow());
    let mut gardens = snapshot.gardens.iter();
    let begun = gardens.any(|garden| garden.last_round.is_none());
    word(begun.then_some("not every garden was looked at yet"))
}

/// `ok`, or what is not; nobody keeps a copy.
fn word(trouble: Option<&str>) -> Response {
    let fresh = [(CACHE_CONTROL, "no-store")];
    let Some(trouble) = trouble else {
        return (fresh, [(CONTENT_TYPE, TEXT)], "ok\n").into_response();
    };
    let problem = Problem::of(StatusCode::SERVICE_UNAVAILABLE, trouble);
    (fresh, problem).into_response()
}

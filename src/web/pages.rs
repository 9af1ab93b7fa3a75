//! The routes of the pages, for people.
//!
//! In: the snapshot, the almanac. Out: pages with their tags, or the page that says so where there is none. Computes
//! nothing.

use std::sync::Arc;

use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use axum::routing::{MethodRouter, get};
use chrono::{NaiveTime, TimeDelta};
use serde::Deserialize;

use super::problem::Problem;
use super::reply::{HTML, tagged};
use super::route::{Access, Body, Operation, Reader, Route, Shape};
use super::{GardenSnapshot, Shared, page};
use crate::garden::Answer;
use crate::link::Slip;
use crate::locale::Locale;

/// What is written into the search of the almanac is read no further than so many letters.
const SOUGHT_MAX: usize = 100;

/// A page.
pub(super) const PAGE: Body = Body {
    media: HTML,
    shape: Shape::Text,
};

/// The routes over the newest snapshot and the almanac.
pub(super) fn routes(shared: &Shared) -> Vec<Route> {
    let page = |path, operation: Operation, handler: MethodRouter<Shared>| Route {
        path,
        reader: Reader::Person,
        access: Access::Owner,
        operations: vec![operation],
        handler: handler.with_state(shared.clone()),
    };
    let one = |id, summary| Operation::read(id, summary, PAGE).failing(&[404]);
    let kinds = Operation {
        query: &[("q", "The name of a plant, or a part of it.")],
        ..Operation::read(
            "kinds",
            "The kinds of plants, or those that are sought.",
            PAGE,
        )
    };
    vec![
        page(
            "/",
            Operation::read(
                "board",
                "Every garden, with what asks for a decision.",
                PAGE,
            ),
            get(show_board),
        ),
        page(
            "/garden/{garden}",
            one("garden", "A garden and its cuts."),
            get(show_garden),
        ),
        page(
            "/garden/{garden}/plan",
            one("plan", "The usual year of a garden."),
            get(show_plan),
        ),
        page(
            "/garden/{garden}/journal",
            one("journal", "What was said and done in a garden."),
            get(show_journal),
        ),
        page(
            "/garden/{garden}/cut/{cut}",
            one("cut", "A cut: its risk by day and every reason."),
            get(show_cut),
        ),
        page("/almanac", kinds, get(show_kinds)),
        page(
            "/almanac/{kind}",
            one("kind", "A kind of plant."),
            get(show_kind),
        ),
    ]
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
        match snapshot.garden(name).and_then(page) {
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
                reader: String::new(),
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

/// Nothing is here: a page of its own for people.
pub(super) fn missing(locale: Locale) -> Response {
    let problem = Problem::of(StatusCode::NOT_FOUND, "There is nothing at this address.");
    problem.on_page(page::missing(locale))
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
    let page = page::kinds(&shared.almanac, &sought, shared.locale());
    tagged(&headers, HTML, page)
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

//! The pages: what the last cycle left, in HTML.
//!
//! In: the snapshot, the almanac. Out: whole documents without scripts. Computes nothing, and shows no number that is
//! not in the snapshot.

mod almanac;
mod answer;
mod board;
mod cut;
mod garden;
mod journal;
mod parts;
mod plan;

use maud::{DOCTYPE, Markup, html};

use super::problem::Problem;
use crate::message::words;

pub(super) use almanac::{kind, kinds};
pub(super) use answer::{ask, busy, from_elsewhere, not_understood, outcome, over};
pub(super) use board::board;
pub(super) use cut::cut;
pub(super) use garden::garden;
pub(super) use journal::journal;
pub(super) use plan::plan;

/// Where the reader is, for the head of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place<'a> {
    Board,
    Garden(&'a str),
    Almanac,
    Nowhere,
}

impl Place<'_> {
    /// The address among those in the head of the page.
    const fn address(self) -> Option<&'static str> {
        match self {
            Self::Board => Some("/"),
            Self::Almanac => Some("/almanac"),
            Self::Garden(_) | Self::Nowhere => None,
        }
    }
}

/// A whole document.
fn document(title: &str, place: Place<'_>, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                link rel="stylesheet" href="/style.css";
                link rel="icon" href="data:,";
            }
            body {
                a.skip href="#main" { "Skip to the content" }
                header {
                    nav aria-label="Pages" {
                        (tab("/", "Board", place.address()))
                        (tab("/almanac", "Almanac", place.address()))
                        @if let Place::Garden(title) = place { span.where { (title) } }
                    }
                }
                main id="main" { (body) }
                footer { p { (words::CAUTION) } }
            }
        }
    };
    page.into_string()
}

/// A link to a page; `here` is the address at which the reader is.
fn tab(href: &str, name: &str, here: Option<&str>) -> Markup {
    let is_here = (here == Some(href)).then_some("page");
    html! { a href=(href) aria-current=[is_here] { (name) } }
}

/// What is shown in place of what was asked for, when that cannot be given.
pub(super) fn trouble(problem: &Problem) -> String {
    let body = html! {
        h1 { (problem.title()) }
        p { (problem.detail()) }
        p { a href="/" { "The board" } }
    };
    document(problem.title(), Place::Nowhere, &body)
}

/// What is shown where nothing is.
pub(super) fn missing() -> String {
    let body = html! {
        h1 { "There is no such page" }
        p { "A cut or a garden that was taken out of the garden file has no page any more." }
        p { a href="/" { "The board" } " has all that there are; the " a href="/almanac" { "almanac" } " has the kinds of plants." }
    };
    document("No such page", Place::Nowhere, &body)
}

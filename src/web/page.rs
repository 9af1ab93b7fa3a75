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

use axum::http::StatusCode;
use maud::{DOCTYPE, Markup, html};

use crate::locale::{Locale, say};
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
fn document(title: &str, place: Place<'_>, body: &Markup, locale: Locale) -> String {
    let page = html! {
        (DOCTYPE)
        html lang=(locale.language.tag()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                link rel="stylesheet" href="/style.css";
                link rel="icon" href="data:,";
            }
            body {
                a.skip href="#main" { (say!(locale, "page-skip")) }
                header {
                    nav aria-label=(say!(locale, "page-pages")) {
                        (tab("/", &say!(locale, "page-board"), place.address()))
                        (tab("/almanac", &say!(locale, "page-almanac"), place.address()))
                        @if let Place::Garden(title) = place { span.where { (title) } }
                    }
                }
                main id="main" { (body) }
                footer { p { (words::caution(locale)) } }
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
pub(super) fn trouble(status: StatusCode, locale: Locale) -> String {
    let title = say!(locale, "trouble-head");
    let why = match status {
        StatusCode::UNAUTHORIZED => say!(locale, "trouble-token"),
        StatusCode::METHOD_NOT_ALLOWED => say!(locale, "trouble-method"),
        StatusCode::REQUEST_TIMEOUT => say!(locale, "trouble-slow"),
        StatusCode::PAYLOAD_TOO_LARGE
        | StatusCode::URI_TOO_LONG
        | StatusCode::REQUEST_HEADER_FIELDS_TOO_LARGE => say!(locale, "trouble-large"),
        StatusCode::MISDIRECTED_REQUEST => say!(locale, "trouble-host"),
        StatusCode::TOO_MANY_REQUESTS => say!(locale, "trouble-keys"),
        StatusCode::SERVICE_UNAVAILABLE => say!(locale, "busy"),
        other if other.is_server_error() => say!(locale, "trouble-fault"),
        _ => say!(locale, "trouble-request"),
    };
    let body = html! {
        h1 { (title) }
        p { (why) }
        p { a href="/" { (say!(locale, "the-board")) } }
    };
    document(&title, Place::Nowhere, &body, locale)
}

/// What is shown where nothing is.
pub(super) fn missing(locale: Locale) -> String {
    let body = html! {
        h1 { (say!(locale, "no-page-head")) }
        p { (say!(locale, "no-page-why")) }
        p {
            a href="/" { (say!(locale, "the-board")) } " " (say!(locale, "no-page-has-all")) " "
            a href="/almanac" { (say!(locale, "no-page-almanac")) } " " (say!(locale, "no-page-has-kinds"))
        }
    };
    document(&say!(locale, "no-page"), Place::Nowhere, &body, locale)
}

//! One garden: its year, its board, what is watched, what needs no cut, what its numbers rest on.

use maud::{Markup, html};

use super::board::strip;
use super::parts::{at_garden, basis, line, looked, watch};
use super::{Place, document};
use crate::locale::say;
use crate::message::words;
use crate::web::GardenSnapshot;

/// The whole page.
pub(crate) fn garden(garden: &GardenSnapshot) -> String {
    let locale = garden.locale;
    let body = html! {
        h1 { (garden.title) }
        (looked(garden))
        (below(garden, Some("")))
        section aria-labelledby="year" {
            h2 id="year" { (say!(locale, "picture-year")) }
            @match strip(garden, garden.verdicts.len()) {
                Some(strip) => { (strip) },
                None => { p { (say!(locale, "strip-after-first-look")) } },
            }
        }
        section aria-labelledby="cuts" {
            h2 id="cuts" { (say!(locale, "cuts-head")) }
            ul.cuts { @for verdict in &garden.verdicts { li { (line(verdict, locale)) } } }
        }
        @if !garden.watches.is_empty() {
            section aria-labelledby="watched" {
                h2 id="watched" { (say!(locale, "watched-head")) }
                ul.cuts { @for one in &garden.watches { li { (watch(one, locale)) } } }
            }
        }
        @if !garden.uncut.is_empty() {
            section aria-labelledby="uncut" {
                h2 id="uncut" { (say!(locale, "plan-no-cut")) }
                ul.cuts {
                    @for uncut in &garden.uncut {
                        li { p { b { (words::capital(&uncut.planting)) } ". " (words::uncut(uncut, locale)) } }
                    }
                }
            }
        }
        section aria-labelledby="elsewhere" {
            h2 id="elsewhere" { (say!(locale, "calendar-head")) }
            p {
                a href=(at_garden(&garden.name, "/windows.ics")) { (say!(locale, "calendar-link")) }
                ": " (say!(locale, "calendar-why"))
            }
        }
        (rests_on(garden))
    };
    document(&garden.title, Place::Garden(&garden.title), &body, locale)
}

fn rests_on(garden: &GardenSnapshot) -> Markup {
    let locale = garden.locale;
    html! {
        section aria-labelledby="basis" {
            h2 id="basis" { (say!(locale, "basis-head")) }
            @if let Some(verdict) = garden.verdicts.first() { (basis(garden, verdict)) }
        }
    }
}

/// The pages of a garden, the one at hand marked.
pub(super) fn below(garden: &GardenSnapshot, here: Option<&str>) -> Markup {
    let locale = garden.locale;
    let here = here.map(|below| at_garden(&garden.name, below));
    let pages = [
        ("", say!(locale, "garden-page")),
        ("/plan", say!(locale, "garden-plan")),
        ("/journal", say!(locale, "garden-journal")),
    ];
    html! {
        nav.below aria-label=(say!(locale, "garden-pages")) {
            @for (below, name) in pages { (super::tab(&at_garden(&garden.name, below), &name, here.as_deref())) }
        }
    }
}

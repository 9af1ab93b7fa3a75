//! One garden: its year, its board, what is watched, what needs no cut, what its numbers rest on.

use maud::{Markup, html};

use super::board::strip;
use super::parts::{at_garden, basis, line, looked, watch};
use super::{Place, document};
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
            h2 id="year" { "The year about today" }
            @match strip(garden, garden.verdicts.len()) {
                Some(strip) => { (strip) },
                None => { p { "It is drawn after the first look at the weather." } },
            }
        }
        section aria-labelledby="cuts" {
            h2 id="cuts" { "The cuts, nearest decision first" }
            ul.cuts { @for verdict in &garden.verdicts { li { (line(verdict, locale)) } } }
        }
        @if !garden.watches.is_empty() {
            section aria-labelledby="watched" {
                h2 id="watched" { "Cut lately, and watched" }
                ul.cuts { @for one in &garden.watches { li { (watch(one, locale)) } } }
            }
        }
        @if !garden.uncut.is_empty() {
            section aria-labelledby="uncut" {
                h2 id="uncut" { "Needs no cut" }
                ul.cuts {
                    @for uncut in &garden.uncut {
                        li { p { b { (words::capital(&uncut.planting)) } ". " (words::uncut(uncut, locale)) } }
                    }
                }
            }
        }
        section aria-labelledby="elsewhere" {
            h2 id="elsewhere" { "In your calendar" }
            p {
                a href=(at_garden(&garden.name, "/windows.ics")) { "The windows of this garden as a calendar" }
                ": a calendar program that subscribes to it moves and cancels them as they change."
            }
        }
        (rests_on(garden))
    };
    document(&garden.title, Place::Garden(&garden.title), &body, locale)
}

fn rests_on(garden: &GardenSnapshot) -> Markup {
    html! {
        section aria-labelledby="basis" {
            h2 id="basis" { "What the numbers rest on" }
            @if let Some(verdict) = garden.verdicts.first() { (basis(garden, verdict)) }
        }
    }
}

/// The pages of a garden, the one at hand marked.
pub(super) fn below(garden: &GardenSnapshot, here: Option<&str>) -> Markup {
    let here = here.map(|below| at_garden(&garden.name, below));
    let pages = [
        ("", "The garden"),
        ("/plan", "Year plan"),
        ("/journal", "Journal"),
    ];
    html! {
        nav.below aria-label="Pages of this garden" {
            @for (below, name) in pages { (super::tab(&at_garden(&garden.name, below), name, here.as_deref())) }
        }
    }
}

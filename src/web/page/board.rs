//! The board: of each garden the year about today, and its cuts, the nearest decision first.

use maud::{Markup, html};

use super::parts::{at_garden, figure, line, looked};
use super::{Place, document};
use crate::message::pictures;
use crate::verdict::Verdict;
use crate::web::{GardenSnapshot, Snapshot};

/// So many cuts have a line in the strip on the board; the garden's page has all.
const STRIP_CUTS: usize = 10;

/// The whole page.
pub(crate) fn board(snapshot: &Snapshot) -> String {
    let locale = snapshot.locale;
    let body = html! {
        h1 { "What may be cut" }
        @if snapshot.gardens.is_empty() { p { "No garden is set up yet." } }
        @for garden in &snapshot.gardens { (section(garden)) }
    };
    document("What may be cut", Place::Board, &body, locale)
}

fn section(garden: &GardenSnapshot) -> Markup {
    let locale = garden.locale;
    let shown = garden.verdicts.len().min(STRIP_CUTS);
    html! {
        section aria-labelledby=(garden.name) {
            h2 id=(garden.name) { a href=(at_garden(&garden.name, "")) { (garden.title) } }
            (looked(garden))
            @if let Some(strip) = strip(garden, shown) {
                (strip)
                @if garden.verdicts.len() > shown {
                    p.small { "The " (shown) " nearest decisions; " a href=(at_garden(&garden.name, "")) { "the garden's page" } " has all." }
                }
            }
            ul.cuts { @for verdict in &garden.verdicts { li { (line(verdict, locale)) } } }
            @if !garden.watches.is_empty() {
                p { a href={ (at_garden(&garden.name, "")) "#watched" } { "Cut lately, and watched" } ": " (garden.watches.len()) "." }
            }
        }
    }
}

/// The strip of a garden's first cuts.
pub(super) fn strip(garden: &GardenSnapshot, cuts: usize) -> Option<Markup> {
    let locale = garden.locale;
    let prospect = garden.prospect.as_ref()?;
    let shown: Vec<&Verdict> = garden.verdicts.iter().take(cuts).collect();
    figure(
        |paper| {
            let id = format!("year-{}-{}", garden.name, super::cut::short(paper));
            pictures::year(&shown, prospect, &garden.deeds, (&id, paper), locale)
        },
        None,
    )
}

//! The board: of each garden the year about today, and its cuts, the nearest decision first.

use maud::{Markup, html};

use super::parts::{at_garden, figure, line, looked};
use super::{Place, document};
use crate::locale::say;
use crate::message::pictures;
use crate::verdict::Verdict;
use crate::web::{GardenSnapshot, Snapshot};

/// So many cuts have a line in the strip on the board; the garden's page has all.
const STRIP_CUTS: usize = 10;

/// The whole page.
pub(crate) fn board(snapshot: &Snapshot) -> String {
    let locale = snapshot.locale;
    let title = say!(locale, "board-title");
    let body = html! {
        h1 { (title) }
        @if snapshot.gardens.is_empty() { p { (say!(locale, "board-no-garden")) } }
        @for garden in &snapshot.gardens { (section(garden)) }
    };
    document(&title, Place::Board, &body, locale)
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
                    p.small {
                        (say!(locale, "board-nearest", shown = shown)) " "
                        a href=(at_garden(&garden.name, "")) { (say!(locale, "board-garden-page")) } " "
                        (say!(locale, "board-has-all"))
                    }
                }
            }
            ul.cuts { @for verdict in &garden.verdicts { li { (line(verdict, locale)) } } }
            @if !garden.watches.is_empty() {
                p { a href={ (at_garden(&garden.name, "")) "#watched" } { (say!(locale, "watched-head")) } ": " (garden.watches.len()) "." }
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
        locale,
    )
}

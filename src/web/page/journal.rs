//! The journal of a garden: what was said and done, the newest first.

use maud::{Markup, html};

use super::garden::below;
use super::parts::at_cut;
use super::{Place, document};
use crate::locale::say;
use crate::message::words;
use crate::web::{GardenSnapshot, JournalEntry};

/// So many lines are shown.
const LINES: usize = 200;

/// The whole page.
pub(crate) fn journal(garden: &GardenSnapshot) -> String {
    let locale = garden.locale;
    let title = say!(locale, "journal-title", garden = &garden.title);
    let body = html! {
        h1 { (title) }
        (below(garden, Some("/journal")))
        @if garden.journal.is_empty() { p { (say!(locale, "journal-nothing")) } } @else {
            @if garden.journal.len() > LINES { p.small { (say!(locale, "journal-last", lines = LINES)) } }
            ul.log.wide-log { @for line in garden.journal.iter().take(LINES) { (entry(garden, line)) } }
        }
    };
    document(&title, Place::Garden(&garden.title), &body, locale)
}

fn entry(garden: &GardenSnapshot, line: &JournalEntry) -> Markup {
    let locale = garden.locale;
    let verdict = garden
        .verdicts
        .iter()
        .find(|verdict| verdict.cut == line.cut);
    html! {
        li {
            time datetime=(line.at.to_rfc3339()) { (line.clock) }
            @match verdict {
                Some(verdict) => a href=(at_cut(&garden.name, &line.cut)) {
                    (words::capital(&verdict.planting)) ", " (words::to_do(verdict.cut_kind, locale))
                },
                None => span { (line.cut) },
            }
            span { (words::journal::told(&line.what, &line.detail, locale)) }
        }
    }
}

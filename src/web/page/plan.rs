//! The year plan of a garden: each cut with its windows in a usual year, to look at and to print.

use chrono::{Datelike, NaiveDate};
use maud::{Markup, html};

use super::board::strip;
use super::garden::below;
use super::parts::at_cut;
use super::{Place, document};
use crate::garden::PlannedCut;
use crate::locale::say;
use crate::look::{Prospect, UsualWindow};
use crate::message::words;
use crate::plan::Frost;
use crate::web::GardenSnapshot;

/// The whole page.
pub(crate) fn plan(garden: &GardenSnapshot) -> String {
    let locale = garden.locale;
    let year = garden
        .prospect
        .as_ref()
        .map(|prospect| prospect.today.year());
    let title = year.map_or_else(
        || say!(locale, "plan-of", garden = &garden.title),
        |year| say!(locale, "plan-title", garden = &garden.title, year = year),
    );
    let body = html! {
        h1 { (title) }
        (below(garden, Some("/plan")))
        @match &garden.prospect {
            Some(prospect) => {
                p {
                    (say!(locale, "plan-usual-year"))
                }
                (months(garden, prospect))
                section aria-labelledby="strip" {
                    h2 id="strip" { (say!(locale, "picture-year")) }
                    @if let Some(strip) = strip(garden, garden.verdicts.len()) { (strip) }
                }
                (how(garden))
            },
            None => { p { (say!(locale, "plan-after-first-look")) } },
        }
    };
    document(&title, Place::Garden(&garden.title), &body, locale)
}

/// The windows in order of time, a table with one part a month, and what can be done at any time.
fn months(garden: &GardenSnapshot, prospect: &Prospect) -> Markup {
    let locale = garden.locale;
    let year = prospect.today.year();
    let begin = |from: NaiveDate| if from.year() < year { 1 } else { from.month() };
    let month_of = |usual: &UsualWindow| usual.window.map_or(0, |window| begin(window.from));
    let of_month = |month: u32| -> Vec<&UsualWindow> {
        prospect
            .usual
            .iter()
            .filter(|usual| month_of(usual) == month)
            .collect()
    };
    let heads = (1..=12).filter_map(|month| {
        let head = locale.month(NaiveDate::from_ymd_opt(year, month, 1)?);
        Some((head, of_month(month)))
    });
    let all: Vec<(String, Vec<&UsualWindow>)> = heads
        .chain([(say!(locale, "plan-any-time"), of_month(0))])
        .collect();
    html! {
        table.plan {
            thead { tr { th scope="col" { (say!(locale, "plan-when")) }
                    th scope="col" { (say!(locale, "plan-what")) }
                    th scope="col" { (say!(locale, "plan-to-know")) }
                 } }
            @for (head, windows) in all.iter().filter(|(_, windows)| !windows.is_empty()) {
                tbody {
                    tr { th.month colspan="3" scope="rowgroup" { (head) } }
                    @for usual in windows { (row(garden, usual, year)) }
                }
            }
        }
    }
}

fn row(garden: &GardenSnapshot, usual: &UsualWindow, year: i32) -> Markup {
    let locale = garden.locale;
    let planned = garden.planned.iter().find(|cut| cut.name == usual.cut);
    let when = usual.window.map_or_else(String::new, |window| {
        words::plan::window(window, year, locale)
    });
    html! {
        tr {
            td { (when) }
            td {
                a href=(at_cut(&garden.name, &usual.cut)) {
                    @match planned {
                        Some(cut) => { (words::capital(&cut.planting)) ", " (words::to_do(cut.cut_kind(), locale)) },
                        None => (usual.cut),
                    }
                }
            }
            td { (note(garden, usual)) }
        }
    }
}

/// What there is to know of a window: that it was done, or what frost has to say.
fn note(garden: &GardenSnapshot, usual: &UsualWindow) -> String {
    let locale = garden.locale;
    let is_in = |day: NaiveDate| {
        usual
            .window
            .is_some_and(|window| window.from <= day && day <= window.to)
    };
    let done = garden
        .deeds
        .iter()
        .rfind(|deed| deed.cut == usual.cut && is_in(deed.on));
    if let Some(deed) = done {
        return say!(locale, "mark-done", day = locale.short(deed.on));
    }
    match usual.frost {
        Frost::NoMatter => String::new(),
        Frost::Within { .. } => say!(locale, "note-within"),
        Frost::Never { day, chance } => say!(
            locale,
            "note-never",
            day = locale.short(day),
            ways = words::in_hundred(chance, locale)
        ),
        Frost::NotKnown => say!(locale, "note-not-known"),
    }
}

/// How each cut of each kind is made, once.
fn how(garden: &GardenSnapshot) -> Markup {
    let locale = garden.locale;
    let mut told: Vec<&PlannedCut> = Vec::new();
    for cut in &garden.planned {
        let is_same =
            |one: &&PlannedCut| one.kind.id == cut.kind.id && one.cut_kind() == cut.cut_kind();
        if !told.iter().any(is_same) {
            told.push(cut);
        }
    }
    html! {
        section aria-labelledby="how" {
            h2 id="how" { (say!(locale, "how-head")) }
            dl {
                @for cut in told {
                    dt { (words::capital(words::kinds::name(&cut.kind, locale))) ", " (words::to_do(cut.cut_kind(), locale)) }
                    dd { (words::kinds::text(&cut.cut.how, locale)) }
                }
            }
        }
    }
}

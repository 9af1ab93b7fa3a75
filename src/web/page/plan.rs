//! The year plan of a garden: each cut with its windows in a usual year, to look at and to print.

use chrono::{Datelike, NaiveDate};
use maud::{Markup, html};

use super::board::strip;
use super::garden::below;
use super::parts::at_cut;
use super::{Place, document};
use crate::garden::PlannedCut;
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
        || format!("Year plan of {}", garden.title),
        |year| format!("{}: the garden year {year}", garden.title),
    );
    let body = html! {
        h1 { (title) }
        (below(garden, Some("/plan")))
        @match &garden.prospect {
            Some(prospect) => {
                p {
                    "A usual year at this place, by its past years and the almanac. "
                    "The board and the mails tell the true days of this one."
                }
                (months(garden, prospect))
                section aria-labelledby="strip" {
                    h2 id="strip" { "The year about today" }
                    @if let Some(strip) = strip(garden, garden.verdicts.len()) { (strip) }
                }
                (how(garden))
            },
            None => { p { "The plan is made with the first look at the weather." } },
        }
    };
    document(&title, Place::Garden(&garden.title), &body, locale)
}

/// The windows in order of time, a table with one part a month, and what can be done at any time.
fn months(garden: &GardenSnapshot, prospect: &Prospect) -> Markup {
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
        let head = NaiveDate::from_ymd_opt(year, month, 1)?
            .format("%B")
            .to_string();
        Some((head, of_month(month)))
    });
    let all: Vec<(String, Vec<&UsualWindow>)> = heads
        .chain([("At any time, by need".to_owned(), of_month(0))])
        .collect();
    html! {
        table.plan {
            thead { tr { th scope="col" { "When" } th scope="col" { "What" } th scope="col" { "To know" } } }
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
        return format!("done {}", locale.short(deed.on));
    }
    match usual.frost {
        Frost::NoMatter => String::new(),
        Frost::Within { .. } => "frost within limit".to_owned(),
        Frost::Never { day, chance } => format!(
            "no day within your limit for frost; the least risky is {}, {}",
            locale.short(day),
            words::in_hundred(chance, locale)
        ),
        Frost::NotKnown => "frost not known: no past years".to_owned(),
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
            h2 id="how" { "How" }
            dl {
                @for cut in told {
                    dt { (words::capital(&cut.kind.common)) ", " (words::to_do(cut.cut_kind(), locale)) }
                    dd { (cut.cut.how) }
                }
            }
        }
    }
}

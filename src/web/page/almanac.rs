//! The almanac: the kinds by habit or by a search, and a page for each.

use std::collections::BTreeSet;

use maud::{Markup, html};

use super::{Place, document};
use crate::almanac::{Almanac, Cut, CutKind, Habit, Kind, Sourced};
use crate::locale::Locale;
use crate::message::words::{self, kinds as said};

/// So many kinds are named when nothing matches.
const NEAREST: usize = 5;

/// The page of the kinds; `sought` is what was written into the search, empty for all.
pub(crate) fn kinds(almanac: &Almanac, sought: &str, locale: Locale) -> String {
    let is_search = !sought.trim().is_empty();
    let found: Vec<&Kind> = if is_search {
        almanac
            .search(sought)
            .into_iter()
            .map(AsRef::as_ref)
            .collect()
    } else {
        almanac.kinds.iter().map(AsRef::as_ref).collect()
    };
    let body = html! {
        h1 { "Almanac" }
        p { "What the trade knows of " (almanac.kinds.len()) " kinds of plants: their cuts, the seasons of these, and where that comes from." }
        form.search action="/almanac" method="get" role="search" {
            label for="q" { "Name of a plant" }
            input id="q" name="q" type="search" value=(sought) maxlength="100";
            button type="submit" { "Search" }
        }
        @if is_search && found.is_empty() {
            p role="status" { "No kind is called so. The nearest names:" }
            (list(almanac.alike(sought).into_iter().take(NEAREST).map(AsRef::as_ref)))
        } @else if is_search {
            p role="status" { (found.len()) @if found.len() == 1 { " kind." } @else { " kinds." } }
            (list(found.into_iter()))
        } @else {
            @for habit in Habit::ALL {
                h2 { (said::habits(habit)) }
                (list(found.iter().copied().filter(|kind| kind.habit == habit)))
            }
        }
    };
    document("Almanac", Place::Almanac, &body, locale)
}

fn list<'a>(kinds: impl Iterator<Item = &'a Kind>) -> Markup {
    html! {
        ul.kinds {
            @for kind in kinds {
                li { a href={ "/almanac/" (kind.id) } { (words::capital(&kind.common)) } " " i { (kind.botanical) } }
            }
        }
    }
}

/// The page of a kind.
pub(crate) fn kind(kind: &Kind, locale: Locale) -> String {
    let title = words::capital(&kind.common);
    let repair = kind
        .takes(CutKind::StormRepair)
        .filter(|_| kind.cut(CutKind::StormRepair).is_none());
    let body = html! {
        h1 { (title) }
        p { i { (kind.botanical) } @if !kind.also.is_empty() { "; also called " (kind.also.join(", ")) } "." }
        p { (said::grows(kind)) }
        (sources(kind, &said::GROWS_OF))
        @if let Some(why) = &kind.needs_no_cut {
            h2 { "Needs no cut" }
            p { (why.text) }
            p.small { "Source: " (why.source) "." }
        }
        @if !kind.cuts.is_empty() { h2 { "Cuts" } }
        @for cut in kind.cuts.iter().chain(&repair) { (one_cut(kind, cut, locale)) }
        (tender(kind))
        (year(kind, locale))
        h2 { (said::BEARS_HEAD) }
        @for (name, of, text) in said::bears(kind) {
            p { (name) ": " (text) "." }
            (sources(kind, &[of]))
        }
        (sentences("Hygiene", kind.hygiene.as_slice()))
        (sentences("Mind", &kind.cautions))
    };
    document(&title, Place::Almanac, &body, locale)
}

fn one_cut(kind: &Kind, cut: &Cut, locale: Locale) -> Markup {
    html! {
        h3 { (words::capital(&words::to_do(cut.cut, locale))) ": " (said::window(kind, cut, locale)) }
        @if let Some(counted) = said::counted(cut) { p { (counted) } }
        p { (cut.how) }
        @if let Some(outside) = &cut.outside { p { "At other times: " (outside) "." } }
        p { (said::frost(cut)) }
        p.small { "Source: " (cut.source) "." }
    }
}

/// Each tender class of its cuts once, with its why.
fn tender(kind: &Kind) -> Markup {
    let mut shown = BTreeSet::new();
    let classes = kind.cuts.iter().filter_map(|cut| cut.tender.as_ref());
    let classes = classes.filter(|tender| shown.insert(&tender.class));
    html! {
        @for tender in classes {
            h3 { "Tender class " (tender.class) }
            p { (tender.why) }
            p.small { "Source: " (tender.source) "." }
        }
    }
}

fn year(kind: &Kind, locale: Locale) -> Markup {
    let rows = said::year(kind, locale);
    let names: Vec<&str> = rows.iter().map(|(name, _, _)| *name).collect();
    html! {
        @if !rows.is_empty() || !kind.heat.is_empty() {
            h2 { "Its year" }
            @if !rows.is_empty() {
                table {
                    caption { (said::YEAR_HEAD) }
                    thead { tr { th scope="col" { "Event" } th scope="col" { "Zone 7" } th scope="col" { "Days a zone" } } }
                    tbody {
                        @for (name, span, days) in &rows {
                            tr { th scope="row" { (name) } td { (span) } td { (format!("{days:+}")) } }
                        }
                    }
                }
            }
            (sources(kind, &names))
            @for sum in &kind.heat { p { (said::heat(sum)) } }
        }
    }
}

fn sources(kind: &Kind, groups: &[&str]) -> Markup {
    html! { @for sentence in said::sources(kind, groups) { p.small { (sentence) } } }
}

fn sentences(head: &str, said: &[Sourced]) -> Markup {
    html! {
        @if !said.is_empty() { h2 { (head) } }
        @for one in said {
            p { (one.text) }
            p.small { "Source: " (one.source) "." }
        }
    }
}

//! The almanac: the kinds by habit or by a search, and a page for each.

use std::collections::BTreeSet;

use maud::{Markup, html};

use super::{Place, document};
use crate::almanac::{Almanac, Cut, CutKind, Habit, Kind, Sourced};
use crate::locale::{Locale, say};
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
    let title = say!(locale, "page-almanac");
    let body = html! {
        h1 { (title) }
        p { (say!(locale, "almanac-what", kinds = almanac.kinds.len())) }
        form.search action="/almanac" method="get" role="search" {
            label for="q" { (say!(locale, "almanac-name")) }
            input id="q" name="q" type="search" value=(sought) maxlength="100";
            button type="submit" { (say!(locale, "almanac-search")) }
        }
        @if is_search && found.is_empty() {
            p role="status" { (say!(locale, "almanac-none")) }
            (list(almanac.alike(sought).into_iter().take(NEAREST).map(AsRef::as_ref), locale))
        } @else if is_search {
            p role="status" { (say!(locale, "almanac-found", kinds = found.len())) }
            (list(found.into_iter(), locale))
        } @else {
            @for habit in Habit::ALL {
                h2 { (said::habits(habit, locale)) }
                (list(found.iter().copied().filter(|kind| kind.habit == habit), locale))
            }
        }
    };
    document(&title, Place::Almanac, &body, locale)
}

fn list<'a>(kinds: impl Iterator<Item = &'a Kind>, locale: Locale) -> Markup {
    html! {
        ul.kinds {
            @for kind in kinds {
                li { a href={ "/almanac/" (kind.id) } { (words::capital(said::name(kind, locale))) } " " i { (kind.botanical) } }
            }
        }
    }
}

/// The page of a kind.
pub(crate) fn kind(kind: &Kind, locale: Locale) -> String {
    let title = words::capital(said::name(kind, locale));
    let repair = kind
        .takes(CutKind::StormRepair)
        .filter(|_| kind.cut(CutKind::StormRepair).is_none());
    let body = html! {
        h1 { (title) }
        p { i { (kind.botanical) } @if !said::also(kind, locale).is_empty() { "; " (say!(locale, "also-called", names = said::also(kind, locale).join(", "))) } "." }
        p { (said::grows(kind, locale)) }
        (sources(kind, &said::GROWS_OF, locale))
        @if let Some(why) = &kind.needs_no_cut {
            h2 { (say!(locale, "plan-no-cut")) }
            p { (said::text(&why.text, locale)) }
            p.small { (words::sourced(&why.source, locale)) }
        }
        @if !kind.cuts.is_empty() { h2 { (say!(locale, "almanac-cuts")) } }
        @for cut in kind.cuts.iter().chain(&repair) { (one_cut(kind, cut, locale)) }
        (tender(kind, locale))
        (year(kind, locale))
        h2 { (said::bears_head(locale)) }
        @for (name, of, text) in said::bears(kind, locale) {
            p { (name) ": " (text) "." }
            (sources(kind, &[of], locale))
        }
        (sentences(&say!(locale, "almanac-hygiene"), kind.hygiene.as_slice(), locale))
        (sentences(&say!(locale, "letter-mind"), &kind.cautions, locale))
    };
    document(&title, Place::Almanac, &body, locale)
}

fn one_cut(kind: &Kind, cut: &Cut, locale: Locale) -> Markup {
    html! {
        h3 { (words::capital(&words::to_do(cut.cut, locale))) ": " (said::window(kind, cut, locale)) }
        @if let Some(counted) = said::counted(cut, locale) { p { (counted) } }
        p { (said::text(&cut.how, locale)) }
        @if let Some(outside) = &cut.outside { p { (say!(locale, "at-other-times", why = said::text(outside, locale))) } }
        p { (said::frost(cut, locale)) }
        p.small { (words::sourced(&cut.source, locale)) }
    }
}

/// Each tender class of its cuts once, with its why.
fn tender(kind: &Kind, locale: Locale) -> Markup {
    let mut shown = BTreeSet::new();
    let classes = kind.cuts.iter().filter_map(|cut| cut.tender.as_ref());
    let classes = classes.filter(|tender| shown.insert(&tender.class));
    html! {
        @for tender in classes {
            h3 { (say!(locale, "tender-class", class = said::data_name(&tender.class, locale))) }
            p { (said::text(&tender.why, locale)) }
            p.small { (words::sourced(&tender.source, locale)) }
        }
    }
}

fn year(kind: &Kind, locale: Locale) -> Markup {
    let rows = said::year(kind, locale);
    let names: Vec<&str> = rows.iter().map(|(group, ..)| *group).collect();
    html! {
        @if !rows.is_empty() || !kind.heat.is_empty() {
            h2 { (say!(locale, "almanac-year")) }
            @if !rows.is_empty() {
                table {
                    caption { (said::year_head(locale)) }
                    thead { tr { th scope="col" { (say!(locale, "almanac-event")) }
                            th scope="col" { (say!(locale, "almanac-zone-7")) }
                            th scope="col" { (say!(locale, "almanac-days-a-zone")) }
                         } }
                    tbody {
                        @for (_, name, span, days) in &rows {
                            tr { th scope="row" { (name) } td { (span) } td { (format!("{days:+}")) } }
                        }
                    }
                }
            }
            (sources(kind, &names, locale))
            @for sum in &kind.heat { p { (said::heat(sum, locale)) } }
        }
    }
}

fn sources(kind: &Kind, groups: &[&str], locale: Locale) -> Markup {
    html! { @for sentence in said::sources(kind, groups, locale) { p.small { (sentence) } } }
}

fn sentences(head: &str, said: &[Sourced], locale: Locale) -> Markup {
    html! {
        @if !said.is_empty() { h2 { (head) } }
        @for one in said {
            p { (said::text(&one.text, locale)) }
            p.small { (words::sourced(&one.source, locale)) }
        }
    }
}

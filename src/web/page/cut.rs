//! One cut: what may be done, the pictures, every finding with its number and source, how, history, sources.

use maud::{Markup, html};

use super::garden::below;
use super::parts::{basis, figure, looked, state, watch};
use super::{Place, document};
use crate::garden::{Answer, PlannedCut};
use crate::locale::{Locale, say};
use crate::message::pictures;
use crate::message::words;
use crate::picture::Paper;
use crate::rules::Finding;
use crate::verdict::Verdict;
use crate::web::GardenSnapshot;

/// The whole page; none when the garden has no such cut.
pub(crate) fn cut(
    garden: &GardenSnapshot,
    name: &str,
    tell: &[(Answer, String)],
) -> Option<String> {
    let locale = garden.locale;
    let verdict = garden.verdicts.iter().find(|verdict| verdict.cut == name)?;
    let planned = garden.planned.iter().find(|cut| cut.name == name);
    let title = format!(
        "{}, {}",
        words::capital(&verdict.planting),
        words::to_do(verdict.cut_kind, locale)
    );
    let body = html! {
        h1 { (title) }
        @if let Some(planned) = planned {
            p.small {
                a href={ "/almanac/" (planned.kind.id) } { (words::capital(words::kinds::name(&planned.kind, locale))) }
                ", " i { (planned.kind.botanical) } "; " (say!(locale, "cut-stands-in", spot = &planned.spot.name))
            }
        }
        p.verdict { (state(verdict, locale)) " " span.when { (words::when(verdict, locale)) } }
        p { (words::capital(&words::main_reason(verdict, locale))) "." }
        @if let Some(day) = verdict.wished { p { (say!(locale, "wished-for", day = locale.weekday(day, verdict.today))) } }
        (looked(garden))
        (below(garden, None))
        @for watched in garden.watches.iter().filter(|watch| watch.deed.cut == name) {
            section aria-labelledby="watched" { h2 id="watched" { (say!(locale, "watched-head")) } (watch(watched, locale)) }
        }
        (telling(tell, locale))
        @if planned.is_some_and(|cut| cut.cut.tender.is_none()) {
            p { (say!(locale, "cut-leaves-nothing-tender")) }
        }
        (figures(garden, verdict))
        section aria-labelledby="why" {
            h2 id="why" { (say!(locale, "letter-why")) }
            ol.findings { @for finding in &verdict.findings { li { (reason(finding, verdict, locale)) } } }
            @if verdict.findings.is_empty() { p { (words::capital(&say!(locale, "no-rule"))) "." } }
        }
        @if let Some(planned) = planned { (how(planned, locale)) }
        (history(garden, verdict))
        section aria-labelledby="basis" {
            h2 id="basis" { (say!(locale, "basis-head")) }
            (basis(garden, verdict))
        }
    };
    Some(document(
        &title,
        Place::Garden(&garden.title),
        &body,
        locale,
    ))
}

/// What the keeper may tell, as links to a page with a button each.
fn telling(tell: &[(Answer, String)], locale: Locale) -> Markup {
    html! {
        @if !tell.is_empty() {
            section aria-labelledby="tell" {
                h2 id="tell" { (say!(locale, "tell-head")) }
                ul.tell { @for (answer, link) in tell { li { a href=(link) { (words::capital(&words::answers::title(*answer, locale))) } } } }
            }
        }
    }
}

/// The three pictures of a cut, as far as there is something to draw.
fn figures(garden: &GardenSnapshot, verdict: &Verdict) -> Markup {
    let locale = garden.locale;
    let id = |what: &str, paper| format!("{what}-{}", short(paper));
    let risk = figure(
        |paper| pictures::risk(verdict, (&id("risk", paper), paper), locale),
        pictures::risk_figures(verdict, locale).as_ref(),
        locale,
    );
    let of_garden = garden.prospect.as_ref();
    let nights = of_garden.and_then(|prospect| {
        let rows = pictures::nights_figures(verdict, prospect, locale);
        let draw =
            |paper| pictures::nights(verdict, prospect, locale, (&id("nights", paper), paper));
        figure(draw, rows.as_ref(), locale)
    });
    let heat = of_garden.and_then(|prospect| {
        let rows = pictures::heat_figures(prospect, locale);
        let draw = |paper| {
            pictures::heat(
                &verdict.planting,
                prospect,
                locale,
                (&id("heat", paper), paper),
            )
        };
        figure(draw, rows.as_ref(), locale)
    });
    let all = [
        ("risk", say!(locale, "picture-risk"), risk),
        ("nights", say!(locale, "picture-nights"), nights),
        ("heat", say!(locale, "heat-head"), heat),
    ];
    html! {
        @for (id, head, figure) in all {
            @if let Some(figure) = figure {
                section aria-labelledby=(id) { h2 id=(id) { (head) } (figure) }
            }
        }
    }
}

/// The name of a paper in the ids of a page.
pub(super) const fn short(paper: Paper) -> &'static str {
    match paper {
        Paper::Narrow => "n",
        Paper::Wide => "w",
    }
}

fn reason(finding: &Finding, verdict: &Verdict, locale: Locale) -> Markup {
    let today = verdict.today;
    let rows = words::numbers(finding, today, locale);
    html! {
        p { (words::capital(&words::reason(finding, today, locale))) "." }
        @if !rows.is_empty() {
            table { tbody { @for (name, value) in rows { tr { th scope="row" { (name) } td { (value) } } } } }
        }
        p.small { (say!(locale, "what-would-change", change = words::change(finding, today, locale))) }
        p.small { (words::sourced(&finding.source, locale)) }
    }
}

fn how(planned: &PlannedCut, locale: Locale) -> Markup {
    html! {
        section aria-labelledby="how" {
            h2 id="how" { (say!(locale, "how-head")) }
            p { (words::kinds::text(&planned.cut.how, locale)) }
            p.small { (words::sourced(&planned.cut.source, locale)) }
            @if let Some(tender) = &planned.cut.tender {
                p { (words::kinds::text(&tender.why, locale)) }
                p.small { (words::sourced(&tender.source, locale)) }
            }
            @for sentence in words::about(&planned.kind, locale) { p { (sentence) } }
        }
    }
}

/// What was said and done.
fn history(garden: &GardenSnapshot, verdict: &Verdict) -> Markup {
    let locale = garden.locale;
    let is_of_it = |cut: &String| *cut == verdict.cut || *cut == verdict.planting;
    let lines: Vec<_> = garden
        .journal
        .iter()
        .filter(|line| is_of_it(&line.cut))
        .take(40)
        .collect();
    html! {
        section aria-labelledby="history" {
            h2 id="history" { (say!(locale, "history-head")) }
            @if lines.is_empty() { p { (say!(locale, "history-nothing")) } } @else {
                ul.log {
                    @for line in lines {
                        li { time datetime=(line.at.to_rfc3339()) { (line.clock) } " " (words::journal::told(&line.what, &line.detail, locale)) }
                    }
                }
            }
        }
    }
}

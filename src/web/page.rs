//! The board as a page: one section a garden, one entry a cut, each opening into its reasons.

use maud::{DOCTYPE, Markup, html};

use super::{GardenSnapshot, Snapshot};
use crate::message::words;
use crate::outlook::SourceSkill;
use crate::units::UnitSystem;
use crate::verdict::{State, Verdict};
use crate::watch::Watch;

const STYLE: &str = "
:root { color-scheme: light dark; }
body { font: 1rem/1.5 sans-serif; max-width: 44rem; margin: 0 auto; padding: 0 1rem 2rem; }
h1 { font-size: 1.5rem; margin: 1rem 0 0; } h2 { font-size: 1.2rem; margin: 1.5rem 0 .25rem; }
h3 { font-size: 1rem; margin: 1rem 0 .25rem; }
ul.cuts { list-style: none; padding: 0; margin: 0; }
ul.cuts > li { border-top: 1px solid #8886; padding: .6rem 0; }
.state { display: inline-block; min-width: 4.5rem; font-weight: bold; }
.go { text-decoration: underline; text-decoration-thickness: .2em; }
.when { white-space: nowrap; }
p { margin: .2rem 0; } summary { cursor: pointer; padding: .3rem 0; }
table { border-collapse: collapse; } th, td { text-align: left; padding: .1rem 1rem .1rem 0; vertical-align: top; }
.small { font-size: .85rem; opacity: .85; }
@media print { details > * { display: block; } }
";

/// The whole page.
pub(super) fn board(snapshot: &Snapshot) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "What may be cut" }
                style { (maud::PreEscaped(STYLE)) }
            }
            body {
                main {
                    h1 { "What may be cut" }
                    @if snapshot.gardens.is_empty() { p { "No garden is set up yet." } }
                    @for garden in &snapshot.gardens { (section(garden)) }
                    p.small { (words::CAUTION) }
                }
            }
        }
    };
    page.into_string()
}

fn section(garden: &GardenSnapshot) -> Markup {
    html! {
        section aria-label=(garden.title) {
            h2 { (garden.title) }
            p.small {
                @match &garden.looked_at {
                    Some(when) => { "Weather last looked at " (when) "." },
                    None => { "The weather has not been looked at yet." },
                }
                @if let Some(remark) = &garden.remark { " " (remark) }
            }
            ul.cuts { @for verdict in &garden.verdicts { li { (entry(verdict, garden.units)) } } }
            @if !garden.watches.is_empty() {
                h3 { "Cut lately, and watched" }
                ul.cuts { @for watch in &garden.watches { li { (watched(watch, garden.units)) } } }
            }
            @if !garden.uncut.is_empty() {
                h3 { "Needs no cut" }
                ul.cuts { @for uncut in &garden.uncut { li { p { b { (uncut.planting) } ". " (words::uncut(uncut)) } } } }
            }
            @if let Some(verdict) = garden.verdicts.first() {
                p.small { "Counted over " (words::basis(&verdict.basis)) "." }
                @for credit in words::credits(&verdict.basis, garden.units) { p.small { (credit) } }
            }
            @for source in &garden.sources { @if !source.words.is_empty() { p.small { (source.words) "." } } }
            @for source in &garden.skills { (skill(source, garden.units)) }
        }
    }
}

/// One line on how far a source was verified, which opens into the figures of each lead.
fn skill(source: &SourceSkill, units: UnitSystem) -> Markup {
    html! {
        details.small {
            summary { (words::skill(source, units)) }
            table {
                tr { @for head in words::SKILL_HEADS { th scope="col" { (head) } } }
                @for lead in source.in_use() {
                    tr { @for value in words::skill_row(lead, units) { td { (value) } } }
                }
            }
        }
    }
}

/// A cut that was made, until what it left tender is firm.
fn watched(watch: &Watch, units: UnitSystem) -> Markup {
    html! {
        p { span.state { (words::watched::tonight(watch)) } " " b { (words::watched::deed(watch, watch.basis.today)) } }
        @for sentence in words::watched::outlook(watch, units) { p { (sentence) } }
        p.small { "Source: " (watch.source) "." }
    }
}

fn entry(verdict: &Verdict, units: UnitSystem) -> Markup {
    html! {
        p {
            span.state .(class(verdict.state)) { (verdict.state.name()) } " "
            b { (verdict.planting) } ", " (words::to_do(verdict.cut_kind)) " "
            span.when { "(" (words::when(verdict)) ")" }
        }
        p { (words::capital(&words::main_reason(verdict, units))) "." }
        details {
            summary { "Why, in numbers" }
            @for finding in &verdict.findings {
                p { (words::capital(&words::reason(finding, verdict.today, units))) "." }
                table {
                    @for (name, value) in words::numbers(finding, verdict.today, units) {
                        tr { td { (name) } td { (value) } }
                    }
                }
                p.small { "Source: " (finding.source) "." }
            }
            @if !verdict.basis.missing.is_empty() {
                p { (words::capital(&words::missing(&verdict.basis.missing))) "." }
            }
        }
    }
}

fn class(state: State) -> &'static str {
    if state.allows() { "go" } else { "hold" }
}

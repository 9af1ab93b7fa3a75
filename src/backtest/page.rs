//! The report as one page, without scripts and without anything from elsewhere.

mod bars;
mod chart;
mod dates;
mod prose;
mod reliability;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::baseline::Teller;
use super::figures::{Figures, Followed, mean_brier};
use super::keeper::{By, Take};
use super::plan::Plan;
use super::series::Series;

const STYLE: &str = "
:root { color-scheme: light dark; --mine: #0b62a8; --bad: #b3261e; --quiet: #6b6b6b; --line: #8888; }
@media (prefers-color-scheme: dark) { :root { --mine: #7cbcf5; --bad: #ff8a80; --quiet: #a8a8a8; } }
body { font: 1rem/1.5 sans-serif; max-width: 46rem; margin: 0 auto; padding: 0 1rem 2rem; }
h1 { font-size: 1.5rem; margin: 1rem 0 0; } h2 { font-size: 1.2rem; margin: 2rem 0 .25rem; }
h3 { font-size: 1rem; margin: 1rem 0 0; }
p, ul { margin: .4rem 0; } figure { margin: .5rem 0; } figcaption { font-size: .85rem; }
.wide { overflow-x: auto; } table { border-collapse: collapse; font-size: .85rem; }
th, td { padding: .15rem .6rem .15rem 0; text-align: right; white-space: nowrap; }
th:first-child, td:first-child { text-align: left; } th { font-weight: 600; vertical-align: bottom; }
tr.mine td { font-weight: 600; color: var(--mine); } tbody tr { border-top: 1px solid var(--line); }
svg { display: block; width: 100%; max-width: 36rem; height: auto; }
svg text { font: 10px sans-serif; fill: currentColor; } svg .small { font-size: 9px; }
svg .grid { stroke: var(--line); stroke-width: .5; } svg .axis { stroke: currentColor; stroke-width: .8; }
svg .mine { stroke: var(--mine); fill: var(--mine); } svg .limits { stroke-width: 1.2; fill: none; }
svg .quiet { stroke: var(--quiet); fill: var(--quiet); } svg .bad { stroke: var(--bad); fill: none; stroke-width: 1.6; }
svg .told { fill: var(--mine); fill-opacity: .15; stroke: none; }
ul.key { list-style: none; padding: 0; font-size: .85rem; } svg.sign { display: inline; width: 1rem; vertical-align: -.1rem; }
svg .open { fill: none; stroke: currentColor; } svg .dashed { stroke-dasharray: 3 2; }
";

/// The report of a test: each record by itself, and all together.
pub fn page(plan: &Plan, all: &[Series], of_each: &[Figures], together: &Figures) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "The chance of frost, held against past years" }
                style { (PreEscaped(STYLE)) }
            }
            body { main {
                h1 { "The chance of frost, held against past years" }
                p { "Asked on each decision day: will there be " b { (plan.question.words) } "?" }
                (prose::setting(plan, all))
                (prose::outcome(plan, together))
                h2 { "By record" }
                (records(of_each))
                h2 { "Brier score" }
                (bars::figure(together))
                h2 { "Reliability" }
                (reliability::figure(together))
                @if let Some(take) = Take::of(plan.season) {
                    h2 { (match take {
                        Take::First => "The first go of each spring",
                        Take::Last => "The last go of each autumn",
                    }) }
                    (dates::figures(plan, all, take))
                    h2 { "Who follows whom" }
                    (decisions(together, take))
                }
                h2 { "All figures" }
                (figures(plan, together))
                h2 { "What flatters this test, and what does not" }
                (prose::cautions(plan, together))
            } }
        }
    };
    page.into_string()
}

/// One line a record.
fn records(of_each: &[Figures]) -> Markup {
    html! {
        div.wide { table {
            thead { tr {
                th { "record" } th { "years" } th { "days" } th { "left open" } th { "came" }
                @for teller in Teller::CHANCES { th { (teller.name()) } }
            } }
            tbody {
                @for one in of_each { tr {
                    td { (one.name) } td { (one.span.0) "–" (one.span.1) } td { (one.days) }
                    td { (one.open_days) } td { (format!("{:.0} %", one.came * 100.0)) }
                    @for teller in Teller::CHANCES { td { (number(one.brier(teller), 4)) } }
                } }
                @if of_each.len() > 1 { tr.mine {
                    td { "mean" } td {} td {} td {} td {}
                    @for teller in Teller::CHANCES { td { (number(mean_brier(of_each, teller), 4)) } }
                } }
            }
        } }
        p { "A dash: this one says nothing to such a question. Left open: decision days whose answer gaps or the end of the "
            "record hide. Brier scores: the mean squared distance of the chance from what came; 0 is best, less is better." }
    }
}

fn decisions(together: &Figures, take: Take) -> Markup {
    let row = |one: &Followed| {
        html! {
            tr class=[(one.teller == By::Release.name()).then_some("mine")] {
                td { (one.teller) } td { (format!("{:.0} %", one.tolerance * 100.0)) }
                td { (one.seasons) } td { (one.never) } td { (format!("{:.1} %", one.hit_share * 100.0)) }
                td { (in_hundred(one.hit_limits)) } td { (format!("{:.1}", one.lost)) }
                td { (one.gained.map_or_else(|| "–".to_owned(), |days| format!("{days:+.1}"))) }
                td { (format!("{:.1}", one.flips)) } td { (one.flips_max) }
                td { (format!("{:.1}", one.letters)) } td { (one.taken_back) }
            }
        }
    };
    html! {
        div.wide { table {
            thead { tr {
                th { "followed" } th { "limit" } th { "seasons" } th { "no go" } th { "frost came" }
                th { "95 % limits" } th { "days lost" } th { "gained" } th { "flips" } th { "most" }
                th { "letters" } th { "taken back" }
            } }
            tbody { @for one in &together.decisions { (row(one)) } }
        } }
        (prose::followed(take))
    }
}

fn figures(plan: &Plan, together: &Figures) -> Markup {
    html! {
        div.wide { table {
            thead { tr { th { "figure" } th { "value" } th { "95 % limits" } } }
            tbody { @for figure in &together.figures { tr {
                td { (figure.name) } td { (number(figure.value, 3)) }
                td { (figure.limits.map_or_else(String::new, |(low, high)| format!("{low:.3} to {high:.3}"))) }
            } } }
        } }
        p {
            "Limits come from resampling whole years, 999 times: the days of one year hang together and are no samples "
            "of their own. Contested days are those on which the climate chance lies between 5 and 95 %; on the others "
            "the calendar alone decides. Skill is the share of the reference's score that is saved. The calibration "
            "error is the mean distance of chance and share over the lines of the reliability table, each with the weight of its days; it cannot be "
            "negative, so that chance alone makes it positive and resampling makes it larger."
        }
        (prose::figures(plan))
    }
}

fn number(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "–".to_owned(), |value| format!("{value:.decimals$}"))
}

fn in_hundred(limits: Option<(f64, f64)>) -> String {
    limits.map_or_else(String::new, |(low, high)| {
        format!("{:.1} to {:.1} %", low * 100.0, high * 100.0)
    })
}

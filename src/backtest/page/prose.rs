//! What the report says in sentences: what was tested, what came out, what to mind.

use maud::{Markup, html};

use crate::backtest::baseline::Teller;
use crate::backtest::calendar::Season;
use crate::backtest::figures::Figures;
use crate::backtest::series::{Plan, Series};
use crate::backtest::teacher::Prior;
use crate::backtest::world::{BridgeWorld, Source};

/// What was tested, and what was known when.
pub(super) fn setting(plan: &Plan, all: &[Series]) -> Markup {
    let origins: Vec<String> = all
        .iter()
        .map(|series| format!("{} ({})", series.name, series.origin))
        .collect();
    html! {
        ul {
            li { "Records: " (origins.join("; ")) "." }
            li { "Decision days: " (days(plan.season)) }
            li { "Forecasts: " (plan.source.title()) ". " (forecasts(&plan.source)) }
            li { "Skill assumed at first: " (skill(&plan.prior)) " "
                @if plan.learns {
                    "It is learned every five days from the forecasts whose night has come by then, those of 60 days "
                    "before each season included."
                } @else { "Nothing is learned." }
            }
            li {
                "Known on a decision day: the record of the years before the season's year, at least "
                (plan.past_years) " of them, fitted anew for each season; the day's own extremes"
                @if plan.source == Source::None { " are not" }
                "; the forecast of the day. Of the future the forecast alone sees anything."
            }
            li { "Seed " (plan.seed) ": the same call draws the same forecasts and gives the same bytes." }
        }
    }
}

fn days(season: Season) -> String {
    match season {
        Season::Spring => "every day from 45 days before to 45 days after the median last such night of spring in the \
                           whole record, the same days each year; that fixes what is asked, no forecast is told."
            .to_owned(),
        Season::Autumn => "every day from 45 days before to 45 days after the median first such night of autumn in the \
                           whole record, the same days each year; that fixes what is asked, no forecast is told."
            .to_owned(),
        Season::All { step } => format!("the whole year, every {step} days."),
    }
}

fn forecasts(source: &Source) -> String {
    match source {
        Source::None => "The day's own weather is not known either.".to_owned(),
        Source::Perfect { .. } => "They are what came.".to_owned(),
        Source::Noise { errors } => {
            let errors: Vec<String> = errors.iter().map(|error| format!("{error:.2}")).collect();
            format!(
                "What came plus a normal error whose standard deviation by lead is {} K, correlated 0.9 from lead to \
                 lead, drawn anew each day.",
                errors.join(", ")
            )
        }
        Source::Bridge { world, .. } => {
            let faults = match world {
                BridgeWorld::Ideal => "Without faults.",
                BridgeWorld::Realistic => {
                    "Too warm by 0.7 K and by a further 0.25 K for each kelvin below the normal (1.5 K at most), 3 to \
                     15 % less predictable than is assumed, with heavy-tailed errors; of none of this the tool is told."
                }
                BridgeWorld::Better => {
                    "Too warm by 0.7 K and by a further 0.25 K for each kelvin below the normal (1.5 K at most), with \
                     heavy-tailed errors, but more predictable than is assumed; of none of this the tool is told."
                }
            };
            format!("Random bridges from no knowledge to what came, 15 days long. {faults}")
        }
        Source::Given(_) => "Night minima as they stand in the file.".to_owned(),
    }
}

const fn skill(prior: &Prior) -> &'static str {
    match prior {
        Prior::Default => "that of a place where nothing was verified.",
        Prior::Table => "the usual table of correlations by lead, without bias.",
        Prior::Errors(_) => "the errors as they are drawn: what a place learns in the long run.",
        Prior::Perfect(_) => "perfect.",
    }
}

/// The result in two sentences.
pub(super) fn outcome(plan: &Plan, together: &Figures) -> Markup {
    let brier = |teller| together.brier(teller).map(|score| format!("{score:.3}"));
    let tolerance = plan.tolerance.share();
    let followed = together.decisions.iter().find(|one| {
        one.teller == Teller::Budward.name() && (one.tolerance - tolerance).abs() < 1e-9
    });
    html! {
        p {
            "Over " (together.days) " decision days of " (together.years) " years it came after "
            (format!("{:.0} %", together.came * 100.0)) " of them. "
            @if let (Some(mine), Some(climate)) = (brier(Teller::Budward), brier(Teller::Climate)) {
                "The chance scores " b { (mine) } ", the climate alone " (climate)
                @if let Some(perfect) = brier(Teller::PerfectWeek) { ", a perfect week " (perfect) }
                "."
            }
        }
        @if let Some(followed) = followed {
            p {
                "Whoever cut at the first go with a limit of " (format!("{:.0} %", tolerance * 100.0)) " saw it come after "
                b { (format!("{:.1} %", followed.hit_share * 100.0)) } " of " (followed.seasons - followed.never)
                " springs (95 % limits " (super::in_hundred(followed.hit_limits)) ") and waited "
                b { (format!("{:.1} days", followed.waited)) } " on average after it was safe."
            }
        }
    }
}

/// What to mind.
pub(super) fn cautions(plan: &Plan, together: &Figures) -> Markup {
    let open = together.open_days;
    html! {
        ul {
            li {
                "The sample is " (together.years) " years. From fewer than about 20 years the limits are too narrow, and "
                "records of one region share their weather; the same year of several records is one sample here."
            }
            @if open > 0 {
                li { "On " (open) " decision days gaps of the record leave the answer open; they are left out." }
            }
            @match &plan.source {
                Source::Noise { .. } => {
                    li {
                        "The errors are normal, without bias, of stated size and drawn anew each day. Real errors are "
                        "larger on clear cold nights and hang together from one day's forecast to the next: the real "
                        "forecast is worse at the cold end, and the real chance is steadier from day to day."
                    }
                }
                Source::Bridge { .. } => {
                    li {
                        "The bridge is drawn about the climate that the tool itself has fitted and shares its form of "
                        "persistence; the members' spread follows the table that the tool assumes. That flatters "
                        "calibration. Skill, tails and warm bias of the faulty worlds do not match the tool."
                    }
                }
                Source::Perfect { .. } => { li { "A perfect forecast does not exist; this is a ceiling." } }
                Source::None | Source::Given(_) => {}
            }
            li {
                "The place is the station itself: a garden differs from it, and by six or seven days in the safe date for "
                "each kelvin. This test says nothing of that."
            }
            @if plan.question.nights.is_none() {
                li { "Whether the tender period fits the plant is not tested: truth and forecast share it." }
            }
            li { "A station that was moved within the record makes the past a poor guide, for every row of every table." }
        }
    }
}

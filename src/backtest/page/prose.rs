//! What the report says in sentences: what was tested, what came out, what to mind.

use maud::{Markup, html};

use crate::backtest::baseline::Teller;
use crate::backtest::calendar::Season;
use crate::backtest::figures::Figures;
use crate::backtest::keeper::{By, Take};
use crate::backtest::plan::Plan;
use crate::backtest::series::Series;
use crate::backtest::teacher::Prior;
use crate::backtest::world::{BridgeWorld, Source};
use crate::units::CelsiusStep;

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
            @if plan.question.doubt > CelsiusStep::default() {
                li { "The chance allows for a doubt of " (format!("{:.1} K", plan.question.doubt.kelvin())) " about the place, and what came has none of "
                    "it: the chance is drawn towards the middle, more than is right for the station itself." }
            }
            @if let Some(step) = plan.shift_step {
                li { "Beside it the chance is counted over one in " (step) " start days of each past year alone." }
            }
            li { "Seed " (plan.seed) ": the same call draws the same forecasts and gives the same bytes." }
        }
    }
}

fn days(season: Season) -> String {
    match season {
        Season::Spring => "every day from 45 days before to 45 days after the median last such night of spring in the \
                           whole record, the same days each year. That looks ahead, but only to fix what is asked: no \
                           chance is told of it."
            .to_owned(),
        Season::Autumn => "every day from 25 days before to 25 days after the day from which on frost is more likely \
                           than not to come after a cut, as the climate of the years before the season has it, so that \
                           nothing of it looks ahead and the days shift a little from year to year."
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

/// The result in three sentences.
pub(super) fn outcome(plan: &Plan, together: &Figures) -> Markup {
    let brier = |teller| together.brier(teller).map(|score| format!("{score:.3}"));
    let skill = together
        .figures
        .first()
        .filter(|skill| skill.value.is_some());
    let tolerance = plan.tolerance.share();
    let followed = together
        .decisions
        .iter()
        .find(|one| one.teller == By::Release.name() && (one.tolerance - tolerance).abs() < 1e-9);
    html! {
        p {
            "The sample is " b { (together.years) " years" } ", each with many decision days that hang together: "
            (together.days) " days in all, after " (format!("{:.0} %", together.came * 100.0)) " of which it came. "
            @if let (Some(mine), Some(climate)) = (brier(Teller::Budward), brier(Teller::Climate)) {
                "The chance has a Brier score of " b { (mine) } ", the climate alone of " (climate)
                @if let Some(perfect) = brier(Teller::PerfectWeek) { ", a perfect week of " (perfect) }
                @if let Some((value, (low, high))) = skill.and_then(|skill| skill.value.zip(skill.limits)) {
                    "; of the climate's score it saves " (format!("{:.0} %", value * 100.0)) " (95 % limits "
                    (format!("{:.0} to {:.0} %", low * 100.0, high * 100.0)) ")"
                }
                "."
            }
        }
        @if let (Some(followed), Some(take)) = (followed, Take::of(plan.season)) {
            p {
                "Whoever cut at the " (match take { Take::First => "first", Take::Last => "last" }) " go with a limit of "
                (format!("{:.0} %", tolerance * 100.0)) " saw it come after "
                b { (format!("{:.1} %", followed.hit_share * 100.0)) } " of " (followed.seasons - followed.never)
                " cuts (95 % limits " (super::in_hundred(followed.hit_limits)) ") and lost "
                b { (format!("{:.1} days", followed.lost)) } " on average against the best day of each season, which "
                "nobody could know."
            }
        }
    }
}

/// How the table of followers is to be read.
pub(super) fn followed(take: Take) -> Markup {
    html! {
        p {
            b { (By::Release.name()) } " is what the program does: two looks a day apart release, a wobble is outlived, a "
            "forecast frost within two days withdraws. Any other chance is followed when two runs in a row have the cut "
            "within the limit, and until it is above twice the limit, " b { (By::Teller(Teller::Budward).name()) } " being "
            "the chance under test by that plain rule; a rule that says only yes or no is followed at once. "
            @match take {
                Take::First => {
                    "Cut is on the first go. Days lost: those between the first day from which on it never came and the cut; "
                    "a season without a go loses all to its end. Gained: days earlier than the calendar date"
                }
                Take::Last => {
                    "Cut is on the last go, the boldest day that is open; most cuts are made earlier and fare better. Days "
                    "lost: those between the cut and the last day after which it did not come; a season without a go loses "
                    "all from its start. Gained: days later than the calendar date"
                }
            }
            " of no more damage in these same seasons, chosen with hindsight and therefore hard to beat: at few hits it "
            "jumps by many days. Frost came: of the seasons with a go, the share in which it came after the cut; limits by "
            "Wilson with the year as the sample. Letters: those that say go or put off, a season, where no go is told within a week "
            "of a put-off; taken back: of all of them, those that the next one took back within 72 hours."
        }
    }
}

/// How the figures that not everybody knows are to be read.
pub(super) fn figures(plan: &Plan) -> Markup {
    html! {
        p {
            @match plan.season {
                Season::Spring => {
                    "Go by a day told: on the days on which the cut waits, how often the season's first release had come by "
                    "the early, middle and late day that were told, meant to be about 0.1, 0.5 and 0.9; each such day "
                    "counts, years are the sample. Margin: the multiple of the limit at which a date read off the curve "
                    "would have held that share of these days, fitted to them. The climate curve is the chance by cutting "
                    "day without any weather; each step up is the wrong way and an artefact. "
                }
                Season::Autumn => {
                    "The climate curve is the chance by cutting day without any weather; each step down is the wrong way "
                    "and an artefact. "
                }
                Season::All { .. } => {}
            }
            @if plan.shift_step.is_some() {
                "Fewer futures: the root of the mean squared difference of the two chances over all decision days."
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
            li {
                "Many figures stand here side by side. Of twenty 95 % limits one misses by luck alone, and the best of several "
                "rows looks better than it is: name the row before you look."
            }
            @if matches!(plan.prior, Prior::Errors(_)) {
                li { "The program is told the size of the errors as they are drawn. A place has to learn it and never knows "
                    "it quite: --untold tests that." }
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

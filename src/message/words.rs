//! The words for states, cuts, dates, chances and findings: the same on page, terminal and in mails.

mod about;
pub mod answers;
mod bare_wood;
mod basis;
mod change;
mod closed_season;
mod cold;
mod dates;
mod dormancy;
mod events;
mod heat;
pub mod journal;
pub mod kinds;
mod nesting;
mod numbers;
mod pacing;
pub mod pictures;
pub mod plan;
mod professional;
mod sap;
mod skill;
mod sources;
mod stems;
mod storm;
mod thermometer;
mod warned;
pub mod watched;
mod wet;
mod working;

use chrono::NaiveDate;

use crate::almanac::{CutKind, Wood};
use crate::climate::freeze::{FreezeDates, SeasonDates};
use crate::locale::{Locale, say};
use crate::outlook::{Bound, Missing};
use crate::rules::{Facts, Finding, FloweringFacts, FrostFacts, Stand};
use crate::units::{Chance, count};
use crate::verdict::{State, Verdict};

pub use about::{about, uncut};
pub use basis::{basis, cited, counted_over, credits, off_by, site, sourced};
pub use change::change;
pub use dates::{days_until, half_day, month_day, range, spread};
pub use events::{anchored, event, event_basis};
pub use numbers::{numbers, shift};
pub use skill::{nothing_kept, skill, skill_heads, skill_row};
pub use sources::{listed, source_name, source_state};
pub use thermometer::thermometer;

/// Said under every mail, page and plan and with every reason: what a keeper minds at any cut, and whose work it is not
/// (common practice, no source).
pub fn caution(locale: Locale) -> String {
    say!(locale, "caution")
}

/// A chance as ways in a hundred: steps of 1 below 10 and of 5 above, never none and never all.
pub fn in_hundred(chance: Chance, locale: Locale) -> String {
    let ways = chance.share() * 100.0;
    let low_or_high = ways.min(100.0 - ways);
    let step = if low_or_high < 10.0 { 1.0 } else { 5.0 };
    if ways < 1.5 {
        say!(locale, "chance-low")
    } else if ways > 98.5 {
        say!(locale, "chance-high")
    } else {
        say!(locale, "chance-about", ways = (ways / step).round() * step)
    }
}

/// A cut as something to do.
pub fn to_do(cut: CutKind, locale: Locale) -> String {
    match cut {
        CutKind::Shear => say!(locale, "to-do-shear"),
        CutKind::ThinningCut => say!(locale, "to-do-thinning-cut"),
        CutKind::Renewal => say!(locale, "to-do-renewal"),
        CutKind::Deadhead => say!(locale, "to-do-deadhead"),
        CutKind::CutBack => say!(locale, "to-do-cut-back"),
        CutKind::LimbUp => say!(locale, "to-do-limb-up"),
        CutKind::Pinch => say!(locale, "to-do-pinch"),
        CutKind::StormRepair => say!(locale, "to-do-storm-repair"),
    }
}

/// A cut as the name of the work.
pub fn work(cut: CutKind, locale: Locale) -> String {
    match cut {
        CutKind::Shear => say!(locale, "work-shear"),
        CutKind::ThinningCut => say!(locale, "work-thinning-cut"),
        CutKind::Renewal => say!(locale, "work-renewal"),
        CutKind::Deadhead => say!(locale, "work-deadhead"),
        CutKind::CutBack => say!(locale, "work-cut-back"),
        CutKind::LimbUp => say!(locale, "work-limb-up"),
        CutKind::Pinch => say!(locale, "work-pinch"),
        CutKind::StormRepair => say!(locale, "work-storm-repair"),
    }
}

/// How a cut stands, in a word.
pub fn state(state: State, locale: Locale) -> String {
    match state {
        State::Go => say!(locale, "state-go"),
        State::Wait => say!(locale, "state-wait"),
        State::Closing => say!(locale, "state-closing"),
        State::Closed => say!(locale, "state-closed"),
        State::CallAPro => say!(locale, "state-call-a-pro"),
        State::Unknown => say!(locale, "state-unknown"),
    }
}

/// When, in a few words: until when a go holds, from when it is likely.
pub fn when(verdict: &Verdict, locale: Locale) -> String {
    let today = verdict.today;
    match (verdict.state, verdict.opens, verdict.closes) {
        (State::Go | State::Closing, _, Some(end)) if end <= today => {
            say!(locale, "when-last-day")
        }
        (State::Go | State::Closing, _, Some(end)) => {
            say!(locale, "when-till", end = locale.date(end, today))
        }
        (State::Go | State::Closing, _, None) => say!(locale, "when-no-end"),
        (State::Wait, Some(opens), _) => {
            say!(locale, "when-likely", opens = range(opens, today, locale))
        }
        (State::Closed, Some(opens), _) => {
            say!(locale, "when-next", opens = range(opens, today, locale))
        }
        (State::Wait | State::Closed, None, _) => say!(locale, "when-no-date"),
        (State::CallAPro, _, _) => say!(locale, "when-arborist"),
        (State::Unknown, _, _) => say!(locale, "when-unknown"),
    }
}

/// The reason that decides, in one sentence.
pub fn main_reason(verdict: &Verdict, locale: Locale) -> String {
    if verdict.state == State::Unknown {
        return unknown(verdict, locale);
    }
    let decides = |finding: &&Finding| match verdict.state {
        // What holds longest decides.
        State::Closed => {
            matches!(finding.stand, Stand::Shut { .. }) && finding.stand.opens() == verdict.opens
        }
        State::Wait => {
            matches!(finding.stand, Stand::Hold { .. }) && finding.stand.opens() == verdict.opens
        }
        State::CallAPro => matches!(finding.stand, Stand::Professional),
        State::Unknown => matches!(finding.stand, Stand::Unknown { .. }),
        // What ends the window first is what to know of it.
        State::Go | State::Closing => {
            verdict.closes.is_some() && finding.stand.clear_until() == verdict.closes
        }
    };
    let finding = verdict
        .findings
        .iter()
        .find(decides)
        .or_else(|| no_end(verdict));
    finding.map_or_else(
        || say!(locale, "no-rule"),
        |finding| reason(finding, verdict.today, locale),
    )
}

/// Of a cut without an end in sight: the odds of frost, where they count, else what comes first.
fn no_end(verdict: &Verdict) -> Option<&Finding> {
    let frost = verdict.findings.iter().find(|one| one.frost().is_some());
    frost.or(verdict.findings.first())
}

/// What keeps the verdict from being known: what all of them lack, and what single findings do.
fn unknown(verdict: &Verdict, locale: Locale) -> String {
    let mut what = verdict.basis.missing.clone();
    for finding in &verdict.findings {
        if let Stand::Unknown { missing } = &finding.stand {
            what.extend(
                missing
                    .iter()
                    .filter(|one| !verdict.basis.missing.contains(one)),
            );
        }
    }
    missing(&what, locale)
}

/// What a finding says, in one sentence.
pub fn reason(finding: &Finding, today: NaiveDate, locale: Locale) -> String {
    match &finding.facts {
        Facts::FrostWhileTender(facts) => frost(facts, today, locale),
        Facts::OfficialWarning(facts) => warned::sentence(facts, today, locale),
        Facts::FloweringWood(facts) => flowering(facts, &finding.stand, today, locale),
        Facts::Dormancy(facts) => dormancy::reason(facts, &finding.stand, today, locale),
        Facts::ClosedSeason(facts) => closed_season::reason(facts, today, locale),
        Facts::Sap(facts) => sap::reason(facts, &finding.stand, today, locale),
        Facts::Stems(facts) => stems::reason(facts, &finding.stand, locale),
        Facts::Nesting(facts) => nesting::reason(facts, today, locale),
        Facts::Pacing(facts) => pacing::reason(facts, today, locale),
        Facts::BareWood(facts) => bare_wood::reason(*facts, locale),
        Facts::Professional(facts) => professional::reason(facts, today, locale),
        Facts::Storm(facts) => storm::reason(*facts, locale),
        Facts::Heat(facts) => heat::sentence(facts, today, locale),
        Facts::Wetness(facts) => wet::sentence(facts, today, locale),
        Facts::FreshCutCold(facts) => cold::sentence(facts, today, locale),
        Facts::WorkingConditions(facts) => working::sentence(facts, today, locale),
        Facts::Sources(facts) => sources::reason(facts, locale),
    }
}

/// A number behind a finding with its name.
type Row = (String, String);

fn frost(facts: &FrostFacts, today: NaiveDate, locale: Locale) -> String {
    let mark = locale.temperature(facts.damage_at);
    if facts.futures == 0 {
        return say!(locale, "frost-not-counted", mark = mark);
    }
    let ways = in_hundred(facts.chance, locale);
    let chance = match facts.bound {
        Bound::Whole => say!(locale, "frost-chance", ways = ways, mark = mark),
        Bound::AtLeast => say!(locale, "frost-chance-at-least", ways = ways, mark = mark),
    };
    match frost_more(facts, today, locale) {
        Some(more) => format!("{chance}; {more}"),
        None => chance,
    }
}

/// What matters most beside the chance of frost.
fn frost_more(facts: &FrostFacts, today: NaiveDate, locale: Locale) -> Option<String> {
    let within = facts.chance.share() <= facts.tolerance.share();
    if let Some((night, lowest)) = facts.frost_at_hand {
        Some(say!(
            locale,
            "frost-at-hand",
            lowest = locale.temperature(lowest),
            night = locale.weekday(night, today)
        ))
    } else if let Some(least) = facts.least.filter(|_| !within) {
        Some(say!(
            locale,
            "frost-least",
            until = locale.date(least.until, today),
            day = locale.date(least.day, today),
            ways = in_hundred(least.chance, locale)
        ))
    } else if let Some(years) = facts.unseen_in_years {
        // Three over n: the upper 95 % limit of a chance that did not come up in n years.
        let limit = Chance::of(3.0 / count(years.max(1))).in_hundred();
        Some(say!(locale, "frost-unseen", years = years, limit = limit))
    } else if facts.open.is_empty() && facts.bound == Bound::Whole {
        Some(say!(locale, "frost-no-day"))
    } else if within && !facts.release.released && facts.bound == Bound::Whole {
        Some(say!(locale, "frost-second-look"))
    } else {
        None
    }
}

fn flowering(facts: &FloweringFacts, stand: &Stand, today: NaiveDate, locale: Locale) -> String {
    let wood = wood(facts.wood, locale);
    let Some(season) = facts.season else {
        return match facts.wood {
            Wood::Indifferent => say!(locale, "flowering-any-time-indifferent"),
            Wood::Old | Wood::New | Wood::Both => {
                say!(locale, "flowering-any-time", wood = wood)
            }
        };
    };
    let season = range(season, today, locale);
    match (stand, &facts.outside) {
        (Stand::Clear { .. }, _) => {
            say!(locale, "flowering-season-is", wood = wood, season = season)
        }
        (_, Some(outside)) => say!(
            locale,
            "flowering-outside",
            outside = kinds::text(outside, locale),
            season = season
        ),
        (_, None) => say!(
            locale,
            "flowering-season-opens",
            wood = wood,
            season = season
        ),
    }
}

fn wood(wood: Wood, locale: Locale) -> String {
    match wood {
        Wood::Old => say!(locale, "wood-old"),
        Wood::New => say!(locale, "wood-new"),
        Wood::Both => say!(locale, "wood-both"),
        Wood::Indifferent => say!(locale, "wood-indifferent"),
    }
}

/// What is missing, as one sentence.
pub fn missing(missing: &[Missing], locale: Locale) -> String {
    if missing.is_empty() {
        return say!(locale, "missing-nothing");
    }
    missing
        .iter()
        .map(|what| one_missing(*what, locale))
        .collect::<Vec<_>>()
        .join("; ")
}

fn one_missing(what: Missing, locale: Locale) -> String {
    match what {
        Missing::Forecast => say!(locale, "missing-forecast"),
        Missing::FreshForecast { age_hours } => say!(
            locale,
            "missing-fresh-forecast",
            age = basis::hours(age_hours, locale)
        ),
        Missing::ForecastNights => say!(locale, "missing-forecast-nights"),
        Missing::Season => say!(locale, "missing-season"),
        Missing::History => say!(locale, "missing-history"),
    }
}

/// The last freeze of spring and the first of autumn over the years.
pub fn freeze_dates(dates: &FreezeDates, locale: Locale) -> String {
    let (spring, autumn) = (&dates.last_spring, &dates.first_autumn);
    let day = |season: &SeasonDates, percent| {
        let day = season.percentile(percent);
        day.map(|day| month_day(day, locale))
    };
    let told = [
        day(spring, 10).map(|day| say!(locale, "spring-1-in-10", day = day)),
        day(spring, 50).map(|day| say!(locale, "spring-half", day = day)),
    ];
    let spring = match listed_dates(told) {
        Some(told) => say!(locale, "spring-told", told = told, seasons = spring.seasons),
        None => say!(locale, "spring-none", seasons = spring.seasons),
    };
    let told = [
        day(autumn, 10).map(|day| say!(locale, "autumn-1-in-10", day = day)),
        day(autumn, 50).map(|day| say!(locale, "autumn-half", day = day)),
    ];
    let autumn = match listed_dates(told) {
        Some(told) => say!(locale, "autumn-told", told = told, seasons = autumn.seasons),
        None => say!(locale, "autumn-none", seasons = autumn.seasons),
    };
    format!("{spring}; {autumn}")
}

fn listed_dates(told: [Option<String>; 2]) -> Option<String> {
    let told: Vec<String> = told.into_iter().flatten().collect();
    (!told.is_empty()).then(|| told.join(", "))
}

/// Columns of a terminal that everybody has.
pub const WIDTH: usize = 80;

/// A text broken between words, so that its lines, each set in by so much, stay within the width; ends with a line
/// break.
pub fn wrapped(text: &str, indent: usize) -> String {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let Some(line) = lines.last_mut() else { break };
        let length = indent + line.chars().count() + 1 + word.chars().count();
        if line.is_empty() {
            line.push_str(word);
        } else if length > WIDTH {
            lines.push(word.to_owned());
        } else {
            line.push(' ');
            line.push_str(word);
        }
    }
    let margin = " ".repeat(indent);
    lines
        .iter()
        .flat_map(|line| [&margin, line.as_str(), "\n"])
        .collect()
}

/// A text that begins with a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

//! Words for the pictures: titles, keys, and what each of them shows in sentences with the same figures.

use chrono::NaiveDate;

use super::{capital, in_hundred, range, spread, to_do, when};
use crate::events::HeatYear;
use crate::locale::Locale;
use crate::look::Prospect;
use crate::outlook::{Bound, NightFan};
use crate::risk::DateRange;
use crate::rules::FrostFacts;
use crate::units::{CelsiusStep, Chance};
use crate::verdict::Verdict;

/// The axis of the risk.
pub const OF_100: &str = "of 100 ways the weather can go bring damage";

/// What the ribbon of frost counts.
pub const FREEZING: &str = "of 100 nights like this, so many freeze (0 to 100)";

/// The key of the coming nights.
pub const NIGHTS_KEY: [&str; 4] = [
    "8 of 10 ways",
    "half of the ways",
    "middle",
    "the forecast itself",
];

/// The key of the season's heat.
pub const HEAT_KEY: [&str; 4] = [
    "8 of 10 past years",
    "middle of past years",
    "this season",
    "8 of 10 ways on",
];

/// The key of the year.
pub const YEAR_KEY: [&str; 3] = ["window now, soft where not sure", "usual window", "done"];

/// What the end of the forecast is called.
pub const FORECAST_END: &str = "forecast ends";

/// What today is called.
pub const TODAY: &str = "today";

/// Columns of the figures behind the risk.
pub const RISK_HEADS: [&str; 2] = ["cut made on", "ways of 100 with damage"];

/// Columns of the figures behind the coming nights.
pub const NIGHTS_HEADS: [&str; 5] = [
    "night to",
    "1 in 10 colder than",
    "middle",
    "1 in 10 warmer than",
    "forecast",
];

/// Columns of the figures behind the heat.
pub const HEAT_HEADS: [&str; 3] = ["by the end of", "this season", "past years, 8 in 10"];

/// Which cut a picture is of.
pub fn of_cut(what: &str, verdict: &Verdict, locale: Locale) -> String {
    format!(
        "{what}: {}, {}",
        capital(&verdict.planting),
        to_do(verdict.cut_kind, locale)
    )
}

/// The risk by cutting day: today's, the next months', the limit and the days that follow.
pub fn risk(facts: &FrostFacts, verdict: &Verdict, locale: Locale) -> String {
    let today = verdict.today;
    let bound = match facts.bound {
        Bound::Whole => "",
        Bound::AtLeast => "at least ",
    };
    let later: Vec<String> = later(facts, today)
        .map(|(day, chance)| format!("{} {}", locale.short(day), ways(chance)))
        .collect();
    let limit = facts.tolerance.in_hundred();
    let mut said = vec![
        format!(
            "Cut today: {bound}{} ways bring damage.",
            in_hundred(facts.chance, locale)
        ),
        format!("By cutting day, of 100 ways: {}.", later.join(", ")),
        format!("Your limit is {limit:.0} of 100."),
    ];
    let first_go = facts.first_go.as_ref();
    said.extend(
        first_go.map(|go| format!("The first go day comes {}.", spread(go, today, locale))),
    );
    let open: Vec<String> = facts
        .open
        .iter()
        .map(|time| range(*time, today, locale))
        .collect();
    if !open.is_empty() {
        said.push(format!("Within your limit: {}.", open.join("; ")));
    }
    let wished = verdict.wished;
    said.extend(wished.map(|day| format!("You wished for {}.", locale.date(day, today))));
    said.push(format!("Counted over {} ways.", facts.futures));
    said.join(" ")
}

/// The chance for a cut made every fortnight from today on.
pub fn later(facts: &FrostFacts, today: NaiveDate) -> impl Iterator<Item = (NaiveDate, Chance)> {
    today
        .iter_days()
        .zip(facts.by_day.iter().copied())
        .step_by(14)
}

/// A chance in figures as narrow as a table has them.
pub fn ways(chance: Chance) -> String {
    let ways = chance.share() * 100.0;
    if ways > 0.0 && ways < 1.0 {
        "under 1".to_owned()
    } else {
        format!("{ways:.0}")
    }
}

/// What today's chance is called in the picture, and the limit.
pub fn now_and_limit(facts: &FrostFacts) -> (String, String) {
    let now = format!("{TODAY} {}", ways(facts.chance));
    (now, format!("your limit {}", ways(facts.tolerance)))
}

/// The coming nights: the coldest middle, the range of that night, the forecast's own lowest.
pub fn nights(
    nights: &[(NaiveDate, NightFan)],
    facts: &FrostFacts,
    today: NaiveDate,
    locale: Locale,
) -> String {
    let damage = locale.temperature(facts.damage_at);
    let coldest = nights.iter().min_by(|(_, a), (_, b)| {
        a.quantiles[2]
            .degrees()
            .total_cmp(&b.quantiles[2].degrees())
    });
    let Some((night, fan)) = coldest else {
        return "Nothing is known of the coming nights.".to_owned();
    };
    let [low, _, middle, _, high] = fan.quantiles.map(|at| locale.temperature(at));
    let said = format!(
        "Lowest temperatures of the coming {} nights at the plant. The coldest is likely the one to {}: middle \
         {middle}, and in 8 of 10 ways between {low} and {high}. It does damage from {damage} down.",
        nights.len(),
        locale.date(*night, today)
    );
    let own = nights
        .iter()
        .filter_map(|(night, fan)| Some((night, fan.forecast?)));
    let lowest = own.min_by(|(_, a), (_, b)| a.degrees().total_cmp(&b.degrees()));
    let last = nights
        .iter()
        .filter(|(_, fan)| fan.forecast.is_some())
        .map(|(night, _)| night)
        .max();
    let own = lowest.zip(last).map(|((night, lowest), last)| {
        format!(
            " The forecast itself has {} as its lowest, in the night to {}; it ends with the night to {}.",
            locale.temperature(lowest),
            locale.date(*night, today),
            locale.date(*last, today)
        )
    });
    said + &own.unwrap_or_default()
}

/// What the temperature of damage is called in the picture.
pub fn damage(facts: &FrostFacts, locale: Locale) -> String {
    format!("damage from {} down", locale.temperature(facts.damage_at))
}

/// What the axis of the nights counts.
pub fn nights_axis(locale: Locale, offset: CelsiusStep) -> String {
    let spot = if offset == CelsiusStep::default() {
        String::new()
    } else {
        format!(", the spot's {} included", locale.step(offset))
    };
    format!(
        "{}, lowest of the night at the plant{spot}",
        locale.degree()
    )
}

/// The heat of the season beside the usual one.
pub fn heat(year: &HeatYear, today: NaiveDate, locale: Locale) -> String {
    let base = locale.temperature(year.base);
    let start = locale.date(year.start, today);
    let now = year.by(today).zip(year.usual_by(today));
    let Some(([_, this, _], [low, middle, high])) = now else {
        return format!("Heat above {base} since {start}.");
    };
    let [this, low, middle, high] = [this, low, middle, high].map(|heat| locale.heat(heat));
    format!(
        "Heat above {base} since {start}: {this} by today, in past years {middle} in the middle and in 8 of 10 between {low} and {high}; \
         {} of {} days so far measured, past years for the rest.",
        year.counted.measured, year.counted.passed
    )
}

/// What the axis of the heat counts.
pub fn heat_axis(year: &HeatYear, locale: Locale) -> String {
    let base = locale.temperature(year.base);
    format!(
        "{}·d above {base} since {}",
        locale.degree(),
        locale.short(year.start)
    )
}

/// The events of a planting in a sentence.
pub fn events(prospect: &Prospect, planting: &str, locale: Locale) -> String {
    let of = prospect
        .events
        .iter()
        .filter(|one| one.planting == planting);
    let told: Vec<String> = of
        .map(|one| {
            let when = DateRange {
                from: one.date.early,
                to: one.date.late,
            };
            let middle = locale.date(one.date.middle, prospect.today);
            format!(
                "{} about {middle} ({})",
                super::event(one.event, locale),
                range(when, prospect.today, locale)
            )
        })
        .collect();
    if told.is_empty() {
        String::new()
    } else {
        format!(" Events: {}.", told.join("; "))
    }
}

/// The year about today: each cut with its state and when.
pub fn year(verdicts: &[&Verdict], locale: Locale) -> String {
    let line = |verdict: &&Verdict| {
        let (planting, work) = (&verdict.planting, to_do(verdict.cut_kind, locale));
        format!(
            "{planting}, {work}: {} ({})",
            super::state(verdict.state, locale),
            when(verdict, locale)
        )
    };
    let lines: Vec<String> = verdicts.iter().map(line).collect();
    format!(
        "Half a year back and half a year on. {}.",
        capital(&lines.join("; "))
    )
}

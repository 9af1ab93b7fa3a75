//! The numbers behind a finding, for those who want them all.

use chrono::NaiveDate;

use super::{
    Row, anchored, closed_season, cold, heat, in_hundred, kinds, pacing, professional, range, sap,
    spread, stems, warned, wet, working,
};
use crate::locale::{Locale, say};
use crate::risk::{Shift, WITHDRAWN_ABOVE};
use crate::rules::{Anchored, Facts, Finding, FloweringFacts, FrostFacts};
use crate::units::Chance;

/// Every number of a finding, as pairs of name and value.
pub fn numbers(finding: &Finding, today: NaiveDate, locale: Locale) -> Vec<Row> {
    match &finding.facts {
        Facts::FrostWhileTender(facts) => frost_numbers(facts, today, locale),
        Facts::OfficialWarning(facts) => warned::rows(facts, locale),
        Facts::FloweringWood(facts) => flowering_numbers(facts, today, locale),
        Facts::Dormancy(facts) => {
            vec![(say!(locale, "row-rest"), range(facts.rest, today, locale))]
        }
        Facts::ClosedSeason(facts) => closed_season::numbers(facts, today, locale),
        Facts::Sap(facts) => sap::numbers(facts, today, locale),
        Facts::Stems(facts) => stems::numbers(facts, today, locale),
        Facts::Nesting(facts) => vec![(
            say!(locale, "row-nest-season"),
            range(facts.season, today, locale),
        )],
        Facts::Pacing(facts) => pacing::numbers(facts, locale),
        Facts::Professional(facts) => professional::numbers(facts, today, locale),
        Facts::BareWood(_) | Facts::Storm(_) | Facts::Sources(_) => Vec::new(),
        Facts::Heat(facts) => heat::rows(facts, today, locale),
        Facts::Wetness(facts) => wet::rows(facts, today, locale),
        Facts::FreshCutCold(facts) => cold::rows(facts, today, locale),
        Facts::WorkingConditions(facts) => working::rows(facts, today, locale),
    }
}

fn frost_numbers(facts: &FrostFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let none = || say!(locale, "none-within-a-year");
    let limit = in_all(facts.tolerance, locale);
    let damage = say!(
        locale,
        "damage-and-below",
        mark = locale.temperature(facts.damage_at),
        class = kinds::data_name(&facts.tender_class, locale)
    );
    let limit = (say!(locale, "row-limit"), limit);
    let damage = (say!(locale, "row-damage-from"), damage);
    if facts.futures == 0 {
        return vec![limit, damage];
    }
    let first_go = facts.first_go.as_ref();
    let first_go = first_go.map_or_else(none, |go| spread(go, today, locale));
    let last_call = facts.last_call;
    let last_call = last_call.map_or_else(none, |day| locale.date(day, today));
    let futures = say!(locale, "ways-counted", futures = facts.futures);
    let mut rows = vec![
        (say!(locale, "row-chance"), chance(facts, locale)),
        limit,
        (say!(locale, "row-counted-over"), futures),
        damage,
        (say!(locale, "row-spot"), locale.step(facts.spot_offset)),
        (say!(locale, "row-firm-by"), firm_by(facts, today, locale)),
        (say!(locale, "row-first-go"), first_go),
        (say!(locale, "row-last-call"), last_call),
    ];
    if facts.open.len() > 1 {
        let times = facts.open.iter().map(|time| range(*time, today, locale));
        let times = times.collect::<Vec<_>>().join("; ");
        rows.push((say!(locale, "row-open-times"), times));
    }
    let withdrawn = Chance::of(WITHDRAWN_ABOVE * facts.tolerance.share());
    let above = say!(locale, "chance-above", ways = withdrawn.in_hundred());
    rows.push((say!(locale, "row-withdrawn"), above));
    if let Some((night, share)) = facts.first_hit {
        let night = locale.weekday(night, today);
        let often = say!(
            locale,
            "night-in-ways",
            night = night,
            ways = in_hundred(share, locale)
        );
        rows.push((say!(locale, "row-first-hit"), often));
    }
    rows
}

/// A chance that somebody set, as ways in a hundred.
fn in_all(chance: Chance, locale: Locale) -> String {
    say!(locale, "chance-exact", ways = chance.in_hundred())
}

/// The chance, and between what it may lie where that is more than it.
fn chance(facts: &FrostFacts, locale: Locale) -> String {
    let middle = in_hundred(facts.chance, locale);
    let limits = facts
        .range
        .map(|(low, high)| (in_hundred(low, locale), in_hundred(high, locale)));
    match limits {
        Some((low, high)) if low != high => say!(
            locale,
            "chance-between",
            middle = middle,
            low = low,
            high = high
        ),
        Some(_) | None => middle,
    }
}

fn firm_by(facts: &FrostFacts, today: NaiveDate, locale: Locale) -> String {
    let counted = facts.firm_by.as_ref().map_or_else(
        || say!(locale, "nothing-is-tender"),
        |firm| spread(firm, today, locale),
    );
    if facts.not_firm_before_winter {
        say!(locale, "not-before-winter", counted = counted)
    } else {
        counted
    }
}

fn flowering_numbers(facts: &FloweringFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let zone = facts.zone.map_or_else(
        || say!(locale, "zone-unknown"),
        |zone| say!(locale, "zone-of-years", zone = locale.number(zone, 1)),
    );
    let season = facts.season.map_or_else(
        || say!(locale, "any-time-of-the-year"),
        |season| range(season, today, locale),
    );
    let bounds = [
        (say!(locale, "row-opens"), &facts.opens_by),
        (say!(locale, "row-closes"), &facts.closes_by),
    ];
    let bound = |(name, bound): (String, &Option<Anchored>)| {
        let bound = bound.as_ref()?;
        Some((name, anchored(bound, today, locale)))
    };
    std::iter::once((say!(locale, "row-season"), season))
        .chain(bounds.into_iter().filter_map(bound))
        .chain([(say!(locale, "row-zone"), zone)])
        .collect()
}

/// A parameter moved by its uncertainty, as a condition.
pub fn shift(shift: Shift, locale: Locale) -> String {
    match shift {
        Shift::Nothing => say!(locale, "shift-nothing"),
        Shift::SpotColder => say!(locale, "shift-spot-colder"),
        Shift::SpotWarmer => say!(locale, "shift-spot-warmer"),
        Shift::MoreTender => say!(locale, "shift-more-tender"),
        Shift::LessTender => say!(locale, "shift-less-tender"),
        Shift::LongerTender => say!(locale, "shift-longer-tender"),
        Shift::ShorterTender => say!(locale, "shift-shorter-tender"),
        Shift::TwiceTheTolerance => say!(locale, "shift-twice-the-limit"),
        Shift::HalfTheTolerance => say!(locale, "shift-half-the-limit"),
    }
}

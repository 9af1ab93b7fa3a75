//! The numbers behind a finding, for those who want them all.

use chrono::NaiveDate;

use super::{
    anchored, closed_season, cold, date, heat, in_hundred, pacing, professional, range, sap,
    spread, stems, warned, weekday, wet, working,
};
use crate::risk::{Shift, WITHDRAWN_ABOVE};
use crate::rules::{Anchored, Facts, Finding, FloweringFacts, FrostFacts};
use crate::units::{Chance, UnitSystem};

/// Every number of a finding, as pairs of name and value.
pub fn numbers(
    finding: &Finding,
    today: NaiveDate,
    units: UnitSystem,
) -> Vec<(&'static str, String)> {
    match &finding.facts {
        Facts::FrostWhileTender(facts) => frost_numbers(facts, today, units),
        Facts::OfficialWarning(facts) => warned::rows(facts),
        Facts::FloweringWood(facts) => flowering_numbers(facts, today, units),
        Facts::Dormancy(facts) => vec![("rest", range(facts.rest, today))],
        Facts::ClosedSeason(facts) => closed_season::numbers(facts, today, units),
        Facts::Sap(facts) => sap::numbers(facts, today),
        Facts::Stems(facts) => stems::numbers(facts, today, units),
        Facts::Nesting(facts) => vec![("nest season", range(facts.season, today))],
        Facts::Pacing(facts) => pacing::numbers(facts),
        Facts::Professional(facts) => professional::numbers(facts, today, units),
        Facts::BareWood(_) | Facts::Storm(_) | Facts::Sources(_) => Vec::new(),
        Facts::Heat(facts) => heat::rows(facts, today, units),
        Facts::Wetness(facts) => wet::rows(facts, today, units),
        Facts::FreshCutCold(facts) => cold::rows(facts, today, units),
        Facts::WorkingConditions(facts) => working::rows(facts, today, units),
    }
}

fn frost_numbers(
    facts: &FrostFacts,
    today: NaiveDate,
    units: UnitSystem,
) -> Vec<(&'static str, String)> {
    let none = || "none within a year".to_owned();
    let limit = format!("{:.0} of 100", facts.tolerance.in_hundred());
    let damage = format!(
        "{} and below ({})",
        units.temperature(facts.damage_at),
        facts.tender_class
    );
    let (limit, damage) = (("your limit", limit), ("damage from", damage));
    if facts.futures == 0 {
        return vec![limit, damage];
    }
    let mut rows = vec![
        ("chance of damage, cut today", chance(facts)),
        limit,
        (
            "counted over",
            format!("{} ways the weather can go", facts.futures),
        ),
        damage,
        ("the spot adds", units.step(facts.spot_offset)),
        ("firm by, cut today", firm_by(facts, today)),
        (
            "first go day",
            facts
                .first_go
                .as_ref()
                .map_or_else(none, |go| spread(go, today)),
        ),
        (
            "last call",
            facts.last_call.map_or_else(none, |day| date(day, today)),
        ),
    ];
    if facts.open.len() > 1 {
        let times = facts
            .open
            .iter()
            .map(|time| range(*time, today))
            .collect::<Vec<_>>()
            .join("; ");
        rows.push(("open times", times));
    }
    let withdrawn = WITHDRAWN_ABOVE * facts.tolerance.share();
    rows.push((
        "a go is withdrawn",
        format!("above {:.0} of 100", Chance::of(withdrawn).in_hundred()),
    ));
    if let Some((night, share)) = facts.first_hit {
        let often = format!("{}, in {} ways", weekday(night, today), in_hundred(share));
        rows.push(("likeliest night to hit first", often));
    }
    rows
}

/// The chance, and between what it may lie where that is more than it.
fn chance(facts: &FrostFacts) -> String {
    let middle = in_hundred(facts.chance);
    let limits = facts
        .range
        .map(|(low, high)| (in_hundred(low), in_hundred(high)));
    match limits {
        Some((low, high)) if low != high => {
            format!("{middle}; it may be between {low} and {high}")
        }
        Some(_) | None => middle,
    }
}

fn firm_by(facts: &FrostFacts, today: NaiveDate) -> String {
    let counted = facts.firm_by.as_ref().map_or_else(
        || "nothing is tender".to_owned(),
        |firm| spread(firm, today),
    );
    if facts.not_firm_before_winter {
        format!("not before winter; counted to {counted}")
    } else {
        counted
    }
}

fn flowering_numbers(
    facts: &FloweringFacts,
    today: NaiveDate,
    units: UnitSystem,
) -> Vec<(&'static str, String)> {
    let any = || "any time of the year".to_owned();
    let zone = facts.zone.map_or_else(
        || "not known; dates are those of zone 7".to_owned(),
        |zone| format!("{zone:.1} (from the mean coldest night of the years)"),
    );
    let season = facts.season.map_or_else(any, |season| range(season, today));
    let bounds = [("opens", &facts.opens_by), ("closes", &facts.closes_by)];
    let bound = |(name, bound): (&'static str, &Option<Anchored>)| {
        let bound = bound.as_ref()?;
        Some((name, anchored(bound, today, units)))
    };
    std::iter::once(("season", season))
        .chain(bounds.into_iter().filter_map(bound))
        .chain([("hardiness zone", zone)])
        .collect()
}

/// A parameter moved by its uncertainty, as a condition.
pub const fn shift(shift: Shift) -> &'static str {
    match shift {
        Shift::Nothing => "as it is",
        Shift::SpotColder => "the spot 1 K (1.8 °F) colder",
        Shift::SpotWarmer => "the spot 1 K (1.8 °F) warmer",
        Shift::MoreTender => "damage from 1 K (1.8 °F) warmer on",
        Shift::LessTender => "damage from 1 K (1.8 °F) colder on",
        Shift::LongerTender => "tender half as long again",
        Shift::ShorterTender => "tender two thirds as long",
        Shift::TwiceTheTolerance => "twice your limit",
        Shift::HalfTheTolerance => "half your limit",
    }
}

//! Frost while the cut is tender.

use chrono::{NaiveDate, TimeDelta};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::season::window;
use super::{Case, Facts, Finding, Stand, chosen};
use crate::almanac::{Season, Tender};
use crate::outlook::Bound;
use crate::risk::{DateRange, Release, Risk, Spread};
use crate::units::{Celsius, CelsiusStep, Chance, DegreeDays};

/// A hold that ends within so many days is a wait; one that lasts longer is the season's end (estimate).
const WAIT_DAYS: i64 = 120;

/// So many cutting days are kept beside the dates that follow from them: today and the next 120.
const CURVE_DAYS: usize = 121;

/// The numbers behind a frost finding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FrostFacts {
    /// The chance of damage for a cut made today.
    pub chance: Chance,
    /// The chance for a cut made on each of the coming days, today first, to the thousandth.
    #[serde(default)]
    pub by_day: Vec<Chance>,
    /// Between what it may lie, since the past years are a sample.
    pub range: Option<(Chance, Chance)>,
    /// Whether that is the whole chance.
    pub bound: Bound,
    /// The chance that the keeper accepts.
    pub tolerance: Chance,
    /// The warmest temperature that does damage at some time of the tender period.
    pub damage_at: Celsius,
    /// The tender class of the cut.
    pub tender_class: String,
    /// What the spot adds to every night.
    pub spot_offset: CelsiusStep,
    /// When a cut made today would be firm.
    pub firm_by: Option<Spread>,
    /// Whether its growth will not be firm before winter in most futures, so that its time is only counted to its end.
    pub not_firm_before_winter: bool,
    /// The years on record of which none had a damaging night in the spot; none when one had.
    pub unseen_in_years: Option<usize>,
    /// The night that most often is the first to do damage, and how often.
    pub first_hit: Option<(NaiveDate, Chance)>,
    /// The night of the next two that the forecast itself has as damaging, and its minimum in the spot.
    pub frost_at_hand: Option<(NaiveDate, Celsius)>,
    /// The first go day.
    pub first_go: Option<Spread>,
    /// The last day on which to cut.
    pub last_call: Option<NaiveDate>,
    /// The times of the coming year within the tolerance.
    pub open: Vec<DateRange>,
    /// The least risky day before the season of the cut ends, where no day of it is within the tolerance.
    pub least: Option<Least>,
    /// What was released, and since when the chance is within the tolerance.
    pub release: Release,
    /// The number of futures on which chance and dates rest.
    pub futures: usize,
}

/// The least risky day of a season without a safe one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Least {
    /// The day.
    pub day: NaiveDate,
    /// Its chance.
    pub chance: Chance,
    /// When the season ends.
    pub until: NaiveDate,
}

/// Holds a cut while frost is more likely to catch it than the keeper accepts.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    let tender = case.cut.cut.tender.as_ref()?;
    let risk = case.risk?;
    // Two looks that agree have to rest on two runs, so what counts is when the forecast was made.
    let age = TimeDelta::hours(risk.basis.forecast_age_hours.unwrap_or(0));
    let release = Release::after(case.before, &risk.look(case.at - age));
    // A look at weather that is missing or old agrees with nothing: what was before it stays.
    let kept = if risk.basis.missing.is_empty() {
        release
    } else {
        case.before.unwrap_or_default()
    };
    let facts = facts(case, tender, risk, kept);
    let stand = stand(risk, release, case.today);
    Some(Finding {
        stand: facts
            .least
            .map_or(stand.clone(), |least| least.bounds(stand)),
        facts: Facts::FrostWhileTender(facts),
        source: tender.source.clone(),
    })
}

impl Least {
    /// A day within the tolerance that comes after the season is none to wait for.
    fn bounds(self, stand: Stand) -> Stand {
        let is_too_late = |opens: DateRange| opens.from > self.until;
        if !stand.opens().is_some_and(is_too_late) {
            stand
        } else if matches!(stand, Stand::Shut { .. }) {
            Stand::Shut { opens: None }
        } else {
            Stand::Hold { opens: None }
        }
    }
}

fn stand(risk: &Risk, release: Release, today: NaiveDate) -> Stand {
    let within = risk.today().share() <= risk.tolerance.share();
    let range = |go: Spread| DateRange {
        from: go.middle,
        to: go.late,
    };
    match (risk.bound, risk.first_go) {
        // A bound within the tolerance releases nothing, one above it is reason enough to wait.
        (Bound::AtLeast, _) if within || risk.curve.is_empty() => Stand::Unknown {
            missing: risk.basis.missing.clone(),
        },
        (Bound::AtLeast, _) => Stand::Hold { opens: None },
        (Bound::Whole, _) if release.released => Stand::Clear {
            until: risk.last_call,
        },
        // Within the tolerance for the first time, or a frost at hand: the next days decide.
        (Bound::Whole, Some(go)) if within => Stand::Hold {
            opens: Some(second_look(today, risk, go)),
        },
        (Bound::Whole, Some(go)) if (go.late - today).num_days() <= WAIT_DAYS => Stand::Hold {
            opens: Some(range(go)),
        },
        (Bound::Whole, go) => Stand::Shut {
            opens: go.map(range),
        },
    }
}

/// When a cut within the tolerance is looked at again: tomorrow, or after the frost at hand.
fn second_look(today: NaiveDate, risk: &Risk, go: Spread) -> DateRange {
    let after = risk.frost_at_hand.map_or(today, |(night, _)| night);
    let next = after.succ_opt().unwrap_or(go.late);
    DateRange {
        from: next,
        to: next,
    }
}

fn facts(case: &Case<'_>, tender: &Tender, risk: &Risk, release: Release) -> FrostFacts {
    let edges = tender.edges.map(|edges| edges.damage_at);
    let growth = tender.growth.map(|growth| growth.damage_at);
    let unhardened = tender.unhardened.map(|unhardened| unhardened.damage_at);
    let marks = edges.into_iter().chain(growth).chain(unhardened);
    let damage_at = marks.reduce(Celsius::max).unwrap_or(Celsius::new(0.0));
    FrostFacts {
        chance: risk.today(),
        by_day: by_day(risk),
        range: risk.today_range(),
        bound: risk.bound,
        tolerance: risk.tolerance,
        damage_at,
        tender_class: tender.class.clone(),
        spot_offset: case.cut.spot.offset,
        firm_by: risk.firm_by,
        not_firm_before_winter: is_capped(tender, risk),
        unseen_in_years: unseen_in_years(case, damage_at),
        first_hit: risk.first_hit,
        frost_at_hand: risk.frost_at_hand,
        first_go: risk.first_go,
        last_call: risk.last_call,
        open: risk.open.clone(),
        least: least(case, risk),
        release,
        futures: risk.basis.futures,
    }
}

/// The first days of the curve, as far as a picture shows them.
fn by_day(risk: &Risk) -> Vec<Chance> {
    let to_thousandth = |chance: &Chance| Chance::of((chance.share() * 1000.0).round() / 1000.0);
    let days = risk.curve.iter().take(CURVE_DAYS);
    days.map(to_thousandth).collect()
}

/// Whether half of the futures have the growth of a cut made today still tender when its days are up.
fn is_capped(tender: &Tender, risk: &Risk) -> bool {
    let at_once = tender
        .growth
        .filter(|growth| growth.starts_after <= DegreeDays::ZERO);
    let days = risk
        .firm_by
        .map(|firm| (firm.middle - risk.basis.today).num_days());
    at_once
        .zip(days)
        .is_some_and(|(growth, days)| days >= i64::from(growth.days_max))
}

/// How many years are on record, if no night of them would have done damage in the spot.
fn unseen_in_years(case: &Case<'_>, damage_at: Celsius) -> Option<usize> {
    let climate = case.climate?;
    (climate.coldest + case.cut.spot.offset > damage_at).then_some(climate.years)
}

/// The least risky day up to the end of the cut's season, where no day of it is within the tolerance.
fn least(case: &Case<'_>, risk: &Risk) -> Option<Least> {
    let Season::Between(from, to) = chosen::season(case) else {
        return None;
    };
    let until = window(case, from, to)?.season.to;
    if risk.best_day(until).is_some() {
        return None;
    }
    risk.least(until)
        .map(|(day, chance)| Least { day, chance, until })
}

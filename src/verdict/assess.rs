//! The stages in a row: from the weather of a garden to a verdict on each of its cuts.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};

use super::{Verdict, fold};
use crate::climate::Climate;
use crate::forecast::{Forecast, ForecastDay, Freshness, local_days};
use crate::garden::{Deed, Garden, PlannedCut};
use crate::outlook::{Inputs, Outlook, Skill};
use crate::risk::{Release, Risk, Risks, Sensitivity, sensitivity};
use crate::rules::{Case, Finding, findings};

/// A look further back than this is forgotten: the weather has moved on.
const LOOK_KEPT_FOR: TimeDelta = TimeDelta::days(4);

/// What is known of a garden beside its settings: its weather, and what was done in it.
#[derive(Debug, Clone, Copy)]
pub struct Sky<'a> {
    /// What the place usually does; none when there is no usable record.
    pub climate: Option<&'a Climate>,
    /// The newest forecast; none when there is none.
    pub forecast: Option<&'a Forecast>,
    /// How far the forecast can be trusted.
    pub skill: &'a Skill,
    /// How old a forecast may be and still release a cut.
    pub fresh_for: TimeDelta,
    /// What the keeper did in the garden, in the order of the days.
    pub deeds: &'a [Deed],
}

/// The days of a garden about today, and what is seen of them.
struct Day<'a> {
    now: DateTime<Utc>,
    outlook: &'a Outlook,
    days: BTreeMap<NaiveDate, ForecastDay>,
}

/// The verdict on each cut of a garden at a moment, in the garden's order.
///
/// `before` are the verdicts of the look before, if there was one: a release needs two looks that agree, and one that
/// stands outlives a wobble.
pub fn assess(
    garden: &Garden,
    sky: &Sky<'_>,
    before: &[Verdict],
    now: DateTime<Utc>,
) -> Vec<Verdict> {
    let outlook = outlook(garden, sky, now);
    let mut risks = Risks::of(&outlook);
    let day = Day {
        now,
        outlook: &outlook,
        days: days(garden, sky, now),
    };
    let judged = garden.cuts.iter().map(|cut| {
        let tender = cut.cut.tender.as_ref();
        let risk = tender.map(|tender| risks.risk(tender, &cut.spot, cut.tolerance));
        let before = release_before(before, cut, now);
        judge(garden, cut, sky, &day, (risk.as_ref(), before))
    });
    judged.collect()
}

/// How the dates of one cut move when a parameter moves by its uncertainty; nothing when frost is no matter to it.
pub fn moved_dates(
    garden: &Garden,
    cut: &PlannedCut,
    sky: &Sky<'_>,
    now: DateTime<Utc>,
) -> Vec<Sensitivity> {
    let Some(tender) = &cut.cut.tender else {
        return Vec::new();
    };
    sensitivity(&outlook(garden, sky, now), tender, &cut.spot, cut.tolerance)
}

fn outlook(garden: &Garden, sky: &Sky<'_>, now: DateTime<Utc>) -> Outlook {
    Outlook::of(&Inputs {
        now,
        place: &garden.place,
        climate: sky.climate,
        forecast: sky.forecast,
        skill: sky.skill,
        fresh_for: sky.fresh_for,
    })
}

/// The local days of a forecast that may still be used.
fn days(garden: &Garden, sky: &Sky<'_>, now: DateTime<Utc>) -> BTreeMap<NaiveDate, ForecastDay> {
    let usable = sky
        .forecast
        .filter(|forecast| forecast.freshness(now, sky.fresh_for) != Freshness::Expired);
    usable.map_or_else(BTreeMap::new, |forecast| {
        local_days(forecast, &garden.place.zone)
    })
}

fn judge(
    garden: &Garden,
    cut: &PlannedCut,
    sky: &Sky<'_>,
    day: &Day<'_>,
    (risk, before): (Option<&Risk>, Option<Release>),
) -> Verdict {
    let (now, outlook) = (day.now, day.outlook);
    let today = outlook.basis.today;
    let deeds: Vec<Deed> = sky
        .deeds
        .iter()
        .filter(|deed| deed.planting == cut.planting)
        .cloned()
        .collect();
    let case = Case {
        cut,
        at: now,
        today,
        hemisphere: garden.place.hemisphere(),
        climate: sky.climate,
        risk,
        before,
        choices: &garden.choices,
        planting: &cut.facts,
        days: &day.days,
        deeds: &deeds,
    };
    let findings = findings(&case);
    let folded = fold(&findings, &outlook.basis.missing, today);
    Verdict {
        garden: garden.name.clone(),
        cut: cut.name.clone(),
        planting: cut.planting.clone(),
        cut_kind: cut.cut_kind(),
        at: now,
        today,
        state: folded.state,
        opens: folded.opens,
        closes: folded.closes,
        wished: cut.wished,
        findings,
        basis: outlook.basis.clone(),
    }
}

/// What the look before left of a cut's damping; a look too long ago counts as none.
fn release_before(before: &[Verdict], cut: &PlannedCut, now: DateTime<Utc>) -> Option<Release> {
    let verdict = before
        .iter()
        .find(|verdict| verdict.cut == cut.name && now - verdict.at <= LOOK_KEPT_FOR)?;
    let frost = verdict.findings.iter().find_map(Finding::frost);
    frost.map(|facts| facts.release)
}

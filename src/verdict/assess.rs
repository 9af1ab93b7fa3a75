//! The stages in a row: from the weather of a garden to a verdict on each of its cuts.

use chrono::{DateTime, TimeDelta, Utc};

use super::{Verdict, fold};
use crate::climate::Climate;
use crate::forecast::Forecast;
use crate::garden::{Garden, PlannedCut};
use crate::outlook::{Inputs, Outlook, Skill};
use crate::risk::Risk;
use crate::rules::{Case, findings};

/// What is known of the weather at a garden.
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
}

/// The verdict on each cut of a garden at a moment, in the garden's order.
pub fn assess(garden: &Garden, sky: &Sky<'_>, now: DateTime<Utc>) -> Vec<Verdict> {
    let outlook = Outlook::of(&Inputs {
        now,
        place: &garden.place,
        climate: sky.climate,
        forecast: sky.forecast,
        skill: sky.skill,
        fresh_for: sky.fresh_for,
    });
    garden
        .cuts
        .iter()
        .map(|cut| judge(garden, cut, sky, &outlook, now))
        .collect()
}

fn judge(
    garden: &Garden,
    cut: &PlannedCut,
    sky: &Sky<'_>,
    outlook: &Outlook,
    now: DateTime<Utc>,
) -> Verdict {
    let today = outlook.basis.today;
    let risk = cut
        .cut
        .tender
        .as_ref()
        .map(|tender| Risk::of(outlook, tender, &cut.spot, cut.tolerance));
    let case = Case {
        cut,
        today,
        hemisphere: garden.place.hemisphere(),
        climate: sky.climate,
        risk: risk.as_ref(),
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

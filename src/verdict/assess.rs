//! The stages in a row: from the weather of a garden to a verdict on each of its cuts.

use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};

use super::{Footing, Verdict, fold};
use crate::almanac::Kind;
use crate::climate::Climate;
use crate::events::{Ground, Seasons};
use crate::forecast::{Forecast, ForecastDay, Freshness, FrostWarning, local_days, local_warnings};
use crate::foresight::{Asked, Foresight, Shared};
use crate::garden::{Deed, Garden, PlannedCut, Sighting};
use crate::outlook::{Basis, Inputs, MeasuredDays, Outlook, Skill};
use crate::risk::{Risks, Sensitivity, sensitivity};
use crate::rules::{Case, findings};
use crate::work::WorkWeather;

/// What is known of a garden beside its settings: its weather, and what was done in it.
#[derive(Debug, Clone, Copy)]
pub struct Sky<'a> {
    /// What the place usually does; none when there is no usable record.
    pub climate: Option<&'a Climate>,
    /// The days of late that have come.
    pub measured: &'a MeasuredDays,
    /// What the keeper saw of the plantings, the oldest report first.
    pub sightings: &'a [Sighting],
    /// The newest forecast; none when there is none.
    pub forecast: Option<&'a Forecast>,
    /// The official warnings that are known, whichever source they are from and however old its forecast is.
    pub warnings: &'a [FrostWarning],
    /// How far the forecast can be trusted.
    pub skill: &'a Skill,
    /// How old a forecast may be and still release a cut.
    pub fresh_for: TimeDelta,
    /// What the keeper did in the garden, in the order of the days.
    pub deeds: &'a [Deed],
}

/// A garden under a sky at a moment, with what all its cuts share.
#[derive(Debug)]
pub struct Ahead<'a> {
    /// The garden.
    pub garden: &'a Garden,
    /// What is known of it.
    pub sky: Sky<'a>,
    now: DateTime<Utc>,
    foresight: Arc<Foresight>,
    basis: OnceCell<Basis>,
}

impl<'a> Ahead<'a> {
    /// Nothing is worked out yet.
    pub fn of(garden: &'a Garden, sky: Sky<'a>, now: DateTime<Utc>) -> Self {
        Self {
            garden,
            sky,
            now,
            foresight: Arc::default(),
            basis: OnceCell::new(),
        }
    }

    /// With what was foreseen for other gardens under the same sky. The past years have to be those of its climate.
    #[must_use]
    pub fn sharing(self, shared: Option<Shared<'_>>) -> Self {
        let asked = Asked::with(&self.inputs(), self.sky.measured);
        let foresight = shared.map(|shared| shared.foresight(&asked));
        Self {
            foresight: foresight.unwrap_or_default(),
            ..self
        }
    }

    fn inputs(&self) -> Inputs<'a> {
        Inputs {
            now: self.now,
            place: &self.garden.place,
            climate: self.sky.climate,
            forecast: self.sky.forecast,
            skill: self.sky.skill,
            fresh_for: self.sky.fresh_for,
        }
    }

    /// What is foreseen.
    pub fn foresight(&self) -> &Foresight {
        &self.foresight
    }

    /// The futures. What they rest on may be that of another garden: see [`Ahead::basis`].
    pub fn outlook(&self) -> &Outlook {
        self.foresight.outlook(&self.inputs())
    }

    /// What the futures rest on.
    pub fn basis(&self) -> &Basis {
        let of = || self.inputs().basis(&self.outlook().basis);
        self.basis.get_or_init(of)
    }

    /// What the events of the plants are made of.
    pub fn ground(&self) -> Ground<'_> {
        Ground {
            outlook: self.outlook(),
            climate: self.sky.climate,
            measured: self.sky.measured,
            hemisphere: self.garden.place.hemisphere(),
        }
    }

    /// The seasons of all that is planted.
    pub fn seasons(&self) -> &Seasons {
        self.foresight.seasons(&self.ground(), &kinds(self.garden))
    }

    /// The verdict on each cut, in the garden's order.
    ///
    /// `before` is what the look before left, if there was one: a release needs two looks that agree, and one that stands
    /// outlives a wobble.
    pub fn verdicts(&self, before: &[Footing]) -> Vec<Verdict> {
        let (garden, sky, now) = (self.garden, &self.sky, self.now);
        let (outlook, basis, seasons) = (self.outlook(), self.basis(), self.seasons());
        let work = work(garden, sky, now);
        let risks = Risks::of(outlook, self.foresight.sums()).resting_on(basis);
        risks.prepare(garden.cuts.iter().filter_map(PlannedCut::tender));
        let days = days(garden, sky, now);
        let warnings = local_warnings(sky.warnings, &garden.place.zone, now);
        let judged = garden.cuts.iter().map(|cut| {
            let tender = cut.cut.tender.as_ref();
            let risk = tender.map(|tender| risks.risk(tender, &cut.spot, cut.tolerance));
            let look = Footing::of(before, cut, now);
            let case = Case {
                cut,
                at: now,
                today: basis.today,
                hemisphere: garden.place.hemisphere(),
                climate: sky.climate,
                risk: risk.as_ref(),
                events: &seasons.events(&cut.kind, &seen_of(sky, cut)),
                season_before: look.and_then(|look| look.season.zip(Some(look.today))),
                before: look.and_then(|look| look.release),
                choices: &garden.choices,
                planting: &cut.facts,
                days: &days,
                measured: sky.measured,
                deeds: &deeds_of(sky, cut),
                work: work.as_ref(),
                warnings: &warnings,
            };
            judge(garden, &case, basis)
        });
        judged.collect()
    }

    /// How the dates of one cut move when a parameter moves by its uncertainty; nothing when frost is no matter to it.
    pub fn moved_dates(&self, cut: &PlannedCut) -> Vec<Sensitivity> {
        let tender = cut.cut.tender.as_ref();
        tender.map_or_else(Vec::new, |tender| {
            sensitivity(self.outlook(), tender, &cut.spot, cut.tolerance)
        })
    }
}

/// The verdict on each cut of a garden at a moment, in the garden's order: [`Ahead::verdicts`] by itself.
pub fn assess(
    garden: &Garden,
    sky: &Sky<'_>,
    before: &[Footing],
    now: DateTime<Utc>,
) -> Vec<Verdict> {
    Ahead::of(garden, *sky, now).verdicts(before)
}

/// What was seen of a cut's planting.
fn seen_of(sky: &Sky<'_>, cut: &PlannedCut) -> Vec<Sighting> {
    let seen = sky.sightings.iter();
    let seen = seen.filter(|seen| seen.planting == cut.planting);
    seen.cloned().collect()
}

/// What was done to a cut's planting.
fn deeds_of(sky: &Sky<'_>, cut: &PlannedCut) -> Vec<Deed> {
    let deeds = sky.deeds.iter();
    let deeds = deeds.filter(|deed| deed.planting == cut.planting);
    deeds.cloned().collect()
}

/// The kinds that are planted, each once.
fn kinds(garden: &Garden) -> Vec<&Kind> {
    let mut kinds: Vec<&Kind> = garden.cuts.iter().map(|cut| &*cut.kind).collect();
    kinds.sort_by(|a, b| a.id.cmp(&b.id));
    kinds.dedup_by(|a, b| a.id == b.id);
    kinds
}

/// The weather to work in, as long as the forecast is not too old to be used at all.
fn work(garden: &Garden, sky: &Sky<'_>, now: DateTime<Utc>) -> Option<WorkWeather> {
    let conditions = usable(sky, now)?.conditions.as_ref()?;
    Some(WorkWeather::of(conditions, &garden.place, now))
}

/// The local days of the forecast, as long as it is not too old to be used at all.
fn days(garden: &Garden, sky: &Sky<'_>, now: DateTime<Utc>) -> BTreeMap<NaiveDate, ForecastDay> {
    usable(sky, now).map_or_else(BTreeMap::new, |forecast| {
        local_days(forecast, &garden.place.zone)
    })
}

fn usable<'a>(sky: &Sky<'a>, now: DateTime<Utc>) -> Option<&'a Forecast> {
    let is_usable =
        |forecast: &&Forecast| forecast.freshness(now, sky.fresh_for) != Freshness::Expired;
    sky.forecast.filter(is_usable)
}

fn judge(garden: &Garden, case: &Case<'_>, basis: &Basis) -> Verdict {
    let (cut, today) = (case.cut, case.today);
    let findings = findings(case);
    let folded = fold(&findings, &basis.missing, today);
    Verdict {
        garden: garden.name.clone(),
        cut: cut.name.clone(),
        planting: cut.planting.clone(),
        cut_kind: cut.cut_kind(),
        at: case.at,
        today,
        state: folded.state,
        opens: folded.opens,
        closes: folded.closes,
        wished: cut.wished,
        findings,
        basis: basis.clone(),
    }
}

//! The seasons of a place, worked out once for all its plantings.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use chrono::NaiveDate;

use super::cold::{self, Found};
use super::heat::{HeatPass, is_counted, sums_above, usual_sums};
use super::months::{HeatReached, Months, is_spring, usual_heat};
use super::season::{Season, Usual, day_of};
use super::tally::Spread;
use super::{Counted, EventBasis, Events, Predicted};
use crate::almanac::{Event, HeatSum, Kind};
use crate::climate::{Calendar, Climate};
use crate::garden::Hemisphere;
use crate::outlook::{MeasuredDays, Outlook};
use crate::science::degree_days::GROWTH_BASE;
use crate::units::Celsius;

/// The seasons that the weather tells of, by their year less that of the season at hand: the last, this, the next.
const NEAR: [i32; 3] = [-1, 0, 1];

/// All that the events of a place are made of.
#[derive(Debug, Clone, Copy)]
pub struct Ground<'a> {
    /// The futures.
    pub outlook: &'a Outlook,
    /// What the place usually does.
    pub climate: Option<&'a Climate>,
    /// The days of late.
    pub measured: &'a MeasuredDays,
    /// Which half of the year is summer.
    pub hemisphere: Hemisphere,
}

/// The seasons of a place with the days of all events that the plantings share. What is worked out for the kinds of one
/// garden is there for those of the next.
#[derive(Debug)]
pub struct Seasons {
    pub(super) today: NaiveDate,
    pub(super) months: Months,
    /// The year of the season at hand.
    pub(super) this_year: i32,
    /// None without a climate.
    weather: Option<Weather>,
    /// The kinds that were prepared for, each with its events where nobody saw any, once they were asked for.
    met: Mutex<Vec<MetKind>>,
}

/// A kind with its events where nobody saw any.
#[derive(Debug)]
struct MetKind {
    kind: Kind,
    events: Option<Arc<Events>>,
}

/// What the weather says of the seasons.
#[derive(Debug)]
struct Weather {
    zone: f64,
    /// What past years did on the days of the season at hand.
    usual: Usual,
    /// By season, as in [`NEAR`] with the usual one after them.
    counted: Vec<Counted>,
    passes: Mutex<Vec<HeatPass>>,
    /// The usual heat by each day of a season above [`GROWTH_BASE`].
    usual_heat: Vec<f64>,
    /// Event, season, days.
    place: Vec<(Event, usize, Found)>,
}

/// The events of the place itself.
const OF_PLACE: [Event; 4] = [
    Event::LastFreeze,
    Event::FirstFreeze,
    Event::HardFrost,
    Event::WarmSpell,
];

impl Seasons {
    /// The seasons of a place at which some kinds are planted.
    pub fn of(ground: &Ground<'_>, kinds: &[&Kind]) -> Self {
        let today = ground.outlook.basis.today;
        let months = Months {
            calendar: ground
                .climate
                .map(|climate| Calendar::of(climate, ground.hemisphere)),
            hemisphere: ground.hemisphere,
        };
        let this_year = months.year_of(today);
        let weather = ground
            .climate
            .filter(|_| !ground.outlook.futures.is_empty())
            .map(|climate| Weather::of(ground, climate, (&months, this_year)));
        let seasons = Self {
            today,
            months,
            this_year,
            weather,
            met: Mutex::default(),
        };
        seasons.prepare(ground, kinds);
        seasons
    }

    /// Works out what more kinds need, of the ground that the seasons were made of.
    pub fn prepare(&self, ground: &Ground<'_>, kinds: &[&Kind]) {
        let mut met = self.met();
        let is_new = |kind: &&&Kind| met.iter().all(|met| met.kind != ***kind);
        let new: Vec<&Kind> = kinds.iter().filter(is_new).copied().collect();
        if new.is_empty() {
            return;
        }
        if let Some(weather) = &self.weather {
            weather.prepare(ground, (&self.months, self.this_year), &new);
        }
        let of = |kind: &&Kind| MetKind {
            kind: (*kind).clone(),
            events: None,
        };
        met.extend(new.iter().map(of));
    }

    /// The events of a kind that was prepared for where nobody saw any, worked out once; another's by themselves.
    pub(super) fn unseen(&self, kind: &Kind, work_out: impl FnOnce() -> Events) -> Arc<Events> {
        let mut met = self.met();
        match met.iter_mut().find(|met| met.kind == *kind) {
            Some(met) => Arc::clone(met.events.get_or_insert_with(|| Arc::new(work_out()))),
            None => Arc::new(work_out()),
        }
    }

    fn met(&self) -> MutexGuard<'_, Vec<MetKind>> {
        self.met.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The year of the season at hand.
    pub fn year(&self) -> i32 {
        self.this_year
    }

    /// The day on which a published sum is reached in a season; none where it is not counted or not reached.
    pub(super) fn sum_reached(&self, kind: &Kind, sum: &HeatSum, year: i32) -> Option<Predicted> {
        let weather = self.weather.as_ref()?;
        if !is_counted(kind.zones, weather.zone, weather.usual.swing) {
            return None;
        }
        let at = self.near(year)?;
        let days = weather.day(sum.base, sum.sum.sum(), at)?;
        let basis = EventBasis::HeatSum {
            sum: sum.sum,
            base: sum.base,
            counted: weather.counted.get(at).copied()?,
            source: sum.source.clone(),
        };
        Some(self.predicted(days, year, basis))
    }

    /// The usual heat by a date of a season, and the day on which that season gathers it.
    pub(super) fn heat_reached(&self, date: NaiveDate, year: i32) -> Option<HeatReached> {
        let weather = self.weather.as_ref()?;
        let at = self.near(year)?;
        let heat = usual_heat(&weather.usual_heat, self.months.day(date, year)?)?;
        Some(HeatReached {
            heat,
            days: weather.day(GROWTH_BASE, heat, at)?,
            counted: weather.counted.get(at).copied()?,
        })
    }

    /// The date of an event of the place in a season.
    pub(super) fn of_place(&self, event: Event, year: i32) -> Option<Predicted> {
        let weather = self.weather.as_ref()?;
        let found = |season: usize| {
            let of = |(one, at, _): &&(Event, usize, Found)| *one == event && *at == season;
            let found = weather.place.iter().find(of)?.2;
            let counted = weather.counted.get(season).copied()?;
            (found != Found::Unknown).then_some((found, counted))
        };
        let near = self.near(year).and_then(found);
        let (found, counted) = near.or_else(|| found(NEAR.len()))?;
        match found {
            Found::On(days) => Some(self.predicted(days, year, EventBasis::Days { counted })),
            Found::Never(day) => {
                let date = day_of(self.months.start(year), day);
                Some(Predicted::on(date, EventBasis::NoFreeze))
            }
            Found::Unknown => None,
        }
    }

    fn predicted(&self, days: Spread, year: i32, basis: EventBasis) -> Predicted {
        let start = self.months.start(year);
        Predicted {
            early: day_of(start, days.early),
            middle: day_of(start, days.middle),
            late: day_of(start, days.late),
            basis,
        }
    }

    /// The position of a season in [`NEAR`].
    fn near(&self, year: i32) -> Option<usize> {
        NEAR.iter().position(|near| *near == year - self.this_year)
    }
}

impl Weather {
    fn of(ground: &Ground<'_>, climate: &Climate, (months, this_year): (&Months, i32)) -> Self {
        let usual = Usual::of(climate, months.start(this_year));
        let seasons = seasons(ground, (months, this_year), &usual);
        let of_past_years = Season::of_past_years(&usual);
        let all = || seasons.iter().chain([&of_past_years]).enumerate();
        let place = OF_PLACE
            .into_iter()
            .flat_map(|event| all().map(move |(at, season)| (event, at, cold::find(season, event))))
            .collect();
        let counted = all().map(|(_, season)| season.counted).collect();
        Self {
            zone: climate.hardiness_zone(),
            counted,
            passes: Mutex::default(),
            usual_heat: usual_sums(&usual, GROWTH_BASE),
            place,
            usual,
        }
    }

    /// Counts the sums of kinds that are not counted yet, those of one base in one pass.
    fn prepare(&self, ground: &Ground<'_>, at: (&Months, i32), kinds: &[&Kind]) {
        let by_months = by_months(&self.usual_heat, at, kinds);
        let mut passes = self.passes();
        let wanted = |base: Celsius| -> Vec<f64> {
            let own = sums_above(base, kinds);
            let general = by_months.iter().copied().filter(|_| base == GROWTH_BASE);
            let is_known = |sum: &f64| passes.iter().any(|pass| pass.has(base, *sum));
            own.chain(general).filter(|sum| !is_known(sum)).collect()
        };
        let wanted: Vec<(Celsius, Vec<f64>)> = bases(kinds)
            .into_iter()
            .map(|base| (base, wanted(base)))
            .filter(|(_, sums)| !sums.is_empty())
            .collect();
        if wanted.is_empty() {
            return;
        }
        let seasons = seasons(ground, at, &self.usual);
        let near: Vec<&Season<'_>> = seasons.iter().collect();
        let wanted = wanted.into_iter();
        passes.extend(wanted.map(|(base, sums)| HeatPass::of(base, sums, &near)));
    }

    fn day(&self, base: Celsius, sum: f64, season: usize) -> Option<Spread> {
        let passes = self.passes();
        let pass = passes.iter().find(|pass| pass.has(base, sum))?;
        pass.day(sum, season)
    }

    fn passes(&self) -> MutexGuard<'_, Vec<HeatPass>> {
        self.passes.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The seasons that the weather tells of.
fn seasons<'a>(
    ground: &Ground<'a>,
    (months, this_year): (&Months, i32),
    usual: &Usual,
) -> [Season<'a>; NEAR.len()] {
    NEAR.map(|near| {
        let start = |near: i32| months.start(this_year + near);
        let days = (start(near), start(near + 1));
        Season::of(days, ground.outlook, ground.measured, usual)
    })
}

/// The bases above which heat is counted, each once: those of the kinds' sums and the general one.
fn bases(kinds: &[&Kind]) -> Vec<Celsius> {
    let mut bases = vec![GROWTH_BASE];
    for sum in kinds.iter().flat_map(|kind| &kind.heat) {
        if !bases.contains(&sum.base) {
            bases.push(sum.base);
        }
    }
    bases
}

/// The usual heat by the zone months' date of every spring event of the kinds.
fn by_months(usual_sums: &[f64], (months, this_year): (&Months, i32), kinds: &[&Kind]) -> Vec<f64> {
    let mut heats = Vec::new();
    for kind in kinds {
        for event in Event::ALL
            .into_iter()
            .filter(|event| is_spring(kind, *event))
        {
            let of_year = |near: &i32| {
                let year = this_year + near;
                let date = months.date(kind, event, year)?;
                usual_heat(usual_sums, months.day(date, year)?)
            };
            heats.extend(NEAR.iter().filter_map(of_year));
        }
    }
    heats
}

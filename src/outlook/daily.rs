//! From the days that a forecast gives and the past years of the place to the set of futures.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::blend::{Guide, unbiased};
use super::skill::Skill;
use super::templates::{steady_levels, templates};
use super::{Futures, day_after};
use crate::climate::{Climate, Normals, Season};
use crate::forecast::{Extremes, ForecastDay};
use crate::units::{Celsius, CelsiusStep, count};

/// The spread of night minima about their normal where no record tells it; 2 to 4.5 K over a dozen stations in
/// spring and autumn (own evaluation; estimate).
const SPREAD_UNKNOWN: f64 = 4.0;

/// What is known of the coming days, local day by local day.
#[derive(Debug, Clone, PartialEq)]
pub struct Daily {
    /// The local date.
    pub today: NaiveDate,
    /// Today's extremes as they were measured, without the forecast's bias; none when they are not known.
    pub measured: Option<Extremes>,
    /// The days that the forecast gives.
    pub days: BTreeMap<NaiveDate, ForecastDay>,
    /// Whole days since the forecast was made: each lead is so much longer.
    pub age_days: usize,
    /// Added to every temperature of the forecast, for the height of the place.
    pub lift: CelsiusStep,
}

/// Futures with the number of days that the forecast informs.
pub(super) struct Built {
    pub(super) futures: Futures,
    pub(super) forecast_days: usize,
}

/// One of the two extremes of a day.
type Pick = fn(&Extremes) -> Celsius;

impl Daily {
    /// No forecast at all.
    pub fn none(today: NaiveDate) -> Self {
        Self {
            today,
            measured: None,
            days: BTreeMap::new(),
            age_days: 0,
            lift: CelsiusStep::default(),
        }
    }

    /// How many members the forecast has; one for a single run, zero for none.
    pub fn members(&self) -> usize {
        self.days
            .values()
            .map(|day| day.members.len().max(usize::from(day.run.is_some())))
            .max()
            .unwrap_or(0)
    }

    /// Whether the forecast has the coming night.
    pub fn has_coming_night(&self) -> bool {
        self.days
            .get(&day_after(self.today, 1))
            .is_some_and(ForecastDay::is_known)
    }

    /// The lead of a day, its data's age included.
    fn lead(&self, index: usize) -> usize {
        (index + self.age_days).max(1)
    }

    /// The temperatures that each member gives for a day: of an ensemble its members, else the single run.
    fn temperatures(&self, index: usize, pick: Pick) -> Vec<Option<Celsius>> {
        let Some(day) = self.days.get(&day_after(self.today, index)) else {
            return Vec::new();
        };
        let fitted = |extremes: &Option<Extremes>| extremes.as_ref().map(|e| pick(e) + self.lift);
        if day.members.iter().flatten().count() > 1 {
            day.members.iter().map(fitted).collect()
        } else {
            vec![fitted(&day.run)]
        }
    }

    /// The same for a night, without its bias.
    fn nights(&self, index: usize, normals: &Normals, skill: &Skill) -> Vec<Option<Celsius>> {
        let given = self.temperatures(index, |(min, _)| *min);
        let (lead, members) = (self.lead(index), given.len());
        given
            .into_iter()
            .map(|t| t.map(|t| unbiased(t, normals, skill, lead, members)))
            .collect()
    }

    /// The minima of the coming nights as the forecast has them, bias taken off, up to the first gap.
    pub(super) fn coming_nights(&self, climate: Option<&Climate>, skill: &Skill) -> Vec<Celsius> {
        let night = |index: usize| {
            let given = match climate {
                Some(climate) => self.nights(
                    index,
                    &climate.min.normals(day_after(self.today, index)),
                    skill,
                ),
                None => self.temperatures(index, |(min, _)| *min),
            };
            mean_of(&given)
        };
        (1..).map_while(night).collect()
    }

    /// Today's value of one extreme: as measured, else as the forecast's first day has it.
    fn today_of(&self, pick: Pick, forecast: &[Option<Celsius>]) -> Option<Celsius> {
        self.measured
            .as_ref()
            .map(pick)
            .or_else(|| mean_of(forecast))
    }

    /// One future for each past year, shift and member, over so many days.
    pub(super) fn with_past_years(
        &self,
        climate: &Climate,
        skill: &Skill,
        horizon: usize,
    ) -> Built {
        let normals = |season: &Season| -> Vec<Normals> {
            (0..horizon)
                .map(|index| season.normals(day_after(self.today, index)))
                .collect()
        };
        let (min_normals, max_normals) = (normals(&climate.min), normals(&climate.max));
        let reach = min_normals.iter().take(skill.leads() + 1).enumerate();
        let nights: Vec<_> = reach
            .clone()
            .map(|(index, normals)| self.nights(index, normals, skill))
            .collect();
        let noons: Vec<_> = reach
            .map(|(index, _)| self.temperatures(index, |(_, max)| *max))
            .collect();
        let guide = |pick: Pick, days: &[Vec<Option<Celsius>>], normals: &[Normals]| {
            let today = self.today_of(pick, days.first().map_or(&[], Vec::as_slice));
            Guide::of(today, days, normals, skill, self.lead(1))
        };
        let by_night = guide(|(min, _)| *min, &nights, &min_normals);
        let by_noon = guide(|(_, max)| *max, &noons, &max_normals);
        let templates = templates(climate.years, self.members());
        let mut futures = Futures::with_room(templates.len(), horizon);
        let (mut past, mut min, mut max) = (Vec::new(), Vec::new(), Vec::new());
        for template in &templates {
            let mut future = |guide: &Guide, season: &Season, run: &mut Vec<Celsius>| {
                let from = (template.year, template.shift);
                season.past_days(from, self.today, horizon, &mut past);
                guide.future(&past, template.member, run);
            };
            future(&by_night, &climate.min, &mut min);
            future(&by_noon, &climate.max, &mut max);
            futures.push(&min, &max);
        }
        Built {
            futures,
            forecast_days: by_night.days(),
        }
    }

    /// Where there are no past years: steady distances from the forecast, as far as it reaches without a gap.
    pub(super) fn alone(&self, skill: &Skill) -> Built {
        let day = |index: usize| {
            let night = mean_of(&self.temperatures(index, |(min, _)| *min))? - skill.bias.all;
            let noon = mean_of(&self.temperatures(index, |(_, max)| *max))?;
            let open = skill.at(self.lead(index), self.members())?.open_share();
            Some((
                night.degrees(),
                noon.degrees(),
                SPREAD_UNKNOWN * open.sqrt(),
            ))
        };
        // The day that is running may have lost its first hours; the nights to come start tomorrow.
        let days: Vec<_> = (1..).map_while(day).collect();
        let first = day(0).or_else(|| days.first().copied());
        let future = |level: f64| {
            let of = |pick: fn(&(f64, f64, f64)) -> f64| -> Vec<Celsius> {
                first
                    .iter()
                    .chain(&days)
                    .map(|day| Celsius::new(pick(day) + level * day.2))
                    .collect()
            };
            (of(|day| day.0), of(|day| day.1))
        };
        let futures = if days.is_empty() {
            Futures::default()
        } else {
            steady_levels().into_iter().map(future).collect()
        };
        Built {
            futures,
            forecast_days: days.len(),
        }
    }
}

/// The mean of the values that are there.
fn mean_of(values: &[Option<Celsius>]) -> Option<Celsius> {
    let known: Vec<f64> = values.iter().flatten().map(|t| t.degrees()).collect();
    (!known.is_empty()).then(|| Celsius::new(known.iter().sum::<f64>() / count(known.len())))
}

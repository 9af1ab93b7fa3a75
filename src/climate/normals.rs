//! Seasonal normals and spreads of a record, and its past years as standardised anomalies.

use chrono::{Datelike, NaiveDate};

use super::fill;
use super::harmonics::{Curve, Point, Trend};
use super::record::{DailyRecord, DayExtremes};
use super::site::Site;
use super::years::{DAYS, Dated, coldest_nights, day_of_year, usable_years, years_of};
use crate::units::{Celsius, CelsiusStep, count};

/// Years below which a record is as good as none (estimate: with fewer, single winters decide).
pub const YEARS_MIN: usize = 5;

/// From how many years on a trend is fitted, and then kept whole.
///
/// Over nine open records none, a half, a share by its t value and the whole of the trend were tried: the whole
/// verified best in spring (Brier score 0.1484 against 0.1488 for the share), for autumn windows of 14 and of 42 nights
/// (0.1256 against 0.1261), and it took the mean error of the chance on contested days from +0.011 to +0.001 in autumn.
/// With fewer than 20 years a trend is noise (own back-test).
const TREND_YEARS: usize = 20;

/// A trend is carried on for so many years after the record's end and no further (estimate).
const TREND_AHEAD_YEARS: f64 = 10.0;

/// No season is steadier than this, in kelvin.
const SPREAD_MIN: f64 = 0.3;

/// Bounds of a day-to-day correlation that is believed.
const PERSISTENCE: (f64, f64) = (0.3, 0.9);

/// What a place usually does, from its record.
#[derive(Debug, Clone, PartialEq)]
pub struct Climate {
    /// The record in words.
    pub origin: String,
    /// Where it was measured, where that is known.
    pub site: Option<Site>,
    /// How many past years it holds.
    pub years: usize,
    /// First and last day of the years used.
    pub span: (NaiveDate, NaiveDate),
    /// The lowest temperature of the day.
    pub min: Season,
    /// The highest temperature of the day.
    pub max: Season,
    /// Mean of the coldest nights of the cold seasons.
    pub yearly_minimum: Celsius,
    /// The coldest night of the years used.
    pub coldest: Celsius,
    /// The record from the first to the last of the years used.
    pub record: DailyRecord,
}

/// Normals of one quantity, and its past years.
#[derive(Debug, Clone, PartialEq)]
pub struct Season {
    mean: Curve,
    spread: Curve,
    scale: f64,
    trend_until: f64,
    persistence: [f64; 12],
    first_day: usize,
    anomalies: Vec<f64>,
}

/// Normal and spread of one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Normals {
    /// The seasonal normal in °C.
    pub mean: f64,
    /// The spread about it in kelvin, as a standard deviation.
    pub spread: f64,
    /// Correlation of the anomaly with that of the day before.
    pub persistence: f64,
}

impl Climate {
    /// The climate of a record; none when it has fewer than [`YEARS_MIN`] usable years.
    ///
    /// Years are counted back from the record's last day. A year with too many gaps is left out; smaller gaps are
    /// filled so that every year left is whole.
    pub fn of(record: &DailyRecord) -> Option<Self> {
        let years = usable_years(record);
        if years.len() < YEARS_MIN {
            return None;
        }
        let min = Season::of(&years, |day| day.min)?;
        let max = Season::of(&years, |day| day.max)?;
        let first = years.first()?.first()?.0;
        let last = years.last()?.last()?.0;
        let record = record.between(first, last)?;
        Some(Self {
            origin: record.origin.clone(),
            site: record.site,
            years: years.len(),
            span: (first, last),
            min,
            max,
            yearly_minimum: coldest_nights(&years)?,
            coldest: record
                .days()
                .filter_map(|(_, day)| day.min)
                .reduce(Celsius::min)?,
            record,
        })
    }

    /// The record and its years in words.
    pub fn title(&self) -> String {
        format!("{}, {} years to {}", self.origin, self.years, self.span.1)
    }

    /// The record with every day's minimum moved by the trend to the record's last year: past years as they would be now.
    pub fn record_of_now(&self) -> Option<DailyRecord> {
        let slope = self.min.mean.slope();
        let last = years_of(self.span.1);
        let moved = |date: NaiveDate, night: Celsius| {
            night + CelsiusStep::new(slope * (last - years_of(date)))
        };
        let days = self.record.days().map(|(date, day)| DayExtremes {
            min: day.min.map(|night| moved(date, night)),
            max: day.max,
        });
        DailyRecord::from_run(self.origin.clone(), self.record.first(), days.collect()).ok()
    }

    /// By how many kelvin a decade the nights have changed; none when too few years show it.
    pub fn trend_per_decade(&self) -> Option<CelsiusStep> {
        (self.years >= TREND_YEARS).then(|| CelsiusStep::new(10.0 * self.min.mean.slope()))
    }

    /// The hardiness zone as a number: 7.0 begins at a mean yearly minimum of 0 °F, each further zone 10 °F warmer.
    ///
    /// Source: USDA Plant Hardiness Zone Map, 2012, legend (zone 7: 0 to 10 °F).
    pub fn hardiness_zone(&self) -> f64 {
        7.0 + self.yearly_minimum.fahrenheit() / 10.0
    }
}

impl Season {
    fn of(years: &[Vec<Dated>], value: fn(&DayExtremes) -> Option<Celsius>) -> Option<Self> {
        let points: Vec<Point> = years
            .iter()
            .flatten()
            .filter_map(|(date, day)| {
                value(day).map(|t| Point {
                    day: day_of_year(*date),
                    time: years_of(*date),
                    value: t.degrees(),
                })
            })
            .collect();
        let trend = if years.len() >= TREND_YEARS {
            Trend::Fitted
        } else {
            Trend::None
        };
        let mean = Curve::fit(&points, 3, trend)?;
        let residual = |point: &Point| point.value - mean.at(point.day, point.time);
        let sizes: Vec<Point> = points
            .iter()
            .map(|p| Point {
                value: residual(p).abs(),
                ..*p
            })
            .collect();
        let spread = Curve::fit(&sizes, 2, Trend::None)?;
        let rough = |day: usize| spread.at(day, 0.0).max(SPREAD_MIN / 2.0);
        let squares = points
            .iter()
            .map(|p| (residual(p) / rough(p.day)).powi(2))
            .sum::<f64>();
        let scale = (squares / count(points.len())).sqrt();
        let last = years.last()?.last()?.0;
        let mut season = Self {
            mean,
            spread,
            scale,
            trend_until: years_of(last) + TREND_AHEAD_YEARS,
            persistence: [0.0; 12],
            first_day: day_of_year(years.first()?.first()?.0),
            anomalies: Vec::new(),
        };
        let (filled, persistence) = fill::anomalies(years, |(date, day)| {
            value(day).map(|t| season.anomaly(*date, t))
        });
        season.anomalies = filled;
        season.persistence = persistence.map(|phi| phi.clamp(PERSISTENCE.0, PERSISTENCE.1));
        Some(season)
    }

    /// Normal, spread and persistence of a date.
    pub fn normals(&self, date: NaiveDate) -> Normals {
        let month = usize::try_from(date.month0()).unwrap_or(0);
        let day = day_of_year(date);
        Normals {
            mean: self.mean.at(day, years_of(date).min(self.trend_until)),
            spread: (self.spread.at(day, 0.0) * self.scale).max(SPREAD_MIN),
            persistence: self
                .persistence
                .get(month)
                .copied()
                .unwrap_or(PERSISTENCE.0),
        }
    }

    /// Days from a date to the next day with the coldest normal of the year.
    pub fn days_to_coldest(&self, from: NaiveDate) -> usize {
        let normals = from
            .iter_days()
            .take(DAYS)
            .map(|date| self.normals(date).mean)
            .enumerate();
        normals
            .min_by(|(_, a), (_, b)| a.total_cmp(b))
            .map_or(0, |(days, _)| days)
    }

    fn anomaly(&self, date: NaiveDate, value: Celsius) -> f64 {
        let normals = self.normals(date);
        (value.degrees() - normals.mean) / normals.spread
    }

    /// The standardised anomalies of past year `year` (0 is the oldest) from `shift` days after `date`'s calendar
    /// day on, so many days of them into a list that is used again and again; the years follow each other without end,
    /// the oldest after the newest.
    pub fn past_days(
        &self,
        (year, shift): (usize, i64),
        date: NaiveDate,
        days: usize,
        past: &mut Vec<f64>,
    ) {
        past.clear();
        let mut coming = self.from(year, date, shift);
        while past.len() < days && !coming.is_empty() {
            let wanted = coming.len().min(days - past.len());
            past.extend_from_slice(coming.get(..wanted).unwrap_or_default());
            coming = &self.anomalies;
        }
    }

    /// The same without end.
    pub fn past(&self, year: usize, date: NaiveDate, shift: i64) -> impl Iterator<Item = f64> + '_ {
        let first = self.from(year, date, shift);
        let all = self.anomalies.iter().copied();
        first.iter().copied().chain(all.cycle())
    }

    /// The anomalies from there on to the newest.
    fn from(&self, year: usize, date: NaiveDate, shift: i64) -> &[f64] {
        let in_year = (DAYS + day_of_year(date) - self.first_day) % DAYS;
        let all = i64::try_from(self.anomalies.len()).unwrap_or(1).max(1);
        let start = i64::try_from(year * DAYS + in_year).unwrap_or(0) + shift;
        let start = usize::try_from(start.rem_euclid(all)).unwrap_or(0);
        self.anomalies.get(start..).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn past_years_are_moved_to_now_by_the_trend() {
        let first = NaiveDate::from_ymd_opt(1990, 1, 1).unwrap();
        let days = first.iter_days().take(30 * 365 + 7).map(|date| {
            let warming = 0.05 * (years_of(date) - 1990.0);
            let night = Celsius::new(3.0 + warming);
            (
                date,
                DayExtremes {
                    min: Some(night),
                    max: Some(night + CelsiusStep::new(8.0)),
                },
            )
        });
        let climate = Climate::of(&DailyRecord::from_days("warming", days).unwrap()).unwrap();
        assert!((climate.trend_per_decade().unwrap().kelvin() - 0.5).abs() < 1e-6);
        let now = climate.record_of_now().unwrap();
        let nights = now
            .days()
            .filter_map(|(_, day)| day.min)
            .map(Celsius::degrees);
        let (low, high) = nights.fold((f64::MAX, f64::MIN), |(low, high), t| {
            (low.min(t), high.max(t))
        });
        assert!(
            high - low < 0.01 && (high - 4.5).abs() < 0.01,
            "{low} to {high}"
        );
    }
}

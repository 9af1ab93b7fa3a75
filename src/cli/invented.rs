//! Invented weather: for the demo, which must neither ask a service nor pass off a real place's weather.
//!
//! Seasonal waves with day-to-day persistence from a fixed sequence, so that every run shows the same.

mod sky;

use std::f64::consts::TAU;

use chrono::{DateTime, Datelike, Days, NaiveDate, TimeDelta, Timelike, Utc};

use crate::climate::{DailyRecord, DayExtremes, RecordError};
use crate::forecast::{Forecast, Hours};
use crate::garden::Zone;
use crate::units::{Celsius, count};

const ORIGIN: &str = "invented weather";

/// An invented climate.
#[derive(Debug, Clone, Copy)]
pub(super) struct Invented {
    /// Yearly mean of the night minima, °C.
    pub(super) night_mean: f64,
    /// Half the way from the coldest to the warmest nights of the year, K.
    pub(super) half_range: f64,
    /// How much warmer the days are than the nights, K.
    pub(super) day_over_night: f64,
    /// Spread from day to day, K.
    pub(super) spread: f64,
    /// Where the sequence starts.
    pub(super) seed: u64,
}

/// Years of the record.
const YEARS: i32 = 30;
/// Days before today of which the conditions are told.
const DAYS_BACK: u64 = 31;
/// Days that a forecast reaches.
const FORECAST_DAYS: u64 = 14;
/// The coldest time of the year.
const COLDEST_DAY: f64 = 20.0;
/// Correlation of neighbouring days.
const PERSISTENCE: f64 = 0.7;
/// The local hours of the lowest and the highest temperature.
const LOWEST_HOUR: f64 = 5.0;

impl Invented {
    /// Every day from the first of the record to the end of the forecast made on `today`.
    fn days(&self, today: NaiveDate) -> Vec<(NaiveDate, f64, f64)> {
        let first = NaiveDate::from_ymd_opt(today.year() - YEARS - 1, 1, 1).unwrap_or(today);
        let last = today
            .checked_add_days(Days::new(FORECAST_DAYS + 2))
            .unwrap_or(today);
        let mut noise = Noise(self.seed);
        let mut anomaly = 0.0;
        first
            .iter_days()
            .take_while(|date| *date <= last)
            .map(|date| {
                anomaly = PERSISTENCE * anomaly
                    + (1.0 - PERSISTENCE * PERSISTENCE).sqrt() * noise.normal();
                let season = (TAU * (f64::from(date.ordinal()) - COLDEST_DAY) / 365.25).cos();
                // Winters vary more than summers, as they do on the middle latitudes.
                let spread = self.spread * (1.0 + 0.35 * season);
                let night = self.night_mean - self.half_range * season + spread * anomaly;
                (
                    date,
                    night,
                    night + self.day_over_night * (0.8 + 0.2 * noise.normal().abs()),
                )
            })
            .collect()
    }

    /// Thirty years up to the day before.
    pub(super) fn record(&self, today: NaiveDate) -> Result<DailyRecord, RecordError> {
        let past = self
            .days(today)
            .into_iter()
            .filter(|(date, _, _)| *date < today);
        let given = past.map(|(date, min, max)| {
            (
                date,
                DayExtremes {
                    min: Some(Celsius::new(min)),
                    max: Some(Celsius::new(max)),
                },
            )
        });
        DailyRecord::from_days(ORIGIN, given)
    }

    /// A forecast made at `now`, one wave a day through the invented extremes.
    pub(super) fn forecast(&self, now: DateTime<Utc>, zone: &Zone) -> Forecast {
        let today = zone.date(now);
        let days = self.days(today);
        let start = zone.start_of(today);
        let hours = |days| 24 * i64::try_from(days).unwrap_or(0);
        let temperature = (0..hours(FORECAST_DAYS))
            .map(|hour| {
                let local = zone.local(start + TimeDelta::hours(hour));
                let day = days.iter().rfind(|(date, _, _)| *date == local.date())?;
                Some(Celsius::new(sky::temperature(local.hour(), day)))
            })
            .collect();
        let span = (
            start - TimeDelta::hours(hours(DAYS_BACK)),
            hours(DAYS_BACK + FORECAST_DAYS),
        );
        Forecast {
            spans: Vec::new(),
            source: "invented".to_owned(),
            attribution: ORIGIN.to_owned(),
            data_at: now,
            elevation: None,
            run: Hours { start, temperature },
            members: Vec::new(),
            conditions: Some(sky::conditions(&days, span, zone, self.seed)),
        }
    }
}

/// A fixed sequence of numbers that look like chance (linear congruence; constants of Knuth, The Art of Computer
/// Programming 2, 3.3.4, table 1).
struct Noise(u64);

impl Noise {
    fn share(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 32).unwrap_or(0)) / f64::from(u32::MAX)
    }

    /// Nearly normal: the sum of twelve even shares less six.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.share()).sum::<f64>() - count(6)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CLIMATE: Invented = Invented {
        night_mean: 6.0,
        half_range: 11.0,
        day_over_night: 11.0,
        spread: 4.0,
        seed: 7,
    };

    #[test]
    fn the_record_ends_the_day_before_and_looks_like_a_climate() {
        let today = NaiveDate::from_ymd_opt(2027, 3, 22).unwrap();
        let record = CLIMATE.record(today).unwrap();
        assert_eq!(record.last(), today.pred_opt().unwrap());
        let climate = crate::climate::Climate::of(&record).unwrap();
        let january = climate
            .min
            .normals(NaiveDate::from_ymd_opt(2027, 1, 20).unwrap());
        assert!(
            (january.mean + 5.0).abs() < 1.0 && (january.persistence - 0.7).abs() < 0.05,
            "{january:?}"
        );
    }

    #[test]
    fn the_forecast_goes_through_the_same_days() {
        let zone = Zone::named("America/New_York").unwrap();
        let now = "2027-03-22T14:00:00Z".parse().unwrap();
        let days = crate::forecast::local_days(&CLIMATE.forecast(now, &zone), &zone);
        let (_, min, _) = CLIMATE
            .days(zone.date(now))
            .into_iter()
            .find(|(date, _, _)| *date == zone.date(now))
            .unwrap();
        let (lowest, _) = days[&zone.date(now)].run.unwrap();
        assert!((lowest.degrees() - min).abs() < 1e-9);
    }
}

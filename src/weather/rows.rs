//! The hourly series of one reply, laid side by side as conditions.

use chrono::{DateTime, TimeDelta, Utc};

use super::hours::Row;
use crate::forecast::{Condition, Conditions};
use crate::science::humidity::{dew_point, vapour_pressure};
use crate::units::{Celsius, MetresPerSecond, RelativeHumidity};

/// The series of one reply, each on the hours for which it stands; what the reply does not have is none.
#[derive(Default)]
pub(super) struct Rows {
    pub(super) temperature: Option<Row>,
    pub(super) dew_point: Option<Row>,
    /// In percent; in place of a dew point that is not there.
    pub(super) humidity: Option<Row>,
    pub(super) rain: Option<Row>,
    pub(super) wind: Option<Row>,
    pub(super) gust: Option<Row>,
    /// In percent.
    pub(super) cloud: Option<Row>,
    pub(super) radiation: Option<Row>,
    /// One for thunder, zero for none.
    pub(super) thunder: Option<Row>,
}

impl Rows {
    /// The conditions; none when there are temperatures alone.
    pub(super) fn conditions(&self) -> Option<Conditions> {
        self.side_by_side()
            .filter(Conditions::tell_more_than_temperature)
    }

    fn side_by_side(&self) -> Option<Conditions> {
        let all = [
            &self.temperature,
            &self.dew_point,
            &self.humidity,
            &self.rain,
            &self.wind,
            &self.gust,
            &self.cloud,
            &self.radiation,
            &self.thunder,
        ];
        let rows = || all.into_iter().flatten();
        let start = rows().map(|row| row.start).min()?;
        let end = rows().map(Row::end).max()?;
        let instants = std::iter::successors(Some(start), |at| Some(*at + TimeDelta::hours(1)));
        let hours = instants
            .take_while(|at| *at < end)
            .map(|at| self.hour(at))
            .collect();
        Some(Conditions { start, hours })
    }

    fn hour(&self, at: DateTime<Utc>) -> Condition {
        let of = |row: &Option<Row>| row.as_ref().and_then(|row| row.at(at));
        let temperature = of(&self.temperature).map(Celsius::new);
        let dew_point = of(&self.dew_point).map(Celsius::new);
        Condition {
            temperature,
            dew_point: dew_point.or_else(|| dew_point_of(temperature?, of(&self.humidity)?)),
            rain_mm: of(&self.rain),
            wind: of(&self.wind).map(MetresPerSecond),
            gust: of(&self.gust).map(MetresPerSecond),
            cloud: of(&self.cloud).map(|percent| (percent / 100.0).min(1.0)),
            radiation_w_m2: of(&self.radiation).map(|watts| watts.max(0.0)),
            thunder: of(&self.thunder).map(|share| share > 0.5),
        }
    }
}

fn dew_point_of(temperature: Celsius, percent: f64) -> Option<Celsius> {
    let humidity = RelativeHumidity::of_percent(percent.min(100.0))?;
    dew_point(vapour_pressure(temperature, humidity))
}

//! The hourly conditions of a reply: which variables are asked for, and how they are laid side by side.

use chrono::{DateTime, TimeDelta, Utc};

use super::TEMPERATURE;
use super::reply::Reply;
use crate::forecast::{Condition, Conditions};
use crate::science::humidity::{dew_point, vapour_pressure};
use crate::units::{Celsius, MetresPerSecond, RelativeHumidity};
use crate::weather::hours::Row;
use crate::weather::quantity::{
    PERCENT, Quantity, RADIATION, RAIN, TEMPERATURE as DEGREES, WEATHER_CODE, WIND,
};
use crate::weather::question::ReplyError;

const DEW_POINT: &str = "dew_point_2m";
const PRECIPITATION: &str = "precipitation";
const WIND_SPEED: &str = "wind_speed_10m";
const GUSTS: &str = "wind_gusts_10m";
const CLOUD: &str = "cloud_cover";
const SHORTWAVE: &str = "shortwave_radiation";
const CODE: &str = "weather_code";

/// In replies that were recorded elsewhere, in place of the dew point.
const HUMIDITY: &str = "relative_humidity_2m";

/// What is asked for beside the temperature.
pub(super) const ASKED: [&str; 7] = [
    DEW_POINT,
    PRECIPITATION,
    WIND_SPEED,
    GUSTS,
    CLOUD,
    SHORTWAVE,
    CODE,
];

/// The first code of a thunderstorm at the time of the observation.
const THUNDER_FROM: f64 = 95.0;

/// The series of one reply, each with the hours that it has.
struct Rows {
    temperature: Option<Row>,
    dew_point: Option<Row>,
    humidity: Option<Row>,
    rain: Option<Row>,
    wind: Option<Row>,
    gust: Option<Row>,
    cloud: Option<Row>,
    radiation: Option<Row>,
    code: Option<Row>,
}

/// The conditions of a reply; none when it has temperatures alone.
///
/// Rain, gusts and radiation bear the stamp of the end of their hour; they are laid on the hour in which they fell.
pub(super) fn read(
    reply: &Reply,
    times: &[DateTime<Utc>],
) -> Result<Option<Conditions>, ReplyError> {
    let hour_before: Vec<DateTime<Utc>> =
        times.iter().map(|at| *at - TimeDelta::hours(1)).collect();
    let at_once = |name, quantity: &Quantity| reply.hours_if_any(name, times, quantity);
    let before = |name, quantity: &Quantity| reply.hours_if_any(name, &hour_before, quantity);
    let rows = Rows {
        temperature: at_once(TEMPERATURE, &DEGREES)?,
        dew_point: at_once(DEW_POINT, &DEGREES)?,
        humidity: at_once(HUMIDITY, &PERCENT)?,
        rain: before(PRECIPITATION, &RAIN)?,
        wind: at_once(WIND_SPEED, &WIND)?,
        gust: before(GUSTS, &WIND)?,
        cloud: at_once(CLOUD, &PERCENT)?,
        radiation: before(SHORTWAVE, &RADIATION)?,
        code: at_once(CODE, &WEATHER_CODE)?,
    };
    Ok(rows
        .side_by_side()
        .filter(Conditions::tell_more_than_temperature))
}

impl Rows {
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
            &self.code,
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
            thunder: of(&self.code).map(|code| code >= THUNDER_FROM),
        }
    }
}

fn dew_point_of(temperature: Celsius, percent: f64) -> Option<Celsius> {
    let humidity = RelativeHumidity::of_percent(percent.min(100.0))?;
    dew_point(vapour_pressure(temperature, humidity))
}

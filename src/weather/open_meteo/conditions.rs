//! The hourly conditions of a reply: which variables are asked for, and on which hours they stand.

use chrono::{DateTime, TimeDelta, Utc};

use super::TEMPERATURE;
use super::reply::Reply;
use crate::forecast::Conditions;
use crate::weather::hours::Row;
use crate::weather::quantity::{
    PERCENT, Quantity, RADIATION, RAIN, TEMPERATURE as DEGREES, WEATHER_CODE, WIND,
};
use crate::weather::question::ReplyError;
use crate::weather::rows::Rows;

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
        thunder: at_once(CODE, &WEATHER_CODE)?.map(thunder),
    };
    Ok(rows.conditions())
}

fn thunder(codes: Row) -> Row {
    let is_thunder = |code: f64| if code >= THUNDER_FROM { 1.0 } else { 0.0 };
    Row {
        start: codes.start,
        values: codes
            .values
            .into_iter()
            .map(|code| code.map(is_thunder))
            .collect(),
    }
}

//! The forecast of a grid cell: layers of values, each holding over its interval, laid on full UTC hours.
//!
//! The grid begins some hours before its time of issue; those hours are kept, as what the office had for them.

use std::collections::BTreeMap;

use chrono::{DateTime, Utc};
use serde::Deserialize;

use super::interval::Interval;
use crate::units::Metres;
use crate::weather::hours::{Row, SPAN_HOURS_MAX, Series};
use crate::weather::json;
use crate::weather::quantity::{FLAG, PERCENT, Quantity, RAIN, TEMPERATURE, WIND};
use crate::weather::question::ReplyError;
use crate::weather::rows::Rows;
use crate::weather::run::{Run, known, possible_height, possible_instant};

/// The weather that counts as thunder, at whatever chance: ladders and long poles wait for none.
const THUNDER: &str = "thunderstorms";

#[derive(Deserialize)]
struct Body {
    properties: Grid,
}

#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
struct Grid {
    update_time: DateTime<Utc>,
    elevation: Option<Measure>,
    temperature: Option<Layer<f64>>,
    min_temperature: Option<Layer<f64>>,
    dewpoint: Option<Layer<f64>>,
    relative_humidity: Option<Layer<f64>>,
    sky_cover: Option<Layer<f64>>,
    wind_speed: Option<Layer<f64>>,
    wind_gust: Option<Layer<f64>>,
    quantitative_precipitation: Option<Layer<f64>>,
    weather: Option<Layer<Vec<Weather>>>,
}

#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
struct Measure {
    #[serde(default)]
    unit_code: String,
    value: Option<f64>,
}

/// One layer; an empty one has no unit.
#[derive(Deserialize)]
struct Layer<T> {
    uom: Option<String>,
    #[serde(default = "Vec::new")]
    values: Vec<Held<T>>,
}

#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
struct Held<T> {
    valid_time: String,
    value: Option<T>,
}

#[derive(Deserialize)]
struct Weather {
    weather: Option<String>,
}

/// A layer's numbers with their intervals and the bare name of their unit.
struct Numbers<'a> {
    field: String,
    unit: &'a str,
    values: Vec<(Interval, Option<f64>)>,
}

/// Reads the forecast of a cell.
pub(in crate::weather) fn read(bytes: &[u8]) -> Result<Run, ReplyError> {
    let Body { properties: grid } = json::typed(super::body(bytes)?)?;
    let name = "properties.temperature";
    let Some(mut temperature) = held("temperature", grid.temperature.as_ref(), &TEMPERATURE)?
    else {
        return Err(ReplyError::field(name, "has no value"));
    };
    grid.lower_to_minima(&mut temperature)?;
    let made_at = possible_instant(grid.update_time, "properties.updateTime")?;
    let rows = grid.rows();
    Ok(Run {
        conditions: rows.map(|rows| {
            let temperature = Some(temperature.clone());
            Rows {
                temperature,
                ..rows
            }
            .conditions()
        }),
        hours: known(temperature.into_hours(), name)?,
        spans: Vec::new(),
        elevation: grid.elevation()?,
        made_at: Some(made_at),
    })
}

impl Grid {
    fn elevation(&self) -> Result<Option<Metres>, ReplyError> {
        let field = "properties.elevation";
        let Some((measure, value)) = self.elevation.as_ref().and_then(|it| Some((it, it.value?)))
        else {
            return Ok(None);
        };
        match bare(&measure.unit_code) {
            "m" => possible_height(value, field).map(Some),
            other => Err(ReplyError::field(
                field,
                format!("is in the unit '{other}', allowed is m"),
            )),
        }
    }

    /// The listed minimum of a night lies below the coldest of its hours by up to 1.7 K in recorded grids, never above:
    /// the hour in which it falls has it at some moment, so the coldest hour is taken down to it. Only where all hours
    /// of the night are there, else the wrong one would be.
    fn lower_to_minima(&self, temperature: &mut Row) -> Result<(), ReplyError> {
        let Some(layer) = &self.min_temperature else {
            return Ok(());
        };
        let name = "minTemperature";
        let Some(listed) = held(name, Some(layer), &TEMPERATURE)? else {
            return Ok(());
        };
        for (interval, _) in numbers(name, layer)?.values {
            let hours: Option<Vec<(DateTime<Utc>, f64)>> = interval
                .hours()
                .map(|hour| Some((hour, temperature.at(hour)?)))
                .collect();
            let coldest = hours.and_then(|hours| {
                let colder = |a: &(_, f64), b: &(_, f64)| a.1.total_cmp(&b.1);
                hours.into_iter().min_by(colder)
            });
            let minimum = interval.hours().next().and_then(|hour| listed.at(hour));
            if let (Some((hour, _)), Some(minimum)) = (coldest, minimum) {
                temperature.lower(hour, minimum);
            }
        }
        Ok(())
    }

    /// All but the temperature.
    fn rows(&self) -> Result<Rows, ReplyError> {
        let layer =
            |name, layer: &Option<Layer<f64>>, quantity| held(name, layer.as_ref(), quantity);
        Ok(Rows {
            temperature: None,
            dew_point: layer("dewpoint", &self.dewpoint, &TEMPERATURE)?,
            humidity: layer("relativeHumidity", &self.relative_humidity, &PERCENT)?,
            rain: spread(
                "quantitativePrecipitation",
                self.quantitative_precipitation.as_ref(),
                &RAIN,
            )?,
            wind: layer("windSpeed", &self.wind_speed, &WIND)?,
            gust: layer("windGust", &self.wind_gust, &WIND)?,
            cloud: layer("skyCover", &self.sky_cover, &PERCENT)?,
            radiation: None,
            thunder: self.thunder()?,
        })
    }

    fn thunder(&self) -> Result<Option<Row>, ReplyError> {
        let Some(layer) = &self.weather else {
            return Ok(None);
        };
        let is_thunder = |one: &Weather| one.weather.as_deref() == Some(THUNDER);
        let flag = |all: &Vec<Weather>| {
            if all.iter().any(is_thunder) { 1.0 } else { 0.0 }
        };
        let flags = layer.values.iter().map(|held| Held {
            valid_time: held.valid_time.clone(),
            value: held.value.as_ref().map(flag),
        });
        let flags = Layer {
            uom: None,
            values: flags.collect(),
        };
        held("weather", Some(&flags), &FLAG)
    }
}

/// A unit's own name: replies write wmoUnit:degC, wmo:degC, unit:degC or degC.
fn bare(unit: &str) -> &str {
    unit.rsplit(':').next().unwrap_or(unit)
}

fn numbers<'a>(name: &str, layer: &'a Layer<f64>) -> Result<Numbers<'a>, ReplyError> {
    let field = format!("properties.{name}");
    let values = layer.values.iter().map(|held| {
        let interval = Interval::parse(&held.valid_time);
        let interval = interval.map_err(|what| ReplyError::field(&field, what))?;
        Ok((interval, held.value))
    });
    let values: Vec<_> = values.collect::<Result<_, ReplyError>>()?;
    Ok(Numbers {
        unit: bare(layer.uom.as_deref().unwrap_or_default()),
        values,
        field,
    })
}

/// A layer whose values hold in each hour of their intervals; none where it has no value.
fn held(
    name: &str,
    layer: Option<&Layer<f64>>,
    quantity: &Quantity,
) -> Result<Option<Row>, ReplyError> {
    let Some(layer) = layer else { return Ok(None) };
    let numbers = numbers(name, layer)?;
    let mut given = Vec::new();
    for (interval, value) in &numbers.values {
        for hour in interval.hours() {
            given.push((hour, *value));
            numbers.within_limit(given.len())?;
        }
    }
    numbers.row(given, quantity)
}

/// A layer whose values are sums over their intervals, spread evenly; none where it has no value.
fn spread(
    name: &str,
    layer: Option<&Layer<f64>>,
    quantity: &Quantity,
) -> Result<Option<Row>, ReplyError> {
    let Some(layer) = layer else { return Ok(None) };
    let numbers = numbers(name, layer)?;
    let mut by_hour: BTreeMap<DateTime<Utc>, Option<f64>> = BTreeMap::new();
    let mut pieces = 0;
    for (interval, value) in &numbers.values {
        for hour in interval.hours() {
            pieces += 1;
            numbers.within_limit(pieces)?;
            let part = value.map(|sum| sum * interval.share(hour));
            let sum = by_hour.entry(hour).or_default();
            *sum = match (*sum, part) {
                (Some(a), Some(b)) => Some(a + b),
                (a, b) => a.or(b),
            };
        }
    }
    numbers.row(by_hour.into_iter().collect(), quantity)
}

impl Numbers<'_> {
    /// Intervals do not overlap in a good reply, so their hours are no more than the longest span.
    fn within_limit(&self, hours: usize) -> Result<(), ReplyError> {
        if i64::try_from(hours).is_ok_and(|hours| hours <= SPAN_HOURS_MAX) {
            return Ok(());
        }
        let what = format!(
            "has intervals of more than {} days in all",
            SPAN_HOURS_MAX / 24
        );
        Err(ReplyError::field(&self.field, what))
    }

    fn row(
        &self,
        given: Vec<(DateTime<Utc>, Option<f64>)>,
        quantity: &Quantity,
    ) -> Result<Option<Row>, ReplyError> {
        if given.iter().all(|(_, value)| value.is_none()) {
            return Ok(None);
        }
        let (times, values): (Vec<_>, Vec<_>) = given.into_iter().unzip();
        let series = Series {
            field: &self.field,
            unit: self.unit,
            times: &times,
            values: &values,
        };
        series.on_full_hours(quantity).map(Some)
    }
}

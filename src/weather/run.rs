//! A main run as a service sent it, before it is a forecast of a garden.

use std::ops::RangeInclusive;

use chrono::{DateTime, NaiveTime, TimeDelta, Utc};

use super::question::ReplyError;
use crate::forecast::{Conditions, Forecast, Hours, Span};
use crate::garden::Place;
use crate::units::{Celsius, Metres};

/// Days before today's UTC date of which temperatures are kept: east of Greenwich the whole of yesterday's local day,
/// which the forecasts of the days before are held against, began on the second of them.
pub(super) const DAYS_BACK: u32 = 2;

/// Heights of dry land in metres with room on both sides: the shore of the Dead Sea, Mount Everest.
const POSSIBLE_HEIGHT: RangeInclusive<f64> = -500.0..=9000.0;

/// A service as those who look after a garden are told of it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Service {
    /// Its name.
    pub(super) name: &'static str,
    /// The credit that it asks for.
    pub(super) attribution: &'static str,
}

/// A main run and the height for which it is meant.
#[derive(Debug)]
pub(super) struct Run {
    /// The temperatures, at least one of them known.
    pub(super) hours: Hours,
    /// Extremes of longer spans, where there are no hours.
    pub(super) spans: Vec<Span>,
    /// The height to which the service has fitted its temperatures.
    pub(super) elevation: Option<Metres>,
    /// When the data were made; none where the reply does not tell.
    pub(super) made_at: Option<DateTime<Utc>>,
    /// The hourly conditions, none where the reply has temperatures alone.
    pub(super) conditions: Result<Option<Conditions>, ReplyError>,
}

impl Run {
    /// The hourly conditions, none where the reply has temperatures alone.
    pub(super) fn take_conditions(&mut self) -> Result<Option<Conditions>, ReplyError> {
        std::mem::replace(&mut self.conditions, Ok(None))
    }

    /// The forecast of which this is the main run, its temperatures from two days before it was made on.
    pub(super) fn into_forecast(
        self,
        source: String,
        attribution: &str,
        data_at: DateTime<Utc>,
    ) -> Forecast {
        let today = data_at.date_naive().and_time(NaiveTime::MIN).and_utc();
        let from = today - TimeDelta::days(DAYS_BACK.into());
        Forecast {
            source,
            attribution: attribution.to_owned(),
            data_at,
            elevation: self.elevation,
            run: self.hours.between(from, DateTime::<Utc>::MAX_UTC),
            members: Vec::new(),
            conditions: None,
            spans: self.spans,
        }
    }
}

/// Latitude and longitude of the cell that is asked for: to a hundredth of a degree, about a kilometre, so that gardens
/// in one cell put one question. Where the height is not known they are exact, since the service then fits its
/// temperatures to the height that it finds there.
pub(super) fn cell(place: &Place) -> [String; 2] {
    let decimals = if place.elevation.is_some() { 2 } else { 4 };
    [place.latitude(), place.longitude()].map(|degrees| format!("{degrees:.decimals$}"))
}

/// Hours of which at least one is known; `field` is the series' name.
pub(super) fn known(hours: Hours, field: &str) -> Result<Hours, ReplyError> {
    if has_no_value(&hours) {
        let what = format!("has no value in {} hours", hours.temperature.len());
        return Err(ReplyError::field(field, what));
    }
    Ok(hours)
}

/// Whether no hour is known.
pub(super) fn has_no_value(hours: &Hours) -> bool {
    hours.temperature.iter().all(Option::<Celsius>::is_none)
}

/// A height that dry land can have; `field` is its name in the reply.
pub(super) fn possible_height(metres: f64, field: &str) -> Result<Metres, ReplyError> {
    if POSSIBLE_HEIGHT.contains(&metres) {
        return Ok(Metres(metres));
    }
    let what = format!("is {metres} m, outside -500 to 9000 m");
    Err(ReplyError::field(field, what))
}

/// An instant of a reply, within the years of which there is weather: near the ends of the calendar an hour more or less
/// would leave it.
pub(super) fn possible_instant(
    at: DateTime<Utc>,
    field: &str,
) -> Result<DateTime<Utc>, ReplyError> {
    let years = 1900..2200;
    if years.contains(&chrono::Datelike::year(&at)) {
        return Ok(at);
    }
    let what = format!("is {at}, outside the years 1900 to 2199");
    Err(ReplyError::field(field, what))
}

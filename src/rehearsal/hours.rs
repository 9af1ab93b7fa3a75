//! A forecast as a service would have sent it, from the extremes of its days.
//!
//! In: lowest and highest temperature by local date. Out: a [`Forecast`] of hours. Does not draw a true course of a day:
//! the program takes a day's extremes and no more.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, TimeDelta, Timelike, Utc};

use crate::forecast::{Extremes, Forecast, Hours};
use crate::garden::Zone;
use crate::units::Celsius;

/// The first hour that has the day's highest temperature; those before it have the lowest.
const NOON: u32 = 12;

/// The forecast made at a moment; a day that is not known is a gap.
pub(super) fn forecast(
    days: &BTreeMap<NaiveDate, Extremes>,
    zone: &Zone,
    at: DateTime<Utc>,
) -> Option<Forecast> {
    let (first, last) = (*days.first_key_value()?.0, *days.last_key_value()?.0);
    let start = full_hour(zone.start_of(first));
    let end = zone.start_of(last.succ_opt()?);
    let temperature = |at: &DateTime<Utc>| -> Option<Celsius> {
        let local = zone.local(*at);
        let (min, max) = days.get(&local.date())?;
        Some(if local.hour() < NOON { *min } else { *max })
    };
    let hours = std::iter::successors(Some(start), |at| Some(*at + TimeDelta::hours(1)));
    let hours = hours.take_while(|at| *at < end);
    Some(Forecast {
        source: "rehearsed".to_owned(),
        attribution: "made up from what came".to_owned(),
        data_at: at,
        elevation: None,
        run: Hours {
            start,
            temperature: hours.map(|at| temperature(&at)).collect(),
        },
        members: Vec::new(),
        conditions: None,
        spans: Vec::new(),
    })
}

/// The first full hour from an instant on.
fn full_hour(at: DateTime<Utc>) -> DateTime<Utc> {
    let over = at.timestamp().rem_euclid(3600);
    at + TimeDelta::seconds((3600 - over) % 3600)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::forecast::{local_days, past_days};

    #[test]
    fn the_days_come_back_as_they_went_in_whatever_the_clock_does() {
        // A clock half an hour off, and days of 23 and of 25 hours.
        let cases = [
            ("Australia/Adelaide", "1978-03-03"),
            ("America/Toronto", "2002-04-06"),
            ("America/Toronto", "2002-10-26"),
        ];
        for (name, first) in cases {
            let zone = Zone::named(name).unwrap();
            let first: NaiveDate = first.parse().unwrap();
            let days: BTreeMap<_, _> = first
                .iter_days()
                .zip((0_i32..3).map(f64::from))
                .map(|(day, n)| (day, (Celsius::new(n), Celsius::new(n + 10.0))))
                .collect();
            let at = zone.start_of(first.succ_opt().unwrap());
            let forecast = forecast(&days, &zone, at).unwrap();
            let back = local_days(&forecast, &zone);
            let back: BTreeMap<_, _> = back
                .into_iter()
                .map(|(day, found)| (day, found.run.unwrap()))
                .collect();
            assert_eq!(back, days, "{name}");
            assert_eq!(past_days(&forecast, &zone).len(), 1, "{name}");
        }
    }
}

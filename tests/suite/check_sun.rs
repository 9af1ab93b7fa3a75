//! Sunrise, sunset, dawn and dusk against PyEphem, run beside the program at ten places through a year.

use budward::science::sun::{SunDay, civil_day, sun_day};
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use serde_json::Value;

use crate::support::peer_says;

type SunOf = fn(NaiveDate, f64, f64) -> Option<SunDay>;

/// Rise and set are where the centre is so many degrees high, dawn and dusk likewise (US Naval Observatory).
const HEIGHTS: [(SunOf, f64); 2] = [(sun_day, -50.0 / 60.0), (civil_day, -6.0)];

/// Degrees north and east: from 55° south to 78° north, all around the earth.
const PLACES: [(f64, f64); 10] = [
    (51.4779, -0.0015),
    (0.0, 0.0),
    (39.7392, -104.9903),
    (-33.8688, 151.2093),
    (69.6492, 18.9553),
    (78.2232, 15.6267),
    (-0.1807, -78.4678),
    (65.9, 25.0),
    (-54.8019, -68.303),
    (-36.8485, 174.7633),
];

/// Every ninth day of a year everywhere; the edges of polar day and night day by day.
fn cases() -> Vec<(NaiveDate, f64, f64)> {
    let from = |text: &str| text.parse::<NaiveDate>().unwrap();
    let mut cases = Vec::new();
    for (latitude, longitude) in PLACES {
        let dates = from("2025-01-01").iter_days().step_by(9).take(41);
        cases.extend(dates.map(|date| (date, latitude, longitude)));
    }
    let edges = [
        ("2025-10-20", 10, 78.2232, 15.6267),
        ("2025-04-12", 10, 78.2232, 15.6267),
        ("2025-05-10", 12, 69.6492, 18.9553),
        ("2025-07-20", 12, 69.6492, 18.9553),
        ("2025-11-20", 12, 69.6492, 18.9553),
        // A date with two sunrises and one with two sunsets.
        ("2025-05-08", 1, 71.8, 0.0),
        ("2025-07-28", 1, 70.2, 0.0),
    ];
    for (start, days, latitude, longitude) in edges {
        let dates = from(start).iter_days().take(days);
        cases.extend(dates.map(|date| (date, latitude, longitude)));
    }
    cases
}

/// The beginning of a date in local mean time, four minutes a degree, in whole seconds.
fn begin(date: NaiveDate, longitude: f64) -> DateTime<Utc> {
    let midnight = date.and_hms_opt(0, 0, 0).unwrap().and_utc();
    midnight - TimeDelta::seconds((longitude * 240.0) as i64)
}

fn peer(cases: &[(NaiveDate, f64, f64)], height: f64) -> Option<Vec<Value>> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("days.csv");
    let line = |(date, latitude, longitude): &(NaiveDate, f64, f64)| {
        let start = begin(*date, *longitude).timestamp();
        format!("{start},{latitude},{longitude},{height}\n")
    };
    let lines: String = cases.iter().map(line).collect();
    std::fs::write(&path, format!("start,latitude,longitude,height\n{lines}")).unwrap();
    let said = peer_says("sun_times.py", &["ephem"], &[path])?;
    Some(said.as_array().unwrap().clone())
}

/// The farthest of our events from theirs, in seconds; their number has to be the same.
fn farthest(ours: &[DateTime<Utc>], theirs: &Value, what: &str) -> f64 {
    let theirs = theirs.as_array().unwrap();
    assert_eq!(ours.len(), theirs.len(), "{what}: {ours:?} and {theirs:?}");
    let off = |(our, their): (&DateTime<Utc>, &Value)| {
        let ours = our.timestamp() as f64 + f64::from(our.timestamp_subsec_millis()) / 1000.0;
        (ours - their.as_f64().unwrap()).abs()
    };
    ours.iter().zip(theirs).map(off).fold(0.0, f64::max)
}

#[test]
fn the_sun_keeps_the_times_of_the_peer_within_a_minute() {
    let cases = cases();
    for (sun_of, height) in HEIGHTS {
        let Some(theirs) = peer(&cases, height) else {
            return;
        };
        assert_eq!(theirs.len(), cases.len());
        let (mut events, mut polar, mut double, mut worst) = (0, 0, 0, 0.0_f64);
        for ((date, latitude, longitude), their) in cases.iter().zip(&theirs) {
            let what = format!("{date} at {latitude} {longitude}, {height}°");
            match sun_of(*date, *latitude, *longitude).unwrap() {
                SunDay::RisesOrSets { rises, sets, .. } => {
                    let off = farthest(&rises, &their["rises"], &what).max(farthest(
                        &sets,
                        &their["sets"],
                        &what,
                    ));
                    assert!(off <= 60.0, "{what}: {off} s");
                    worst = worst.max(off);
                    events += rises.len() + sets.len();
                    double += usize::from(rises.len() == 2 || sets.len() == 2);
                }
                day @ (SunDay::PolarDay | SunDay::PolarNight) => {
                    polar += 1;
                    for events in ["rises", "sets"] {
                        assert!(their[events].as_array().unwrap().is_empty(), "{what}");
                    }
                    assert_eq!(
                        day == SunDay::PolarDay,
                        their["above_at_start"] == true,
                        "{what}"
                    );
                }
            }
        }
        eprintln!(
            "{height}°: {events} events, {polar} polar days, {double} double, worst {worst} s"
        );
        assert!(
            events > 700 && polar > 20,
            "{events} events, {polar} polar days"
        );
    }
}

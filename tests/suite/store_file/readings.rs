//! Readings in the store: each moment once, and every refusal counted.

use crate::database::new_store;
use budward::thermometer::{Admitted, Reading, Refusal, Refused};
use budward::units::Celsius;
use chrono::{DateTime, TimeDelta, Utc};

fn now() -> DateTime<Utc> {
    "2027-04-10T09:00:00Z".parse().unwrap()
}

fn admitted(readings: &[(i64, f64)]) -> Admitted {
    let mut refused = Refused::default();
    refused.add(Refusal::Future, 1);
    let reading = |(minutes, degrees): &(i64, f64)| Reading {
        at: now() - TimeDelta::minutes(*minutes),
        temperature: Celsius::new(*degrees),
    };
    Admitted {
        readings: readings.iter().map(reading).collect(),
        refused,
    }
}

#[test]
fn what_comes_twice_is_kept_once_and_a_contradiction_is_refused() {
    let mut store = new_store();
    let first = store
        .keep_readings("museum", &admitted(&[(20, -1.5), (10, -1.6)]), now())
        .unwrap();
    assert_eq!((first.new, first.known, first.refused.total()), (2, 0, 1));
    let again = store
        .keep_readings(
            "museum",
            &admitted(&[(20, -1.5), (10, 7.0), (0, -1.7)]),
            now(),
        )
        .unwrap();
    assert_eq!((again.new, again.known), (1, 1));
    assert_eq!(again.refused.of(Refusal::Duplicate), 1);
    let kept = store
        .readings("museum", now() - TimeDelta::hours(1))
        .unwrap();
    let degrees: Vec<f64> = kept
        .iter()
        .map(|reading| reading.temperature.degrees())
        .collect();
    assert_eq!(degrees, [-1.5, -1.6, -1.7]);
    assert_eq!(store.last_reading("museum").unwrap(), kept.last().copied());
    let refused = store.refused_readings("museum").unwrap();
    assert_eq!(
        (refused.of(Refusal::Future), refused.of(Refusal::Duplicate)),
        (2, 1)
    );
    assert_eq!(store.last_reading("abbey").unwrap(), None);
    assert_eq!(store.refused_readings("abbey").unwrap().total(), 0);
}

#[test]
fn readings_grow_old_and_the_file_is_known_by_its_name() {
    let mut store = new_store();
    let years = 60 * 24 * 401;
    store
        .keep_readings("museum", &admitted(&[(years, 1.0), (0, 2.0)]), now())
        .unwrap();
    let all = store.readings("museum", DateTime::<Utc>::MIN_UTC).unwrap();
    assert_eq!(all.len(), 1);
    store
        .note_station_file("museum", "station.csv", 120)
        .unwrap();
    store
        .note_station_file("museum", "station.csv", 240)
        .unwrap();
    assert_eq!(
        store.station_file("museum", "station.csv").unwrap(),
        Some(240)
    );
    assert_eq!(store.station_file("museum", "other.csv").unwrap(), None);
}

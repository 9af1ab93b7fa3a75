//! The hours of all local days partition the hours of universal time, wherever and whenever.

use std::collections::BTreeMap;

use budward::forecast::{Forecast, ForecastDay, Hours, local_days};
use budward::garden::Zone;
use budward::units::Celsius;
use chrono::{DateTime, Days, NaiveDate, TimeDelta, Utc};
use proptest::prelude::*;

/// Clocks that change in both halves of the earth, by half an hour, at midnight, in Ramadan or never; zones off the
/// full hour; both sides of the date line.
const ZONES: [&str; 20] = [
    "UTC",
    "Europe/London",
    "Europe/Vienna",
    "America/New_York",
    "America/St_Johns",
    "America/Santiago",
    "America/Havana",
    "America/Asuncion",
    "Africa/Casablanca",
    "Africa/Cairo",
    "Asia/Beirut",
    "Asia/Kolkata",
    "Asia/Kathmandu",
    "Australia/Sydney",
    "Australia/Adelaide",
    "Australia/Lord_Howe",
    "Pacific/Auckland",
    "Pacific/Chatham",
    "Pacific/Kiritimati",
    "Pacific/Pago_Pago",
];

/// A forecast whose hour n from its start on is n degrees.
fn counting(start: DateTime<Utc>, hours: u32) -> Forecast {
    Forecast {
        source: "invented".to_owned(),
        attribution: "invented weather".to_owned(),
        data_at: start,
        elevation: None,
        run: Hours {
            start,
            temperature: (0..hours)
                .map(|hour| Some(Celsius::new(f64::from(hour))))
                .collect(),
        },
        members: Vec::new(),
        conditions: None,
        spans: Vec::new(),
    }
}

/// First and last hour of each local day that is whole, as the days of a forecast have it.
fn hours_of(days: &BTreeMap<NaiveDate, ForecastDay>) -> BTreeMap<NaiveDate, (i64, i64)> {
    let hour = |t: Celsius| t.degrees().round() as i64;
    days.iter()
        .filter_map(|(date, day)| Some((*date, day.run?)))
        .map(|(date, (first, last))| (date, (hour(first), hour(last))))
        .collect()
}

/// The days follow each other without a gap or an hour in common, and each holds the hours that begin in it.
fn check(zone: &Zone, start: DateTime<Utc>, days: u32) {
    let found = local_days(&counting(start, 24 * days), zone);
    let hours = hours_of(&found);
    assert!(
        hours.len() + 3 >= days as usize,
        "{}: too few whole days",
        zone.name()
    );
    let mut next = None;
    for (date, (first, last)) in &hours {
        if let Some(next) = next {
            assert_eq!(*first, next, "{} {date}", zone.name());
        }
        next = Some(last + 1);
        let begins = |day: NaiveDate| {
            let seconds = (zone.start_of(day) - start).num_seconds();
            // The first full hour at or after the begin of the day.
            seconds.div_euclid(3600) + i64::from(seconds.rem_euclid(3600) > 0)
        };
        let after = *date + Days::new(1);
        // The first and last days may be cut short by the forecast's own ends.
        assert_eq!(*first, begins(*date).max(0), "{} {date}", zone.name());
        let end = begins(after).min(i64::from(24 * days));
        assert_eq!(*last, end - 1, "{} {date}", zone.name());
    }
}

fn utc(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

#[test]
fn a_year_of_every_zone_is_covered_hour_by_hour() {
    for name in ZONES {
        check(
            &Zone::named(name).unwrap(),
            utc("2026-12-20T00:00:00Z"),
            400,
        );
    }
}

#[test]
fn days_have_23_24_or_25_hours_at_the_changes() {
    let length = |name: &str, date: &str| {
        let date: NaiveDate = date.parse().unwrap();
        let start = date.and_hms_opt(0, 0, 0).unwrap().and_utc() - TimeDelta::days(3);
        let hours = hours_of(&local_days(
            &counting(start, 24 * 7),
            &Zone::named(name).unwrap(),
        ));
        hours[&date].1 - hours[&date].0 + 1
    };
    // IANA 2026: last Sundays of March and October; second Sunday of March, first of November; first Sundays of
    // April and October (by half an hour on Lord Howe Island, where an hour counts for the day in which it begins).
    assert_eq!(length("Europe/Vienna", "2027-03-28"), 23);
    assert_eq!(length("Europe/Vienna", "2027-10-31"), 25);
    assert_eq!(length("America/New_York", "2027-03-14"), 23);
    assert_eq!(length("America/New_York", "2027-11-07"), 25);
    assert_eq!(length("Australia/Sydney", "2027-10-03"), 23);
    assert_eq!(length("Australia/Sydney", "2027-04-04"), 25);
    assert_eq!(length("Asia/Kolkata", "2027-03-28"), 24);
    let lord_howe = ["2027-04-04", "2027-10-03"].map(|date| length("Australia/Lord_Howe", date));
    assert!(
        lord_howe.iter().all(|hours| (23..=25).contains(hours)),
        "{lord_howe:?}"
    );
    assert_eq!(lord_howe.iter().sum::<i64>() % 24, 0, "{lord_howe:?}");
}

#[test]
fn a_date_that_the_calendar_skipped_holds_no_hour() {
    // Samoa moved across the date line and had no 30 December 2011 (IANA, file australasia).
    let zone = Zone::named("Pacific/Apia").unwrap();
    let days = local_days(&counting(utc("2011-12-27T00:00:00Z"), 24 * 7), &zone);
    assert!(!days.contains_key(&"2011-12-30".parse().unwrap()));
    check(&zone, utc("2011-12-27T00:00:00Z"), 7);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]
    #[test]
    fn any_fortnight_anywhere_is_partitioned(
        zone in 0..ZONES.len(),
        // From 2012 to 2036. Until 2011 the clocks of Newfoundland went back at one minute past midnight, so that a day
        // there came again for an hour after it had ended.
        hour in 368_200..580_000_i64,
    ) {
        let start = DateTime::from_timestamp(hour * 3600, 0).unwrap();
        check(&Zone::named(ZONES[zone]).unwrap(), start, 14);
    }
}

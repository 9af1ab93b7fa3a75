//! From kept forecasts to verified nights.

use budward::climate::{DailyRecord, DayExtremes};
use budward::forecast::{Forecast, Hours};
use budward::garden::{Place, Zone};
use budward::outlook::{RunDays, Truth, Verified};
use budward::units::{Celsius, Metres};
use chrono::{DateTime, Days, NaiveDate, TimeDelta, Utc};

/// A place east of Greenwich, 100 m high, whose days are not those of UTC.
fn place() -> Place {
    let zone = Zone::named("Europe/Berlin").unwrap();
    Place::new(51.0, 7.0, Some(Metres(100.0)), zone).unwrap()
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn hours(start: DateTime<Utc>, days: i64, temperature: impl Fn(DateTime<Utc>) -> f64) -> Hours {
    let at = |hour| start + TimeDelta::hours(hour);
    Hours {
        start,
        temperature: (0..24 * days)
            .map(|hour| Some(Celsius::new(temperature(at(hour)))))
            .collect(),
    }
}

/// A run made at an instant, with two days before its own: at 04:00 UTC of each date its minimum as `min` gives it.
fn run(made: &str, min: impl Fn(NaiveDate) -> f64) -> Forecast {
    let data_at: DateTime<Utc> = made.parse().unwrap();
    let midnight = data_at
        .date_naive()
        .and_time(chrono::NaiveTime::MIN)
        .and_utc();
    let temperature = |at: DateTime<Utc>| {
        let from_dawn = (at.time() - chrono::NaiveTime::from_hms_opt(4, 0, 0).unwrap()).num_hours();
        min(at.date_naive()) + if from_dawn == 0 { 0.0 } else { 5.0 }
    };
    Forecast {
        spans: Vec::new(),
        source: "invented".to_owned(),
        attribution: "invented weather".to_owned(),
        data_at,
        elevation: None,
        run: hours(midnight - TimeDelta::days(2), 18, temperature),
        members: Vec::new(),
        conditions: None,
    }
}

/// What the days of some runs verify.
fn verified_pairs<'a>(
    runs: impl IntoIterator<Item = &'a Forecast>,
    record: Option<&DailyRecord>,
    place: &Place,
) -> Vec<Verified> {
    let days = runs.into_iter().map(|run| RunDays::of(run, &place.zone));
    budward::outlook::verified_pairs(&days.collect::<Vec<_>>(), record, place)
}

fn summary(verified: &[Verified]) -> Vec<(String, usize, usize, f64, f64, Truth)> {
    let mut rows: Vec<_> = verified
        .iter()
        .map(|night| {
            let (forecast, observed) = (night.forecast.degrees(), night.observed.degrees());
            (
                night.date.to_string(),
                night.lead,
                night.members,
                forecast,
                observed,
                night.truth,
            )
        })
        .collect();
    rows.sort_by(|one, other| (&one.0, one.1, one.2).cmp(&(&other.0, other.1, other.2)));
    rows
}

#[test]
fn the_record_goes_before_the_analysis_of_a_later_run() {
    let runs = [
        run("2027-04-01T12:00:00Z", |_| 1.0),
        run("2027-04-02T12:00:00Z", |_| 2.0),
        run("2027-04-03T12:00:00Z", |_| 3.0),
        run("2027-04-04T12:00:00Z", |_| 4.0),
    ];
    let recorded = DayExtremes {
        min: Some(Celsius::new(-5.0)),
        max: None,
    };
    let record = DailyRecord::from_days("a station", [(day("2027-04-02"), recorded)]).unwrap();
    let verified = verified_pairs(&runs, Some(&record), &place());
    let row = |date: &str, lead, forecast, observed, truth| {
        (date.to_owned(), lead, 1, forecast, observed, truth)
    };
    assert_eq!(
        summary(&verified),
        [
            row("2027-04-02", 1, 1.0, -5.0, Truth::Record),
            row("2027-04-03", 1, 2.0, 4.0, Truth::Analysis),
            row("2027-04-03", 2, 1.0, 4.0, Truth::Analysis),
        ],
        "the run of 4 April has the whole of 3 April behind it, and not of its own day"
    );
}

#[test]
fn of_one_day_the_last_run_is_held_against_what_came() {
    let runs = [
        run("2027-04-01T16:00:00Z", |_| 7.0),
        run("2027-04-01T04:00:00Z", |_| 1.0),
        // 1 April in UTC, 2 April in Berlin.
        run("2027-04-01T22:30:00Z", |_| 9.0),
        run("2027-04-04T12:00:00Z", |_| 4.0),
    ];
    let verified = verified_pairs(&runs, None, &place());
    let found: Vec<(usize, f64)> = summary(&verified)
        .iter()
        .map(|row| (row.1, row.3))
        .collect();
    assert_eq!(found, [(1, 9.0), (2, 7.0)], "both of the night to 3 April");
}

#[test]
fn an_ensemble_counts_by_its_mean_beside_the_main_run() {
    let mut made = run("2027-04-01T12:00:00Z", |_| 1.0);
    made.members = [2.0, 3.0, 7.0]
        .map(|min| run("2027-04-01T12:00:00Z", |_| min).run)
        .to_vec();
    let later = run("2027-04-03T12:00:00Z", |_| 0.0);
    let verified = verified_pairs([&made, &later], None, &place());
    let found: Vec<(usize, f64)> = summary(&verified)
        .iter()
        .map(|row| (row.2, row.3))
        .collect();
    assert_eq!(found, [(1, 1.0), (3, 4.0)]);
}

#[test]
fn forecast_and_analysis_are_brought_to_the_height_of_the_place_and_the_record_is_not() {
    let mut runs = [
        run("2027-04-01T12:00:00Z", |_| 1.0),
        run("2027-04-04T12:00:00Z", |_| 2.0),
    ];
    for run in &mut runs {
        run.elevation = Some(Metres(300.0));
    }
    let recorded = DayExtremes {
        min: Some(Celsius::new(0.0)),
        max: None,
    };
    let record = DailyRecord::from_days("a station", [(day("2027-04-02"), recorded)]).unwrap();
    let verified = verified_pairs(&runs, Some(&record), &place());
    let found: Vec<(f64, f64)> = summary(&verified)
        .iter()
        .map(|row| (row.3, row.4))
        .collect();
    // 200 m higher than the place: 1.3 K are added.
    let close =
        |(a, b): (f64, f64), (c, d): (f64, f64)| (a - c).abs() < 1e-9 && (b - d).abs() < 1e-9;
    assert!(
        close(found[0], (2.3, 0.0)) && close(found[1], (2.3, 3.3)),
        "{found:?}"
    );
}

#[test]
fn a_year_of_runs_gives_each_night_once_a_lead() {
    let start = day("2026-01-01");
    let runs: Vec<Forecast> = (0..400)
        .flat_map(|n| {
            let date = start + Days::new(n);
            [4, 14].map(|hour| run(&format!("{date}T{hour:02}:00:00Z"), |_| f64::from(hour)))
        })
        .collect();
    let verified = verified_pairs(&runs, None, &place());
    // Leads 1 to 15 of 400 runs, those of the last days cut short: the last whole day is the 398th after the first.
    let expected: usize = (1..=15).map(|lead| 399 - lead).sum();
    assert_eq!(verified.len(), expected);
    assert!(
        verified
            .iter()
            .all(|night| night.forecast == Celsius::new(14.0))
    );
}

#[test]
fn without_anything_later_nothing_is_verified() {
    assert_eq!(
        verified_pairs(&[run("2027-04-01T12:00:00Z", |_| 1.0)], None, &place()),
        []
    );
    assert_eq!(verified_pairs(&[], None, &place()), []);
}

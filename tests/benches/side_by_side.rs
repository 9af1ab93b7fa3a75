//! The work that `tests/peers/speed.py` gives to NumPy, pandas and xclim as well, by the functions of the library, on one
//! core.
//!
//! `side_by_side DATA ROUNDS [ANSWERS]` reads the places of a file, does the work of all of them so many times and prints
//! the seconds of each round as JSON, with the roofline of the futures; the answers of every place go to a file as
//! little-endian doubles, for the other side to compare. `cargo bench` runs it on a place of its own making.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::print_stdout,
    clippy::indexing_slicing,
    reason = "a bench may stop at once and prints its figures"
)]

mod roofline;

use std::hint::black_box;
use std::time::Instant;

use budward::climate::freeze::{Freezes, Season};
use budward::climate::{DailyRecord, DayExtremes};
use budward::garden::Hemisphere;
use budward::outlook::Runs;
use budward::risk::FirstHits;
use budward::science::degree_days::{Cutoff, Thresholds, running_sums};
use budward::units::{Celsius, count};
use chrono::{Datelike, NaiveDate};
use serde_json::json;

const YEARS: std::ops::RangeInclusive<i32> = 1991..=2020;
const DAYS: usize = 10_958;
const MEMBERS: usize = 50;
const FORECAST_DAYS: usize = 15;
const CONTINUED_DAYS: usize = 45;
const FUTURE_DAYS: usize = FORECAST_DAYS + CONTINUED_DAYS;
const FAHRENHEIT: [f64; 6] = [36.0, 32.0, 28.0, 24.0, 20.0, 16.0];
const DAMAGE_AT: Celsius = Celsius::new(-2.2);

/// The weather of a place.
struct Weather {
    min: Vec<Celsius>,
    max: Vec<Celsius>,
    members: Vec<Celsius>,
}

/// What is found for a place.
struct Answers {
    /// Degree days by day, from each 1 January on.
    sums: Vec<f64>,
    /// Days of the year by threshold and percentile: of the last freeze in spring, the first in autumn.
    freezes: [Vec<f64>; 2],
    /// The chance that it has been too cold by each night.
    chances: Vec<f64>,
}

fn read(path: &str) -> Vec<Weather> {
    let bytes = std::fs::read(path).expect("the file of the weather");
    let values = bytes.as_chunks().0.iter();
    let values: Vec<Celsius> = values
        .map(|eight| Celsius::new(f64::from_le_bytes(*eight)))
        .collect();
    let place = |values: &[Celsius]| Weather {
        min: values[..DAYS].to_vec(),
        max: values[DAYS..2 * DAYS].to_vec(),
        members: values[2 * DAYS..].to_vec(),
    };
    values
        .chunks_exact(2 * DAYS + MEMBERS * FORECAST_DAYS)
        .map(place)
        .collect()
}

/// A place with an even swing of the year, for a bench without a file.
fn made_up() -> Weather {
    let wave = |day: usize| (count(day) * std::f64::consts::TAU / 365.25).cos();
    let min =
        |day| Celsius::new(((4.0 - 11.0 * wave(day) + 5.0 * wave(day * 37)) * 10.0).round() / 10.0);
    Weather {
        min: (0..DAYS).map(min).collect(),
        max: (0..DAYS)
            .map(|day| Celsius::new(min(day).degrees() + 11.0))
            .collect(),
        members: (0..MEMBERS * FORECAST_DAYS)
            .map(|n| Celsius::new(2.0 + 5.0 * wave(n * 37)))
            .collect(),
    }
}

/// What does not depend on a place: the lengths of the years, and where each goes on from a forecast.
struct Calendar {
    first: NaiveDate,
    lengths: Vec<usize>,
    continued_from: Vec<usize>,
}

fn calendar() -> Calendar {
    let day = |year, month, day| NaiveDate::from_ymd_opt(year, month, day).unwrap();
    let first = day(*YEARS.start(), 1, 1);
    let since = |date: NaiveDate| usize::try_from((date - first).num_days()).unwrap();
    Calendar {
        first,
        lengths: YEARS
            .map(|year| since(day(year + 1, 1, 1)) - since(day(year, 1, 1)))
            .collect(),
        continued_from: YEARS.map(|year| since(day(year, 4, 25))).collect(),
    }
}

fn degree_days(weather: &Weather, calendar: &Calendar) -> Vec<f64> {
    let thresholds = Thresholds {
        lower: Celsius::new(10.0),
        upper: Some((Celsius::new(30.0), Cutoff::Horizontal)),
    };
    let mut sums = Vec::with_capacity(DAYS);
    let mut start = 0;
    for length in &calendar.lengths {
        let year = start..start + length;
        running_sums(
            &weather.min[year.clone()],
            &weather.max[year],
            thresholds,
            &mut sums,
        );
        start += length;
    }
    sums
}

fn freezes(weather: &Weather, calendar: &Calendar) -> [Vec<f64>; 2] {
    let extremes = weather
        .min
        .iter()
        .zip(&weather.max)
        .map(|(min, max)| DayExtremes {
            min: Some(*min),
            max: Some(*max),
        });
    let record = DailyRecord::from_run("made up", calendar.first, extremes.collect()).unwrap();
    let limits = FAHRENHEIT.map(Celsius::from_fahrenheit);
    [Season::Spring, Season::Autumn].map(|season| {
        let found = Freezes::of(&record, &limits, Hemisphere::North, season);
        let percentiles = found.dates.iter().flat_map(|dates| percentiles(dates));
        percentiles.collect()
    })
}

/// The 10th to 90th percentile of days of the year, in a straight line between neighbours.
///
/// This is the reading of the Python side; the program tells a date that so many of all seasons exceed.
fn percentiles(dates: &[NaiveDate]) -> [f64; 9] {
    let mut days: Vec<f64> = dates.iter().map(|date| f64::from(date.ordinal())).collect();
    days.sort_by(f64::total_cmp);
    [1, 2, 3, 4, 5, 6, 7, 8, 9].map(|tenth| {
        let tenths = (days.len() - 1) * tenth;
        let (at, part) = (tenths / 10, count(tenths % 10) / 10.0);
        let next = days[(at + 1).min(days.len() - 1)];
        days[at] + (next - days[at]) * part
    })
}

/// Every member continued by every past year.
fn lay_futures(weather: &Weather, calendar: &Calendar, futures: &mut Runs) {
    futures.clear();
    for member in weather.members.chunks_exact(FORECAST_DAYS) {
        for from in &calendar.continued_from {
            let past = &weather.min[*from..from + CONTINUED_DAYS];
            futures.push(&[member, past]);
        }
    }
}

fn chances(futures: &Runs) -> Vec<f64> {
    let hits = FirstHits::of(futures, DAMAGE_AT);
    let by_night = hits.by_night().map(|hit| count(hit) / count(futures.len()));
    let mut chances: Vec<f64> = by_night.collect();
    chances.resize(FUTURE_DAYS, chances.last().copied().unwrap_or(0.0));
    chances
}

fn work(weather: &Weather, calendar: &Calendar, futures: &mut Runs) -> Answers {
    lay_futures(weather, calendar, futures);
    Answers {
        sums: degree_days(weather, calendar),
        freezes: freezes(weather, calendar),
        chances: chances(futures),
    }
}

fn write(path: &str, answers: &[Answers]) {
    let place = |of: &Answers| {
        let [spring, autumn] = &of.freezes;
        [&of.sums, spring, autumn, &of.chances]
            .into_iter()
            .flatten()
            .copied()
            .collect::<Vec<f64>>()
    };
    let bytes: Vec<u8> = answers
        .iter()
        .flat_map(place)
        .flat_map(f64::to_le_bytes)
        .collect();
    std::fs::write(path, bytes).expect("the answers are written");
}

/// The seconds that something takes, round by round, after one that is not counted.
fn timed(rounds: usize, mut what: impl FnMut()) -> Vec<f64> {
    let round = |_| {
        let begun = Instant::now();
        what();
        begun.elapsed().as_secs_f64()
    };
    (0..=rounds).map(round).skip(1).collect()
}

/// The peak of this process's memory in kB; none where the system does not tell it.
fn peak() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.split_whitespace().next()?.parse().ok()
}

fn main() {
    let given: Vec<String> = std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with("--"))
        .collect();
    let places = given
        .first()
        .map_or_else(|| vec![made_up()], |path| read(path));
    let rounds = given
        .get(1)
        .map_or(20, |rounds| rounds.parse().expect("a number of rounds"));
    let calendar = calendar();
    let mut futures = Runs::with_room(MEMBERS * calendar.lengths.len(), FUTURE_DAYS);
    if let Some(path) = given.get(2) {
        let answers: Vec<Answers> = places
            .iter()
            .map(|place| work(place, &calendar, &mut futures))
            .collect();
        write(path, &answers);
    }
    let of_each =
        |what: &mut dyn FnMut(&Weather)| timed(rounds, || places.iter().for_each(&mut *what));
    let all = of_each(&mut |place| drop(black_box(work(place, &calendar, &mut futures))));
    let parts = json!({
        "degree days": of_each(&mut |place| drop(black_box(degree_days(place, &calendar)))),
        "freezes": of_each(&mut |place| drop(black_box(freezes(place, &calendar)))),
        "futures laid": of_each(&mut |place| lay_futures(place, &calendar, black_box(&mut futures))),
        "futures counted": of_each(&mut |_| drop(black_box(chances(black_box(&futures))))),
    });
    let roofline = (given.len() < 3).then(|| roofline::measure(futures.len() * FUTURE_DAYS));
    println!(
        "{}",
        json!({ "places": places.len(), "all": all, "parts": parts, "roofline": roofline, "peak kB": peak() })
    );
}

//! Every row of `tests/data/check_values/`: what others have published or computed, against what the formulas give.
//!
//! One file a formula. Each row names its inputs, the expected value, the tolerance, the unit, the source, and how the
//! value is known: `published` (printed there), `library` (run with the library named) or `integration`. No cell holds
//! a comma.

use std::collections::BTreeMap;

use budward::science::degree_days::{Cutoff, Thresholds, simple_average, single_sine};
use budward::science::sun::{SunDay, civil_day, sun_day};
use budward::units::{Celsius, DegreeDays};
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use proptest::prelude::*;

use crate::support::project;

/// One row by its column names; cells that hold several numbers part them by blanks.
pub(crate) struct Row(BTreeMap<String, String>);

impl Row {
    pub(crate) fn text(&self, column: &str) -> &str {
        self.0
            .get(column)
            .unwrap_or_else(|| panic!("no column {column}"))
    }

    pub(crate) fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse()
            .unwrap_or_else(|_| panic!("{column}: '{text}' is not a number"))
    }

    pub(crate) fn expect(&self, found: f64, expected: f64) {
        assert!(
            (found - expected).abs() <= self.number("tolerance"),
            "{found} for {:?}",
            self.0
        );
    }
}

/// The rows of a file; none of them when one does not say where it comes from.
fn read(text: &str) -> Result<Vec<Row>, String> {
    let mut lines = text.lines();
    let columns: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    let row = |line: &str| {
        let cells: Vec<&str> = line.split(',').collect();
        if cells.len() != columns.len() {
            return Err(format!(
                "'{line}' has {} cells, expected {}",
                cells.len(),
                columns.len()
            ));
        }
        let row: BTreeMap<_, _> = columns
            .iter()
            .zip(cells)
            .map(|(name, cell)| ((*name).to_owned(), cell.to_owned()))
            .collect();
        let known_by = row.get("known_by").map_or("", String::as_str);
        if row
            .get("source")
            .is_none_or(|source| source.trim().is_empty())
        {
            return Err(format!("'{line}' has no source"));
        }
        if !["published", "library", "integration"].contains(&known_by) {
            return Err(format!("'{line}' does not say how it is known"));
        }
        Ok(Row(row))
    };
    lines.map(row).collect()
}

pub(crate) fn rows(file: &str) -> Vec<Row> {
    let path = project().join("tests/data/check_values").join(file);
    let rows = read(&std::fs::read_to_string(path).unwrap()).unwrap();
    assert!(!rows.is_empty());
    rows
}

#[test]
fn a_row_without_a_source_is_refused() {
    let with = |source: &str, known_by: &str| {
        read(&format!("min,source,known_by\n1,{source},{known_by}\n"))
    };
    assert!(with("a leaflet", "published").is_ok());
    assert!(with(" ", "published").is_err());
    assert!(with("a leaflet", "").is_err());
    assert!(with("a leaflet, page 3", "published").is_err());
    assert!(read("min\n1\n").is_err());
}

/// A day's extremes, thresholds and result, in the row's own degrees.
fn heat(
    row: &Row,
    upper: Option<Cutoff>,
    formula: fn(Celsius, Celsius, Thresholds) -> Option<DegreeDays>,
) -> f64 {
    let (temperature, per_kelvin): (fn(f64) -> Celsius, f64) = match row.text("unit") {
        "°C·d" => (Celsius::new, 1.0),
        "°F·d" => (Celsius::from_fahrenheit, 1.8),
        other => panic!("the unit {other} is not a heat sum"),
    };
    let value = |column: &str| temperature(row.number(column));
    let thresholds = Thresholds {
        lower: value("lower"),
        upper: upper.map(|cutoff| (value("upper"), cutoff)),
    };
    formula(value("min"), value("max"), thresholds)
        .unwrap()
        .sum()
        * per_kelvin
}

#[test]
fn the_single_sine_gives_the_published_heat_sums() {
    for row in rows("single_sine.csv") {
        let cutoff = match row.text("cutoff") {
            "none" => None,
            "horizontal" => Some(Cutoff::Horizontal),
            "intermediate" => Some(Cutoff::Intermediate),
            "vertical" => Some(Cutoff::Vertical),
            other => panic!("no cutoff {other}"),
        };
        row.expect(heat(&row, cutoff, single_sine), row.number("expected"));
    }
}

#[test]
fn the_simple_average_gives_the_published_heat_sums() {
    for row in rows("simple_average.csv") {
        let cutoff = (!row.text("upper").is_empty()).then_some(Cutoff::Horizontal);
        row.expect(heat(&row, cutoff, simple_average), row.number("expected"));
    }
}

#[test]
fn a_day_whose_extremes_are_swapped_or_no_numbers_has_no_heat_sum() {
    let thresholds = Thresholds {
        lower: Celsius::new(10.0),
        upper: None,
    };
    for formula in [single_sine, simple_average] {
        assert_eq!(
            formula(Celsius::new(20.0), Celsius::new(10.0), thresholds),
            None
        );
        assert_eq!(
            formula(Celsius::new(f64::NAN), Celsius::new(10.0), thresholds),
            None
        );
    }
}

/// How fast development runs at a temperature, by the definition of each cutoff.
fn rate(temperature: f64, lower: f64, upper: f64, cutoff: Cutoff) -> f64 {
    let over = (temperature - upper).max(0.0);
    let above = (temperature - lower).max(0.0);
    match cutoff {
        Cutoff::Horizontal => above - over,
        Cutoff::Intermediate => above - 2.0 * over,
        Cutoff::Vertical if over > 0.0 => 0.0,
        Cutoff::Vertical => above,
    }
}

proptest! {
    #[test]
    fn the_single_sine_is_the_integral_of_its_rate(
        min in -30.0_f64..40.0,
        range in 0.0_f64..40.0,
        lower in -5.0_f64..20.0,
        band in 0.1_f64..30.0,
    ) {
        const STEPS: u32 = 20_000;
        for cutoff in [Cutoff::Horizontal, Cutoff::Intermediate, Cutoff::Vertical] {
            let sum: f64 = (0..STEPS)
                .map(|step| (f64::from(step) + 0.5) / f64::from(STEPS) * std::f64::consts::TAU)
                .map(|angle| min + range / 2.0 * (1.0 + angle.sin()))
                .map(|temperature| rate(temperature, lower, lower + band, cutoff))
                .sum();
            let thresholds = Thresholds {
                lower: Celsius::new(lower),
                upper: Some((Celsius::new(lower + band), cutoff)),
            };
            let day = single_sine(Celsius::new(min), Celsius::new(min + range), thresholds).unwrap();
            // A vertical cutoff jumps by the band at two of the steps.
            prop_assert!((day.sum() - sum / f64::from(STEPS)).abs() < 0.005, "{cutoff:?}");
        }
    }
}

/// The event of that kind nearest to the expected instant, in seconds from it.
fn seconds_off(events: &[DateTime<Utc>], expected: &str) -> f64 {
    let expected: DateTime<Utc> = expected.parse().unwrap();
    let off = |at: &DateTime<Utc>| (*at - expected).as_seconds_f64();
    events
        .iter()
        .map(off)
        .min_by(|a, b| a.abs().total_cmp(&b.abs()))
        .unwrap_or(f64::INFINITY)
}

#[test]
fn the_sun_rises_and_sets_when_others_say_so() {
    for row in rows("sun.csv") {
        let date: NaiveDate = row.text("date").parse().unwrap();
        let sun_of = if row.text("event").starts_with("civil") {
            civil_day
        } else {
            sun_day
        };
        let sun = sun_of(date, row.number("latitude"), row.number("longitude")).unwrap();
        let (rises, sets, length) = match &sun {
            SunDay::RisesOrSets {
                rises,
                sets,
                length,
            } => (rises.as_slice(), sets.as_slice(), *length),
            SunDay::PolarDay => (&[][..], &[][..], TimeDelta::days(1)),
            SunDay::PolarNight => (&[][..], &[][..], TimeDelta::zero()),
        };
        match row.text("event") {
            "sunrise" | "civil-dawn" => row.expect(seconds_off(rises, row.text("expected")), 0.0),
            "sunset" | "civil-dusk" => row.expect(seconds_off(sets, row.text("expected")), 0.0),
            "day-length" => row.expect(length.as_seconds_f64(), row.number("expected")),
            "polar-day" => assert_eq!(sun, SunDay::PolarDay, "{:?}", row.0),
            "polar-night" => assert_eq!(sun, SunDay::PolarNight, "{:?}", row.0),
            other => panic!("no event {other}"),
        }
    }
}

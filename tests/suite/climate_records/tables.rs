//! Tables, comma-separated station records, and the call that tells the forms apart.

use budward::climate::{DailyRecord, DayExtremes, ghcn_csv, plain_csv, read_record};
use budward::units::Celsius;
use proptest::prelude::*;

use super::{data, date, is_sound, near, range};
use crate::support::{project, sample};

/// The same five days in every form, and what the record says where it comes from.
const FORMS: [(&str, &str); 10] = [
    ("station.dly", "GHCN-Daily station XX000000001, NOAA/NCEI"),
    (
        "ghcn_by_station.csv",
        "GHCN-Daily station XX000000001, NOAA/NCEI",
    ),
    (
        "ghcn_with_header.csv",
        "GHCN-Daily station XX000000001, NOAA/NCEI",
    ),
    ("ghcn_long.csv", "GHCN-Daily without a station, NOAA/NCEI"),
    ("comma.csv", "table comma.csv"),
    ("semicolon.csv", "table semicolon.csv"),
    ("fahrenheit.csv", "table fahrenheit.csv"),
    ("three_columns.txt", "table three_columns.txt"),
    ("tabs.txt", "table tabs.txt"),
    ("archive.json", "archive of Open-Meteo for 51.50, -0.25"),
];

fn form(name: &str) -> String {
    std::fs::read_to_string(data("records").join(name)).unwrap()
}

fn same(found: Option<Celsius>, expected: Option<f64>) -> bool {
    match (found, expected) {
        (Some(found), Some(expected)) => (found.degrees() - expected).abs() < 1e-9,
        (None, None) => true,
        (Some(_), None) | (None, Some(_)) => false,
    }
}

#[test]
fn the_same_days_are_the_same_record_in_every_form() {
    let files = std::fs::read_dir(data("records")).unwrap().count();
    assert_eq!(files, FORMS.len() + 1, "a form and the README");
    let expected = [
        ("2024-02-27", Some(-2.5), Some(5.0)),
        ("2024-02-28", None, Some(7.5)),
        ("2024-02-29", None, None),
        ("2024-03-01", Some(0.0), Some(10.0)),
        ("2024-03-02", Some(-5.0), Some(12.5)),
    ];
    for (name, origin) in FORMS {
        let record = read_record(&form(name), name).unwrap();
        assert_eq!(record.origin, origin);
        assert_eq!(record.days().count(), expected.len(), "{name}");
        for ((found_date, found), (day, min, max)) in record.days().zip(expected) {
            assert_eq!(found_date, date(day), "{name}");
            let alike = same(found.min, min) && same(found.max, max);
            assert!(alike, "{name}: {found:?} on {day}");
        }
    }
}

#[test]
fn every_other_form_of_file_is_refused() {
    for (folder, name) in [
        ("archive", "README.md"),
        ("openmeteo", "web_page.html"),
        ("openmeteo", "not_covered.txt"),
        ("openmeteo", "forecast.json"),
        ("check_values", "single_sine.csv"),
    ] {
        let text = std::fs::read_to_string(data(folder).join(name)).unwrap();
        assert!(read_record(&text, name).is_err(), "{name}");
    }
    let text = std::fs::read_to_string(project().join("config/garden.example.toml")).unwrap();
    let said = read_record(&text, "garden.toml").unwrap_err().to_string();
    assert!(
        said.starts_with("garden.toml is no record: it begins with '"),
        "{said}"
    );
}

fn read_sample(path: &str) -> Option<DailyRecord> {
    let text = std::fs::read_to_string(sample(path)?).unwrap();
    Some(read_record(&text, path).unwrap())
}

#[test]
fn whole_series_give_the_days_and_ranges_counted_in_them() {
    // Counted with a script apart: days, all of them complete, and the ranges of minima and maxima.
    for (name, days, minima, maxima) in [
        ("brussels", 10_958, (-16.8, 22.3), (-10.1, 35.4)),
        ("cambridge", 11_323, (-8.24, 19.15), (-3.58, 33.76)),
        ("champion", 13_514, (-37.1, 22.58), (-22.22, 43.74)),
        ("cordoba", 11_323, (-6.21, 24.3), (3.84, 42.4)),
        ("hyderabad", 4_018, (5.0, 29.4), (21.4, 42.8)),
        ("lincolnshire", 11_323, (-6.85, 19.38), (-1.96, 30.53)),
        ("norfolk", 11_323, (-7.17, 18.91), (-2.99, 30.19)),
        ("north_yorks", 11_323, (-9.44, 16.9), (-3.6, 28.66)),
        ("northumberland", 11_323, (-9.95, 16.55), (-2.26, 26.1)),
        ("suffolk", 11_323, (-5.99, 19.71), (-2.76, 28.16)),
        ("tunis", 8_552, (-2.0, 28.4), (5.0, 46.6)),
    ] {
        let Some(record) = read_sample(&format!("open-data/aquacrop/{name}_climate.txt")) else {
            return;
        };
        let complete = |day: &DayExtremes| day.min.is_some() && day.max.is_some();
        assert_eq!(record.days().count(), days, "{name}");
        assert!(record.days().all(|(_, day)| complete(&day)), "{name}");
        assert!(near(range(&record, |day| day.min), minima), "{name}");
        assert!(near(range(&record, |day| day.max), maxima), "{name}");
    }
}

#[test]
fn a_table_with_other_columns_is_read() {
    // Counted with a script apart.
    let Some(record) = read_sample("open-data/vega-datasets/seattle-weather.csv") else {
        return;
    };
    let ends = (record.first(), record.last());
    assert_eq!(ends, (date("2012-01-01"), date("2015-12-31")));
    assert_eq!(
        record.days().filter(|(_, day)| day.min.is_some()).count(),
        1_461
    );
    assert!(near(range(&record, |day| day.min), (-7.1, 18.3)));
    assert!(near(range(&record, |day| day.max), (-1.6, 35.6)));
}

#[test]
fn two_places_in_one_table_are_refused() {
    let Some(file) = sample("open-data/vega-datasets/weather.csv") else {
        return;
    };
    let text = std::fs::read_to_string(file).unwrap();
    assert_eq!(
        plain_csv::parse(&text).unwrap_err().to_string(),
        "line 1463: station 'New York', but the table began with 'Seattle'"
    );
}

#[test]
fn the_long_form_of_a_station_is_read() {
    // Counted with a script apart: 401 days, none of them flagged.
    let Some(record) = read_sample("weather-samples/ghcn/USW00094728_2014_long-csv.csv") else {
        return;
    };
    assert_eq!(
        (record.first(), record.last()),
        (date("2014-01-01"), date("2015-02-05"))
    );
    assert_eq!(
        record.days().filter(|(_, day)| day.min.is_some()).count(),
        401
    );
    assert!(near(range(&record, |day| day.min), (-15.5, 25.0)));
    assert!(near(range(&record, |day| day.max), (-8.2, 33.3)));
}

proptest! {
    #[test]
    fn broken_tables_give_an_error_or_a_sound_record(
        which in 0..FORMS.len(),
        place in 0_usize..1_500,
        byte: u8,
        cut in 0_usize..1_500,
    ) {
        let (name, _) = FORMS[which];
        let mut bytes = form(name).into_bytes();
        let length = bytes.len();
        bytes[place % length] = byte;
        let text = String::from_utf8_lossy(&bytes);
        let start: String = text.chars().take(cut).collect();
        for text in [&*text, &start] {
            prop_assert!(is_sound(read_record(text, name)));
            prop_assert!(is_sound(ghcn_csv::parse(text)));
            prop_assert!(is_sound(plain_csv::parse(text)));
        }
    }
}

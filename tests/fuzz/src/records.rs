//! Files that the keeper gives: records of past years, forecasts that were kept, readings of a thermometer.

use budward::backtest::Given;
use budward::climate::read_record;
use budward::garden::Zone;
use budward::thermometer::{Layout, Missing, TimeForm, Unit, admit, whole_lines};
use chrono::DateTime;

use crate::seeds::{files, texts};

/// The project's own records whose names begin so.
pub fn seeds(beginnings: &[&str]) -> Vec<Vec<u8>> {
    files("tests/data/records", beginnings)
}

/// Reads a record of any form.
pub fn read(bytes: &[u8]) {
    match read_record(&String::from_utf8_lossy(bytes), "fuzzed") {
        Ok(record) => {
            assert!(record.first() <= record.last());
            assert!(record.days().count() <= 500 * 366 + 1);
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
}

pub fn forecast_seeds() -> Vec<Vec<u8>> {
    texts(&[
        "issue_date,lead,tmin_c\n2020-03-01,1,-2.5\n2020-03-01,2,\n2020-03-02,1,0.5\n",
        "issue_date,lead,m1,m2,m3\n2020-03-01,1,-2.5,0,1e1\n2020-03-01,60,,,\n",
    ])
}

/// Reads the forecasts of past days that a back-test is given.
pub fn read_forecasts(bytes: &[u8]) {
    drop(Given::read(&String::from_utf8_lossy(bytes), "fuzzed"));
}

pub fn reading_seeds() -> Vec<Vec<u8>> {
    let bodies = [
        "time,temperature\n2027-04-10T05:00:00Z,-1.5\n2027-04-10T05:10:00+02:00,\"2\"\n",
        "date;time;out\n10.04.2027;05:00;-1,5\n28.03.2027;02:30;--\n31.10.2027;02:30;1\n31.10.2027;02:30;2\n",
        "2027-10-31 02:10 3.5\n2027-10-31\t02:20  4\n",
    ];
    (0..)
        .zip(bodies)
        .map(|(layout, body)| [&[layout], body.as_bytes()].concat())
        .collect()
}

/// Reads a piece of a station's file, written in the way that its first byte says.
pub fn read_readings(bytes: &[u8]) {
    let Some((layout, bytes)) = bytes.split_first() else {
        return;
    };
    let whole = bytes.get(..whole_lines(bytes)).expect("within the piece");
    let text = String::from_utf8_lossy(whole);
    let (first, rest) = text.split_once('\n').unwrap_or((&text, ""));
    let layout = layout_of(*layout);
    let Ok(columns) = layout.columns(first) else {
        return;
    };
    let now = DateTime::from_timestamp(1_806_561_000, 0).unwrap_or_default();
    let lines = if layout.header { rest } else { &text };
    let given = layout.read(&columns, lines, Some(now));
    let count = given.len();
    let admitted = admit(given, now);
    assert!(admitted.readings.len() <= count);
    for reading in &admitted.readings {
        assert!((-60.0..=60.0).contains(&reading.temperature.degrees()));
    }
}

fn layout_of(number: u8) -> Layout {
    let local = |form: &str| TimeForm::Local {
        form: form.to_owned(),
        zone: Zone::named("Europe/Vienna").expect("a zone"),
    };
    let plain = Layout {
        delimiter: ',',
        decimal: '.',
        header: true,
        time: vec!["time".to_owned()],
        time_form: TimeForm::Rfc3339,
        temperature: "temperature".to_owned(),
        unit: Unit::Celsius,
        missing: Missing::default(),
    };
    match number % 3 {
        0 => plain,
        1 => Layout {
            delimiter: ';',
            decimal: ',',
            time: vec!["date".to_owned(), "time".to_owned()],
            time_form: local("%d.%m.%Y %H:%M"),
            temperature: "out".to_owned(),
            unit: Unit::Fahrenheit,
            missing: Missing(vec!["--".to_owned()]),
            ..plain
        },
        _ => Layout {
            delimiter: ' ',
            header: false,
            time: vec!["1".to_owned(), "2".to_owned()],
            time_form: local("%Y-%m-%d %H:%M"),
            temperature: "3".to_owned(),
            ..plain
        },
    }
}

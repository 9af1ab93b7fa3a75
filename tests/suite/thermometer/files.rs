//! The lines of station files as they are met.

use budward::garden::Zone;
use budward::thermometer::{Layout, Missing, Reading, Refusal, TimeForm, Unit, whole_lines};
use chrono::{DateTime, Utc};

fn plain() -> Layout {
    Layout {
        delimiter: ',',
        decimal: '.',
        header: true,
        time: vec!["time".to_owned()],
        time_form: TimeForm::Rfc3339,
        temperature: "temperature".to_owned(),
        unit: Unit::Celsius,
        missing: Missing::default(),
    }
}

fn local(form: &str, zone: &str) -> TimeForm {
    TimeForm::Local {
        form: form.to_owned(),
        zone: Zone::named(zone).unwrap(),
    }
}

type Lines = Vec<Result<Reading, Refusal>>;

/// What is read of a file as far as it has whole lines.
fn read(layout: &Layout, file: &str) -> Lines {
    let columns = layout.columns(file.lines().next().unwrap()).unwrap();
    let body = if layout.header {
        file.split_once('\n').unwrap().1
    } else {
        file
    };
    layout.read(
        &columns,
        body.split_at(whole_lines(body.as_bytes())).0,
        None,
    )
}

fn shown(lines: &Lines) -> Vec<Result<(String, f64), Refusal>> {
    let show = |reading: &Reading| {
        let degrees = (reading.temperature.degrees() * 100.0).round() / 100.0;
        (reading.at.format("%m-%dT%H:%MZ").to_string(), degrees)
    };
    lines
        .iter()
        .map(|line| line.as_ref().map(show).map_err(|why| *why))
        .collect()
}

fn is(at: &str, degrees: f64) -> (String, f64) {
    (at.to_owned(), degrees)
}

#[test]
fn the_plain_file_is_read_and_its_half_written_line_waits() {
    let file = "\u{feff}time,temperature\r\n2027-04-10T05:00:00-04:00,-1.5\r\n2027-04-10T09:10:00Z,\r\n2027-04-10T0";
    let lines = read(&plain(), file);
    assert_eq!(shown(&lines), [Ok(is("04-10T09:00Z", -1.5))]);
    assert_eq!(
        whole_lines(file.as_bytes()),
        file.len() - "2027-04-10T0".len()
    );
}

#[test]
fn comma_decimals_two_time_columns_and_sentinels() {
    let layout = Layout {
        delimiter: ';',
        decimal: ',',
        time: vec!["Datum".to_owned(), "Zeit".to_owned()],
        time_form: local("%d.%m.%Y %H:%M", "Europe/Vienna"),
        temperature: "Temperatur".to_owned(),
        missing: Missing(vec!["--".to_owned(), "32767".to_owned()]),
        ..plain()
    };
    let file = "Datum;Zeit;Feuchte;\"Temperatur\"\n10.04.2027;05:00;81;\"-1,5\"\n10.04.2027;05:10;81;--\n\
                10.04.2027;05:20;81;32767\n10.04.2027;05:30;81;kalt\n10.04.2027\n";
    assert_eq!(
        shown(&read(&layout, file)),
        [
            Ok(is("04-10T03:00Z", -1.5)),
            Err(Refusal::Unreadable),
            Err(Refusal::Unreadable)
        ]
    );
}

#[test]
fn blanks_without_header_and_degrees_fahrenheit() {
    let layout = Layout {
        delimiter: ' ',
        header: false,
        time: vec!["1".to_owned(), "2".to_owned()],
        time_form: local("%m/%d/%y %H:%M", "America/New_York"),
        temperature: "4".to_owned(),
        unit: Unit::Fahrenheit,
        ..plain()
    };
    let file = "04/10/27  05:00   81  28.4\n04/10/27\t05:10 81 32\n";
    assert_eq!(
        shown(&read(&layout, file)),
        [Ok(is("04-10T09:00Z", -2.0)), Ok(is("04-10T09:10Z", 0.0))]
    );
}

#[test]
fn the_repeated_hour_is_told_by_order_and_the_skipped_one_refused() {
    let layout = Layout {
        time_form: local("%Y-%m-%d %H:%M", "Europe/Vienna"),
        ..plain()
    };
    // Clocks go back at 01:00 UTC on 31 October 2027, forward at 01:00 UTC on 28 March.
    let autumn = "time,temperature\n2027-10-31 01:40,5\n2027-10-31 02:10,4\n2027-10-31 02:40,3\n\
                  2027-10-31 02:10,2\n2027-10-31 02:40,1\n2027-10-31 03:10,0\n";
    let at: Vec<_> = shown(&read(&layout, autumn))
        .into_iter()
        .map(|line| line.unwrap().0)
        .collect();
    assert_eq!(
        at,
        [
            "10-30T23:40Z",
            "10-31T00:10Z",
            "10-31T00:40Z",
            "10-31T01:10Z",
            "10-31T01:40Z",
            "10-31T02:10Z"
        ]
    );
    let alone = "time,temperature\n2027-10-31 02:10,4\n2027-03-28 02:30,4\n";
    assert_eq!(
        shown(&read(&layout, alone)),
        [Err(Refusal::UnclearTime), Err(Refusal::UnclearTime)]
    );
    let columns = layout.columns("time,temperature").unwrap();
    let after: DateTime<Utc> = "2027-10-31T00:55:00Z".parse().unwrap();
    let piece = layout.read(&columns, "2027-10-31 02:10,4\n", Some(after));
    assert_eq!(shown(&piece), [Ok(is("10-31T01:10Z", 4.0))]);
}

#[test]
fn a_column_that_is_not_there_is_named_with_those_that_are() {
    let wrong = Layout {
        temperature: "temp".to_owned(),
        ..plain()
    };
    assert_eq!(
        wrong.columns("time,temperature").unwrap_err().to_string(),
        "no column \"temp\"; there are: time, temperature"
    );
    let counted = Layout {
        header: false,
        ..plain()
    };
    assert!(counted.columns("2027-04-10T05:00:00Z,1").is_err());
}

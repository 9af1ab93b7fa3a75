//! Station records of GHCN-Daily in the comma-separated form, one value a line.
//!
//! A line is station, date as YYYYMMDD, element, value in tenths of a degree, measurement flag, quality flag, source flag
//! and time of observation, with or without a header above; the long form of one station leaves the station out. Source:
//! NOAA/NCEI, readme of GHCN-Daily by_station.

use chrono::{Datelike, NaiveDate};

use super::cells::{Separator, lines};
use super::detect::Form;
use super::ghcn::tenths;
use super::readings::{Element, Readings, YEARS};
use super::record::{DailyRecord, RecordError};
use crate::units::Celsius;

const CELLS_WITH_STATION: usize = 8;
const CELLS_WITHOUT: usize = 7;

/// The daily lowest and highest temperatures of one station.
///
/// Only values that passed every check of the service are kept (blank quality flag); a form without flags is refused. A
/// day whose lowest temperature is above its highest keeps neither.
///
/// # Errors
/// When the text is another format, holds more than one station or a value twice, or breaks off; with the line where it
/// does.
pub fn parse(text: &str) -> Result<DailyRecord, RecordError> {
    match Form::of(text) {
        Form::GhcnCsv | Form::Unknown => {}
        other @ (Form::Dly | Form::Table | Form::Archive | Form::Other(_)) => {
            return Err(
                other.refused("lines of GHCN-Daily such as XX000000001,20240131,TMIN,-22,,,C,0700")
            );
        }
    }
    let mut readings = Readings::default();
    let mut station: Option<Option<&str>> = None;
    for (number, text) in lines(text) {
        let at_line = |what: String| RecordError::Line { line: number, what };
        let cells = Separator::Comma.cells(text).unwrap_or_default();
        if station.is_none() && is_header(&cells) {
            continue;
        }
        let line = Line::of(&cells).map_err(at_line)?;
        let known = *station.get_or_insert(line.station);
        if known != line.station {
            return Err(at_line(format!(
                "{}, but the file began with {}",
                named(line.station),
                named(known)
            )));
        }
        if let Some(element) = Element::named(line.element)
            && let Some(value) = line.value().map_err(at_line)?
        {
            readings.add(line.date, element, value, number)?;
        }
    }
    let station = named(station.flatten());
    readings.into_record(format!("GHCN-Daily {station}, NOAA/NCEI"))
}

fn named(station: Option<&str>) -> String {
    station.map_or_else(
        || "without a station".to_owned(),
        |station| format!("station {station}"),
    )
}

/// Whether the line names the columns of either form.
pub(super) fn is_header(cells: &[&str]) -> bool {
    let is = |cell: Option<&&str>, names: &[&str]| {
        cell.is_some_and(|cell| names.iter().any(|name| cell.eq_ignore_ascii_case(name)))
    };
    let from_date = if is(cells.first(), &["id", "station"]) {
        cells.get(1..)
    } else {
        Some(cells)
    };
    from_date.is_some_and(|cells| {
        is(cells.first(), &["date"])
            && is(cells.get(1), &["element", "attr"])
            && is(cells.get(2), &["value", "data_value"])
    })
}

/// Whether the line holds a value in either form: a date of eight digits, then the code of an element.
pub(super) fn is_value(cells: &[&str]) -> bool {
    let dated = |pair: &[&str]| {
        let &[date, element] = pair else { return false };
        date_of(date).is_some()
            && element.len() == 4
            && element
                .bytes()
                .all(|b| b.is_ascii_uppercase() || b.is_ascii_digit())
    };
    cells.windows(2).take(2).any(dated)
}

fn date_of(text: &str) -> Option<NaiveDate> {
    let digits = text.len() == 8 && text.bytes().all(|b| b.is_ascii_digit());
    NaiveDate::parse_from_str(text, "%Y%m%d")
        .ok()
        .filter(|date| digits && YEARS.contains(&date.year()))
}

struct Line<'a> {
    station: Option<&'a str>,
    date: NaiveDate,
    element: &'a str,
    value: &'a str,
    quality: &'a str,
}

impl<'a> Line<'a> {
    fn of(cells: &[&'a str]) -> Result<Self, String> {
        let (station, cells) = match (cells.len(), cells) {
            (CELLS_WITH_STATION, [station, rest @ ..]) => (Some(*station), rest),
            (CELLS_WITHOUT, rest) => (None, rest),
            (n, _) => {
                return Err(format!(
                    "{n} cells, expected {CELLS_WITH_STATION} with a station or {CELLS_WITHOUT} without: \
                     date, element, value, three flags, time"
                ));
            }
        };
        let &[date, element, value, measurement, quality, source, time] = cells else {
            return Err("no value".to_owned());
        };
        if [measurement, quality, source]
            .iter()
            .any(|flag| flag.chars().count() > 1)
            || !(time.is_empty() || time.len() <= 4 && time.bytes().all(|b| b.is_ascii_digit()))
        {
            return Err(format!(
                "'{measurement},{quality},{source},{time}' are not three flags of one letter and a time such as 0700"
            ));
        }
        let date =
            date_of(date).ok_or_else(|| format!("'{date}' is not a date such as 20240131"))?;
        Ok(Self {
            station,
            date,
            element,
            value,
            quality,
        })
    }

    fn value(&self) -> Result<Option<Celsius>, String> {
        tenths(self.value, self.quality)
            .map_err(|what| format!("{} of {}: '{}' {what}", self.element, self.date, self.value))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::DayExtremes;

    const HEADER: &str = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n";
    const ROWS: &str = "XX000000001,20240228,TMAX,55,,,C,0700\n\
                        XX000000001,20240228,TMIN,-22,,,C,0700\n\
                        XX000000001,20240228,PRCP,0,T,,C,0700\n\
                        XX000000001,20240229,TMIN,13,,I,C,0700\n\
                        XX000000001,20240301,TMIN,-9999,,,C,\n\
                        XX000000001,20240301,TMAX,71,H,,S,2400\n";

    fn said(text: &str) -> String {
        parse(text).unwrap_err().to_string()
    }

    #[test]
    fn days_are_read_with_their_gaps_with_a_header_and_without() {
        let record = parse(ROWS).unwrap();
        assert_eq!(record.origin, "GHCN-Daily station XX000000001, NOAA/NCEI");
        let day = |min: Option<f64>, max: Option<f64>| DayExtremes {
            min: min.map(Celsius::new),
            max: max.map(Celsius::new),
        };
        let days: Vec<_> = record.days().map(|(_, day)| day).collect();
        // The second day's only value failed a check.
        let expected = [
            day(Some(-2.2), Some(5.5)),
            day(None, None),
            day(None, Some(7.1)),
        ];
        assert_eq!(days, expected);
        assert_eq!(parse(&format!("{HEADER}{ROWS}")), Ok(record));
    }

    #[test]
    fn the_long_form_without_a_station_gives_the_same_days() {
        let long = format!("date,attr,value,a,b,c,d\n{ROWS}").replace("XX000000001,", "");
        let record = parse(&long).unwrap();
        assert_eq!(record.origin, "GHCN-Daily without a station, NOAA/NCEI");
        assert!(record.days().eq(parse(ROWS).unwrap().days()));
    }

    #[test]
    fn a_day_whose_extremes_are_swapped_keeps_neither() {
        let text = ROWS.replace("TMAX,55", "TMAX,-30");
        assert_eq!(
            parse(&text).unwrap().first(),
            NaiveDate::from_ymd_opt(2024, 3, 1).unwrap()
        );
    }

    #[test]
    fn a_broken_line_is_named() {
        let with = |from: &str, to: &str| {
            assert!(ROWS.contains(from));
            said(&ROWS.replacen(from, to, 1))
        };
        assert_eq!(
            with("TMIN,-22", "TMIN,-2.2"),
            "line 2: TMIN of 2024-02-28: '-2.2' is not a whole number"
        );
        assert_eq!(
            with("TMIN,-22", "TMIN,-999"),
            "line 2: TMIN of 2024-02-28: '-999' tenths of °C do not occur, and no quality flag says so"
        );
        assert_eq!(
            with("20240301", "20240230"),
            "line 5: '20240230' is not a date such as 20240131"
        );
        assert_eq!(
            with("001,20240229", "002,20240229"),
            "line 4: station XX000000002, but the file began with station XX000000001"
        );
        assert_eq!(
            with("20240229,TMIN,13,,I,", "20240228,TMIN,13,,,"),
            "line 4: a second lowest temperature of 2024-02-28, other than on line 2"
        );
        assert_eq!(
            with("XX000000001,20240229", "20240229"),
            "line 4: without a station, but the file began with station XX000000001"
        );
        assert_eq!(
            with(",,I,C,0700", ",7:00,,I,C"),
            "line 4: '7:00,,I,C' are not three flags of one letter and a time such as 0700"
        );
    }

    #[test]
    fn values_without_their_flags_are_refused() {
        let said = said("ID,DATE,ELEMENT,DATA_VALUE\nXX000000001,20240101,TMIN,-22\n");
        assert_eq!(
            said,
            "line 2: 4 cells, expected 8 with a station or 7 without: date, element, value, three flags, time"
        );
    }

    #[test]
    fn another_format_is_refused_by_its_name() {
        let expected =
            "expected lines of GHCN-Daily such as XX000000001,20240131,TMIN,-22,,,C,0700";
        assert_eq!(
            said("<html>"),
            format!("this looks like a web page; {expected}")
        );
        assert_eq!(
            said("date,tmin,tmax\n2024-01-01,1,2\n"),
            format!("this looks like a table of days; {expected}")
        );
        assert_eq!(parse(""), Err(RecordError::Empty));
        assert_eq!(parse(HEADER), Err(RecordError::Empty));
    }
}

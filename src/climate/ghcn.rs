//! Station records of GHCN-Daily in the fixed-width `.dly` form.
//!
//! One line holds a month of one element: station in columns 1-11, year 12-15, month 16-17, element 18-21, then 31 times
//! a value of five columns and three flags. Source: NOAA/NCEI, readme of GHCN-Daily, section III; Menne et al., An
//! overview of the Global Historical Climatology Network-Daily database, J. Atmos. Oceanic Technol. 29, 2012, 897-910.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::detect::Form;
use super::readings::{Element, YEARS};
use super::record::{DailyRecord, DayExtremes, RecordError};
use crate::units::{AIR_RANGE, Celsius};

/// Length of a line, and the same without the flags of its last day, which an editor may have cut off as blanks.
const LINE: usize = 269;
const LINE_MIN: usize = 266;

const MISSING: i32 = -9999;

/// The daily lowest and highest temperatures of one station.
///
/// Only values that passed every check of the service are kept (blank quality flag). A day whose lowest temperature is
/// above its highest keeps neither.
///
/// # Errors
/// When the text is another format, holds more than one station, or breaks off; with the line where it does.
pub fn parse(text: &str) -> Result<DailyRecord, RecordError> {
    match Form::of(text) {
        Form::Dly | Form::Unknown => {}
        other @ (Form::GhcnCsv | Form::Table | Form::Archive | Form::Other(_)) => {
            return Err(other.refused(&format!(
                "the .dly file of one GHCN-Daily station, with lines of {LINE} characters"
            )));
        }
    }
    let mut station = None;
    let mut months: BTreeMap<NaiveDate, Month> = BTreeMap::new();
    for (number, text) in (1..).zip(text.lines()) {
        if text.trim().is_empty() {
            continue;
        }
        let at_line = |what: String| RecordError::Line { line: number, what };
        let line = Line::of(text).map_err(at_line)?;
        let station = *station.get_or_insert(line.station);
        if station != line.station {
            return Err(at_line(format!(
                "station {}, but the file began with {station}",
                line.station
            )));
        }
        let Some(element) = Element::named(line.element) else {
            continue;
        };
        let values = line.values().map_err(at_line)?;
        let month = months.entry(line.first_day).or_default();
        if month.of(element).replace(values).is_some() {
            return Err(at_line(format!(
                "{} of {} a second time",
                line.element,
                line.first_day.format("%Y-%m")
            )));
        }
    }
    let days = months
        .into_iter()
        .flat_map(|(first_day, month)| month.days(first_day));
    DailyRecord::from_days(
        format!(
            "GHCN-Daily station {}, NOAA/NCEI",
            station.unwrap_or_default()
        ),
        days,
    )
}

/// The values of a month, one a day.
type Values = Vec<Option<Celsius>>;

#[derive(Default)]
struct Month {
    min: Option<Values>,
    max: Option<Values>,
}

impl Month {
    fn of(&mut self, element: Element) -> &mut Option<Values> {
        match element {
            Element::Min => &mut self.min,
            Element::Max => &mut self.max,
        }
    }

    fn days(self, first_day: NaiveDate) -> impl Iterator<Item = (NaiveDate, DayExtremes)> {
        let value =
            |values: &Option<Values>, day: usize| values.as_ref().and_then(|all| *all.get(day)?);
        first_day
            .iter_days()
            .take(usize::from(first_day.num_days_in_month()))
            .enumerate()
            .map(move |(day, date)| {
                (
                    date,
                    DayExtremes::of(value(&self.min, day), value(&self.max, day)),
                )
            })
    }
}

/// One line, its fixed columns taken apart.
struct Line<'a> {
    text: &'a str,
    station: &'a str,
    first_day: NaiveDate,
    element: &'a str,
}

impl<'a> Line<'a> {
    fn of(text: &'a str) -> Result<Self, String> {
        if !text.is_ascii() || !(LINE_MIN..=LINE).contains(&text.len()) {
            return Err(format!(
                "{} characters, expected {LINE}",
                text.chars().count()
            ));
        }
        let columns = |from: usize, to: usize| text.get(from..to).unwrap_or_default();
        let month = columns(11, 17);
        let (year, month_of_year) = (columns(11, 15).parse(), columns(15, 17).parse());
        let first_day = match (year, month_of_year) {
            (Ok(year), Ok(month)) if YEARS.contains(&year) => {
                NaiveDate::from_ymd_opt(year, month, 1)
            }
            (Ok(_) | Err(_), Ok(_) | Err(_)) => None,
        };
        Ok(Self {
            text,
            station: columns(0, 11),
            first_day: first_day
                .ok_or_else(|| format!("'{month}' in columns 12-17 is not a year and month"))?,
            element: columns(17, 21),
        })
    }

    fn values(&self) -> Result<Values, String> {
        (0..usize::from(self.first_day.num_days_in_month()))
            .map(|day| self.value(day))
            .collect()
    }

    /// The value of a day counted from 0.
    fn value(&self, day: usize) -> Result<Option<Celsius>, String> {
        let start = 21 + 8 * day;
        let field = self.text.get(start..start + 5).unwrap_or_default();
        let wrong = |what: &str| format!("{} of day {}: '{field}' {what}", self.element, day + 1);
        let quality = self.text.get(start + 6..start + 7).unwrap_or(" ");
        tenths(field.trim_start(), quality.trim()).map_err(wrong)
    }
}

/// A value in tenths of a degree with its quality flag: a gap where it is missing or failed a check of the service.
pub(super) fn tenths(text: &str, quality: &str) -> Result<Option<Celsius>, &'static str> {
    let tenths: i32 = text.parse().map_err(|_| "is not a whole number")?;
    if tenths == MISSING || !quality.is_empty() {
        return Ok(None);
    }
    let degrees = f64::from(tenths) / 10.0;
    if AIR_RANGE.contains(&degrees) {
        Ok(Some(Celsius::new(degrees)))
    } else {
        Err("tenths of °C do not occur, and no quality flag says so")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line with the values of the first days, each with its quality flag; the other days are missing.
    fn line(station: &str, month: &str, element: &str, values: &[(i32, char)]) -> String {
        let field = |day: usize| {
            let (value, quality) = values.get(day).copied().unwrap_or((MISSING, ' '));
            format!("{value:5} {quality}C")
        };
        let fields: Vec<String> = (0..31).map(field).collect();
        format!("{station}{month}{element}{}\n", fields.concat())
    }

    fn good(values: &[i32]) -> Vec<(i32, char)> {
        values.iter().map(|value| (*value, ' ')).collect()
    }

    fn day(min: Option<f64>, max: Option<f64>) -> DayExtremes {
        DayExtremes {
            min: min.map(Celsius::new),
            max: max.map(Celsius::new),
        }
    }

    fn said(text: &str) -> String {
        parse(text).unwrap_err().to_string()
    }

    #[test]
    fn a_month_is_read_with_its_gaps() {
        let text = line("XX000000001", "202402", "TMAX", &good(&[55, -9999, 10, 71]))
            + &line("XX000000001", "202402", "TMIN", &good(&[-22, 13, 12, -5]))
            + &line("XX000000001", "202402", "PRCP", &good(&[3, 4]));
        let record = parse(&text).unwrap();
        assert_eq!(record.origin, "GHCN-Daily station XX000000001, NOAA/NCEI");
        let days: Vec<_> = record.days().map(|(_, day)| day).collect();
        // The third day's lowest is above its highest.
        let last = day(Some(-0.5), Some(7.1));
        assert_eq!(
            days,
            [
                day(Some(-2.2), Some(5.5)),
                day(Some(1.3), None),
                day(None, None),
                last
            ]
        );
    }

    #[test]
    fn a_flagged_value_is_a_gap() {
        let flags = "DGIKLMNORSTWXZ";
        let values: Vec<_> = flags
            .chars()
            .map(|flag| (50, flag))
            .chain([(60, ' ')])
            .collect();
        let record = parse(&line("XX000000001", "202401", "TMIN", &values)).unwrap();
        assert_eq!(
            record.first(),
            NaiveDate::from_ymd_opt(2024, 1, 15).unwrap()
        );
        assert_eq!(record.days().count(), 1);
    }

    #[test]
    fn what_stands_past_the_end_of_a_month_is_ignored() {
        let record = parse(&line("XX000000001", "202302", "TMIN", &good(&[10; 31]))).unwrap();
        assert_eq!(record.last(), NaiveDate::from_ymd_opt(2023, 2, 28).unwrap());
    }

    #[test]
    fn line_ends_of_other_systems_and_cut_blanks_do_no_harm() {
        let text = line("XX000000001", "202401", "TMIN", &good(&[10])).replace("C\n", "\r\n");
        assert!(text.trim_end().len() < LINE);
        assert!(parse(&text).is_ok());
    }

    #[test]
    fn two_stations_are_refused() {
        let text = line("XX000000001", "202401", "TMIN", &good(&[10]))
            + &line("XX000000002", "202401", "PRCP", &good(&[10]));
        assert_eq!(
            said(&text),
            "line 2: station XX000000002, but the file began with XX000000001"
        );
    }

    #[test]
    fn a_broken_line_is_named() {
        let whole = line("XX000000001", "202401", "TMIN", &good(&[10]));
        let twice = format!("{whole}\n{whole}");
        assert_eq!(said(&twice), "line 3: TMIN of 2024-01 a second time");
        assert_eq!(
            said(&format!("{whole}XX0000")),
            "line 2: 6 characters, expected 269"
        );
        let text = whole.replace("   10", "   1x");
        assert_eq!(
            said(&text),
            "line 1: TMIN of day 1: '   1x' is not a whole number"
        );
        let text = whole.replace("202401", "202413");
        assert_eq!(
            said(&text),
            "line 1: '202413' in columns 12-17 is not a year and month"
        );
        let text = whole.replace("   10", "  999");
        assert_eq!(
            said(&text),
            "line 1: TMIN of day 1: '  999' tenths of °C do not occur, and no quality flag says so"
        );
    }

    #[test]
    fn another_format_is_refused_by_its_name() {
        let expected = "this looks like a web page; expected the .dly file of one GHCN-Daily station, with lines of \
                        269 characters";
        assert_eq!(said("<!DOCTYPE html>"), expected);
    }

    #[test]
    fn nothing_to_read_is_said() {
        assert_eq!(parse(""), Err(RecordError::Empty));
        assert_eq!(
            parse(&line("XX000000001", "202401", "PRCP", &good(&[10]))),
            Err(RecordError::Empty)
        );
    }
}

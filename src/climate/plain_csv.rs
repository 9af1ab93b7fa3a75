//! Daily extremes from a plain table: a line that names the columns, then a line a day.
//!
//! | what | how |
//! |---|---|
//! | separator | comma, semicolon, tab or blanks, as the header has it |
//! | day | a column `date` as 2024-01-31, or columns `day`, `month` and `year` |
//! | temperatures | columns such as `tmin` and `tmax`; the unit stands in the name (`tmin_c`, `Tmax (°F)`), else it is °C |
//! | number | decimal point, or decimal comma where the comma is not the separator |
//! | gap | nothing, `NA` or `-9999` |
//!
//! Lines may stand in any order. Other columns are passed over, but a column `station` may name one station only.

mod header;

use chrono::{Datelike, NaiveDate};

use self::header::{Column, Columns, DateColumns};
use super::cells::{Separator, lines};
use super::detect::Form;
use super::readings::{Element, Readings, YEARS};
use super::record::{DailyRecord, RecordError};
use crate::units::{AIR_RANGE, Celsius};

pub(super) use header::is_header;

const MISSING: f64 = -9999.0;

/// The daily lowest and highest temperatures of a table.
///
/// A day whose lowest temperature is above its highest keeps neither.
///
/// # Errors
/// When the text is another format, the header lacks a column or leaves its unit open, or a line does not fit the header,
/// holds no date or number, or contradicts an earlier line for the same day; with the line where it does.
pub fn parse(text: &str) -> Result<DailyRecord, RecordError> {
    match Form::of(text) {
        Form::Table | Form::Unknown => {}
        other @ (Form::Dly | Form::GhcnCsv | Form::Archive | Form::Other(_)) => {
            return Err(other.refused("a table of days with a header such as date,tmin_c,tmax_c"));
        }
    }
    let mut lines = lines(text);
    let (number, header) = lines.next().ok_or(RecordError::Empty)?;
    let mut table = Table::of(header).map_err(|what| RecordError::Line { line: number, what })?;
    let mut readings = Readings::default();
    for (number, text) in lines {
        let at_line = |what: String| RecordError::Line { line: number, what };
        let day = table.day(text).map_err(at_line)?;
        for (element, value) in [(Element::Min, day.min), (Element::Max, day.max)] {
            if let Some(value) = value {
                readings.add(day.date, element, value, number)?;
            }
        }
    }
    readings.into_record("table of days".to_owned())
}

struct Table<'a> {
    separator: Separator,
    columns: Columns,
    station: Option<&'a str>,
}

struct Day {
    date: NaiveDate,
    min: Option<Celsius>,
    max: Option<Celsius>,
}

impl<'a> Table<'a> {
    fn of(header: &str) -> Result<Self, String> {
        let separator = Separator::of(header);
        let cells = separator.cells(header).ok_or("a quote does not end")?;
        Ok(Self {
            separator,
            columns: Columns::of(&cells)?,
            station: None,
        })
    }

    fn day(&mut self, line: &'a str) -> Result<Day, String> {
        let cells = self.separator.cells(line).ok_or("a quote does not end")?;
        if cells.len() != self.columns.count {
            return Err(format!(
                "{} cells, but the header names {} columns",
                cells.len(),
                self.columns.count
            ));
        }
        let cell = |at: usize| cells.get(at).copied().unwrap_or_default();
        if let Some(at) = self.columns.station {
            let first = *self.station.get_or_insert(cell(at));
            if first != cell(at) {
                return Err(format!(
                    "station '{}', but the table began with '{first}'",
                    cell(at)
                ));
            }
        }
        let value = |column: &Column| self.value(column, cell(column.at));
        Ok(Day {
            date: date(self.columns.date, cell)?,
            min: value(&self.columns.min)?,
            max: value(&self.columns.max)?,
        })
    }

    fn value(&self, column: &Column, text: &str) -> Result<Option<Celsius>, String> {
        if text.is_empty() || text.eq_ignore_ascii_case("NA") {
            return Ok(None);
        }
        let pointed = match self.separator {
            Separator::Comma => text.to_owned(),
            Separator::Semicolon | Separator::Tab | Separator::Blanks => text.replace(',', "."),
        };
        let name = &column.name;
        let value: f64 = pointed.replace('−', "-").parse().map_err(|_| {
            format!("{name}: '{text}' is not a number, and a gap is empty, NA or -9999")
        })?;
        if (value - MISSING).abs() < 0.5 {
            return Ok(None);
        }
        let temperature = (column.celsius)(value);
        if AIR_RANGE.contains(&temperature.degrees()) {
            return Ok(Some(temperature));
        }
        let (low, high) = (AIR_RANGE.start(), AIR_RANGE.end());
        Err(format!(
            "{name}: '{text}' is outside {low} to {high} °C; a table in °F says so in its header, as in tmin_f"
        ))
    }
}

fn date<'a>(columns: DateColumns, cell: impl Fn(usize) -> &'a str) -> Result<NaiveDate, String> {
    let (date, text) = match columns {
        DateColumns::One(at) => (
            NaiveDate::parse_from_str(cell(at), "%Y-%m-%d").ok(),
            cell(at).to_owned(),
        ),
        DateColumns::Three { day, month, year } => {
            let text = [day, month, year].map(&cell);
            let [day, month, year] = text;
            let date = match (year.parse(), month.parse(), day.parse()) {
                (Ok(year), Ok(month), Ok(day)) => NaiveDate::from_ymd_opt(year, month, day),
                (Ok(_) | Err(_), Ok(_) | Err(_), Ok(_) | Err(_)) => None,
            };
            (date, text.join(" "))
        }
    };
    date.filter(|date| YEARS.contains(&date.year()))
        .ok_or_else(|| format!("'{text}' is not {}", columns.example()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::DayExtremes;

    fn said(text: &str) -> String {
        parse(text).unwrap_err().to_string()
    }

    fn days(text: &str) -> Vec<(String, Option<f64>, Option<f64>)> {
        let tenths = |t: Celsius| (t.degrees() * 10.0).round() / 10.0;
        let record = parse(text).unwrap();
        let day = |(date, day): (NaiveDate, DayExtremes)| {
            (date.to_string(), day.min.map(tenths), day.max.map(tenths))
        };
        record.days().map(day).collect()
    }

    fn day(date: &str, min: f64, max: f64) -> (String, Option<f64>, Option<f64>) {
        (date.to_owned(), Some(min), Some(max))
    }

    #[test]
    fn a_table_is_read_whatever_its_separator_and_unit() {
        let expected = [day("2024-02-29", -2.2, 5.5), day("2024-03-01", 0.0, 7.5)];
        for text in [
            "date,tmin,tmax\n2024-02-29,-2.2,5.5\n2024-03-01,0,7.5\n",
            "\u{feff}Date;Tmin (°C);Tmax (°C)\r\n2024-02-29;-2,2;5,5\r\n2024-03-01;0;7.5\r\n",
            "date\ttmax\tnote\ttmin\n2024-02-29\t5.5\tsnow\t-2.2\n2024-03-01\t7.5\t\t0\n",
            "Day Month  Year Tmin(C)  Tmax(C)   \n29 2 2024 -2.2 5.5   \n 1 3 2024 0 7.5\n",
            "date,\"tmin_f\",tmax (°F)\n2024-02-29,28.04,41.9\n2024-03-01,32,45.5\n",
            "station,date,max temperature degC,min temperature degC\n\
             \"Long Meadow, north\",2024-02-29,5.5,−2.2\n\"Long Meadow, north\",2024-03-01,7.5,0\n",
        ] {
            assert_eq!(days(text), expected, "{text}");
        }
    }

    #[test]
    fn gaps_stay_and_order_does_not_matter() {
        let text = "date,tmin_c,tmax_c\n2024-01-04,1,2\n2024-01-02,na,-9999\n2024-01-03,,4\n2024-01-01,-9999.0,6\n";
        let gap = |date: &str, max: Option<f64>| (date.to_owned(), None, max);
        let expected = [
            gap("2024-01-01", Some(6.0)),
            gap("2024-01-02", None),
            gap("2024-01-03", Some(4.0)),
            day("2024-01-04", 1.0, 2.0),
        ];
        assert_eq!(days(text), expected);
    }

    #[test]
    fn a_day_may_come_again_but_not_with_another_value() {
        let text = "date,tmin,tmax\n2024-01-01,1,\n2024-01-01,1.0,2\n";
        assert_eq!(days(text), [day("2024-01-01", 1.0, 2.0)]);
        assert_eq!(
            said(&format!("{text}2024-01-01,1,3\n")),
            "line 4: a second highest temperature of 2024-01-01, other than on line 3"
        );
    }

    #[test]
    fn a_day_whose_extremes_are_swapped_keeps_neither() {
        let text = "date,tmin,tmax\n2024-01-01,5,2\n2024-01-02,1,2\n";
        assert_eq!(days(text), [day("2024-01-02", 1.0, 2.0)]);
    }

    #[test]
    fn a_broken_line_is_named() {
        let line = |line: &str| said(&format!("date,tmin,tmax\n\n{line}\n"));
        assert_eq!(
            line("2024-01-01,1"),
            "line 3: 2 cells, but the header names 3 columns"
        );
        assert_eq!(line("2024-01-01,\"1,2"), "line 3: a quote does not end");
        for date in ["31.01.2024", "24-01-31", "2024-02-30", ""] {
            let expected = format!("line 3: '{date}' is not a date such as 2024-01-31");
            assert_eq!(line(&format!("{date},1,2")), expected);
        }
        assert_eq!(
            line("2024-01-01,1,mild"),
            "line 3: tmax: 'mild' is not a number, and a gap is empty, NA or -9999"
        );
        assert!(line("2024-01-01,nan,2").starts_with("line 3: tmin: 'nan' is outside"));
        assert_eq!(
            line("2024-01-01,1,68"),
            "line 3: tmax: '68' is outside -90 to 60 °C; a table in °F says so in its header, as in tmin_f"
        );
        assert_eq!(
            said("day;month;year;tmin;tmax\n30;2;1991;0;1\n"),
            "line 2: '30 2 1991' is not a day, month and year such as 31 1 2024"
        );
        assert_eq!(
            said("location,date,tmin,tmax\nHill,2024-01-01,1,2\nDale,2024-01-01,1,2\n"),
            "line 3: station 'Dale', but the table began with 'Hill'"
        );
    }

    #[test]
    fn another_format_is_refused_by_its_name() {
        let expected = "expected a table of days with a header such as date,tmin_c,tmax_c";
        assert_eq!(
            said("<html>"),
            format!("this looks like a web page; {expected}")
        );
        assert_eq!(
            said("XX000000001,20240101,TMIN,-22,,,C,0700\n"),
            format!("this looks like the comma-separated form of GHCN-Daily; {expected}")
        );
        assert_eq!(parse(""), Err(RecordError::Empty));
        assert_eq!(parse("date,tmin,tmax\n"), Err(RecordError::Empty));
    }
}

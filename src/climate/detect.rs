//! Which kind of record a text is, told by its content, and the one call that reads each kind.

use chrono::NaiveDate;

use super::cells::{Separator, lines};
use super::record::{DailyRecord, RecordError};
use super::{archive, ghcn, ghcn_csv, plain_csv};

/// The shortest line of a `.dly` file that holds its columns of station, month and element.
const DLY_COLUMNS: usize = 21;

/// How much of a text is shown when nobody knows what it is.
const SHOWN_CHARS: usize = 60;

/// What can be read, for whoever gave something else.
const READABLE: &str = "what can be read is the .dly file or the comma-separated file of one GHCN-Daily station, a table \
                        of days with a header such as date,tmin_c,tmax_c, and a daily reply of Open-Meteo's archive";

/// The daily record in a text of any kind that can be read: a `.dly` file or the comma-separated form of GHCN-Daily, a
/// table of days, or a reply of an archive service.
///
/// `name` says where the text comes from, such as the name of its file.
///
/// # Errors
/// When the text is none of them, which names what it looks like, or when its own reader refuses it.
pub fn read_record(text: &str, name: &str) -> Result<DailyRecord, RecordError> {
    match Form::of(text) {
        Form::Dly => ghcn::parse(text),
        Form::GhcnCsv => ghcn_csv::parse(text),
        Form::Archive => archive::parse(text.as_bytes()),
        Form::Table => plain_csv::parse(text).map(|mut record| {
            record.origin = format!("table {name}");
            record
        }),
        Form::Other(what) => Err(RecordError::Format(format!(
            "{name} looks like {what}; {READABLE}"
        ))),
        Form::Unknown => Err(match lines(text).next() {
            Some((_, first)) => RecordError::Format(format!(
                "{name} is no record: it begins with '{}'; {READABLE}",
                first.trim().chars().take(SHOWN_CHARS).collect::<String>()
            )),
            None => RecordError::Empty,
        }),
    }
}

/// The kinds of text that lie where records lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    Dly,
    GhcnCsv,
    Table,
    Archive,
    /// One that no reader takes, by its name.
    Other(&'static str),
    Unknown,
}

impl Form {
    /// The kind of a text; a reader still has to find its lines good.
    pub(super) fn of(text: &str) -> Self {
        let mut lines = lines(text).map(|(_, line)| line);
        let Some(first) = lines.next() else {
            return Self::Unknown;
        };
        match first.trim_start().chars().next() {
            Some('\u{1f}') => return Self::Other("a compressed file"),
            Some('{' | '[') => return Self::Archive,
            Some('<') => return Self::Other("a web page"),
            Some(_) | None => {}
        }
        if let Some(fixed) = fixed_width(first) {
            return fixed;
        }
        let separator = Separator::of(first);
        let cells = |line| separator.cells(line).unwrap_or_default();
        table(&cells(first), &lines.next().map_or_else(Vec::new, cells))
    }

    /// The error of a reader that was given this kind.
    pub(super) fn refused(self, expected: &str) -> RecordError {
        let name = match self {
            Self::Dly => "the .dly file of a GHCN-Daily station",
            Self::GhcnCsv => "the comma-separated form of GHCN-Daily",
            Self::Table => "a table of days",
            Self::Archive => "JSON, such as a reply of an archive service",
            Self::Other(name) => name,
            Self::Unknown => "something else",
        };
        RecordError::Format(format!("this looks like {name}; expected {expected}"))
    }
}

/// The kinds whose fields stand in fixed columns.
fn fixed_width(first: &str) -> Option<Form> {
    let column = |from: usize, to: usize| first.get(from..to).unwrap_or_default().trim();
    let is_number = |text: &str| text.parse::<f64>().is_ok();
    let month = column(11, 17);
    let is_month = month.len() == 6 && month.bytes().all(|b| b.is_ascii_digit());
    let is_code = |text: &str| text.bytes().all(|b| b.is_ascii_alphanumeric());
    if first.len() >= DLY_COLUMNS && is_month && is_code(column(0, 11)) && is_code(column(17, 21)) {
        Some(Form::Dly)
    } else if !first.contains([',', ';', '\t'])
        && is_number(column(12, 20))
        && is_number(column(21, 30))
        && first.get(11..12) == Some(" ")
    {
        Some(Form::Other("the list of stations or their inventory"))
    } else {
        None
    }
}

/// The kinds whose fields are cells, by their first two lines.
fn table(header: &[&str], row: &[&str]) -> Form {
    let ends = |end: &str| {
        let mut cells = header.iter().map(|cell| cell.to_ascii_lowercase());
        cells.any(|cell| cell.ends_with(end))
    };
    let is_month = |cell: &&str| cell.len() == 7 && cell.get(4..5) == Some("-");
    let is_date = |cell: &&str| cell.parse::<NaiveDate>().is_ok();
    if ghcn_csv::is_header(header) && row.iter().any(is_date) {
        Form::Other("an extract with a value a line, whose unit nobody knows")
    } else if ghcn_csv::is_header(header) || ghcn_csv::is_value(header) {
        Form::GhcnCsv
    } else if ends("date") && row.iter().any(is_month) {
        Form::Other("a summary by months")
    } else if ends("_attributes") {
        Form::Other("a table of days with attributes beside each element, whose unit nobody knows")
    } else if plain_csv::is_header(header) {
        Form::Table
    } else {
        Form::Unknown
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_kind_is_known_by_its_content() {
        let dly = format!("XX000000001202401TMIN{}", "-9999   ".repeat(31));
        for (text, form) in [
            (dly.as_str(), Form::Dly),
            ("XX000000001,20240101,TMIN,-22,,,C,0700\n", Form::GhcnCsv),
            (
                "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\nXX000000001,20240101,TMIN,-22,,,C,\n",
                Form::GhcnCsv,
            ),
            (
                "date,attr,value,a,b,c,d\n20240101,TMIN,-22,,,C,\n",
                Form::GhcnCsv,
            ),
            ("\u{feff}date;tmin_c;tmax_c\n", Form::Table),
            (
                "Day Month Year Tmin(C) Tmax(C)\n1 1 1991 0 1\n",
                Form::Table,
            ),
            ("2024-01-01,-2,3\n", Form::Table),
            ("\n {\"daily\":{}}", Form::Archive),
            ("", Form::Unknown),
            ("Dear all,\n", Form::Unknown),
            ("a,b\n1,2\n", Form::Unknown),
        ] {
            assert_eq!(Form::of(text), form, "{text}");
        }
    }

    #[test]
    fn what_no_reader_takes_is_named() {
        let monthly =
            "\"STATION\",\"DATE\",\"TMAX\",\"TMIN\"\n\"XX000000001\",\"1869-01\",\"6\",\"1\"\n";
        let wide = "\"STATION\",\"DATE\",\"TMIN\",\"TMIN_ATTRIBUTES\"\n\"XX000000001\",\"1869-01-01\",\"6\",\",,Z\"\n";
        for (text, what) in [
            (monthly, "a summary by months"),
            (
                wide,
                "a table of days with attributes beside each element, whose unit nobody knows",
            ),
            (
                "date,attr,value,a,b\n2024-01-01,TMIN,-22,,\n",
                "an extract with a value a line, whose unit nobody knows",
            ),
            ("<!DOCTYPE html>", "a web page"),
            ("\u{1f}\u{8b}", "a compressed file"),
            (
                "XX000000001  17.1167  -61.7833   10.1    INVENTED PLACE\n",
                "the list of stations or their inventory",
            ),
        ] {
            assert_eq!(Form::of(text), Form::Other(what), "{text}");
            let said = read_record(text, "it.csv").unwrap_err().to_string();
            assert_eq!(said, format!("it.csv looks like {what}; {READABLE}"));
        }
    }

    #[test]
    fn a_text_that_nobody_knows_is_shown() {
        let said = read_record("Dear all,\nhere", "letter.txt")
            .unwrap_err()
            .to_string();
        assert!(
            said.starts_with(
                "letter.txt is no record: it begins with 'Dear all,'; what can be read"
            )
        );
        assert_eq!(read_record(" \n", "empty.txt"), Err(RecordError::Empty));
    }
}

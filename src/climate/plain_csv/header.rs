//! The header of a plain table: which column is what, and in which unit.

use crate::units::Celsius;

/// How alike a name has to be to be offered as the one that was meant.
const LIKENESS_MIN: f64 = 0.8;

/// Names of columns in small letters without blanks and signs; the first of each is the one that is offered.
const NAMES: [(Role, &[&str]); 7] = [
    (Role::Date, &["date"]),
    (Role::Day, &["day"]),
    (Role::Month, &["month"]),
    (Role::Year, &["year"]),
    (
        Role::Min,
        &[
            "tmin",
            "tempmin",
            "mintemp",
            "temperaturemin",
            "mintemperature",
            "minimumtemperature",
            "temperatureminimum",
            "min",
            "minimum",
        ],
    ),
    (
        Role::Max,
        &[
            "tmax",
            "tempmax",
            "maxtemp",
            "temperaturemax",
            "maxtemperature",
            "maximumtemperature",
            "temperaturemaximum",
            "max",
            "maximum",
        ],
    ),
    (
        Role::Station,
        &["station", "stationid", "id", "location", "site"],
    ),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Role {
    Date,
    Day,
    Month,
    Year,
    Min,
    Max,
    Station,
}

type ToCelsius = fn(f64) -> Celsius;

const CELSIUS: ToCelsius = Celsius::new;

/// Which columns a table has.
pub(super) struct Columns {
    pub(super) date: DateColumns,
    pub(super) min: Column,
    pub(super) max: Column,
    pub(super) station: Option<usize>,
    /// All of them.
    pub(super) count: usize,
}

/// Where the day stands.
#[derive(Clone, Copy)]
pub(super) enum DateColumns {
    One(usize),
    Three {
        day: usize,
        month: usize,
        year: usize,
    },
}

/// A column of temperatures.
pub(super) struct Column {
    pub(super) at: usize,
    pub(super) name: String,
    pub(super) celsius: ToCelsius,
}

impl DateColumns {
    pub(super) const fn example(self) -> &'static str {
        match self {
            Self::One(_) => "a date such as 2024-01-31",
            Self::Three { .. } => "a day, month and year such as 31 1 2024",
        }
    }
}

/// Whether cells name at least one column of a table, or begin with a date and so lack the names.
pub(in crate::climate) fn is_header(cells: &[&str]) -> bool {
    let begins_with_date = cells
        .first()
        .is_some_and(|cell| cell.parse::<chrono::NaiveDate>().is_ok());
    let named = cells
        .iter()
        .filter_map(|cell| role(cell))
        .any(|(role, _)| role != Role::Station);
    begins_with_date || named
}

/// What a column is by its name, and its unit where the name tells one.
fn role(cell: &str) -> Option<(Role, Option<ToCelsius>)> {
    let words = words(cell);
    if let Some(role) = role_named(&words.concat()) {
        return Some((role, None));
    }
    let (unit, name) = words.split_last()?;
    let celsius: ToCelsius = match unit.as_str() {
        "c" | "degc" | "celsius" => CELSIUS,
        "f" | "degf" | "fahrenheit" => Celsius::from_fahrenheit,
        _ => return None,
    };
    let name = match name.split_last() {
        Some((degrees, name)) if ["deg", "degree", "degrees"].contains(&degrees.as_str()) => name,
        Some(_) | None => name,
    };
    let role = role_named(&name.concat())?;
    matches!(role, Role::Min | Role::Max).then_some((role, Some(celsius)))
}

fn words(cell: &str) -> Vec<String> {
    cell.split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_ascii_lowercase)
        .collect()
}

fn role_named(name: &str) -> Option<Role> {
    NAMES
        .iter()
        .find(|(_, names)| names.contains(&name))
        .map(|(role, _)| *role)
}

impl Columns {
    /// The columns of a header.
    pub(super) fn of(cells: &[&str]) -> Result<Self, String> {
        let header = Header(cells);
        let three = (
            header.find(Role::Day)?,
            header.find(Role::Month)?,
            header.find(Role::Year)?,
        );
        let date = match (header.find(Role::Date)?, three) {
            (Some(at), _) => DateColumns::One(at),
            (None, (Some(day), Some(month), Some(year))) => DateColumns::Three { day, month, year },
            (None, _) => {
                return Err(header.lacks(Role::Date, "the day", "date, or day, month and year"));
            }
        };
        let min = header
            .find(Role::Min)?
            .ok_or_else(|| header.lacks(Role::Min, "the lowest temperature", "tmin_c or tmin_f"))?;
        let max = header.find(Role::Max)?.ok_or_else(|| {
            header.lacks(Role::Max, "the highest temperature", "tmax_c or tmax_f")
        })?;
        let [min, max] = header.units(min, max)?;
        Ok(Self {
            date,
            min,
            max,
            station: header.find(Role::Station)?,
            count: cells.len(),
        })
    }
}

struct Header<'a>(&'a [&'a str]);

impl Header<'_> {
    fn name(&self, at: usize) -> &str {
        self.0.get(at).copied().unwrap_or_default()
    }

    fn unit(&self, at: usize) -> Option<ToCelsius> {
        role(self.name(at)).and_then(|(_, unit)| unit)
    }

    /// The column that is it; an error when there are two.
    fn find(&self, wanted: Role) -> Result<Option<usize>, String> {
        let is_it = |cell: &str| role(cell).is_some_and(|(role, _)| role == wanted);
        let mut found = self.0.iter().enumerate().filter(|(_, cell)| is_it(cell));
        match (found.next(), found.next()) {
            (Some((_, first)), Some((_, second))) => Err(format!(
                "columns '{first}' and '{second}' say the same; leave one"
            )),
            (first, _) => Ok(first.map(|(at, _)| at)),
        }
    }

    /// Both temperatures with their unit: told by both names, or by neither and then °C.
    fn units(&self, min: usize, max: usize) -> Result<[Column; 2], String> {
        let [min_name, max_name] = [min, max].map(|at| self.name(at));
        let of_export = self
            .0
            .iter()
            .any(|cell| cell.eq_ignore_ascii_case("station"));
        let [min_unit, max_unit] = match [self.unit(min), self.unit(max)] {
            [Some(min), Some(max)] => [min, max],
            [None, None] if of_export => {
                return Err(format!(
                    "'{min_name}' and '{max_name}' do not tell their unit, and exports of stations come in °C, °F or \
                     tenths; name them tmin_c and tmax_c or tmin_f and tmax_f"
                ));
            }
            [None, None] => [CELSIUS, CELSIUS],
            [Some(_), None] | [None, Some(_)] => {
                return Err(format!(
                    "one of '{min_name}' and '{max_name}' tells its unit and the other does not; name them as in tmin_c \
                     and tmax_c"
                ));
            }
        };
        let column = |at: usize, name: &str, celsius: ToCelsius| Column {
            at,
            name: name.to_owned(),
            celsius,
        };
        Ok([
            column(min, min_name, min_unit),
            column(max, max_name, max_unit),
        ])
    }

    /// What to say when a column is missing, with the nearest name among those that are there.
    fn lacks(&self, wanted: Role, what: &str, write: &str) -> String {
        let header = self.0.join(", ");
        let nearest = self
            .0
            .iter()
            .filter(|cell| role(cell).is_none())
            .map(|cell| (likeness(wanted, cell), cell))
            .filter(|(likeness, _)| *likeness >= LIKENESS_MIN)
            .max_by(|(a, _), (b, _)| a.total_cmp(b));
        let hint = nearest.map_or_else(String::new, |(_, cell)| format!("; is it '{cell}'?"));
        format!("no column for {what} in '{header}'; its name is {write}{hint}")
    }
}

/// How alike a cell is to a name of a role, be it with another unit or misspelt.
fn likeness(wanted: Role, cell: &str) -> f64 {
    let words = words(cell).concat();
    let names = NAMES.iter().filter(|(role, _)| *role == wanted);
    names
        .flat_map(|(_, names)| names.iter())
        .map(|name| strsim::jaro_winkler(&words, name))
        .fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(header: &str) -> String {
        let cells: Vec<&str> = header.split(',').collect();
        Columns::of(&cells).map(|_| ()).unwrap_err()
    }

    #[test]
    fn a_unit_is_read_in_any_spelling() {
        let freezing = |cell: &str, value: f64| {
            let (role, unit) = role(cell).unwrap();
            assert_eq!(role, Role::Min, "{cell}");
            let celsius = unit.unwrap()(value);
            assert!(celsius.degrees().abs() < 1e-12, "{cell}");
        };
        for cell in [
            "tmin_c",
            "Tmin(C)",
            "TMIN [°C]",
            "temp_min degC",
            "Min Temp, deg C",
            "tmin_celsius",
            "tmin (\u{fffd}C)",
        ] {
            freezing(cell, 0.0);
        }
        for cell in [
            "tmin_f",
            "Tmin (°F)",
            "minimum temperature degrees Fahrenheit",
            "tmin_degF",
        ] {
            freezing(cell, 32.0);
        }
    }

    #[test]
    fn other_columns_are_no_temperatures() {
        for cell in ["tmin_flag", "tmin_k", "c", "tmean_c", "dew point", ""] {
            assert!(role(cell).is_none(), "{cell}");
        }
    }

    #[test]
    fn a_column_that_is_missing_or_there_twice_is_named() {
        assert_eq!(
            said("dat,tmin,tmax"),
            "no column for the day in 'dat, tmin, tmax'; its name is date, or day, month and year; is it 'dat'?"
        );
        assert_eq!(
            said("date,tmin_k,tmax_k"),
            "no column for the lowest temperature in 'date, tmin_k, tmax_k'; its name is tmin_c or tmin_f; is it 'tmin_k'?"
        );
        assert_eq!(
            said("date,tmin,rain"),
            "no column for the highest temperature in 'date, tmin, rain'; its name is tmax_c or tmax_f"
        );
        assert_eq!(
            said("date,tmin,min temp,tmax"),
            "columns 'tmin' and 'min temp' say the same; leave one"
        );
        assert!(said("day,year,tmin,tmax").starts_with("no column for the day"));
    }

    #[test]
    fn a_unit_that_is_told_by_halves_or_open_is_refused() {
        assert_eq!(
            said("date,tmin_f,tmax"),
            "one of 'tmin_f' and 'tmax' tells its unit and the other does not; name them as in tmin_c and tmax_c"
        );
        assert_eq!(
            said("STATION,DATE,TMIN,TMAX"),
            "'TMIN' and 'TMAX' do not tell their unit, and exports of stations come in °C, °F or tenths; name them tmin_c \
             and tmax_c or tmin_f and tmax_f"
        );
    }
}

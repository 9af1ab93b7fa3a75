//! Reads GHCN-Daily `.dly` station files (temporary stand-in).

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{DailyRecord, DayExtremes, RecordError};
use crate::units::Celsius;

/// The record in a station file.
///
/// # Errors
/// When there is no daily extreme in it.
pub fn parse(text: &str) -> Result<DailyRecord, RecordError> {
    let mut days: BTreeMap<NaiveDate, DayExtremes> = BTreeMap::new();
    for line in text.lines() {
        for day in 1_u8..=31 {
            let start = 21 + 8 * (usize::from(day) - 1);
            let number = |from, to| {
                line.get(from..to)
                    .and_then(|t| t.trim().parse::<i32>().ok())
            };
            let month = number(15, 17).and_then(|month| u32::try_from(month).ok());
            let date = number(11, 15).zip(month);
            let Some(date) =
                date.and_then(|(year, month)| NaiveDate::from_ymd_opt(year, month, day.into()))
            else {
                continue;
            };
            let good = line.get(start + 6..start + 7) == Some(" ");
            let value = number(start, start + 5).filter(|tenths| good && *tenths != -9999);
            let value = value.map(|tenths| Celsius::new(f64::from(tenths) / 10.0));
            match line.get(17..21) {
                Some("TMIN") => days.entry(date).or_default().min = value,
                Some("TMAX") => days.entry(date).or_default().max = value,
                _ => {}
            }
        }
    }
    DailyRecord::from_days("GHCN-Daily", days)
}

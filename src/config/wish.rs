//! The days that keepers wish for, against the day on which the file is read.

use std::path::Path;

use chrono::{Months, NaiveDate};

use super::faults::{ConfigErrors, Remark, Warning};

/// A wished day lies no further ahead; a later one is a slip of the pen.
const AHEAD: Months = Months::new(24);

/// A day that the file wishes for, with its place in the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wish {
    /// The day.
    pub on: NaiveDate,
    pub(super) remark: Remark,
}

impl Wish {
    /// The file that wishes for it.
    pub(super) fn file(&self) -> &Path {
        self.remark.file()
    }
}

/// Holds wished days against today: past ones give a warning, those more than two years ahead are faults.
///
/// A past day is no fault, or a file that was right once would stop the program one morning.
pub(super) fn check(wishes: &[Wish], today: NaiveDate) -> Result<Vec<Warning>, ConfigErrors> {
    let latest = today.checked_add_months(AHEAD).unwrap_or(NaiveDate::MAX);
    let said = |wish: &Wish, what: &str| wish.remark.saying(format!("wished {} {what}", wish.on));
    let far = wishes.iter().filter(|wish| wish.on > latest);
    let far: Vec<_> = far
        .map(|wish| said(wish, "is more than two years ahead"))
        .map(|fault| fault.allowed(format!("a day up to {latest}")))
        .collect();
    if !far.is_empty() {
        return Err(ConfigErrors(far));
    }
    let past = wishes.iter().filter(|wish| wish.on < today);
    Ok(past.map(|wish| said(wish, "is past")).collect())
}

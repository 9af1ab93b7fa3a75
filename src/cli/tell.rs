//! What `done` and `seen` have in common: the day, taking back, the form of the answer.

use chrono::{Days, NaiveDate};
use clap::Args;

use super::{Exit, FileArgs};

/// What was told is not older than so many years.
const YEARS_BACK: u32 = 10;

/// When it was, and how to answer.
#[derive(Debug, Clone, Args)]
pub(super) struct TellArgs {
    /// The day, by the garden's calendar: such as 2027-04-22, or today, or yesterday.
    #[arg(long, value_name = "DATE")]
    on: Option<String>,
    /// Take back what was told: of that day, or the last time.
    #[arg(long)]
    pub(super) undo: bool,
    #[command(flatten)]
    pub(super) file: FileArgs,
    /// As JSON, temperatures in °C.
    #[arg(long)]
    pub(super) json: bool,
}

impl TellArgs {
    /// The day that is meant; none when none was named.
    pub(super) fn day(&self, today: NaiveDate) -> Result<Option<NaiveDate>, Exit> {
        let Some(written) = &self.on else {
            return Ok(None);
        };
        let day = match written.as_str() {
            "today" => Some(today),
            "yesterday" => today.checked_sub_days(Days::new(1)),
            text => text.parse().ok(),
        };
        let allowed =
            format!("allowed: a day up to today, {today}, such as {today}, today or yesterday");
        let day =
            day.ok_or_else(|| Exit::Usage(format!("--on \"{written}\" is not a day\n{allowed}")))?;
        if day > today {
            return Err(Exit::Usage(format!(
                "--on {day} is still to come\n{allowed}"
            )));
        }
        if today
            .years_since(day)
            .is_none_or(|years| years >= YEARS_BACK)
        {
            return Err(Exit::Usage(format!(
                "--on {day} is more than {YEARS_BACK} years ago\n{allowed}"
            )));
        }
        Ok(Some(day))
    }
}

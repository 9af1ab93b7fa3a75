//! `[garden.letters]`: when letters may go.

use chrono::{NaiveTime, Weekday};
use toml::Spanned;

use super::check::{Checker, Given};
use super::faults::Checked;
use super::raw::{Key, RawLetters};
use crate::garden::{LetterDay, LetterTimes, Named, Quiet};

const DAYS: [Named<LetterDay>; 8] = [
    ("monday", LetterDay::On(Weekday::Mon)),
    ("tuesday", LetterDay::On(Weekday::Tue)),
    ("wednesday", LetterDay::On(Weekday::Wed)),
    ("thursday", LetterDay::On(Weekday::Thu)),
    ("friday", LetterDay::On(Weekday::Fri)),
    ("saturday", LetterDay::On(Weekday::Sat)),
    ("sunday", LetterDay::On(Weekday::Sun)),
    ("any", LetterDay::Any),
];

/// More letters a day than this nobody reads (estimate).
const MOST_A_DAY: usize = 24;

impl Checker<'_> {
    /// When letters may go; what is left out is as usual.
    pub(super) fn letters(&mut self, raw: Given<'_, RawLetters>) -> Checked<LetterTimes> {
        let usual = LetterTimes::USUAL;
        let Some(raw) = raw.map(Spanned::get_ref) else {
            return Ok(usual);
        };
        let day = match &raw.day {
            Some(value) => self.choice(("day", value), &DAYS),
            None => Ok(usual.day),
        };
        let quiet = match &raw.quiet {
            Some(value) => self.quiet(value),
            None => Ok(usual.quiet),
        };
        let most_a_day = match &raw.most_a_day {
            Some(value) => self.whole(("most_a_day", value), 1..=MOST_A_DAY),
            None => Ok(usual.most_a_day),
        };
        let flag = |value: &Key<bool>| value.as_ref().map(|value| *value.get_ref());
        Ok(LetterTimes {
            day: day?,
            quiet: quiet?,
            most_a_day: most_a_day?,
            round_up: flag(&raw.round_up).unwrap_or(usual.round_up),
            year_plan: flag(&raw.year_plan).unwrap_or(usual.year_plan),
        })
    }

    /// Two times of the day, or none.
    fn quiet(&mut self, value: &Spanned<String>) -> Checked<Option<Quiet>> {
        let written = value.get_ref().trim();
        if written == "none" {
            return Ok(None);
        }
        let time = |text: &str| NaiveTime::parse_from_str(text.trim(), "%H:%M").ok();
        let ends = written.split_once('-');
        let ends = ends.and_then(|(from, to)| time(from).zip(time(to)));
        if let Some((from, to)) = ends.filter(|(from, to)| from != to) {
            return Ok(Some(Quiet { from, to }));
        }
        let what = format!("quiet \"{written}\" is not a time of the day");
        let fault = self.remark(value, what);
        let fault = fault.allowed("two times on a clock of 24 hours with a hyphen, or \"none\"");
        Err(self.tell(fault.hint("write for example: quiet = \"21:00-07:00\"")))
    }
}

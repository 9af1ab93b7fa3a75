//! Windows of cuts as iCalendar (RFC 5545): one event a task, whole days.
//!
//! In: [`Entry`]s. Out: the text of a calendar file. Does not decide what is a window and does not remember what was given
//! out: a task keeps its UID for life, and its SEQUENCE is the second of the verdict, which only rises, so that a newer file
//! changes or cancels what an older one put into a calendar.

use chrono::{DateTime, Days, NaiveDate, Utc};
use icalendar::{Calendar, CalendarComponent, Component, Event, EventLike, EventStatus, Property};

use super::{cut, words};
use crate::garden::Garden;
use crate::locale::Locale;
use crate::notice::{CutMatter, Matter, News};
use crate::verdict::Verdict;

/// Names the program that wrote the file (RFC 5545, section 3.7.3).
const PRODID: &str = "-//budward//garden windows//EN";

/// SEQUENCE counts the seconds from 2000 on: until 2068 they fit into the number that a reader has for it (RFC 5545, section
/// 3.3.8), and two looks of one minute differ.
const SEQUENCE_FROM: i64 = 946_684_800;

/// The most bytes of a line.
const LINE_MAX: usize = 75;

/// The window of one cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Stable for the life of the task, such as `museum.box-edging-shear`.
    pub task: String,
    /// What to do.
    pub summary: String,
    /// Why, and until when.
    pub description: String,
    /// The first day.
    pub from: NaiveDate,
    /// The last day; none when no end is in sight, which shows as one day.
    pub to: Option<NaiveDate>,
    /// Whether it stands.
    pub standing: Standing,
    /// When that was found.
    pub at: DateTime<Utc>,
}

/// Whether a window stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// It does.
    Open,
    /// It was withdrawn.
    Withdrawn,
}

impl Entry {
    /// The window of a verdict, as it is believed now.
    pub fn of(verdict: &Verdict, locale: Locale) -> Self {
        let planting = words::capital(&verdict.planting);
        let standing = if verdict.state.allows() {
            Standing::Open
        } else {
            Standing::Withdrawn
        };
        let description = match standing {
            Standing::Open => cut::now_go(verdict, locale),
            Standing::Withdrawn => words::main_reason(verdict, locale),
        };
        Self {
            task: format!("{}.{}", verdict.garden, verdict.cut),
            summary: format!("{planting}: {}", words::to_do(verdict.cut_kind, locale)),
            description: words::capital(&description),
            from: verdict.today,
            to: verdict.closes,
            standing,
            at: verdict.at,
        }
    }

    fn event(&self) -> Event {
        let end = self.to.unwrap_or(self.from).max(self.from);
        // The end of an event of whole days is the day after it (RFC 5545, section 3.6.1).
        let end = end.checked_add_days(Days::new(1)).unwrap_or(end);
        let second = u32::try_from(self.at.timestamp() - SEQUENCE_FROM).unwrap_or(0);
        let mut event = Event::new();
        event
            .uid(&format!("{}@budward", self.task))
            .timestamp(self.at)
            .sequence(second)
            .summary(&plain(&self.summary))
            .description(&plain(&self.description))
            .starts(self.from)
            .ends(end)
            .status(match self.standing {
                Standing::Open => EventStatus::Confirmed,
                Standing::Withdrawn => EventStatus::Cancelled,
            })
            // A window takes nobody's time: who looks for a free hour still finds it.
            .add_property("TRANSP", "TRANSPARENT");
        event.done()
    }
}

/// The text of the file, lines of at most 75 bytes that end with CR LF.
pub fn file(entries: &[Entry]) -> String {
    let property = |(name, value)| Property::new(name, value);
    let properties = [
        ("VERSION", "2.0"),
        ("PRODID", PRODID),
        ("CALSCALE", "GREGORIAN"),
        ("METHOD", "PUBLISH"),
    ];
    let calendar = Calendar {
        properties: properties.map(property).to_vec(),
        components: entries
            .iter()
            .map(|entry| CalendarComponent::from(entry.event()))
            .collect(),
    };
    let text = calendar.to_string();
    text.split("\r\n")
        .map(short_enough)
        .collect::<Vec<_>>()
        .join("\r\n")
}

/// A line of at most 75 bytes (RFC 5545, section 3.1): the library makes the last piece of a long one up to a byte longer.
fn short_enough(line: &str) -> String {
    let mut signs = line.chars();
    match signs.next_back() {
        Some(last) if line.len() > LINE_MAX => format!("{}\r\n {last}", signs.as_str()),
        Some(_) | None => line.to_owned(),
    }
}

/// The windows that a letter tells of; none when it opens, ends or withdraws none.
pub(super) fn of_letter(matters: &[Matter<'_>], garden: &Garden) -> Option<String> {
    let was_told =
        |matter: &CutMatter<'_>| matter.last.is_some_and(|last| last.news != News::PutOff);
    let entry = |matter: &Matter<'_>| match matter {
        Matter::Cut(matter) if matter.verdict.state.allows() || was_told(matter) => {
            Some(Entry::of(matter.verdict, garden.locale))
        }
        Matter::Cut(_)
        | Matter::Cover(_)
        | Matter::Below { .. }
        | Matter::Frosts(_)
        | Matter::Weather { .. } => None,
    };
    let entries: Vec<Entry> = matters.iter().filter_map(entry).collect();
    (!entries.is_empty()).then(|| file(&entries))
}

/// A text without control characters, which no calendar may hold.
fn plain(text: &str) -> String {
    text.replace(char::is_control, " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(standing: Standing, at: &str) -> Entry {
        Entry {
            task: "museum.box-edging-shear".to_owned(),
            summary: "Box edging; the long one, by the gate: shear".to_owned(),
            description: "From today about 6 of 100 ways the weather can go still bring a night of 28 °F or less."
                .to_owned(),
            from: "2027-04-22".parse().unwrap(),
            to: Some("2027-05-31".parse().unwrap()),
            standing,
            at: at.parse().unwrap(),
        }
    }

    #[test]
    fn a_window_is_whole_days_and_ends_with_its_last() {
        let text = file(&[entry(Standing::Open, "2027-04-22T09:30:00Z")]);
        for line in [
            "DTSTART;VALUE=DATE:20270422",
            "DTEND;VALUE=DATE:20270601",
            "DTSTAMP:20270422T093000Z",
            "UID:museum.box-edging-shear@budward",
            "STATUS:CONFIRMED",
            "SUMMARY:Box edging\\; the long one\\, by the gate: shear",
        ] {
            assert!(
                text.contains(&format!("{line}\r\n")),
                "no {line} in\n{text}"
            );
        }
        assert!(text.lines().all(|line| line.len() <= 75), "{text}");
        assert_eq!(text, file(&[entry(Standing::Open, "2027-04-22T09:30:00Z")]));
    }

    #[test]
    fn no_line_is_too_long_whatever_the_text() {
        for length in 40..400 {
            for letter in ["x", "\u{b0} a", "\u{1f339}"] {
                let description = letter.repeat(length / letter.chars().count());
                let text = file(&[Entry {
                    description: description.clone(),
                    ..entry(Standing::Open, "2027-04-22T09:30:00Z")
                }]);
                assert!(text.lines().all(|line| line.len() <= 75), "{text}");
                let whole = text.replace("\r\n ", "");
                assert!(
                    whole.contains(&format!("DESCRIPTION:{description}\r\n")),
                    "{text}"
                );
            }
        }
    }

    #[test]
    fn what_is_withdrawn_later_has_the_same_uid_and_a_higher_sequence() {
        let of = |text: &str, name: &str| -> String {
            let line = text.lines().find(|line| line.starts_with(name));
            line.unwrap().to_owned()
        };
        let go = file(&[entry(Standing::Open, "2027-04-22T09:30:00Z")]);
        let off = file(&[entry(Standing::Withdrawn, "2027-04-22T18:30:00Z")]);
        assert_eq!(of(&go, "UID:"), of(&off, "UID:"));
        let number = |text: &str| -> u32 {
            let line = of(text, "SEQUENCE:");
            line.trim_start_matches("SEQUENCE:").parse().unwrap()
        };
        assert!(number(&off) > number(&go));
        assert_eq!(of(&off, "STATUS:"), "STATUS:CANCELLED");
    }
}

//! Words for lines of the journal.

use crate::almanac::Event;
use crate::locale::{Locale, say};
use crate::verdict::State;

/// What a line tells, in words; what the program does not know by name stands as it is written.
pub fn told(what: &str, detail: &str, locale: Locale) -> String {
    match what {
        "verdict" => say!(locale, "journal-verdict", change = change(detail, locale)),
        "now-go" => say!(locale, "journal-now-go", detail = detail),
        "put-off" => say!(locale, "journal-put-off", detail = detail),
        "closing" => say!(locale, "journal-closing", detail = detail),
        "cover-tonight" => say!(locale, "journal-cover-tonight", detail = detail),
        "frost-seen" => say!(locale, "journal-frost-seen", detail = detail),
        "below-now" => say!(locale, "journal-below-now", detail = detail),
        "weather-lost" => say!(locale, "journal-weather-lost", detail = detail),
        "weather-back" => say!(locale, "journal-weather-back", detail = detail),
        "done" => say!(locale, "journal-done", day = detail),
        "done-undone" => say!(locale, "journal-done-undone", day = detail),
        "not-this-year" => say!(locale, "journal-not-this-year", day = detail),
        "later" => say!(locale, "journal-later", day = detail),
        "frost-damage" => say!(locale, "journal-frost-damage", day = detail),
        "no-letters" => say!(locale, "journal-no-letters", day = detail),
        "seen" => say!(locale, "journal-seen", event = event(detail, locale)),
        "seen-undone" => say!(locale, "journal-seen-undone", event = event(detail, locale)),
        "mail-sent" => say!(locale, "journal-mail-sent"),
        "mail-deferred" => say!(locale, "journal-mail-deferred", detail = detail),
        "mail-given-up" => say!(locale, "journal-mail-given-up", detail = detail),
        "mail-replaced" => say!(locale, "journal-mail-replaced", detail = detail),
        "mail-unconfirmed" => say!(locale, "journal-mail-unconfirmed", detail = detail),
        "store-restored" => say!(locale, "journal-store-restored", detail = detail),
        "look-broke-down" => detail.to_owned(),
        other => format!("{}: {detail}", other.replace('-', " ")),
    }
}

/// From one state to another, as the journal has it.
fn change(detail: &str, locale: Locale) -> String {
    let word = |code: &str| {
        let state = State::ALL.into_iter().find(|state| state.name() == code);
        state.map_or_else(|| code.to_owned(), |state| super::state(state, locale))
    };
    match detail.split_once(" -> ") {
        Some((from, to)) => say!(locale, "journal-change", from = word(from), to = word(to)),
        None => word(detail),
    }
}

/// An event with its day, as the journal has it.
fn event(detail: &str, locale: Locale) -> String {
    let known = Event::ALL.into_iter().find_map(|event| {
        let day = detail.strip_prefix(event.name())?;
        Some(format!("{}{day}", super::event(event, locale)))
    });
    known.unwrap_or_else(|| detail.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_told_in_words() {
        assert_eq!(
            told("verdict", "go -> wait", Locale::default()),
            "verdict: go to wait"
        );
        assert_eq!(
            told("seen", "bloom-begin 2027-04-19", Locale::default()),
            "seen: first bloom 2027-04-19"
        );
        assert_eq!(told("new-thing", "x", Locale::default()), "new thing: x");
    }
}

//! Words for lines of the journal.

use crate::almanac::Event;

/// What a line tells, in words; what the program does not know by name stands as it is written.
pub fn told(what: &str, detail: &str) -> String {
    match what {
        "verdict" => format!("verdict: {}", detail.replace("->", "to")),
        "now-go" => format!("told to go: {detail}"),
        "put-off" => format!("told to put off: {detail}"),
        "closing" => format!("told of the end: {detail}"),
        "cover-tonight" => format!("told to cover: {detail}"),
        "frost-seen" => format!("told of frost: {detail}"),
        "below-now" => format!("told of cold at the thermometer: {detail}"),
        "weather-lost" => format!("told that the weather is lost: {detail}"),
        "weather-back" => format!("told that the weather is back: {detail}"),
        "done" => format!("done on {detail}"),
        "done-undone" => format!("taken back: done on {detail}"),
        "not-this-year" => format!("not this year, told on {detail}"),
        "later" => format!("to be told later, on {detail}"),
        "frost-damage" => format!("frost damage seen on {detail}"),
        "no-letters" => format!("no more letters wanted, told on {detail}"),
        "seen" => format!("seen: {}", event(detail)),
        "seen-undone" => format!("taken back: seen {}", event(detail)),
        "mail-sent" => "the mail was taken by the mail server".to_owned(),
        "mail-deferred" => format!("the mail waits: {detail}"),
        "mail-given-up" => format!("the mail was given up: {detail}"),
        "mail-replaced" => format!("a mail that waited was replaced by a newer one: {detail}"),
        "mail-unconfirmed" => format!("the mail may have gone out twice: {detail}"),
        "store-restored" => format!("the store was restored: {detail}"),
        "look-broke-down" => detail.to_owned(),
        other => format!("{}: {detail}", other.replace('-', " ")),
    }
}

/// An event with its day, as the journal has it.
fn event(detail: &str) -> String {
    let known = Event::ALL.into_iter().find_map(|event| {
        let day = detail.strip_prefix(event.name())?;
        Some(format!("{}{day}", super::event(event)))
    });
    known.unwrap_or_else(|| detail.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_told_in_words() {
        assert_eq!(told("verdict", "go -> wait"), "verdict: go to wait");
        assert_eq!(
            told("seen", "bloom-begin 2027-04-19"),
            "seen: first bloom 2027-04-19"
        );
        assert_eq!(told("new-thing", "x"), "new thing: x");
    }
}

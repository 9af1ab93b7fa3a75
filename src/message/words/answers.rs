//! What the keeper may answer, in words.

use chrono::NaiveDate;

use crate::garden::{Answer, LATER_DAYS};

/// What an answer is, in a few words.
pub const fn title(answer: Answer) -> &'static str {
    match answer {
        Answer::Done => "done",
        Answer::NotThisYear => "not this year",
        Answer::Later => "later",
        Answer::InBloom => "in flower",
        Answer::FrostDamage => "frost damage seen",
        Answer::NoLetters => "no more letters",
    }
}

/// What an answer does.
pub fn meaning(answer: Answer) -> String {
    match answer {
        Answer::Done => "This notes that the cut was made. From then on the plant is watched until what the cut left \
                         tender is firm, and a night that threatens it brings a mail in the afternoon before."
            .to_owned(),
        Answer::NotThisYear => "This notes that the cut is not made this year. No letter speaks of it before the next \
                                gardening year; the board still shows it."
            .to_owned(),
        Answer::Later => {
            format!("No letter speaks of this cut for {LATER_DAYS} days; the board still shows it.")
        }
        Answer::InBloom => "This notes that the first flowers are open. What depends on the flowering is then counted \
                            from that day."
            .to_owned(),
        Answer::FrostDamage => "This notes that frost damage is seen on the plant. Leave the brown edges until new \
                                growth shows what is alive; they shelter the buds below."
            .to_owned(),
        Answer::NoLetters => "No letter comes from this garden any more, not even one to cover a plant before a frosty \
                              night. The page goes on."
            .to_owned(),
    }
}

/// What stands on the button.
pub const fn button(answer: Answer) -> &'static str {
    match answer {
        Answer::Done => "Note that it is done",
        Answer::NotThisYear => "Not this year",
        Answer::Later => "Speak of it later",
        Answer::InBloom => "Note that it flowers",
        Answer::FrostDamage => "Note the damage",
        Answer::NoLetters => "Send no more letters",
    }
}

/// What was noted.
pub fn noted(answer: Answer, day: NaiveDate) -> String {
    let day = day.format("%-d %B %Y");
    match answer {
        Answer::Done => format!("Noted: done on {day}. The plant is watched from now on."),
        Answer::NotThisYear => format!("Noted on {day}: not this year."),
        Answer::Later => format!("Noted on {day}: nothing for {LATER_DAYS} days."),
        Answer::InBloom => format!("Noted: the first flowers on {day}."),
        Answer::FrostDamage => format!("Noted: frost damage seen on {day}."),
        Answer::NoLetters => format!("Noted on {day}: no more letters."),
    }
}

//! What the keeper may answer, in words.

use chrono::NaiveDate;

use crate::garden::{Answer, LATER_DAYS};
use crate::locale::{Locale, say};

/// What an answer is, in a few words.
pub fn title(answer: Answer, locale: Locale) -> String {
    match answer {
        Answer::Done => say!(locale, "answer-done"),
        Answer::NotThisYear => say!(locale, "answer-not-this-year"),
        Answer::Later => say!(locale, "answer-later"),
        Answer::InBloom => say!(locale, "answer-in-bloom"),
        Answer::FrostDamage => say!(locale, "answer-frost-damage"),
        Answer::NoLetters => say!(locale, "answer-no-letters"),
    }
}

/// What an answer does.
pub fn meaning(answer: Answer, locale: Locale) -> String {
    match answer {
        Answer::Done => say!(locale, "means-done"),
        Answer::NotThisYear => say!(locale, "means-not-this-year"),
        Answer::Later => say!(locale, "means-later", days = LATER_DAYS),
        Answer::InBloom => say!(locale, "means-in-bloom"),
        Answer::FrostDamage => say!(locale, "means-frost-damage"),
        Answer::NoLetters => say!(locale, "means-no-letters"),
    }
}

/// What stands on the button.
pub fn button(answer: Answer, locale: Locale) -> String {
    match answer {
        Answer::Done => say!(locale, "button-done"),
        Answer::NotThisYear => say!(locale, "button-not-this-year"),
        Answer::Later => say!(locale, "button-later"),
        Answer::InBloom => say!(locale, "button-in-bloom"),
        Answer::FrostDamage => say!(locale, "button-frost-damage"),
        Answer::NoLetters => say!(locale, "button-no-letters"),
    }
}

/// What was noted.
pub fn noted(answer: Answer, day: NaiveDate, locale: Locale) -> String {
    let day = locale.full(day);
    match answer {
        Answer::Done => say!(locale, "noted-done", day = day),
        Answer::NotThisYear => say!(locale, "noted-not-this-year", day = day),
        Answer::Later => say!(locale, "noted-later", day = day, days = LATER_DAYS),
        Answer::InBloom => say!(locale, "noted-in-bloom", day = day),
        Answer::FrostDamage => say!(locale, "noted-frost-damage", day = day),
        Answer::NoLetters => say!(locale, "noted-no-letters", day = day),
    }
}

//! The links of a letter by which its keeper answers.
//!
//! In: a matter, the maker of links. Out: what each link does, with the link. No letter needs its links to be understood.

use chrono::{DateTime, TimeDelta, Utc};

use super::words::answers;
use super::{Beside, Reader};
use crate::garden::{Answer, Garden};
use crate::link::Slip;
use crate::notice::{Matter, News};

/// So long the links of a letter hold.
const HOLD_FOR: TimeDelta = TimeDelta::days(60);

/// So long the link holds that ends the letters.
const END_HOLDS_FOR: TimeDelta = TimeDelta::days(365);

/// What the keeper may answer to a matter, each with its link.
pub(super) fn of_matter(
    matter: &Matter<'_>,
    garden: &Garden,
    now: DateTime<Utc>,
    beside: &Beside<'_>,
) -> Vec<(String, String)> {
    let answers: &[Answer] = match matter {
        Matter::Cut(of) => match of.news {
            News::NowGo | News::Closing => &[Answer::Done, Answer::NotThisYear, Answer::Later],
            News::PutOff => &[Answer::NotThisYear, Answer::Later],
        },
        Matter::Frosts(_) => &[Answer::FrostDamage],
        Matter::Cover(_) | Matter::Below { .. } | Matter::Weather { .. } => &[],
    };
    let Some(cut) = cut_of(matter) else {
        return Vec::new();
    };
    let link = |answer: Answer| {
        let slip = Slip {
            garden: garden.name.clone(),
            cut: cut.to_owned(),
            answer,
            reader: String::new(),
            until: now + HOLD_FOR,
        };
        Some((
            answers::button(answer, garden.locale),
            beside.links?.address(&slip)?,
        ))
    };
    answers.iter().copied().filter_map(link).collect()
}

/// The cut that a matter is about; of several the first.
fn cut_of<'a>(matter: &'a Matter<'_>) -> Option<&'a str> {
    match matter {
        Matter::Cut(of) => Some(&of.verdict.cut),
        Matter::Frosts(frosts) => frosts.first().map(|(watch, _)| watch.deed.cut.as_str()),
        Matter::Cover(_) | Matter::Below { .. } | Matter::Weather { .. } => None,
    }
}

/// Who gets a garden's letters, the first and the others, each with where that reader can say that no more are wanted;
/// none when nobody does.
pub(super) fn readers(
    garden: &Garden,
    now: DateTime<Utc>,
    beside: &Beside<'_>,
) -> Option<(Reader, Vec<Reader>)> {
    let mut readers = garden.mail_to.iter().map(|to| {
        let slip = Slip {
            garden: garden.name.clone(),
            cut: String::new(),
            answer: Answer::NoLetters,
            reader: to.clone(),
            until: now + END_HOLDS_FOR,
        };
        Reader {
            to: to.clone(),
            unsubscribe: beside.links.and_then(|links| links.address(&slip)),
        }
    });
    let first = readers.next()?;
    Some((first, readers.collect()))
}

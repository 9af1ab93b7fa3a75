//! Stage 5: what there is to say, in words.
//!
//! In: matters of one garden, most urgent first. Out: a [`Message`], one letter with its subject, plain text and HTML, each
//! complete on its own, and what goes with it: pictures, windows for a calendar.
//! Does not send anything, does not decide what is said when, and does not compute anything.

mod address;
mod after;
pub mod calendar;
mod cut;
mod html;
mod letter;
mod links;
pub mod pictures;
mod plan;
mod restored;
mod weather;
pub mod words;
mod year_letter;

use std::fmt;

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

use crate::garden::Garden;
use crate::link::Links;
use crate::locale::{Language, Locale, say};
use crate::notice::Matter;
use crate::units::UnitSystem;
use crate::verdict::Verdict;

pub use address::AddressNews;
pub use plan::{Detail, plan_page};
pub use restored::RestoredNews;
pub use weather::SourceNews;

/// One mail in words, before it has a sender.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Message {
    /// Stable and unique: garden, moment, first cut and news, such as
    /// `museum.2027-04-22-093000.box-edging-shear.now-go`.
    ///
    /// The same news of the same look give the same key, so that a repeated send is recognised as a duplicate.
    pub key: String,
    /// The recipient, as the garden file gives it.
    pub to: String,
    /// One line.
    pub subject: String,
    /// The plain text.
    pub text: String,
    /// The same in HTML, a whole document.
    pub html: String,
    /// What goes with it.
    #[serde(default)]
    pub enclosed: Enclosed,
}

/// What goes with a mail.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Enclosed {
    /// The language of its words.
    pub language: Language,
    /// The one task that it is about, such as `museum.box-edging-shear`: the mails on it make one thread.
    pub thread: Option<String>,
    /// The windows of the cuts that it tells of, an iCalendar file.
    pub calendar: Option<String>,
    /// The pictures that its HTML shows.
    pub pictures: Vec<Picture>,
    /// Where whoever wants no more such mails can say so; a POST to it has to be enough (RFC 8058).
    pub unsubscribe: Option<String>,
    /// Who else gets the same, each in a mail of their own.
    pub copies: Vec<Reader>,
    /// The warnings of the letter alone, where it says more: what is sent once more when nobody knows whether the letter
    /// arrived. A go is told once at most.
    pub warnings: Option<Box<Words>>,
}

/// Who gets a mail.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reader {
    /// The address, as the garden file gives it.
    pub to: String,
    /// Where this reader says that no more such mails are wanted.
    pub unsubscribe: Option<String>,
}

/// The words of a mail.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Words {
    /// One line.
    pub subject: String,
    /// The plain text.
    pub text: String,
    /// The same in HTML, a whole document without pictures.
    pub html: String,
}

/// A picture in a mail. Its facts stand in the letter's words too: no mail needs its pictures.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Picture {
    /// What it shows, in words.
    pub alt: String,
    /// Its name within the mail, such as `risk.box-edging-shear`: ASCII letters, digits, dots and hyphens.
    pub cid: String,
    /// The picture, a PNG file.
    pub png: Vec<u8>,
}

/// Draws the picture of a matter; none where it has none.
pub type Draw<'a> = &'a dyn Fn(&Matter<'_>) -> Option<Picture>;

/// What stands beside the words of a letter.
#[derive(Clone, Copy)]
pub struct Beside<'a> {
    /// The pictures.
    pub draw: Draw<'a>,
    /// The links by which the keeper answers; none where the page is not reached from outside.
    pub links: Option<&'a Links>,
}

impl Beside<'_> {
    /// Words alone.
    pub const NOTHING: Self = Self {
        draw: &|_| None,
        links: None,
    };
}

impl fmt::Debug for Beside<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Beside")
            .field("links", &self.links)
            .finish_non_exhaustive()
    }
}

impl Message {
    /// The letter that tells matters, the most urgent first; `board` are all verdicts, where the keeper wants a round-up.
    ///
    /// None when the garden has no address or there is nothing to say.
    pub fn letter(
        matters: &[Matter<'_>],
        board: &[Verdict],
        garden: &Garden,
        now: DateTime<Utc>,
        beside: &Beside<'_>,
    ) -> Option<Self> {
        let sections = letter::sections(matters, garden, now, beside);
        let pictures: Vec<Picture> = sections
            .iter()
            .filter_map(|section| section.picture.clone())
            .collect();
        let letter = letter::gather(sections, board, garden, now)?;
        let urgent = matters.first();
        let task = urgent.and_then(Matter::task).unwrap_or("garden");
        let kind = urgent.map_or("round-up", Matter::kind);
        let thread = match matters {
            [only] => only.task().map(|task| format!("{}.{task}", garden.name)),
            _ => None,
        };
        let key = format!(
            "{}.{}.{task}.{kind}",
            garden.name,
            now.format("%Y-%m-%d-%H%M%S")
        );
        let mut message = Self::of(&letter, key, garden, now, beside)?;
        message.enclosed.thread = thread;
        message.enclosed.calendar = calendar::of_letter(matters, garden);
        message.enclosed.pictures = pictures;
        message.enclosed.warnings = warnings(matters, garden, now, beside).map(Box::new);
        Some(message)
    }

    /// A letter to all who get a garden's letters; none when nobody does.
    fn of(
        letter: &letter::Letter,
        key: String,
        garden: &Garden,
        now: DateTime<Utc>,
        beside: &Beside<'_>,
    ) -> Option<Self> {
        let (first, copies) = links::readers(garden, now, beside)?;
        Some(Self {
            key,
            to: first.to,
            subject: letter.subject.clone(),
            text: letter.plain(),
            html: letter.html(),
            enclosed: Enclosed {
                language: letter.locale.language,
                unsubscribe: first.unsubscribe,
                copies,
                ..Enclosed::default()
            },
        })
    }

    /// A mail for each reader, the first one's under the message's own key.
    pub fn each(&self) -> Vec<Self> {
        let mut own = self.clone();
        let copies = std::mem::take(&mut own.enclosed.copies);
        let copy = |reader: Reader| {
            let mut copy = own.clone();
            copy.key = format!("{}.to.{}", own.key, reader.to);
            copy.to = reader.to;
            copy.enclosed.unsubscribe = reader.unsubscribe;
            copy
        };
        let copies: Vec<Self> = copies.into_iter().map(copy).collect();
        std::iter::once(own).chain(copies).collect()
    }

    /// The same mail for another try after one of which nobody knows whether it arrived: it says so, and has the warnings
    /// alone.
    #[must_use]
    pub fn once_more(&self) -> Self {
        let locale = Locale::new(self.enclosed.language, UnitSystem::default());
        let line = say!(locale, "letter-once-more");
        let shown = maud::html! { p { (line) } }.into_string();
        let mut again = self.clone();
        if let Some(warnings) = again.enclosed.warnings.take() {
            again.enclosed.pictures = Vec::new();
            again.enclosed.calendar = None;
            (again.subject, again.text, again.html) =
                (warnings.subject, warnings.text, warnings.html);
        }
        again.text = format!("{}\n{line}\n", again.text);
        again.html = again
            .html
            .replacen("</body>", &format!("{shown}</body>"), 1);
        again
    }

    /// A mail that only shows that mails arrive.
    pub fn test(garden: &Garden, to: &str, today: chrono::NaiveDate) -> Self {
        let letter = letter::test(garden);
        Self {
            key: format!("{}.test.{today}", garden.name),
            to: to.to_owned(),
            subject: letter.subject.clone(),
            text: letter.plain(),
            html: letter.html(),
            enclosed: Enclosed {
                language: letter.locale.language,
                ..Enclosed::default()
            },
        }
    }
}

/// The warnings among the matters of a letter in words; none when all of them warn, or none does.
fn warnings(
    matters: &[Matter<'_>],
    garden: &Garden,
    now: DateTime<Utc>,
    beside: &Beside<'_>,
) -> Option<Words> {
    let warnings: Vec<Matter<'_>> = matters
        .iter()
        .filter(|matter| matter.warns())
        .cloned()
        .collect();
    if warnings.is_empty() || warnings.len() == matters.len() {
        return None;
    }
    let beside = Beside {
        links: beside.links,
        ..Beside::NOTHING
    };
    let sections = letter::sections(&warnings, garden, now, &beside);
    let letter = letter::gather(sections, &[], garden, now)?;
    Some(Words {
        subject: letter.subject.clone(),
        text: letter.plain(),
        html: letter.html(),
    })
}

/// The subject of a letter with these matters, the most urgent first.
pub fn subject(matters: &[Matter<'_>], garden: &Garden, now: DateTime<Utc>) -> Option<String> {
    let sections = letter::sections(matters, garden, now, &Beside::NOTHING);
    letter::subject(&sections, garden.locale)
}

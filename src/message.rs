//! Stage 5: a verdict in words.
//!
//! In: news, the verdict, the garden. Out: a [`Message`], its subject, plain text and HTML, each complete on its own.
//! Does not send anything and does not compute anything.

mod after;
mod letter;
pub mod pictures;
mod plan;
mod weather;
pub mod words;

use serde::{Deserialize, Serialize};

use crate::garden::{Garden, PlannedCut};
use crate::notice::News;
use crate::verdict::Verdict;

pub use plan::{Detail, plan_page};
pub use weather::SourceNews;

/// One mail in words, before it has a sender.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Message {
    /// Stable and unique: garden, cut, news and local date, such as `museum.box-edging-shear.now-go.2027-04-22`.
    ///
    /// The same news gives the same key, so that a repeated send is recognised as a duplicate.
    pub key: String,
    /// The recipient, as the garden file gives it.
    pub to: String,
    /// One line.
    pub subject: String,
    /// The plain text.
    pub text: String,
    /// The same in HTML, a whole document.
    pub html: String,
}

impl Message {
    /// The mail that tells the news of a verdict; none when the garden has no address.
    pub fn of(news: News, verdict: &Verdict, garden: &Garden, cut: &PlannedCut) -> Option<Self> {
        let to = garden.mail_to.clone()?;
        let letter = letter::write(news, verdict, garden, cut);
        Some(Self {
            key: format!(
                "{}.{}.{}.{}",
                verdict.garden,
                verdict.cut,
                news.name(),
                verdict.today
            ),
            to,
            subject: letter.subject.clone(),
            text: letter.plain(),
            html: letter.html(),
        })
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
        }
    }
}

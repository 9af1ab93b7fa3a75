//! Stage 5: a verdict in words.
//!
//! In: news, the verdict, the garden. Out: a [`Message`], its subject, plain text and HTML, each complete on its own.
//! Does not send anything and does not compute anything.

use serde::{Deserialize, Serialize};

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

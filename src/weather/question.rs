//! What a source asks and how it reads the answer, as a value; and what can be wrong with an answer.

use std::time::Duration;

use chrono::TimeDelta;
use secrecy::{ExposeSecret, SecretString};
use thiserror::Error;

use super::asked::Asked;
use crate::climate::RecordError;

/// How much of what a service says is passed on.
const WORDS_CHARS: usize = 200;

/// The same question is not asked twice within this time, whatever the service allows: several gardens in one grid
/// cell share one answer (estimate).
pub(super) const SHARED_FOR: TimeDelta = TimeDelta::minutes(8);

/// One question to a service: what to ask, and how to read what comes back.
pub(super) struct Question<T> {
    /// The service's name.
    pub(super) service: &'static str,
    /// Which of the service's products it is about: one that fails does not close the others.
    pub(super) product: &'static str,
    /// How long an answer is good at the least, whatever the service says of it.
    pub(super) good_for: TimeDelta,
    /// The query, without the address.
    pub(super) query: Vec<(&'static str, String)>,
    /// The place that it is about, where a reply may tell it.
    pub(super) about: Option<Asked>,
    /// Reads the body of a reply, be it an answer or a refusal.
    pub(super) read: fn(&[u8]) -> Result<T, ReplyError>,
}

impl<T> Question<T> {
    /// Reads what came back, which has to be about the place that was asked for.
    pub(super) fn answer(&self, body: &[u8]) -> Result<T, ReplyError> {
        let answer = (self.read)(body)?;
        self.about
            .as_ref()
            .map_or(Ok(()), |about| about.holds(body))?;
        Ok(answer)
    }

    /// With the key of a paid plan, where there is one.
    pub(super) fn with_key(mut self, key: Option<&SecretString>) -> Self {
        let key = key.map(|key| ("apikey", key.expose_secret().to_owned()));
        self.query.extend(key);
        self
    }
}

/// What is wrong with a reply.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ReplyError {
    /// It ends in the middle.
    #[error("the reply breaks off in the middle")]
    CutOff,
    /// A page for people, as a gateway sends it while the service is down.
    #[error("the reply is a web page, not data")]
    WebPage,
    /// Not of the format at all.
    #[error("the reply is not JSON: {0}")]
    NotJson(String),
    /// It answers for several places at once.
    #[error("the reply is a list of {0} places, expected the one that was asked for")]
    Several(usize),
    /// The service says no in its own words.
    #[error("the service says '{reason}'")]
    Said {
        /// Its words.
        reason: String,
        /// The length of the period whose quota is used up, where that is the reason.
        quota: Option<Duration>,
    },
    /// The service has no data for the place.
    #[error("the service has no data for this place")]
    NotCovered,
    /// One field is not as it has to be.
    #[error("field {field} {what}")]
    Field {
        /// Which, with its path.
        field: String,
        /// What was found and what is allowed.
        what: String,
    },
    /// The daily record in it cannot be read.
    #[error(transparent)]
    Record(#[from] RecordError),
}

impl ReplyError {
    /// A field that is not as it has to be.
    pub(super) fn field(field: &str, what: impl Into<String>) -> Self {
        Self::Field {
            field: field.to_owned(),
            what: tidy(&what.into()),
        }
    }
}

/// Words from outside, short enough and without line breaks for a log or a mail.
pub(super) fn tidy(words: &str) -> String {
    words
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .take(WORDS_CHARS)
        .collect()
}

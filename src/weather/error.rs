//! Why no weather came, and what may be done about it.

use std::error::Error as StdError;
use std::io;
use std::path::PathBuf;
use std::time::Duration;

use thiserror::Error;

use super::question::ReplyError;

/// Why no forecast, record or height came.
///
/// The texts name the service, its host and the cause, never the query: it may hold a key.
#[derive(Debug, Error)]
pub enum WeatherError {
    /// The client was given no contact address.
    #[error("cannot ask weather services without a contact address for the user agent")]
    NoContact,
    /// The client cannot be made.
    #[error("cannot make the client for weather services: {0}")]
    NoClient(String),
    /// The configured address cannot be used.
    #[error("cannot use the configured address of {service}: {what}")]
    Address {
        /// Which service.
        service: &'static str,
        /// What is wrong with it.
        what: String,
    },
    /// No connection, or one that broke.
    #[error("cannot reach {service}: {}", root_text(cause))]
    Unreachable {
        /// Service and host.
        service: String,
        /// What the network said.
        cause: reqwest::Error,
    },
    /// No whole answer in time.
    #[error("no whole answer from {service} within {} s", limit.as_secs_f64())]
    TimedOut {
        /// Service and host.
        service: String,
        /// How long was waited.
        limit: Duration,
    },
    /// The service cannot answer now: a quota is used up, or it is out of order.
    #[error("{service} cannot answer now: status {status}, {reason}")]
    Busy {
        /// Service and host.
        service: String,
        /// The HTTP status.
        status: u16,
        /// The service's own words.
        reason: String,
        /// How long it asks to be left alone.
        after: Option<Duration>,
    },
    /// The service was not asked: it failed before or has asked for a pause.
    #[error("{service} is left alone for another {} min", left.as_secs().div_ceil(60))]
    Resting {
        /// Service and host.
        service: String,
        /// How long still.
        left: Duration,
    },
    /// The service will not answer this question.
    #[error("{service} refuses the question: status {status}, {reason}")]
    Refused {
        /// Service and host.
        service: String,
        /// The HTTP status.
        status: u16,
        /// The service's own words.
        reason: String,
    },
    /// The service sends the client round in circles or to an address that is not allowed.
    #[error("cannot follow {service} to where it points: {why}")]
    Redirected {
        /// Service and host.
        service: String,
        /// Why not.
        why: String,
    },
    /// The answer is larger than any answer can be.
    #[error("the answer of {service} is larger than {cap} bytes")]
    TooLarge {
        /// Service and host.
        service: String,
        /// The largest that is read, unpacked.
        cap: usize,
    },
    /// The service has no data for the place.
    #[error("{service} has no data for this place")]
    NotCovered {
        /// Service and host.
        service: String,
    },
    /// The answer makes no sense.
    #[error("cannot read the answer of {service}: {problem}")]
    Unreadable {
        /// Service and host.
        service: String,
        /// What is wrong with it.
        problem: ReplyError,
    },
    /// A file cannot be opened.
    #[error("cannot open {}: {cause}", path.display())]
    NoFile {
        /// Which file.
        path: PathBuf,
        /// What the system said.
        cause: io::Error,
    },
    /// The content of a file makes no sense.
    #[error("cannot read {}: {problem}", path.display())]
    BadFile {
        /// Which file.
        path: PathBuf,
        /// What is wrong with it.
        problem: ReplyError,
    },
}

/// What may be done after an error.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NextStep {
    /// Ask again, not before that time where one is given.
    Retry {
        /// How long to wait at the least.
        after: Option<Duration>,
    },
    /// Go on with the last good answer, or without.
    UseFallback,
    /// Somebody has to change the settings.
    AskHuman,
    /// It cannot work at all.
    Stop,
}

impl WeatherError {
    /// What may be done.
    pub const fn next_step(&self) -> NextStep {
        match self {
            Self::NoContact | Self::NoClient(_) => NextStep::Stop,
            Self::Address { .. }
            | Self::Refused { .. }
            | Self::Redirected { .. }
            | Self::NotCovered { .. }
            | Self::NoFile { .. }
            | Self::BadFile { .. } => NextStep::AskHuman,
            Self::Unreachable { .. } | Self::TimedOut { .. } => NextStep::Retry { after: None },
            Self::Busy { after, .. } => NextStep::Retry { after: *after },
            Self::Resting { left, .. } => NextStep::Retry { after: Some(*left) },
            Self::TooLarge { .. } => NextStep::UseFallback,
            Self::Unreadable { problem, .. } => match problem {
                ReplyError::CutOff | ReplyError::WebPage => NextStep::Retry { after: None },
                ReplyError::NotJson(_)
                | ReplyError::Several(_)
                | ReplyError::Said { .. }
                | ReplyError::NotCovered
                | ReplyError::Field { .. }
                | ReplyError::Record(_) => NextStep::UseFallback,
            },
        }
    }
}

impl WeatherError {
    /// The same error, where it lies in the question and not in the moment; none otherwise.
    pub(super) fn of_the_question(&self) -> Option<Self> {
        match self.next_step() {
            NextStep::UseFallback | NextStep::AskHuman => {}
            NextStep::Retry { .. } | NextStep::Stop => return None,
        }
        match self {
            Self::Refused {
                service,
                status,
                reason,
            } => Some(Self::Refused {
                service: service.clone(),
                status: *status,
                reason: reason.clone(),
            }),
            Self::Redirected { service, why } => Some(Self::Redirected {
                service: service.clone(),
                why: why.clone(),
            }),
            Self::TooLarge { service, cap } => Some(Self::TooLarge {
                service: service.clone(),
                cap: *cap,
            }),
            Self::NotCovered { service } => Some(Self::NotCovered {
                service: service.clone(),
            }),
            Self::Unreadable { service, problem } => Some(Self::Unreadable {
                service: service.clone(),
                problem: problem.clone(),
            }),
            Self::NoContact
            | Self::NoClient(_)
            | Self::Address { .. }
            | Self::Unreachable { .. }
            | Self::TimedOut { .. }
            | Self::Busy { .. }
            | Self::Resting { .. }
            | Self::NoFile { .. }
            | Self::BadFile { .. } => None,
        }
    }
}

/// What lies at the root of an error: the layers above it only say that something failed.
pub(super) fn root_text(error: &dyn StdError) -> String {
    let mut root = error;
    while let Some(deeper) = root.source() {
        root = deeper;
    }
    root.to_string()
}

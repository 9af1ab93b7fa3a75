//! What can go wrong with a mail, and what to do then.

use std::error::Error;
use std::fmt;
use std::io;
use std::path::PathBuf;

use lettre::address::AddressError;
use thiserror::Error;

use super::compose::one_line;

/// The most characters of a relay's answer that are kept.
const REPLY_MAX: usize = 300;

/// Trouble with a mail.
#[derive(Debug, Error)]
pub enum MailError {
    /// The sender's address cannot be one.
    #[error("cannot send from '{found}'")]
    Sender {
        /// The address as given.
        found: String,
        /// What is wrong with it.
        #[source]
        cause: AddressError,
    },
    /// The recipient's address cannot be one, or is more than one.
    #[error("cannot send to '{found}'")]
    Recipient {
        /// The address as given.
        found: String,
        /// What is wrong with it.
        #[source]
        cause: AddressError,
    },
    /// The mail cannot be put together.
    #[error("cannot compose the mail")]
    Compose(#[from] lettre::error::Error),
    /// The mail cannot be laid into the folder.
    #[error("cannot write the mail {}", path.display())]
    Folder {
        /// The file.
        path: PathBuf,
        /// What the system says.
        #[source]
        cause: io::Error,
    },
    /// The relay cannot be used as it is set up here.
    #[error("cannot use the mail relay {host}: {what}")]
    Setup {
        /// The relay.
        host: String,
        /// What does not fit.
        what: String,
    },
    /// The way to the relay cannot be kept private; nothing of the mail and no password went out.
    #[error("cannot reach the mail relay {host} in private: {what}")]
    NotPrivate {
        /// The relay.
        host: String,
        /// What stands against it.
        what: String,
    },
    /// The relay said no.
    #[error("the mail relay refused {stage}: {code} {text}")]
    Refused {
        /// What it refused.
        stage: Stage,
        /// Its reply code.
        code: u16,
        /// Its words.
        text: String,
    },
    /// The relay was not reached, or was lost before it had the mail.
    #[error("lost the mail relay during {stage}: {cause}")]
    Lost {
        /// What was being done.
        stage: Stage,
        /// What happened.
        cause: String,
    },
    /// The mail was held back when it was about to go.
    #[error("the mail was held back")]
    Held,
    /// The relay was lost after it had the mail and before it said yes: it may have taken it.
    #[error("the mail relay has the mail but did not confirm it: {cause}")]
    Unconfirmed {
        /// What happened.
        cause: String,
    },
}

/// What is being done with a relay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Connecting and introducing oneself.
    Greeting,
    /// Going over to an encrypted connection.
    Encryption,
    /// Logging in.
    Login,
    /// Naming the sender.
    Sender,
    /// Naming the recipient.
    Recipient,
    /// Asking leave to send the content.
    Content,
    /// Sending the content.
    Handover,
}

/// What the caller does about a [`MailError`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NextStep {
    /// Try again later; it passes by itself.
    Retry,
    /// Keep the mail, try rarely, and show it: the settings or the relay have to be mended.
    AskHuman,
    /// Drop this mail, and show it: to this recipient it will never go.
    GiveUp,
    /// Show it: nobody knows whether the mail has arrived.
    Doubt,
}

impl MailError {
    /// Whether it is about the reader alone: the address cannot be one, or the relay takes nothing for it.
    pub const fn concerns_reader(&self) -> bool {
        match self {
            Self::Recipient { .. } => true,
            Self::Refused { stage, .. } => matches!(stage, Stage::Recipient),
            Self::Sender { .. }
            | Self::Compose(_)
            | Self::Folder { .. }
            | Self::Setup { .. }
            | Self::NotPrivate { .. }
            | Self::Lost { .. }
            | Self::Held
            | Self::Unconfirmed { .. } => false,
        }
    }

    /// What to do about it.
    ///
    /// The stage counts beside the code: a no to the recipient concerns one mail, a no to the login all of them.
    pub const fn next_step(&self) -> NextStep {
        match self {
            Self::Recipient { .. } | Self::Compose(_) => NextStep::GiveUp,
            Self::Sender { .. }
            | Self::Folder { .. }
            | Self::Setup { .. }
            | Self::NotPrivate { .. } => NextStep::AskHuman,
            Self::Lost { .. } | Self::Held => NextStep::Retry,
            Self::Unconfirmed { .. } => NextStep::Doubt,
            Self::Refused { stage, code, .. } => after_refusal(*stage, *code),
        }
    }

    /// From what happened at a stage of the talk with a relay.
    pub(super) fn of(host: &str, stage: Stage, error: &lettre::transport::smtp::Error) -> Self {
        let cause = root(error);
        if let Some(code) = error.status() {
            let (code, text) = (code.into(), cause);
            let stage = refused(stage, &text);
            return Self::Refused { stage, code, text };
        }
        let (host, what) = (host.to_owned(), cause.clone());
        if speaks_of_tls(error) {
            return Self::NotPrivate { host, what };
        }
        if error.is_client() {
            return Self::Setup { host, what };
        }
        Self::lost(stage, cause)
    }

    /// The same without what must not be repeated, wherever the relay's words have it.
    pub(super) fn without(self, secrets: &[String]) -> Self {
        let secrets = || secrets.iter().filter(|secret| !secret.is_empty());
        let clean = |text: String| secrets().fold(text, |text, secret| text.replace(secret, "..."));
        match self {
            Self::Refused { stage, code, text } => Self::Refused {
                stage,
                code,
                text: clean(text),
            },
            Self::Lost { stage, cause } => Self::Lost {
                stage,
                cause: clean(cause),
            },
            Self::Setup { host, what } => Self::Setup {
                host,
                what: clean(what),
            },
            other @ (Self::Sender { .. }
            | Self::Recipient { .. }
            | Self::Compose(_)
            | Self::Folder { .. }
            | Self::NotPrivate { .. }
            | Self::Held
            | Self::Unconfirmed { .. }) => other,
        }
    }

    /// The relay is gone or silent.
    pub(super) fn lost(stage: Stage, cause: String) -> Self {
        match stage {
            Stage::Handover => Self::Unconfirmed { cause },
            Stage::Greeting
            | Stage::Encryption
            | Stage::Login
            | Stage::Sender
            | Stage::Recipient
            | Stage::Content => Self::Lost { stage, cause },
        }
    }
}

/// What was refused. Many relays tell only after the recipient that they do not take the sender, and say so by the
/// status codes X.1.7 and X.1.8 (RFC 3463, section 3.2).
fn refused(stage: Stage, text: &str) -> Stage {
    let is_of_sender = ["5.1.7", "5.1.8"].iter().any(|status| {
        let rest = text.strip_prefix(status);
        rest.is_some_and(|rest| !rest.starts_with(|next: char| next.is_ascii_digit()))
    });
    match stage {
        Stage::Recipient if is_of_sender => Stage::Sender,
        Stage::Greeting
        | Stage::Encryption
        | Stage::Login
        | Stage::Sender
        | Stage::Recipient
        | Stage::Content
        | Stage::Handover => stage,
    }
}

const fn after_refusal(stage: Stage, code: u16) -> NextStep {
    match (code, stage) {
        // Below 500 it is a "not now"; 530, 534, 535 and 538 ask for another login (RFC 4954, section 6).
        (0..500, _) => NextStep::Retry,
        (530 | 534 | 535 | 538, _) => NextStep::AskHuman,
        (_, Stage::Greeting | Stage::Encryption | Stage::Login | Stage::Sender) => {
            NextStep::AskHuman
        }
        (_, Stage::Recipient | Stage::Content | Stage::Handover) => NextStep::GiveUp,
    }
}

impl fmt::Display for Stage {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::Greeting => "the greeting",
            Self::Encryption => "the encryption",
            Self::Login => "the login",
            Self::Sender => "the sender",
            Self::Recipient => "the recipient",
            Self::Content => "the content",
            Self::Handover => "the mail itself",
        })
    }
}

/// An error and what caused it, one after the other.
fn causes<'a>(error: &'a (dyn Error + 'static)) -> impl Iterator<Item = &'a (dyn Error + 'static)> {
    std::iter::successors(Some(error), |error| (*error).source())
}

/// The words of the deepest cause, in one short line.
fn root(error: &lettre::transport::smtp::Error) -> String {
    let words = causes(error).last().map(ToString::to_string);
    one_line(&words.unwrap_or_default())
        .chars()
        .take(REPLY_MAX)
        .collect()
}

/// Whether the encryption is what failed; the library's own mark for that is not set by a refused certificate.
fn speaks_of_tls(error: &lettre::transport::smtp::Error) -> bool {
    let failed = |cause: &(dyn Error + 'static)| {
        let inner = cause.downcast_ref::<io::Error>()?.get_ref()?;
        inner.downcast_ref::<rustls::Error>().cloned()
    };
    error.is_tls() || causes(error).find_map(failed).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sender_that_is_refused_late_is_no_fault_of_the_reader() {
        let late = refused(
            Stage::Recipient,
            "5.1.8 <garden@example.org>: Sender address rejected",
        );
        assert_eq!(late, Stage::Sender);
        for of_reader in ["5.1.1 no such user", "5.1.80 odd", "not 5.1.8", ""] {
            assert_eq!(refused(Stage::Recipient, of_reader), Stage::Recipient);
        }
    }
}

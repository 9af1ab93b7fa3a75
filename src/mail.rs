//! Where a message becomes an e-mail and leaves the house.
//!
//! In: a [`Message`] in words, a sender and a date. Out: the mail handed to a relay or laid into a folder, or a
//! [`MailError`] that says what may be done. Does not word, keep or repeat anything: one call is one try.

mod compose;
mod error;
mod folder;
mod smtp;

use std::path::PathBuf;
use std::time::Duration;

use chrono::{DateTime, Utc};
use secrecy::SecretString;

use crate::message::Message;

pub use compose::compose;
pub use error::{MailError, NextStep, Stage};

/// How long a relay may take over one command.
///
/// Far below the minutes that RFC 5321, section 4.5.3.2, grants a relay: a mail that is given up too early is tried
/// again, and nothing else waits behind a relay that hangs.
pub const COMMAND_LIMIT: Duration = Duration::from_secs(20);

/// Where mails go.
#[derive(Debug, Clone)]
pub enum Route {
    /// Into a folder, one file each; for trials, and for gardens without a relay.
    Folder(PathBuf),
    /// To a mail relay.
    Smtp(Relay),
}

/// A mail relay and how it is spoken to.
#[derive(Debug, Clone)]
pub struct Relay {
    /// Its name or address.
    pub host: String,
    /// Its port.
    pub port: u16,
    /// How the way there is kept private.
    pub security: Security,
    /// With what it lets mail in, where it asks.
    pub login: Option<Login>,
    /// The full name by which this machine introduces itself; its own host name otherwise.
    pub hello: Option<String>,
    /// How long one command may take, such as [`COMMAND_LIMIT`]; a whole mail may take three times as long.
    pub timeout: Duration,
}

/// How the way to a relay is kept private; none of them falls back to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Security {
    /// In the clear at first, encrypted by the command STARTTLS before anything is said; port 587.
    StartTls,
    /// Encrypted from the first byte; port 465.
    Tls,
    /// Not at all; only to a relay on this machine.
    Plain,
}

/// A name and a password.
#[derive(Debug, Clone)]
pub struct Login {
    /// The name.
    pub user: String,
    /// The password.
    pub password: SecretString,
}

/// A mail that was taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sent {
    /// What the relay answered, or where the file lies.
    pub reply: String,
}

impl Route {
    /// Hands over one mail, once.
    ///
    /// The same message, sender and date make the same mail to the last byte, so that a second copy can be
    /// recognised: `at` is the time at which the message was decided, not that of the try.
    ///
    /// # Errors
    /// When the mail cannot be composed or was not taken.
    pub async fn send(
        &self,
        message: &Message,
        from: &str,
        at: DateTime<Utc>,
    ) -> Result<Sent, MailError> {
        let mail = compose(message, from, at)?;
        match self {
            Self::Folder(folder) => folder::lay(folder, &message.key, &mail).await,
            Self::Smtp(relay) => smtp::hand_over(relay, &mail).await,
        }
    }
}

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
use smtp::Relay;

pub use compose::compose;
pub use error::{MailError, NextStep, Stage};
#[cfg(fuzzing)]
pub use smtp::hand_over_by;

/// Sends mails from one address by one route.
#[derive(Debug, Clone)]
pub struct Postman {
    from: String,
    route: Route,
    limits: Limits,
}

/// How long each stage of the talk with a relay may take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// One of its addresses is knocked at.
    pub connect: Duration,
    /// The relay answers one command, or introduces itself.
    pub command: Duration,
    /// The relay takes the mail itself. It may look into it first, and giving up too early means a second copy.
    pub content: Duration,
}

impl Default for Limits {
    /// A relay that scans the mail gets the ten minutes that RFC 5321, section 4.5.3.2.6, grants it; over a command it
    /// grants five, and one is enough (estimate): a mail that is given up too early is tried again.
    fn default() -> Self {
        Self {
            connect: Duration::from_secs(15),
            command: Duration::from_mins(1),
            content: Duration::from_mins(10),
        }
    }
}

/// Where mails go.
#[derive(Debug, Clone)]
pub enum Route {
    /// Into a folder, one file each; for trials, and for gardens without a relay.
    Folder(PathBuf),
    /// To a mail relay.
    Smtp {
        /// Its name or address.
        host: String,
        /// Its port.
        port: u16,
        /// How the way there is kept private.
        security: SmtpSecurity,
        /// The name and password with which it lets mail in, where it asks.
        login: Option<(String, SecretString)>,
        /// The full name by which this machine introduces itself; its own host name otherwise.
        hello: Option<String>,
    },
}

/// How the way to a relay is kept private; none of them falls back to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SmtpSecurity {
    /// In the clear at first, encrypted by the command STARTTLS before anything is said; port 587.
    StartTls,
    /// Encrypted from the first byte; port 465.
    Tls,
    /// Not at all; only to a relay on this machine.
    Plain,
}

/// A mail that was taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sent {
    /// What the relay answered, or where the file lies.
    pub reply: String,
}

impl Postman {
    /// A postman for that sender, an address with or without a name.
    pub fn new(from: String, route: Route) -> Self {
        let limits = Limits::default();
        Self {
            from,
            route,
            limits,
        }
    }

    /// The same with other limits.
    #[must_use]
    pub fn within(self, limits: Limits) -> Self {
        Self { limits, ..self }
    }

    /// Hands over one mail, once.
    ///
    /// The same message and date make the same mail to the last byte, so that a second copy can be recognised: `at`
    /// is the time at which the message was decided, not that of the try.
    ///
    /// # Errors
    /// When the mail cannot be composed or was not taken.
    pub async fn send(&self, message: &Message, at: DateTime<Utc>) -> Result<Sent, MailError> {
        self.send_with_leave(message, at, std::future::ready(true))
            .await
    }

    /// Hands over one mail, once. When all is said and only the mail itself is left to go, waits for `leave`, so that it
    /// can be noted before: from then on the end of a broken line is not known.
    ///
    /// # Errors
    /// When the mail cannot be composed or was not taken; [`MailError::Held`] when the leave was not given.
    pub async fn send_with_leave(
        &self,
        message: &Message,
        at: DateTime<Utc>,
        leave: impl Future<Output = bool>,
    ) -> Result<Sent, MailError> {
        let mail = compose(message, &self.from, at)?;
        match &self.route {
            Route::Folder(folder) => {
                if !leave.await {
                    return Err(MailError::Held);
                }
                folder::lay(folder, &message.key, &mail).await
            }
            Route::Smtp {
                host,
                port,
                security,
                login,
                hello,
            } => {
                let relay = Relay {
                    host,
                    port: *port,
                    security: *security,
                    login: login.as_ref(),
                    hello: hello.as_deref(),
                };
                smtp::hand_over((&relay, self.limits), &mail, leave).await
            }
        }
    }
}

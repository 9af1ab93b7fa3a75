//! Where a message becomes an e-mail and leaves the house.
//!
//! In: a [`Message`] in words, a sender and a date. Out: the mail handed to a relay or laid into a folder, or a
//! [`MailError`] that says what may be done. Does not word, keep or repeat anything: one call is one try.

mod compose;
mod error;
mod folder;
mod smtp;

use std::path::PathBuf;

use chrono::{DateTime, Utc};
use secrecy::SecretString;

use crate::message::Message;
use smtp::Relay;

pub use compose::compose;
pub use error::{MailError, NextStep, Stage};

/// Sends mails from one address by one route.
#[derive(Debug, Clone)]
pub struct Postman {
    from: String,
    route: Route,
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
        Self { from, route }
    }

    /// Hands over one mail, once.
    ///
    /// The same message and date make the same mail to the last byte, so that a second copy can be recognised: `at`
    /// is the time at which the message was decided, not that of the try.
    ///
    /// # Errors
    /// When the mail cannot be composed or was not taken.
    pub async fn send(&self, message: &Message, at: DateTime<Utc>) -> Result<Sent, MailError> {
        let mail = compose(message, &self.from, at)?;
        match &self.route {
            Route::Folder(folder) => folder::lay(folder, &message.key, &mail).await,
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
                smtp::hand_over(&relay, &mail).await
            }
        }
    }
}

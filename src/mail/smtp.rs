//! The talk with a mail relay, command by command.
//!
//! The library's own transport bounds the connecting alone and gives no stage with an error; so its single commands
//! are used here, each with a limit.

use std::net::SocketAddr;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::task::Poll;
use std::time::Duration;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use lettre::Address;
use lettre::transport::smtp::authentication::{Credentials, DEFAULT_MECHANISMS};
use lettre::transport::smtp::client::{AsyncSmtpConnection, TlsParameters};
use lettre::transport::smtp::commands::{Data, Mail, Rcpt};
use lettre::transport::smtp::extension::{ClientId, Extension, MailParameter};
use lettre::transport::smtp::{Error, response::Response};
use secrecy::{ExposeSecret, SecretString};
use tokio::time::timeout;

use super::compose::one_line;
use super::{Limits, MailError, Sent, SmtpSecurity, Stage};

/// How long a relay may take over the goodbye, on which nothing depends.
const GOODBYE_LIMIT: Duration = Duration::from_secs(2);

/// A mail relay and how it is spoken to, as [`super::Route::Smtp`] says.
pub(super) struct Relay<'a> {
    pub(super) host: &'a str,
    pub(super) port: u16,
    pub(super) security: SmtpSecurity,
    pub(super) login: Option<&'a (String, SecretString)>,
    pub(super) hello: Option<&'a str>,
}

/// Hands one mail to a relay.
pub(super) async fn hand_over(
    (relay, limits): (&Relay<'_>, Limits),
    mail: &lettre::Message,
    leave: impl Future<Output = bool>,
) -> Result<Sent, MailError> {
    let talk = Talk {
        relay,
        hello: relay.client_id()?,
        limits,
    };
    let mut conn = talk.connect().await?;
    if relay.security == SmtpSecurity::StartTls {
        talk.encrypt(&mut conn).await?;
    }
    talk.go_on(conn, mail, leave).await
}

/// Hands one mail to whoever is at the other end of a line that is there already and is taken to be private; for the fuzz
/// targets, which play every relay in memory.
///
/// # Errors
/// As [`super::Postman::send`].
#[cfg(fuzzing)]
pub async fn hand_over_by(
    line: Box<dyn lettre::transport::smtp::client::AsyncTokioStream>,
    login: &(String, SecretString),
    mail: &lettre::Message,
) -> Result<Sent, MailError> {
    let relay = Relay {
        host: "relay",
        port: 25,
        security: SmtpSecurity::Plain,
        login: Some(login),
        hello: Some("garden"),
    };
    let talk = Talk {
        relay: &relay,
        hello: relay.client_id()?,
        limits: Limits::default(),
    };
    let greeting = AsyncSmtpConnection::connect_with_transport(line, &talk.hello);
    let conn = talk.step(Stage::Greeting, greeting).await?;
    talk.go_on(conn, mail, std::future::ready(true)).await
}

/// One talk with a relay.
struct Talk<'a> {
    relay: &'a Relay<'a>,
    hello: ClientId,
    limits: Limits,
}

impl Talk<'_> {
    /// Takes one step within its limit.
    async fn step<T>(
        &self,
        stage: Stage,
        work: impl Future<Output = Result<T, Error>>,
    ) -> Result<T, MailError> {
        let limit = match stage {
            Stage::Handover => self.limits.content,
            Stage::Greeting
            | Stage::Encryption
            | Stage::Login
            | Stage::Sender
            | Stage::Recipient
            | Stage::Content => self.limits.command,
        };
        match timeout(limit, caught(work)).await {
            Ok(Some(done)) => done.map_err(|error| MailError::of(self.relay.host, stage, &error)),
            Ok(None) => {
                let what = "it answers what no mail server may say";
                Err(MailError::lost(stage, what.to_owned()))
            }
            Err(_) => Err(MailError::lost(stage, "no answer in time".to_owned())),
        }
    }

    /// The talk once the way to the relay is as private as it should be.
    async fn go_on(
        &self,
        mut conn: AsyncSmtpConnection,
        mail: &lettre::Message,
        leave: impl Future<Output = bool>,
    ) -> Result<Sent, MailError> {
        if let Some((user, password)) = self.relay.login {
            self.log_in(&mut conn, user, password).await?;
        }
        let reply = self.send(&mut conn, mail, leave).await;
        drop(timeout(GOODBYE_LIMIT, caught(conn.quit())).await);
        reply.map(|reply| Sent {
            reply: words(&reply),
        })
    }

    async fn connect(&self) -> Result<AsyncSmtpConnection, MailError> {
        let addresses = self.addresses().await?;
        let mut last = MailError::lost(Stage::Greeting, "its name has no address".to_owned());
        for address in addresses {
            let tls = match self.relay.security {
                SmtpSecurity::Tls => Some(self.trust()?),
                SmtpSecurity::StartTls | SmtpSecurity::Plain => None,
            };
            let connecting = AsyncSmtpConnection::connect_tokio1(
                address,
                Some(self.limits.connect),
                &self.hello,
                tls,
                None,
            );
            match self.step(Stage::Greeting, connecting).await {
                Err(error @ MailError::Lost { .. }) => last = error,
                done => return done,
            }
        }
        Err(last)
    }

    /// The addresses of the relay; without encryption only those of this machine itself.
    async fn addresses(&self) -> Result<Vec<SocketAddr>, MailError> {
        let (host, port) = (self.relay.host, self.relay.port);
        let lost = |cause| MailError::lost(Stage::Greeting, cause);
        let found = timeout(self.limits.connect, tokio::net::lookup_host((host, port)))
            .await
            .map_err(|_| lost("no answer in time to who it is".to_owned()))?
            .map_err(|cause| lost(one_line(&cause.to_string())))?;
        let found: Vec<_> = found.collect();
        if self.relay.security == SmtpSecurity::Plain
            && !found.iter().all(|address| address.ip().is_loopback())
        {
            let what =
                "mail goes out unencrypted only to a relay on this machine; use starttls or tls";
            return Err(MailError::NotPrivate {
                host: host.to_owned(),
                what: what.to_owned(),
            });
        }
        Ok(found)
    }

    /// Whom to trust to be the relay: who has a certificate for its name that this machine accepts.
    fn trust(&self) -> Result<TlsParameters, MailError> {
        let host = self.relay.host;
        TlsParameters::new(host.to_owned())
            .map_err(|error| MailError::of(host, Stage::Encryption, &error))
    }

    async fn encrypt(&self, conn: &mut AsyncSmtpConnection) -> Result<(), MailError> {
        if !conn.can_starttls() {
            return Err(MailError::NotPrivate {
                host: self.relay.host.to_owned(),
                what: "it does not offer STARTTLS".to_owned(),
            });
        }
        let encrypting = conn.starttls(self.trust()?, &self.hello);
        self.step(Stage::Encryption, encrypting).await
    }

    async fn log_in(
        &self,
        conn: &mut AsyncSmtpConnection,
        user: &str,
        password: &SecretString,
    ) -> Result<Response, MailError> {
        let secret = password.expose_secret();
        let credentials = Credentials::new(user.to_owned(), secret.to_owned());
        let logging_in = conn.auth(DEFAULT_MECHANISMS, &credentials);
        let answer = self.step(Stage::Login, logging_in).await;
        // A relay may say back what it was given, and its words go into the log and the store.
        let told = [
            secret.to_owned(),
            STANDARD.encode(secret),
            STANDARD.encode(format!("\0{user}\0{secret}")),
        ];
        answer.map_err(|refusal| refusal.without(&told))
    }

    async fn send(
        &self,
        conn: &mut AsyncSmtpConnection,
        mail: &lettre::Message,
        leave: impl Future<Output = bool>,
    ) -> Result<Response, MailError> {
        let (from, to) = (mail.envelope().from(), mail.envelope().to());
        let options = self.options(conn, from.into_iter().chain(to))?;
        let naming = conn.command(Mail::new(from.cloned(), options));
        self.step(Stage::Sender, naming).await?;
        for recipient in to {
            let naming = conn.command(Rcpt::new(recipient.clone(), Vec::new()));
            self.step(Stage::Recipient, naming).await?;
        }
        if !leave.await {
            return Err(MailError::Held);
        }
        self.step(Stage::Content, conn.command(Data)).await?;
        let bytes = mail.formatted();
        // The library ends the last line itself.
        let content = bytes.strip_suffix(b"\r\n").unwrap_or(&bytes);
        self.step(Stage::Handover, conn.message(content)).await
    }

    /// What the relay has to be asked for: addresses beyond ASCII need its consent (RFC 6531).
    fn options<'a>(
        &self,
        conn: &AsyncSmtpConnection,
        mut addresses: impl Iterator<Item = &'a Address>,
    ) -> Result<Vec<MailParameter>, MailError> {
        if addresses.all(|address| AsRef::<str>::as_ref(address).is_ascii()) {
            return Ok(Vec::new());
        }
        if !conn.server_info().supports_feature(Extension::SmtpUtfEight) {
            return Err(MailError::Setup {
                host: self.relay.host.to_owned(),
                what: "it does not take addresses with letters beyond a to z".to_owned(),
            });
        }
        Ok(vec![MailParameter::SmtpUtfEight])
    }
}

impl Relay<'_> {
    /// How this machine introduces itself.
    fn client_id(&self) -> Result<ClientId, MailError> {
        let Some(name) = self.hello else {
            return Ok(ClientId::default());
        };
        if name.is_empty() || !name.chars().all(|letter| letter.is_ascii_graphic()) {
            return Err(MailError::Setup {
                host: self.host.to_owned(),
                what: format!("'{}' is no name to introduce oneself by", one_line(name)),
            });
        }
        Ok(ClientId::Domain(name.to_owned()))
    }
}

/// What comes of a step; none where the library breaks down over an answer, as lettre 0.11.23 does over a greeting with a
/// line of blanks (`ServerInfo::from_response`).
async fn caught<T>(work: impl Future<Output = T>) -> Option<T> {
    let mut work = std::pin::pin!(work);
    // After a step that failed nothing but a goodbye goes over the connection, caught likewise.
    std::future::poll_fn(|context| {
        let polled = catch_unwind(AssertUnwindSafe(|| work.as_mut().poll(context)));
        match polled {
            Ok(polled) => polled.map(Some),
            Err(_) => Poll::Ready(None),
        }
    })
    .await
}

/// A relay's answer in one line.
fn words(reply: &Response) -> String {
    let lines: Vec<_> = reply.message().collect();
    one_line(&format!("{} {}", reply.code(), lines.join(" ")))
}

//! What comes back from outside to mails: the words of a mail relay, and the links of letters.

use std::io;
use std::net::{Ipv4Addr, SocketAddr};
use std::pin::Pin;
use std::sync::LazyLock;
use std::task::{Context, Poll};

use budward::garden::Answer;
use budward::link::{KEY_BYTES, LinkError, Signer, Slip};
use budward::mail::{MailError, compose, hand_over_by};
use budward::message::{Enclosed, Message};
use chrono::{DateTime, Utc};
use lettre::transport::smtp::client::AsyncTokioStream;
use secrecy::SecretString;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::runtime::Runtime;

use crate::seeds::texts;

static SIGNER: LazyLock<Signer> = LazyLock::new(|| Signer::new(&[7; KEY_BYTES]));

fn now() -> DateTime<Utc> {
    DateTime::from_timestamp(1_806_561_000, 0).unwrap_or_default()
}

fn slip(cut: &str, reader: &str, days: i64) -> Slip {
    Slip {
        garden: "museum".to_owned(),
        cut: cut.to_owned(),
        answer: Answer::Later,
        reader: reader.to_owned(),
        until: now() + chrono::TimeDelta::days(days),
    }
}

pub fn link_seeds() -> Vec<Vec<u8>> {
    let slips = [
        slip("box-edging-shear", "", 20),
        slip("", "anna@example.org", -1),
    ];
    slips.map(|slip| SIGNER.token(&slip).into_bytes()).into()
}

/// Reads a token; whatever is taken is what the signer would make itself.
pub fn read_link(bytes: &[u8]) {
    let token = String::from_utf8_lossy(bytes);
    match SIGNER.read(&token, now()) {
        Ok(slip) => assert_eq!(SIGNER.token(&slip), token),
        Err(LinkError::Broken | LinkError::Over) => {}
    }
    assert_eq!(Signer::mark(&token).len(), 64);
}

/// What a relay says, in one piece; what it is told goes nowhere.
#[derive(Debug)]
struct Relay {
    left: io::Cursor<Vec<u8>>,
}

impl AsyncRead for Relay {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        into: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.left).poll_read(context, into)
    }
}

impl AsyncWrite for Relay {
    fn poll_write(
        self: Pin<&mut Self>,
        _: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        Poll::Ready(Ok(bytes.len()))
    }

    fn poll_flush(self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<io::Result<()>> {
        Poll::Ready(Ok(()))
    }

    fn poll_shutdown(self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<io::Result<()>> {
        Poll::Ready(Ok(()))
    }
}

impl AsyncTokioStream for Relay {
    fn peer_addr(&self) -> io::Result<SocketAddr> {
        Ok((Ipv4Addr::LOCALHOST, 25).into())
    }
}

static RUNTIME: LazyLock<Runtime> = LazyLock::new(|| {
    let mut builder = tokio::runtime::Builder::new_current_thread();
    builder.enable_time().build().expect("a runtime")
});

static MAIL: LazyLock<lettre::Message> = LazyLock::new(|| {
    let message = Message {
        key: "museum.2027-04-22-093000.box-edging-shear.now-go".to_owned(),
        to: "keeper@example.org".to_owned(),
        subject: "Box edging: go".to_owned(),
        text: "Cut it.\n".to_owned(),
        html: "<p>Cut it.</p>\n".to_owned(),
        enclosed: Enclosed::default(),
    };
    compose(&message, "garden@example.org", now()).expect("a mail")
});

pub fn relay_seeds() -> Vec<Vec<u8>> {
    let hello = "220 relay ESMTP\r\n250-relay greets garden\r\n250-8BITMIME\r\n250-SMTPUTF8\r\n250 AUTH PLAIN LOGIN\r\n";
    let rest = "235 2.7.0 ok\r\n250 2.1.0 ok\r\n250 2.1.5 ok\r\n354 go on\r\n250 2.0.0 queued as 4F2\r\n221 bye\r\n";
    let whole = format!("{hello}{rest}");
    let by_login =
        format!("{hello}334 VXNlcm5hbWU6\r\n334 UGFzc3dvcmQ6\r\n{rest}").replace("PLAIN ", "");
    let no = format!("{hello}535-5.7.8 secret-word\r\n535 no\r\n");
    let not_now = format!("{hello}235 ok\r\n250 ok\r\n450 4.2.1 \u{1b}[31mlater\r\n");
    texts(&[
        &whole,
        &by_login,
        &no,
        &not_now,
        "554 go away\r\n",
        "220 hi\r\n250-relay\r\n250- \u{c} \r\n250 8BITMIME\r\n",
        "220 hi\r\n502 what\r\n250 relay\r\n",
    ])
}

/// Talks with a relay that says this, whatever it is told.
pub fn read_relay(bytes: &[u8]) {
    let line = Relay {
        left: io::Cursor::new(bytes.to_vec()),
    };
    let login = ("garden".to_owned(), SecretString::from("secret-word"));
    let outcome = RUNTIME.block_on(hand_over_by(Box::new(line), &login, &MAIL));
    match outcome {
        Ok(sent) => assert!(!sent.reply.contains(['\r', '\n'])),
        Err(error) => {
            let told = error.to_string();
            assert!(
                !told.contains("secret-word") || !during_login(&error),
                "{told}"
            );
            assert!(told.chars().count() < 500, "{told}");
            assert!(!told.contains(['\r', '\n']), "{told}");
            error.next_step();
        }
    }
}

fn during_login(error: &MailError) -> bool {
    use budward::mail::Stage::Login;
    match error {
        MailError::Refused { stage, .. } | MailError::Lost { stage, .. } => *stage == Login,
        _ => false,
    }
}

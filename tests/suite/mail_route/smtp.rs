//! Mails to a real relay on this machine, and what its refusals mean.

use budward::mail::{MailError, NextStep, Postman, Route, SmtpSecurity, Stage};
use tempfile::TempDir;
use tokio::io::{AsyncReadExt, AsyncWriteExt};

use super::peer::{Envelope, Peer, certificate, read, relay, verbs};
use super::{FROM, decided, message};

/// Where the certificate lies, for the run of a test in which this machine vouches for it.
const TRUSTED: &str = "BUDWARD_TEST_TRUSTED";

const PASSWORD: &str = "L\u{e4}uchli 7";

pub(super) fn postman(route: Route) -> Postman {
    Postman::new(FROM.to_owned(), route)
}

async fn send(postman: &Postman) -> Result<String, MailError> {
    let sent = postman.send(&message("box"), decided()).await?;
    Ok(sent.reply)
}

/// Why a mail is not taken, and what is to be done; neither the mail nor a password shows in it.
async fn refusal(postman: &Postman) -> (MailError, NextStep) {
    let error = send(postman).await.unwrap_err();
    let shown = format!("{error} {error:?} {postman:?}");
    assert!(!shown.contains("6 of 100"), "the mail shows: {shown}");
    assert!(!shown.contains(PASSWORD), "the password shows: {shown}");
    let next = error.next_step();
    (error, next)
}

fn with_login(mut route: Route, password: &str) -> Route {
    if let Route::Smtp { login, .. } = &mut route {
        *login = Some(("gardener".to_owned(), password.to_owned().into()));
    }
    route
}

fn with_hello(mut route: Route, name: &str) -> Route {
    if let Route::Smtp { hello, .. } = &mut route {
        *hello = Some(name.to_owned());
    }
    route
}

#[tokio::test]
async fn a_relay_gets_the_mail_whole() {
    let Some(mut peer) = Peer::start("accept") else {
        return;
    };
    assert_eq!(
        send(&postman(peer.route(SmtpSecurity::Plain)))
            .await
            .unwrap(),
        "250 2.0.0 taken"
    );
    assert_eq!(peer.heard()[..4], ["EHLO", "MAIL", "RCPT", "DATA"]);
    assert!(
        peer.file("heard.txt")
            .starts_with(b"EHLO garden.example\r\n")
    );
    let envelope = Envelope {
        from: "budward@Garden.Example".to_owned(),
        to: vec!["keeper@example.org".to_owned()],
    };
    assert_eq!(peer.envelope(), envelope);
    let mail = peer.file("mail.eml");
    assert_eq!(
        String::from_utf8_lossy(&mail),
        String::from_utf8_lossy(&super::bytes(&message("box")))
    );
    let mail = read(&mail).unwrap();
    assert!(mail.text.contains("6 of 100 futures") && mail.html.contains("6 of 100 futures"));
}

#[tokio::test]
async fn a_name_that_would_inject_reaches_one_mailbox_as_words() {
    let Some(mut peer) = Peer::start("accept") else {
        return;
    };
    let message = message(".\r\n.\r\nBcc: x@y\r\nQUIT");
    postman(peer.route(SmtpSecurity::Plain))
        .send(&message, decided())
        .await
        .unwrap();
    assert_eq!(peer.envelope().to, ["keeper@example.org"]);
    let mail = read(&peer.file("mail.eml")).unwrap();
    assert!(mail.text.contains("Bcc: x@y") && mail.html.contains("Bcc: x@y"));
    assert!(mail.subject.contains("Bcc: x@y"));
    assert!(
        !mail
            .headers
            .iter()
            .any(|name| name.eq_ignore_ascii_case("bcc"))
    );
}

#[tokio::test]
async fn the_stage_and_the_code_of_a_refusal_say_what_to_do() {
    let cases = [
        ("refuse", Stage::Recipient, 550, NextStep::GiveUp),
        ("busy", Stage::Recipient, 451, NextStep::Retry),
        ("reject", Stage::Handover, 554, NextStep::GiveUp),
        ("auth", Stage::Sender, 530, NextStep::AskHuman),
    ];
    for (mode, at, with, then) in cases {
        let Some(peer) = Peer::start(mode) else {
            return;
        };
        let (error, next) = refusal(&postman(peer.route(SmtpSecurity::Plain))).await;
        let MailError::Refused { stage, code, .. } = error else {
            panic!("{mode}: {error}")
        };
        assert_eq!((stage, code, next), (at, with, then), "{mode}");
    }
}

#[tokio::test]
async fn a_relay_that_asks_for_a_login_gets_it() {
    let Some(peer) = Peer::start("auth") else {
        return;
    };
    let route = with_login(peer.route(SmtpSecurity::Plain), PASSWORD);
    assert_eq!(send(&postman(route)).await.unwrap(), "250 2.0.0 taken");
}

#[tokio::test]
async fn a_wrong_password_asks_for_a_human_and_no_mail_goes_out() {
    let Some(mut peer) = Peer::start("auth") else {
        return;
    };
    let route = with_login(peer.route(SmtpSecurity::Plain), "wrong");
    let (error, next) = refusal(&postman(route)).await;
    assert!(
        matches!(
            error,
            MailError::Refused {
                stage: Stage::Login,
                code: 535,
                ..
            }
        ),
        "{error}"
    );
    assert_eq!(next, NextStep::AskHuman);
    assert_eq!(peer.file("mail.eml"), b"");
}

#[tokio::test]
async fn a_login_that_the_relay_does_not_know_asks_for_a_human() {
    let Some(peer) = Peer::start("accept") else {
        return;
    };
    let route = with_login(peer.route(SmtpSecurity::Plain), PASSWORD);
    let (error, next) = refusal(&postman(route)).await;
    assert!(matches!(error, MailError::Setup { .. }), "{error}");
    assert_eq!(next, NextStep::AskHuman);
}

#[tokio::test]
async fn a_relay_that_hangs_up_with_the_mail_in_hand_has_not_confirmed_it() {
    let Some(peer) = Peer::start("cut") else {
        return;
    };
    let (error, next) = refusal(&postman(peer.route(SmtpSecurity::Plain))).await;
    assert!(matches!(error, MailError::Unconfirmed { .. }), "{error}");
    assert_eq!(next, NextStep::Doubt);
}

#[tokio::test]
async fn nothing_goes_unencrypted_to_another_machine() {
    // 192.0.2.1 is an address for documents that no machine has (RFC 5737); it is not even asked.
    let route = Route::Smtp {
        host: "192.0.2.1".to_owned(),
        port: 25,
        security: SmtpSecurity::Plain,
        login: None,
        hello: None,
    };
    let (error, next) = refusal(&postman(route)).await;
    assert!(matches!(error, MailError::NotPrivate { .. }), "{error}");
    assert_eq!(next, NextStep::AskHuman);
}

#[tokio::test]
async fn a_name_with_a_line_break_is_no_name_to_introduce_oneself_by() {
    let Some(peer) = Peer::start("accept") else {
        return;
    };
    for name in ["", "garden\r\nMAIL FROM:<a@b>", "two words"] {
        let route = with_hello(peer.route(SmtpSecurity::Plain), name);
        let (error, next) = refusal(&postman(route)).await;
        assert!(matches!(error, MailError::Setup { .. }), "{error}");
        assert_eq!(next, NextStep::AskHuman);
    }
}

#[tokio::test]
async fn a_relay_without_starttls_gets_nothing_in_the_clear() {
    let Some(mut peer) = Peer::start("accept") else {
        return;
    };
    let route = with_login(peer.route(SmtpSecurity::StartTls), PASSWORD);
    let (error, next) = refusal(&postman(route)).await;
    assert!(
        error.to_string().ends_with("it does not offer STARTTLS"),
        "{error}"
    );
    assert_eq!(next, NextStep::AskHuman);
    assert_eq!(peer.heard(), ["EHLO"]);
}

#[tokio::test]
async fn a_certificate_that_nobody_vouches_for_is_refused_before_anything_is_said() {
    for (mode, security, said) in [
        (
            "starttls",
            SmtpSecurity::StartTls,
            &["EHLO", "STARTTLS"][..],
        ),
        ("tls", SmtpSecurity::Tls, &[]),
    ] {
        let Some(mut peer) = certificate().and_then(|folder| Peer::start_in(mode, folder)) else {
            return;
        };
        let route = with_login(peer.route(security), PASSWORD);
        let (error, next) = refusal(&postman(route)).await;
        assert!(
            matches!(error, MailError::NotPrivate { .. }),
            "{mode}: {error}"
        );
        assert!(error.to_string().contains("certificate"), "{mode}: {error}");
        assert_eq!(next, NextStep::AskHuman, "{mode}");
        assert_eq!(peer.heard(), said, "{mode}");
    }
}

#[tokio::test]
async fn a_relay_that_speaks_in_the_clear_on_an_encrypted_port_gets_nothing() {
    let Some(mut peer) = Peer::start("accept") else {
        return;
    };
    let (error, next) = refusal(&postman(peer.route(SmtpSecurity::Tls))).await;
    assert!(matches!(error, MailError::NotPrivate { .. }), "{error}");
    assert_eq!(next, NextStep::AskHuman);
    assert!(!peer.heard().contains(&"MAIL".to_owned()));
}

#[tokio::test]
async fn a_greeting_over_which_the_library_breaks_down_is_a_line_that_was_lost() {
    let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
    let port = listener.local_addr().unwrap().port();
    let speaks = tokio::spawn(async move {
        let (mut line, _) = listener.accept().await.unwrap();
        line.write_all(b"220 relay\r\n").await.unwrap();
        let mut hello = [0; 64];
        assert!(line.read(&mut hello).await.unwrap() > 0);
        line.write_all(b"250-relay\r\n250- \x0c \r\n250 8BITMIME\r\n")
            .await
            .unwrap();
    });
    let (error, next) = refusal(&postman(relay(port, SmtpSecurity::Plain))).await;
    assert!(
        error.to_string().contains("what no mail server may say"),
        "{error}"
    );
    assert_eq!(next, NextStep::Retry);
    speaks.await.unwrap();
}

/// Runs a test once more in a process of its own in which this machine vouches for a certificate; there, gives its
/// folder.
///
/// The trust comes from the environment, which a running process does not change safely.
fn trusting(test: &str) -> Option<TempDir> {
    let folder = certificate()?;
    let cert = folder.path().join("cert.pem");
    if let Some(trusted) = std::env::var_os(TRUSTED) {
        for name in ["cert.pem", "key.pem"] {
            std::fs::copy(
                std::path::Path::new(&trusted).join(name),
                folder.path().join(name),
            )
            .unwrap();
        }
        return Some(folder);
    }
    let again = std::process::Command::new(std::env::current_exe().unwrap())
        .args(["--exact", test, "--nocapture"])
        .env(TRUSTED, folder.path())
        .env("SSL_CERT_FILE", &cert)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&again.stdout);
    assert!(
        again.status.success() && said.contains("1 passed"),
        "{said}{}",
        String::from_utf8_lossy(&again.stderr)
    );
    None
}

#[tokio::test]
async fn an_encrypted_way_keeps_mail_and_everything_else_private() {
    let name = "mail_route::smtp::an_encrypted_way_keeps_mail_and_everything_else_private";
    for (mode, security, clear) in [
        (
            "starttls",
            SmtpSecurity::StartTls,
            &["EHLO", "STARTTLS"][..],
        ),
        ("tls", SmtpSecurity::Tls, &[]),
    ] {
        let Some(mut peer) = trusting(name).and_then(|folder| Peer::start_in(mode, folder)) else {
            return;
        };
        assert_eq!(
            send(&postman(peer.route(security))).await.unwrap(),
            "250 2.0.0 taken"
        );
        assert_eq!(verbs(&peer.file("clear.txt")), clear, "{mode}");
        assert!(peer.heard().contains(&"DATA".to_owned()), "{mode}");
        assert!(
            read(&peer.file("mail.eml"))
                .unwrap()
                .text
                .contains("6 of 100 futures")
        );
    }
}

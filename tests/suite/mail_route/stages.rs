//! Every way in which a relay can fail at every stage of a talk, played by a script.

use std::time::Duration;

use budward::mail::{MailError, NextStep, SmtpSecurity, Stage};
use tokio::io::{AsyncBufReadExt, AsyncWriteExt, BufReader};
use tokio::net::{TcpListener, TcpStream};
use tokio::time::{Instant, sleep};

use super::peer::relay;
use super::smtp::postman;
use super::{decided, message};

/// What a relay answers when all is well, each with the stage at which it is waited for.
const GOOD: [(Stage, &str); 6] = [
    (Stage::Greeting, "220 relay.example\r\n"),
    (Stage::Greeting, "250 relay.example\r\n"),
    (Stage::Sender, "250 ok\r\n"),
    (Stage::Recipient, "250 ok\r\n"),
    (Stage::Content, "354 go on\r\n"),
    (Stage::Handover, "250 taken\r\n"),
];

/// What it does instead at one of them.
#[derive(Debug, Clone, Copy)]
enum Fault {
    Says(&'static str),
    SaysNothing,
    /// A byte a second, and never the end of a line.
    Drips,
    HangsUp,
}

/// Sends a mail to a relay that is well until it has given so many answers.
async fn send(answers: usize, fault: Fault) -> Result<String, MailError> {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let port = listener.local_addr().unwrap().port();
    let playing = tokio::spawn(async move {
        let (stream, _) = listener.accept().await.unwrap();
        play(stream, answers, fault).await;
    });
    let sent = postman(relay(port, SmtpSecurity::Plain))
        .send(&message("box"), decided())
        .await;
    playing.abort();
    sent.map(|sent| sent.reply)
}

async fn play(stream: TcpStream, answers: usize, fault: Fault) {
    let mut stream = BufReader::new(stream);
    for (stage, answer) in GOOD.iter().take(answers) {
        hear(&mut stream, *stage, answer).await;
        stream.write_all(answer.as_bytes()).await.unwrap();
    }
    if let Some((stage, answer)) = GOOD.get(answers) {
        hear(&mut stream, *stage, answer).await;
    }
    match fault {
        Fault::Says(answer) => {
            stream.write_all(answer.as_bytes()).await.unwrap();
            stream.read_line(&mut String::new()).await.ok();
        }
        Fault::SaysNothing => std::future::pending().await,
        Fault::Drips => {
            while stream.write_all(b"2").await.is_ok() {
                sleep(Duration::from_secs(1)).await;
            }
        }
        Fault::HangsUp => {}
    }
}

/// Hears what comes before an answer: nothing before the greeting, a whole mail before its receipt, else one line.
async fn hear(stream: &mut BufReader<TcpStream>, stage: Stage, answer: &str) {
    if answer.starts_with("220") {
        return;
    }
    let mut line = String::new();
    stream.read_line(&mut line).await.unwrap();
    while stage == Stage::Handover && line != ".\r\n" {
        line.clear();
        stream.read_line(&mut line).await.unwrap();
    }
}

#[tokio::test]
async fn a_relay_that_is_well_takes_the_mail() {
    let reply = send(GOOD.len(), Fault::Says("221 bye\r\n")).await.unwrap();
    assert_eq!(reply, "250 taken");
}

/// Whether an error says that the relay was lost at that stage, after which a mail may have arrived or not.
fn is_loss_at(error: &MailError, at: Stage) -> bool {
    match error {
        MailError::Lost { stage, .. } => *stage == at,
        MailError::Unconfirmed { .. } => at == Stage::Handover,
        MailError::Sender { .. }
        | MailError::Recipient { .. }
        | MailError::Compose(_)
        | MailError::Folder { .. }
        | MailError::Setup { .. }
        | MailError::NotPrivate { .. }
        | MailError::Held
        | MailError::Refused { .. } => false,
    }
}

/// What is done when the relay is lost at a stage: only after the mail itself went is there a doubt.
fn after_a_loss(at: Stage) -> NextStep {
    if at == Stage::Handover {
        NextStep::Doubt
    } else {
        NextStep::Retry
    }
}

/// The clock stands while anything happens and jumps when all wait, so that a minute takes no time.
#[tokio::test(start_paused = true)]
async fn a_relay_that_falls_silent_or_drips_is_left_within_the_limit_of_its_stage() {
    for (answers, (at, _)) in GOOD.iter().enumerate() {
        for fault in [Fault::SaysNothing, Fault::Drips] {
            let begun = Instant::now();
            let error = send(answers, fault).await.unwrap_err();
            let limit = if *at == Stage::Handover { 600 } else { 60 };
            assert!(
                begun.elapsed() <= Duration::from_secs(limit + 3),
                "{at:?} {fault:?}"
            );
            assert!(is_loss_at(&error, *at), "{at:?} {fault:?}: {error}");
            assert_eq!(error.next_step(), after_a_loss(*at), "{at:?} {fault:?}");
        }
    }
}

#[tokio::test]
async fn a_relay_that_hangs_up_is_tried_again() {
    for (answers, (at, _)) in GOOD.iter().enumerate() {
        let error = send(answers, Fault::HangsUp).await.unwrap_err();
        assert!(is_loss_at(&error, *at), "{at:?}: {error}");
        assert_eq!(error.next_step(), after_a_loss(*at), "{at:?}");
    }
}

#[tokio::test]
async fn a_no_means_later_never_or_mend_by_code_and_stage() {
    for (answers, (at, _)) in GOOD.iter().enumerate() {
        let never = match at {
            Stage::Recipient | Stage::Content | Stage::Handover => NextStep::GiveUp,
            Stage::Greeting | Stage::Encryption | Stage::Login | Stage::Sender => {
                NextStep::AskHuman
            }
        };
        for (answer, with, then) in [
            ("421-one\r\n421 two\r\n", 421, NextStep::Retry),
            ("450 later\r\n", 450, NextStep::Retry),
            ("530 log in\r\n", 530, NextStep::AskHuman),
            ("550 no\r\n", 550, never),
            ("554 no\r\n", 554, never),
        ] {
            let error = send(answers, Fault::Says(answer)).await.unwrap_err();
            assert_eq!(error.next_step(), then, "{at:?} {answer}");
            let MailError::Refused { stage, code, .. } = error else {
                panic!("{at:?} {answer}: {error}")
            };
            assert_eq!((stage, code), (*at, with));
        }
    }
}

#[tokio::test]
async fn nonsense_for_an_answer_is_tried_again_and_shown_in_one_short_line() {
    let long = "x".repeat(5000);
    let nonsense: &'static str = Box::leak(format!("{long}\r\n").into_boxed_str());
    let wordy: &'static str =
        Box::leak(format!("450 {}\u{7}end\r\n", "no ".repeat(300)).into_boxed_str());
    for (answers, (at, _)) in GOOD.iter().enumerate() {
        for answer in ["hello?\r\n", "999 what\r\n", nonsense, wordy] {
            let error = send(answers, Fault::Says(answer)).await.unwrap_err();
            let then = if answer.starts_with("450") {
                NextStep::Retry
            } else {
                after_a_loss(*at)
            };
            assert_eq!(error.next_step(), then, "{answers} {answer}");
            let shown = error.to_string();
            assert!(
                shown.len() < 400 && !shown.contains(char::is_control),
                "{shown}"
            );
        }
    }
}

#[tokio::test]
async fn a_relay_that_is_not_there_is_tried_again() {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let port = listener.local_addr().unwrap().port();
    drop(listener);
    let sent = postman(relay(port, SmtpSecurity::Plain))
        .send(&message("box"), decided())
        .await;
    let error = sent.unwrap_err();
    assert!(
        matches!(
            error,
            MailError::Lost {
                stage: Stage::Greeting,
                ..
            }
        ),
        "{error}"
    );
    assert_eq!(error.next_step(), NextStep::Retry);
}

//! A mail server whose faults come from the seed, and which remembers every mail that it took.

use std::sync::{Arc, Mutex};
use std::time::Duration;

use budward::mail::{Limits, Postman, Route, SmtpSecurity};
use tokio::io::{AsyncBufReadExt, AsyncWriteExt, BufReader};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Notify;
use tokio::task::JoinHandle;

use super::chance::Chance;

/// What a talk comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ends {
    Well,
    GreetsLater,
    RefusesSender,
    ReaderLater,
    RefusesReader,
    DataLater,
    HangsUpBeforeData,
    /// The mail came whole; the line is lost before it says so.
    HangsUpWithTheMail,
    /// The line is lost within the mail.
    HangsUpWithoutTheMail,
    RefusesContent,
    StallsBeforeData,
    StallsWithTheMail,
    /// The program is killed before the mail goes, or when the server has it.
    KillsBeforeData,
    KillsWithTheMail,
}

const FAULTS: [Ends; 13] = [
    Ends::GreetsLater,
    Ends::RefusesSender,
    Ends::ReaderLater,
    Ends::RefusesReader,
    Ends::DataLater,
    Ends::HangsUpBeforeData,
    Ends::HangsUpWithTheMail,
    Ends::HangsUpWithoutTheMail,
    Ends::RefusesContent,
    Ends::StallsBeforeData,
    Ends::StallsWithTheMail,
    Ends::KillsBeforeData,
    Ends::KillsWithTheMail,
];

/// One talk in so many goes wrong.
const FAULT_IN: u64 = 12;

/// A mail that was taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Taken {
    /// The Message-ID without its brackets and domain.
    pub(super) id: String,
    pub(super) to: String,
}

#[derive(Debug)]
struct Desk {
    chance: Chance,
    is_away: bool,
    taken: Vec<Taken>,
    faults: u64,
}

#[derive(Debug)]
pub(super) struct Relay {
    pub(super) port: u16,
    desk: Arc<Mutex<Desk>>,
    pub(super) kill: Arc<Notify>,
    serving: JoinHandle<()>,
}

impl Drop for Relay {
    fn drop(&mut self) {
        self.serving.abort();
    }
}

impl Relay {
    pub(super) async fn open(chance: Chance) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let port = listener.local_addr().unwrap().port();
        let desk = Arc::new(Mutex::new(Desk {
            chance,
            is_away: false,
            taken: Vec::new(),
            faults: 0,
        }));
        let kill = Arc::new(Notify::new());
        let (own, alarm) = (Arc::clone(&desk), Arc::clone(&kill));
        let serving = tokio::spawn(async move {
            while let Ok((line, _)) = listener.accept().await {
                let ends = own.lock().unwrap().next();
                let (own, alarm) = (Arc::clone(&own), Arc::clone(&alarm));
                tokio::spawn(async move { talk(line, ends, (&own, &alarm)).await.ok() });
            }
        });
        Self {
            port,
            desk,
            kill,
            serving,
        }
    }

    /// It greets with "not now" for so many moments more.
    pub(super) fn be_away(&self, moments: u32) {
        self.desk.lock().unwrap().is_away = moments > 0;
    }

    /// What was taken since it was last asked.
    pub(super) fn taken(&self) -> Vec<Taken> {
        std::mem::take(&mut self.desk.lock().unwrap().taken)
    }

    pub(super) fn faults(&self) -> u64 {
        self.desk.lock().unwrap().faults
    }
}

impl Desk {
    fn next(&mut self) -> Ends {
        let ends = if self.is_away {
            Ends::GreetsLater
        } else if self.chance.one_in(FAULT_IN) {
            self.chance.pick(&FAULTS)
        } else {
            Ends::Well
        };
        self.faults += u64::from(ends != Ends::Well);
        ends
    }
}

/// Who brings mails to the server at that port, and waits for it no longer than a quarter of a second.
pub(super) fn postman(port: u16) -> Postman {
    let route = Route::Smtp {
        host: "127.0.0.1".to_owned(),
        port,
        security: SmtpSecurity::Plain,
        login: None,
        hello: Some("garden.example".to_owned()),
    };
    let limit = Duration::from_millis(250);
    let limits = Limits {
        connect: limit,
        command: limit,
        content: limit,
    };
    Postman::new("budward <garden@example.org>".to_owned(), route).within(limits)
}

async fn talk(
    line: TcpStream,
    ends: Ends,
    (desk, kill): (&Mutex<Desk>, &Notify),
) -> std::io::Result<()> {
    let mut line = BufReader::new(line);
    if ends == Ends::GreetsLater {
        return say(&mut line, "421 not now").await;
    }
    say(&mut line, "220 relay.invalid").await?;
    let mut heard = String::new();
    loop {
        heard.clear();
        if line.read_line(&mut heard).await? == 0 {
            return Ok(());
        }
        let reply = match heard.get(..4).unwrap_or_default() {
            "MAIL" if ends == Ends::RefusesSender => "550 5.7.1 not from you",
            "RCPT" if ends == Ends::ReaderLater => "451 4.2.1 later",
            "RCPT" if ends == Ends::RefusesReader => "550 5.1.1 nobody here",
            "DATA" if ends == Ends::DataLater => "451 4.3.0 later",
            "DATA" if ends == Ends::HangsUpBeforeData => return Ok(()),
            "DATA" if ends == Ends::StallsBeforeData => return stall().await,
            "DATA" if ends == Ends::KillsBeforeData => {
                kill.notify_one();
                return stall().await;
            }
            "DATA" => {
                say(&mut line, "354 go on").await?;
                if ends == Ends::HangsUpWithoutTheMail {
                    line.read_line(&mut heard).await?;
                    return Ok(());
                }
                let Some(mail) = content(&mut line).await? else {
                    return Ok(());
                };
                if ends == Ends::RefusesContent {
                    "552 5.2.3 too much"
                } else {
                    desk.lock().unwrap().taken.push(mail);
                    if ends == Ends::KillsWithTheMail {
                        kill.notify_one();
                    }
                    if ends == Ends::HangsUpWithTheMail {
                        return Ok(());
                    }
                    if [Ends::StallsWithTheMail, Ends::KillsWithTheMail].contains(&ends) {
                        return stall().await;
                    }
                    "250 2.0.0 taken"
                }
            }
            "QUIT" => return say(&mut line, "221 bye").await,
            _ => "250 good",
        };
        say(&mut line, reply).await?;
    }
}

async fn say(line: &mut BufReader<TcpStream>, text: &str) -> std::io::Result<()> {
    line.get_mut()
        .write_all(format!("{text}\r\n").as_bytes())
        .await
}

/// Longer than the program waits here.
async fn stall() -> std::io::Result<()> {
    tokio::time::sleep(Duration::from_millis(400)).await;
    Ok(())
}

/// The mail up to its dot; none when the line was lost.
async fn content(line: &mut BufReader<TcpStream>) -> std::io::Result<Option<Taken>> {
    let mut mail = Taken {
        id: String::new(),
        to: String::new(),
    };
    let mut text = String::new();
    loop {
        text.clear();
        if line.read_line(&mut text).await? == 0 {
            return Ok(None);
        }
        if text == ".\r\n" {
            return Ok(Some(mail));
        }
        if let Some(id) = text.strip_prefix("Message-ID: <") {
            id.split('@')
                .next()
                .unwrap_or_default()
                .clone_into(&mut mail.id);
        }
        if let Some(to) = text.strip_prefix("To: ") {
            to.trim().clone_into(&mut mail.to);
        }
    }
}

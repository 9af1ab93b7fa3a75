//! The peers of the mail route: a relay to talk to, and a strict reader of mails.

use std::collections::BTreeMap;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use budward::mail::{Route, SmtpSecurity};
use serde::Deserialize;
use tempfile::TempDir;

use crate::support::{project, python, say_absent};

/// Longest wait for a line of a peer.
const LIMIT: Duration = Duration::from_mins(1);

/// A relay in its own process, which ends with the value.
pub(super) struct Peer {
    child: Child,
    input: Option<ChildStdin>,
    lines: Receiver<String>,
    folder: TempDir,
    port: u16,
}

/// Who the relay was told the mail is from and for.
#[derive(Debug, PartialEq, Eq, Deserialize)]
pub(super) struct Envelope {
    pub(super) from: String,
    pub(super) to: Vec<String>,
}

/// What a strict reader finds in a mail.
#[derive(Debug, Deserialize)]
pub(super) struct Read {
    pub(super) subject: String,
    pub(super) from: Vec<String>,
    pub(super) to: Vec<String>,
    pub(super) message_id: String,
    pub(super) date: String,
    pub(super) text: String,
    pub(super) html: String,
    pub(super) longest: usize,
    pub(super) headers: Vec<String>,
    /// The headers with their values.
    pub(super) values: BTreeMap<String, String>,
    /// The words of the HTML, for a letter.
    pub(super) visible: String,
    /// Its links, each with its words.
    pub(super) links: Vec<(String, String)>,
    /// The events of its calendar, for a letter: UID, SEQUENCE, STATUS, first day, day after the last, SUMMARY.
    pub(super) events: Vec<(String, u64, String, String, String, String)>,
}

impl Peer {
    /// Starts a relay in a mode of `mail_peer.py`; none when there is no Python for it.
    pub(super) fn start(mode: &str) -> Option<Self> {
        let folder = tempfile::tempdir().unwrap();
        Self::start_in(mode, folder)
    }

    /// The same in a folder with a certificate and its key.
    pub(super) fn start_in(mode: &str, folder: TempDir) -> Option<Self> {
        let log = folder.path().join("log.txt");
        let mut child = Command::new(python(&["aiosmtpd"])?)
            .arg(script("mail_peer.py"))
            .args([mode.as_ref(), folder.path().as_os_str()])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(fs::File::create(&log).unwrap())
            .spawn()
            .unwrap();
        let output = BufReader::new(child.stdout.take().unwrap());
        let (send, lines) = channel();
        std::thread::spawn(move || {
            let mut lines = output.lines().map_while(Result::ok);
            lines.try_for_each(|line| send.send(line))
        });
        let mut peer = Self {
            input: child.stdin.take(),
            child,
            lines,
            folder,
            port: 0,
        };
        peer.port = peer.line().parse().unwrap();
        Some(peer)
    }

    /// The next line that it prints.
    fn line(&self) -> String {
        let line = self.lines.recv_timeout(LIMIT);
        let log = || fs::read_to_string(self.folder.path().join("log.txt")).unwrap();
        line.unwrap_or_else(|error| panic!("the relay says nothing, {error}: {}", log()))
    }

    /// The way to it.
    pub(super) fn route(&self, security: SmtpSecurity) -> Route {
        relay(self.port, security)
    }

    /// Waits until it has written everything down, and gives the file; empty when it wrote none.
    pub(super) fn file(&mut self, name: &str) -> Vec<u8> {
        if self.input.take().is_some() {
            assert_eq!(self.line(), "done");
        }
        fs::read(self.folder.path().join(name)).unwrap_or_default()
    }

    /// The first words of the lines that it got, encrypted or not.
    pub(super) fn heard(&mut self) -> Vec<String> {
        verbs(&self.file("heard.txt"))
    }

    /// The mails that it took, as they came.
    pub(super) fn mails(&mut self) -> Vec<Vec<u8>> {
        let mails = (1..).map(|number| self.file(&format!("mail-{number}.eml")));
        mails.take_while(|mail| !mail.is_empty()).collect()
    }

    pub(super) fn port(&self) -> u16 {
        self.port
    }

    pub(super) fn envelope(&mut self) -> Envelope {
        serde_json::from_slice(&self.file("envelope.json")).unwrap()
    }
}

impl Drop for Peer {
    fn drop(&mut self) {
        self.child.kill().ok();
        self.child.wait().ok();
    }
}

/// The way to a relay on this machine.
pub(super) fn relay(port: u16, security: SmtpSecurity) -> Route {
    Route::Smtp {
        host: "127.0.0.1".to_owned(),
        port,
        security,
        login: None,
        hello: Some("garden.example".to_owned()),
    }
}

/// The first word of each line.
pub(super) fn verbs(heard: &[u8]) -> Vec<String> {
    let heard = String::from_utf8_lossy(heard);
    let first = |line: &str| line.split(' ').next().unwrap_or_default().to_owned();
    heard.lines().map(first).collect()
}

/// Reads a mail strictly; none when there is no Python for it. A defect is a failure.
pub(super) fn read(mail: &[u8]) -> Option<Read> {
    read_with(mail, &["email"], &[])
}

/// The same of a letter, with its HTML, the links in it to that address, and its calendar.
pub(super) fn read_letter(mail: &[u8], address: &str) -> Option<Read> {
    let modules = ["html5lib", "icalendar", "vobject"];
    read_with(mail, &modules, &["letter", address])
}

fn read_with(mail: &[u8], modules: &[&str], arguments: &[&str]) -> Option<Read> {
    let mut reader = Command::new(python(modules)?)
        .arg(script("check_mail.py"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    reader.stdin.take().unwrap().write_all(mail).unwrap();
    let output = reader.wait_with_output().unwrap();
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "{complaint}\n{}",
        String::from_utf8_lossy(mail)
    );
    Some(serde_json::from_slice(&output.stdout).unwrap())
}

/// A folder with a certificate for this machine that nobody has vouched for; none, said aloud, without `openssl`.
pub(super) fn certificate() -> Option<TempDir> {
    let folder = tempfile::tempdir().unwrap();
    let made = Command::new("openssl")
        .args([
            "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2",
        ])
        .args([
            "-subj",
            "/CN=localhost",
            "-addext",
            "subjectAltName=IP:127.0.0.1,DNS:localhost",
        ])
        .args(["-addext", "basicConstraints=critical,CA:FALSE"])
        .args(["-keyout", "key.pem", "-out", "cert.pem"])
        .current_dir(folder.path())
        .output();
    if made.is_ok_and(|made| made.status.success()) {
        return Some(folder);
    }
    say_absent("openssl");
    None
}

fn script(name: &str) -> PathBuf {
    project().join(Path::new("tests/peers")).join(name)
}

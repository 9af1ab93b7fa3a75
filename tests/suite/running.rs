//! The daemon as a process: who may run beside it, how it ends, how it reads its settings again, what it tells its
//! supervisor, and that it keeps secrets.

mod ending;
mod faults;
mod folder;
mod many;
mod secrets;

use std::fs::File;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::os::unix::process::ExitStatusExt;
use std::path::PathBuf;
use std::process::{Child, Command, ExitStatus, Output, Stdio};
use std::time::{Duration, Instant};

use tempfile::TempDir;

/// Longer than this nothing here takes on any machine; a test that gets there has failed.
const PATIENCE: Duration = Duration::from_mins(1);

/// A garden file with one invented garden whose weather lies in files that are not there.
pub(super) fn garden(name: &str) -> String {
    format!(
        r#"
[[garden]]
name = "{name}"
title = "The {name} garden"
latitude = 40.63
longitude = -74.43
elevation = "30 m"
time_zone = "America/New_York"
mail_to = "keeper@example.org"
letters = {{ quiet = "none", year_plan = false }}
forecast = {{ source = "files", forecast = "none.json" }}
history = {{ source = "ghcn-file", file = "none.dly" }}
plant = [{{ name = "box edging", kind = "boxwood", cut = [{{ cut = "shear" }}] }}]
"#
    )
}

/// Everything but the gardens.
pub(super) const HEAD: &str = r#"
[mail]
from = "budward <garden@example.org>"
folder = "mails"

[web]
listen = "127.0.0.1:0"
"#;

/// A folder with a garden file, and daemons that are started on it.
pub(super) struct Home {
    pub(super) folder: TempDir,
}

impl Home {
    pub(super) fn new() -> Self {
        Self::of(&format!("{HEAD}{}", garden("quarry")))
    }

    pub(super) fn of(text: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let home = Self { folder };
        home.write(text);
        home
    }

    pub(super) fn write(&self, text: &str) {
        std::fs::write(self.path("garden.toml"), text).unwrap();
    }

    pub(super) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(super) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_budward"));
        command
            .args(arguments)
            .arg("--config")
            .arg(self.path("garden.toml"))
            .env_remove("RUST_LOG")
            .env_remove("NOTIFY_SOCKET");
        command
    }

    pub(super) fn budward(&self, arguments: &[&str]) -> Output {
        self.command(arguments).output().unwrap()
    }

    /// Starts a daemon and waits until it serves its page.
    pub(super) fn start(&self) -> Daemon {
        self.start_by(self.command(&["run"]))
    }

    pub(super) fn start_by(&self, mut command: Command) -> Daemon {
        let log = self.path("log.txt");
        let child = command
            .stdout(Stdio::null())
            .stderr(File::create(&log).unwrap())
            .spawn()
            .unwrap();
        let mut daemon = Daemon {
            child,
            log,
            port: 0,
        };
        let served = daemon.wait_for("serving the page");
        let (_, served) = served.split_once("127.0.0.1:").unwrap();
        let digits = served.chars().take_while(char::is_ascii_digit);
        daemon.port = digits.collect::<String>().parse().unwrap();
        daemon
    }
}

/// A running daemon; it is killed when it is dropped.
pub(super) struct Daemon {
    pub(super) child: Child,
    log: PathBuf,
    port: u16,
}

impl Daemon {
    /// Waits until the log has a text; gives what follows it.
    pub(super) fn wait_for(&mut self, text: &str) -> String {
        let begun = Instant::now();
        loop {
            let log = self.log();
            if let Some((_, rest)) = log.split_once(text)
                && rest.contains('\n')
            {
                return rest.to_owned();
            }
            let ended = self.child.try_wait().unwrap();
            assert!(
                begun.elapsed() < PATIENCE && ended.is_none(),
                "no {text:?} in (ended: {ended:?})\n{log}"
            );
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    pub(super) fn log(&self) -> String {
        std::fs::read_to_string(&self.log).unwrap()
    }

    /// The reply to a request, head and body.
    pub(super) fn get(&self, path: &str) -> String {
        let mut stream = self.connect();
        write!(
            stream,
            "GET {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n"
        )
        .unwrap();
        let mut reply = String::new();
        stream.read_to_string(&mut reply).unwrap();
        reply
    }

    pub(super) fn connect(&self) -> TcpStream {
        TcpStream::connect(("127.0.0.1", self.port)).unwrap()
    }

    /// What `/status` says, once it says something that is wanted.
    pub(super) fn status_with(
        &self,
        wanted: impl Fn(&serde_json::Value) -> bool,
    ) -> serde_json::Value {
        let begun = Instant::now();
        loop {
            let reply = self.get("/status");
            // A reading of the settings ends the connections on which nothing was asked yet: those ask again.
            let body = reply.split_once("\r\n\r\n").map(|(_, body)| body);
            let status: serde_json::Value = body.map_or(serde_json::Value::Null, |body| {
                serde_json::from_str(body).unwrap()
            });
            if !status.is_null() && wanted(&status) {
                return status;
            }
            assert!(begun.elapsed() < PATIENCE, "{status:#}\n{}", self.log());
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    /// Sends a signal by its name.
    pub(super) fn signal(&self, name: &str) {
        let sent = Command::new("kill")
            .args([&format!("-{name}"), &self.child.id().to_string()])
            .status()
            .unwrap();
        assert!(sent.success());
    }

    /// Waits for the end, and says how long it took.
    pub(super) fn ended(&mut self) -> (ExitStatus, Duration) {
        let begun = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return (status, begun.elapsed());
            }
            assert!(
                begun.elapsed() < PATIENCE,
                "it does not end\n{}",
                self.log()
            );
            std::thread::sleep(Duration::from_millis(10));
        }
    }
}

impl Drop for Daemon {
    fn drop(&mut self) {
        self.child.kill().ok();
        self.child.wait().ok();
    }
}

/// Its exit code; a process that a signal ended has none.
pub(super) fn code(status: ExitStatus) -> i32 {
    assert_eq!(status.signal(), None);
    status.code().unwrap()
}

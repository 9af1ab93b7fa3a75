//! What goes wrong under a daemon: a panic in one garden, a damaged store, a clock without time, a disk that cannot be written.

use std::process::Command;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use budward::config::Settings;
use budward::daemon::{Clock, DaemonError, House, Progress, run};
use budward::store::Store;
use chrono::{DateTime, Utc};
use tokio_util::sync::CancellationToken;

use super::{HEAD, Home, code, garden};
use crate::support::say_absent;

const NOW: &str = "2026-04-20T18:00:00Z";

fn now() -> DateTime<Utc> {
    NOW.parse().unwrap()
}

/// A running house, its address and its end.
pub(super) struct Running {
    address: String,
    stop: CancellationToken,
    daemon: tokio::task::JoinHandle<Result<(), DaemonError>>,
}

impl Running {
    pub(super) async fn start(house: House) -> Self {
        let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
        let address = format!("http://{}", listener.local_addr().unwrap());
        let stop = CancellationToken::new();
        let daemon = tokio::spawn(run(house, listener, stop.clone()));
        Self {
            address,
            stop,
            daemon,
        }
    }

    /// The status as soon as it says what is wanted.
    pub(super) async fn status_with(
        &self,
        wanted: impl Fn(&serde_json::Value) -> bool,
    ) -> serde_json::Value {
        let client = reqwest::Client::builder().no_proxy().build().unwrap();
        for _ in 0..1200 {
            let reply = client.get(format!("{}/status", self.address)).send();
            let text = reply.await.unwrap().text().await.unwrap();
            let status: serde_json::Value = serde_json::from_str(&text).unwrap();
            if wanted(&status) {
                return status;
            }
            tokio::time::sleep(std::time::Duration::from_millis(50)).await;
        }
        panic!("the status never says it");
    }

    /// Ends it.
    pub(super) async fn end(self) {
        self.stop.cancel();
        self.daemon.await.unwrap().unwrap();
    }

    async fn health(&self) -> (u16, String) {
        let client = reqwest::Client::builder().no_proxy().build().unwrap();
        let reply = client.get(format!("{}/healthz", self.address)).send();
        let reply = reply.await.unwrap();
        (reply.status().as_u16(), reply.text().await.unwrap())
    }
}

fn house(home: &Home, clock: Clock) -> House {
    rustls::crypto::ring::default_provider()
        .install_default()
        .ok();
    let settings = Settings::read(&home.path("garden.toml")).unwrap();
    let store = Store::open(settings.store.file().unwrap()).unwrap();
    House::open(settings, store, clock).unwrap()
}

/// A garden whose record of past years is asked for, so that a fault can be laid into the showing of its progress.
fn faulty() -> String {
    garden("fen").replace(
        "history = { source = \"ghcn-file\", file = \"none.dly\" }",
        "history = { source = \"open-meteo\", url = \"http://127.0.0.1:9/archive\" }",
    )
}

#[tokio::test(flavor = "multi_thread")]
async fn a_fault_in_one_garden_is_told_and_leaves_the_others_alone() {
    let head = format!("{HEAD}\n[weather]\ncontact = \"garden@example.org\"\n");
    let home = Home::of(&format!("{head}{}{}", faulty(), garden("quarry")));
    let mut house = house(&home, Clock::standing(now()));
    house.progress = Progress::of(|_, _| panic!("an invented fault"));
    let store = house.keeper.clone();
    let running = Running::start(house).await;
    // Both are looked at at once, so either may end first.
    let are_both_told = |status: &serde_json::Value| {
        let is_looked_at = !status["gardens"][1]["last_round"].is_null();
        is_looked_at && !status["troubles"][0].is_null()
    };
    let status = running.status_with(are_both_told).await;
    assert!(status["gardens"][0]["last_round"].is_null());
    let trouble = &status["troubles"][0];
    assert_eq!(trouble["about"], "garden fen");
    let says = trouble["says"].as_str().unwrap();
    assert!(
        says.contains("an invented fault") && says.contains("15 minutes"),
        "{says}"
    );
    let lines = store.with(|store| store.journal("fen", 5)).await.unwrap();
    assert_eq!(lines[0].what, "look-broke-down");
    assert_eq!(running.health().await.0, 200);
    running.end().await;
}

#[test]
fn a_garden_whose_weather_does_not_come_does_not_delay_the_rest() {
    // Takes connections and says nothing.
    let silent = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let address = silent.local_addr().unwrap();
    let files = "forecast = { source = \"files\", forecast = \"none.json\" }";
    let service =
        format!("forecast = {{ source = \"met-norway\", url = \"http://{address}/complete\" }}");
    let slow = garden("slow").replace(files, &service);
    let contact = "[weather]\ncontact = \"garden@example.org\"\n";
    let home = Home::of(&format!("{HEAD}{contact}{slow}{}", garden("quick")));
    let mut daemon = home.start();
    let status = daemon.status_with(|status| !status["gardens"][1]["last_round"].is_null());
    assert_eq!(status["gardens"][1]["name"], "quick");
    assert_eq!(status["gardens"][0]["last_round"], serde_json::Value::Null);
    daemon.signal("TERM");
    assert_eq!(code(daemon.ended().0), 0);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_fault_outside_of_any_garden_ends_the_program() {
    let home = Home::new();
    let is_broken = Arc::new(AtomicBool::new(false));
    let broken = Arc::clone(&is_broken);
    let clock = Clock::of(move || {
        assert!(!broken.load(Ordering::Relaxed), "an invented fault");
        now()
    });
    let house = house(&home, clock);
    house.snapshot().await.unwrap();
    is_broken.store(true, Ordering::Relaxed);
    let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
    let ended = tokio::spawn(run(house, listener, CancellationToken::new())).await;
    assert!(ended.is_err() || matches!(ended, Ok(Err(DaemonError::Task(_)))));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_clock_that_cannot_be_right_decides_nothing() {
    let home = Home::new();
    let day = |text: &str| text.parse().unwrap();
    let clock = Clock::standing("1970-01-01T00:03:00Z".parse().unwrap())
        .within(day("2026-01-01"), day("2036-01-01"));
    let running = Running::start(house(&home, clock)).await;
    let status = running
        .status_with(|status| !status["troubles"].as_array().unwrap().is_empty())
        .await;
    assert_eq!(status["troubles"][0]["about"], "clock");
    assert!(status["gardens"][0]["last_round"].is_null());
    let (code, why) = running.health().await;
    assert!(
        code == 503 && why.contains("the clock says 1970"),
        "{code} {why}"
    );
    assert!(!home.path("mails").exists());
    running.end().await;
    assert!(Clock::system().is_believable());
}

#[test]
fn a_damaged_store_comes_back_with_one_letter_and_no_second() {
    let home = Home::new();
    let store = home.path("budward.sqlite3");
    let looked = |status: &serde_json::Value| !status["gardens"][0]["last_round"].is_null();
    let mut daemon = home.start();
    daemon.status_with(looked);
    daemon.wait_for("copy of the store is kept");
    daemon.signal("TERM");
    assert_eq!(code(daemon.ended().0), 0);
    let mut bytes = std::fs::read(&store).unwrap();
    bytes[4096..].fill(0x5a);
    std::fs::write(&store, bytes).unwrap();
    for command in [vec!["once"], vec!["backup", "x.sqlite3"]] {
        let refused = home.budward(&command);
        assert_eq!(code(refused.status), 74, "only a daemon mends");
    }
    let letters = || {
        let files = std::fs::read_dir(home.path("mails")).into_iter().flatten();
        let texts = files.map(|file| std::fs::read_to_string(file.unwrap().path()).unwrap());
        texts
            .filter(|text| text.contains("memory was restored"))
            .count()
    };
    for _ in 0..2 {
        let mut daemon = home.start();
        let status = daemon.status_with(|status| {
            let troubles = status["troubles"].as_array().unwrap();
            troubles
                .iter()
                .any(|trouble| trouble["about"] == "restored store")
        });
        assert!(status.to_string().contains("damaged-"), "{status}");
        daemon.status_with(|_| letters() == 1);
        daemon.signal("TERM");
        assert_eq!(code(daemon.ended().0), 0);
    }
    assert_eq!(letters(), 1);
}

#[tokio::test]
async fn garbled_rows_do_not_keep_a_garden_from_being_looked_at() {
    let home = Home::new();
    let house = house(&home, Clock::standing(now()));
    let settings = Settings::read(&home.path("garden.toml")).unwrap();
    let quarry = &settings.gardens[0];
    let rows = rusqlite::Connection::open(settings.store.file().unwrap()).unwrap();
    let write = |table: &str, columns: &str, values: &str| {
        rows.execute_batch(&format!(
            "REPLACE INTO {table} ({columns}) VALUES ({values})"
        ))
        .unwrap();
    };
    let round = |at: &str| write("round", "garden, at", &format!("'quarry', '{at}'"));
    round(NOW);
    assert!(!house.is_due(quarry).await.unwrap(), "just looked at");
    round("yesterday");
    assert!(house.is_due(quarry).await.unwrap(), "an instant of a round");
    round("2026-04-18T18:00:00Z");
    write(
        "restored",
        "garden, at, why",
        "'quarry', 'of late', 'a copy'",
    );
    assert!(
        house.is_due(quarry).await.unwrap(),
        "of what was put in place"
    );
    round(NOW);
    assert!(
        !house.is_due(quarry).await.unwrap(),
        "it is no reason for a look"
    );
}

#[test]
fn a_place_that_cannot_be_written_is_refused_in_one_line() {
    let home = Home::new();
    let (folder, tried) = (home.path("state"), home.path("garden.toml"));
    std::fs::create_dir(&folder).unwrap();
    let text = std::fs::read_to_string(&tried).unwrap();
    std::fs::write(
        &tried,
        format!("[store]\nfile = \"state/store.sqlite3\"\n{text}"),
    )
    .unwrap();
    // A folder that is mounted read-only binds root too; where nobody may mount, its mode has to do.
    let mount = |arguments: &[&str]| {
        let mut command = Command::new("mount");
        let run = command.args(arguments).arg(&folder).output();
        run.is_ok_and(|run| run.status.success())
    };
    let is_mounted = mount(&["-t", "tmpfs", "-o", "ro", "none"]);
    if !is_mounted {
        use std::os::unix::fs::PermissionsExt;
        let mode = std::fs::Permissions::from_mode(0o500);
        std::fs::set_permissions(&folder, mode).unwrap();
        if std::fs::write(folder.join("trial"), "").is_ok() {
            say_absent("the right to mount");
            return;
        }
    }
    let refused = home.budward(&["run"]);
    if is_mounted {
        Command::new("umount").arg(&folder).status().unwrap();
    }
    let said = String::from_utf8(refused.stderr).unwrap();
    assert_eq!(code(refused.status), 73, "{said}");
    assert!(
        said.contains("read-only") && said.lines().count() == 1,
        "{said}"
    );
}

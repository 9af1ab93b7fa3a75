//! One daemon at a time, signals, and the supervisor.

use std::net::TcpListener;
use std::os::unix::net::UnixDatagram;

use super::{HEAD, Home, code, garden};

/// The end is promised within this time, whatever hangs.
const END_WITHIN_SECONDS: u64 = 20;

#[test]
fn a_second_daemon_is_refused_and_the_other_commands_go_on() {
    let home = Home::new();
    let mut first = home.start();
    let second = home.budward(&["run"]);
    assert_eq!(code(second.status), 75);
    let said = String::from_utf8(second.stderr).unwrap();
    assert!(
        said.contains(&format!("process {}", first.child.id())),
        "{said}"
    );
    assert_eq!(said.lines().count(), 1, "{said}");
    for arguments in [
        vec!["once"],
        vec!["why", "box-edging-shear"],
        vec!["plan"],
        vec!["done", "box-edging"],
        vec!["seen", "box-edging", "bud-break"],
        vec!["check"],
        vec!["backup", home.path("copy.sqlite3").to_str().unwrap()],
    ] {
        let run = home.budward(&arguments);
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert_eq!(code(run.status), 0, "{arguments:?}: {said}");
    }
    let copy = home.path("copy.sqlite3");
    let restore = ["restore", copy.to_str().unwrap()];
    let refused = home.budward(&restore);
    assert_eq!(code(refused.status), 75);
    first.signal("TERM");
    assert_eq!(code(first.ended().0), 0);
    let put_back = home.budward(&[&restore[..], &["--json"]].concat());
    assert_eq!(code(put_back.status), 0);
    let told: serde_json::Value = serde_json::from_slice(&put_back.stdout).unwrap();
    assert!(
        told["kept_as"].as_str().unwrap().contains("replaced-"),
        "{told}"
    );
    let again = home.budward(&["backup", copy.to_str().unwrap()]);
    assert_eq!(code(again.status), 73, "nothing is written over");
}

#[test]
fn a_slow_client_does_not_hold_up_the_end() {
    use std::io::Write;
    let home = Home::new();
    let mut daemon = home.start();
    let mut slow = daemon.connect();
    slow.write_all(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ")
        .unwrap();
    daemon.signal("TERM");
    let (status, took) = daemon.ended();
    assert_eq!(code(status), 0);
    assert!(took.as_secs() < END_WITHIN_SECONDS, "{took:?}");
}

#[test]
fn a_weather_server_and_a_mail_server_that_hang_do_not_hold_up_the_end() {
    // The system takes the connections; nobody ever answers.
    let (weather, relay) = (
        TcpListener::bind("127.0.0.1:0").unwrap(),
        TcpListener::bind("127.0.0.1:0").unwrap(),
    );
    let (weather, port) = (
        weather.local_addr().unwrap(),
        relay.local_addr().unwrap().port(),
    );
    let head = HEAD.replace("folder = \"mails\"", "").replace(
        "[web]",
        &format!(
            "[mail.smtp]\nhost = \"127.0.0.1\"\nport = {port}\nsecurity = \"plain\"\n\n\
             [weather]\ncontact = \"garden@example.org\"\n\n[web]"
        ),
    );
    let asked = format!(
        "forecast = {{ source = \"open-meteo\", url = \"http://{weather}/v1/forecast\", ensemble_url = \
         \"http://{weather}/v1/ensemble\" }}"
    );
    let hanging = garden("fen").replace(
        "forecast = { source = \"files\", forecast = \"none.json\" }",
        &asked,
    );
    let home = Home::of(&format!("{head}{}{hanging}", garden("quarry")));
    let mut daemon = home.start();
    daemon.signal("TERM");
    let (status, took) = daemon.ended();
    assert_eq!(code(status), 0, "{}", daemon.log());
    assert!(took.as_secs() < END_WITHIN_SECONDS, "{took:?}");
}

#[test]
fn a_second_signal_ends_at_once_and_an_interrupt_ends_too() {
    use std::io::Write;
    let home = Home::new();
    let mut daemon = home.start();
    let mut slow = daemon.connect();
    slow.write_all(b"GET / HTTP/1.1\r\nX-Slow: ").unwrap();
    daemon.signal("TERM");
    daemon.wait_for("asked to end");
    daemon.signal("TERM");
    assert_eq!(code(daemon.ended().0), 0);
    let mut daemon = home.start();
    daemon.signal("INT");
    assert_eq!(code(daemon.ended().0), 0);
}

#[test]
fn signals_that_others_die_of_are_borne() {
    let home = Home::new();
    let mut daemon = home.start();
    daemon.signal("PIPE");
    daemon.signal("XFSZ");
    assert!(daemon.get("/healthz").starts_with("HTTP/1.1 200"));
    daemon.signal("TERM");
    assert_eq!(code(daemon.ended().0), 0);
}

#[test]
fn the_supervisor_hears_of_the_start_the_progress_the_reading_and_the_end() {
    let home = Home::new();
    let socket = home.path("notify");
    let supervisor = UnixDatagram::bind(&socket).unwrap();
    supervisor.set_read_timeout(Some(super::PATIENCE)).unwrap();
    let hear = || {
        let mut word = [0; 100];
        let len = supervisor.recv(&mut word).unwrap();
        String::from_utf8(word[..len].to_vec()).unwrap()
    };
    let mut command = home.command(&["run"]);
    command.env("NOTIFY_SOCKET", &socket);
    let mut daemon = home.start_by(command);
    let mut heard = vec![hear(), hear()];
    heard.sort();
    assert_eq!(heard, ["READY=1", "WATCHDOG=1"]);
    daemon.signal("HUP");
    let until = |word: &str| {
        std::iter::repeat_with(hear)
            .find(|heard| heard == word)
            .is_some()
    };
    assert!(until("RELOADING=1") && until("READY=1"));
    daemon.signal("TERM");
    assert!(until("STOPPING=1"));
    assert_eq!(code(daemon.ended().0), 0);
}

#[test]
fn new_settings_are_read_and_bad_ones_leave_the_old() {
    let home = Home::new();
    let mut daemon = home.start();
    let names = |status: &serde_json::Value| -> Vec<String> {
        let gardens = status["gardens"].as_array().unwrap().iter();
        gardens
            .map(|garden| garden["name"].as_str().unwrap().to_owned())
            .collect()
    };
    let looked = |status: &serde_json::Value| {
        let mut gardens = status["gardens"].as_array().unwrap().iter();
        gardens.all(|garden| !garden["last_round"].is_null())
    };
    daemon.status_with(looked);
    let mails = || std::fs::read_dir(home.path("mails")).map_or(0, Iterator::count);
    let before = mails();
    home.write(&format!(
        "{HEAD}{}",
        garden("quarry").replace("boxwood", "boxwoodd")
    ));
    daemon.signal("HUP");
    let status = daemon.status_with(|status| !status["troubles"].as_array().unwrap().is_empty());
    let says = status["troubles"][0]["says"].as_str().unwrap();
    assert!(
        says.contains("the old ones stay") && says.contains("boxwoodd"),
        "{says}"
    );
    assert_eq!(names(&status), ["quarry"]);
    assert!(daemon.get("/healthz").starts_with("HTTP/1.1 200"));
    home.write(&format!("{HEAD}{}{}", garden("fen"), garden("quarry")));
    daemon.signal("HUP");
    let status = daemon.status_with(|status| names(status) == ["fen", "quarry"] && looked(status));
    assert_eq!(status["troubles"], serde_json::json!([]));
    home.write(&format!("{HEAD}{}", garden("fen")));
    daemon.signal("HUP");
    daemon.status_with(|status| names(status) == ["fen"]);
    assert_eq!(mails(), before, "nothing is sent again");
    daemon.signal("TERM");
    assert_eq!(code(daemon.ended().0), 0);
}

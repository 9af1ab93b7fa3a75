//! Secrets that are told from everything else turn up nowhere.

use std::io::{BufRead, BufReader, Write};
use std::net::TcpListener;
use std::path::Path;

use super::{HEAD, Home, code, garden};

const PASSWORD: &str = "canary-password-7f3a";
const KEY: &str = "canary-key-91cc";
const TOKEN: &str = "canary-token-5b20-5b20-5b20-5b20";

/// A mail server that takes no login and says back what it was given.
fn relay() -> u16 {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = listener.local_addr().unwrap().port();
    std::thread::spawn(move || {
        for stream in listener.incoming() {
            let mut stream = stream.unwrap();
            let mut lines = BufReader::new(stream.try_clone().unwrap());
            let mut say = |text: &str| stream.write_all(format!("{text}\r\n").as_bytes()).is_ok();
            let mut is_open = say("220 relay.invalid");
            let mut line = String::new();
            while is_open && lines.read_line(&mut line).is_ok_and(|read| read > 0) {
                let word = line.trim().to_owned();
                is_open = match word.get(..4) {
                    Some("EHLO") => say("250-relay.invalid\r\n250 AUTH PLAIN LOGIN"),
                    Some("QUIT") => false,
                    _ => say(&format!("535 5.7.8 not with {word}")),
                };
                line.clear();
            }
        }
    });
    port
}

/// A weather server that has a fault for everybody and says back what it was asked.
fn weather() -> u16 {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = listener.local_addr().unwrap().port();
    std::thread::spawn(move || {
        for stream in listener.incoming() {
            let mut stream = stream.unwrap();
            let mut line = String::new();
            BufReader::new(stream.try_clone().unwrap())
                .read_line(&mut line)
                .ok();
            let body = format!("{{\"error\":true,\"reason\":\"no: {}\"}}", line.trim());
            let head =
                "HTTP/1.1 400 Bad Request\r\nContent-Type: application/json\r\nConnection: close";
            write!(
                stream,
                "{head}\r\nContent-Length: {}\r\n\r\n{body}",
                body.len()
            )
            .ok();
        }
    });
    port
}

/// Everything that lies in a folder, but for what the keeper put there.
fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path));
        } else if !path.display().to_string().ends_with(".secret") {
            found.push((path.display().to_string(), std::fs::read(&path).unwrap()));
        }
    }
    found
}

/// The secrets as they stand, and as they go over lines.
fn forms() -> Vec<Vec<u8>> {
    use base64::Engine;
    let plain = [PASSWORD, KEY, TOKEN];
    let base64 = base64::engine::general_purpose::STANDARD;
    let login = base64.encode(format!("\0garden@example.org\0{PASSWORD}"));
    let mut forms: Vec<Vec<u8>> = plain
        .iter()
        .map(|secret| secret.as_bytes().to_vec())
        .collect();
    forms.extend(
        plain
            .iter()
            .map(|secret| base64.encode(secret).into_bytes()),
    );
    forms.push(login.into_bytes());
    forms
}

/// A house of two gardens with a password, a key and a token, each in a file of its own.
fn guarded() -> Home {
    let (relay, weather) = (relay(), weather());
    let head = HEAD.replace("folder = \"mails\"", "").replace(
        "[web]",
        &format!(
            "[mail.smtp]\nhost = \"127.0.0.1\"\nport = {relay}\nsecurity = \"plain\"\nuser = \"garden@example.org\"\n\
             password_file = \"smtp.secret\"\n\n[weather]\ncontact = \"garden@example.org\"\n\n[web]"
        ),
    );
    let asked = format!(
        "forecast = {{ source = \"open-meteo\", url = \"http://127.0.0.1:{weather}/v1/forecast\", ensemble_url = \
         \"http://127.0.0.1:{weather}/v1/ensemble\", key_file = \"key.secret\" }}"
    );
    let own = garden("fen")
        .replace(
            "forecast = { source = \"files\", forecast = \"none.json\" }",
            &asked,
        )
        .replace(
            "plant = [",
            "thermometer = { token_file = \"token.secret\" }\nplant = [",
        );
    let home = Home::of(&format!("{head}{}{own}", garden("quarry")));
    for (file, secret) in [("smtp", PASSWORD), ("key", KEY), ("token", TOKEN)] {
        use std::os::unix::fs::PermissionsExt;
        let path = home.path(&format!("{file}.secret"));
        std::fs::write(&path, format!("{secret}\n")).unwrap();
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o600)).unwrap();
    }
    home
}

#[test]
fn a_password_a_key_and_a_token_turn_up_nowhere() {
    let home = guarded();
    let mut daemon = home.start_by(home.command(&["run", "-vv"]));
    daemon.status_with(|status| {
        let mut gardens = status["gardens"].as_array().unwrap().iter();
        gardens.all(|garden| !garden["last_round"].is_null())
    });
    // Something to mail, so that the login is tried: a store that was put back tells its keepers.
    daemon.signal("TERM");
    assert_eq!(code(daemon.ended().0), 0);
    let copy = home.path("copy.sqlite3");
    for command in ["backup", "restore"] {
        assert_eq!(
            code(home.budward(&[command, copy.to_str().unwrap()]).status),
            0
        );
    }
    let mut shown = std::fs::read_to_string(home.path("log.txt")).unwrap();
    let mut daemon = home.start_by(home.command(&["run", "-vv", "--log-json"]));
    daemon.wait_for("mail not sent");
    for path in [
        "/",
        "/status",
        "/metrics",
        "/healthz",
        "/garden/fen",
        "/garden/fen/journal",
    ] {
        shown += &daemon.get(path);
    }
    home.write("[mail]\npassword = \"canary-password-7f3a\"\n");
    daemon.signal("HUP");
    daemon.wait_for("the old ones stay");
    shown += &daemon.get("/status");
    daemon.signal("TERM");
    assert_eq!(code(daemon.ended().0), 0);
    std::fs::remove_file(home.path("garden.toml")).unwrap();
    let mut places = files(home.folder.path());
    places.push(("what was shown".to_owned(), shown.into_bytes()));
    assert!(
        places.len() > 4,
        "the store, its copies and the log are there"
    );
    for secret in forms() {
        for (place, bytes) in &places {
            let at = bytes
                .windows(secret.len())
                .position(|window| window == secret);
            assert_eq!(
                at,
                None,
                "{} stands in {place}",
                String::from_utf8_lossy(&secret)
            );
        }
    }
}

//! The commands as a keeper types them: what they print, what they write, how they end.

use std::io::{Read, Write};
use std::net::TcpListener;
use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

fn budward(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_budward"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("RUST_LOG")
        .output()
        .unwrap()
}

fn printed(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn complained(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

const PLACE: [&str; 5] = [
    "setup",
    "--at",
    "38.74,-85.38",
    "--mail",
    "keeper@example.org",
];

fn setup(folder: &Path, more: &[&str]) -> Output {
    budward(folder, &[&PLACE, more].concat())
}

#[test]
fn the_demo_shows_every_usual_state_and_writes_mails() {
    let folder = tempfile::tempdir().unwrap();
    let run = budward(
        folder.path(),
        &[
            "demo",
            "--exit",
            "--listen",
            "127.0.0.1:0",
            "--mails",
            "mails",
        ],
    );
    assert!(run.status.success(), "{}", complained(&run));
    let board = printed(&run);
    for state in [" go ", " wait ", " closed "] {
        assert!(board.contains(state), "no{state}in\n{board}");
    }
    assert_eq!(
        board
            .matches("Garden, place and weather are invented.")
            .count(),
        2,
        "each garden says that it is invented"
    );
    assert!(
        board.contains("°F") && board.contains("°C"),
        "one garden in each system of units"
    );
    assert!(!board.contains('\x1b'), "no colours in a pipe");
    let mails: Vec<_> = std::fs::read_dir(folder.path().join("mails"))
        .unwrap()
        .collect();
    assert!(!mails.is_empty());
    let too_wide: Vec<&str> = board
        .lines()
        .filter(|line| line.chars().count() > 88)
        .collect();
    assert!(too_wide.is_empty(), "{too_wide:?}");
}

#[test]
fn the_demo_is_the_same_each_time() {
    let folder = tempfile::tempdir().unwrap();
    let run = |mails: &str| {
        let output = budward(
            folder.path(),
            &[
                "demo",
                "--exit",
                "--listen",
                "127.0.0.1:0",
                "--mails",
                mails,
            ],
        );
        printed(&output)
            .lines()
            .take_while(|line| !line.contains("mails written"))
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert_eq!(run("one"), run("two"));
}

#[test]
fn setup_writes_a_file_that_check_understands_and_never_writes_over_it() {
    let folder = tempfile::tempdir().unwrap();
    let run = setup(
        folder.path(),
        &[
            "--plant",
            "boxwood=box edging",
            "--plant",
            "lilac",
            "--plant",
            "Bechereibe",
            "--offline",
        ],
    );
    assert!(run.status.success(), "{}", complained(&run));
    assert!(
        printed(&run).contains("time zone  America/"),
        "{}",
        printed(&run)
    );
    let text = std::fs::read_to_string(folder.path().join("garden.toml")).unwrap();
    assert!(
        text.contains("kind = \"boxwood\"") && text.contains("kind = \"common-lilac\""),
        "{text}"
    );
    assert!(
        text.contains("kind = \"yew\"") && text.contains("\"Eibe\""),
        "a plant called in German is named in German: {text}"
    );

    let check = budward(folder.path(), &["check"]);
    assert!(check.status.success(), "{}", complained(&check));
    for part in [
        "is valid",
        "America/",
        "box-edging-shear",
        "not fetched yet",
        "looks at the weather next on",
    ] {
        assert!(
            printed(&check).contains(part),
            "{part:?} is missing in\n{}",
            printed(&check)
        );
    }

    let again = setup(folder.path(), &["--plant", "boxwood", "--offline"]);
    assert_eq!(again.status.code(), Some(64));
    assert!(complained(&again).contains("is not overwritten"));
    assert_eq!(
        std::fs::read_to_string(folder.path().join("garden.toml")).unwrap(),
        text
    );
}

#[test]
fn check_tells_other_programs_what_it_understood_and_where_the_faults_are() {
    let folder = tempfile::tempdir().unwrap();
    setup(folder.path(), &["--plant", "boxwood=hedge", "--offline"]);
    let read = |output: &Output| -> Value { serde_json::from_str(&printed(output)).unwrap() };
    let check = budward(folder.path(), &["check", "--json"]);
    assert!(check.status.success(), "{}", complained(&check));
    let said = read(&check);
    assert_eq!(said["valid"], true);
    let garden = &said["gardens"][0];
    assert_eq!(garden["cuts"][0]["planting"], "hedge");
    assert_eq!(garden["cuts"][0]["kind"], "boxwood");
    assert_eq!(garden["next_looks"].as_array().unwrap().len(), 3);
    assert_eq!(garden["record"], Value::Null);
    let file = folder.path().join("garden.toml");
    let text = std::fs::read_to_string(&file).unwrap();
    let line = text
        .lines()
        .position(|line| line.contains("kind = "))
        .unwrap();
    std::fs::write(&file, text.replace("\"boxwood\"", "\"boxwod\"")).unwrap();
    let check = budward(folder.path(), &["check", "--json"]);
    assert_eq!(check.status.code(), Some(78));
    let said = read(&check);
    assert_eq!(said["valid"], false);
    assert_eq!(said["faults"][0]["line"], line + 1);
    assert_eq!(said["faults"][0]["file"], "garden.toml");
    let what = said["faults"][0]["what"].as_str().unwrap();
    assert!(what.contains("boxwood"), "the nearest name: {what}");
}

#[test]
fn setup_finds_the_height_at_the_service() {
    let service = TcpListener::bind("127.0.0.1:0").unwrap();
    let url = format!("http://{}/v1/elevation", service.local_addr().unwrap());
    let asked = std::thread::spawn(move || {
        let (mut stream, _) = service.accept().unwrap();
        let mut request = [0_u8; 4096];
        let length = stream.read(&mut request).unwrap();
        let body = r#"{"elevation":[148.0]}"#;
        write!(
            stream,
            "HTTP/1.1 200 OK\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        )
        .unwrap();
        String::from_utf8_lossy(&request[..length]).into_owned()
    });
    let folder = tempfile::tempdir().unwrap();
    let run = setup(
        folder.path(),
        &[
            "--plant",
            "boxwood",
            "--units",
            "metric",
            "--elevation-url",
            &url,
        ],
    );
    assert!(run.status.success(), "{}", complained(&run));
    assert!(
        printed(&run).contains("height     148 m"),
        "{}",
        printed(&run)
    );
    let asked = asked.join().unwrap();
    assert!(
        asked.contains("latitude=38.74") && asked.contains("keeper@example.org"),
        "{asked}"
    );
    assert!(
        std::fs::read_to_string(folder.path().join("garden.toml"))
            .unwrap()
            .contains("elevation = \"148 m\"")
    );
}

#[test]
fn setup_writes_a_file_though_nobody_tells_the_height() {
    let closed = TcpListener::bind("127.0.0.1:0")
        .unwrap()
        .local_addr()
        .unwrap();
    let folder = tempfile::tempdir().unwrap();
    let url = format!("http://{closed}/v1/elevation");
    let run = setup(
        folder.path(),
        &["--plant", "boxwood", "--elevation-url", &url],
    );
    assert!(run.status.success(), "{}", complained(&run));
    assert!(
        printed(&run).contains("was not found") && printed(&run).contains("height     not known"),
        "{}",
        printed(&run)
    );
}

#[test]
fn setup_sends_a_test_mail_by_the_new_files_route() {
    let folder = tempfile::tempdir().unwrap();
    let run = setup(
        folder.path(),
        &["--plant", "boxwood", "--offline", "--test-mail"],
    );
    assert!(run.status.success(), "{}", complained(&run));
    assert!(printed(&run).contains("Test mail to"), "{}", printed(&run));
}

#[test]
fn what_cannot_be_used_is_said_with_its_remedy() {
    let folder = tempfile::tempdir().unwrap();
    let told = |run: Output| (run.status.code(), complained(&run));
    let (status, text) = told(setup(folder.path(), &["--plant", "boxwod", "--offline"]));
    assert_eq!(status, Some(64));
    assert!(
        text.contains("\"boxwod\" is not a kind") && text.contains("boxwood"),
        "{text}"
    );
    let (status, text) = told(setup(folder.path(), &["--offline"]));
    assert_eq!(status, Some(64));
    assert!(text.contains("--plant is missing"), "{text}");
    let (status, text) = told(budward(folder.path(), &["setup", "--at", "98.74,-85.38"]));
    assert_eq!(status, Some(64));
    assert!(text.contains("latitude 98.74"), "{text}");
    let (status, text) = told(budward(folder.path(), &["once"]));
    assert_eq!(status, Some(78), "{text}");
    assert!(text.contains("garden.toml"), "{text}");
    let (status, _) = told(budward(folder.path(), &["prune"]));
    assert_eq!(status, Some(64));
}

#[test]
fn why_names_the_nearest_cut() {
    let folder = tempfile::tempdir().unwrap();
    setup(folder.path(), &["--plant", "boxwood", "--offline"]);
    let run = budward(
        folder.path(),
        &["why", "boxwod-shear", "--at", "2027-04-01T12:00:00Z"],
    );
    assert_eq!(run.status.code(), Some(64));
    assert!(
        complained(&run).contains("nearest:") && complained(&run).contains("boxwood-shear"),
        "{}",
        complained(&run)
    );
}

#[test]
fn every_command_explains_itself_and_completions_are_there() {
    let folder = tempfile::tempdir().unwrap();
    for command in [
        "demo",
        "setup",
        "check",
        "once",
        "run",
        "why",
        "completions",
    ] {
        let help = budward(folder.path(), &[command, "--help"]);
        assert!(
            help.status.success() && printed(&help).contains("Usage:"),
            "{command}"
        );
    }
    for shell in ["bash", "zsh", "fish"] {
        assert!(printed(&budward(folder.path(), &["completions", shell])).contains("budward"));
    }
}

//! What is printed fits a terminal of 80 columns in either language, bears colours on a terminal alone and not where
//! they are unwanted, and stands beside JSON.

use std::process::Command;

use serde_json::Value;

use crate::road::{Garden, reply};
use crate::support::{project, say_absent};

const AT: [&str; 2] = ["--at", "2026-04-20T20:00:00Z"];

/// Each command that a keeper reads, for the garden's two plantings and the almanac.
const COMMANDS: [&[&str]; 7] = [
    &["once"],
    &["why", "box-edging-shear"],
    &["why", "bigleaf-hydrangeas-deadhead", "--sensitivity"],
    &["plan"],
    &["plan", "--brief"],
    &["skill"],
    &["almanac", "boxwood"],
];

fn garden(language: &str) -> Garden {
    let station = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
    let station = station.display().to_string();
    let garden = Garden::new(&format!("source = \"ghcn-file\"\nfile = {station:?}"));
    let file = garden.path("garden.toml");
    let text = std::fs::read_to_string(&file).unwrap();
    std::fs::write(&file, format!("language = \"{language}\"\n{text}")).unwrap();
    let swings = |hour: i64| 4.0 + 7.0 * f64::from(i32::try_from(hour % 24 - 12).unwrap()) / 12.0;
    garden.write_forecast(&reply("2026-04-20", 14, swings));
    garden
}

/// With the moment, where the command has one.
fn at(command: &[&'static str]) -> Vec<&'static str> {
    let moment: &[&str] = if command[0] == "almanac" { &[] } else { &AT };
    [command, moment].concat()
}

#[test]
fn every_command_fits_eighty_columns_in_either_language() {
    for language in ["en", "de"] {
        let garden = garden(language);
        for command in COMMANDS {
            let text = garden.budward(&at(command));
            assert!(text.lines().count() > 1, "{command:?}: {text}");
            assert!(!text.contains('\x1b'), "{command:?}: colours in a pipe");
            let wide: Vec<&str> = text
                .lines()
                .filter(|line| line.chars().count() > 80)
                .collect();
            assert!(wide.is_empty(), "{language} {command:?}: {wide:#?}");
        }
    }
}

#[test]
fn every_command_has_json_whose_words_do_not_change_with_the_language() {
    let [english, german] = ["en", "de"].map(garden);
    for command in COMMANDS
        .into_iter()
        .filter(|command| !command.contains(&"--brief"))
    {
        let json = [at(command), vec!["--json"]].concat();
        let [english, german] = [&english, &german].map(|garden| -> Value {
            serde_json::from_str(&garden.budward(&json))
                .unwrap_or_else(|why| panic!("{json:?}: {why}"))
        });
        assert_eq!(codes(&english), codes(&german), "{json:?}");
    }
}

/// Every key, and every text that is a code: small letters and hyphens.
fn codes(value: &Value) -> Vec<String> {
    let is_code = |text: &str| {
        !text.is_empty()
            && text
                .chars()
                .all(|sign| sign.is_ascii_lowercase() || sign == '-')
    };
    match value {
        Value::Object(fields) => {
            let fields = fields.iter().filter(|(key, _)| *key != "language");
            let of_field =
                |(key, value): (&String, &Value)| [vec![key.clone()], codes(value)].concat();
            fields.flat_map(of_field).collect()
        }
        Value::Array(items) => items.iter().flat_map(codes).collect(),
        Value::String(text) if is_code(text) => vec![text.clone()],
        Value::String(_) | Value::Null | Value::Bool(_) | Value::Number(_) => Vec::new(),
    }
}

#[test]
fn a_terminal_gets_colours_unless_they_are_unwanted() {
    // The program of util-linux that gives a command a terminal of its own.
    if Command::new("script").arg("--version").output().is_err() {
        say_absent("script of util-linux");
        return;
    }
    let garden = garden("en");
    let config = garden.path("garden.toml");
    let board = format!(
        "{} once {} --config {}",
        env!("CARGO_BIN_EXE_budward"),
        AT.join(" "),
        config.display()
    );
    let on_terminal = |unwanted: &str| {
        let run = Command::new("script")
            .args(["--quiet", "--return", "--command", &board, "/dev/null"])
            .env("NO_COLOR", unwanted)
            .output()
            .unwrap();
        assert!(run.status.success(), "{run:?}");
        String::from_utf8(run.stdout).unwrap()
    };
    assert!(on_terminal("").contains("\x1b["));
    assert!(!on_terminal("1").contains("\x1b["));
}

//! The command `backtest` as it is typed.

use std::path::Path;
use std::process::{Command, Output};

use super::{project, toronto};

/// The record of Toronto to the end of 1980 as a table.
fn table(folder: &Path) -> String {
    let record = toronto(1980);
    let lines = record.days().map(|(date, day)| {
        let cell = |t: Option<budward::units::Celsius>| {
            t.map_or(String::new(), |t| t.degrees().to_string())
        };
        format!("{date},{},{}", cell(day.min), cell(day.max))
    });
    let lines: Vec<String> = lines.collect();
    let text = format!("date,tmin_c,tmax_c\n{}\n", lines.join("\n"));
    let path = folder.join("toronto.csv");
    std::fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

fn backtest(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_budward"))
        .arg("backtest")
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn it_prints_narrow_columns_and_writes_table_and_report() {
    let folder = tempfile::tempdir().unwrap();
    let record = table(folder.path());
    let run = backtest(
        folder.path(),
        &[
            &record,
            "--nights",
            "7",
            "--csv",
            "rows.csv",
            "--report",
            "report.html",
            "--shift-step",
            "5",
        ],
    );
    let printed = text(&run.stdout);
    assert!(run.status.success(), "{}", text(&run.stderr));
    assert!(run.stderr.is_empty(), "no bar where nobody looks");
    assert!(printed.contains("-2.2 °C (28 °F) within the next 7 nights?"));
    assert!(printed.contains("fewer futures: RMS difference"));
    assert!(printed.contains("go by its late day told") && printed.contains("two-runs"));
    assert!(printed.contains("perfect-week") && printed.contains("95 % limits"));
    let wide: Vec<&str> = printed
        .lines()
        .filter(|line| line.chars().count() > 88)
        .collect();
    assert!(wide.is_empty(), "{wide:#?}");
    let rows = std::fs::read_to_string(folder.path().join("rows.csv")).unwrap();
    assert!(rows.starts_with(
        "record,year,date,probability,probability_next_day,futures,verdict,happened,\
         frost_at_hand,near_night,go_early,go_middle,go_late,fewer-futures,climate,"
    ));
    assert!(
        rows.lines()
            .nth(1)
            .unwrap()
            .starts_with("toronto,1979,1979-")
    );
    let report = std::fs::read_to_string(folder.path().join("report.html")).unwrap();
    assert_eq!(report.matches("<svg viewBox").count(), 3);
    for foreign in ["<script", "http://", "https://", "url(", "@import"] {
        assert!(!report.contains(foreign), "{foreign} in the report");
    }
}

#[test]
fn figures_come_as_json() {
    let folder = tempfile::tempdir().unwrap();
    let record = table(folder.path());
    let arguments = [
        &record, "--json", "--season", "all", "--step", "30", "--nights", "7",
    ];
    let run = backtest(folder.path(), &arguments);
    let told: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!(told["records"][0]["name"], "toronto");
    assert!(
        told["together"]["scores"][0]["brier"]["value"]
            .as_f64()
            .unwrap()
            < 0.25
    );
    assert_eq!(told["together"]["decisions"].as_array().unwrap().len(), 0);
}

#[test]
fn forecasts_of_a_file_are_used() {
    let folder = tempfile::tempdir().unwrap();
    let record = table(folder.path());
    let kept = folder.path().join("kept.csv");
    std::fs::write(
        &kept,
        "issue_date,lead,value\n1980-01-01,1,-20\n1980-01-01,2,-20\n",
    )
    .unwrap();
    let run = |forecast: &str| {
        let arguments = [
            &record,
            "--forecast",
            forecast,
            "--season",
            "all",
            "--step",
            "30",
            "--nights",
            "2",
            "--csv",
            "rows.csv",
        ];
        let run = backtest(folder.path(), &arguments);
        assert!(run.status.success(), "{}", text(&run.stderr));
        let rows = std::fs::read_to_string(folder.path().join("rows.csv")).unwrap();
        let row = rows
            .lines()
            .find(|line| line.contains(",1980-01-01,"))
            .unwrap();
        row.split(',').nth(3).unwrap().parse::<f64>().unwrap()
    };
    let (with, without) = (run("file:kept.csv"), run("none"));
    assert!(with > without && with > 0.99, "{with} against {without}");
}

/// That a call is refused with a status and a sentence.
fn refused(folder: &Path, arguments: &[&str], status: i32, said: &str) {
    let run = backtest(folder, arguments);
    let complaint = text(&run.stderr);
    assert!(complaint.contains(said), "{arguments:?}: {complaint}");
    assert_eq!(
        run.status.code(),
        Some(status),
        "{arguments:?}: {complaint}"
    );
}

#[test]
fn wrong_use_is_told_with_its_remedy() {
    let folder = tempfile::tempdir().unwrap();
    let record = table(folder.path());
    let plant = ["--question", "plant"];
    let (unknown, mown) = (
        ["--plant", "boxwod"],
        ["--plant", "boxwood", "--cut", "mow"],
    );
    for (more, said) in [
        (&["--forecast", "nois"] as &[&str], "nearest: noise"),
        (&plant, "needs --plant KIND"),
        (&[plant, unknown].concat(), "nearest: boxwood"),
        (&[&plant as &[&str], &mown].concat(), "it takes shear"),
        (&["--errors", "1,99"], "99 is outside"),
        (&["--at-or-below", "28"], "has no unit"),
        (
            &["--at-or-below", "-60 °C"],
            "at or below -60.0 °C in any year",
        ),
        (&["--past-years", "30"], "30 usable years before it"),
    ] {
        refused(
            folder.path(),
            &[&[record.as_str()], more].concat(),
            64,
            said,
        );
    }
}

#[test]
fn a_file_that_cannot_be_read_or_used_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let record = table(folder.path());
    let prose = project().join("tests/data/ghcn/README.md");
    refused(folder.path(), &[prose.to_str().unwrap()], 64, "README.md: ");
    refused(folder.path(), &["absent.csv"], 74, "cannot read absent.csv");
    let kept = [&record, "--forecast", "file:absent.csv"];
    refused(folder.path(), &kept, 74, "cannot read absent.csv");
}

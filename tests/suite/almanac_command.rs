//! `almanac` as a keeper types it: lists, searches, shows one kind, and says so when there is none.

use std::collections::BTreeSet;
use std::fs;
use std::process::{Command, Output};

use serde_json::Value;

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_budward"))
        .arg("almanac")
        .args(arguments)
        .env_remove("RUST_LOG")
        .env_remove("BUDWARD_CONFIG")
        .output()
        .unwrap()
}

fn text(arguments: &[&str]) -> String {
    let output = run(arguments);
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).unwrap()
}

fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&text(&[arguments, &["--json"]].concat())).unwrap()
}

fn ids(of: &Value) -> BTreeSet<&str> {
    let lines = of.as_array().unwrap().iter();
    lines.map(|line| line["id"].as_str().unwrap()).collect()
}

fn assert_narrow(shown: &str) {
    for line in shown.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

#[test]
fn without_words_all_kinds_are_listed_by_habit() {
    let listed = text(&[]);
    assert_narrow(&listed);
    let rows = listed.lines().filter(|line| line.starts_with("  ")).count();
    assert!(rows >= 140, "{rows}");
    let heads: Vec<_> = listed
        .lines()
        .filter(|line| !line.is_empty() && !line.starts_with(' '))
        .collect();
    assert_eq!(heads.first(), Some(&"Evergreens with small leaves"));
    assert_eq!(heads.len(), 8, "each habit once: {heads:?}");
    assert_eq!(json(&[]).as_array().unwrap().len(), rows);
}

#[test]
fn a_word_for_several_kinds_lists_them() {
    let listed = text(&["hydrangia"]);
    for id in [
        "smooth-hydrangea",
        "bigleaf-hydrangea",
        "climbing-hydrangea",
    ] {
        assert!(listed.contains(id), "{listed}");
    }
    assert!(!listed.contains("boxwood"), "{listed}");
    let found = json(&["Rosa"]);
    assert!(
        ids(&found).is_superset(&BTreeSet::from([
            "bush-rose",
            "rugosa-rose",
            "climbing-rose"
        ])),
        "{found}"
    );
}

#[test]
fn one_kind_is_shown_whole_however_it_is_called() {
    for words in [
        &["common", "box"][..],
        &["boxwod"],
        &["Buxus", "sempervirens"],
        &["BOXWOOD"],
    ] {
        let shown = text(words);
        assert!(shown.starts_with("boxwood (Buxus sempervirens"), "{shown}");
        assert_narrow(&shown);
    }
}

#[test]
fn a_kind_is_found_by_its_german_names() {
    for word in ["Flieder", "flieder", "Edelflieder", "Fliedr"] {
        let shown = text(&[word]);
        assert!(shown.contains("Syringa vulgaris"), "{shown}");
    }
    assert!(text(&["Flieder"]).starts_with("common lilac (Syringa vulgaris)"));
    let found = json(&["Hortensien"]);
    assert_eq!(ids(&found).len(), 5, "{found}");
    let output = run(&["Kirschlorbaum"]);
    let said =
        String::from_utf8(output.stdout).unwrap() + &String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("Prunus laurocerasus"), "{said}");
}

/// Every group of values is followed by its source, and so is every sentence.
#[test]
fn what_is_shown_of_a_kind_has_its_sources() {
    let shown = text(&["common-lilac"]);
    let words = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "Also called lilac, French lilac",
        "winters in zones 3 to 7",
        "bloom 15 April to 10 May +7",
        "Bloom begin at 130 °C·d above 10 °C (234 °F·d above 50 °F)",
        "Deadhead: 10 May to 7 June in zone 7",
        "Counted: bloom end to 28 days after bloom end.",
        "At other times:",
        "Tender class dormant-hard-cut",
        "Hard cut: a third a year for three years.",
        "Most in a season otherwise: 33 of 100",
        "Not cut in: wet foliage.",
        "Cut broken wood clean: at any time of the year",
        "Hygiene Disinfect",
        "Mind Bacterial blight",
        "Source of hardiness zones",
        "Source of bud break",
    ] {
        assert!(words.contains(part), "no '{part}' in\n{shown}");
    }
    assert!(words.matches("Source").count() >= 15, "{shown}");
}

#[test]
fn as_json_a_kind_has_its_windows_and_sources() {
    let kind = json(&["smooth-hydrangea"]);
    assert_eq!(kind["id"], "smooth-hydrangea");
    assert_eq!(kind["hard_cut"], "whole");
    assert_eq!(kind["zone_7_windows"]["renewal"][0], "02-06");
    assert_eq!(kind["zone_7_windows"]["renewal"][1], "03-27");
    assert_eq!(kind["cuts"][0]["tender"]["class"], "dormant-hard-cut");
    for note in kind["sources"].as_array().unwrap() {
        assert!(!note["source"].as_str().unwrap().is_empty(), "{note}");
    }
    let oak = json(&["oak"]);
    assert_eq!(oak["id"], "oak");
    let others = oak["see_also"].as_array().unwrap();
    assert!(others.contains(&"oakleaf-hydrangea".into()), "{others:?}");
}

#[test]
fn a_kind_that_is_not_cut_says_why() {
    let shown = text(&["giant hogweed"]);
    assert!(
        shown.contains("Needs no cut: It is not a gardener's job"),
        "{shown}"
    );
    assert!(shown.contains("report it"), "{shown}");
}

#[test]
fn what_is_not_there_ends_with_one_and_the_nearest_names() {
    for more in [&[][..], &["--json"]] {
        let output = run(&[&["fuchsia"], more].concat());
        assert_eq!(output.status.code(), Some(1));
        assert!(output.stdout.is_empty());
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(
            said.contains("no kind of plant is called \"fuchsia\""),
            "{said}"
        );
        assert!(said.contains("nearest: "), "{said}");
    }
}

#[test]
fn a_garden_file_brings_its_own_kinds() {
    let example = crate::support::project().join("config/garden.example.toml");
    let example = example.to_str().unwrap();
    let shown = text(&["bottle gentian", "-c", example]);
    assert!(
        shown.starts_with("bottle gentian (Gentiana andrewsii)"),
        "{shown}"
    );
    assert!(shown.contains("Source: the garden file."), "{shown}");
    assert_eq!(run(&["bottle gentian"]).status.code(), Some(1));
    let (own, usual) = (
        json(&["cherry-laurel", "-c", example]),
        json(&["cherry-laurel"]),
    );
    assert_eq!(own["share_max"], 25);
    assert_eq!(usual["share_max"], 33);
    assert_eq!(own["cuts"], usual["cuts"]);
}

#[test]
fn a_garden_file_with_a_fault_is_told_as_such() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("garden.toml");
    fs::write(&file, "[[kind]]\nid = \"boxwood\"\npace = \"slwo\"\n").unwrap();
    let output = run(&["boxwood", "-c", file.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(78));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(
        said.contains("garden.toml:3:8: pace \"slwo\" is not known; nearest: \"slow\""),
        "{said}"
    );
}

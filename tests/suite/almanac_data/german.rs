//! The almanac in German: nothing missing, nothing left over, the same numbers, names that lead to one kind.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use budward::almanac::{
    AlmanacError, CutKind, DataFile, Disease, Event, German, Kind, RawKind, Sap, WeatherHold,
    Wildlife, german, german_names, german_source, german_text, german_word,
};
use serde::de::DeserializeOwned;

use super::almanac;

/// What stands for a source that is none, and before one that is recalled.
const NO_SOURCES: [&str; 4] = [
    "common practice, no source",
    "estimate",
    "the garden file",
    "from memory:",
];

/// Units in English and in German.
const UNITS: [(&str, &str); 10] = [
    ("in", "Zoll"),
    ("ft", "Fuß"),
    ("cm", "cm"),
    ("m", "m"),
    ("°F", "°F"),
    ("°C·d", "°C·d"),
    ("°C", "°C"),
    ("K", "K"),
    ("hours", "Stunden"),
    ("percent", "Prozent"),
];

/// Every sentence and clause of a kind that a keeper gets to see.
fn texts_of(kind: &Kind) -> impl Iterator<Item = String> {
    let repair = kind.takes(CutKind::StormRepair);
    let cuts: Vec<_> = kind.cuts.iter().cloned().chain(repair).collect();
    let of_cuts = cuts.into_iter().flat_map(|cut| {
        let why = cut.tender.as_ref().map(|tender| tender.why.clone());
        let texts = [Some(cut.how.clone()), cut.outside.clone(), why];
        texts.into_iter().flatten()
    });
    let said = kind.hygiene.iter().chain(&kind.needs_no_cut);
    let said = said.chain(&kind.cautions).map(|said| said.text.clone());
    of_cuts.chain(said.collect::<Vec<_>>())
}

fn english_texts() -> BTreeSet<String> {
    let almanac = almanac();
    let kinds = almanac.kinds.iter();
    kinds.flat_map(|kind| texts_of(kind)).collect()
}

/// The names that a type has in the data files, out of its refusal of one that it has not.
fn names_of<T: DeserializeOwned>() -> Vec<String> {
    let refusal = serde_json::from_str::<T>("\"?\"")
        .err()
        .unwrap()
        .to_string();
    let names: Vec<String> = refusal
        .split('`')
        .skip(3)
        .step_by(2)
        .map(str::to_owned)
        .collect();
    assert!(names.len() >= 4, "{refusal}");
    names
}

#[test]
fn every_german_file_is_built_in() {
    let folder = crate::support::project().join("config/words/de/almanac");
    let loader = crate::support::project().join("src/almanac/german.rs");
    let loader = fs::read_to_string(loader).unwrap();
    for entry in fs::read_dir(folder).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(
            loader.contains(&format!("built_in!(\"{name}\")")),
            "{name} is not built in"
        );
    }
}

#[test]
fn no_text_is_missing_and_none_is_left_over() {
    let english = english_texts();
    assert!(english.len() > 500, "{} texts", english.len());
    let given: BTreeSet<String> = german().unwrap().texts.keys().cloned().collect();
    let wanted: BTreeSet<String> = english
        .into_iter()
        .chain(NO_SOURCES.map(str::to_owned))
        .collect();
    let missing: Vec<_> = wanted.difference(&given).collect();
    assert!(missing.is_empty(), "no German for {missing:#?}");
    let left: Vec<_> = given.difference(&wanted).collect();
    assert!(left.is_empty(), "the English is gone of {left:#?}");
}

#[test]
fn no_word_of_the_data_files_is_missing_and_none_is_left_over() {
    let almanac = almanac();
    let groups = almanac.kinds.iter().flat_map(|kind| &kind.sources);
    let classes = almanac.kinds.iter().flat_map(|kind| &kind.cuts);
    let classes = classes.filter_map(|cut| cut.tender.as_ref());
    let wanted: BTreeSet<String> = groups
        .map(|note| note.of.replace(' ', "-"))
        .chain(classes.map(|tender| tender.class.clone()))
        .chain(names_of::<Event>())
        .chain(names_of::<WeatherHold>())
        .chain(names_of::<Disease>())
        .chain(names_of::<Wildlife>())
        .chain(names_of::<Sap>())
        .collect();
    let given: BTreeSet<String> = german().unwrap().words.keys().cloned().collect();
    assert_eq!(given, wanted);
    assert_eq!(german_word("fire blight"), Some("Feuerbrand"));
    assert_eq!(german_word("fire-blight"), Some("Feuerbrand"));
    assert_eq!(german_word("gold"), None);
}

/// The numbers of a text with their signs, each with the unit that stands behind it.
fn numbers(
    text: &str,
    comma: char,
    unit_of: fn(&(&'static str, &'static str)) -> &'static str,
) -> Vec<String> {
    let signs: Vec<char> = text.chars().collect();
    let digit = |at: usize| signs.get(at).is_some_and(char::is_ascii_digit);
    let mut found = Vec::new();
    let mut at = 0;
    while at < signs.len() {
        if !digit(at) {
            at += 1;
            continue;
        }
        let is_negative =
            at >= 1 && signs[at - 1] == '-' && (at == 1 || !signs[at - 2].is_alphanumeric());
        let mut number = String::from(if is_negative { "-" } else { "" });
        while digit(at) || (signs.get(at) == Some(&comma) && digit(at + 1)) {
            number.push(if digit(at) { signs[at] } else { '.' });
            at += 1;
        }
        let rest: String = signs[at..].iter().collect();
        let unit = UNITS.iter().find(|unit| {
            let behind = rest
                .strip_prefix(' ')
                .and_then(|rest| rest.strip_prefix(unit_of(unit)));
            behind.is_some_and(|behind| !behind.starts_with(char::is_alphanumeric))
        });
        found.push(format!("{number} {}", unit.map_or("", |unit| unit.0)));
    }
    found.sort();
    found
}

#[test]
fn the_german_has_the_numbers_and_units_of_the_english() {
    let mut n = 0;
    for (english, german) in &german().unwrap().texts {
        let wanted = numbers(english, '.', |unit| unit.0);
        assert_eq!(
            numbers(german, ',', |unit| unit.1),
            wanted,
            "{english}\n{german}"
        );
        n += wanted.len();
    }
    assert!(n > 400, "only {n} numbers were seen");
}

#[test]
fn the_check_of_numbers_sees_a_wrong_one() {
    let english = numbers("at -2.2 °C (28 °F), 4-8 in (10-20 cm)", '.', |unit| {
        unit.0
    });
    assert_eq!(english, ["-2.2 °C", "10 ", "20 cm", "28 °F", "4 ", "8 in"]);
    let german = |text| numbers(text, ',', |unit| unit.1);
    assert_eq!(german("bei -2,2 °C (28 °F), 10–20 cm (4–8 Zoll)"), english);
    for wrong in [
        "bei 2,2 °C (28 °F), 10–20 cm (4–8 Zoll)",
        "bei -2,2 °C (28 °F), 10–20 cm (4–8 cm)",
        "bei -2,3 °C (28 °F), 10–20 cm (4–8 Zoll)",
        "bei -2,2 °C, 10–20 cm (4–8 Zoll)",
    ] {
        assert_ne!(german(wrong), english, "{wrong}");
    }
}

#[test]
fn the_german_is_german_and_begins_as_the_english_does() {
    let starts_large = |text: &str| text.starts_with(char::is_uppercase);
    for (english, german) in &german().unwrap().texts {
        assert_ne!(english, german);
        assert_eq!(german.trim(), german);
        // A clause may begin with a noun, which is large in German.
        assert!(!starts_large(english) || starts_large(german), "{german}");
        let english_words = [" the ", " and ", " to the ", " or "];
        let left = english_words.iter().find(|word| german.contains(**word));
        assert!(left.is_none(), "{german}");
    }
}

#[test]
fn every_kind_has_german_names_and_each_leads_to_it_alone() {
    let almanac = almanac();
    let ids: BTreeSet<&String> = almanac.kinds.iter().map(|kind| &kind.id).collect();
    let named: BTreeSet<&String> = german().unwrap().names.keys().collect();
    assert_eq!(ids, named);
    let mut owners: BTreeMap<String, &String> = BTreeMap::new();
    for kind in &almanac.kinds {
        for name in std::iter::once(&kind.common).chain(&kind.also) {
            owners.insert(name.to_lowercase(), &kind.id);
        }
    }
    for kind in &almanac.kinds {
        let names = kind.german().unwrap();
        for name in names.all() {
            let owner = *owners.entry(name.to_lowercase()).or_insert(&kind.id);
            assert_eq!(owner, &kind.id, "'{name}' is a name of two kinds");
            let first = almanac.search(name).first().map(|hit| &hit.id);
            assert_eq!(first, Some(&kind.id), "{name}");
            assert!(name.starts_with(char::is_uppercase), "{name}");
        }
    }
}

#[test]
fn what_a_keeper_wrote_has_no_german() {
    assert_eq!(german_text("Cut it on Sundays."), None);
    assert_eq!(german_names("my-own-shrub"), None);
    let row = |text: &str| -> RawKind { toml::from_str(text).unwrap() };
    let file = DataFile {
        name: "garden.toml",
        text: "",
    };
    let renamed = row("id = \"boxwood\"\ncommon = \"the green wall\"");
    let renamed = almanac().with(&file, &renamed).unwrap();
    assert_eq!(renamed.kind("boxwood").unwrap().german(), None);
    assert_eq!(renamed.search("Buchsbaum").first().unwrap().id, "boxwood");
    let changed = row("id = \"boxwood\"\nshare_max = 20");
    let changed = almanac().with(&file, &changed).unwrap();
    let names = changed.kind("boxwood").unwrap().german().unwrap();
    assert_eq!(names.common, "Buchsbaum");
    let taken = row("id = \"yew\"\nalso = [\"buchsbaum\"]");
    let refused = almanac().with(&file, &taken).unwrap_err().to_string();
    assert!(
        refused.contains("'buchsbaum' is already a name of 'boxwood'"),
        "{refused}"
    );
}

#[test]
fn a_source_keeps_its_citation() {
    let shown = "from memory: Some press, Some book, 2001; estimate";
    let german = "aus dem Gedächtnis: Some press, Some book, 2001; Schätzung";
    assert_eq!(german_source(shown), german);
    assert_eq!(
        german_source("Some press, Some book, 2001"),
        "Some press, Some book, 2001"
    );
    let almanac = almanac();
    for note in almanac.kinds.iter().flat_map(|kind| &kind.sources) {
        let german = german_source(&note.source);
        let left = |part: &str| part == "estimate" || part.starts_with("from memory");
        assert!(!german.split("; ").any(left), "{german}");
    }
}

fn read(text: &str) -> Result<German, AlmanacError> {
    let name = "some.toml";
    German::read(&[DataFile { name, text }])
}

#[test]
fn a_wrong_file_is_refused_with_its_place() {
    let good = "[names]\nbox = { common = \"Buchs\", also = [\"Buxus\"] }\n[texts]\n\"Cut it.\" = \"Schneiden.\"\n";
    assert_eq!(read(good).unwrap().texts["Cut it."], "Schneiden.");
    let refused = |from: &str, to: &str, words: &[&str]| {
        assert!(good.contains(from), "{from}");
        let error = read(&good.replacen(from, to, 1)).unwrap_err().to_string();
        assert!(error.starts_with("cannot read some.toml, line "), "{error}");
        for word in words {
            assert!(error.contains(word), "'{word}' is not in: {error}");
        }
    };
    refused("[texts]", "[text]", &["'text'", "did you mean 'texts'?"]);
    refused("common", "comon", &["line 2", "'comon'", "'common'"]);
    refused("\"Schneiden.\"", "\"Schneiden\"", &["line 4", "full stop"]);
    refused("\"Schneiden.\"", "\".\"", &["line 4", "it is empty"]);
    refused("\"Buxus\"", "\" \"", &["line 2", "is no name"]);
    refused(
        "\"Buxus\"",
        "\"buchs\"",
        &["'buchs' is already a name of 'box'"],
    );
    let both = "] }\nyew = { common = \"buxus\" }";
    refused(
        "] }",
        both,
        &["line 3", "'yew'", "'buxus' is already a name of 'box'"],
    );
    let twice = DataFile {
        name: "some.toml",
        text: good,
    };
    let error = German::read(&[twice, twice]).unwrap_err().to_string();
    assert!(error.contains("already a name of 'box'"), "{error}");
}

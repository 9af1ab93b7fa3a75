//! Settings files: the shipped example, what a new garden gets, and what is said of broken ones.
//!
//! Each `tests/config/<name>.toml` has one fault, and `<name>.txt` beside it holds what the keeper is told. With
//! `UPDATE=1` in the environment the texts are written anew; read them as a gardener would before keeping them.

mod kinds;
mod new_garden;
mod secrets;
mod values;

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use budward::almanac::{
    self, Almanac, Cut, CutKind, Habit, HardCut, HardyZones, Kind, Pace, Season, Wood,
};
use budward::config::{ConfigErrors, ForecastSettings, GardenSettings, HistorySettings, Settings};
use budward::units::UnitSystem;
use proptest::prelude::*;

use crate::support::project;

fn cut(cut: CutKind) -> Cut {
    Cut {
        cut,
        season: Season::AnyTime,
        outside: None,
        tender: None,
        how: "with care".to_owned(),
        source: "test".to_owned(),
    }
}

fn kind(id: &str, botanical: &str, common: &str, cuts: &[CutKind]) -> Arc<Kind> {
    Arc::new(Kind {
        id: id.to_owned(),
        botanical: botanical.to_owned(),
        common: common.to_owned(),
        also: Vec::new(),
        habit: Habit::DeciduousShrub,
        wood: Wood::Indifferent,
        zones: HardyZones {
            coldest: 4,
            warmest: 9,
        },
        bloom: None,
        bud_set: None,
        bud_break: None,
        full_leaf: None,
        flush_end: None,
        leaf_fall: None,
        heat: Vec::new(),
        pace: Pace::Medium,
        hard_cut: HardCut::No,
        share_max: 33,
        holds: Vec::new(),
        diseases: Vec::new(),
        wildlife: Vec::new(),
        sap: Vec::new(),
        hygiene: None,
        needs_no_cut: None,
        cautions: Vec::new(),
        cuts: cuts.iter().map(|one| Arc::new(cut(*one))).collect(),
        sources: Vec::new(),
    })
}

/// A small almanac of the test's own, so that these texts do not change with the real one.
fn almanac() -> Almanac {
    use CutKind::{CutBack, Deadhead, Renewal, Shear, ThinningCut};
    let kinds = vec![
        kind(
            "boxwood",
            "Buxus sempervirens",
            "box",
            &[Shear, ThinningCut, Renewal],
        ),
        kind(
            "cherry-laurel",
            "Prunus laurocerasus",
            "cherry laurel",
            &[ThinningCut, Renewal],
        ),
        kind(
            "bigleaf-hydrangea",
            "Hydrangea macrophylla",
            "bigleaf hydrangea",
            &[Deadhead, ThinningCut],
        ),
        kind(
            "smooth-hydrangea",
            "Hydrangea arborescens",
            "smooth hydrangea",
            &[CutBack, Deadhead],
        ),
        kind(
            "common-lilac",
            "Syringa vulgaris",
            "common lilac",
            &[Deadhead, Renewal],
        ),
    ];
    Almanac::of(kinds)
}

fn env(name: &str) -> Option<String> {
    (name == "SMTP_PASSWORD").then(|| "correct horse".to_owned())
}

fn parse(text: &str) -> Result<Settings, ConfigErrors> {
    Settings::parse(text, Path::new("garden.toml"), &almanac(), &env)
}

/// The smallest file that is right, with a part in front of its gardens.
fn small(mail: &str, garden: &str) -> String {
    format!(
        "[mail]\nfrom = \"garden@example.org\"\n{mail}\n[weather]\ncontact = \"garden@example.org\"\n\
         [[garden]]\nname = \"museum\"\nlatitude = 38.74\nlongitude = -85.38\n{garden}"
    )
}

const FOLDER: &str = "folder = \"mail-out\"";

fn broken_files() -> Vec<PathBuf> {
    let folder = fs::read_dir(project().join("tests/config")).unwrap();
    let mut files: Vec<_> = folder.map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|end| end == "toml"));
    files.sort();
    files
}

/// What is said of one file, and how many remarks that are.
fn said_of(file: &Path) -> (usize, String) {
    let name = file.file_stem().unwrap().to_str().unwrap();
    let remarks = match parse(&fs::read_to_string(file).unwrap()) {
        Ok(settings) if name.starts_with("unwise") => settings.warnings,
        Ok(_) => panic!("{name} has no fault"),
        Err(errors) => errors.0,
    };
    let lines: Vec<_> = remarks.iter().map(ToString::to_string).collect();
    (remarks.len(), lines.join("\n") + "\n")
}

#[test]
fn every_broken_file_is_told_in_the_words_beside_it() {
    let files = broken_files();
    assert!(files.len() > 28);
    let update = std::env::var("UPDATE").is_ok_and(|value| value == "1");
    let mut differ = Vec::new();
    for file in files {
        let (n, said) = said_of(&file);
        let single = !file.ends_with("many-faults.toml") && !file.ends_with("unwise.toml");
        assert!(n == 1 || !single, "{}: {n} faults\n{said}", file.display());
        let words = file.with_extension("txt");
        if update {
            fs::write(&words, &said).unwrap();
        } else if fs::read_to_string(&words).unwrap_or_default() != said {
            differ.push(format!("{}:\n{said}", file.display()));
        }
    }
    assert!(differ.is_empty(), "{}", differ.join("\n"));
}

#[test]
fn many_faults_are_told_at_once_in_line_order() {
    let errors =
        parse(&fs::read_to_string(project().join("tests/config/many-faults.toml")).unwrap())
            .unwrap_err();
    let lines: Vec<usize> = errors
        .to_string()
        .lines()
        .filter_map(|line| {
            line.strip_prefix("garden.toml:")?
                .split(':')
                .next()?
                .parse()
                .ok()
        })
        .collect();
    assert_eq!(lines.len(), 8, "{errors}");
    assert!(lines.is_sorted(), "{errors}");
}

#[test]
fn the_shipped_example_is_right_and_gives_no_warning() {
    let file = project().join("config/garden.example.toml");
    let text = fs::read_to_string(&file).unwrap();
    let almanac = almanac::embedded().unwrap();
    let settings =
        Settings::parse(&text, &file, &almanac, &env).unwrap_or_else(|errors| panic!("{errors}"));
    assert_eq!(settings.warnings, []);
    let [ohio, austria] = settings.gardens.as_slice() else {
        panic!("two gardens");
    };
    let names = |garden: &GardenSettings, planting: &str| {
        let cuts = garden
            .garden
            .cuts
            .iter()
            .filter(|cut| cut.planting == planting);
        cuts.map(|cut| cut.name.clone()).collect::<Vec<_>>()
    };
    // Two of the cuts are listed; without a list there are all that the kind takes.
    assert_eq!(
        names(ohio, "Box edging along the walk"),
        [
            "box-edging-along-the-walk-shear",
            "box-edging-along-the-walk-thinning-cut"
        ]
    );
    assert_eq!(
        names(austria, "Buchs an der Südmauer").len(),
        almanac.kind("boxwood").unwrap().cuts.len()
    );
    assert_eq!(
        names(austria, "Buchs an der Südmauer")[0],
        "buchs-an-der-suedmauer-shear"
    );
    assert_eq!(austria.garden.place.zone.name(), "Europe/Vienna");
    let folder = project().join("config");
    assert_eq!(
        settings.store.file(),
        Some(folder.join("budward.sqlite3").as_path())
    );
    let HistorySettings::GhcnFile(station) = &austria.history else {
        panic!("{:?}", austria.history);
    };
    assert_eq!(station.path, folder.join("weather/station.csv"));
    let ForecastSettings::Files {
        forecast, data_at, ..
    } = &austria.forecasts[0].from
    else {
        panic!("files");
    };
    assert_eq!(*forecast, folder.join("weather/forecast.json"));
    assert_eq!(
        data_at.map(|at| at.to_rfc3339()).as_deref(),
        Some("2027-04-08T06:00:00+00:00")
    );
}

#[test]
fn a_file_from_another_editor_is_read_too() {
    // A byte order mark in front, line ends of two characters.
    let text = format!(
        "\u{feff}{}",
        small(FOLDER, "units = \"us\"\n").replace('\n', "\r\n")
    );
    let settings = parse(&text).unwrap_or_else(|errors| panic!("{errors}"));
    assert_eq!(settings.gardens[0].garden.locale.units, UnitSystem::Us);
    let errors = parse(&text.replace("\"us\"", "\"uk\"")).unwrap_err();
    assert!(
        errors.to_string().starts_with("garden.toml:10:9: "),
        "{errors}"
    );
}

proptest! {
    /// Whatever becomes of a file, it is read or its faults are told with a line that it has.
    #[test]
    fn a_garbled_file_never_goes_without_a_word(
        from in 0_usize..6000,
        cut in 0_usize..40,
        put in prop::sample::select(vec!["", "\"", "[", "]]", "=", "\n", "5", "x = 1\n", "[[garden]]\n", "é", "\u{0}"]),
    ) {
        let example = fs::read_to_string(project().join("config/garden.example.toml")).unwrap();
        let signs: Vec<char> = example.chars().collect();
        let from = from.min(signs.len());
        let text: String = signs[..from].iter().copied()
            .chain(put.chars())
            .chain(signs[(from + cut).min(signs.len())..].iter().copied())
            .collect();
        if let Err(errors) = parse(&text) {
            prop_assert!(!errors.0.is_empty());
            let lines = text.lines().count().max(1);
            for fault in &errors.0 {
                let said = fault.to_string();
                let line: usize = said.split(':').nth(1).unwrap().parse().unwrap();
                prop_assert!(line <= lines + 1, "{}", said);
            }
        }
    }
}

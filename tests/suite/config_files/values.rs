//! Values as they arrive, and what stands in for those that are left out.

use std::path::Path;

use budward::config::{HistorySettings, Settings};
use budward::locale::{DateStyle, Language, Locale};
use budward::units::{CelsiusStep, UnitSystem};
use chrono::{NaiveDate, TimeDelta};

use super::{FOLDER, parse, small};
use crate::support::project;

#[test]
fn values_arrive_as_they_are_written() {
    let garden = "\
        elevation = \"1000 ft\"\nfresh_for = \"12 h\"\ntolerance = 7.5\n\
        [[garden.spot]]\nname = \"hollow\"\noffset = \"-4.5 F\"\ndoubt = \"0.5 K\"\n\
        [[garden.plant]]\nname = \"Lilac\"\nkind = \"common-lilac\"\nspot = \"hollow\"\n\
        [[garden.plant.cut]]\ncut = \"renewal\"\nwished = 2027-02-15\ntolerance = 3\n\
        [[garden.plant]]\nname = \"Laurel\"\nkind = \"cherry-laurel\"\n";
    let settings = parse(&small(FOLDER, garden)).unwrap();
    let garden = &settings.gardens[0];
    assert_eq!(garden.fresh_for, TimeDelta::hours(12));
    // The international foot is 0.3048 m.
    assert!((garden.garden.place.elevation.unwrap().0 - 304.8).abs() < 1e-9);
    let cuts = &garden.garden.cuts;
    let tolerances: Vec<_> = cuts.iter().map(|cut| cut.tolerance.share()).collect();
    assert_eq!(tolerances, [0.03, 0.075, 0.075]);
    assert_eq!(cuts[0].spot.offset, CelsiusStep::new(-2.5));
    assert_eq!(cuts[0].spot.doubt, CelsiusStep::new(0.5));
    assert_eq!(cuts[0].wished, NaiveDate::from_ymd_opt(2027, 2, 15));
    assert_eq!(cuts[1].spot.offset, CelsiusStep::new(0.0));
    assert_eq!(cuts[1].spot.doubt, CelsiusStep::new(1.0));
}

#[test]
fn what_is_left_out_has_its_usual_value() {
    let settings = parse(&small(FOLDER, "")).unwrap();
    assert_eq!(settings.store.file(), Some(Path::new("budward.sqlite3")));
    assert_eq!(settings.web.listen.to_string(), "127.0.0.1:8427");
    assert_eq!(settings.schedule.text(), "30 5,14 * * *");
    assert_eq!(settings.weather.timeout.as_secs(), 20);
    let garden = &settings.gardens[0];
    assert_eq!(garden.garden.title, "museum");
    assert_eq!(
        garden.garden.place.zone.name(),
        "America/Indiana/Indianapolis"
    );
    assert_eq!(garden.garden.locale.units, UnitSystem::Metric);
    assert_eq!(garden.fresh_for, TimeDelta::hours(36));
    assert!(matches!(
        &garden.history,
        HistorySettings::OpenMeteo { years: 30, .. }
    ));
}

#[test]
fn a_garden_has_its_own_language_and_dates_or_those_of_the_file() {
    let locale = |file: &str, garden: &str| {
        let text = format!("{file}\n{}", small(FOLDER, garden));
        let settings = parse(&text).unwrap_or_else(|errors| panic!("{errors}"));
        (
            settings.locale().language,
            settings.gardens[0].garden.locale,
        )
    };
    let metric = |language| Locale::new(language, UnitSystem::Metric);
    let (english, german) = (Language::English, Language::German);
    assert_eq!(locale("", ""), (english, metric(english)));
    assert_eq!(locale("language = \"de\"", ""), (german, metric(german)));
    assert_eq!(locale("", "language = \"de\"\n"), (english, metric(german)));
    assert_eq!(
        locale("language = \"de\"", "language = \"en\"\nunits = \"us\"\n"),
        (german, Locale::english(UnitSystem::Us))
    );
    let (_, dated) = locale("", "dates = \"month-day\"\n");
    assert_eq!(dated.dates, DateStyle::MonthDay);
}

#[test]
fn a_wish_far_ahead_is_a_fault_and_a_past_one_a_warning() {
    let garden = "[[garden.plant]]\nname = \"lilac\"\nkind = \"common-lilac\"\n\
        [[garden.plant.cut]]\ncut = \"renewal\"\nwished = 2027-02-15\n";
    let settings = parse(&small(FOLDER, garden)).unwrap();
    let on = |year, month, day| {
        let mut settings = settings.clone();
        settings.check_wishes(NaiveDate::from_ymd_opt(year, month, day).unwrap())
    };
    assert_eq!(on(2027, 2, 15), Ok(Vec::new()));
    assert_eq!(on(2025, 2, 15), Ok(Vec::new()));
    assert_eq!(
        on(2025, 2, 14).unwrap_err().to_string(),
        "garden.toml:15:10: wished 2027-02-15 is more than two years ahead\n  allowed: a day up to 2027-02-14"
    );
    let past = on(2027, 2, 16).unwrap();
    assert_eq!(
        past[0].to_string(),
        "garden.toml:15:10: wished 2027-02-15 is past"
    );
}

#[test]
fn a_file_that_is_not_there_is_told() {
    let errors = Settings::read(Path::new("no/such/garden.toml")).unwrap_err();
    let said = errors.to_string();
    assert!(
        said.starts_with("no/such/garden.toml: cannot read the settings: "),
        "{said}"
    );
}

#[test]
fn a_service_needs_no_contact_when_none_is_asked() {
    let text = small(
        FOLDER,
        "[garden.forecast]\nsource = \"files\"\nforecast = \"f.json\"\n[garden.history]\nsource = \"none\"\n",
    );
    let settings = parse(&text.replace("contact = \"garden@example.org\"", "")).unwrap();
    assert_eq!(settings.weather.contact, "");
}

#[test]
fn what_a_plant_is_worth_sets_its_limit_and_a_cuts_own_goes_before_it() {
    let garden = "\
        [[garden.plant]]\nname = \"Lilac\"\nkind = \"common-lilac\"\nstakes = \"dear\"\n\
        [[garden.plant.cut]]\ncut = \"renewal\"\n\
        [[garden.plant.cut]]\ncut = \"deadhead\"\ntolerance = 3\n\
        [[garden.plant]]\nname = \"Laurel\"\nkind = \"cherry-laurel\"\nstakes = \"cheap\"\n";
    let settings = parse(&small(FOLDER, garden)).unwrap();
    let shares: Vec<_> = settings.gardens[0]
        .garden
        .cuts
        .iter()
        .map(|cut| cut.tolerance.share())
        .collect();
    assert_eq!(shares.first().zip(shares.get(1)), Some((&0.05, &0.03)));
    assert!(
        shares
            .iter()
            .skip(2)
            .all(|share| (share - 0.20).abs() < 1e-12),
        "{shares:?}"
    );
}

#[test]
fn the_thermometer_of_the_example_is_right_without_its_marks() {
    let example = std::fs::read_to_string(project().join("config/garden.example.toml")).unwrap();
    let block = example.split_once("# [garden.thermometer]\n").unwrap().1;
    let lines = block.lines().take_while(|line| !line.is_empty());
    let lines = lines.filter(|line| !line.contains("token"));
    let table: Vec<_> = lines
        .map(|line| line.trim_start_matches("# ").split("  #").next().unwrap())
        .collect();
    let spot = "[[garden.spot]]\nname = \"hollow by the creek\"\noffset = \"-2 K\"\n";
    let garden = format!("{spot}[garden.thermometer]\n{}\n", table.join("\n"));
    let settings = parse(&small(FOLDER, &garden)).unwrap_or_else(|errors| panic!("{errors}"));
    let thermometer = settings.gardens[0].thermometer.as_ref().unwrap();
    assert_eq!(thermometer.hung.guess().offset, CelsiusStep::new(-2.0));
    let station = thermometer.station.as_ref().unwrap();
    assert_eq!(station.path, Path::new("station.csv"));
    assert_eq!(station.layout.missing.0, ["--", "32767"]);
    assert!(thermometer.token.is_none());
    let none = parse(&small(FOLDER, "")).unwrap();
    assert!(none.gardens[0].thermometer.is_none());
}

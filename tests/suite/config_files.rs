//! Settings files: the shipped example, what a new garden gets, and what is said of broken ones.
//!
//! Each `tests/config/<name>.toml` has one fault, and `<name>.txt` beside it holds what the keeper is told. With
//! `UPDATE=1` in the environment the texts are written anew; read them as a gardener would before keeping them.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use budward::almanac::{self, Almanac, Cut, CutKind, Habit, HardyZones, Kind, Season, Wood};
use budward::config::{
    ConfigErrors, ForecastSettings, HistorySettings, MailRoute, NewGarden, NewPlant, Security,
    Settings, find_zone, new_file,
};
use budward::garden::zone_data_version;
use budward::units::{CelsiusStep, Metres, UnitSystem};
use chrono::{NaiveDate, TimeDelta};
use proptest::prelude::*;
use secrecy::ExposeSecret;

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
        cautions: Vec::new(),
        cuts: cuts.iter().map(|one| cut(*one)).collect(),
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
    Almanac { kinds }
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
    let names = |garden: &budward::config::GardenSettings, planting: &str| {
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
    assert_eq!(settings.store, folder.join("budward.sqlite3"));
    assert_eq!(
        austria.history,
        HistorySettings::GhcnFile(folder.join("weather/station.csv"))
    );
    let ForecastSettings::Files {
        forecast, data_at, ..
    } = &austria.forecast
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
    assert_eq!(settings.store, Path::new("budward.sqlite3"));
    assert_eq!(settings.listen.to_string(), "127.0.0.1:8427");
    assert_eq!(settings.schedule.text(), "30 5,14 * * *");
    assert_eq!(settings.weather.timeout.as_secs(), 20);
    let garden = &settings.gardens[0];
    assert_eq!(garden.garden.title, "museum");
    assert_eq!(
        garden.garden.place.zone.name(),
        "America/Indiana/Indianapolis"
    );
    assert_eq!(garden.garden.units, UnitSystem::Metric);
    assert_eq!(garden.fresh_for, TimeDelta::hours(36));
    assert!(matches!(
        &garden.history,
        HistorySettings::OpenMeteo { years: 30, .. }
    ));
}

#[test]
fn a_mail_server_has_its_usual_port_and_its_secret() {
    let smtp = |more: &str| {
        let mail = format!("[mail.smtp]\nhost = \"localhost\"\n{more}");
        match parse(&small(&mail, "")).unwrap().mail.route {
            MailRoute::Smtp {
                port,
                security,
                login,
                ..
            } => (port, security, login),
            MailRoute::Folder(folder) => panic!("{}", folder.display()),
        }
    };
    let (port, security, login) = smtp("");
    assert_eq!(
        (port, security, login.is_none()),
        (587, Security::StartTls, true)
    );
    assert_eq!(smtp("security = \"tls\"").0, 465);
    assert_eq!(smtp("security = \"plain\"").0, 25);
    let (port, _, login) = smtp("port = 2525\nuser = \"garden\"\npassword_env = \"SMTP_PASSWORD\"");
    let login = login.unwrap();
    assert_eq!((port, login.user.as_str()), (2525, "garden"));
    assert_eq!(login.password.expose_secret(), "correct horse");
    assert!(!format!("{login:?}").contains("horse"));
}

/// The password of a file with that mode, or what is said of it; the variable names its folder.
fn secret_in(variable: &str, mode: u32, text: &str) -> Result<String, String> {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("smtp-password");
    fs::write(&file, text).unwrap();
    fs::set_permissions(&file, fs::Permissions::from_mode(mode)).unwrap();
    let mail = "[mail.smtp]\nhost = \"mail.example.org\"\nuser = \"garden\"\npassword_file = \"smtp-password\"";
    let folder_name = folder.path().to_str().unwrap().to_owned();
    let env = |name: &str| (name == variable).then(|| folder_name.clone());
    let settings = folder.path().join("garden.toml");
    let parsed = Settings::parse(&small(mail, ""), &settings, &almanac(), &env);
    match parsed.map_err(|errors| errors.to_string())?.mail.route {
        MailRoute::Smtp { login, .. } => Ok(login.unwrap().password.expose_secret().to_owned()),
        MailRoute::Folder(folder) => panic!("{}", folder.display()),
    }
}

fn secret(mode: u32, text: &str) -> Result<String, String> {
    secret_in("ELSEWHERE", mode, text)
}

fn credential(mode: u32, text: &str) -> Result<String, String> {
    secret_in("CREDENTIALS_DIRECTORY", mode, text)
}

#[test]
fn a_secret_file_is_read_without_its_line_end() {
    assert_eq!(
        secret(0o600, "correct horse\n").as_deref(),
        Ok("correct horse")
    );
    assert_eq!(
        secret(0o400, "correct horse\r\n").as_deref(),
        Ok("correct horse")
    );
}

#[test]
fn a_secret_file_that_others_may_read_is_refused_with_the_remedy() {
    for mode in [0o644, 0o640, 0o604, 0o660] {
        let said = secret(mode, "correct horse").unwrap_err();
        assert!(said.contains(&format!("mode {mode:03o}")), "{said}");
        assert!(said.contains("hint: chmod 600 '/"), "{said}");
        assert!(!said.contains("horse"), "{said}");
    }
}

#[test]
fn a_credential_of_systemd_may_show_a_group_that_reads() {
    // Mode 0440 in CREDENTIALS_DIRECTORY since systemd 254 (systemd issue 29435).
    assert_eq!(
        credential(0o440, "correct horse").as_deref(),
        Ok("correct horse")
    );
    assert!(credential(0o444, "correct horse").is_err());
    assert!(secret(0o440, "correct horse").is_err());
}

#[test]
fn an_empty_secret_file_is_refused() {
    let said = secret(0o600, "\n").unwrap_err();
    assert!(said.contains("is empty"), "{said}");
}

#[test]
fn a_password_in_the_file_is_never_repeated() {
    for line in [
        "password = \"hunter2\"",
        "password = hunter2",
        "password_env = \"hunter2\"",
        "password_env = hunter2",
        "password_env = [\"hunter2\"]",
        "password_file = hunter2",
        "passwort = \"hunter2\"",
    ] {
        let mail = format!("[mail.smtp]\nhost = \"localhost\"\nuser = \"garden\"\n{line}");
        let errors = parse(&small(&mail, "")).unwrap_err();
        assert!(
            !format!("{errors}{errors:?}").contains("hunter2"),
            "{errors}"
        );
    }
}

#[test]
fn a_file_from_another_editor_is_read_too() {
    // A byte order mark in front, line ends of two characters.
    let text = format!(
        "\u{feff}{}",
        small(FOLDER, "units = \"us\"\n").replace('\n', "\r\n")
    );
    let settings = parse(&text).unwrap_or_else(|errors| panic!("{errors}"));
    assert_eq!(settings.gardens[0].garden.units, UnitSystem::Us);
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

#[test]
fn a_wish_far_ahead_is_a_fault_and_a_past_one_a_warning() {
    let garden = "[[garden.plant]]\nname = \"lilac\"\nkind = \"common-lilac\"\n\
        [[garden.plant.cut]]\ncut = \"renewal\"\nwished = 2027-02-15\n";
    let settings = parse(&small(FOLDER, garden)).unwrap();
    let on = |year, month, day| {
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

fn new_garden(units: UnitSystem, elevation: Option<Metres>, plants: &[(&str, &str)]) -> NewGarden {
    let plant = |(kind, name): &(&str, &str)| NewPlant {
        kind: (*kind).to_owned(),
        name: (*name).to_owned(),
    };
    NewGarden {
        title: "Ida's \"little\"\nGarten".to_owned(),
        latitude: 38.74,
        longitude: -85.38,
        zone: find_zone(38.74, -85.38).unwrap(),
        elevation,
        units,
        mail: "keeper@example.org".to_owned(),
        plants: plants.iter().map(plant).collect(),
    }
}

#[test]
fn a_new_file_reads_back_without_a_warning() {
    let plants = [
        ("boxwood", "Box \"edging\" \\ south"),
        ("boxwood", "box"),
        ("boxwood", "Box"),
        ("common-lilac", "!?"),
        ("common-lilac", "  two\nlines "),
    ];
    let text = new_file(&new_garden(UnitSystem::Us, Some(Metres(143.3)), &plants));
    let settings = parse(&text).unwrap_or_else(|errors| panic!("{errors}\n{text}"));
    assert_eq!(settings.warnings, []);
    let garden = &settings.gardens[0].garden;
    let mut names: Vec<_> = garden
        .cuts
        .iter()
        .map(|cut| cut.planting.as_str())
        .collect();
    names.dedup();
    assert_eq!(
        names,
        [
            "Box \"edging\" \\ south",
            "box",
            "Box 2",
            "common-lilac",
            "two lines"
        ]
    );
    assert_eq!(garden.title, "Ida's \"little\" Garten");
    assert_eq!(garden.units, UnitSystem::Us);
    assert_eq!(garden.mail_to.as_deref(), Some("keeper@example.org"));
    // 143.3 m are 470 ft.
    assert!(text.contains("elevation = \"470 ft\""), "{text}");
}

#[test]
fn every_line_of_a_new_file_that_is_switched_off_is_right_when_switched_on() {
    for plants in [&[][..], &[("boxwood", "box edging")]] {
        let text = new_file(&new_garden(UnitSystem::Metric, None, plants));
        // The one line that would stand against the others is switched off in turn.
        let is_setting =
            |line: &str| line.starts_with("# [") || line.starts_with("# ") && line.contains(" = ");
        let switched: Vec<_> = text
            .lines()
            .filter(|line| !line.starts_with("folder = "))
            .map(|line| {
                if is_setting(line) {
                    line.trim_start_matches("# ")
                } else {
                    line
                }
            })
            .map(|line| {
                line.replace(
                    "password_file = \"smtp-password\"",
                    "password_env = \"SMTP_PASSWORD\"",
                )
            })
            .collect();
        let switched = switched.join("\n");
        let settings = parse(&switched).unwrap_or_else(|errors| panic!("{errors}\n{switched}"));
        let garden = &settings.gardens[0].garden;
        assert_eq!(garden.cuts.len(), 1);
        assert!(garden.remark.is_some() && garden.place.elevation.is_some());
        assert!(matches!(settings.mail.route, MailRoute::Smtp { .. }));
    }
}

#[test]
fn every_zone_that_coordinates_give_is_known_to_the_clock() {
    // One point in each ten degrees: no zone of the border data may be missing from the rules.
    for latitude in (-80..=80).step_by(10) {
        for longitude in (-180..=180).step_by(10) {
            let place = (f64::from(latitude), f64::from(longitude));
            assert!(
                find_zone(place.0, place.1).is_some(),
                "{place:?}, rules {}",
                zone_data_version()
            );
        }
    }
}

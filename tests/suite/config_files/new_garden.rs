//! The file that a new garden gets, and the zone that is found for it.

use budward::config::{MailRoute, NewGarden, NewPlant, find_zone, new_file};
use budward::garden::zone_data_version;
use budward::locale::{DateStyle, Language, Locale};
use budward::units::{Metres, UnitSystem};

use super::parse;

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
        locale: Locale::new(Language::German, units),
        mail: "keeper@example.org".to_owned(),
        plants: plants.iter().map(plant).collect(),
        state: None,
    }
}

#[test]
fn the_store_and_the_mails_go_into_the_folder_for_state() {
    let state = std::path::Path::new("/var/lib/gar\"den");
    let garden = NewGarden {
        state: Some(state.to_owned()),
        ..new_garden(UnitSystem::Metric, None, &[("boxwood", "box")])
    };
    let settings = parse(&new_file(&garden)).unwrap();
    assert_eq!(
        settings.store.file(),
        Some(state.join("budward.sqlite3").as_path())
    );
    let MailRoute::Folder(folder) = settings.mail.route else {
        panic!("a new garden lays its mails into a folder");
    };
    assert_eq!(folder, state.join("mail-out"));
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
    assert_eq!(garden.locale, Locale::new(Language::German, UnitSystem::Us));
    assert_eq!(garden.locale.dates, DateStyle::DayMonth);
    assert_eq!(garden.mail_to, ["keeper@example.org"]);
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

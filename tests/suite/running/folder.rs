//! Gardens in files of their own: what can be used is used, what cannot is told.

use std::fs;
use std::path::PathBuf;

use budward::config::Settings;
use chrono::NaiveDate;

use super::{HEAD, Home, code, garden};
use crate::support::project;

/// Settings that name a folder, with files in it.
fn home(files: &[(&str, &str)]) -> Home {
    let home = Home::of(&format!("garden_folder = \"gardens\"\n{HEAD}"));
    fs::create_dir(home.path("gardens")).unwrap();
    for (name, text) in files {
        write(&home, name, text);
    }
    home
}

fn write(home: &Home, name: &str, text: &str) {
    fs::write(home.path("gardens").join(name), text).unwrap();
}

fn read(home: &Home) -> Result<Settings, String> {
    Settings::read(&home.path("garden.toml")).map_err(|faults| faults.to_string())
}

fn names(settings: &Settings) -> Vec<&str> {
    let gardens = settings.gardens.iter();
    gardens.map(|garden| garden.garden.name.as_str()).collect()
}

/// The remarks on the files that are left out, without the folder of the test.
fn left_out(home: &Home, settings: &Settings) -> Vec<String> {
    let folder = format!("{}/", home.path("gardens").display());
    let left = settings.left_out.iter();
    left.map(|left| left.faults.to_string().replace(&folder, ""))
        .collect()
}

#[test]
fn every_file_of_the_folder_brings_its_gardens() {
    let two = [garden("orchard"), garden("terrace")].concat();
    let home = home(&[
        ("b.toml", &garden("abbey")),
        ("a.toml", &two),
        (".c.toml", "nonsense"),
        ("notes.txt", "nonsense"),
    ]);
    let settings = read(&home).unwrap();
    assert_eq!(names(&settings), ["orchard", "terrace", "abbey"]);
    assert_eq!(settings.left_out, []);
    let budward::config::HistorySettings::GhcnFile(file) = &settings.gardens[0].history else {
        panic!("another source")
    };
    assert_eq!(file.path, home.path("gardens").join("none.dly"));
    // Gardens of the settings themselves go before.
    let text = format!("garden_folder = \"gardens\"\n{HEAD}{}", garden("museum"));
    home.write(&text);
    assert_eq!(
        names(&read(&home).unwrap()),
        ["museum", "orchard", "terrace", "abbey"]
    );
}

#[test]
fn a_file_with_a_fault_is_left_out_whole_and_the_others_stand() {
    let half = format!("{}{}", garden("orchard"), garden("terrace")).replacen("40.63", "140.63", 1);
    let home = home(&[
        ("a.toml", &garden("abbey")),
        ("b.toml", &half),
        ("c.toml", &garden("abbey")),
        ("d.toml", &format!("[mail]\n{}", garden("dell"))),
        ("e.toml", "# nothing yet\n"),
        ("f.toml", &garden("fallow")),
    ]);
    write(&home, "g.toml", "");
    fs::write(home.path("gardens/h.toml"), [0xff, 0xfe]).unwrap();
    let settings = read(&home).unwrap();
    assert_eq!(names(&settings), ["abbey", "fallow"]);
    let left = left_out(&home, &settings);
    let begins = [
        "b.toml:5:12: latitude 140.63 is out of range",
        "c.toml:3:8: garden \"abbey\" stands already in a.toml",
        "d.toml:1:2: mail is not a known key here",
        "e.toml:1:1: the file has no garden",
        "g.toml:1:1: the file has no garden",
        "h.toml: cannot read the gardens: ",
    ];
    assert_eq!(left.len(), begins.len(), "{left:#?}");
    for (left, begin) in left.iter().zip(begins) {
        assert!(left.starts_with(begin), "{left}\nand not\n{begin}");
    }
    let checked = home.budward(&["check"]);
    let text = String::from_utf8(checked.stdout).unwrap();
    assert_eq!(checked.status.code(), Some(78), "{text}");
    assert!(text.contains("6 of its garden files are not:"), "{text}");
    assert!(text.contains("The fallow garden"), "{text}");
}

#[test]
fn one_forecast_file_has_one_instant_of_its_data() {
    let at = |name: &str, at: &str| {
        let file = "forecast = \"none.json\"";
        garden(name).replace(file, &format!("{file}, data_at = {at}"))
    };
    let early = "2027-04-10T06:00:00Z";
    let same = "2027-04-10T08:00:00+02:00";
    let later = "2027-04-10T18:00:00Z";
    let errors = read(&Home::of(&format!(
        "{HEAD}{}{}",
        at("abbey", early),
        at("dell", later)
    )));
    let errors = errors.unwrap_err();
    let begins = "data_at of this file is 2027-04-10T18:00:00+00:00 here and \
                  2027-04-10T06:00:00+00:00 in a garden before";
    assert!(errors.contains(begins), "{errors}");
    let home = home(&[
        ("a.toml", &at("abbey", early)),
        ("b.toml", &at("orchard", same)),
        ("c.toml", &at("terrace", later)),
        ("d.toml", &garden("dell")),
    ]);
    let settings = read(&home).unwrap();
    assert_eq!(names(&settings), ["abbey", "orchard"]);
    let left = left_out(&home, &settings);
    assert!(left[0].contains(begins), "{left:?}");
    assert!(
        left[1].contains("is none here and 2027-04-10T06:00:00+00:00"),
        "{left:?}"
    );
}

#[test]
fn without_folder_or_garden_nothing_runs() {
    let empty = home(&[]);
    assert!(read(&empty).unwrap_err().contains("there is no garden"));
    let bad = home(&[("a.toml", "x = 1\n")]);
    assert!(
        read(&bad)
            .unwrap_err()
            .contains("a.toml:1:1: x is not a known key")
    );
    let none = Home::of(&format!("garden_folder = \"gardens\"\n{HEAD}"));
    assert!(
        read(&none)
            .unwrap_err()
            .contains("cannot read garden_folder")
    );
}

#[test]
fn a_wish_far_ahead_leaves_out_its_file_alone() {
    let wish = "cut = \"shear\", wished = 2031-01-01";
    let far = garden("orchard").replace("cut = \"shear\"", wish);
    let home = home(&[("a.toml", &garden("abbey")), ("b.toml", &far)]);
    let mut settings = read(&home).unwrap();
    assert_eq!(names(&settings), ["abbey", "orchard"]);
    let today = NaiveDate::from_ymd_opt(2027, 4, 1).unwrap();
    settings.check_wishes(today).unwrap();
    assert_eq!(names(&settings), ["abbey"]);
    let left = left_out(&home, &settings);
    assert!(
        left[0].contains("wished 2031-01-01 is more than two years ahead"),
        "{left:?}"
    );
}

#[test]
fn a_file_that_becomes_wrong_keeps_its_gardens_and_is_told() {
    let home = home(&[("a.toml", &garden("abbey")), ("b.toml", &garden("orchard"))]);
    let mut daemon = home.start();
    write(&home, "b.toml", "[[garden]]\nname = 7\n");
    write(&home, "c.toml", &garden("terrace"));
    daemon.signal("HUP");
    daemon.wait_for("it is left out");
    let status = daemon.status_with(|status| gardens(status) == ["abbey", "terrace", "orchard"]);
    let troubles = status["troubles"].to_string();
    assert!(
        troubles.contains("b.toml:2:8: name must be text in quotes"),
        "{troubles}"
    );
    write(&home, "b.toml", &garden("orchard"));
    let c: PathBuf = home.path("gardens/c.toml");
    fs::remove_file(c).unwrap();
    daemon.signal("HUP");
    let status = daemon.status_with(|status| gardens(status) == ["abbey", "orchard"]);
    assert_eq!(
        status["troubles"].as_array().map(Vec::len),
        Some(0),
        "{status}"
    );
    daemon.signal("TERM");
    assert_eq!(code(daemon.ended().0), 0);
}

fn gardens(status: &serde_json::Value) -> Vec<&str> {
    let gardens = status["gardens"].as_array().into_iter().flatten();
    gardens
        .filter_map(|garden| garden["name"].as_str())
        .collect()
}

#[test]
fn the_example_has_two_gardens_and_no_fault() {
    let file = project().join("config/folder.example/garden.toml");
    let settings = Settings::read(&file).unwrap();
    assert_eq!(names(&settings), ["terrace", "weir-meadow"]);
    assert_eq!((settings.left_out, settings.warnings), (vec![], vec![]));
}

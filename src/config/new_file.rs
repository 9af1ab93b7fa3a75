//! The first settings file of a garden, with a word on every line that may be changed.

use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use thiserror::Error;

use super::slug::slug;
use super::{CYCLE, LISTEN, STORE, TOLERANCE};
use crate::garden::Zone;
use crate::locale::{DateStyle, Locale};
use crate::units::{Metres, UnitSystem};

/// Metres in a foot, by definition.
const FOOT: f64 = 0.3048;

/// What is known of a garden when its file is first written.
#[derive(Debug, Clone)]
pub struct NewGarden {
    /// The name as people say it.
    pub title: String,
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// The zone that was found for it.
    pub zone: Zone,
    /// Its height, where it was found.
    pub elevation: Option<Metres>,
    /// How the keeper reads.
    pub locale: Locale,
    /// The keeper's mail address.
    pub mail: String,
    /// What grows in it.
    pub plants: Vec<NewPlant>,
    /// The folder of the store and the mails, where it is not that of the file.
    pub state: Option<PathBuf>,
}

/// A plant of a new garden.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewPlant {
    /// Its kind in the almanac.
    pub kind: String,
    /// What the keeper calls it.
    pub name: String,
}

/// A new file that could not be written.
#[derive(Debug, Error)]
pub enum NewFileError {
    /// There is one already; it was not touched.
    #[error("{0} is there already and was left as it is")]
    Exists(PathBuf),
    /// The folder cannot be written to.
    #[error("cannot write {file}: {source}")]
    Unwritable {
        /// The file.
        file: PathBuf,
        /// Why.
        source: io::Error,
    },
}

/// The text of a settings file for a new garden.
pub fn new_file(answers: &NewGarden) -> String {
    let plants: String = named(&answers.plants).map(plant).collect();
    let plants = if plants.is_empty() { NO_PLANT } else { &plants };
    let program = program_part(answers);
    let garden = garden_part(answers);
    format!("{program}{garden}{SPOT_PART}{plants}{CUTS_PART}")
}

/// Writes a new file whole or not at all, and never over one that is there.
///
/// # Errors
/// When there is one, or the folder cannot be written to.
pub fn write_new(file: &Path, text: &str) -> Result<(), NewFileError> {
    let error = |source: io::Error| {
        let file = file.to_owned();
        if source.kind() == io::ErrorKind::AlreadyExists {
            NewFileError::Exists(file)
        } else {
            NewFileError::Unwritable { file, source }
        }
    };
    let mut open = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(file)
        .map_err(error)?;
    open.write_all(text.as_bytes())
        .and_then(|()| open.sync_all())
        .map_err(|source| {
            // Half a file would bar the way of the next try; what cannot be removed is told by that one.
            fs::remove_file(file).ok();
            error(source)
        })
}

fn program_part(answers: &NewGarden) -> String {
    let mail = quoted(&answers.mail);
    let state = answers.state.as_deref();
    let language = answers.locale.language.tag();
    let in_state = |name: &str| {
        let path = state.map_or_else(|| PathBuf::from(name), |state| state.join(name));
        quoted(&path.display().to_string())
    };
    let (mails, store) = (in_state("mail-out"), in_state(STORE));
    format!(
        "\
# Settings of budward. A line that begins with # is a note; the program passes over it.
# To use a line that is switched off, take its # away. Text stands in \"quotes\", numbers do not.

# \"en\" for English, \"de\" for German: the language of pages and letters; a garden may have its own.
language = \"{language}\"

[mail]
# The sender of the mails.
from = {mail}
# For a start every mail becomes a file in this folder, so that you can look at it.
folder = {mails}
# To have them sent, put # before the line above, and fill in your mail provider's server instead:
# [mail.smtp]
# host = \"mail.example.org\"
# security = \"starttls\"            # or \"tls\"; your provider says which
# user = \"garden@example.org\"
# password_file = \"smtp-password\"  # a file that holds the password and nothing else; chmod 600 it

[weather]
# The free weather services want to know whom to write to if something goes wrong.
contact = {mail}

[schedule]
# When the weather is looked at, by the garden's own clock: minute, hour, day, month, day of the week.
cycle = \"{CYCLE}\"

[web]
# Where your browser finds the page. This address is for this machine alone.
listen = \"{LISTEN}\"

[store]
# Where the program keeps what it has seen and said.
file = {store}
"
    )
}

fn garden_part(answers: &NewGarden) -> String {
    let locale = answers.locale;
    let units = match locale.units {
        UnitSystem::Metric => "metric",
        UnitSystem::Us => "us",
    };
    let dates = match locale.dates {
        DateStyle::DayMonth => "day-month",
        DateStyle::MonthDay => "month-day",
        DateStyle::YearMonthDay => "year-month-day",
    };
    let elevation = answers.elevation.map_or_else(
        || "# elevation = \"143 m\"   # height above the sea, if you know it".to_owned(),
        |height| {
            let height = in_units(height, locale.units);
            format!("# Height above the sea.\nelevation = \"{height}\"")
        },
    );
    format!(
        "
[[garden]]
# A short name for addresses (small letters, digits, hyphens), and the name that people say.
name = \"garden\"
title = {title}
# Degrees north and east; south and west are below 0.
latitude = {latitude}
longitude = {longitude}
{elevation}
# The clock by which the garden lives.
time_zone = {zone}
# \"us\" for °F, inches and feet; \"metric\" for °C, millimetres and metres.
units = \"{units}\"
# How dates are written: \"day-month\" (12 April), \"month-day\" (April 12) or \"year-month-day\" (2027-04-12).
dates = \"{dates}\"
# How many ways in 100 may end with frost on a fresh cut before you would rather wait: 1 (careful) to 50 (bold).
tolerance = {TOLERANCE}
# Who gets the mails.
mail_to = {mail}
# A sentence that you want to see under every mail:
# remark = \"Key to the shed: ask at the desk.\"
",
        title = quoted(&on_one_line(&answers.title)),
        latitude = answers.latitude,
        longitude = answers.longitude,
        zone = quoted(answers.zone.name()),
        mail = quoted(&answers.mail),
    )
}

const SPOT_PART: &str = "
# Spots that are colder or warmer than the rest of the garden on clear nights. Give a plant a spot by its name.
# [[garden.spot]]
# name = \"frost pocket\"
# offset = \"-2 K\"    # 2 degrees Celsius colder; \"-4 F\" is 4 degrees Fahrenheit colder
# doubt = \"1 K\"      # how sure that is; a thermometer on the spot makes it small
";

const NO_PLANT: &str = "
# What grows in it. The name is yours, the kind is one of the almanac.
# [[garden.plant]]
# name = \"box edging\"
# kind = \"boxwood\"
";

const CUTS_PART: &str = "
# All cuts that a kind takes are watched. To watch some only, or to name the day that you would like, list them below
# their plant:
# [[garden.plant.cut]]
# cut = \"thinning-cut\"
# wished = 2027-04-10
";

fn plant((name, kind): (String, &str)) -> String {
    let (name, kind) = (quoted(&name), quoted(kind));
    format!("\n[[garden.plant]]\nname = {name}\nkind = {kind}\n")
}

/// The plants with names that differ, numbered where they would not.
fn named(plants: &[NewPlant]) -> impl Iterator<Item = (String, &str)> {
    let mut taken: Vec<String> = Vec::new();
    plants.iter().map(move |plant| {
        let written = on_one_line(&plant.name);
        let name = if slug(&written).is_empty() {
            plant.kind.clone()
        } else {
            written
        };
        let numbered = (2..).map(|n| format!("{name} {n}"));
        let mut candidates = std::iter::once(name.clone()).chain(numbered);
        let free = candidates.find(|name| !taken.contains(&slug(name)));
        let name = free.unwrap_or(name);
        taken.push(slug(&name));
        (name, plant.kind.as_str())
    })
}

fn on_one_line(text: &str) -> String {
    text.replace(char::is_control, " ").trim().to_owned()
}

fn in_units(height: Metres, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{:.0} m", height.0),
        UnitSystem::Us => format!("{:.0} ft", height.0 / FOOT),
    }
}

/// Text as the file format wants it, whatever is in it.
fn quoted(text: &str) -> String {
    toml::Value::from(text).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_is_there_stays_as_it_is() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("garden.toml");
        write_new(&file, "mine").unwrap();
        let error = write_new(&file, "yours").unwrap_err();
        assert!(matches!(error, NewFileError::Exists(_)), "{error}");
        assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
    }

    #[test]
    fn a_folder_that_is_not_there_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let error = write_new(&folder.path().join("no/garden.toml"), "x").unwrap_err();
        assert!(matches!(error, NewFileError::Unwritable { .. }), "{error}");
    }
}

//! `setup`: a place, a mail address and some plants become a garden file.

use std::io::{BufRead, IsTerminal, Write};
use std::path::PathBuf;
use std::str::FromStr;
use std::time::Duration;

use clap::Args;

use super::Exit;
use super::board::print_wrapped;
use super::spoken::Spoken;
use crate::almanac::{self, Almanac};
use crate::config::{NewGarden, NewPlant, Settings, find_zone, new_file, write_new};
use crate::daemon::{Clock, House};
use crate::garden::{Place, Zone};
use crate::locale::Locale;
use crate::message::Message;
use crate::store::Store;
use crate::units::{Metres, UnitSystem};
use crate::weather::Fetcher;

const ELEVATION_URL: &str = "https://api.open-meteo.com/v1/elevation";
const PATIENCE: Duration = Duration::from_secs(20);

/// Set a place once: write a garden file from a position, a mail address and some plants.
///
/// What is not given is asked for, if this is a terminal. An existing file is never overwritten.
#[derive(Debug, Clone, Args)]
pub(super) struct SetupArgs {
    /// Degrees north and east, such as 38.74,-85.38.
    #[arg(long, value_name = "LATITUDE,LONGITUDE", allow_hyphen_values = true)]
    at: Option<Position>,
    /// Where mails go.
    #[arg(long, value_name = "ADDRESS")]
    mail: Option<String>,
    /// A plant by kind, with your own name for it if you like, such as boxwood or "boxwood=box edging"; repeat it.
    #[arg(long = "plant", value_name = "KIND[=NAME]")]
    plants: Vec<String>,
    /// The garden's name as people say it.
    #[arg(long, value_name = "TITLE")]
    title: Option<String>,
    /// The units to read: us or metric; the country's own when not given.
    #[arg(long, value_name = "UNITS")]
    units: Option<Units>,
    /// The language of pages and letters.
    #[arg(long, value_enum, value_name = "LANGUAGE", default_value = "en")]
    language: Spoken,
    /// The file to write.
    #[arg(
        short,
        long,
        value_name = "FILE",
        env = "BUDWARD_CONFIG",
        default_value = "garden.toml"
    )]
    config: PathBuf,
    /// The folder of the store and of the mails; that of the file if left out.
    #[arg(long, value_name = "FOLDER")]
    state: Option<PathBuf>,
    /// The service that is asked for the height of the place.
    #[arg(long, value_name = "URL", default_value = ELEVATION_URL)]
    elevation_url: String,
    /// Ask nobody for the height.
    #[arg(long)]
    offline: bool,
    /// Send a test mail by the route of the new file.
    #[arg(long)]
    test_mail: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Position {
    latitude: f64,
    longitude: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Units {
    Us,
    Metric,
}

impl FromStr for Position {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || {
            format!(
                "\"{text}\" is not a position; write degrees north and east, such as 38.74,-85.38"
            )
        };
        let (latitude, longitude) = text.split_once(',').ok_or_else(wrong)?;
        let number = |part: &str| part.trim().parse::<f64>().map_err(|_| wrong());
        let position = Self {
            latitude: number(latitude)?,
            longitude: number(longitude)?,
        };
        Place::new(position.latitude, position.longitude, None, Zone::utc())
            .map_err(|error| error.to_string())?;
        Ok(position)
    }
}

pub(super) async fn setup(args: SetupArgs) -> anyhow::Result<()> {
    let almanac = almanac::embedded()?;
    let mut out = std::io::stdout();
    if args.config.exists() {
        let what = args.config.display();
        let text =
            format!("{what} is there already and is not overwritten; name another with --config");
        return Err(Exit::Usage(text).into());
    }
    let garden = answers(&mut out, &args, &almanac).await?;
    let text = new_file(&garden);
    let settings = Settings::parse(&text, &args.config, &almanac, &|_| None)?;
    write_new(&args.config, &text)?;
    tell(&mut out, &garden, &args)?;
    if args.test_mail {
        send_test(&mut out, settings).await
    } else {
        Ok(())
    }
}

/// What the file needs to know: from the flags, from the keeper at the terminal, or found.
async fn answers(
    out: &mut impl Write,
    args: &SetupArgs,
    almanac: &Almanac,
) -> anyhow::Result<NewGarden> {
    let position = match args.at {
        Some(position) => position,
        None => ask(
            out,
            "Where is it? Degrees north and east, such as 38.74,-85.38",
            "--at",
            str::parse,
        )?,
    };
    let mail = match &args.mail {
        Some(mail) => mail.clone(),
        None => ask(out, "Where shall mails go?", "--mail", |text| {
            Ok(text.to_owned())
        })?,
    };
    let plants = if args.plants.is_empty() {
        let question = "Which plants? Kinds, with commas between, such as boxwood, lilac";
        ask(out, question, "--plant", |text| {
            find_plants(text.split(','), almanac)
        })?
    } else {
        find_plants(args.plants.iter().map(String::as_str), almanac).map_err(Exit::Usage)?
    };
    let Position {
        latitude,
        longitude,
    } = position;
    let zone = find_zone(latitude, longitude)
        .ok_or_else(|| Exit::Usage("no time zone is known for that place".to_owned()))?;
    let place = Place::new(latitude, longitude, None, zone.clone())?;
    let elevation = if args.offline {
        None
    } else {
        height(out, &args.elevation_url, &mail, &place).await?
    };
    let units = match args.units {
        Some(Units::Us) => UnitSystem::Us,
        Some(Units::Metric) => UnitSystem::Metric,
        None => usual_units(&zone),
    };
    let locale = Locale::new(args.language.language(), units);
    let title = args.title.clone().unwrap_or_else(|| "My garden".to_owned());
    Ok(NewGarden {
        title,
        latitude,
        longitude,
        zone,
        elevation,
        locale,
        mail,
        plants,
        state: args.state.clone(),
    })
}

/// Asks at the terminal until the answer can be used; elsewhere the flag is required.
fn ask<T>(
    out: &mut impl Write,
    question: &str,
    flag: &str,
    read: impl Fn(&str) -> Result<T, String>,
) -> anyhow::Result<T> {
    if !std::io::stdin().is_terminal() {
        return Err(Exit::Usage(format!(
            "{flag} is missing, and this is no terminal to ask at"
        ))
        .into());
    }
    let mut lines = std::io::stdin().lock().lines();
    loop {
        write!(out, "{question}: ")?;
        out.flush()?;
        let Some(answer) = lines.next() else {
            return Err(Exit::Usage(format!("{flag} is missing and was not answered")).into());
        };
        match read(answer?.trim()) {
            Ok(answer) => return Ok(answer),
            Err(problem) => writeln!(out, "{problem}")?,
        }
    }
}

/// The plants that were named, each found in the almanac.
fn find_plants<'a>(
    written: impl Iterator<Item = &'a str>,
    almanac: &Almanac,
) -> Result<Vec<NewPlant>, String> {
    let written = written.map(str::trim).filter(|one| !one.is_empty());
    let plants: Vec<NewPlant> = written
        .map(|one| find_plant(one, almanac))
        .collect::<Result<_, _>>()?;
    if plants.is_empty() {
        Err("name at least one plant".to_owned())
    } else {
        Ok(plants)
    }
}

fn find_plant(written: &str, almanac: &Almanac) -> Result<NewPlant, String> {
    let (kind, name) = written
        .split_once('=')
        .map_or((written, None), |(kind, name)| (kind, Some(name)));
    let hits = almanac.search(kind);
    let exact = almanac.kind(kind.trim());
    let by_name = hits.iter().copied().filter(|hit| hit.is_called(kind));
    match (exact, by_name.collect::<Vec<_>>().as_slice()) {
        (Some(one), _) | (None, &[one]) => Ok(NewPlant {
            kind: one.id.clone(),
            name: name.unwrap_or_else(|| one.called(kind)).trim().to_owned(),
        }),
        (None, _) => {
            let near: Vec<&str> = hits.iter().take(4).map(|hit| hit.id.as_str()).collect();
            let near = if near.is_empty() {
                let all: Vec<&str> = almanac.kinds.iter().map(|kind| kind.id.as_str()).collect();
                format!("known kinds: {}", all.join(", "))
            } else {
                format!("nearest: {}", near.join(", "))
            };
            Err(format!(
                "\"{}\" is not a kind in the almanac; {near}",
                kind.trim()
            ))
        }
    }
}

/// The height of the place, if the service tells it.
async fn height(
    out: &mut impl Write,
    url: &str,
    contact: &str,
    place: &Place,
) -> anyhow::Result<Option<Metres>> {
    let found = match Fetcher::new(contact, PATIENCE) {
        Ok(fetcher) => fetcher.elevation(url, place, Clock::system().now()).await,
        Err(error) => Err(error),
    };
    match found {
        Ok(height) => Ok(Some(height)),
        Err(error) => {
            let text = format!(
                "The height of the place was not found ({error}); write it into the file if you know it."
            );
            print_wrapped(out, &text, 0)?;
            Ok(None)
        }
    }
}

/// The units that are usual where that zone is.
fn usual_units(zone: &Zone) -> UnitSystem {
    const US: [&str; 8] = [
        "New_York",
        "Chicago",
        "Denver",
        "Los_Angeles",
        "Phoenix",
        "Anchorage",
        "Detroit",
        "Boise",
    ];
    const US_PARTS: [&str; 3] = [
        "America/Indiana/",
        "America/Kentucky/",
        "America/North_Dakota/",
    ];
    let name = zone.name();
    let is_us = US.iter().any(|city| name == format!("America/{city}"))
        || US_PARTS.iter().any(|part| name.starts_with(part))
        || name == "Pacific/Honolulu";
    if is_us {
        UnitSystem::Us
    } else {
        UnitSystem::Metric
    }
}

fn tell(out: &mut impl Write, garden: &NewGarden, args: &SetupArgs) -> std::io::Result<()> {
    let file = args.config.display();
    writeln!(out, "{file} is written.")?;
    writeln!(out, "  time zone  {}", garden.zone.name())?;
    let height = garden.elevation.map_or_else(
        || "not known".to_owned(),
        |height| garden.locale.length(height),
    );
    writeln!(out, "  height     {height}")?;
    let plants: Vec<String> = garden
        .plants
        .iter()
        .map(|plant| format!("{} ({})", plant.name, plant.kind))
        .collect();
    writeln!(out, "  plants     {}", plants.join(", "))?;
    let text = "Without a thermometer of your own in the garden its frost is known to about 1 K, and the safe day to \
                about a week. A corner that you know to be colder can be written down as a spot with its offset.";
    print_wrapped(out, text, 0)?;
    writeln!(
        out,
        "Next: budward check --config {file}, then budward run --config {file}"
    )
}

async fn send_test(out: &mut impl Write, settings: Settings) -> anyhow::Result<()> {
    let house = House::open(settings, Store::in_memory()?, Clock::system())?;
    let now = house.clock.now();
    for garden in house.gardens() {
        for to in &garden.garden.mail_to {
            let message = Message::test(&garden.garden, to, garden.garden.place.zone.date(now));
            let sent = house.postman.send(&message, now).await?;
            writeln!(out, "Test mail to {to}: {}", sent.reply)?;
        }
    }
    Ok(())
}

//! `demo` shows it all on invented gardens: no file is needed and no service is asked.

use std::io::Write;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::Context;
use chrono::{DateTime, Utc};
use clap::Args;
use tokio::sync::watch;
use tokio_util::sync::CancellationToken;

use super::Exit;
use super::board::{self, Colour};
use super::invented::Invented;
use super::spoken::Spoken;
use crate::climate::PastYears;
use crate::config::Settings;
use crate::daemon::{Clock, House};
use crate::forecast::Several;
use crate::look::Weather;
use crate::store::Store;
use crate::web::{self, Door, Parts};

/// The garden file of the demo, built in.
const GARDENS: &str = include_str!("../../config/demo.toml");

/// The moment at which the demo stands unless told otherwise: hedges look ragged, nights are still cold.
const MOMENT: &str = "2027-03-24T13:00:00Z";

/// Show it all on two invented gardens with invented weather: board, page on loopback, mails as files.
#[derive(Debug, Clone, Args)]
pub(super) struct DemoArgs {
    /// End after the first cycle instead of serving the page until interrupted.
    #[arg(long)]
    exit: bool,
    /// The moment that the demo plays at.
    #[arg(long, value_name = "RFC3339", default_value = MOMENT)]
    at: DateTime<Utc>,
    /// Where the page listens; port 0 takes any free one.
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1:8086")]
    listen: SocketAddr,
    /// The language of the gardens.
    #[arg(long, value_enum, value_name = "LANGUAGE", default_value = "en")]
    language: Spoken,
    /// Where the mails are written; a new folder for temporary files when not given.
    #[arg(long, value_name = "FOLDER")]
    mails: Option<PathBuf>,
}

pub(super) async fn demo(args: DemoArgs) -> anyhow::Result<()> {
    let folder = mail_folder(&args)?;
    let house = open(&args, &folder)?;
    for (garden, climate) in house.gardens().to_vec().iter().zip(CLIMATES) {
        let place = &garden.garden.place;
        let record = climate
            .record(place.zone.date(args.at))
            .context("cannot invent a record")?;
        let forecast = climate.forecast(args.at, &place.zone);
        house
            .judge(
                garden,
                Weather {
                    past: Some(Arc::new(PastYears::of(record))),
                    forecasts: Several::only(Some(forecast)),
                    ..Weather::default()
                },
                args.at,
            )
            .await?;
    }
    let stop = CancellationToken::new();
    let sent = house.deliver(&stop).await?;
    let snapshot = house.snapshot().await?;
    let mut out = std::io::stdout();
    board::print(&mut out, &snapshot.gardens, Colour::of_stdout())?;
    writeln!(out, "\n{sent} mails written to {}", folder.display())?;
    let listener = match web::listen(args.listen).await {
        Ok(listener) => listener,
        // Another program on the usual port is no reason to show nothing.
        Err(_) => web::listen(SocketAddr::new(args.listen.ip(), 0)).await?,
    };
    let (_publish, newest) = watch::channel(snapshot);
    let site = web::site(Parts {
        snapshot: newest,
        almanac: house.almanac(),
        answers: None,
        readings: None,
        door: Door::open(args.listen),
        now: house.clock.teller(),
    });
    writeln!(out, "The page: http://{}/", listener.local_addr()?)?;
    if args.exit {
        stop.cancel();
    } else {
        writeln!(out, "Ctrl-C ends the demo.")?;
        end_on_interrupt(stop.clone());
    }
    web::serve(listener, site, stop).await;
    Ok(())
}

fn end_on_interrupt(stop: CancellationToken) {
    tokio::spawn(async move {
        if let Err(problem) = tokio::signal::ctrl_c().await {
            tracing::error!(error = %problem, "cannot listen for an interrupt");
        }
        stop.cancel();
    });
}

/// The demo's house: its gardens, a store in memory, mails as files.
fn open(args: &DemoArgs, folder: &Path) -> anyhow::Result<House> {
    let gardens = GARDENS.replace("MAIL_FOLDER", &folder.display().to_string());
    let language = toml::Value::from(args.language.language().tag());
    let text = format!("language = {language}\n{gardens}");
    let almanac = crate::almanac::embedded()?;
    let settings = Settings::parse(&text, Path::new("demo.toml"), &almanac, &|_| None)?;
    Ok(House::open(
        settings,
        Store::in_memory()?,
        Clock::from(args.at),
    )?)
}

/// A folder for the mails: the one that was named, or a new one of this run.
fn mail_folder(args: &DemoArgs) -> Result<PathBuf, Exit> {
    let folder = args.mails.clone().unwrap_or_else(|| {
        std::env::temp_dir().join(format!("budward-demo-{}", std::process::id()))
    });
    let failed = |source| Exit::Write {
        what: folder.display().to_string(),
        source,
    };
    std::fs::create_dir_all(&folder).map_err(failed)?;
    Ok(folder)
}

/// The invented climates of the demo's gardens, in the order of its file.
const CLIMATES: [Invented; 2] = [
    Invented {
        night_mean: 6.5,
        half_range: 11.5,
        day_over_night: 12.0,
        spread: 4.2,
        seed: 1827,
    },
    Invented {
        night_mean: 4.5,
        half_range: 8.5,
        day_over_night: 9.5,
        spread: 3.6,
        seed: 2041,
    },
];

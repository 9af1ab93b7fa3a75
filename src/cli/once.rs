//! `once` prints the board of a moment.

use std::io::Write;
use std::path::Path;
use std::sync::Arc;

use anyhow::Context;
use chrono::{DateTime, Utc};
use clap::Args;

use super::board::{self, Colour};
use super::progress::past_years;
use super::{FileArgs, MomentArgs};
use crate::config::Settings;
use crate::daemon::{Clock, House, Reach, look, store_at};
use crate::store::Store;
use crate::web::{Board, GardenSnapshot};

/// Print the board for now or another moment; tells nobody and remembers nothing of it.
#[derive(Debug, Clone, Args)]
pub(super) struct OnceArgs {
    #[command(flatten)]
    file: FileArgs,
    #[command(flatten)]
    moment: MomentArgs,
    /// As JSON, temperatures in °C.
    #[arg(long)]
    json: bool,
}

pub(super) async fn once(args: &OnceArgs) -> anyhow::Result<()> {
    let (house, now, reach) = open(&args.file.config, args.moment.at)?;
    let mut boards = Vec::new();
    for garden in house.gardens() {
        let weather = house.gather(garden, now, reach).await?;
        let seen = look(garden, &weather, now);
        let board = Board {
            verdicts: seen.verdicts,
            skills: seen.skills,
            watches: seen.watches,
            sources: house.source_states(garden).await?,
            ..Board::default()
        };
        let shown = GardenSnapshot::of(&garden.garden, board, Some(now), None);
        boards.push(Arc::new(shown));
    }
    let mut out = std::io::stdout().lock();
    if args.json {
        serde_json::to_writer_pretty(&mut out, &boards)?;
        writeln!(out)?;
    } else {
        board::print(&mut out, &boards, Colour::of_stdout())?;
    }
    Ok(())
}

/// The house of a garden file, the moment in question, and how far to reach for its weather.
pub(super) fn open(
    config: &Path,
    at: Option<DateTime<Utc>>,
) -> anyhow::Result<(House, DateTime<Utc>, Reach)> {
    let mut settings = Settings::read(config)?;
    let clock = at.map_or_else(Clock::system, Clock::standing);
    let now = clock.now();
    tell_warnings(&mut settings, now)?;
    let store = Store::open_at(&store_at(&settings.store))?;
    let reach = if at.is_some() {
        Reach::Here
    } else {
        Reach::Everywhere
    };
    let mut house = House::open(settings, store, clock).context("cannot start")?;
    house.progress = past_years();
    Ok((house, now, reach))
}

/// Writes into the log what is legal in the file and may not be meant.
pub(super) fn tell_warnings(settings: &mut Settings, now: DateTime<Utc>) -> anyhow::Result<()> {
    let wishes = settings.check_wishes(now.date_naive())?;
    for warning in settings.warnings.iter().chain(&wishes) {
        tracing::warn!("{warning}");
    }
    Ok(())
}

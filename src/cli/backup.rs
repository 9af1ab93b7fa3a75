//! `backup` copies the store to a file; `restore` puts a copy in its place.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;

use super::FileArgs;
use crate::config::Settings;
use crate::daemon::Clock;
use crate::store::{Place, Store, StoreError, StoreLock};

/// Copy the store to a file, also while the daemon runs. The copy is checked; a file that is there is never written over.
#[derive(Debug, Clone, Args)]
pub(super) struct BackupArgs {
    /// The file to write. It has the key of the links in it: keep it as private as the store.
    #[arg(value_name = "FILE")]
    to: PathBuf,
    #[command(flatten)]
    file: FileArgs,
    /// As JSON.
    #[arg(long)]
    json: bool,
}

/// Put a copy in place of the store. The copy is checked first, the store that was there is kept under another name.
#[derive(Debug, Clone, Args)]
pub(super) struct RestoreArgs {
    /// A copy: of `budward backup`, or one of the daily ones in the folder beside the store.
    #[arg(value_name = "FILE")]
    from: PathBuf,
    #[command(flatten)]
    file: FileArgs,
    /// As JSON.
    #[arg(long)]
    json: bool,
}

/// What was copied.
#[derive(Debug, Serialize)]
struct Copied<'a> {
    store: &'a Path,
    copy: &'a Path,
    bytes: u64,
}

/// What was restored.
#[derive(Debug, Serialize)]
struct PutBack<'a> {
    store: &'a Path,
    from: &'a Path,
    kept_as: Option<PathBuf>,
}

pub(super) fn backup(args: &BackupArgs) -> anyhow::Result<()> {
    let settings = Settings::read(&args.file.config)?;
    let store = file(&settings)?;
    Store::open(store)?.back_up(&args.to)?;
    let copied = Copied {
        store,
        copy: &args.to,
        bytes: std::fs::metadata(&args.to)?.len(),
    };
    let mut out = std::io::stdout().lock();
    if args.json {
        serde_json::to_writer_pretty(&mut out, &copied)?;
        writeln!(out)?;
    } else {
        let (store, copy) = (copied.store.display(), copied.copy.display());
        writeln!(
            out,
            "{store} is copied to {copy}: {} bytes, checked.",
            copied.bytes
        )?;
    }
    Ok(())
}

/// The file of the store; of a database there is none, and its own tools copy it.
fn file(settings: &Settings) -> Result<&Path, StoreError> {
    settings.store.file().ok_or(StoreError::NoFile)
}

pub(super) fn restore(args: &RestoreArgs) -> anyhow::Result<()> {
    let settings = Settings::read(&args.file.config)?;
    let store = file(&settings)?;
    let lock = StoreLock::take(store)?;
    let gardens: Vec<String> = settings
        .gardens
        .iter()
        .map(|garden| garden.garden.name.clone())
        .collect();
    let place = Place {
        at: Clock::system().now(),
        gardens: &gardens,
    };
    let back = PutBack {
        store,
        from: &args.from,
        kept_as: Store::restore(&lock, &args.from, &place)?,
    };
    let mut out = std::io::stdout().lock();
    if args.json {
        serde_json::to_writer_pretty(&mut out, &back)?;
        writeln!(out)?;
        return Ok(());
    }
    let (store, from) = (back.store.display(), back.from.display());
    writeln!(out, "{from} is in the place of {store}, checked.")?;
    if let Some(kept) = &back.kept_as {
        writeln!(out, "The store before is kept as {}.", kept.display())?;
    }
    writeln!(
        out,
        "What the copy does not know counts as told; the next look writes one letter on how all stands."
    )?;
    Ok(())
}

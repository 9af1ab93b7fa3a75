//! The gardens' own thermometers: readings in from files and posts, what they teach, and the alarm of a cold moment.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, BufRead, BufReader, Read, Seek, SeekFrom};
use std::path::Path;
use std::sync::Arc;

use chrono::{DateTime, TimeDelta, Utc};
use tokio::sync::mpsc;
use tokio_util::sync::CancellationToken;
use tracing::{error, info, warn};

use super::{DaemonError, House, Reach, look};
use crate::config::{GardenSettings, StationFile};
use crate::message::{Beside, Message};
use crate::notice::{Alarm, Matter, Moment, SaidAfter, Shown, below};
use crate::store::chain;
use crate::store::{Kept, Store, ToldAfter};
use crate::thermometer::{Reading, Refusal, admit, whole_lines};
use crate::units::Celsius;
use crate::web::{Posted, Receipt, Slot};

/// So much of a station's file is read at a time; the rest the next time.
const PIECE_MAX: u64 = 1 << 20;

/// A line that names the columns is not longer.
const HEADER_MAX: u64 = 64 * 1024;

/// Nothing tender is damaged above this (the highest damaging temperature that the almanac allows).
const DAMAGE_MAX: Celsius = Celsius::new(5.0);

/// While it is cold the watches are held against the thermometer so often (estimate).
const LOOK_EVERY: TimeDelta = TimeDelta::minutes(15);

/// When each garden's thermometer was last held against its watches.
pub type LastLooks = BTreeMap<String, DateTime<Utc>>;

/// A piece of a file: its first line, what follows a place in it, and where the whole lines of that end.
struct Piece {
    first_line: String,
    lines: String,
    end: u64,
}

impl House {
    /// The gardens that take posts.
    pub(super) fn slots(&self) -> Vec<Slot> {
        let slot = |garden: &Arc<GardenSettings>| {
            Some(Slot {
                garden: garden.garden.name.clone(),
                token: garden.thermometer.as_ref()?.token.clone()?,
            })
        };
        self.gardens().iter().filter_map(slot).collect()
    }

    /// Keeps readings that were posted, until `stop` is cancelled; one that is being kept is finished.
    pub(super) async fn take_posts(
        self,
        mut inbox: mpsc::Receiver<Posted>,
        stop: CancellationToken,
    ) {
        loop {
            let posted = tokio::select! {
                posted = inbox.recv() => posted,
                () = stop.cancelled() => None,
            };
            let Some(posted) = posted else { return };
            match self.keep(&posted.garden, posted.given).await {
                Ok(kept) => {
                    let receipt = Receipt {
                        kept: kept.new,
                        known: kept.known,
                        refused: kept.refused,
                    };
                    if posted.answer.send(receipt).is_err() {
                        warn!(garden = posted.garden, "whoever posted readings has gone");
                    }
                }
                Err(problem) => error!(error = chain(&problem), "readings not kept"),
            }
        }
    }

    /// Takes in what the station of a garden has written since the last time.
    ///
    /// # Errors
    /// Only when the store fails; a file that cannot be read is told in the log.
    pub async fn read_station(&self, garden: &GardenSettings) -> Result<(), DaemonError> {
        let settings = garden.thermometer.as_ref();
        let Some(station) = settings.and_then(|settings| settings.station.as_ref()) else {
            return Ok(());
        };
        let name = garden.garden.name.clone();
        let file = station.path.display().to_string();
        let (key, path) = (name.clone(), file.clone());
        let (done, last) = self
            .keeper
            .recall(move |store| Ok((store.station_file(&key, &path)?, store.last_reading(&key)?)))
            .await?;
        let path = station.path.clone();
        let piece = tokio::task::spawn_blocking(move || piece(&path, done.unwrap_or(0)));
        let piece = match piece.await.map_err(DaemonError::Task)? {
            Ok(piece) => piece,
            Err(problem) => {
                warn!(garden = name, file, error = %problem, "the station's file cannot be read");
                return Ok(());
            }
        };
        let Some(given) = given(station, &piece, last, &name) else {
            return Ok(());
        };
        if given.is_empty() && Some(piece.end) == done {
            return Ok(());
        }
        self.keep(&name, given).await?;
        self.keeper
            .with(move |store| store.note_station_file(&name, &file, piece.end))
            .await
    }

    async fn keep(
        &self,
        garden: &str,
        given: Vec<Result<Reading, Refusal>>,
    ) -> Result<Kept, DaemonError> {
        let now = self.clock.now();
        let admitted = admit(given, now);
        let name = garden.to_owned();
        let kept = self
            .keeper
            .with(move |store| store.keep_readings(&name, &admitted, now))
            .await?;
        if kept.refused.total() > 0 {
            warn!(garden, refused = %kept.refused, "readings refused");
        }
        if kept.new > 0 {
            info!(garden, new = kept.new, known = kept.known, "readings kept");
        }
        Ok(kept)
    }

    /// Tells the keeper when the thermometer shows what damages a plant under watch now.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn watch_thermometer(
        &self,
        garden: &GardenSettings,
        looks: &mut LastLooks,
    ) -> Result<(), DaemonError> {
        if garden.thermometer.is_none() {
            return Ok(());
        }
        self.read_station(garden).await?;
        let (now, name) = (self.clock.now(), garden.garden.name.clone());
        let key = name.clone();
        let last: Option<Reading> = self
            .keeper
            .recall(move |store| store.last_reading(&key))
            .await?;
        let is_soon = looks.get(&name).is_some_and(|at| now - *at < LOOK_EVERY);
        let Some(reading) = last.filter(|last| last.temperature <= DAMAGE_MAX && !is_soon) else {
            return Ok(());
        };
        looks.insert(name.clone(), now);
        let told = self.below_now(garden, reading, now).await?;
        let key = name.clone();
        let tell =
            move |store: &mut Store| told.map_or(Ok(()), |told| store.tell_after(&key, now, &told));
        let noted = self.keeper.with(tell).await;
        self.touched.note(&name);
        noted
    }

    /// What there is to say of a reading.
    async fn below_now(
        &self,
        garden: &GardenSettings,
        reading: Reading,
        now: DateTime<Utc>,
    ) -> Result<Option<ToldAfter>, DaemonError> {
        let weather = self.gather(garden, now, Reach::Here).await?;
        if weather.deeds.is_empty() {
            return Ok(None);
        }
        let settings = garden.clone();
        let seen = tokio::task::spawn_blocking(move || look(&settings, &weather, now))
            .await
            .map_err(DaemonError::Task)?;
        // A spike or a stuck sensor does not wake anybody: only a last reading that was believed counts.
        let Some(own) = seen.thermometer.filter(|own| own.last == Some(reading)) else {
            return Ok(None);
        };
        let Some(since) = seen.watches.iter().map(|watch| watch.deed.on).min() else {
            return Ok(None);
        };
        let name = garden.garden.name.clone();
        let said: Vec<SaidAfter> = self
            .keeper
            .recall(move |store| store.said_after(&name, since))
            .await?;
        let zone = &garden.garden.place.zone;
        let moment = Moment {
            now,
            next: self.settings.schedule.next_after(now, zone),
            zone,
        };
        let shown = Shown {
            reading,
            offset: own.own.offset,
            garden: seen.garden.as_ref().unwrap_or(&garden.garden),
        };
        let (night, below) = below(&seen.watches, &shown, &said, &moment);
        if below.is_empty() {
            return Ok(None);
        }
        let said = below
            .iter()
            .map(|below| SaidAfter::of(below.watch, Alarm::BelowNow, night))
            .collect();
        let matter = Matter::Below {
            plants: below,
            shown,
        };
        let beside = Beside {
            links: Some(&self.links),
            ..Beside::NOTHING
        };
        Ok(Some(ToldAfter {
            said,
            message: Message::letter(&[matter], &[], &garden.garden, now, &beside),
            until: Some(now + TimeDelta::hours(3)),
        }))
    }
}

/// The readings in a piece; none when its columns cannot be found, which the log says.
fn given(
    station: &StationFile,
    piece: &Piece,
    last: Option<Reading>,
    garden: &str,
) -> Option<Vec<Result<Reading, Refusal>>> {
    match station.layout.columns(&piece.first_line) {
        Ok(columns) => {
            let after = last.map(|last| last.at);
            let lines = if station.layout.header {
                piece.lines.strip_prefix(&piece.first_line)
            } else {
                None
            };
            let lines = lines.unwrap_or(&piece.lines);
            Some(station.layout.read(&columns, lines, after))
        }
        Err(error) => {
            let file = station.path.display();
            warn!(garden, %file, %error, "the station's file is not what [garden.thermometer] says");
            None
        }
    }
}

/// What stands in a file after so many bytes. A file that has become shorter is a new one and read from its begin.
fn piece(path: &Path, done: u64) -> io::Result<Piece> {
    let mut file = File::open(path)?;
    let length = file.metadata()?.len();
    let mut first_line = String::new();
    let mut first = Vec::new();
    BufReader::new(&mut file)
        .take(HEADER_MAX)
        .read_until(b'\n', &mut first)?;
    first_line.push_str(&String::from_utf8_lossy(&first));
    let start = if done > length { 0 } else { done };
    file.seek(SeekFrom::Start(start))?;
    let mut bytes = Vec::new();
    file.take(PIECE_MAX).read_to_end(&mut bytes)?;
    bytes.truncate(whole_lines(&bytes));
    let end = start + u64::try_from(bytes.len()).unwrap_or(0);
    Ok(Piece {
        first_line,
        lines: String::from_utf8_lossy(&bytes).into_owned(),
        end,
    })
}

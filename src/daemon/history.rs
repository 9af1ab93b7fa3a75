//! The record of past years: read from a file, or fetched from a service in pieces, kept, and extended day by day.

use std::fmt;
use std::sync::Arc;
use std::time::Duration;

use chrono::{DateTime, Days, Months, NaiveDate, TimeDelta, Utc};
use tracing::{info, warn};

use super::pasts::state_of;
use super::{DaemonError, House, Reach};
use crate::climate::{DailyRecord, PastYears};
use crate::config::{GardenSettings, HistorySettings};
use crate::store::Store;
use crate::store::chain;
use crate::weather::{ArchiveFrom, WeatherError};

/// A record is extended once a day; a look that comes a little early shall not wait for the next.
const EXTEND_EVERY: TimeDelta = TimeDelta::hours(20);

/// Years of one piece: a fraction of what the free service allows in a minute, and some seconds of waiting.
const PIECE: Months = Months::new(60);

/// The pause between two pieces.
const BREATH: Duration = Duration::from_secs(2);

/// The last days of a record are asked for again when it is extended: the archive replaces its preliminary days within
/// three months (ECMWF, ERA5 documentation: ERA5T).
const AGAIN: Days = Days::new(90);

/// Told how many pieces of a record have come, of how many.
#[derive(Clone)]
pub struct Progress(Arc<dyn Fn(usize, usize) + Send + Sync>);

impl Progress {
    /// Whatever shows it.
    pub fn of(show: impl Fn(usize, usize) + Send + Sync + 'static) -> Self {
        Self(Arc::new(show))
    }
}

impl Default for Progress {
    fn default() -> Self {
        Self::of(|_, _| ())
    }
}

impl fmt::Debug for Progress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Progress")
    }
}

/// A span of days, both ends included.
type Span = (NaiveDate, NaiveDate);

impl House {
    /// The past years of a garden's place, as far as they can be had.
    pub(super) async fn past(
        &self,
        garden: &GardenSettings,
        now: DateTime<Utc>,
        reach: Reach,
    ) -> Result<Option<Arc<PastYears>>, DaemonError> {
        let file = match &garden.history {
            HistorySettings::None => return Ok(None),
            HistorySettings::OpenMeteo { url, years, key } => {
                let from = ArchiveFrom {
                    url: url.clone(),
                    years: *years,
                    key: key.clone(),
                };
                return self.archive(garden, &from, (now, reach)).await;
            }
            HistorySettings::GhcnFile(file) | HistorySettings::ArchiveFile(file) => file,
        };
        let origin = format!("{:?}", garden.history);
        let state = state_of(&file.path).await;
        let known = state.as_ref();
        if let Some(past) = known.and_then(|state| self.pasts.find(&origin, state)) {
            return Ok(Some(past));
        }
        let read = self.read_past(&garden.history).await;
        let read = read.inspect_err(|error| no_record(garden, error)).ok();
        let state = state.unwrap_or_default();
        Ok(read
            .flatten()
            .map(|record| self.pasts.keep(&origin, &state, record)))
    }

    /// The record in a file; none where there is no file.
    async fn read_past(
        &self,
        history: &HistorySettings,
    ) -> Result<Option<DailyRecord>, WeatherError> {
        match history {
            HistorySettings::None | HistorySettings::OpenMeteo { .. } => Ok(None),
            HistorySettings::GhcnFile(file) => {
                let record = self.fetcher.station_file(&file.path).await?;
                Ok(Some(record.at(file.site)))
            }
            HistorySettings::ArchiveFile(file) => {
                let record = self.fetcher.archive_file(&file.path).await?;
                let site = file.site.or(record.site);
                Ok(Some(record.at(site)))
            }
        }
    }

    /// What the store has of an archive, after asking for what it lacks.
    async fn archive(
        &self,
        garden: &GardenSettings,
        from: &ArchiveFrom,
        (now, reach): (DateTime<Utc>, Reach),
    ) -> Result<Option<Arc<PastYears>>, DaemonError> {
        let place = &garden.garden.place;
        let question = from.question(place);
        let _turn = match reach {
            Reach::Everywhere => Some(self.pasts.turn(&question).await),
            Reach::Here => None,
        };
        let kept = self.kept_past(garden, &question).await?;
        let wanted = from.span(place.zone.date(now));
        let pieces = match &kept {
            _ if reach == Reach::Here => Vec::new(),
            Some((past, at)) if *at <= now && now - *at < EXTEND_EVERY => {
                before(past.record(), wanted)
            }
            Some((past, _)) => {
                let record = past.record();
                [since(record, wanted), before(record, wanted)].concat()
            }
            None => pieces(wanted),
        };
        let mut past = kept.map(|(past, _)| past);
        for (done, (first, last)) in pieces.iter().enumerate() {
            if done > 0 {
                tokio::time::sleep(BREATH).await;
            }
            self.progress.show(done, pieces.len());
            self.supervisor.alive();
            match self
                .fetcher
                .archive(from, place, (*first, *last), now)
                .await
            {
                Ok(piece) => {
                    let record = past.as_deref().map(PastYears::record);
                    let joined = joined(record, &piece, wanted);
                    self.keep_record(garden, &question, &joined, now).await?;
                    past = Some(self.pasts.keep(&question, &now.to_string(), joined));
                    let (done, of) = (done + 1, pieces.len());
                    info!(garden = garden.garden.name, done, of, %first, %last, "past years received");
                }
                Err(error) => {
                    no_record(garden, &error);
                    self.silence.hurry(garden, &error, now);
                    break;
                }
            }
        }
        if !pieces.is_empty() {
            self.progress.show(pieces.len(), pieces.len());
        }
        Ok(past)
    }

    /// The past years that the store has as the answer to a question, and when they were last added to.
    async fn kept_past(
        &self,
        garden: &GardenSettings,
        question: &str,
    ) -> Result<Option<(Arc<PastYears>, DateTime<Utc>)>, DaemonError> {
        let asked = (garden.garden.name.clone(), question.to_owned());
        let (name, key) = asked.clone();
        let added_at = move |store: &mut Store| store.record_added_at(&name, &key);
        let Some(at) = self.keeper.recall(added_at).await? else {
            return Ok(None);
        };
        if let Some(past) = self.pasts.find(question, &at.to_string()) {
            return Ok(Some((past, at)));
        }
        let (name, key) = asked;
        let read = move |store: &mut Store| store.record(&name, &key);
        let kept = self.keeper.recall(read).await?;
        let keep = |(record, at): (DailyRecord, DateTime<Utc>)| {
            (self.pasts.keep(question, &at.to_string(), record), at)
        };
        Ok(kept.map(keep))
    }

    async fn keep_record(
        &self,
        garden: &GardenSettings,
        question: &str,
        record: &DailyRecord,
        now: DateTime<Utc>,
    ) -> Result<(), DaemonError> {
        let (name, question) = (garden.garden.name.clone(), question.to_owned());
        let record = record.clone();
        let save = move |store: &mut Store| store.save_record(&name, (&question, &record), now);
        self.keeper.with(save).await
    }
}

impl Progress {
    fn show(&self, done: usize, of: usize) {
        (self.0)(done, of);
    }
}

fn no_record(garden: &GardenSettings, error: &WeatherError) {
    let (garden, error) = (&garden.garden.name, chain(error));
    warn!(garden, error, "no new record of past years");
}

/// A span in pieces, the newest first, so that what has come is always one stretch and tells what is left.
fn pieces((first, last): Span) -> Vec<Span> {
    let mut pieces = Vec::new();
    let mut end = last;
    while end >= first {
        let start = end.checked_sub_months(PIECE).and_then(|day| day.succ_opt());
        let start = start.unwrap_or(first).max(first);
        pieces.push((start, end));
        let Some(before) = start.pred_opt() else {
            break;
        };
        end = before;
    }
    pieces
}

/// The days of a span that have come since a record was fetched, with its last ones once more.
fn since(record: &DailyRecord, (first, last): Span) -> Vec<Span> {
    if record.last() >= last {
        return Vec::new();
    }
    let again = record.last().checked_sub_days(AGAIN);
    pieces((again.unwrap_or(first).max(first), last))
}

/// The years of a span before a record, which were broken off.
fn before(record: &DailyRecord, (first, _): Span) -> Vec<Span> {
    let last = record.first().pred_opt();
    last.map_or_else(Vec::new, |last| pieces((first, last)))
}

/// A record with a piece more, of the days that are wanted.
fn joined(record: Option<&DailyRecord>, piece: &DailyRecord, (first, last): Span) -> DailyRecord {
    let joined = record.and_then(|record| record.with(piece).ok());
    let joined = joined.unwrap_or_else(|| piece.clone());
    joined.between(first, last).unwrap_or(joined)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::DayExtremes;
    use crate::units::Celsius;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn record(first: &str, last: &str) -> DailyRecord {
        let extremes = DayExtremes {
            min: Some(Celsius::new(1.0)),
            max: Some(Celsius::new(9.0)),
        };
        let days = [day(first), day(last)].map(|day| (day, extremes));
        DailyRecord::from_days("made up", days).unwrap()
    }

    #[test]
    fn pieces_follow_each_other_and_are_the_whole() {
        let whole = (day("1996-04-01"), day("2026-03-26"));
        let pieces = pieces(whole);
        assert_eq!(pieces.len(), 6);
        assert_eq!(pieces[0], (day("2021-03-27"), day("2026-03-26")));
        assert_eq!(pieces[5].0, day("1996-04-01"));
        for two in pieces.windows(2) {
            assert_eq!(two[1].1.succ_opt(), Some(two[0].0));
        }
        assert_eq!(
            super::pieces((day("2026-01-01"), day("2026-01-01"))).len(),
            1
        );
        assert!(super::pieces((day("2026-01-02"), day("2026-01-01"))).is_empty());
    }

    #[test]
    fn a_record_lacks_what_was_broken_off_and_what_has_come_since() {
        let whole = (day("1996-04-01"), day("2026-03-26"));
        let half = record("2011-03-27", "2026-03-25");
        let lacks = since(&half, whole);
        assert_eq!(lacks, [(day("2025-12-25"), day("2026-03-26"))]);
        let lacks = before(&half, whole);
        assert_eq!(lacks[0].1, day("2011-03-26"));
        assert_eq!(lacks.last().unwrap().0, day("1996-04-01"));
        let old = record("1990-01-01", "2026-03-26");
        assert!(since(&old, whole).is_empty() && before(&old, whole).is_empty());
        let joined = joined(Some(&old), &record("2026-03-20", "2026-03-26"), whole);
        assert_eq!(
            (joined.first(), joined.last()),
            (day("2026-03-20"), day("2026-03-26"))
        );
    }
}

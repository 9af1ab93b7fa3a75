//! From the store to the snapshot that page and status show.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};

use super::touched::Left;
use super::{DaemonError, House};
use crate::config::GardenSettings;
use crate::garden::Zone;
use crate::locale::Locale;
use crate::notice::Said;
use crate::store::{Delivery, JournalLine, Store, StoreError};
use crate::web::{Board, Door, GardenSnapshot, Hosts, JournalEntry, Snapshot, Trouble, Weight};

/// So many lines of the journal are shown at most.
const JOURNAL_LINES: usize = 400;

/// A cycle that is so much late is overdue.
const GRACE: TimeDelta = TimeDelta::hours(1);

/// That the store was restored is shown so long.
const RESTORED_SHOWN: TimeDelta = TimeDelta::days(30);

/// The local day of each last word.
fn told(words: &BTreeMap<String, Said>, zone: &Zone) -> BTreeMap<String, NaiveDate> {
    let day = |(cut, said): (&String, &Said)| (cut.clone(), zone.date(said.at));
    words.iter().map(day).collect()
}

impl House {
    /// Whom the page answers.
    pub(super) fn door(&self) -> Door {
        let web = &self.settings.web;
        let hosts = web.hosts.iter().map(String::as_str);
        Door {
            hosts: Hosts::new(web.listen, web.address.as_deref(), hosts),
            token: web.token.clone(),
            proxies: web.proxies.clone(),
        }
    }

    /// A copy of what the last cycles left.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn snapshot(&self) -> Result<Arc<Snapshot>, DaemonError> {
        let mut gardens = Vec::new();
        for garden in self.gardens() {
            gardens.push(Arc::new(self.garden_snapshot(garden, None).await?));
        }
        self.snapshot_with(gardens).await
    }

    /// The same where since a copy was made these gardens alone have changed.
    pub(super) async fn snapshot_after(
        &self,
        before: &Snapshot,
        mut touched: BTreeMap<String, Option<Left>>,
    ) -> Result<Arc<Snapshot>, DaemonError> {
        let mut gardens = before.gardens.clone();
        for (shown, garden) in gardens.iter_mut().zip(self.gardens()) {
            if let Some(left) = touched.remove(&garden.garden.name) {
                *shown = Arc::new(self.garden_snapshot(garden, left).await?);
            }
        }
        self.snapshot_with(gardens).await
    }

    async fn snapshot_with(
        &self,
        gardens: Vec<Arc<GardenSnapshot>>,
    ) -> Result<Arc<Snapshot>, DaemonError> {
        let next_by = gardens
            .iter()
            .filter_map(|garden| garden.next_round)
            .min()
            .map(|due| due + GRACE);
        let mut troubles = self.troubles.all();
        troubles.extend(self.restored().await?);
        Ok(Arc::new(Snapshot {
            locale: self.settings.locale(),
            gardens,
            next_by,
            troubles,
            held: self.leases.count(),
        }))
    }

    /// That the store was restored, for some weeks.
    async fn restored(&self) -> Result<Option<Trouble>, DaemonError> {
        let Some(garden) = self.gardens().first() else {
            return Ok(None);
        };
        let (name, now) = (garden.garden.name.clone(), self.clock.now());
        let restored = self
            .keeper
            .recall(move |store| store.restored(&name))
            .await?;
        let lately = restored.filter(|restored| now - restored.at < RESTORED_SHOWN);
        Ok(lately.map(|restored| Trouble {
            about: "restored store".to_owned(),
            says: restored.in_words(),
            since: restored.at,
            weight: Weight::Slight,
        }))
    }

    /// A copy of what a garden's last look left; of what is at hand it is not read.
    async fn garden_snapshot(
        &self,
        settings: &GardenSettings,
        left: Option<Left>,
    ) -> Result<GardenSnapshot, DaemonError> {
        let name = settings.garden.name.clone();
        let zone = settings.garden.place.zone.clone();
        let locale = settings.garden.locale;
        let sources = self.source_states(settings).await?;
        let (board, last_round) = self
            .keeper
            .recall(move |store| {
                store.at_one_time(|store| {
                    let last_round = store.last_round(&name)?;
                    let left = match left.filter(|left| Some(left.at) == last_round) {
                        Some(left) => left,
                        None => read_back(store, &name, last_round)?,
                    };
                    let board = Board {
                        verdicts: left.verdicts,
                        skills: left.skills,
                        watches: left.watches,
                        prospect: left.prospect,
                        deeds: store.deeds(&name)?,
                        journal: journal(store.journal(&name, JOURNAL_LINES)?, &zone, locale),
                        sources,
                        told: told(&store.last_words(&name)?, &zone),
                        mails: mails(&store.mail_counts(&name)?),
                    };
                    Ok((board, last_round))
                })
            })
            .await?;
        Ok(GardenSnapshot::of(
            &settings.garden,
            board,
            last_round,
            self.due_after(settings, last_round),
        ))
    }
}

/// What the last look at a garden left.
fn read_back(
    store: &Store,
    garden: &str,
    last_round: Option<DateTime<Utc>>,
) -> Result<Left, StoreError> {
    Ok(Left {
        at: last_round.unwrap_or_default(),
        verdicts: store.verdicts(garden)?,
        skills: store.skills(garden)?,
        watches: store.watches(garden)?,
        prospect: store.prospect(garden)?,
    })
}

/// The mails in each state, those too in which none stands.
fn mails(counts: &BTreeMap<Delivery, u64>) -> BTreeMap<&'static str, u64> {
    let count = |state| counts.get(&state).copied().unwrap_or_default();
    let all = Delivery::ALL.into_iter();
    all.map(|state| (state.name(), count(state))).collect()
}

/// Lines of the journal as the page has them.
fn journal(lines: Vec<JournalLine>, zone: &Zone, locale: Locale) -> Vec<JournalEntry> {
    let entry = |line: JournalLine| JournalEntry {
        at: line.at,
        clock: locale.moment(zone.local(line.at)),
        cut: line.cut,
        what: line.what,
        detail: line.detail,
    };
    lines.into_iter().map(entry).collect()
}

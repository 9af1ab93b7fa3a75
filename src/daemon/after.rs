//! The cuts that were made, in one cycle: which are under watch, and what there is to say of them.

use chrono::{DateTime, Utc};

use super::{DaemonError, House};
use crate::config::GardenSettings;
use crate::message::Message;
use crate::notice::{Alarm, Moment, SaidAfter, covers, frosts};
use crate::store::ToldAfter;
use crate::watch::Watch;

impl House {
    /// What there is to say of the cuts under watch, after what was said before.
    pub(super) async fn news_after(
        &self,
        garden: &GardenSettings,
        watches: &[Watch],
        now: DateTime<Utc>,
    ) -> Result<Vec<ToldAfter>, DaemonError> {
        let Some(since) = watches.iter().map(|watch| watch.deed.on).min() else {
            return Ok(Vec::new());
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
        let covers = covers(watches, &said, &moment);
        let cover = covers.iter().map(|cover| ToldAfter {
            said: cover
                .plants
                .iter()
                .map(|(watch, _, _)| SaidAfter::of(watch, Alarm::CoverTonight, cover.night))
                .collect(),
            message: Message::cover(cover, &garden.garden, now),
            until: Some(cover.until),
        });
        let frosts = frosts(watches, &said);
        let frost = (!frosts.is_empty()).then(|| ToldAfter {
            said: frosts
                .iter()
                .map(|(watch, frost)| SaidAfter::of(watch, Alarm::FrostSeen, frost.date))
                .collect(),
            message: Message::frost_seen(&frosts, &garden.garden, now),
            until: None,
        });
        Ok(cover.chain(frost).collect())
    }
}

//! Readers whom the mail server refuses day after day: the page shows it, and the others are told once.

use chrono::{DateTime, Utc};
use tracing::warn;

use super::deliver::about;
use super::{DaemonError, House};
use crate::message::{AddressNews, Beside, Message};
use crate::store::{BadAddress, Store};
use crate::web::Weight;

impl House {
    /// Shows the addresses that are refused, and tells the others of those of which they have not heard.
    pub(super) async fn tell_of_addresses(&self) -> Result<(), DaemonError> {
        let mut bad = self
            .keeper
            .recall(|store| store.bad_addresses().map(Some))
            .await?
            .unwrap_or_default();
        let reads = |one: &BadAddress| {
            let mut gardens = self.settings.gardens.iter();
            gardens.any(|garden| garden.garden.mail_to.contains(&one.address))
        };
        bad.retain(reads);
        let all: Vec<String> = bad.iter().map(|one| one.address.clone()).collect();
        for one in &bad {
            self.show(one);
            if !one.is_told {
                self.tell_the_others(one, &all).await?;
            }
        }
        Ok(())
    }

    fn show(&self, bad: &BadAddress) {
        let (first, last) = bad.days;
        let says = format!(
            "refused on three days or more, from {first} to {last}: {}",
            bad.reply
        );
        self.troubles.begin(
            &about(&bad.address),
            (Weight::Slight, &says),
            self.clock.now(),
        );
    }

    /// Queues a mail to the others of the first garden that has others.
    async fn tell_the_others(&self, bad: &BadAddress, all: &[String]) -> Result<(), DaemonError> {
        let now = self.clock.now();
        let mails = self.mails_to_others(bad, all, now);
        warn!(
            address = bad.address,
            told = mails.len(),
            "a reader's address is refused day after day"
        );
        let address = bad.address.clone();
        let tell = move |store: &mut Store| store.tell_of_address(&address, now, &mails);
        self.keeper.with(tell).await?;
        self.to_post.notify_one();
        Ok(())
    }

    fn mails_to_others(
        &self,
        bad: &BadAddress,
        all: &[String],
        now: DateTime<Utc>,
    ) -> Vec<(String, Message)> {
        let news = AddressNews {
            address: bad.address.clone(),
            days: bad.days,
            reply: bad.reply.clone(),
        };
        let beside = Beside {
            links: Some(&self.links),
            ..Beside::NOTHING
        };
        let gardens = self.settings.gardens.iter();
        let mails = gardens
            .map(|garden| &garden.garden)
            .filter(|garden| garden.mail_to.contains(&bad.address))
            .filter_map(|garden| {
                let mail = Message::refused_address(&news, all, garden, now, &beside)?;
                Some((garden.name.clone(), mail))
            });
        mails.take(1).collect()
    }
}

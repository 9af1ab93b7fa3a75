//! The mails that wait: out through the postman, each noted before and after.

use tokio_util::sync::CancellationToken;
use tracing::{error, info, warn};

use super::gather::chain;
use super::{DaemonError, House};
use crate::mail::NextStep;
use crate::store::{OutboxItem, retry_at};

impl House {
    /// Sends every mail that is due, until `stop` is cancelled; gives how many went out.
    ///
    /// A mail that is on its way is never broken off: between two mails the end may come.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn deliver(&self, stop: &CancellationToken) -> Result<usize, DaemonError> {
        let now = self.clock.now();
        let due = self.keeper.with(move |store| store.due(now)).await?;
        let mut sent = 0;
        for item in due {
            if stop.is_cancelled() {
                break;
            }
            sent += usize::from(self.send(item).await?);
            self.supervisor.alive();
        }
        Ok(sent)
    }

    /// Sends one mail. The intent is on disk before the first byte goes out, the outcome after the last.
    async fn send(&self, item: OutboxItem) -> Result<bool, DaemonError> {
        let (id, now) = (item.id, self.clock.now());
        let claimed = self
            .keeper
            .recall(move |store| store.mark_sending(id, now).map(|()| true))
            .await?;
        if !claimed {
            // Somebody else has it, or newer news has taken its place.
            return Ok(false);
        }
        let outcome = self.postman.send(&item.message, item.queued_at).await;
        let now = self.clock.now();
        match outcome {
            Ok(sent) => {
                info!(key = item.message.key, "mail sent");
                self.keeper
                    .with(move |store| store.mark_sent(id, now, &sent.reply))
                    .await?;
                Ok(true)
            }
            Err(failure) => {
                let again = match failure.next_step() {
                    // What a person has to set right may be set right while the mail waits.
                    NextStep::Retry | NextStep::AskHuman => {
                        retry_at(item.tries + 1, item.queued_at, now)
                    }
                    NextStep::GiveUp => None,
                };
                let reply = chain(&failure);
                if let Some(at) = again {
                    warn!(key = item.message.key, reply, again_at = %at, "mail not sent");
                } else {
                    error!(key = item.message.key, reply, "mail given up");
                }
                self.keeper
                    .with(move |store| store.mark_failed(id, now, &reply, again))
                    .await?;
                Ok(false)
            }
        }
    }
}

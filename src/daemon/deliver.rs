//! The mails that wait: out through the postman, each noted before and after.

use std::sync::{Mutex, PoisonError};
use std::time::Duration;

use chrono::TimeDelta;
use tokio_util::sync::CancellationToken;
use tracing::{error, info, warn};

use super::{DaemonError, House};
use crate::mail::{MailError, NextStep, Sent};
use crate::store::chain;
use crate::store::{self, Failure, OutboxItem, Store, retry_at};
use crate::web::Weight;

/// While a person has to set something right, the mail server is asked once in so long.
const ASK_AGAIN: TimeDelta = TimeDelta::hours(1);

/// The longest sleep between two looks at the outbox.
const NAP: Duration = Duration::from_mins(1);

/// What the trouble is about.
const MAIL: &str = "mail";

/// How a try ended.
enum Try {
    /// The mail went out.
    Sent,
    /// It did not.
    Failed,
    /// It did not, and neither will the others.
    Stuck,
}

impl House {
    /// Sends mails whenever some wait, until `stop` is cancelled: beside the looks, so that a slow mail server holds up
    /// neither them nor the page.
    ///
    /// # Errors
    /// When the store fails for good.
    pub(super) async fn post(&self, stop: CancellationToken) -> Result<(), DaemonError> {
        while !stop.is_cancelled() {
            if self.clock.is_believable() {
                match self.deliver(&stop).await {
                    Ok(0) => {}
                    Ok(_) => self.to_show.notify_one(),
                    Err(DaemonError::Store(error)) if passes(&error) => {
                        // The looks show it, and they notice when it is over.
                        warn!(error = chain(&error), "no mail is sent");
                    }
                    Err(other) => return Err(other),
                }
            }
            tokio::select! {
                () = self.to_post.notified() => {}
                () = tokio::time::sleep(NAP) => {}
                () = stop.cancelled() => {}
            }
        }
        Ok(())
    }

    /// Sends every mail that is due, until `stop` is cancelled; gives how many went out.
    ///
    /// A mail that is on its way is not broken off here: between two mails the end may come.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn deliver(&self, stop: &CancellationToken) -> Result<usize, DaemonError> {
        let now = self.clock.now();
        let (due, is_waiting) = self
            .keeper
            .with(move |store| {
                store.settle_sending(now)?;
                Ok((store.due(now)?, store.has_waiting_mail()?))
            })
            .await?;
        if !is_waiting {
            // What kept mails from going keeps none any more.
            self.troubles.end(MAIL);
        }
        let mut sent = 0;
        for item in due {
            if stop.is_cancelled() {
                break;
            }
            let garden = item.garden.clone();
            if !self.is_reader(&item) {
                let why = "no reader of the garden's letters any more";
                let cancel = move |store: &mut Store| store.cancel(item.id, now, why);
                self.keeper.with(cancel).await?;
                self.touched.note(&garden);
                continue;
            }
            let tried = self.send(item).await?;
            self.touched.note(&garden);
            match tried {
                Try::Sent => sent += 1,
                Try::Failed => {}
                Try::Stuck => {
                    let until = now + ASK_AGAIN;
                    let work = move |store: &mut Store| store.hold_mails(now, until);
                    self.keeper.with(work).await?;
                    break;
                }
            }
        }
        self.tell_of_addresses().await?;
        Ok(sent)
    }

    /// Whether a mail goes to one who reads the garden's letters by the settings. A garden that they have no more had its
    /// news before; what waits of it goes out.
    fn is_reader(&self, item: &OutboxItem) -> bool {
        let mut gardens = self.settings.gardens.iter();
        let garden = gardens.find(|garden| garden.garden.name == item.garden);
        garden.is_none_or(|garden| garden.garden.mail_to.contains(&item.message.to))
    }

    /// Sends one mail. The intent is on disk before the first byte goes out, the outcome after the last.
    async fn send(&self, item: OutboxItem) -> Result<Try, DaemonError> {
        let (id, now) = (item.id, self.clock.now());
        let claimed = self
            .keeper
            .recall(move |store| store.mark_sending(id, now).map(|()| true))
            .await?;
        if !claimed {
            // Newer news has taken its place.
            return Ok(Try::Failed);
        }
        match self.hand_over(&item).await? {
            Ok(sent) => {
                info!(key = item.message.key, "mail sent");
                self.troubles.end(MAIL);
                self.troubles.end(&about(&item.message.to));
                let now = self.clock.now();
                self.keeper
                    .with(move |store| store.mark_sent(id, now, &sent.reply))
                    .await?;
                Ok(Try::Sent)
            }
            Err(failure) => self.note_failure(&item, &failure).await,
        }
    }

    /// Hands a mail over. That it goes is on disk before it goes: a stop after that leaves a mail that may have arrived.
    async fn hand_over(&self, item: &OutboxItem) -> Result<Result<Sent, MailError>, DaemonError> {
        let fault = Mutex::new(None);
        let leave = async {
            let id = item.id;
            let marked = self
                .keeper
                .recall(move |store| store.mark_content(id).map(|()| true))
                .await;
            marked.unwrap_or_else(|error| {
                *fault.lock().unwrap_or_else(PoisonError::into_inner) = Some(error);
                false
            })
        };
        let again = (item.doubts > 0).then(|| item.message.once_more());
        let message = again.as_ref().unwrap_or(&item.message);
        // On the heap: a talk with a mail server is most of what delivering holds.
        let talk = self.postman.send_with_leave(message, item.queued_at, leave);
        let outcome = Box::pin(talk).await;
        match fault.into_inner().unwrap_or_else(PoisonError::into_inner) {
            Some(error) => Err(error),
            None => Ok(outcome),
        }
    }

    async fn note_failure(
        &self,
        item: &OutboxItem,
        failure: &MailError,
    ) -> Result<Try, DaemonError> {
        let (id, now, key) = (item.id, self.clock.now(), &item.message.key);
        let reply = chain(failure);
        let later = retry_at(item.tries + 1, item.queued_at, now);
        let later = later.map_or(Failure::TooOld, Failure::Later);
        let (failure, outcome) = match failure.next_step() {
            NextStep::Retry => (later, Try::Failed),
            NextStep::AskHuman => {
                self.troubles.begin(MAIL, (Weight::Grave, &reply), now);
                (Failure::Later(now + ASK_AGAIN), Try::Stuck)
            }
            NextStep::GiveUp => {
                let says = format!("{} was refused: {reply}", item.message.subject);
                self.troubles
                    .begin(&about(&item.message.to), (Weight::Slight, &says), now);
                let refused = if failure.concerns_reader() {
                    Failure::ReaderRefused
                } else {
                    Failure::Refused
                };
                (refused, Try::Failed)
            }
            NextStep::Doubt => (Failure::Unknown, Try::Failed),
        };
        match failure {
            Failure::Later(at) => warn!(key, reply, again_at = %at, "mail not sent"),
            Failure::Unknown => warn!(key, reply, "the mail may have arrived or not"),
            Failure::Refused | Failure::ReaderRefused | Failure::TooOld => {
                error!(key, reply, "mail given up");
            }
        }
        self.keeper
            .with(move |store| store.mark_failed(id, now, &reply, failure))
            .await?;
        Ok(outcome)
    }
}

/// Whether a trouble with the store passes by itself.
fn passes(error: &store::StoreError) -> bool {
    matches!(
        error.next_step(),
        store::NextStep::Wait | store::NextStep::Reopen
    )
}

/// What the trouble with a reader is about.
pub(super) fn about(reader: &str) -> String {
    format!("mail to {reader}")
}

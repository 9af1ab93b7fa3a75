//! What goes on side by side under one reading of the settings: the looks, the page, the posts, the answers.

use std::sync::Arc;
use std::time::Duration;

use tokio::net::TcpListener;
use tokio::sync::{mpsc, watch};
use tokio::task::{AbortHandle, JoinError, JoinSet};
use tokio_util::sync::CancellationToken;
use tracing::warn;

use super::tend::Tender;
use super::{DaemonError, House};
use crate::web::{self, Parts};

/// So many posts of readings wait at most.
const POSTS_MAX: usize = 16;

/// What is on its way when the program is asked to end gets so long to finish, so that the whole end takes less than
/// twenty seconds.
const GRACE: Duration = Duration::from_secs(15);

/// All that goes on.
pub(super) struct Works {
    all: JoinSet<Result<(), DaemonError>>,
    tender: AbortHandle,
    poster: AbortHandle,
    /// Ends the looks and the mails.
    rest: CancellationToken,
    /// Ends all.
    stop: CancellationToken,
}

impl Works {
    /// Begins; all of it ends when `end` is cancelled.
    pub(super) async fn start(
        house: &House,
        listener: TcpListener,
        end: &CancellationToken,
    ) -> Result<Self, DaemonError> {
        let stop = end.child_token();
        let rest = stop.child_token();
        let (publish, snapshot) = watch::channel(house.snapshot().await?);
        let (ask, answers) = mpsc::channel(POSTS_MAX);
        let (again, changed) = mpsc::channel(POSTS_MAX);
        let slots = house.slots();
        let (post, inbox) = mpsc::channel(POSTS_MAX);
        let site = web::site(Parts {
            snapshot,
            almanac: house.almanac(),
            answers: Some((Arc::clone(&house.links), ask)),
            readings: (!slots.is_empty()).then_some((slots, post)),
            door: house.door(),
            now: house.clock.teller(),
        });
        let mut all = JoinSet::new();
        let tender = Tender::new(house.clone(), publish, rest.clone());
        let tender = all.spawn(tender.tend(changed));
        let (poster, mails_until) = (house.clone(), rest.clone());
        let poster = all.spawn(async move { poster.post(mails_until).await });
        let (posts, answering) = (house.clone(), house.clone());
        let until = || stop.clone();
        let (posts_until, answers_until, page_until) = (until(), until(), until());
        let (holder, held_until, asked) = (house.clone(), rest.clone(), again.clone());
        all.spawn(async move { holder.hold_gardens(asked, held_until).await });
        all.spawn(async move {
            posts.take_posts(inbox, posts_until).await;
            Ok(())
        });
        all.spawn(async move {
            answering.take_answers(answers, again, answers_until).await;
            Ok(())
        });
        all.spawn(async move {
            web::serve(listener, site, page_until).await;
            Ok(())
        });
        Ok(Self {
            all,
            tender,
            poster,
            rest,
            stop,
        })
    }

    /// Waits until a part fails, which ends the program: half of it is worse than none. Parts that have nothing to do, such
    /// as the inbox of a page that takes no posts, may end before.
    pub(super) async fn until_one_ends(&mut self) -> Result<(), DaemonError> {
        while let Some(ended) = self.all.join_next().await {
            outcome(ended)?;
        }
        Ok(())
    }

    /// Lets the look and the mail that are on their way come to their end for a while, with the page still served.
    pub(super) async fn finish_look(&mut self, end: &CancellationToken) -> Result<(), DaemonError> {
        self.rest.cancel();
        let late = tokio::time::sleep(GRACE);
        tokio::pin!(late);
        while !(self.tender.is_finished() && self.poster.is_finished()) {
            tokio::select! {
                ended = self.all.join_next() => match ended {
                    Some(ended) => outcome(ended)?,
                    None => break,
                },
                () = end.cancelled() => break,
                () = &mut late => break,
            }
        }
        Ok(())
    }

    /// Ends all parts; what is on its way gets some time, and none more once somebody insists.
    pub(super) async fn end(&mut self, now: &CancellationToken) -> Result<(), DaemonError> {
        self.stop.cancel();
        let mut first = Ok(());
        let all = &mut self.all;
        let whole = async {
            while let Some(ended) = all.join_next().await {
                let before = std::mem::replace(&mut first, Ok(()));
                first = before.and(outcome(ended));
            }
        };
        tokio::select! {
            () = whole => {}
            () = tokio::time::sleep(GRACE) => warn!("what hangs is left behind"),
            () = now.cancelled() => {}
        }
        self.all.abort_all();
        first
    }
}

fn outcome(ended: Result<Result<(), DaemonError>, JoinError>) -> Result<(), DaemonError> {
    ended.map_err(DaemonError::Task)?
}

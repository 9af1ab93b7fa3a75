//! What the keeper answers by a link: noted at once, and the garden looked at again.

use chrono::{Days, NaiveDate};
use tokio::sync::mpsc;
use tokio_util::sync::CancellationToken;
use tracing::{error, info, warn};

use super::{DaemonError, House};
use crate::config::GardenSettings;
use crate::garden::Answer;
use crate::store::chain;
use crate::store::{GivenAnswer, Noted};
use crate::web::{AnswerWish, Answered, Outcome};

/// What is told of a day further back is a slip of the pen (estimate).
const BACK: Days = Days::new(60);

impl House {
    /// Keeps answers until `stop` is cancelled; one that is being kept is finished. The gardens that they change go to
    /// `changed`, to be looked at again.
    pub(super) async fn take_answers(
        self,
        mut inbox: mpsc::Receiver<Answered>,
        changed: mpsc::Sender<String>,
        stop: CancellationToken,
    ) {
        loop {
            let answered = tokio::select! {
                answered = inbox.recv() => answered,
                () = stop.cancelled() => None,
            };
            let Some(answered) = answered else { return };
            match self.answer(&answered).await {
                Ok(outcome) => {
                    let garden = &answered.slip.garden;
                    let answer = answered.slip.answer.name();
                    info!(
                        garden,
                        cut = answered.slip.cut,
                        answer,
                        ?outcome,
                        "answered"
                    );
                    if matches!(outcome, Outcome::Noted(_) | Outcome::TakenBack)
                        && changed.try_send(garden.clone()).is_err()
                    {
                        warn!(garden, "is looked at again at its next look");
                    }
                    if answered.reply.send(outcome).is_err() {
                        warn!(garden, "whoever answered has gone");
                    }
                }
                Err(problem) => error!(error = chain(&problem), "answer not kept"),
            }
        }
    }

    async fn answer(&self, answered: &Answered) -> Result<Outcome, DaemonError> {
        let now = self.clock.now();
        let Some((settings, planting)) = self.meant(answered) else {
            return Ok(Outcome::NoSuchCut);
        };
        let place = &settings.garden.place;
        let today = place.zone.date(now);
        let on = answered.day.unwrap_or(today);
        if !is_of_late(on, today) {
            return Ok(Outcome::OtherDay);
        }
        let slip = &answered.slip;
        let given = GivenAnswer {
            mark: answered.mark.clone(),
            garden: slip.garden.clone(),
            cut: slip.cut.clone(),
            reader: slip.reader.clone(),
            planting,
            answer: slip.answer,
            on,
            share: answered.share,
            silent_until: slip.answer.silent_until(on, place.hemisphere()),
        };
        let wish = answered.wish;
        let outcome = self.keeper.with(move |store| {
            Ok(match wish {
                AnswerWish::Note => match store.take_answer(&given, now)? {
                    Noted::New => Outcome::Noted(on),
                    Noted::Before => Outcome::Before,
                },
                AnswerWish::TakeBack if store.take_back_answer(&given, now)? => Outcome::TakenBack,
                AnswerWish::TakeBack => Outcome::Nothing,
            })
        });
        outcome.await
    }

    /// The garden and the planting that an answer is about; none where the file has them no more.
    fn meant(&self, answered: &Answered) -> Option<(&GardenSettings, String)> {
        let slip = &answered.slip;
        let mut gardens = self.gardens().iter();
        let settings = gardens.find(|garden| garden.garden.name == slip.garden)?;
        if slip.answer == Answer::NoLetters {
            return Some((settings, String::new()));
        }
        let mut cuts = settings.garden.cuts.iter();
        let cut = cuts.find(|cut| cut.name == slip.cut)?;
        Some((settings, cut.planting.clone()))
    }
}

fn is_of_late(on: NaiveDate, today: NaiveDate) -> bool {
    on <= today && today.checked_sub_days(BACK).is_none_or(|first| first <= on)
}

//! One cycle of one garden: weather, verdicts, news, words, store; the mails go out after.

use chrono::{DateTime, Utc};

use super::sources::fresh_for;
use super::{DaemonError, House, Reach};
use crate::climate::Climate;
use crate::config::GardenSettings;
use crate::garden::{Deed, PlannedCut};
use crate::look::{Seen, View, Weather};
use crate::message::Message;
use crate::notice::{Alarm, News, Said, is_done, news};
use crate::risk::Sensitivity;
use crate::store::{self, Round};

/// News that a cycle told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// The cut.
    pub cut: String,
    /// What.
    pub news: Word,
    /// The mail's subject; none when the garden has no address.
    pub subject: Option<String>,
}

/// What was told of a cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Word {
    /// Of a cut to be made.
    News(News),
    /// Of one that was made.
    Alarm(Alarm),
}

/// The verdicts on a garden's cuts and what they trust, without telling anybody.
pub fn look(garden: &GardenSettings, weather: &Weather, now: DateTime<Utc>) -> Seen {
    from_here(garden, weather, |view| view.look(weather, now))
}

/// How the dates of one cut move when a parameter moves by its uncertainty.
pub fn moved(
    garden: &GardenSettings,
    cut: &PlannedCut,
    weather: &Weather,
    now: DateTime<Utc>,
) -> Vec<Sensitivity> {
    from_here(garden, weather, |view| view.moved(cut, weather, now))
}

/// Does a piece of work with the view on a garden that its settings give.
fn from_here<T>(garden: &GardenSettings, weather: &Weather, work: impl FnOnce(View<'_>) -> T) -> T {
    let climate = weather.record.as_ref().and_then(Climate::of);
    work(View {
        garden: &garden.garden,
        fresh_for: &fresh_for(garden),
        climate: climate.as_ref(),
        hung: garden.thermometer.as_ref().map(|own| &own.hung),
    })
}

impl House {
    /// Looks at a garden's weather and tells what is new.
    ///
    /// # Errors
    /// When the store fails: a program that cannot remember what it said must not speak.
    pub async fn cycle(&self, garden: &GardenSettings) -> Result<Vec<Told>, DaemonError> {
        let now = self.clock.now();
        self.read_station(garden).await?;
        let weather = self.gather(garden, now, Reach::Everywhere).await?;
        self.note_nights(garden, &weather.thermometer).await?;
        self.tell_of_weather(garden, &weather.forecasts, now)
            .await?;
        self.judge(garden, weather, now).await
    }

    /// Judges the weather that was gathered and tells what is new.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn judge(
        &self,
        garden: &GardenSettings,
        weather: Weather,
        now: DateTime<Utc>,
    ) -> Result<Vec<Told>, DaemonError> {
        let settings = garden.clone();
        let deeds = weather.deeds.clone();
        let looked = tokio::task::spawn_blocking(move || {
            from_here(&settings, &weather, |view| {
                (view.look(&weather, now), view.prospect(&weather, now))
            })
        });
        let (seen, prospect) = looked.await.map_err(DaemonError::Task)?;
        let mut round = self.round(garden, seen, &deeds, now).await?;
        round.prospect = Some(prospect);
        let told = Told::all(&round);
        let name = garden.garden.name.clone();
        self.keeper
            .with(move |store| store.close_round(&name, &round))
            .await?;
        Ok(told)
    }

    /// What the verdicts mean to the keeper, after what was said before.
    async fn round(
        &self,
        garden: &GardenSettings,
        seen: Seen,
        deeds: &[Deed],
        now: DateTime<Utc>,
    ) -> Result<Round, DaemonError> {
        let Seen {
            verdicts,
            skills,
            watches,
            thermometer: _,
            garden: _,
        } = seen;
        let told_after = self.news_after(garden, &watches, now).await?;
        let name = garden.garden.name.clone();
        let cuts: Vec<String> = verdicts.iter().map(|verdict| verdict.cut.clone()).collect();
        let said: Vec<Option<Said>> = self
            .keeper
            .with(move |store| cuts.iter().map(|cut| store.said(&name, cut)).collect())
            .await?;
        let told = verdicts
            .iter()
            .zip(&garden.garden.cuts)
            .zip(&said)
            .filter(|((verdict, _), _)| !is_done(verdict, deeds))
            .filter_map(|((verdict, cut), said)| {
                let news = news(verdict, said.as_ref())?;
                Some(store::Told {
                    cut: verdict.cut.clone(),
                    said: Said {
                        news,
                        at: now,
                        wished: verdict.wished,
                    },
                    message: Message::of(news, verdict, &garden.garden, cut),
                })
            });
        let told = told.collect();
        Ok(Round {
            at: now,
            verdicts,
            skills,
            watches,
            prospect: None,
            told,
            told_after,
        })
    }
}

impl Told {
    fn all(round: &Round) -> Vec<Self> {
        let subject = |message: &Option<Message>| message.as_ref().map(|mail| mail.subject.clone());
        let news = round.told.iter().map(|told| Self {
            cut: told.cut.clone(),
            news: Word::News(told.said.news),
            subject: subject(&told.message),
        });
        let alarms = round.told_after.iter().flat_map(|told| {
            told.said.iter().map(|said| Self {
                cut: said.cut.clone(),
                news: Word::Alarm(said.alarm),
                subject: subject(&told.message),
            })
        });
        news.chain(alarms).collect()
    }
}

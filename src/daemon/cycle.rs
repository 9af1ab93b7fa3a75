//! One cycle of one garden: weather, verdicts, news, words, store; the mails go out after.

use chrono::{DateTime, Utc};

use super::{DaemonError, House, Reach};
use crate::climate::{Climate, DailyRecord};
use crate::config::GardenSettings;
use crate::forecast::Forecast;
use crate::message::Message;
use crate::notice::{News, Said, news};
use crate::outlook::Skill;
use crate::store::{self, Round};
use crate::verdict::{Sky, Verdict, assess};

/// The weather that was gathered for a garden.
#[derive(Debug, Clone, Default)]
pub struct Weather {
    /// Its record of past years.
    pub record: Option<DailyRecord>,
    /// Its newest forecast.
    pub forecast: Option<Forecast>,
    /// The verdicts of the look before.
    pub before: Vec<Verdict>,
}

/// News that a cycle told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// The cut.
    pub cut: String,
    /// What.
    pub news: News,
    /// The mail's subject; none when the garden has no address.
    pub subject: Option<String>,
}

/// The verdicts on a garden's cuts, without telling anybody.
pub fn look(garden: &GardenSettings, weather: &Weather, now: DateTime<Utc>) -> Vec<Verdict> {
    let climate = weather.record.as_ref().and_then(Climate::of);
    let skill = Skill::default();
    let sky = Sky {
        climate: climate.as_ref(),
        forecast: weather.forecast.as_ref(),
        skill: &skill,
        fresh_for: garden.fresh_for,
    };
    assess(&garden.garden, &sky, &weather.before, now)
}

impl House {
    /// Looks at a garden's weather and tells what is new.
    ///
    /// # Errors
    /// When the store fails: a program that cannot remember what it said must not speak.
    pub async fn cycle(&self, garden: &GardenSettings) -> Result<Vec<Told>, DaemonError> {
        let now = self.clock.now();
        let weather = self.gather(garden, now, Reach::Everywhere).await?;
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
        let verdicts = tokio::task::spawn_blocking(move || look(&settings, &weather, now))
            .await
            .map_err(DaemonError::Task)?;
        let round = self.round(garden, verdicts, now).await?;
        let told = round.told.iter().map(Told::of).collect::<Vec<_>>();
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
        verdicts: Vec<Verdict>,
        now: DateTime<Utc>,
    ) -> Result<Round, DaemonError> {
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
            told,
        })
    }
}

impl Told {
    fn of(told: &store::Told) -> Self {
        Self {
            cut: told.cut.clone(),
            news: told.said.news,
            subject: told.message.as_ref().map(|message| message.subject.clone()),
        }
    }
}

//! One cycle of one garden: weather, verdicts, news, words, store; the mails go out after.

use chrono::{DateTime, Utc};

use super::{DaemonError, House, Reach};
use crate::climate::{Climate, DailyRecord};
use crate::config::GardenSettings;
use crate::forecast::{Forecast, Several};
use crate::garden::{Deed, PlannedCut, Sighting};
use crate::message::Message;
use crate::notice::{Alarm, News, Said, is_done, news};
use crate::outlook::{Kept, Skill, SourceSkill, measured_days};
use crate::risk::Sensitivity;
use crate::store::{self, Round};
use crate::verdict::{BySource, Sky, Verdict, assess, most_careful, moved_dates};
use crate::watch::Watch;

/// The weather that was gathered for a garden.
#[derive(Debug, Clone, Default)]
pub struct Weather {
    /// Its record of past years.
    pub record: Option<DailyRecord>,
    /// The newest forecasts of its sources.
    pub forecasts: Several,
    /// The forecasts that were kept, to learn from.
    pub runs: Vec<Forecast>,
    /// What the keeper saw of the plantings, the oldest report first.
    pub sightings: Vec<Sighting>,
    /// The verdicts of the look before.
    pub before: Vec<Verdict>,
    /// The cuts that were made.
    pub deeds: Vec<Deed>,
}

/// What a look at a garden's weather gives.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// The verdict on each cut, in the order of the garden file.
    pub verdicts: Vec<Verdict>,
    /// How far each source's forecasts can be trusted here.
    pub skills: Vec<SourceSkill>,
    /// The cuts under watch.
    pub watches: Vec<Watch>,
}

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

/// What all sources of a garden have in common.
struct Ground {
    climate: Option<Climate>,
    skills: Vec<SourceSkill>,
}

/// The verdicts on a garden's cuts and what they trust, without telling anybody.
///
/// Each source is assessed alone and the most careful verdict stands; plants under watch are looked at by the coldest.
pub fn look(garden: &GardenSettings, weather: &Weather, now: DateTime<Utc>) -> Seen {
    let ground = ground(garden, weather, now);
    let Several { used, odd } = &weather.forecasts;
    let verdicts = |forecast| {
        under_sky(garden, weather, (&ground, forecast), now, |sky| {
            assess(&garden.garden, sky, &weather.before, now)
        })
    };
    let by_source = used.iter().map(|forecast| BySource {
        source: forecast.source.clone(),
        verdicts: verdicts(Some(forecast)),
    });
    let verdicts = if used.is_empty() {
        verdicts(None)
    } else {
        most_careful(&by_source.collect::<Vec<_>>(), odd)
    };
    let coldest = weather.forecasts.coldest(now);
    let watches = under_sky(garden, weather, (&ground, coldest), now, |sky| {
        super::after::watches_of(garden, sky, now)
    });
    Seen {
        verdicts,
        skills: ground.skills,
        watches,
    }
}

/// How the dates of one cut move when a parameter moves by its uncertainty, by the coldest source.
pub fn moved(
    garden: &GardenSettings,
    cut: &PlannedCut,
    weather: &Weather,
    now: DateTime<Utc>,
) -> Vec<Sensitivity> {
    let ground = ground(garden, weather, now);
    let coldest = weather.forecasts.coldest(now);
    under_sky(garden, weather, (&ground, coldest), now, |sky| {
        moved_dates(&garden.garden, cut, sky, now)
    })
}

fn ground(garden: &GardenSettings, weather: &Weather, now: DateTime<Utc>) -> Ground {
    let climate = weather.record.as_ref().and_then(Climate::of);
    let place = &garden.garden.place;
    let kept = Kept {
        runs: &weather.runs,
        newest: weather.forecasts.used.first(),
        record: weather.record.as_ref(),
        climate: climate.as_ref(),
        place,
    };
    let skills = Skill::default().by_source(&kept, place.zone.date(now));
    Ground { climate, skills }
}

/// Does a piece of work with what one source says of the weather at a garden, and how far it can be trusted.
fn under_sky<T>(
    garden: &GardenSettings,
    weather: &Weather,
    (ground, forecast): (&Ground, Option<&Forecast>),
    now: DateTime<Utc>,
    work: impl FnOnce(&Sky<'_>) -> T,
) -> T {
    let of_source = forecast.and_then(|forecast| {
        let mut skills = ground.skills.iter();
        let learned = skills.find(|skill| skill.source == forecast.source);
        learned.map(|skill| skill.learned.skill.clone())
    });
    let skill = of_source.unwrap_or_default();
    let place = &garden.garden.place;
    let runs = weather.runs.iter().chain(forecast);
    let measured = measured_days(weather.record.as_ref(), runs, place, place.zone.date(now));
    let sky = Sky {
        climate: ground.climate.as_ref(),
        measured: &measured,
        sightings: &weather.sightings,
        forecast,
        skill: &skill,
        fresh_for: forecast.map_or(garden.fresh_for, |one| {
            super::sources::fresh_for(garden, &one.source)
        }),
        deeds: &weather.deeds,
    };
    work(&sky)
}

impl House {
    /// Looks at a garden's weather and tells what is new.
    ///
    /// # Errors
    /// When the store fails: a program that cannot remember what it said must not speak.
    pub async fn cycle(&self, garden: &GardenSettings) -> Result<Vec<Told>, DaemonError> {
        let now = self.clock.now();
        let weather = self.gather(garden, now, Reach::Everywhere).await?;
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
        let seen = tokio::task::spawn_blocking(move || look(&settings, &weather, now))
            .await
            .map_err(DaemonError::Task)?;
        let round = self.round(garden, seen, &deeds, now).await?;
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

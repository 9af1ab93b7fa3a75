//! One cycle of one garden: weather, verdicts, news, words, store; the mails go out after.

use std::sync::Arc;

use chrono::{DateTime, NaiveDate, Utc};
use tracing::warn;

use super::showing::FEW;
use super::silence::Usable;
use super::sources::fresh_for;
use super::touched::Left;
use super::{DaemonError, House, Reach, plan};
use crate::config::GardenSettings;
use crate::foresight::Shelf;
use crate::garden::{Deed, PlannedCut};
use crate::look::{Prospect, Seen, View, Weather};
use crate::notice::{Alarm, News, WeatherNews};
use crate::plan::YearPlan;
use crate::risk::Sensitivity;
use crate::store::{Closed, Round, Slot, Store};

/// News that a cycle told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// The cut.
    pub cut: String,
    /// What.
    pub news: Word,
    /// The subject of the letter that says it; none when the garden has no address.
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
    from_here(garden, weather, None, |view| view.look(weather, now))
}

/// How the dates of one cut move when a parameter moves by its uncertainty.
pub fn moved(
    garden: &GardenSettings,
    cut: &PlannedCut,
    weather: &Weather,
    now: DateTime<Utc>,
) -> Vec<Sensitivity> {
    from_here(garden, weather, None, |view| view.moved(cut, weather, now))
}

/// Does a piece of work with the view on a garden that its settings give.
fn from_here<T>(
    garden: &GardenSettings,
    weather: &Weather,
    shelf: Option<&Shelf>,
    work: impl FnOnce(View<'_>) -> T,
) -> T {
    let climate = weather.past.as_ref().and_then(|past| past.climate());
    work(View {
        garden: &garden.garden,
        fresh_for: &fresh_for(garden),
        climate,
        hung: garden.thermometer.as_ref().map(|own| &own.hung),
        shelf,
    })
}

impl House {
    /// Looks at a garden's weather and tells what is new.
    ///
    /// # Errors
    /// When the store fails: a program that cannot remember what it said must not speak.
    pub async fn cycle(&self, garden: &Arc<GardenSettings>) -> Result<Vec<Told>, DaemonError> {
        let now = self.clock.now();
        let slot = self.slot_due(garden, now).await?;
        self.read_station(garden).await?;
        let weather = self.gather(garden, now, Reach::Everywhere).await?;
        self.note_nights(garden, &weather.thermometer).await?;
        let usable = self.usable(garden, &weather.forecasts, now).await?;
        self.tell(garden, weather, (Some(usable), slot), now).await
    }

    /// Judges weather that was not asked for from its sources and tells what is new.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn judge(
        &self,
        garden: &Arc<GardenSettings>,
        weather: Weather,
        now: DateTime<Utc>,
    ) -> Result<Vec<Told>, DaemonError> {
        self.tell(garden, weather, (None, None), now).await
    }

    async fn tell(
        &self,
        garden: &Arc<GardenSettings>,
        weather: Weather,
        (usable, slot): (Option<Usable>, Option<Slot>),
        now: DateTime<Utc>,
    ) -> Result<Vec<Told>, DaemonError> {
        let settings = Arc::clone(garden);
        let deeds = weather.deeds.clone();
        let plan_from = self.plan_due(garden, now).await?;
        let shelf = Arc::clone(&self.shelf);
        let looked = tokio::task::spawn_blocking(move || {
            from_here(&settings, &weather, Some(&shelf), |view| {
                let plan = plan_from.map(|first| (plan::of(&view, &weather, first), first));
                let (seen, prospect) = view.look_ahead(&weather, now);
                (seen, prospect, plan)
            })
        });
        let (seen, prospect, plan) = looked.await.map_err(DaemonError::Task)?;
        let look = Look {
            seen,
            usable,
            prospect,
            slot,
            plan,
            deeds,
        };
        loop {
            let round = self.round_of(garden, &look, now).await?;
            let (told, news) = (Told::all(&round), round.weather.news);
            let name = garden.garden.name.clone();
            let close = move |store: &mut Store| {
                let closed = store.close_round(&name, &round)?;
                Ok((closed, round))
            };
            let (closed, round) = self.keeper.with(close).await?;
            self.touched.note(&garden.garden.name);
            match closed {
                Closed::Kept => {
                    self.note_look(garden, round);
                    log_weather(garden, news);
                    return Ok(told);
                }
                Closed::Before => return Ok(Vec::new()),
                // A mail has just begun to go: what it says counts as said from now on.
                Closed::Overtaken => {}
            }
        }
    }

    /// Notes what a look left, where it is not read back with all the rest.
    fn note_look(&self, garden: &GardenSettings, round: Round) {
        let left = (self.gardens().len() > FEW).then(|| Left::of(round));
        self.touched.note_look(&garden.garden.name, left);
    }

    async fn round_of(
        &self,
        garden: &GardenSettings,
        look: &Look,
        now: DateTime<Utc>,
    ) -> Result<Round, DaemonError> {
        let (usable, deeds) = (look.usable.as_ref(), &look.deeds);
        let mut round = self.round(garden, (&look.seen, usable), deeds, now).await?;
        round.prospect = Some(look.prospect.clone());
        round.slot.clone_from(&look.slot);
        let plan = look.plan.as_ref();
        round.plan = plan.and_then(|plan| self.plan_mail(garden, plan, (&round, deeds)));
        Ok(round)
    }
}

/// What a look brought, before it is held against what was said.
struct Look {
    seen: Seen,
    usable: Option<Usable>,
    prospect: Prospect,
    slot: Option<Slot>,
    plan: Option<(YearPlan, NaiveDate)>,
    deeds: Vec<Deed>,
}

fn log_weather(garden: &GardenSettings, news: Option<WeatherNews>) {
    let name = &garden.garden.name;
    match news {
        Some(WeatherNews::Lost { since }) => {
            warn!(garden = name, %since, "no usable weather for a day");
        }
        Some(WeatherNews::Back { since }) => warn!(garden = name, %since, "weather is back"),
        None => {}
    }
}

impl Told {
    fn all(round: &Round) -> Vec<Self> {
        let subject = round.letter.as_ref().map(|letter| &letter.message.subject);
        let told = |cut: &str, news| Self {
            cut: cut.to_owned(),
            news,
            subject: subject.cloned(),
        };
        let news = round
            .told
            .iter()
            .map(|one| told(&one.cut, Word::News(one.said.news)));
        let alarms = round
            .told_after
            .iter()
            .map(|one| told(&one.cut, Word::Alarm(one.alarm)));
        news.chain(alarms).collect()
    }
}

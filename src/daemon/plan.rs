//! The plan of the year as a mail, once a winter.

use chrono::{DateTime, NaiveDate, Utc};
use tracing::warn;

use super::{DaemonError, House};
use crate::config::GardenSettings;
use crate::garden::Deed;
use crate::look::{View, Weather};
use crate::message::{Beside, Message, Picture, pictures};
use crate::notice::after_quiet;
use crate::picture::Paper;
use crate::plan::{Known, YearPlan, coming_plan, storms};
use crate::store::{Letter, Round};
use crate::verdict::Verdict;

/// So many cuts have a line in the picture: a mail stays small enough for any line (estimate).
const PICTURED: usize = 12;

/// The plan of a garden from a day on, by the weather that is at hand.
pub(super) fn of(view: &View<'_>, weather: &Weather, first: NaiveDate) -> YearPlan {
    let runs = &weather.forecasts.used;
    let known = Known {
        climate: view.climate,
        deeds: &weather.deeds,
        sightings: &weather.sightings,
        storms: &storms(runs, &view.garden.place.zone),
        shared: view.shared(weather),
    };
    coming_plan(view.garden, &known, first)
}

impl House {
    /// The first day of the year whose plan is to be mailed now; none when none is, or when it was.
    pub(super) async fn plan_due(
        &self,
        garden: &GardenSettings,
        now: DateTime<Utc>,
    ) -> Result<Option<NaiveDate>, DaemonError> {
        let garden = &garden.garden;
        let today = garden.place.zone.date(now);
        let first = garden.letters.plan_due(garden.place.hemisphere(), today);
        let Some(first) = first.filter(|_| !garden.mail_to.is_empty()) else {
            return Ok(None);
        };
        let key = Message::plan_key(garden, first);
        let was_mailed = self
            .keeper
            .with(move |store| store.knows_mail(&key))
            .await?;
        Ok(Some(first).filter(|_| !was_mailed))
    }

    /// The mail of a plan, with when it may go out.
    pub(super) fn plan_mail(
        &self,
        garden: &GardenSettings,
        (plan, first): &(YearPlan, NaiveDate),
        (round, deeds): (&Round, &[Deed]),
    ) -> Option<Letter> {
        let garden = &garden.garden;
        let beside = Beside {
            links: Some(&self.links),
            ..Beside::NOTHING
        };
        let picture = strip(round, deeds, garden.locale);
        let message = Message::plan((plan, *first), picture, garden, round.at, &beside)?;
        let goes_at = after_quiet(&garden.letters, &garden.place.zone, round.at);
        Some(Letter {
            message,
            goes_at,
            until: None,
        })
    }
}

/// The year about today, with the first cuts of the garden file.
fn strip(round: &Round, deeds: &[Deed], locale: crate::locale::Locale) -> Option<Picture> {
    let shown: Vec<&Verdict> = round.verdicts.iter().take(PICTURED).collect();
    let prospect = round.prospect.as_ref()?;
    let drawn = pictures::year(&shown, prospect, deeds, ("year", Paper::Narrow), locale)?;
    match drawn.png() {
        Ok(png) => Some(Picture {
            alt: drawn.says,
            cid: "year".to_owned(),
            png,
        }),
        Err(problem) => {
            warn!(error = %problem, "a picture was left out");
            None
        }
    }
}

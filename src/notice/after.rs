//! What is there to say of plants under watch: cover them tonight, frost has been.

use chrono::{DateTime, NaiveDate, NaiveTime, TimeDelta, Utc};
use serde::{Deserialize, Serialize};

use crate::garden::{Garden, Zone};
use crate::risk::{NightRisk, PastFrost};
use crate::thermometer::Reading;
use crate::units::{Celsius, CelsiusStep};
use crate::watch::{Threat, Watch};

/// A night that begins later than this is looked at again.
const AHEAD: TimeDelta = TimeDelta::hours(36);

/// From this hour of the day before on it is the afternoon before: the day's forecast is in, and there is time to
/// cover (estimate).
const AFTERNOON: NaiveTime = hour(12);

/// A look that comes after this hour is too late to cover by daylight (estimate).
const LATE: NaiveTime = hour(17);

/// When a night begins (estimate).
const DUSK: NaiveTime = hour(18);

const fn hour(hour: u32) -> NaiveTime {
    match NaiveTime::from_hms_opt(hour, 0, 0) {
        Some(time) => time,
        None => NaiveTime::MIN,
    }
}

/// What the keeper is told of a plant under watch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Alarm {
    /// The coming night threatens it: cover it.
    CoverTonight,
    /// A night has done damage: leave it and judge later.
    FrostSeen,
    /// The garden's own thermometer shows now what damages it.
    BelowNow,
}

/// What was said of one cut that was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SaidAfter {
    /// The cut's name in the garden.
    pub cut: String,
    /// The day on which it was made.
    pub done_on: NaiveDate,
    /// What was said.
    pub alarm: Alarm,
    /// Of which night, by the date of its morning.
    pub night: NaiveDate,
}

/// The moment of a look.
#[derive(Debug, Clone, Copy)]
pub struct Moment<'a> {
    /// Now.
    pub now: DateTime<Utc>,
    /// When the weather is looked at next; none when it is not.
    pub next: Option<DateTime<Utc>>,
    /// The garden's clock.
    pub zone: &'a Zone,
}

/// A coming night and the plants to cover in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Cover<'a> {
    /// The date of its morning.
    pub night: NaiveDate,
    /// When it begins to end: after that nobody covers anything.
    pub until: DateTime<Utc>,
    /// What to cover and why.
    pub plants: Vec<(&'a Watch, &'a NightRisk, Threat)>,
}

impl Alarm {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::CoverTonight, Self::FrostSeen, Self::BelowNow];

    /// Its name in kebab-case, for message ids and the journal.
    pub const fn name(self) -> &'static str {
        match self {
            Self::CoverTonight => "cover-tonight",
            Self::FrostSeen => "frost-seen",
            Self::BelowNow => "below-now",
        }
    }
}

/// The nights for which it is time to tell the keeper to cover, each with the plants that were not named before.
pub fn covers<'a>(watches: &'a [Watch], said: &[SaidAfter], moment: &Moment<'_>) -> Vec<Cover<'a>> {
    let today = moment.zone.date(moment.now);
    let coming = today.iter_days().skip(1).take(2);
    let nights = coming.filter(|night| moment.is_time_to_cover(*night));
    let cover = |night: NaiveDate| {
        let plant = |watch: &'a Watch| {
            let risk = watch.night(night)?;
            let threat = watch.threat(risk)?;
            let is_new = !said
                .iter()
                .any(|said| said.is_of(watch, Alarm::CoverTonight) && said.night == night);
            is_new.then_some((watch, risk, threat))
        };
        Cover {
            night,
            until: moment.zone.start_of(night),
            plants: watches.iter().filter_map(plant).collect(),
        }
    };
    nights
        .map(cover)
        .filter(|cover| !cover.plants.is_empty())
        .collect()
}

/// The plants that frost has caught after the cut and of which that was not said before, with the coldest such night.
pub fn frosts<'a>(watches: &'a [Watch], said: &[SaidAfter]) -> Vec<(&'a Watch, &'a PastFrost)> {
    let frost = |watch: &'a Watch| {
        let was_said = said.iter().any(|said| said.is_of(watch, Alarm::FrostSeen));
        let frosts = watch.after.frosts.iter().filter(|_| !was_said);
        let coldest = frosts.reduce(|a, b| if b.minimum < a.minimum { b } else { a });
        coldest.map(|frost| (watch, frost))
    };
    watches.iter().filter_map(frost).collect()
}

/// What the garden's own thermometer shows, and where it hangs.
#[derive(Debug, Clone, Copy)]
pub struct Shown<'a> {
    /// Its last reading.
    pub reading: Reading,
    /// The offset of its spot.
    pub offset: CelsiusStep,
    /// The garden, for the spots of its cuts.
    pub garden: &'a Garden,
}

/// A plant that is below what damages it by the garden's own thermometer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Below<'a> {
    /// The cut under watch.
    pub watch: &'a Watch,
    /// What the thermometer amounts to at the plant.
    pub at_plant: Celsius,
    /// The warmest temperature that damages what is tender.
    pub damage_at: Celsius,
}

/// A reading older than this says nothing of now (estimate).
const NOW: TimeDelta = TimeDelta::hours(1);

/// From this hour on a cold evening belongs to the night to the morning after.
const EVENING: NaiveTime = hour(12);

/// The plants that are below what damages them now, of which that was not said of this night; with the night's date.
pub fn below<'a>(
    watches: &'a [Watch],
    shown: &Shown<'_>,
    said: &[SaidAfter],
    moment: &Moment<'_>,
) -> (NaiveDate, Vec<Below<'a>>) {
    let local = moment.zone.local(shown.reading.at);
    let night = if local.time() < EVENING {
        local.date()
    } else {
        local.date().succ_opt().unwrap_or(local.date())
    };
    if moment.now - shown.reading.at > NOW {
        return (night, Vec::new());
    }
    let plant = |watch: &'a Watch| {
        // What is tender in the coming night is so now: tender times end by the day.
        let damage_at = watch.after.nights.first()?.damage_at;
        let mut cuts = shown.garden.cuts.iter();
        let spot = &cuts.find(|cut| cut.name == watch.deed.cut)?.spot;
        let at_plant = shown.reading.temperature + (spot.offset - shown.offset);
        let was_said = said
            .iter()
            .any(|said| said.is_of(watch, Alarm::BelowNow) && said.night == night);
        (at_plant <= damage_at && !was_said).then_some(Below {
            watch,
            at_plant,
            damage_at,
        })
    };
    (night, watches.iter().filter_map(plant).collect())
}

impl SaidAfter {
    /// What is said now of a watch.
    pub fn of(watch: &Watch, alarm: Alarm, night: NaiveDate) -> Self {
        Self {
            cut: watch.deed.cut.clone(),
            done_on: watch.deed.on,
            alarm,
            night,
        }
    }

    fn is_of(&self, watch: &Watch, alarm: Alarm) -> bool {
        self.cut == watch.deed.cut && self.done_on == watch.deed.on && self.alarm == alarm
    }
}

impl Moment<'_> {
    /// Whether the keeper is to be told now to cover in the night to a date.
    ///
    /// In the afternoon before; sooner only when the next look comes too late to cover by daylight; not when the day
    /// of the night's morning has begun.
    fn is_time_to_cover(&self, night: NaiveDate) -> bool {
        let Some(eve) = night.pred_opt() else {
            return false;
        };
        let at = |time: NaiveTime| self.zone.instant(eve.and_time(time));
        let has_begun_to_end = self.now >= self.zone.start_of(night);
        let is_near = at(DUSK) - self.now <= AHEAD;
        let is_last_look = self.next.is_none_or(|next| next > at(LATE));
        !has_begun_to_end && is_near && (self.now >= at(AFTERNOON) || is_last_look)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn zone() -> Zone {
        Zone::named("America/New_York").unwrap()
    }

    /// Whether the keeper is told of the night to 21 April, at a local time, with the next look at another.
    fn is_told(now: &str, next: Option<&str>) -> bool {
        let zone = zone();
        let instant = |text: &str| zone.instant(text.parse().unwrap());
        let moment = Moment {
            now: instant(now),
            next: next.map(instant),
            zone: &zone,
        };
        moment.is_time_to_cover(NaiveDate::from_ymd_opt(2026, 4, 21).unwrap())
    }

    #[test]
    fn the_afternoon_look_tells_and_the_morning_look_leaves_it_to_it() {
        assert!(!is_told("2026-04-20T05:30:00", Some("2026-04-20T14:30:00")));
        assert!(is_told("2026-04-20T14:30:00", Some("2026-04-21T05:30:00")));
        assert!(!is_told("2026-04-19T14:30:00", Some("2026-04-20T05:30:00")));
    }

    #[test]
    fn where_no_look_comes_in_the_afternoon_the_one_before_it_tells() {
        assert!(is_told("2026-04-20T05:30:00", Some("2026-04-21T05:30:00")));
        assert!(is_told("2026-04-20T05:30:00", Some("2026-04-20T17:30:00")));
        assert!(is_told("2026-04-20T05:30:00", None));
        // 36 h before dusk and not sooner.
        assert!(is_told("2026-04-19T06:00:00", None));
        assert!(!is_told("2026-04-19T05:59:00", None));
    }

    #[test]
    fn a_late_look_still_tells_before_midnight_and_not_after() {
        assert!(is_told("2026-04-20T23:59:00", Some("2026-04-21T05:30:00")));
        assert!(!is_told("2026-04-21T00:00:00", Some("2026-04-21T05:30:00")));
        assert!(!is_told("2026-04-21T05:30:00", Some("2026-04-21T14:30:00")));
    }
}

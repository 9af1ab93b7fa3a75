//! Seasons as the data files write them: `any-time`, or `bloom-end to 28 days after bloom-end`.

use super::dates::{ZONE_7, zone_shift_days};
use super::search::{list, nearest};
use super::{Anchor, Event, HardyZones, Kind, MonthDay, Season};

/// The word for a cut that the plant bears all year.
const ANY_TIME: &str = "any-time";

/// Days by which an anchor can lie beside its event.
const ANCHOR_DAYS_MAX: i32 = 150;

/// A season longer than so many days is taken as one that ends before it starts.
pub const SEASON_DAYS_MAX: i32 = 270;

const DAYS_OF_YEAR: i32 = 365;

/// The season from its text.
pub(super) fn season(text: &str) -> Result<Season, String> {
    if text == ANY_TIME {
        return Ok(Season::AnyTime);
    }
    let Some((from, to)) = text.split_once(" to ") else {
        return Err(format!(
            "'{text}' is no season; allowed: '{ANY_TIME}', or such as 'bloom-end to 28 days after bloom-end'"
        ));
    };
    Ok(Season::Between(anchor(from)?, anchor(to)?))
}

fn anchor(text: &str) -> Result<Anchor, String> {
    match *text.split_whitespace().collect::<Vec<_>>().as_slice() {
        [name] => Ok(Anchor {
            event: event(name)?,
            days: 0,
        }),
        [days, "day" | "days", side @ ("before" | "after"), name] => Ok(Anchor {
            event: event(name)?,
            days: if side == "before" {
                -days_beside(days)?
            } else {
                days_beside(days)?
            },
        }),
        _ => Err(format!(
            "'{text}' is no day of a season; allowed: an event, or such as '28 days after bloom-end'"
        )),
    }
}

fn days_beside(text: &str) -> Result<i32, String> {
    let days = text.parse().ok();
    days.filter(|days| (1..=ANCHOR_DAYS_MAX).contains(days))
        .ok_or_else(|| format!("found '{text}' days; allowed: 1 to {ANCHOR_DAYS_MAX}"))
}

fn event(name: &str) -> Result<Event, String> {
    let names = Event::ALL.map(Event::name);
    let found = Event::ALL.into_iter().find(|event| event.name() == name);
    found.ok_or_else(|| {
        let hint = nearest(name, names);
        let hint = hint.map_or_else(String::new, |near| format!("; did you mean '{near}'?"));
        format!("no event '{name}'; allowed: {}{hint}", list(&names))
    })
}

/// Checks that the season of a kind opens and closes in every zone in which the kind winters.
pub(super) fn check(kind: &Kind, season: Season) -> Result<(), String> {
    let Season::Between(from, to) = season else {
        return Ok(());
    };
    if from.event == to.event && to.days < from.days {
        return Err("it never opens: it ends before it starts".to_owned());
    }
    for zone in zones(kind.zones) {
        let start = day_in_zone(kind, from, zone)?;
        let end = day_in_zone(kind, to, zone)?;
        let days = (end - start).rem_euclid(DAYS_OF_YEAR);
        if days > SEASON_DAYS_MAX {
            let early = DAYS_OF_YEAR - days;
            return Err(format!(
                "it never opens in zone {zone:.1}: it ends {early} days before it starts"
            ));
        }
    }
    Ok(())
}

impl Kind {
    /// First and last day of a season in the middle of zone 7; none when the season is all year, or counts from an event
    /// that the kind does not have.
    pub fn zone_7_window(&self, season: Season) -> Option<(MonthDay, MonthDay)> {
        let Season::Between(from, to) = season else {
            return None;
        };
        let day = |anchor| day_in_zone(self, anchor, ZONE_7).ok();
        Some((
            MonthDay::of_day_of_year(day(from)?),
            MonthDay::of_day_of_year(day(to)?),
        ))
    }
}

/// The colder and the warmer end of the zones.
fn zones(zones: HardyZones) -> [f64; 2] {
    [f64::from(zones.coldest), f64::from(zones.warmest) + 0.9]
}

/// The day of the year, which may lie outside of 0 to 364.
fn day_in_zone(kind: &Kind, anchor: Anchor, zone: f64) -> Result<i32, String> {
    let name = anchor.event.name();
    let (day, days_per_zone) = kind.zone_7_day(anchor.event).ok_or_else(|| {
        format!("it counts from '{name}', and no dates of that event are given for this kind")
    })?;
    Ok(day.day_of_year() + zone_shift_days(zone, days_per_zone) + anchor.days)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn between(from: (Event, i32), to: (Event, i32)) -> Season {
        let anchor = |(event, days)| Anchor { event, days };
        Season::Between(anchor(from), anchor(to))
    }

    #[test]
    fn a_season_is_written_in_words() {
        assert_eq!(season("any-time"), Ok(Season::AnyTime));
        assert_eq!(
            season("bloom-end to 28 days after bloom-end"),
            Ok(between((Event::BloomEnd, 0), (Event::BloomEnd, 28)))
        );
        assert_eq!(
            season("42 days before bud-break to bud-break"),
            Ok(between((Event::BudBreak, -42), (Event::BudBreak, 0)))
        );
    }

    #[test]
    fn a_wrong_season_says_what_is_allowed() {
        let error = |text| season(text).unwrap_err();
        assert!(error("spring").contains("any-time"));
        assert!(error("bloom-ends to bud-set").contains("did you mean 'bloom-end'?"));
        assert!(error("400 days before bud-set to bud-set").contains("1 to 150"));
        assert!(error("x days before bud-set to bud-set").contains("found 'x' days"));
        assert!(error("3 weeks before bud-set to bud-set").contains("28 days after bloom-end"));
    }
}

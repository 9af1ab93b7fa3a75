//! What is looked after beside the cuts: standing dead trunks every year, all trees after a storm.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use super::Known;
use crate::forecast::{Conditions, Forecast};
use crate::garden::{Garden, Mark, Zone};
use crate::risk::DateRange;
use crate::units::MetresPerSecond;

/// A gust from which on trees are looked at after a storm: 58 mph, at which the US National Weather Service warns of
/// high wind (from memory).
pub const STORM_GUST: MetresPerSecond = MetresPerSecond(25.928);

/// A day with a storm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Storm {
    /// The local day.
    pub on: NaiveDate,
    /// Its strongest gust.
    pub gust: MetresPerSecond,
}

/// Something to look at.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "what", rename_all = "kebab-case")]
pub enum Check {
    /// Whether a dead trunk that was left standing is still sound, once a year.
    DeadTrunk {
        /// The planting in the keeper's words.
        planting: String,
        /// The name by which the check is noted when it was made.
        check: String,
        /// When it was last made, up to the end of the year.
        last: Option<NaiveDate>,
    },
    /// Whether a storm has left broken wood.
    AfterStorm(Storm),
}

/// The storms in the hours that were past when each forecast was made.
pub fn storms<'a>(runs: impl IntoIterator<Item = &'a Forecast>, zone: &Zone) -> Vec<Storm> {
    let mut strongest: BTreeMap<NaiveDate, MetresPerSecond> = BTreeMap::new();
    for run in runs {
        let hours = run.conditions.iter().flat_map(Conditions::iter);
        for (at, hour) in hours.filter(|(at, _)| *at < run.data_at) {
            let Some(gust) = hour.gust.filter(|gust| *gust >= STORM_GUST) else {
                continue;
            };
            let known = strongest.entry(zone.date(at)).or_insert(gust);
            if gust > *known {
                *known = gust;
            }
        }
    }
    let storm = |(on, gust)| Storm { on, gust };
    strongest.into_iter().map(storm).collect()
}

/// The checks of a year: storms in their order, then each dead trunk once.
pub(super) fn of_year(garden: &Garden, known: &Known<'_>, days: DateRange) -> Vec<Check> {
    let in_year = |storm: &&Storm| days.from <= storm.on && storm.on <= days.to;
    let storms = known.storms.iter().filter(in_year);
    let mut checks: Vec<Check> = storms.map(|storm| Check::AfterStorm(*storm)).collect();
    let dead = garden
        .cuts
        .iter()
        .filter(|cut| cut.facts.is(Mark::StandingDeadTrunk));
    for cut in dead {
        let check = cut.check_name();
        let made = known.deeds.iter().filter(|deed| deed.cut == check);
        let trunk = Check::DeadTrunk {
            planting: cut.planting.clone(),
            last: made.map(|deed| deed.on).filter(|on| *on <= days.to).max(),
            check,
        };
        if !checks.contains(&trunk) {
            checks.push(trunk);
        }
    }
    checks
}

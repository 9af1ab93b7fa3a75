//! Closed seasons of trees whose fresh wounds draw beetles, moths or spores: oak, elm, cherry, birch, dogwood.

use chrono::{Days, NaiveDate};
use serde::{Deserialize, Serialize};

use super::calendar::{Yearly, wait_out};
use super::{Case, Facts, Finding, Stand};
use crate::almanac::{CutKind, Habit};
use crate::garden::{Birch, Cherry, OakRegion};
use crate::outlook::Missing;
use crate::risk::DateRange;
use crate::units::Celsius;

/// Beetles fly on a day whose maximum is this or more, in °C: 50 °F (City of East Lansing; University of
/// Wisconsin-Madison Extension, Dane County, 2023).
pub(super) const FLIGHT_AT: Celsius = Celsius::new(10.0);

/// Days before the cut and after it that have to stay colder: 48 hours after it (University of Wisconsin-Madison
/// Extension, Dane County, 2023), some days before it (City of East Lansing; two are an estimate).
const COLD_DAYS: u64 = 2;

/// Months in which beetles may fly at all: not in December and January (estimate).
const FLIGHT: Yearly = Yearly::new((2, 1), (11, 30));
const ALL_YEAR: Yearly = Yearly::new((1, 1), (12, 31));

const APRIL_TO_NOVEMBER: Yearly = Yearly::new((4, 1), (11, 30));
const APRIL_TO_OCTOBER: Yearly = Yearly::new((4, 1), (10, 31));
const FEBRUARY_TO_JUNE: Yearly = Yearly::new((2, 1), (6, 30));
const MAY_TO_AUGUST: Yearly = Yearly::new((5, 1), (8, 31));
const WET_COOL: Yearly = Yearly::new((10, 1), (3, 1));
const DOGWOOD_BORER: Yearly = Yearly::new((4, 15), (6, 1));

const OAK: &str = "Wisconsin Department of Natural Resources, oak wilt, 2017 (April to July); University of Minnesota \
     Extension, about 2017 and 2023 (April to June, April to October); University of Wisconsin-Madison Extension, Dane \
     County, 2023 (April to November, below 50 °F for 48 hours after); City of East Lansing (below 50 °F)";
const OAK_TEXAS: &str =
    "City of Lakeway after Texas A&M Forest Service, Prune when the risk is low (February to June)";
const ELM: &str = "University of Wisconsin-Madison Extension, Dane County, 2023; City of East Lansing, Dutch elm disease";
const CHERRY_WET: &str = "University of Minnesota Extension, about 2017; from memory: Royal Horticultural Society \
     (silver leaf and canker); the days are an estimate";
const CHERRY_MOTH: &str =
    "University of Washington, Miller Library, Garden tip 15 (cherry bark tortrix, May to August)";
const BIRCH: &str =
    "garden press, and from memory: USDA Forest Service (bronze birch borer, May to August)";
const BIRCH_DRIP: &str =
    "University of Minnesota Extension, about 2017 (after full leaf); the days are an estimate";
const DOGWOOD: &str = "from memory: borers of dogwood lay in spring; North Carolina Cooperative Extension, Johnston County, 2009 (June and July)";

/// The numbers behind a finding on a closed season.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ClosedSeasonFacts {
    /// Which tree.
    pub tree: ClosedTree,
    /// What decides.
    pub closure: Closure,
    /// The closed season that is on or comes next; none where only the temperature counts.
    pub season: Option<DateRange>,
    /// Whether a wound made in the season is painted at once.
    pub paint: Paint,
    /// Whether the cut clears storm damage.
    pub storm: bool,
}

/// A tree with a closed season.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ClosedTree {
    /// Oak, for oak wilt.
    Oak,
    /// Elm, for Dutch elm disease.
    Elm,
    /// Cherry and its kin in wet cool months, for canker and silver leaf.
    CherryWet,
    /// Cherry and its kin while a moth flies whose grubs live in the bark.
    CherryMoth,
    /// Birch while the borer flies.
    BirchBorer,
    /// Birch while it drips.
    BirchDrip,
    /// Flowering dogwood while borers lay.
    Dogwood,
}

/// What decides.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Closure {
    /// The closed season is on.
    Season,
    /// A day about today is warm enough for beetles.
    Warm {
        /// The warmest of them.
        day: NaiveDate,
        /// Its maximum.
        max: Celsius,
    },
    /// Beetles may fly and the maxima of the coming days are not known.
    Unknown,
    /// The season is over and the days are cold enough.
    Open,
}

/// Whether a wound is painted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Paint {
    /// Never.
    Never,
    /// Within minutes when it is made in the season.
    InSeason,
    /// Within minutes at any time of the year.
    AllYear,
}

/// What closes one tree at one place.
struct Closed {
    tree: ClosedTree,
    season: Option<Yearly>,
    /// The months in which a warm day closes it as well.
    flight: Option<Yearly>,
    paint: Paint,
    source: &'static str,
}

/// Shuts a cut in the closed season of its tree, and holds it on days on which beetles fly.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    // Spent flowers and soft tips leave no wound that counts.
    if matches!(case.cut.cut.cut, CutKind::Deadhead | CutKind::Pinch) {
        return None;
    }
    let closed = closed(case)?;
    let season = closed
        .season
        .and_then(|season| season.here(case.hemisphere).next(case.today));
    let (closure, stand) = match season.filter(|season| season.from <= case.today) {
        Some(season) => (Closure::Season, wait_out(case.today, season)),
        None => by_temperature(case, &closed, season),
    };
    Some(Finding {
        stand,
        facts: Facts::ClosedSeason(ClosedSeasonFacts {
            tree: closed.tree,
            closure,
            season,
            paint: closed.paint,
            storm: case.cut.cut.cut == CutKind::StormRepair,
        }),
        source: closed.source.to_owned(),
    })
}

fn closed(case: &Case<'_>) -> Option<Closed> {
    let kind = &case.cut.kind;
    let genus = kind.botanical.split_whitespace().next()?;
    let drops_leaves = matches!(kind.habit, Habit::Tree | Habit::DeciduousShrub);
    let plain = |tree, season, source| Closed {
        tree,
        season: Some(season),
        flight: None,
        paint: Paint::Never,
        source,
    };
    match genus {
        "Quercus" => oak(case.choices.oak_region),
        "Ulmus" => Some(elm(case.choices.oak_region)),
        "Prunus" if drops_leaves => Some(match case.choices.cherry {
            Cherry::DrySummer => plain(ClosedTree::CherryWet, WET_COOL, CHERRY_WET),
            Cherry::NotMayToAugust => plain(ClosedTree::CherryMoth, MAY_TO_AUGUST, CHERRY_MOTH),
        }),
        "Betula" => Some(match case.choices.birch {
            Birch::OutsideBorerFlight => plain(ClosedTree::BirchBorer, MAY_TO_AUGUST, BIRCH),
            Birch::AfterFullLeaf => plain(
                ClosedTree::BirchDrip,
                Yearly::new((1, 15), (5, 15)),
                BIRCH_DRIP,
            ),
        }),
        "Cornus" if kind.habit == Habit::Tree => {
            Some(plain(ClosedTree::Dogwood, DOGWOOD_BORER, DOGWOOD))
        }
        _ => None,
    }
}

/// Oak by region; where the region's own sources differ, the strictest of them.
fn oak(region: OakRegion) -> Option<Closed> {
    let (season, flight, paint, source) = match region {
        OakRegion::NorthAmerica | OakRegion::Wisconsin => {
            (Some(APRIL_TO_NOVEMBER), Some(FLIGHT), Paint::InSeason, OAK)
        }
        OakRegion::Minnesota => (Some(APRIL_TO_OCTOBER), Some(FLIGHT), Paint::InSeason, OAK),
        OakRegion::Michigan => (None, Some(ALL_YEAR), Paint::InSeason, OAK),
        // Beetles are about on winter days there too, which is why each wound is painted.
        OakRegion::Texas => (Some(FEBRUARY_TO_JUNE), None, Paint::AllYear, OAK_TEXAS),
        OakRegion::NoOakWilt => return None,
    };
    Some(Closed {
        tree: ClosedTree::Oak,
        season,
        flight,
        paint,
        source,
    })
}

fn elm(region: OakRegion) -> Closed {
    let (season, flight) = match region {
        OakRegion::NorthAmerica | OakRegion::Wisconsin => (Some(APRIL_TO_NOVEMBER), Some(FLIGHT)),
        OakRegion::Minnesota | OakRegion::NoOakWilt => (Some(APRIL_TO_OCTOBER), Some(FLIGHT)),
        OakRegion::Michigan => (None, Some(ALL_YEAR)),
        OakRegion::Texas => (Some(APRIL_TO_OCTOBER), None),
    };
    Closed {
        tree: ClosedTree::Elm,
        season,
        flight,
        paint: Paint::Never,
        source: ELM,
    }
}

fn by_temperature(case: &Case<'_>, closed: &Closed, season: Option<DateRange>) -> (Closure, Stand) {
    let until = season.and_then(|season| season.from.pred_opt());
    let flies = closed
        .flight
        .and_then(|flight| flight.here(case.hemisphere).holding(case.today));
    let open = (Closure::Open, Stand::Clear { until });
    if flies.is_none() {
        return open;
    }
    match warmest_about(case, case.today) {
        Ok((day, max)) if max >= FLIGHT_AT => {
            let opens = first_cold_day(case).map(|day| DateRange { from: day, to: day });
            (Closure::Warm { day, max }, Stand::Hold { opens })
        }
        Ok(_) => open,
        // A cut made blind can cost the tree, and its neighbours.
        Err(missing) => (
            Closure::Unknown,
            Stand::Unknown {
                missing: vec![missing],
            },
        ),
    }
}

/// The warmest of the days about a day: all from that day on have to be known, those before it count where they are.
fn warmest_about(case: &Case<'_>, day: NaiveDate) -> Result<(NaiveDate, Celsius), Missing> {
    let first = day.checked_sub_days(Days::new(COLD_DAYS)).unwrap_or(day);
    let mut warmest: Option<(NaiveDate, Celsius)> = None;
    for date in first.iter_days().take(5) {
        match maximum(case, date) {
            Some(max) if warmest.is_none_or(|(_, most)| max > most) => warmest = Some((date, max)),
            Some(_) => {}
            None if date < day => {}
            None => return Err(Missing::Forecast),
        }
    }
    warmest.ok_or(Missing::Forecast)
}

/// The first day from tomorrow on that has no warm day about it, as far as the forecast reaches.
fn first_cold_day(case: &Case<'_>) -> Option<NaiveDate> {
    let tomorrow = case.today.succ_opt()?;
    let days = tomorrow
        .iter_days()
        .map_while(|day| Some((day, warmest_about(case, day).ok()?)));
    days.into_iter()
        .find(|(_, (_, max))| *max < FLIGHT_AT)
        .map(|(day, _)| day)
}

/// The highest temperature of a day: as it came, else of the forecast's main run, else the highest of its members.
pub(super) fn maximum(case: &Case<'_>, date: NaiveDate) -> Option<Celsius> {
    if let Some((_, max)) = case.measured.get(&date) {
        return Some(*max);
    }
    let day = case.days.get(&date)?;
    let members = day.members.iter().flatten().map(|(_, max)| *max);
    day.run
        .map(|(_, max)| max)
        .or_else(|| members.reduce(Celsius::max))
}

/// Whether a wound on this planting is painted at once today.
pub(super) fn paints_today(case: &Case<'_>) -> bool {
    let Some(closed) = closed(case) else {
        return false;
    };
    match closed.paint {
        Paint::Never => false,
        Paint::AllYear => true,
        // Where the days are not known it is taken as the season.
        Paint::InSeason => {
            let flies = |months: Yearly| months.here(case.hemisphere).holding(case.today).is_some();
            closed.season.is_some_and(flies)
                || (closed.flight.is_some_and(flies)
                    && !warmest_about(case, case.today).is_ok_and(|(_, max)| max < FLIGHT_AT))
        }
    }
}

//! Closed seasons of trees whose fresh wounds draw beetles, moths or spores: oak, elm, cherry, birch, dogwood.

mod regions;

use chrono::{Days, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use self::regions::{Closed, closed};
use super::calendar::{Yearly, wait_out};
use super::{Case, Facts, Finding, Stand};
use crate::almanac::CutKind;
use crate::outlook::Missing;
use crate::risk::DateRange;
use crate::units::Celsius;

/// Beetles fly on a day whose maximum is this or more, in °C: 50 °F (City of East Lansing; University of
/// Wisconsin-Madison Extension, Dane County, 2023).
pub(super) const FLIGHT_AT: Celsius = Celsius::new(10.0);

/// Days after the cut that have to stay colder: 48 hours (University of Wisconsin-Madison Extension, Dane County, 2023).
const COLD_AFTER: usize = 2;

/// Days before the cut that have to have been colder: some (City of East Lansing). That they are seven is an estimate:
/// beetles that a warm spell woke do not go at once, and a window that opens between two mild days is of no use.
const COLD_BEFORE: usize = 7;

/// The numbers behind a finding on a closed season.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
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
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Paint {
    /// Never.
    Never,
    /// Within minutes when it is made in the season.
    InSeason,
    /// Within minutes at any time of the year.
    AllYear,
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

fn by_temperature(case: &Case<'_>, closed: &Closed, season: Option<DateRange>) -> (Closure, Stand) {
    let until = season.and_then(|season| season.from.pred_opt());
    let open = (Closure::Open, Stand::Clear { until });
    let flight = closed.flight.map(|flight| flight.here(case.hemisphere));
    let Some(flight) = flight.filter(|flight| flight.holding(case.today).is_some()) else {
        return open;
    };
    match warmest_about(case, flight, case.today) {
        Ok((day, max)) if max >= FLIGHT_AT => {
            let opens = first_cold_day(case, flight).map(|day| DateRange { from: day, to: day });
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

/// The warmest of the days about a day: all from that day on have to be known, those before it count where they are, and
/// in the months in which beetles may fly.
fn warmest_about(
    case: &Case<'_>,
    flight: Yearly,
    day: NaiveDate,
) -> Result<(NaiveDate, Celsius), Missing> {
    let before = Days::new(u64::try_from(COLD_BEFORE).unwrap_or(0));
    let first = day.checked_sub_days(before).unwrap_or(day);
    let mut warmest: Option<(NaiveDate, Celsius)> = None;
    for date in first.iter_days().take(COLD_BEFORE + 1 + COLD_AFTER) {
        let flies = date >= day || flight.holding(date).is_some();
        match maximum(case, date).filter(|_| flies) {
            Some(max) if warmest.is_none_or(|(_, most)| max > most) => warmest = Some((date, max)),
            Some(_) => {}
            None if date < day => {}
            None => return Err(Missing::Forecast),
        }
    }
    warmest.ok_or(Missing::Forecast)
}

/// The first day from tomorrow on that has no warm day about it, as far as the forecast reaches.
fn first_cold_day(case: &Case<'_>, flight: Yearly) -> Option<NaiveDate> {
    let tomorrow = case.today.succ_opt()?;
    let days = tomorrow
        .iter_days()
        .map_while(|day| Some((day, warmest_about(case, flight, day).ok()?)));
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
            let holds = |months: &Yearly| months.holding(case.today).is_some();
            let here = |months: Yearly| months.here(case.hemisphere);
            let is_cold = |flight: Yearly| {
                warmest_about(case, flight, case.today).is_ok_and(|(_, max)| max < FLIGHT_AT)
            };
            closed.season.map(here).as_ref().is_some_and(holds)
                || (closed.flight.map(here).filter(holds)).is_some_and(|flight| !is_cold(flight))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::scene::{Scene, day, is_clear};
    use super::*;
    use crate::almanac::{Habit, Season};
    use crate::garden::{Birch, Cherry, Hemisphere, OakRegion};

    fn oak(today: &str) -> Scene {
        Scene::of("Quercus alba", Habit::Tree, CutKind::ThinningCut, today)
    }

    fn closure(scene: &Scene) -> Closure {
        let Some(Facts::ClosedSeason(facts)) = scene.find(find).map(|finding| finding.facts) else {
            panic!("no finding");
        };
        facts.closure
    }

    #[test]
    fn oak_is_shut_in_the_strictest_season_of_its_region() {
        // Wisconsin DNR, 2017: April to July; Dane County, 2023: April to November. The stricter one counts.
        let mut scene = oak("2027-04-01");
        scene.choices.oak_region = OakRegion::Wisconsin;
        assert_eq!(closure(&scene), Closure::Season);
        assert_eq!(closure(scene.on("2027-11-30")), Closure::Season);
        scene.on("2027-12-01");
        assert_eq!(
            scene.stand(find),
            Stand::Clear {
                until: Some(day("2028-03-31"))
            }
        );
        // University of Minnesota Extension, 2023: April to October.
        scene.choices.oak_region = OakRegion::Minnesota;
        assert_eq!(closure(scene.on("2027-10-31")), Closure::Season);
        let cold = [5.0; 8];
        assert_eq!(
            closure(scene.on("2027-11-01").maxima("2027-10-30", &cold)),
            Closure::Open
        );
    }

    #[test]
    fn fifty_degrees_within_two_days_hold_an_oak_while_beetles_may_fly() {
        let mut scene = oak("2027-02-20");
        // 50 °F is 10 °C; the day after tomorrow counts, the third day does not.
        scene.maxima("2027-02-18", &[4.0, 4.0, 4.0, 4.0, 9.9, 10.0]);
        assert_eq!(closure(&scene), Closure::Open);
        scene.maxima(
            "2027-02-18",
            &[
                4.0, 4.0, 4.0, 4.0, 10.0, 4.0, 4.0, 4.0, 4.0, 4.0, 4.0, 4.0, 4.0, 4.0, 4.0,
            ],
        );
        let warm = Closure::Warm {
            day: day("2027-02-22"),
            max: Celsius::new(10.0),
        };
        assert_eq!(closure(&scene), warm);
        // Seven days after the warm one the cut is free again.
        let opens = day("2027-03-02");
        let opens = Some(DateRange {
            from: opens,
            to: opens,
        });
        assert_eq!(scene.stand(find), Stand::Hold { opens });
        scene.maxima("2027-02-18", &[10.0, 4.0, 4.0, 4.0, 4.0]);
        assert!(matches!(closure(&scene), Closure::Warm { .. }));
        scene.maxima("2027-02-12", &[[10.0].as_slice(), &[4.0; 11]].concat());
        assert_eq!(closure(&scene), Closure::Open);
    }

    #[test]
    fn without_a_forecast_an_oak_is_not_cut_blind_except_in_deep_winter() {
        assert_eq!(closure(&oak("2027-02-20")), Closure::Unknown);
        assert!(matches!(
            oak("2027-02-20").stand(find),
            Stand::Unknown { .. }
        ));
        assert_eq!(closure(&oak("2027-01-10")), Closure::Open);
    }

    #[test]
    fn texas_and_places_without_oak_wilt_have_rules_of_their_own() {
        let mut scene = oak("2027-02-01");
        scene.choices.oak_region = OakRegion::Texas;
        assert_eq!(closure(&scene), Closure::Season);
        assert_eq!(closure(scene.on("2027-07-01")), Closure::Open);
        assert_eq!(closure(scene.on("2027-01-31")), Closure::Open);
        scene.choices.oak_region = OakRegion::NoOakWilt;
        assert_eq!(scene.find(find), None);
        // In Michigan only the temperature counts, in every month.
        scene.choices.oak_region = OakRegion::Michigan;
        scene
            .on("2027-01-10")
            .maxima("2027-01-08", &[3.0, 3.0, 10.0, 3.0, 3.0]);
        assert!(matches!(closure(&scene), Closure::Warm { .. }));
        scene.on("2027-06-10").maxima("2027-06-08", &[9.0; 5]);
        assert_eq!(closure(&scene), Closure::Open);
    }

    #[test]
    fn torn_oak_keeps_the_season_and_is_painted_in_it() {
        let mut scene = oak("2027-05-10");
        scene.cut = CutKind::StormRepair;
        assert!(!is_clear(&scene.stand(find)));
        let finding = scene.find(super::super::storm::find).unwrap();
        let Facts::Storm(facts) = finding.facts else {
            panic!("not storm");
        };
        assert_eq!(facts.repair, Some(super::super::Repair::Painted));
        scene.on("2027-01-10");
        assert!(is_clear(&scene.stand(find)));
        let Facts::Storm(facts) = scene.find(super::super::storm::find).unwrap().facts else {
            panic!("not storm");
        };
        assert_eq!(facts.repair, Some(super::super::Repair::Bare));
    }

    #[test]
    fn cherry_birch_and_dogwood_have_their_months() {
        let mut cherry = Scene::of(
            "Prunus serrulata",
            Habit::Tree,
            CutKind::ThinningCut,
            "2027-01-10",
        );
        assert_eq!(closure(&cherry), Closure::Season);
        assert_eq!(closure(cherry.on("2027-06-10")), Closure::Open);
        cherry.choices.cherry = Cherry::NotMayToAugust;
        assert_eq!(closure(&cherry), Closure::Season);
        assert_eq!(closure(cherry.on("2027-01-10")), Closure::Open);
        cherry.cut = CutKind::Deadhead;
        assert_eq!(cherry.find(find), None);
        let mut birch = Scene::of("Betula nigra", Habit::Tree, CutKind::LimbUp, "2027-05-01");
        assert_eq!(closure(&birch), Closure::Season);
        birch.choices.birch = Birch::AfterFullLeaf;
        assert_eq!(closure(birch.on("2027-05-16")), Closure::Open);
        let mut dogwood = Scene::of(
            "Cornus florida",
            Habit::Tree,
            CutKind::ThinningCut,
            "2027-06-01",
        );
        assert_eq!(closure(&dogwood), Closure::Season);
        assert_eq!(closure(dogwood.on("2027-06-02")), Closure::Open);
        // A laurel is an evergreen of the same genus.
        let laurel = Scene::of(
            "Prunus laurocerasus",
            Habit::LargeLeavedEvergreen,
            CutKind::Shear,
            "2027-01-10",
        );
        assert_eq!(laurel.season, Season::AnyTime);
        assert_eq!(laurel.find(find), None);
    }

    #[test]
    fn in_the_south_the_seasons_are_half_a_year_on() {
        let mut birch = Scene::of("Betula nigra", Habit::Tree, CutKind::LimbUp, "2027-05-10");
        birch.hemisphere = Hemisphere::South;
        assert_eq!(closure(&birch), Closure::Open);
        assert_eq!(closure(birch.on("2027-12-10")), Closure::Season);
    }
}

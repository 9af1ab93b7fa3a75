//! Old stems of perennials: who winters in them, when they may go, how much stays.

use chrono::{Datelike, NaiveDate, TimeDelta};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::closed_season::{FLIGHT_AT, maximum};
use super::season::span;
use super::{Case, Facts, Finding, Stand, calendar};
use crate::almanac::{Anchor, CutKind, Event, Habit, Wildlife};
use crate::climate::Climate;
use crate::garden::{Hemisphere, PlannedCut, StemBees, Stubble};
use crate::units::Celsius;

/// A day counts as warm from this maximum on: 50 °F (Town of Groton, Massachusetts, Delay spring cleanup, no date).
const WARM_AT: Celsius = FLIGHT_AT;

/// Of so many past springs nine in ten have had their warm days by then.
const NEARLY_ALL: usize = 90;

/// Days of winter and spring in which warm days are looked for.
const SPRING_DAYS: usize = 170;

const SOURCE: &str = "Xerces Society, Nesting and overwintering habitat, 2020 (8-24 in stubble); University of Minnesota \
     Extension, 2020 (8 in); Town of Groton (five days of 50 °F, 12-18 in); North Carolina State Extension, Garden \
     cleanup for pollinators, 2024 (first winter); Michigan Ask Extension, 2019 (no single threshold)";

/// The numbers behind a finding on old stems.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StemsFacts {
    /// What the owner chose.
    pub practice: StemBees,
    /// How much stays.
    pub stubble: Stubble,
    /// Whether bees nest in its stems.
    pub hollow: bool,
    /// Whether birds eat its seed.
    pub seed: bool,
    /// The last day of the first run of warm days, where they are counted and have come.
    pub warm_since: Option<NaiveDate>,
}

/// Whether a cut is that of a perennial's old stems.
pub(super) fn concern(cut: &PlannedCut) -> bool {
    let lives_there = |one: &Wildlife| {
        matches!(
            one,
            Wildlife::HollowStems | Wildlife::WinterShelter | Wildlife::WinterSeed
        )
    };
    cut.kind.habit == Habit::Perennial
        && cut.cut_kind() == CutKind::CutBack
        && cut.kind.wildlife.iter().any(lives_there)
}

/// Says how the owner's practice goes, and holds the cut while the warm days it waits for have not come.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    if !concern(case.cut) {
        return None;
    }
    let practice = case.choices.stem_bees;
    let mut warm_since = None;
    let stand = match (practice, practice.warm_days()) {
        (StemBees::LeaveAll, _) => Stand::Shut { opens: None },
        (_, Some(days)) => {
            warm_since = seen_warm_days(case, days);
            warm_stand(case, days, warm_since)
        }
        (_, None) => Stand::Clear { until: None },
    };
    let has = |one: Wildlife| case.cut.kind.wildlife.contains(&one);
    Some(Finding {
        stand,
        facts: Facts::Stems(StemsFacts {
            practice,
            stubble: case.choices.stubble,
            hollow: has(Wildlife::HollowStems),
            seed: has(Wildlife::WinterSeed),
            warm_since,
        }),
        source: SOURCE.to_owned(),
    })
}

/// Holds a cut between mid-winter and the warm days it waits for.
fn warm_stand(case: &Case<'_>, days: usize, seen: Option<NaiveDate>) -> Stand {
    let clear = Stand::Clear { until: None };
    let Some(winter) = winter_start(case) else {
        return clear;
    };
    if seen.is_some() {
        return clear;
    }
    match case
        .climate
        .and_then(|climate| usual_days(climate, days, winter, case.hemisphere))
    {
        // Nobody has counted, and by now they have come in nine springs of ten.
        Some((_, late)) if late < case.today => clear,
        Some((middle, _)) => {
            let tomorrow = case.today.succ_opt().unwrap_or(case.today);
            calendar::wait(case.today, middle.max(tomorrow))
        }
        None => Stand::Hold { opens: None },
    }
}

/// The last mid-winter, if it lies less than half a year back.
fn winter_start(case: &Case<'_>) -> Option<NaiveDate> {
    let middle = Anchor {
        event: Event::MidWinter,
        days: 0,
    };
    let end = Anchor {
        event: Event::MidSummer,
        days: 0,
    };
    span(case, middle, end)
        .map(|spring| spring.from)
        .filter(|from| *from <= case.today)
}

/// The last day of the first run of so many warm days up to today, as far as the record and the forecast go back.
fn seen_warm_days(case: &Case<'_>, days: usize) -> Option<NaiveDate> {
    let winter = winter_start(case)?;
    let spring = winter.iter_days().take_while(|day| *day <= case.today);
    run_of(spring, days, |date| maximum(case, date))
}

/// Middle and late day by which the past springs had their run of warm days, in the spring after a mid-winter.
fn usual_days(
    climate: &Climate,
    days: usize,
    winter: NaiveDate,
    hemisphere: Hemisphere,
) -> Option<(NaiveDate, NaiveDate)> {
    let month = match hemisphere {
        Hemisphere::North => 1,
        Hemisphere::South => 7,
    };
    let mut after: Vec<i64> = (climate.span.0.year()..=climate.span.1.year())
        .filter_map(|year| {
            let from = NaiveDate::from_ymd_opt(year, month, 15)?;
            let end = run_of(from.iter_days().take(SPRING_DAYS), days, |date| {
                climate.record.day(date).max
            })?;
            Some((end - from).num_days())
        })
        .collect();
    after.sort_unstable();
    let at = |percent: usize| {
        let index = (after.len() * percent / 100).min(after.len().checked_sub(1)?);
        winter.checked_add_signed(TimeDelta::days(*after.get(index)?))
    };
    Some((at(50)?, at(NEARLY_ALL)?))
}

/// The last day of the first run of so many warm days.
fn run_of(
    dates: impl Iterator<Item = NaiveDate>,
    days: usize,
    max: impl Fn(NaiveDate) -> Option<Celsius>,
) -> Option<NaiveDate> {
    let mut run = 0;
    for date in dates {
        run = if max(date).is_some_and(|max| max >= WARM_AT) {
            run + 1
        } else {
            0
        };
        if run == days {
            return Some(date);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::flowering;
    use super::super::scene::{Scene, day, is_clear};
    use super::*;

    fn stalks(practice: StemBees, today: &str) -> Scene {
        let mut scene = Scene::of("Monarda", Habit::Perennial, CutKind::CutBack, today);
        scene.kind.wildlife = vec![Wildlife::HollowStems];
        scene.choices.stem_bees = practice;
        scene
    }

    #[test]
    fn stalks_stay_until_the_plants_have_started_to_grow() {
        let mut scene = stalks(StemBees::UntilGrowth, "2027-02-10");
        assert!(!is_clear(&scene.stand(flowering::find)));
        assert!(!is_clear(&scene.on("2027-03-31").stand(flowering::find)));
        assert!(is_clear(&scene.on("2027-04-01").stand(flowering::find)));
        assert!(scene.find(find).is_some());
    }

    #[test]
    fn in_the_first_winter_they_go_once_frost_has_killed_them() {
        let mut scene = stalks(StemBees::FirstWinter, "2026-11-01");
        assert!(!is_clear(&scene.stand(flowering::find)));
        assert!(is_clear(&scene.on("2026-11-20").stand(flowering::find)));
        assert!(is_clear(&scene.on("2027-02-10").stand(flowering::find)));
    }

    #[test]
    fn warm_days_are_counted_in_a_row() {
        let mut scene = stalks(StemBees::WarmDays5, "2027-03-20");
        scene.maxima("2027-03-15", &[9.0, 10.0, 10.0, 10.0, 10.0, 9.9]);
        assert!(!is_clear(&scene.stand(find)));
        scene.maxima("2027-03-15", &[9.0, 10.0, 10.0, 10.0, 10.0, 10.0]);
        let Some(Facts::Stems(facts)) = scene.find(find).map(|finding| finding.facts) else {
            panic!("no finding");
        };
        assert_eq!(facts.warm_since, Some(day("2027-03-20")));
        assert!(is_clear(&scene.stand(find)));
        scene.choices.stem_bees = StemBees::WarmDays7;
        assert!(!is_clear(&scene.stand(find)));
    }

    #[test]
    fn who_leaves_all_stems_is_never_told_to_cut_them() {
        let scene = stalks(StemBees::LeaveAll, "2027-04-10");
        assert_eq!(scene.stand(find), Stand::Shut { opens: None });
    }

    #[test]
    fn a_perennial_in_which_nobody_winters_is_no_matter() {
        let mut scene = stalks(StemBees::LeaveAll, "2027-04-10");
        scene.kind.wildlife.clear();
        assert_eq!(scene.find(find), None);
        scene.kind.wildlife = vec![Wildlife::HollowStems];
        scene.cut = CutKind::Deadhead;
        assert_eq!(scene.find(find), None);
    }
}

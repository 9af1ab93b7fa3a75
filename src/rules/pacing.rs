//! How much may go in a year: the share of live growth, and renewal by thirds, both from what was done.

use chrono::{Months, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::calendar::{self, Yearly};
use super::{Case, Facts, Finding, Stand, bare_wood};
use crate::almanac::{CutKind, HardCut};
use crate::garden::{Deed, PlannedCut};

/// Renewal takes a third of the old stems a year (Iowa State University Extension, 2011; University of Missouri
/// Extension, Start your shears; North Carolina State University Horticulture).
const THIRDS: u8 = 3;

/// Two renewal cuts closer than this belong to one year (estimate: from the end of bloom of one year to late winter of
/// the next).
const ONE_YEAR: Months = Months::new(8);

/// Renewal cuts further apart than this are no longer one renewal (estimate).
const CHAIN: Months = Months::new(20);

/// So long after a hard cut its new shoots are thinned (estimate).
const THINNED_FOR: Months = Months::new(36);

/// The season of growth runs from mid-winter to mid-winter.
const MID_WINTER: Yearly = Yearly::new((1, 15), (1, 15));

const THIRDS_SOURCE: &str = "Iowa State University Extension (Jauron), 2011; University of Missouri Extension \
     (Starbuck), Start your shears, no date; North Carolina State University Horticulture, broadleaf evergreens";
const SHARE_SOURCE: &str = "Craven County Master Gardeners, 2016 (a third of the crown); University of Minnesota \
     Extension, about 2017 (a quarter of a tree in leaf); from memory: ANSI A300, 1995";

/// The numbers behind a finding on how much may go.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PacingFacts {
    /// Where the planting stands.
    pub stage: Stage,
    /// Percent of live growth that may go in a season.
    pub share_max: u8,
    /// Whether cuts were made of which nobody told how much they took.
    pub untold: bool,
}

/// Where a planting stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Stage {
    /// A renewal by thirds: this year's third is still to be cut.
    Third {
        /// Which one, from 1.
        year: u8,
        /// Of how many.
        of: u8,
    },
    /// This year's third is cut.
    ThirdDone {
        /// Which one.
        year: u8,
        /// Of how many.
        of: u8,
        /// When.
        on: NaiveDate,
    },
    /// The new shoots of a hard cut are thinned.
    ThinAfter {
        /// When it was cut hard last.
        on: NaiveDate,
    },
    /// A share of this season's growth is gone, and there is room for more.
    Taken {
        /// How much, in percent.
        share: u8,
    },
    /// As much is gone as may go.
    Full {
        /// How much, in percent.
        share: u8,
    },
}

/// Holds a cut when enough was taken, and counts the years of a renewal.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    match case.cut.cut.cut {
        CutKind::Renewal => renewal(case),
        CutKind::ThinningCut => share(case).or_else(|| thin_after(case)),
        CutKind::Shear | CutKind::CutBack | CutKind::LimbUp => share(case),
        // Spent flowers, soft tips and broken wood are no share of live growth.
        CutKind::Deadhead | CutKind::Pinch | CutKind::StormRepair => None,
    }
}

fn renewal(case: &Case<'_>) -> Option<Finding> {
    let (stage, next) = renewal_stage(case.cut, case.deeds, case.today)?;
    let stand = match next {
        Some(next) => calendar::wait(case.today, next),
        None => Stand::Clear { until: None },
    };
    Some(finding(case, stage, stand, THIRDS_SOURCE))
}

/// How far the renewal of a plant has come on a day, and when the next part may be cut if that is later; none where
/// all may go at once or nothing is renewed. `deeds` are those of the planting, in the order of the days.
pub fn renewal_stage(
    cut: &PlannedCut,
    deeds: &[Deed],
    today: NaiveDate,
) -> Option<(Stage, Option<NaiveDate>)> {
    if !by_thirds(cut) {
        return None;
    }
    let done = years_done(deeds, today);
    let count = u8::try_from(done.len()).unwrap_or(THIRDS);
    let due = Stage::Third {
        year: count % THIRDS + 1,
        of: THIRDS,
    };
    let Some(on) = done.last().copied() else {
        return Some((due, None));
    };
    let year = (count - 1) % THIRDS + 1;
    // After the last third the plant rests.
    let rest = if year == THIRDS { CHAIN } else { ONE_YEAR };
    let next = on.checked_add_months(rest)?;
    if next <= today {
        return Some((due, None));
    }
    let of = THIRDS;
    Some((Stage::ThirdDone { year, of, on }, Some(next)))
}

/// Whether the plant is renewed a third a year.
fn by_thirds(cut: &PlannedCut) -> bool {
    let bears = match cut.kind.hard_cut {
        HardCut::Staged => true,
        HardCut::Whole => bare_wood::is_chosen_staged(&cut.facts),
        HardCut::NotIntoBareWood | HardCut::No | HardCut::DiesBack => false,
    };
    bears && cut.cut_kind() == CutKind::Renewal
}

/// The days of the renewal that is under way: one a year, the first first.
fn years_done(deeds: &[Deed], today: NaiveDate) -> Vec<NaiveDate> {
    let mut chain: Vec<NaiveDate> = Vec::new();
    for on in renewals(deeds, today) {
        let last = chain.last().copied();
        let after = |months| last.and_then(|last| last.checked_add_months(months));
        if after(CHAIN).is_some_and(|end| on > end) {
            chain.clear();
        }
        if chain.is_empty() || after(ONE_YEAR).is_some_and(|next| on >= next) {
            chain.push(on);
        }
    }
    let over = chain
        .last()
        .and_then(|last| last.checked_add_months(CHAIN))
        .is_some_and(|end| today > end);
    if over { Vec::new() } else { chain }
}

fn renewals(deeds: &[Deed], today: NaiveDate) -> impl Iterator<Item = NaiveDate> + '_ {
    let is_renewal = move |deed: &&Deed| deed.kind() == Some(CutKind::Renewal) && deed.on <= today;
    deeds.iter().filter(is_renewal).map(|deed| deed.on)
}

/// Asks for a thinning of what a hard cut has brought.
fn thin_after(case: &Case<'_>) -> Option<Finding> {
    let on = renewals(case.deeds, case.today).last()?;
    let is_recent = on
        .checked_add_months(THINNED_FOR)
        .is_some_and(|end| case.today <= end);
    is_recent.then(|| {
        finding(
            case,
            Stage::ThinAfter { on },
            Stand::Clear { until: None },
            THIRDS_SOURCE,
        )
    })
}

/// Holds a cut when the season's share is gone; the season runs from mid-winter to mid-winter.
fn share(case: &Case<'_>) -> Option<Finding> {
    let most = case.cut.kind.share_max;
    let next = MID_WINTER.here(case.hemisphere).next(case.today)?.to;
    let since = next.checked_sub_months(Months::new(12))?;
    let counts = |deed: &&Deed| {
        let is_small = matches!(
            deed.kind(),
            Some(CutKind::Deadhead | CutKind::Pinch | CutKind::StormRepair | CutKind::Renewal)
        );
        deed.on >= since && deed.on <= case.today && !is_small
    };
    let shares = || case.deeds.iter().filter(counts).map(|deed| deed.share);
    let taken = shares().flatten().fold(0_u8, u8::saturating_add).min(100);
    // What may go whole has no share to keep to.
    if taken == 0 || most >= 100 {
        return None;
    }
    let (stage, stand) = if taken >= most {
        (
            Stage::Full { share: taken },
            calendar::wait(case.today, next),
        )
    } else {
        (Stage::Taken { share: taken }, Stand::Clear { until: None })
    };
    Some(finding(case, stage, stand, SHARE_SOURCE))
}

fn finding(case: &Case<'_>, stage: Stage, stand: Stand, source: &str) -> Finding {
    Finding {
        stand,
        facts: Facts::Pacing(PacingFacts {
            stage,
            share_max: case.cut.kind.share_max,
            untold: case.deeds.iter().any(|deed| deed.share.is_none()),
        }),
        source: source.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::scene::{Scene, day, is_clear};
    use super::*;
    use crate::almanac::Habit;
    use crate::garden::Mark;

    fn shrub(cut: CutKind, today: &str) -> Scene {
        Scene::of("Syringa vulgaris", Habit::DeciduousShrub, cut, today)
    }

    fn stage(scene: &Scene) -> Stage {
        let Some(Facts::Pacing(facts)) = scene.find(find).map(|finding| finding.facts) else {
            panic!("no finding");
        };
        facts.stage
    }

    #[test]
    fn a_renewal_takes_a_third_a_year_for_three_years() {
        let mut scene = shrub(CutKind::Renewal, "2027-03-10");
        assert_eq!(stage(&scene), Stage::Third { year: 1, of: 3 });
        scene
            .did(CutKind::Renewal, "2027-03-12", Some(33))
            .on("2027-03-13");
        assert!(matches!(stage(&scene), Stage::ThirdDone { year: 1, .. }));
        assert!(!is_clear(&scene.stand(find)));
        // Two days of one spring are one year.
        scene
            .did(CutKind::Renewal, "2027-03-20", None)
            .on("2028-03-10");
        assert_eq!(stage(&scene), Stage::Third { year: 2, of: 3 });
        assert!(is_clear(&scene.stand(find)));
        scene
            .did(CutKind::Renewal, "2028-03-15", None)
            .on("2029-03-10");
        assert_eq!(stage(&scene), Stage::Third { year: 3, of: 3 });
        scene
            .did(CutKind::Renewal, "2029-03-15", None)
            .on("2029-04-10");
        assert!(matches!(
            stage(&scene),
            Stage::ThirdDone { year: 3, of: 3, .. }
        ));
        // It rests in the year after, and only then a new one may begin.
        assert!(matches!(
            stage(scene.on("2030-04-10")),
            Stage::ThirdDone { year: 3, of: 3, .. }
        ));
        assert!(!is_clear(&scene.stand(find)));
        assert_eq!(
            stage(scene.on("2031-03-10")),
            Stage::Third { year: 1, of: 3 }
        );
    }

    #[test]
    fn a_renewal_left_off_for_two_years_begins_anew() {
        let mut scene = shrub(CutKind::Renewal, "2029-03-10");
        scene.did(CutKind::Renewal, "2027-03-12", None);
        assert_eq!(stage(&scene), Stage::Third { year: 1, of: 3 });
    }

    #[test]
    fn what_bears_it_whole_goes_by_thirds_only_where_the_owner_does_not_accept_the_risk() {
        let mut scene = shrub(CutKind::Renewal, "2027-03-10");
        scene.kind.hard_cut = HardCut::Whole;
        assert_eq!(scene.find(find), None);
        scene.mark(Mark::Overgrown);
        assert_eq!(stage(&scene), Stage::Third { year: 1, of: 3 });
        scene.mark(Mark::RiskAccepted);
        assert_eq!(scene.find(find), None);
    }

    #[test]
    fn new_shoots_are_thinned_in_the_years_after() {
        let mut scene = shrub(CutKind::ThinningCut, "2028-03-10");
        assert_eq!(scene.find(find), None);
        scene.did(CutKind::Renewal, "2027-03-12", None);
        let on = day("2027-03-12");
        assert_eq!(stage(&scene), Stage::ThinAfter { on });
        assert_eq!(stage(scene.on("2030-03-12")), Stage::ThinAfter { on });
        assert_eq!(scene.on("2030-03-13").find(find), None);
    }

    #[test]
    fn no_more_than_the_share_goes_in_a_season() {
        let mut scene = shrub(CutKind::Shear, "2027-06-10");
        scene.did(CutKind::Shear, "2027-05-01", Some(20));
        assert_eq!(stage(&scene), Stage::Taken { share: 20 });
        scene.did(CutKind::ThinningCut, "2027-05-20", Some(13));
        assert_eq!(stage(&scene), Stage::Full { share: 33 });
        assert!(!is_clear(&scene.stand(find)));
        // The next season begins in mid-winter.
        assert_eq!(stage(scene.on("2028-01-14")), Stage::Full { share: 33 });
        assert_eq!(scene.on("2028-01-16").find(find), None);
        scene.on("2027-06-10").kind.share_max = 100;
        assert_eq!(scene.find(find), None);
    }
}

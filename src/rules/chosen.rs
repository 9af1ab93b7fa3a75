//! The season of a cut with the owner's choices among published practices taken in.

use super::{Case, stems};
use crate::almanac::{Anchor, CutKind, Event, Habit, Season, Wood};
use crate::garden::{BoxwoodHardCut, Choices, Mark, OvergrownBloomers, PlannedCut, StemBees};

/// Days after the first growth on which old stems may still be taken without the new shoots (estimate).
const GROWTH_GRACE: i32 = 21;

/// Days after bloom in which an overgrown shrub is cut hard by those who spare its flowers (Iowa State University
/// Extension, 2011: right after bloom; the days are an estimate).
const AFTER_BLOOM: i32 = 28;

/// Days before bud break in which boxwood is cut hard by those who do it in late winter (Chicago Botanic Garden; the
/// days are an estimate).
const BEFORE_GROWTH: i32 = 35;

/// Days after the last freeze from which boxwood is cut hard by those who wait for May (Fluvanna County, Virginia,
/// Master Gardeners, 2013; the days are an estimate).
const FROST_IS_OVER: i32 = 14;

/// When a cut is made here: as the almanac says, or as the owner chose; none where the owner leaves it unmade.
pub fn chosen_season(cut: &PlannedCut, choices: &Choices) -> Option<Season> {
    let usual = cut.cut.season;
    if stems::concern(cut) {
        return stem_season(choices.stem_bees);
    }
    if is_boxwood(cut) {
        return Some(boxwood(choices.boxwood_hard_cut).unwrap_or(usual));
    }
    let after_bloom = choices.overgrown_bloomers == OvergrownBloomers::AfterBloom;
    if is_overgrown_bloomer(cut) && after_bloom {
        return Some(Season::Between(
            anchor(Event::BloomEnd, 0),
            anchor(Event::BloomEnd, AFTER_BLOOM),
        ));
    }
    Some(usual)
}

/// The same of a case. A cut that the owner leaves unmade keeps the almanac's season; [`stems`] shuts it.
pub(super) fn season(case: &Case<'_>) -> Season {
    chosen_season(case.cut, case.choices).unwrap_or(case.cut.cut.season)
}

/// Whether it is the hard cut of a boxwood.
pub(super) fn is_boxwood(cut: &PlannedCut) -> bool {
    cut.kind.botanical.starts_with("Buxus") && cut.cut_kind() == CutKind::Renewal
}

/// Whether it is the hard cut of an overgrown shrub that flowers on old wood.
pub(super) fn is_overgrown_bloomer(cut: &PlannedCut) -> bool {
    cut.kind.wood == Wood::Old
        && cut.kind.habit == Habit::DeciduousShrub
        && cut.cut_kind() == CutKind::Renewal
        && cut.facts.is(Mark::Overgrown)
}

fn stem_season(practice: StemBees) -> Option<Season> {
    let growth = anchor(Event::BudBreak, GROWTH_GRACE);
    match practice {
        StemBees::UntilGrowth => Some(Season::Between(anchor(Event::BudBreak, 0), growth)),
        StemBees::FirstWinter => Some(Season::Between(anchor(Event::HardFrost, 0), growth)),
        StemBees::WarmDays5 | StemBees::WarmDays7 | StemBees::WarmDays10 => {
            Some(Season::Between(anchor(Event::WarmSpell, 0), growth))
        }
        StemBees::LeaveAll => None,
    }
}

fn boxwood(practice: BoxwoodHardCut) -> Option<Season> {
    match practice {
        BoxwoodHardCut::LateWinter => Some(Season::Between(
            anchor(Event::BudBreak, -BEFORE_GROWTH),
            anchor(Event::BudBreak, 0),
        )),
        // The almanac's season is wide, and the odds of frost decide in it.
        BoxwoodHardCut::AfterLastFreeze => None,
        BoxwoodHardCut::LateSpring => Some(Season::Between(
            anchor(Event::LastFreeze, FROST_IS_OVER),
            anchor(Event::MidSummer, 0),
        )),
    }
}

const fn anchor(event: Event, days: i32) -> Anchor {
    Anchor { event, days }
}

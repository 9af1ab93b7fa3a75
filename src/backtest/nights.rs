//! The single nights of an outlook held against what came: do intervals hold, is there a seam at the forecast's end.

use super::question::{Question, after};
use crate::climate::DailyRecord;
use crate::climate::freeze::TOLERANCE;
use crate::outlook::Outlook;
use crate::units::{Celsius, count};

/// Leads that are looked at beyond the forecast's end.
const BEYOND: usize = 3;

/// One night of an outlook.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NightCheck {
    /// Days from the decision day to the night.
    pub lead: usize,
    /// Share of the futures in which it is at or below the limit.
    pub cold: f64,
    /// Whether what came lies between the tenth and the ninetieth of a hundred futures; none where it is not on record.
    pub inside: Option<bool>,
}

/// The nights of an outlook as far as its forecast goes and a little beyond.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Nights {
    /// How many days the forecast informs.
    pub forecast_days: usize,
    /// The nights in order, from lead 1 on.
    pub checks: Vec<NightCheck>,
}

impl Nights {
    /// The nights of an outlook.
    pub(super) fn of(outlook: &Outlook, question: &Question, record: &DailyRecord) -> Self {
        let forecast_days = outlook.basis.forecast_days;
        let last = (forecast_days + BEYOND).min(outlook.days().saturating_sub(1));
        let limit = question.limit + TOLERANCE;
        let check = |lead| {
            let mut nights: Vec<Celsius> = outlook
                .futures
                .iter()
                .filter_map(|future| future.min.get(lead).copied())
                .collect();
            let cold = nights.iter().filter(|night| **night <= limit).count();
            let cold = count(cold) / count(nights.len().max(1));
            let observed = record.day(after(outlook.basis.today, lead)).min;
            let inside = observed.and_then(|t| is_inside(&mut nights, t));
            NightCheck { lead, cold, inside }
        };
        Self {
            forecast_days,
            checks: (1..=last).map(check).collect(),
        }
    }

    /// How much the chance of a single cold night changes from one lead to the next: at the forecast's end, and on
    /// average over the leads around it.
    pub fn seam(&self) -> Option<(f64, f64)> {
        let changes: Vec<(usize, f64)> = self
            .checks
            .iter()
            .zip(self.checks.iter().skip(1))
            .map(|(one, next)| (one.lead, (next.cold - one.cold).abs()))
            .collect();
        let at_end = changes
            .iter()
            .find(|(lead, _)| *lead == self.forecast_days)?
            .1;
        let others: Vec<f64> = changes
            .iter()
            .filter(|(lead, _)| *lead != self.forecast_days)
            .map(|(_, change)| *change)
            .collect();
        (!others.is_empty()).then(|| (at_end, others.iter().sum::<f64>() / count(others.len())))
    }
}

/// Whether a value lies from the tenth to the ninetieth percentile of the others.
fn is_inside(others: &mut [Celsius], value: Celsius) -> Option<bool> {
    let tenth = others.len() / 10;
    let order = |a: &Celsius, b: &Celsius| a.degrees().total_cmp(&b.degrees());
    if others.is_empty() {
        return None;
    }
    let low = *others.select_nth_unstable_by(tenth, order).1;
    let high = *others
        .select_nth_unstable_by(others.len() - 1 - tenth, order)
        .1;
    Some(low <= value && value <= high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_middle_eight_tenths_are_inside() {
        let inside = |degrees: f64| {
            let mut others: Vec<_> = (0_i32..100).rev().map(|n| Celsius::new(n.into())).collect();
            is_inside(&mut others, Celsius::new(degrees)).unwrap()
        };
        let found = [9.0, 10.0, 89.0, 90.0].map(inside);
        assert_eq!(found, [false, true, true, false]);
    }

    #[test]
    fn the_seam_is_the_step_after_the_last_forecast_day() {
        let checks = [0.1, 0.2, 0.5, 0.4]
            .iter()
            .zip(1..)
            .map(|(cold, lead)| NightCheck {
                lead,
                cold: *cold,
                inside: None,
            })
            .collect();
        let nights = Nights {
            forecast_days: 2,
            checks,
        };
        let (at_end, others) = nights.seam().unwrap();
        assert!((at_end - 0.3).abs() < 1e-12 && (others - 0.1).abs() < 1e-12);
        assert_eq!(Nights::default().seam(), None);
    }
}

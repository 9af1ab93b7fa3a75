//! What forecasts are worth to someone who can pay to be safe.

use super::{Scored, mean};
use crate::units::Chance;

/// How often someone who acts on forecasts acts rightly and in vain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WarningRates {
    /// Share of cases in which the event came.
    pub base_rate: f64,
    /// Share of the events before which they acted.
    pub hit_rate: f64,
    /// Share of the cases without event in which they acted.
    pub false_alarm_rate: f64,
}

/// The rates of someone who acts whenever the chance is `act_from` or more.
///
/// - Shape: forecasts that have come due, in any order, and the chance from which on one acts.
/// - Unit: 1.
/// - Domain: at least one case with and one without the event; otherwise no number.
/// - Accuracy: exact.
/// - Source: Mason, A model for assessment of weather forecasts, Aust. Meteorol. Mag. 30, 1982, 291-303.
pub fn warning_rates(rows: &[Scored], act_from: Chance) -> Option<WarningRates> {
    let acted = |happened: bool| {
        let cases = rows.iter().filter(move |row| row.happened == happened);
        mean(cases.map(|row| f64::from(u8::from(row.chance >= act_from))))
    };
    Some(WarningRates {
        base_rate: mean(rows.iter().map(Scored::outcome))?,
        hit_rate: acted(true)?,
        false_alarm_rate: acted(false)?,
    })
}

/// The relative economic value of forecasts in the cost-loss model: of the expense that knowing the future would save
/// over knowing the base rate alone, the part that they save; 1 perfect, 0 no better than the base rate, negative worse.
///
/// - Shape: the rates of acting, and the cost of acting as a share of the loss that it prevents.
/// - Unit: 1.
/// - Domain: all numbers within 0..=1, cost-loss ratio and base rate neither 0 nor 1; otherwise no number.
/// - Accuracy: exact by formula.
/// - Source: Richardson, Skill and relative economic value of the ECMWF ensemble prediction system, Q. J. R. Meteorol.
///   Soc. 126, 2000, 649-667.
pub fn economic_value(rates: WarningRates, cost_loss: f64) -> Option<f64> {
    let WarningRates {
        base_rate,
        hit_rate,
        false_alarm_rate,
    } = rates;
    let all = [base_rate, hit_rate, false_alarm_rate, cost_loss];
    let possible = all.iter().all(|share| (0.0..=1.0).contains(share));
    let by_base_rate = cost_loss.min(base_rate);
    let knowing = base_rate * cost_loss;
    if !possible || by_base_rate <= knowing {
        return None;
    }
    let in_vain = false_alarm_rate * (1.0 - base_rate) * cost_loss;
    let rightly = hit_rate * base_rate * cost_loss;
    let lost = (1.0 - hit_rate) * base_rate;
    Some((by_base_rate - in_vain - rightly - lost) / (by_base_rate - knowing))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(base_rate: f64, hit_rate: f64, false_alarm_rate: f64, cost_loss: f64) -> Option<f64> {
        let rates = WarningRates {
            base_rate,
            hit_rate,
            false_alarm_rate,
        };
        economic_value(rates, cost_loss)
    }

    #[test]
    fn who_acts_from_a_chance_on_acts_at_that_chance_too() {
        let row = |share: f64, happened: bool| Scored {
            chance: Chance::of(share),
            happened,
            year: 2001,
        };
        let rows = [
            row(0.3, true),
            row(0.2, true),
            row(0.3, false),
            row(0.1, false),
        ];
        let half = WarningRates {
            base_rate: 0.5,
            hit_rate: 0.5,
            false_alarm_rate: 0.5,
        };
        assert_eq!(warning_rates(&rows, Chance::of(0.3)), Some(half));
        assert_eq!(warning_rates(&rows[..2], Chance::of(0.3)), None);
        assert_eq!(warning_rates(&[], Chance::of(0.3)), None);
    }

    #[test]
    fn knowing_the_future_is_worth_everything_and_the_base_rate_nothing() {
        let near = |found: Option<f64>, expected: f64| {
            assert!((found.unwrap() - expected).abs() < 1e-12, "{found:?}");
        };
        near(value(0.25, 1.0, 0.0, 0.25), 1.0);
        near(value(0.25, 1.0, 1.0, 0.25), 0.0);
        near(value(0.25, 0.0, 0.0, 0.25), 0.0);
    }

    #[test]
    fn where_nothing_can_be_saved_there_is_no_value() {
        for (base_rate, cost_loss) in [
            (0.0, 0.2),
            (1.0, 0.2),
            (0.2, 0.0),
            (0.2, 1.0),
            (0.2, 1.1),
            (f64::NAN, 0.2),
        ] {
            let found = value(base_rate, 0.5, 0.1, cost_loss);
            assert_eq!(found, None, "{base_rate} {cost_loss}");
        }
    }
}

//! From the curve of chances by cutting day to the first go day and the last call.

use chrono::NaiveDate;

use super::DateRange;
use crate::outlook::Basis;
use crate::units::Chance;

/// Days for which the chance has to stay within the tolerance before a day to come counts as go.
///
/// Guards against one lucky day between two bad ones (estimate).
pub const STAYS_DAYS: usize = 3;

/// Today's chance for a day to come has fallen to this many times the tolerance about when the day itself brings
/// the go, since later forecasts release the kinder seasons early.
///
/// Back-test on 69 springs of one station: the go came within a day, on average, of the day on which the present
/// curve crosses 2 to 2.5 times the tolerance (estimate).
pub const LIKELY_MARGIN: f64 = 2.25;

/// The last call is the last day within the tolerance divided by this.
///
/// To pick the last day of a rising curve is to pick a lucky one; the margin takes back what the choice costs
/// (back-test on three stations, 1.5; estimate).
pub const LAST_CALL_MARGIN: f64 = 1.5;

/// The days that follow from a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Plan {
    pub(super) first_go: Option<DateRange>,
    pub(super) last_call: Option<NaiveDate>,
}

/// Reads the first go day and the last call off a curve whose index counts days from today.
pub(super) fn decide(basis: &Basis, curve: &[Chance], tolerance: Chance) -> Plan {
    let Some(first) = first_go(curve, tolerance) else {
        return Plan {
            first_go: None,
            last_call: None,
        };
    };
    let likely = first_staying(curve, LIKELY_MARGIN * tolerance.share())
        .unwrap_or(first)
        .min(first);
    Plan {
        first_go: Some(DateRange {
            from: basis.date(likely),
            to: basis.date(first),
        }),
        last_call: last_call(curve, first, tolerance).map(|day| basis.date(day)),
    }
}

/// Today when today's chance is within the tolerance, else the first day on which it is and stays so.
fn first_go(curve: &[Chance], tolerance: Chance) -> Option<usize> {
    if curve.first()?.share() <= tolerance.share() {
        return Some(0);
    }
    first_staying(curve, tolerance.share())
}

fn first_staying(curve: &[Chance], limit: f64) -> Option<usize> {
    curve
        .windows(STAYS_DAYS)
        .position(|days| days.iter().all(|chance| chance.share() <= limit))
}

/// The last day of the open time that holds `first`; none when the time does not end on the curve.
fn last_call(curve: &[Chance], first: usize, tolerance: Chance) -> Option<usize> {
    let open = curve
        .iter()
        .skip(first)
        .take_while(|chance| chance.share() <= tolerance.share())
        .count();
    if first + open >= curve.len() {
        return None;
    }
    let careful = tolerance.share() / LAST_CALL_MARGIN;
    let last = curve
        .iter()
        .skip(first)
        .take(open)
        .rposition(|chance| chance.share() <= careful)
        .unwrap_or(0);
    Some(first + last)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn basis() -> Basis {
        Basis {
            today: NaiveDate::from_ymd_opt(2027, 3, 1).unwrap(),
            futures: 100,
            years: 30,
            members: 1,
            forecast_days: 12,
            forecast_from: None,
            forecast_age_hours: None,
            record_from: None,
            missing: Vec::new(),
        }
    }

    fn curve(percent: &[i32]) -> Vec<Chance> {
        percent
            .iter()
            .map(|p| Chance::of(f64::from(*p) / 100.0))
            .collect()
    }

    fn march(day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, 3, day).unwrap()
    }

    fn plan(percent: &[i32]) -> Plan {
        decide(&basis(), &curve(percent), Chance::of(0.10))
    }

    #[test]
    fn a_falling_curve_gives_a_range_for_the_first_go_day() {
        let plan = plan(&[90, 60, 22, 20, 15, 10, 9, 8, 0, 0]);
        assert_eq!(
            plan.first_go,
            Some(DateRange {
                from: march(3),
                to: march(6)
            })
        );
        assert_eq!(plan.last_call, None);
    }

    #[test]
    fn a_single_lucky_day_is_not_the_first_go_day() {
        assert_eq!(
            plan(&[90, 90, 9, 90, 90, 9, 9, 9]).first_go.unwrap().to,
            march(6)
        );
    }

    #[test]
    fn today_counts_as_it_stands() {
        assert_eq!(plan(&[10, 90, 90, 90]).first_go.unwrap().to, march(1));
    }

    #[test]
    fn the_last_call_keeps_a_margin_on_the_rising_side() {
        assert_eq!(plan(&[0, 2, 6, 7, 9, 12, 40]).last_call, Some(march(3)));
    }

    #[test]
    fn a_curve_that_starts_within_the_margin_calls_today() {
        assert_eq!(plan(&[8, 9, 12, 40]).last_call, Some(march(1)));
    }

    #[test]
    fn the_margin_does_not_close_the_falling_side() {
        assert_eq!(plan(&[9, 8, 3, 0, 0, 4, 9, 30]).last_call, Some(march(6)));
    }

    #[test]
    fn a_curve_that_never_falls_has_neither() {
        assert_eq!(
            plan(&[90, 91, 92]),
            Plan {
                first_go: None,
                last_call: None
            }
        );
    }
}

//! From the curve of chances by cutting day to the first go day, the last call and the least risky day.

use chrono::NaiveDate;

use super::{DateRange, Spread};
use crate::outlook::Basis;
use crate::units::Chance;

/// Days for which the chance has to stay within the tolerance before a day to come counts as go.
///
/// Guards against one lucky day between two bad ones (estimate).
pub const STAYS_DAYS: usize = 3;

/// Today's chance for a day to come has fallen to these many times the tolerance about when the day itself brings the
/// go, in half of the seasons and in the earliest tenth, since later forecasts release the kinder seasons early.
///
/// Back-test on 280 springs of nine records, ensembles with faults that are learned: on half of the waiting days the go
/// came by the day on which the present curve crosses 2.2 times the tolerance (2.05 to 2.4 by years), on a tenth by 3.7
/// times (3.6 to 3.9), on nine tenths by 0.90 times (0.74 to 1.06), for which the tolerance itself stands (estimate).
pub const LIKELY_MARGIN: f64 = 2.25;
/// See [`LIKELY_MARGIN`].
pub const EARLY_MARGIN: f64 = 3.7;

/// The last call is the last day within the tolerance divided by this.
///
/// To pick the last day of a rising curve is to pick a lucky one; the margin takes back what the choice costs
/// (back-test on three stations, 1.5; estimate).
pub const LAST_CALL_MARGIN: f64 = 1.5;

/// The days that follow from a curve.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Plan {
    pub(super) first_go: Option<Spread>,
    pub(super) last_call: Option<NaiveDate>,
    pub(super) open: Vec<DateRange>,
}

/// Reads the first go day, the last call and the open times off a curve whose index counts days from today.
pub(super) fn decide(basis: &Basis, curve: &[Chance], tolerance: Chance) -> Plan {
    let open = open_times(curve, tolerance.share());
    let first_go = open.first().map(|(first, _)| {
        let staying = |margin: f64| {
            first_staying(curve, margin * tolerance.share())
                .unwrap_or(*first)
                .min(*first)
        };
        Spread {
            early: basis.date(staying(EARLY_MARGIN)),
            middle: basis.date(staying(LIKELY_MARGIN)),
            late: basis.date(*first),
        }
    });
    let last_call = open
        .first()
        .and_then(|(first, last)| last_call(curve, (*first, *last), tolerance));
    Plan {
        first_go,
        last_call: last_call.map(|day| basis.date(day)),
        open: open
            .iter()
            .map(|(first, last)| DateRange {
                from: basis.date(*first),
                to: basis.date(*last),
            })
            .collect(),
    }
}

/// The times within the limit as first and last index: one that holds today, however short, then those that stay.
fn open_times(curve: &[Chance], limit: f64) -> Vec<(usize, usize)> {
    let mut times: Vec<(usize, usize)> = Vec::new();
    let within = curve
        .iter()
        .enumerate()
        .filter(|(_, chance)| chance.share() <= limit);
    for (day, _) in within {
        match times.last_mut() {
            Some((_, last)) if *last + 1 == day => *last = day,
            Some(_) | None => times.push((day, day)),
        }
    }
    times.retain(|(first, last)| *first == 0 || last - first + 1 >= STAYS_DAYS);
    times
}

fn first_staying(curve: &[Chance], limit: f64) -> Option<usize> {
    curve
        .windows(STAYS_DAYS)
        .position(|days| days.iter().all(|chance| chance.share() <= limit))
}

/// The last day on which to cut of an open time; none when the time does not end on the curve.
fn last_call(curve: &[Chance], (first, last): (usize, usize), tolerance: Chance) -> Option<usize> {
    if last + 1 >= curve.len() {
        return None;
    }
    let careful = tolerance.share() / LAST_CALL_MARGIN;
    let days = curve.iter().skip(first).take(last - first + 1);
    Some(
        first
            + days
                .rev()
                .position(|chance| chance.share() <= careful)
                .map_or(0, |back| last - first - back),
    )
}

/// The least risky day up to `until`, by index, and its chance; the earlier of two alike.
pub(super) fn least(curve: &[Chance], until: usize) -> Option<(usize, Chance)> {
    curve
        .iter()
        .copied()
        .enumerate()
        .take(until + 1)
        .min_by(|(_, a), (_, b)| a.share().total_cmp(&b.share()))
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
            record_site: None,
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
            Some(Spread {
                early: march(3),
                middle: march(3),
                late: march(6)
            })
        );
        assert_eq!(plan.last_call, None);
    }

    #[test]
    fn a_single_lucky_day_is_not_the_first_go_day() {
        assert_eq!(
            plan(&[90, 90, 9, 90, 90, 9, 9, 9]).first_go.unwrap().late,
            march(6)
        );
    }

    #[test]
    fn today_counts_as_it_stands() {
        assert_eq!(plan(&[10, 90, 90, 90]).first_go.unwrap().late, march(1));
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
                last_call: None,
                open: Vec::new()
            }
        );
    }

    #[test]
    fn two_safe_seasons_are_two_open_times() {
        let open = plan(&[5, 5, 40, 40, 9, 9, 9, 40, 9, 9]).open;
        let range = |from, to| DateRange {
            from: march(from),
            to: march(to),
        };
        assert_eq!(open, [range(1, 2), range(5, 7)]);
    }

    #[test]
    fn the_least_risky_day_is_found_up_to_the_close() {
        assert_eq!(
            least(&curve(&[60, 40, 40, 20]), 2),
            Some((1, Chance::of(0.4)))
        );
        assert_eq!(least(&[], 2), None);
    }
}

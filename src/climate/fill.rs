//! Gaps in a series of anomalies, filled so that past years can be replayed as whole runs of days.
//!
//! A gap of one or two days is bridged in a straight line. A longer one takes the same days of the nearest other
//! year, so that the filled days vary as real ones do; the same calendar day of another year is as likely a day.

use chrono::Datelike;

use super::years::Dated;
use crate::units::count;

/// The longest gap that is bridged.
const BRIDGE_DAYS: usize = 2;

/// The anomalies of all years in one series without gaps, and the correlation from day to day by month.
pub(super) fn anomalies(
    years: &[Vec<Dated>],
    anomaly: impl Fn(&Dated) -> Option<f64>,
) -> (Vec<f64>, [f64; 12]) {
    let mut rows: Vec<Vec<Option<f64>>> = years
        .iter()
        .map(|year| year.iter().map(&anomaly).collect())
        .collect();
    let persistence = persistence(years, &rows);
    for row in &mut rows {
        bridge(row);
    }
    let filled = (0..rows.len())
        .flat_map(|year| borrow(&rows, year))
        .collect();
    (filled, persistence)
}

/// Correlation of neighbouring days over each month and the months beside it.
fn persistence(years: &[Vec<Dated>], rows: &[Vec<Option<f64>>]) -> [f64; 12] {
    let mut sums = [(0.0, 0.0); 12];
    for (year, row) in years.iter().zip(rows) {
        for ((date, _), pair) in year.iter().zip(row.windows(2)) {
            let &[Some(first), Some(second)] = pair else {
                continue;
            };
            let month = usize::try_from(date.month0()).unwrap_or(0);
            for near in [month + 11, month, month + 1] {
                if let Some((product, square)) = sums.get_mut(near % 12) {
                    *product += first * second;
                    *square += f64::midpoint(first * first, second * second);
                }
            }
        }
    }
    sums.map(|(product, square)| if square > 0.0 { product / square } else { 0.0 })
}

/// Bridges the short gaps inside a row.
fn bridge(row: &mut [Option<f64>]) {
    let known: Vec<(usize, f64)> = row
        .iter()
        .enumerate()
        .filter_map(|(i, v)| v.map(|v| (i, v)))
        .collect();
    for pair in known.windows(2) {
        let &[(start, from), (end, to)] = pair else {
            continue;
        };
        let gap = end - start - 1;
        if gap == 0 || gap > BRIDGE_DAYS {
            continue;
        }
        for (step, cell) in row.iter_mut().take(end).skip(start + 1).enumerate() {
            *cell = Some(from + (to - from) * count(step + 1) / count(gap + 1));
        }
    }
}

/// One year with what it lacks taken from the nearest years that have it, later ones first.
fn borrow(rows: &[Vec<Option<f64>>], year: usize) -> Vec<f64> {
    let mut order: Vec<usize> = (0..rows.len()).collect();
    order.sort_by_key(|other| (other.abs_diff(year), *other < year));
    let days = rows.get(year).map_or(0, Vec::len);
    (0..days)
        .map(|day| {
            order
                .iter()
                .find_map(|year| *rows.get(*year)?.get(day)?)
                .unwrap_or(0.0)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_gap_is_bridged_and_a_long_one_is_not() {
        let mut row = [
            Some(1.0),
            None,
            None,
            Some(4.0),
            None,
            None,
            None,
            Some(0.0),
        ];
        bridge(&mut row);
        assert_eq!(
            row,
            [
                Some(1.0),
                Some(2.0),
                Some(3.0),
                Some(4.0),
                None,
                None,
                None,
                Some(0.0)
            ]
        );
    }

    #[test]
    fn a_long_gap_takes_the_nearest_year() {
        let rows = [
            vec![Some(1.0); 3],
            vec![Some(2.0), None, None],
            vec![None, Some(3.0), None],
        ];
        assert_eq!(borrow(&rows, 1), [2.0, 3.0, 1.0]);
    }
}

//! The past years that continue the forecast: which of them, from which day, beside which member.

use statrs::distribution::{ContinuousCDF, Normal};

use crate::units::count;

/// How many days earlier or later in the year a past year is also started.
///
/// Freeze dates of neighbouring days are as likely; ±15 verified best of 0, ±6, ±15 and ±30 days (own back-test;
/// estimate).
pub(super) const SHIFT_DAYS: i64 = 15;

/// One of the futures to build: a member of the forecast and a past year that starts some days off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Template {
    /// Position among the members; zero for a single run.
    pub(super) member: usize,
    /// Past year, the oldest first.
    pub(super) year: usize,
    /// Days by which the past year is started early or late.
    pub(super) shift: i64,
}

/// Every past year with every shift, the members dealt out evenly.
///
/// A single run takes each year with each of the 31 shifts. With more members each takes, of every year, the shifts
/// whose position leaves the member's number when divided by the number of members, so that the futures stay about
/// as many, every member meets every year, and no chance is involved.
pub(super) fn templates(years: usize, members: usize) -> Vec<Template> {
    let shifts = usize::try_from(2 * SHIFT_DAYS + 1).unwrap_or(1);
    let members = members.max(1);
    let stride = members.min(shifts);
    let mut all = Vec::new();
    for year in 0..years {
        for member in 0..members {
            for position in (member % stride..shifts).step_by(stride) {
                let shift = i64::try_from(position).unwrap_or(0) - SHIFT_DAYS;
                all.push(Template {
                    member,
                    year,
                    shift,
                });
            }
        }
    }
    all
}

/// Levels of a steady anomaly that stand in for past years where there are none.
const STEADY_LEVELS: usize = 99;

/// The standard normal quantile in the middle of each of [`STEADY_LEVELS`] equal shares.
pub(super) fn steady_levels() -> Vec<f64> {
    let law = Normal::standard();
    (0..STEADY_LEVELS)
        .map(|level| law.inverse_cdf((count(level) + 0.5) / count(STEADY_LEVELS)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_single_run_meets_every_year_with_every_shift() {
        let all = templates(2, 1);
        assert_eq!(all.len(), 62);
        assert_eq!((all[0].shift, all[30].shift, all[31].year), (-15, 15, 1));
    }

    #[test]
    fn members_share_the_shifts_of_a_year_evenly() {
        for members in [2, 7, 31, 40, 51] {
            let all = templates(30, members);
            let of_member = |member: usize| all.iter().filter(|t| t.member == member).count();
            let counts: Vec<usize> = (0..members).map(of_member).collect();
            let (least, most) = (counts.iter().min().unwrap(), counts.iter().max().unwrap());
            assert!(
                *least >= 30 && most - least <= 30,
                "{members}: {least} to {most}"
            );
            assert_eq!(all.len() / 30, members.max(31), "{members}");
        }
    }

    #[test]
    fn steady_levels_are_symmetric_quantiles() {
        let levels = steady_levels();
        assert!(levels[49].abs() < 1e-9);
        // Φ⁻¹(0.5/99) = -2.5723: from memory.
        assert!((levels[0] + 2.572).abs() < 0.01 && (levels[98] - 2.572).abs() < 0.01);
    }
}

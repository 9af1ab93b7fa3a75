//! When a cut is released and when the release is withdrawn: damped, so that a jumpy forecast does not flip it.

use chrono::{DateTime, TimeDelta, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::Chance;

/// Two looks at the weather that agree have to lie so far apart: they then rest on different forecast runs.
const SECOND_LOOK_AFTER: TimeDelta = TimeDelta::hours(12);

/// Once a release was withdrawn the looks have to agree for so long before the next one, as long as a wobble may last: the
/// season has shown that it jumps, and who was told twice to put a cut off does not listen a third time (estimate; with
/// half a day windows of the five rehearsed gardens flipped up to five times a year).
const AGAIN_AFTER: TimeDelta = TimeDelta::days(WOBBLE_DAYS);

/// For so long a withdrawal is remembered; after it another season has come (estimate).
const WITHDRAWN_KEPT_FOR: TimeDelta = TimeDelta::days(60);

/// At the very first look a chance this small a part of the tolerance needs no second one (estimate).
const SURE_SHARE: f64 = 0.5;

/// A release is withdrawn when the chance is above so many times the tolerance.
///
/// With two looks to release and this to withdraw, 69 springs of one station saw 1.3 changes each, where 1 is the least
/// possible and 2.9 came without (own back-test; estimate).
pub const WITHDRAWN_ABOVE: f64 = 2.0;

/// A release is withdrawn for a single coming night that is dangerous in so many ways (estimate).
const NIGHT_WITHDRAWS: f64 = 0.4;

/// A chance above the tolerance is taken for a wobble only when it will be within it again so soon; a season that ends
/// is not.
const WOBBLE_DAYS: i64 = 21;

/// What is remembered of a cut from look to look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Release {
    /// Since when no look would have withdrawn a release of the cut of its day or the next.
    #[serde(alias = "within_since")]
    pub agreed_since: Option<DateTime<Utc>>,
    /// Whether the cut is released.
    pub released: bool,
    /// When a release of this season was withdrawn last, until it has come again.
    #[serde(default)]
    pub withdrawn: Option<DateTime<Utc>>,
}

/// What a look finds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    /// When the forecast that it rests on was made.
    pub at: DateTime<Utc>,
    /// The chance of damage for a cut made today.
    pub chance: Chance,
    /// The chance for a cut made tomorrow.
    pub tomorrow: Chance,
    /// The chance that the keeper accepts.
    pub tolerance: Chance,
    /// Whether the forecast itself has a damaging night within two days.
    pub frost_at_hand: bool,
    /// The chance of the most dangerous of the next four nights.
    pub near_night: Chance,
    /// Days until the chance is within the tolerance to stay; none when it never is.
    pub go_in_days: Option<i64>,
}

impl Release {
    /// What a look makes of what the look before it left.
    pub fn after(before: Option<Self>, look: &Look) -> Self {
        let within = look.chance.share() <= look.tolerance.share();
        let since = before
            .and_then(|before| before.agreed_since)
            .unwrap_or(look.at);
        // What counts for the look to come is the cut that it will be asked about. One that would let a release stand
        // agrees: to ask that both looks be within the tolerance costs two more days of waiting (back-test).
        let chance = look.chance.share().min(look.tomorrow.share());
        let agrees = chance <= WITHDRAWN_ABOVE * look.tolerance.share();
        let agreed_since = agrees.then_some(since);
        let withdrawn = before
            .and_then(|before| before.withdrawn)
            .filter(|at| look.at - *at <= WITHDRAWN_KEPT_FOR);
        let needed = match withdrawn {
            Some(_) => AGAIN_AFTER,
            None => SECOND_LOOK_AFTER,
        };
        let released = !look.frost_at_hand
            && match before {
                Some(Self { released: true, .. }) => within || is_wobble(look),
                Some(Self {
                    agreed_since: Some(since),
                    ..
                }) => within && look.at - since >= needed,
                Some(Self {
                    agreed_since: None, ..
                }) => false,
                None => look.chance.share() <= SURE_SHARE * look.tolerance.share(),
            };
        let was_released = before.is_some_and(|before| before.released);
        Self {
            agreed_since,
            released,
            withdrawn: if was_released && !released {
                Some(look.at)
            } else {
                withdrawn.filter(|_| !released)
            },
        }
    }
}

/// Whether a chance above the tolerance is no more than a wobble.
fn is_wobble(look: &Look) -> bool {
    look.chance.share() <= WITHDRAWN_ABOVE * look.tolerance.share()
        && look.near_night.share() < NIGHT_WITHDRAWS
        && look.go_in_days.is_some_and(|days| days <= WOBBLE_DAYS)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn look(hour: i64, percent: f64) -> Look {
        Look {
            at: DateTime::UNIX_EPOCH + TimeDelta::hours(hour),
            chance: Chance::of(percent / 100.0),
            tomorrow: Chance::of(percent / 100.0),
            tolerance: Chance::of(0.10),
            frost_at_hand: false,
            near_night: Chance::NEVER,
            go_in_days: Some(3),
        }
    }

    /// Whether each of a row of looks, a day apart, leaves the cut released.
    fn released(percents: &[f64]) -> Vec<bool> {
        let mut before = None;
        let hours = (0..).step_by(24);
        let next = |(percent, hour): (&f64, i64)| {
            let after = Release::after(before, &look(hour, *percent));
            before = Some(after);
            after.released
        };
        percents.iter().zip(hours).map(next).collect()
    }

    #[test]
    fn two_looks_in_a_row_release() {
        assert_eq!(released(&[30.0, 9.0, 8.0]), [false, false, true]);
        assert_eq!(
            released(&[30.0, 9.0, 21.0, 9.0, 9.0]),
            [false, false, false, false, true]
        );
    }

    #[test]
    fn a_look_that_would_let_a_release_stand_agrees() {
        assert_eq!(released(&[30.0, 19.0, 10.0]), [false, false, true]);
        assert_eq!(released(&[30.0, 21.0, 10.0]), [false, false, false]);
    }

    #[test]
    fn yesterdays_word_on_todays_cut_counts() {
        let yesterday = Look {
            tomorrow: Chance::of(0.19),
            ..look(0, 22.0)
        };
        let first = Release::after(
            Some(Release {
                agreed_since: None,
                released: false,
                withdrawn: None,
            }),
            &yesterday,
        );
        assert!(!first.released);
        assert!(Release::after(Some(first), &look(24, 10.0)).released);
        assert!(!Release::after(Some(first), &look(24, 10.1)).released);
    }

    #[test]
    fn two_looks_on_one_forecast_do_not() {
        let first = Release::after(
            Some(Release {
                agreed_since: None,
                released: false,
                withdrawn: None,
            }),
            &look(0, 8.0),
        );
        assert!(!Release::after(Some(first), &look(9, 8.0)).released);
        assert!(Release::after(Some(first), &look(12, 8.0)).released);
    }

    #[test]
    fn the_first_look_of_all_releases_what_is_well_within() {
        assert_eq!(released(&[5.0]), [true]);
        assert_eq!(released(&[5.1, 5.1]), [false, true]);
    }

    #[test]
    fn a_release_outlives_a_wobble_and_no_more() {
        assert_eq!(released(&[2.0, 19.0, 11.0]), [true, true, true]);
        assert_eq!(released(&[2.0, 21.0, 11.0]), [true, false, false]);
    }

    #[test]
    fn after_a_withdrawal_three_weeks_of_looks_have_to_agree() {
        let percents = [[2.0, 30.0].as_slice(), &[5.0; 23]].concat();
        let all = released(&percents);
        assert!(all[0] && !all[1]);
        // The looks agree from the third on; three weeks later the release comes again.
        assert_eq!(all.iter().rposition(|released| !released), Some(22));
        // Another season begins as the first one did.
        let late = look(24 * 62, 5.0);
        let withdrawn = Release {
            agreed_since: Some(late.at - TimeDelta::days(1)),
            released: false,
            withdrawn: Some(DateTime::UNIX_EPOCH),
        };
        assert!(Release::after(Some(withdrawn), &late).released);
    }

    #[test]
    fn a_season_that_ends_is_no_wobble() {
        let open = Some(Release {
            agreed_since: None,
            released: true,
            withdrawn: None,
        });
        let autumn = Look {
            go_in_days: Some(200),
            ..look(0, 11.0)
        };
        assert!(!Release::after(open, &autumn).released);
        assert!(
            !Release::after(
                open,
                &Look {
                    go_in_days: None,
                    ..autumn
                }
            )
            .released
        );
    }

    #[test]
    fn a_frost_at_hand_rules_whatever_was() {
        let open = Some(Release {
            agreed_since: Some(DateTime::UNIX_EPOCH),
            released: true,
            withdrawn: None,
        });
        assert!(
            !Release::after(
                open,
                &Look {
                    frost_at_hand: true,
                    ..look(0, 3.0)
                }
            )
            .released
        );
        assert!(
            !Release::after(
                open,
                &Look {
                    near_night: Chance::of(0.4),
                    ..look(0, 15.0)
                }
            )
            .released
        );
    }
}

//! The tender nights of a cut in one future.

use crate::almanac::{Growth, Tender, Unhardened};
use crate::units::Celsius;

/// Days from one mid-winter to the next.
pub(super) const YEAR: usize = 365;

/// Nights as day indices, from the first one to before the last bound.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Nights {
    pub(super) from: usize,
    pub(super) until: usize,
}

impl Nights {
    /// Whether a night is one of them.
    pub(super) const fn hold(self, index: usize) -> bool {
        self.from <= index && index < self.until
    }

    /// How many they are.
    pub(super) const fn width(self) -> usize {
        self.until.saturating_sub(self.from)
    }
}

/// The nights in which the growth forced by a cut on each day is tender, for days 0, 1, 2 and so on.
///
/// `heat` is the running heat sum at the end of each day. The growth shows on the first morning before which
/// `starts_after` has come together since the cut; it is firm on the first morning before which a further
/// `firm_after` has, but not before `days_min` and not after `days_max` days. Both bounds move forward only, so one
/// pass over the heat sum finds them all. Where the future ends first, so do the nights.
pub(super) fn growth_nights(heat: &[f64], growth: Growth, windows: &mut [Nights]) {
    let end = heat.len();
    let at = |day: usize| heat.get(day).copied().unwrap_or(f64::INFINITY);
    let (starts_after, firm_after) = (growth.starts_after.sum(), growth.firm_after.sum());
    let (days_min, days_max) = (to_index(growth.days_min), to_index(growth.days_max));
    let (mut from, mut until) = (1, 1);
    for (cut, nights) in windows.iter_mut().enumerate() {
        from = from.max(cut + 1);
        let shows_at = at(cut) + starts_after;
        while from < end && at(from - 1) < shows_at {
            from += 1;
        }
        let latest = from + days_max;
        until = until.max(from + days_min).min(latest);
        let (last, firm_at) = (latest.min(end), at(from - 1) + firm_after);
        while until < last && at(until - 1) < firm_at {
            until += 1;
        }
        *nights = Nights {
            from,
            until: until.min(end),
        };
    }
}

/// The form of one part of a tender period: which nights, whatever is too cold in them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Shape {
    /// So many nights from the cut on.
    Edges(u32),
    /// Growth by heat; its damaging temperature is not part of the form.
    Growth(Growth),
    /// Wood that winter finds less hardy; likewise.
    Unhardened(Unhardened),
}

/// The parts of a tender period, each with what is too cold in it.
pub(super) fn parts(tender: &Tender) -> Vec<(Shape, Celsius)> {
    let any = Celsius::new(0.0);
    let edges = tender
        .edges
        .map(|edges| (Shape::Edges(edges.days), edges.damage_at));
    let growth = tender.growth.map(|growth| {
        (
            Shape::Growth(Growth {
                damage_at: any,
                ..growth
            }),
            growth.damage_at,
        )
    });
    let unhardened = tender.unhardened.map(|wood| {
        (
            Shape::Unhardened(Unhardened {
                damage_at: any,
                ..wood
            }),
            wood.damage_at,
        )
    });
    edges.into_iter().chain(growth).chain(unhardened).collect()
}

impl Shape {
    /// Whether its nights differ from one future to the next.
    pub(super) const fn is_moved_by_heat(self) -> bool {
        match self {
            Self::Growth(_) => true,
            Self::Edges(_) | Self::Unhardened(_) => false,
        }
    }

    /// Fills in its nights in one future with that running heat sum, for a cut on each of the first days.
    pub(super) fn lay(self, heat: &[f64], midwinter: Option<usize>, windows: &mut [Nights]) {
        let end = heat.len();
        match self {
            Self::Edges(days) => {
                for (cut, nights) in windows.iter_mut().enumerate() {
                    *nights = Nights {
                        from: cut + 1,
                        until: (cut + 1 + to_index(days)).min(end),
                    };
                }
            }
            Self::Growth(growth) => growth_nights(heat, growth, windows),
            Self::Unhardened(unhardened) => {
                for (cut, nights) in windows.iter_mut().enumerate() {
                    let none = Nights {
                        from: cut + 1,
                        until: cut + 1,
                    };
                    *nights = midwinter.map_or(none, |midwinter| {
                        unhardened_nights(unhardened, midwinter, cut, end)
                    });
                }
            }
        }
    }
}

/// The nights in which a cut before mid-winter finds the wood less hardy; an empty run for any other cut.
fn unhardened_nights(unhardened: Unhardened, midwinter: usize, cut: usize, end: usize) -> Nights {
    // The mid-winter that comes next; a look at the end of winter has cuts more than a year after its own.
    let midwinter = midwinter + YEAR * cut.saturating_sub(midwinter).div_ceil(YEAR);
    let before = midwinter - cut;
    let weakens = (to_index(unhardened.cut_to)..=to_index(unhardened.cut_from)).contains(&before);
    let until = if weakens {
        midwinter + 1 + to_index(unhardened.until)
    } else {
        cut + 1
    };
    Nights {
        from: cut + 1,
        until: until.min(end),
    }
}

/// A count of days as a position.
pub(super) fn to_index(days: u32) -> usize {
    usize::try_from(days).unwrap_or(usize::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::DegreeDays;

    fn growth(starts_after: f64, firm_after: f64, days_min: u32, days_max: u32) -> Growth {
        Growth {
            starts_after: DegreeDays::new(starts_after),
            firm_after: DegreeDays::new(firm_after),
            days_min,
            days_max,
            damage_at: Celsius::new(-2.2),
        }
    }

    fn nights<const CUTS: usize>(heat: &[f64], growth: Growth) -> [Nights; CUTS] {
        let mut nights = [Nights::default(); CUTS];
        growth_nights(heat, growth, &mut nights);
        nights
    }

    /// Ten degree days on each of 40 days.
    fn even_heat() -> Vec<f64> {
        (1..=40).map(|day| f64::from(day) * 10.0).collect()
    }

    #[test]
    fn growth_without_lag_is_tender_from_the_first_night() {
        assert_eq!(
            nights(&even_heat(), growth(0.0, 50.0, 0, 84)),
            [Nights { from: 1, until: 6 }]
        );
    }

    #[test]
    fn a_lag_moves_the_whole_period() {
        // 30 degree days after day 0 have come together at the end of day 3: the growth shows on the morning of day 4.
        assert_eq!(
            nights(&even_heat(), growth(30.0, 50.0, 0, 84)),
            [Nights { from: 4, until: 9 }, Nights { from: 5, until: 10 }]
        );
    }

    #[test]
    fn days_bound_the_heat_on_both_sides() {
        assert_eq!(
            nights(&even_heat(), growth(0.0, 50.0, 20, 84)),
            [Nights { from: 1, until: 21 }]
        );
        assert_eq!(
            nights(&even_heat(), growth(0.0, 500.0, 0, 7)),
            [Nights { from: 1, until: 8 }]
        );
    }

    #[test]
    fn without_heat_nothing_grows() {
        assert_eq!(
            nights(&[0.0; 30], growth(10.0, 50.0, 5, 84)),
            [Nights {
                from: 30,
                until: 30
            }]
        );
    }

    #[test]
    fn a_cut_before_mid_winter_leaves_wood_less_hardy_and_one_after_does_not() {
        let unhardened = Unhardened {
            cut_from: 100,
            cut_to: 10,
            until: 45,
            damage_at: Celsius::new(-11.0),
        };
        let nights = |cut| unhardened_nights(unhardened, 60, cut, 500);
        assert_eq!(
            nights(0),
            Nights {
                from: 1,
                until: 106
            },
            "60 days before mid-winter"
        );
        assert_eq!(
            nights(50),
            Nights {
                from: 51,
                until: 106
            }
        );
        assert_eq!(
            nights(51),
            Nights {
                from: 52,
                until: 52
            },
            "nine days before it: too late to weaken"
        );
        assert_eq!(
            nights(61),
            Nights {
                from: 62,
                until: 62
            }
        );
        assert_eq!(
            nights(330),
            Nights {
                from: 331,
                until: 471
            },
            "the next winter"
        );
        // A look on the day of mid-winter asks for cuts up to a year and more ahead.
        let far = unhardened_nights(unhardened, 0, 400, 900);
        assert_eq!(
            (far.from, far.until),
            (401, 401),
            "330 days before the one after the next"
        );
    }
}

//! Every season opens, once or twice a year, in each of five climates in which its kind winters.

use std::f64::consts::TAU;

use budward::almanac::{Cut, CutKind, Kind};
use budward::climate::{Climate, DailyRecord, DayExtremes};
use budward::garden::{Hemisphere, PlannedCut, Planting};
use budward::rules::{Case, Stand, findings};
use budward::units::{Celsius, Chance};
use chrono::{Datelike, NaiveDate};
use std::sync::Arc;

use super::{almanac, spot};
use crate::support::Quiet;

/// An invented climate: mean of the year, half the span from winter to summer, coldest night of each year.
struct Invented {
    name: &'static str,
    mean_c: f64,
    swing_c: f64,
    coldest_c: f64,
    hemisphere: Hemisphere,
}

const CLIMATES: [Invented; 5] = [
    Invented {
        name: "zone 6",
        mean_c: 10.0,
        swing_c: 14.0,
        coldest_c: -20.6,
        hemisphere: Hemisphere::North,
    },
    Invented {
        name: "zone 7",
        mean_c: 13.0,
        swing_c: 12.0,
        coldest_c: -15.0,
        hemisphere: Hemisphere::North,
    },
    Invented {
        name: "zone 9",
        mean_c: 19.0,
        swing_c: 9.0,
        coldest_c: -4.0,
        hemisphere: Hemisphere::North,
    },
    Invented {
        name: "oceanic, zone 8 to 9",
        mean_c: 10.5,
        swing_c: 6.5,
        coldest_c: -7.0,
        hemisphere: Hemisphere::North,
    },
    Invented {
        name: "south, zone 9",
        mean_c: 16.0,
        swing_c: 7.0,
        coldest_c: -4.0,
        hemisphere: Hemisphere::South,
    },
];

impl Invented {
    /// Twelve years of it: a sine, and one coldest night in each mid-winter.
    fn climate(&self) -> Climate {
        let coldest_day = match self.hemisphere {
            Hemisphere::North => 20,
            Hemisphere::South => 201,
        };
        let first = NaiveDate::from_ymd_opt(2005, 1, 1).unwrap();
        let days = first.iter_days().take(12 * 365).map(|date| {
            let day = date.ordinal();
            let phase = TAU * (f64::from(day) - f64::from(coldest_day)) / 365.0;
            let mean = self.mean_c - self.swing_c * phase.cos();
            let min = if day == coldest_day {
                self.coldest_c
            } else {
                mean - 5.0
            };
            let extremes = DayExtremes {
                min: Some(Celsius::new(min)),
                max: Some(Celsius::new(mean + 5.0)),
            };
            (date, extremes)
        });
        Climate::of(&DailyRecord::from_days(self.name, days).unwrap()).unwrap()
    }

    /// On which days of a year, every second one, a cut is open.
    fn open(&self, climate: &Climate, kind: &Arc<Kind>, cut: &Arc<Cut>) -> Vec<bool> {
        let planned = PlannedCut {
            name: format!("{}-{}", kind.id, cut.cut.name()),
            planting: kind.id.clone(),
            facts: Arc::new(Planting::named(&kind.id)),
            kind: Arc::clone(kind),
            cut: Arc::clone(cut),
            spot: spot(),
            wished: None,
            tolerance: Chance::of(0.1),
        };
        let quiet = Quiet::new();
        let first = NaiveDate::from_ymd_opt(2019, 1, 1).unwrap();
        // Seen from the first day, by the months of the zone alone: no weather, so that the data are what is tested.
        let events = Quiet::events(&planned, first, Some(climate), self.hemisphere);
        let days = first.iter_days().take(365).step_by(2);
        days.map(|today| {
            let case = Case {
                hemisphere: self.hemisphere,
                climate: Some(climate),
                ..quiet.case(&planned, &events, today)
            };
            matches!(findings(&case).remove(0).stand, Stand::Clear { .. })
        })
        .collect()
    }
}

#[test]
fn every_season_opens_in_each_climate_in_which_its_kind_winters() {
    let almanac = almanac();
    let mut wrong = Vec::new();
    for place in CLIMATES {
        let climate = place.climate();
        let zone = climate.hardiness_zone();
        let mut n = 0;
        for kind in &almanac.kinds {
            let (from, to) = (f64::from(kind.zones.coldest), f64::from(kind.zones.warmest));
            if !(from..to + 1.0).contains(&zone) {
                continue;
            }
            n += 1;
            for cut in &kind.cuts {
                let open = place.open(&climate, kind, cut);
                let of = format!("{} {} in {}", kind.id, cut.cut.name(), place.name);
                let days = 2 * open.iter().filter(|open| **open).count();
                let shut = |at: usize| !open[(at + open.len() - 1) % open.len()];
                let times = (0..open.len()).filter(|at| open[*at] && shut(*at)).count();
                if days < 7 || times > 1 {
                    wrong.push(format!("{of} is open on {days} days, {times} times"));
                }
            }
        }
        assert!(
            n >= 60,
            "only {n} kinds winter in {} ({zone:.1})",
            place.name
        );
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_invented_climates_are_those_that_they_are_named_for() {
    let zones = CLIMATES.map(|place| place.climate().hardiness_zone());
    for (zone, expected) in zones.iter().zip([6.5, 7.5, 9.7, 9.2, 9.7]) {
        assert!((zone - expected).abs() < 0.5, "{zones:?}");
    }
    let oak = almanac().kind("oak").unwrap().clone();
    let limb = oak.cut(CutKind::LimbUp).unwrap();
    let south = &CLIMATES[4];
    let open = south.open(&south.climate(), &oak, limb);
    assert!(open[100] && !open[10], "mid winter is July in the south");
}

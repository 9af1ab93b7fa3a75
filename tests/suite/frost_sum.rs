//! The chance of frost in the tender period against a count of the futures one by one.
//!
//! The count is written from the formulas alone: it walks every future, every cutting day and every night, keeps no
//! running window and shares no code with the crate but the degree days of a day, which have check values of their
//! own.

use budward::almanac::{Edges, Growth, Tender, Unhardened};
use budward::climate::Normals;
use budward::garden::Spot;
use budward::outlook::{Basis, Bound, Futures, Guide, Horizon, Outlook, Skill};
use budward::risk::Risk;
use budward::science::degree_days::{GROWTH_BASE, Thresholds, single_sine};
use budward::units::{Celsius, CelsiusStep, Chance, DegreeDays};
use chrono::NaiveDate;
use statrs::distribution::{ContinuousCDF, Normal};

/// One quantity of a small case: its season, its forecast by day and member, its past years.
struct Strand {
    today: Option<f64>,
    normals: Vec<Normals>,
    forecast: Vec<Vec<Option<f64>>>,
    past: Vec<Vec<f64>>,
}

struct Case {
    min: Strand,
    max: Strand,
    members: usize,
    skill: Skill,
    tender: Tender,
    offset: f64,
    doubt: f64,
    midwinter: usize,
}

fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 3, 1).unwrap()
}

// ---- through the crate ----

fn by_crate(case: &Case) -> Vec<f64> {
    let years = case.min.past.len();
    let days_of = |strand: &Strand, year: usize, member: usize| {
        let of_day =
            |members: &Vec<Option<f64>>| members.iter().map(|t| t.map(Celsius::new)).collect();
        let days: Vec<Vec<Option<Celsius>>> = strand.forecast.iter().map(of_day).collect();
        let guide = Guide::of(
            strand.today.map(Celsius::new),
            &days,
            &strand.normals,
            &case.skill,
            1,
        );
        let mut run = Vec::new();
        guide.future(&strand.past[year], member, &mut run);
        run
    };
    let futures: Futures = (0..years)
        .flat_map(|year| (0..case.members).map(move |member| (year, member)))
        .map(|(year, member)| {
            (
                days_of(&case.min, year, member),
                days_of(&case.max, year, member),
            )
        })
        .collect();
    let basis = Basis {
        today: today(),
        futures: futures.len(),
        years: 30,
        members: case.members,
        forecast_days: case.min.forecast.len(),
        forecast_from: None,
        forecast_age_hours: None,
        record_from: None,
        record_site: None,
        missing: Vec::new(),
    };
    let outlook = Outlook {
        basis,
        bound: Bound::Whole,
        horizon: Horizon::YEAR,
        midwinter: Some(case.midwinter),
        coming_nights: Vec::new(),
        leaf: Vec::new(),
        futures,
    };
    let spot = Spot {
        name: "test".to_owned(),
        offset: CelsiusStep::new(case.offset),
        doubt: CelsiusStep::new(case.doubt),
    };
    Risk::of(&outlook, &case.tender, &spot, Chance::of(0.1))
        .curve
        .iter()
        .map(|chance| chance.share())
        .collect()
}

// ---- one by one ----

fn by_count(case: &Case) -> Vec<f64> {
    let days = case.min.normals.len();
    (0..days)
        .map(|cut| {
            let mut sum = 0.0;
            let mut futures = 0.0;
            for year in 0..case.min.past.len() {
                for member in 0..case.members {
                    let min = temperatures(&case.min, &case.skill, year, member);
                    let max = temperatures(&case.max, &case.skill, year, member);
                    sum += damage(case, cut, &min, &max);
                    futures += 1.0;
                }
            }
            sum / futures
        })
        .collect()
}

/// The formula, written out.
fn temperatures(strand: &Strand, skill: &Skill, year: usize, member: usize) -> Vec<f64> {
    let past = &strand.past[year];
    let now = strand.today.map(|t| standard(t, &strand.normals[0]));
    let rho = |day: usize| {
        let phi: f64 = strand.normals[1..=day]
            .iter()
            .map(|normals| normals.persistence)
            .product();
        if now.is_some() { phi } else { 0.0 }
    };
    let carried = |day: usize| past[day] + rho(day) * (now.unwrap_or(0.0) - past[0]);
    let mut anomalies: Vec<f64> = Vec::new();
    for (day, normals) in strand.normals.iter().enumerate() {
        let prior = (rho(day) * now.unwrap_or(0.0), 1.0 - rho(day) * rho(day));
        let z = match updated(strand, skill, day, member, prior) {
            Some((known, gain)) => known + gain * (past[day] - rho(day) * past[0]),
            None if day == 0 => carried(0),
            None => carried(day) + normals.persistence * (anomalies[day - 1] - carried(day - 1)),
        };
        anomalies.push(z);
    }
    anomalies
        .iter()
        .zip(&strand.normals)
        .map(|(z, normals)| normals.mean + normals.spread * z)
        .collect()
}

fn standard(t: f64, normals: &Normals) -> f64 {
    (t - normals.mean) / normals.spread
}

/// What a member makes of a day whose prior mean and variance are given, and the gain of a past year's free part.
///
/// The forecast is worth an observation y with error variance e2.
fn updated(
    strand: &Strand,
    skill: &Skill,
    day: usize,
    member: usize,
    prior: (f64, f64),
) -> Option<(f64, f64)> {
    let normals = &strand.normals[day];
    let known: Vec<f64> = strand
        .forecast
        .get(day)
        .filter(|_| day > 0)?
        .iter()
        .flatten()
        .map(|t| standard(*t, normals))
        .collect();
    let table = if known.len() > 1 {
        &skill.ensemble
    } else {
        &skill.run
    };
    let lead = table.get(day - 1).filter(|_| !known.is_empty())?;
    let n = known.len() as f64;
    let mean = known.iter().sum::<f64>() / n;
    let var = if known.len() == 1 {
        0.0
    } else {
        known.iter().map(|a| a * a).sum::<f64>() / n - mean * mean
    };
    let lead_part = 1.0 - lead.correlation.powi(2);
    let shown = f64::min(
        1.0,
        skill.member_spread.0 + skill.member_spread.1 * (day as f64 - 1.0),
    );
    let own = f64::min(
        f64::max(var / (shown * shown), 0.4 * lead_part),
        2.0 * lead_part,
    );
    let open = f64::min(
        if known.len() == 1 {
            lead_part
        } else {
            (lead_part + own) * 0.5
        },
        0.99,
    );
    let (y, e2) = (lead.slope * mean / (1.0 - open), open / (1.0 - open));
    let gain = prior.1 / (prior.1 + e2);
    let s2 = prior.1 * (1.0 - gain) + (skill.local_spread.kelvin() / normals.spread).powi(2);
    let g = if var > 0.0 {
        f64::min(lead.correlation, (0.5 * s2 / var).sqrt())
    } else {
        0.0
    };
    let own_part = strand.forecast[day]
        .get(member)
        .copied()
        .flatten()
        .map_or(0.0, |t| g * (standard(t, normals) - mean));
    Some((
        prior.0 + gain * (y - prior.0) + own_part,
        ((s2 - g * g * var) / prior.1).sqrt(),
    ))
}

/// The chance that this future damages a cut made on that day.
fn damage(case: &Case, cut: usize, min: &[f64], max: &[f64]) -> f64 {
    let thresholds = Thresholds {
        lower: GROWTH_BASE,
        upper: None,
    };
    let heat: Vec<f64> = min
        .iter()
        .zip(max)
        .map(|(min, max)| {
            single_sine(Celsius::new(*min), Celsius::new(max.max(*min)), thresholds)
                .unwrap()
                .sum()
        })
        .collect();
    let mut smallest = f64::INFINITY;
    for (night, min) in min.iter().enumerate().skip(cut + 1) {
        let at_spot = min + case.offset;
        if let Some(edges) = case.tender.edges
            && night - cut <= edges.days as usize
        {
            smallest = smallest.min(at_spot - edges.damage_at.degrees());
        }
        if let Some(growth) = case.tender.growth
            && is_growing(growth, cut, night, &heat)
        {
            smallest = smallest.min(at_spot - growth.damage_at.degrees());
        }
    }
    if let Some(unhardened) = case.tender.unhardened {
        let before = case.midwinter.checked_sub(cut);
        let weakens = unhardened.cut_to as usize..=unhardened.cut_from as usize;
        let last = case.midwinter + unhardened.until as usize;
        for (night, min) in min.iter().enumerate().skip(cut + 1) {
            if night <= last && before.is_some_and(|days| weakens.contains(&days)) {
                smallest = smallest.min(min + case.offset - unhardened.damage_at.degrees());
            }
        }
    }
    if case.doubt > 0.0 {
        Normal::standard().cdf(-smallest / case.doubt)
    } else {
        f64::from(u8::from(smallest <= 0.0))
    }
}

/// Whether the growth has shown and is not yet firm on the morning of that night.
fn is_growing(growth: Growth, cut: usize, night: usize, heat: &[f64]) -> bool {
    let between = |from: usize, until: usize| heat[from..until].iter().sum::<f64>();
    let Some(start) =
        (cut + 1..=night).find(|day| between(cut + 1, *day) >= growth.starts_after.sum())
    else {
        return false;
    };
    let age = night - start;
    let enough_heat = between(start, night) >= growth.firm_after.sum();
    let firm = age >= growth.days_max as usize || (age >= growth.days_min as usize && enough_heat);
    !firm
}

// ---- cases ----

/// A plain linear congruential sequence (constants of Knuth, The Art of Computer Programming 2, 3.3.4, table 1).
struct Sequence(u64);

impl Sequence {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    fn below(&mut self, n: usize) -> usize {
        (self.next() * n as f64) as usize
    }
}

fn random_case(seed: u64) -> Case {
    let mut random = Sequence(seed);
    let days = 12 + random.below(30);
    let members = 1 + random.below(4);
    let years = 1 + random.below(5);
    let min = random_strand(&mut random, days, members, years, 1.0);
    let max = random_strand(&mut random, days, members, years, 12.0);
    let edges = (random.next() < 0.7).then(|| Edges {
        days: random.below(16) as u32,
        damage_at: Celsius::new(random.between(-6.0, 1.0)),
    });
    let growth = (edges.is_none() || random.next() < 0.7).then(|| {
        let days_min = random.below(12) as u32;
        Growth {
            starts_after: DegreeDays::new(random.between(-20.0, 60.0).max(0.0)),
            firm_after: DegreeDays::new(random.between(0.0, 120.0)),
            days_min,
            days_max: days_min + random.below(20) as u32,
            damage_at: Celsius::new(random.between(-5.0, 1.0)),
        }
    });
    let midwinter = random.below(days);
    let unhardened = (random.next() < 0.5).then(|| {
        let cut_to = random.below(5) as u32;
        Unhardened {
            cut_from: cut_to + random.below(20) as u32,
            cut_to,
            until: random.below(15) as u32,
            damage_at: Celsius::new(random.between(-8.0, -1.0)),
        }
    });
    let doubt = if random.next() < 0.5 {
        0.0
    } else {
        random.between(0.2, 1.5)
    };
    Case {
        min,
        max,
        members,
        skill: Skill {
            local_spread: CelsiusStep::new(random.between(0.0, 1.0)),
            ..Skill::default()
        },
        tender: Tender {
            class: "test".to_owned(),
            edges,
            growth,
            unhardened,
            why: "test".to_owned(),
            source: "test".to_owned(),
        },
        offset: random.between(-2.0, 2.0),
        doubt,
        midwinter,
    }
}

fn random_strand(
    random: &mut Sequence,
    days: usize,
    members: usize,
    years: usize,
    level: f64,
) -> Strand {
    let normals: Vec<Normals> = (0..days)
        .map(|day| Normals {
            mean: level + 0.2 * day as f64 + random.between(-1.0, 1.0),
            spread: random.between(1.0, 5.0),
            persistence: random.between(0.3, 0.9),
        })
        .collect();
    let leads = random.below(days.min(16));
    let forecast = (0..leads)
        .map(|_| {
            (0..members)
                .map(|_| (random.next() < 0.9).then(|| random.between(level - 8.0, level + 8.0)))
                .collect()
        })
        .collect();
    let past = (0..years)
        .map(|_| (0..days).map(|_| random.between(-2.2, 2.2)).collect())
        .collect();
    let today = (random.next() < 0.6).then(|| random.between(level - 6.0, level + 6.0));
    Strand {
        today,
        normals,
        forecast,
        past,
    }
}

#[test]
fn the_sum_equals_a_count_of_the_futures_one_by_one() {
    let mut partial = 0;
    for seed in 1..=300 {
        let case = random_case(seed);
        let (crate_sums, counts) = (by_crate(&case), by_count(&case));
        assert_eq!(crate_sums.len(), counts.len());
        for (day, (sum, count)) in crate_sums.iter().zip(&counts).enumerate() {
            assert!(
                (sum - count).abs() <= 1e-12,
                "case {seed}, cut on day {day}: {sum} against {count}"
            );
        }
        partial += usize::from(counts.iter().any(|share| *share > 0.0 && *share < 1.0));
    }
    assert!(
        partial > 200,
        "only {partial} cases were neither sure damage nor sure safety throughout"
    );
}

/// Two past years, one run, no local spread, no doubt; edges tender for two nights, damaged at -2 °C.
///
/// Season: normal 0 °C, spread 4 K, persistence 0.5. Forecast: -4 °C for the coming night (day 1) only, so its
/// anomaly is -1, r(1) = 0.90 and q = sqrt(1 - 0.81) = 0.435 889 894. Past anomalies by day: year one 0, 0, 1, 1;
/// year two 0, 1, -0.2, 1.
/// Day 1: year one -0.9 + 0 = -0.9 (-3.6 °C), year two -0.9 + 0.435 889 9 = -0.464 110 1 (-1.856 °C).
/// Day 2: differences -0.9 and -1.464 110 1 halve: 1 - 0.45 = 0.55 (2.2 °C), -0.2 - 0.732 055 1 = -0.932 (-3.728 °C).
/// Day 3: they halve again: 1 - 0.225 = 0.775 (3.1 °C), 1 - 0.366 = 0.634 (2.536 °C).
/// A cut on day 0 is hit in both years (night 1; night 2), one on day 1 in year two only, one on day 2 in none.
#[test]
fn two_years_and_one_member_by_hand() {
    let normals = vec![
        Normals {
            mean: 0.0,
            spread: 4.0,
            persistence: 0.5
        };
        4
    ];
    let min = Strand {
        today: None,
        normals: normals.clone(),
        forecast: vec![vec![None], vec![Some(-4.0)]],
        past: vec![vec![0.0, 0.0, 1.0, 1.0], vec![0.0, 1.0, -0.2, 1.0]],
    };
    let max = Strand {
        today: None,
        normals,
        forecast: Vec::new(),
        past: vec![vec![1.0; 4]; 2],
    };
    let edges = Some(Edges {
        days: 2,
        damage_at: Celsius::new(-2.0),
    });
    let case = Case {
        min,
        max,
        members: 1,
        skill: Skill {
            local_spread: CelsiusStep::new(0.0),
            ..Skill::default()
        },
        tender: Tender {
            class: "test".to_owned(),
            edges,
            growth: None,
            unhardened: None,
            why: "test".to_owned(),
            source: "test".to_owned(),
        },
        offset: 0.0,
        doubt: 0.0,
        midwinter: 0,
    };
    let expected = [1.0, 0.5, 0.0, 0.0];
    for (found, expected) in by_crate(&case).iter().zip(expected) {
        assert!((found - expected).abs() < 1e-12);
    }
}

/// The same season without a forecast; growth shows after 10 degree days and is firm after 15 more.
///
/// Each day runs from 5 to 15 °C by its highest, lowest 5 °C and above the base: a day of 5 to 15 °C gives
/// (5 + 15)/2 - 5 = 5 degree days. A cut on day 0: 10 have come together after days 1 and 2, so growth shows on the
/// morning of day 3; 15 more come on days 3, 4, 5, so it is firm on the morning of day 6: nights 3, 4, 5 are tender.
/// Only night 6 of year one and night 4 of year two are cold, at 4.9 °C, damaged at 4.95 °C: year one is not hit by
/// the cut on day 0 (night 6 is too late) but by that on day 1 (nights 4 to 6); year two by both, and not by a cut on
/// day 2 (nights 5 to 7), which hits year one.
#[test]
fn growth_by_heat_by_hand() {
    let flat = |mean: f64| {
        vec![
            Normals {
                mean,
                spread: 0.1,
                persistence: 0.5
            };
            9
        ]
    };
    let cold_on = |night: usize| {
        (0..9)
            .map(|day| if day == night { -1.0 } else { 0.0 })
            .collect::<Vec<f64>>()
    };
    let case = Case {
        min: Strand {
            today: None,
            normals: flat(5.0),
            forecast: Vec::new(),
            past: vec![cold_on(6), cold_on(4)],
        },
        max: Strand {
            today: None,
            normals: flat(15.0),
            forecast: Vec::new(),
            past: vec![vec![0.0; 9]; 2],
        },
        members: 1,
        skill: Skill::default(),
        tender: Tender {
            class: "test".to_owned(),
            edges: None,
            growth: Some(Growth {
                starts_after: DegreeDays::new(9.9),
                firm_after: DegreeDays::new(14.8),
                days_min: 0,
                days_max: 84,
                damage_at: Celsius::new(4.95),
            }),
            unhardened: None,
            why: "test".to_owned(),
            source: "test".to_owned(),
        },
        offset: 0.0,
        doubt: 0.0,
        midwinter: 0,
    };
    let expected = [0.5, 1.0, 0.5];
    for (found, expected) in by_crate(&case).iter().zip(expected) {
        assert!(
            (found - expected).abs() < 1e-12,
            "{found} against {expected}"
        );
    }
}

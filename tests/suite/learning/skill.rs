//! What verified nights make of a skill.

use budward::climate::Climate;
use budward::outlook::{LeadSkill, Learned, Skill, Truth, Verified, WarmBias};
use budward::units::{Celsius, CelsiusStep};
use chrono::{Days, NaiveDate};
use proptest::prelude::*;

use super::{Noise, climate, days_ago, today};

/// Nights before today, forecast at one lead by a single run, from standardised pairs of forecast and truth; `warm`
/// kelvin are added to each forecast.
pub(super) fn nights(
    climate: &Climate,
    lead: usize,
    warm: f64,
    anomalies: &[(f64, f64)],
) -> Vec<Verified> {
    (1..)
        .zip(anomalies)
        .map(|(ago, (forecast, observed))| {
            let date = days_ago(ago);
            let normals = climate.min.normals(date);
            let degrees = |anomaly: f64| normals.mean + normals.spread * anomaly;
            Verified {
                date,
                lead,
                members: 1,
                forecast: Celsius::new(degrees(*forecast) + warm),
                observed: Celsius::new(degrees(*observed)),
                truth: Truth::Record,
            }
        })
        .collect()
}

/// Standardised pairs in which the truth has that correlation with the forecast and that slope on it.
pub(super) fn pairs(n: usize, skill: LeadSkill, seed: u64) -> Vec<(f64, f64)> {
    let mut noise = Noise(seed);
    let LeadSkill { correlation, slope } = skill;
    (0..n)
        .map(|_| {
            let (foreseen, rest) = (noise.normal(), noise.normal());
            let forecast = correlation / slope * foreseen;
            let truth = correlation * foreseen + (1.0 - correlation * correlation).sqrt() * rest;
            (forecast, truth)
        })
        .collect()
}

/// Forecasts that are always too warm by so many kelvin and right but for that.
fn steady_error(climate: &Climate, n: usize, kelvin: f64) -> Vec<Verified> {
    let mut noise = Noise(3);
    let anomalies: Vec<(f64, f64)> = (0..n)
        .map(|_| {
            let anomaly = noise.normal();
            (anomaly, anomaly)
        })
        .collect();
    nights(climate, 1, kelvin, &anomalies)
}

fn learn(verified: &[Verified], climate: &Climate) -> Learned {
    Skill::default().learn(verified, climate, today())
}

fn skill_at(correlation: f64, slope: f64) -> LeadSkill {
    LeadSkill { correlation, slope }
}

#[test]
fn without_nights_the_skill_is_the_published_one_byte_for_byte() {
    let odd = Skill {
        bias: WarmBias {
            all: CelsiusStep::new(0.1),
            cold: CelsiusStep::new(0.7),
            other: CelsiusStep::new(-0.3),
        },
        ..Skill::default()
    };
    for prior in [Skill::default(), odd] {
        let learned = prior.learned(&[], &climate(), today());
        assert_eq!(
            serde_json::to_string(&learned).unwrap(),
            serde_json::to_string(&prior).unwrap()
        );
        assert_eq!(prior.unlearned(), prior.learn(&[], &climate(), today()));
    }
}

#[test]
fn twenty_nights_of_a_steady_error_move_the_bias_most_of_the_way_and_three_little() {
    let climate = climate();
    let bias = |n| learn(&steady_error(&climate, n, 1.5), &climate).skill.bias;
    // By hand: (20 x 1.5 + 10 x 0.5) / 30 and (3 x 1.5 + 10 x 0.5) / 13.
    assert!((bias(20).all.kelvin() - 35.0 / 30.0).abs() < 1e-9);
    assert!((bias(3).all.kelvin() - 9.5 / 13.0).abs() < 1e-9);
    let between =
        |kelvin: f64, low: f64, high: f64| assert!(kelvin > low && kelvin < high, "{kelvin}");
    between(bias(20).other.kelvin(), 0.9, 1.6);
    between(bias(20).cold.kelvin(), 0.9, 1.8);
}

#[test]
fn a_sudden_shift_is_learned_over_weeks_and_no_kind_of_night_beyond_three_kelvin() {
    let climate = climate();
    let shifted = |nights_since: u64| {
        let mut verified = steady_error(&climate, 60, 0.5);
        for night in &mut verified {
            if night.date >= days_ago(nights_since) {
                night.forecast = night.forecast + CelsiusStep::new(5.0);
            }
        }
        learn(&verified, &climate).skill.bias
    };
    let all: Vec<f64> = (0..=30).map(|n| shifted(n).all.kelvin()).collect();
    let steps = all.windows(2).map(|pair| pair[1] - pair[0]);
    assert!(
        steps.into_iter().all(|step| (0.0..0.15).contains(&step)),
        "{all:?}"
    );
    let last = shifted(30);
    for kind in [last.all, last.cold, last.other] {
        assert!(kind.kelvin() <= 3.0, "{last:?}");
    }
    assert!(last.all.kelvin() > 2.9);
}

#[test]
fn a_forecast_that_swings_too_far_has_no_bias_for_it_since_its_slope_draws_it_back() {
    // Truth and forecast as the published figures of lead 1 have them: only the bias of 0.5 K is left in either kind.
    let climate = climate();
    let of_seed = |seed| {
        let drawn = pairs(60, LeadSkill::full_swing(0.90), seed);
        learn(&nights(&climate, 1, 0.5, &drawn), &climate)
            .skill
            .bias
    };
    let mean =
        |kind: fn(&WarmBias) -> f64| (0..200).map(|seed| kind(&of_seed(seed))).sum::<f64>() / 200.0;
    assert!((mean(|bias| bias.cold.kelvin()) - 0.5).abs() < 0.06);
    assert!((mean(|bias| bias.other.kelvin()) - 0.5).abs() < 0.06);
}

#[test]
fn two_thousand_nights_show_a_known_skill_and_ten_hardly_move_the_published_one() {
    let climate = climate();
    for (lead, true_skill) in [(3, skill_at(0.70, 0.80)), (6, skill_at(0.50, 0.40))] {
        let of = |n| {
            let drawn = pairs(n, true_skill, 5);
            let learned = learn(&nights(&climate, lead, 0.5, &drawn), &climate);
            learned.runs[lead - 1].clone()
        };
        let long = of(2000);
        assert_eq!(long.nights, 2000);
        // Standard errors of n pairs: (1 - r²)/sqrt n, and of the slope sqrt((1 - r²)/n) over the forecast's spread.
        let open = 1.0 - true_skill.correlation.powi(2);
        let forecast_spread = true_skill.correlation / true_skill.slope;
        let errors = skill_at(
            open / 2000_f64.sqrt(),
            (open / 2000.0).sqrt() / forecast_spread,
        );
        let shown = long.shown.unwrap();
        let off = |found: f64, truth: f64, error: f64| (found - truth).abs() / error;
        assert!(
            off(
                shown.correlation,
                true_skill.correlation,
                errors.correlation
            ) < 2.0,
            "{shown:?}"
        );
        assert!(
            off(shown.slope, true_skill.slope, errors.slope) < 2.0,
            "{shown:?}"
        );
        assert!(
            (long.used.correlation - true_skill.correlation).abs() < 0.02,
            "{long:?}"
        );
        assert!(
            (long.used.slope - true_skill.slope).abs() < 0.04,
            "{long:?}"
        );
        let short = of(10);
        assert!(
            (short.used.correlation - short.prior.correlation).abs() < 0.06,
            "{short:?}"
        );
        assert!(
            (short.used.slope - short.prior.slope).abs() < 0.08,
            "{short:?}"
        );
    }
}

#[test]
fn more_trust_is_earned_more_slowly_than_less_is_given() {
    let climate = climate();
    // As far above the published 0.69 of lead 6 in z as below it.
    let z = 0.69_f64.atanh();
    for n in [20, 60, 200, 400] {
        let moved = |step: f64| {
            let drawn = pairs(n, LeadSkill::full_swing((z + step).tanh()), 21);
            let learned = learn(&nights(&climate, 6, 0.5, &drawn), &climate);
            let lead = &learned.runs[5];
            let shown = lead.shown.unwrap().correlation.atanh() - z;
            ((lead.used.correlation.atanh() - z) / shown, shown)
        };
        let ((up, sharper), (down, duller)) = (moved(0.35), moved(-0.35));
        assert!(sharper > 0.0 && duller < 0.0, "{n}: {sharper} {duller}");
        assert!(up < down && up >= 0.0, "{n}: {up} against {down}");
    }
}

#[test]
fn no_later_lead_is_better_than_an_earlier_one() {
    let climate = climate();
    let verified: Vec<Verified> = (1..=12)
        .flat_map(|lead| {
            let skill = LeadSkill::full_swing(if lead % 2 == 0 { 0.85 } else { 0.30 });
            let drawn = pairs(300, skill, u64::try_from(lead).unwrap());
            nights(&climate, lead, 0.5, &drawn)
        })
        .collect();
    let learned = learn(&verified, &climate);
    let falls =
        |leads: &[LeadSkill]| leads.is_sorted_by(|one, next| one.correlation >= next.correlation);
    assert!(falls(&learned.skill.run), "{:?}", learned.skill.run);
    assert_eq!(
        learned.skill.ensemble,
        Skill::default().ensemble,
        "single runs tell nothing of ensembles"
    );
    assert!(
        learned
            .skill
            .run
            .iter()
            .all(|lead| (0.0..=1.2).contains(&lead.slope))
    );
}

#[test]
fn the_doubt_about_the_place_fades_with_the_nights_that_a_record_verified() {
    let climate = climate();
    let mut verified = steady_error(&climate, 60, 0.5);
    let spread = |verified: &[Verified]| learn(verified, &climate).skill.local_spread.kelvin();
    assert!(
        (spread(&verified) - 0.5).abs() < 1e-9,
        "1 K x 60 / (60 + 60)"
    );
    for night in &mut verified {
        night.truth = Truth::Analysis;
    }
    assert!(
        (spread(&verified) - 1.0).abs() < 1e-9,
        "the model's analysis knows nothing of the place"
    );
}

#[test]
fn a_model_that_agrees_with_its_own_analysis_keeps_the_published_bias() {
    let climate = climate();
    let mut verified = steady_error(&climate, 40, 0.0);
    for night in &mut verified {
        night.truth = Truth::Analysis;
    }
    let learned = learn(&verified, &climate);
    assert!((learned.skill.bias.all.kelvin() - 0.5).abs() < 1e-9);
    assert_eq!((learned.nights, learned.by_record), (40, 0));
    // Two kelvin of its own count half: (15 x 2.5 + 10 x 0.5) / 25.
    for night in &mut verified {
        night.forecast = night.forecast + CelsiusStep::new(2.0);
    }
    let bias = learn(&verified, &climate).skill.bias.all.kelvin();
    assert!((bias - 42.5 / 25.0).abs() < 1e-9, "{bias}");
}

/// A hundred nights at three leads as the published figures have them.
fn plain(climate: &Climate) -> Vec<Verified> {
    [1, 2, 7]
        .into_iter()
        .flat_map(|lead| {
            let skill = Skill::default().run[lead - 1];
            let drawn = pairs(100, skill, 40);
            nights(climate, lead, 1.0, &drawn)
        })
        .collect()
}

#[test]
fn nights_that_cannot_be_believed_change_nothing() {
    let climate = climate();
    let good = plain(&climate);
    let expected = learn(&good, &climate);
    let with = |more: &[Verified]| learn(&[good.as_slice(), more].concat(), &climate);
    let earlier = |days: u64, observed: f64| Verified {
        date: days_ago(100 + days),
        observed: Celsius::new(observed),
        ..good[0]
    };
    let some = &good[50];

    let future = Verified {
        date: today(),
        forecast: Celsius::new(20.0),
        ..*some
    };
    let unknown_lead = [0, 13].map(|lead| Verified { lead, ..*some });
    let no_number = Verified {
        observed: Celsius::new(f64::NAN),
        ..*some
    };
    for bad in [&[future, no_number][..], &unknown_lead, &good[20..40]] {
        assert_eq!(with(bad), expected);
    }

    let spikes: Vec<Verified> = (1..30)
        .map(|n| earlier(n, good[0].forecast.degrees() + 8.5))
        .collect();
    let stuck: Vec<Verified> = (1..30).map(|n| earlier(n, 3.4)).collect();
    for bad in [spikes, stuck] {
        let found = with(&bad);
        assert_eq!(found.skill, expected.skill);
        assert_eq!((found.nights, found.ignored), (expected.nights, 29));
    }

    // A thermometer that is wrong by 20 K tonight is wrong at every lead.
    let mut broken = good.clone();
    let wrong: Vec<NaiveDate> = [10, 20, 30].map(days_ago).to_vec();
    for night in broken
        .iter_mut()
        .filter(|night| wrong.contains(&night.date))
    {
        night.observed = Celsius::new(night.observed.degrees() - 15.0);
    }
    let found = learn(&broken, &climate);
    assert_eq!((found.nights, found.ignored), (97, 3));
    assert!(
        (found.skill.bias.all - expected.skill.bias.all)
            .kelvin()
            .abs()
            < 0.1
    );
}

#[test]
fn an_ensemble_teaches_ensembles_and_old_nights_count_half() {
    let climate = climate();
    let as_ensemble = |mut verified: Vec<Verified>| {
        for night in &mut verified {
            night.members = 30;
        }
        verified
    };
    let drawn = pairs(1000, skill_at(0.60, 0.60), 9);
    let young = as_ensemble(nights(&climate, 1, 0.5, &drawn));
    let learned = learn(&young, &climate);
    assert_eq!(learned.skill.run, Skill::default().run);
    let lead = &learned.ensembles[0];
    // 730 whole nights and 270 that count half: the published figures keep 60 of 925 parts.
    let share = (lead.used.correlation - lead.prior.correlation)
        / (lead.shown.unwrap().correlation - lead.prior.correlation);
    assert!((share - 865.0 / 925.0).abs() < 0.01, "{share}");
    assert_eq!(learned.since, Some(today() - Days::new(1000)));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]
    #[test]
    fn the_order_of_the_nights_does_not_matter(shuffled in Just((0..300).collect::<Vec<usize>>()).prop_shuffle()) {
        let climate = climate();
        let good = plain(&climate);
        let mixed: Vec<Verified> = shuffled.iter().map(|at| good[*at]).collect();
        let bytes = |verified: &[Verified]| serde_json::to_string(&learn(verified, &climate)).unwrap();
        prop_assert_eq!(bytes(&mixed), bytes(&good));
    }
}

//! Whether what was learned foretells the next night better than the published figures do.

use budward::climate::Climate;
use budward::outlook::{LeadSkill, Skill, Verified};

use super::skill::{nights, pairs};
use super::{climate, days_ago};

/// A model as it might be: its true skill at a lead and by how many kelvin its nights are too warm.
struct Model {
    lead: usize,
    skill: LeadSkill,
    warm: f64,
}

/// Days of the walk.
const DAYS: u64 = 400;

/// How much better some nights of a walk are foretold after learning, as the mean gain of the logarithmic score
/// (Good, J. R. Stat. Soc. B 14, 1952); `from` and `to` count days since the first night.
fn gain(climate: &Climate, model: &Model, from: u64, to: u64) -> f64 {
    let published = Skill::default();
    let mut gains = Vec::new();
    for seed in 0..12 {
        let drawn = pairs(usize::try_from(DAYS).unwrap(), model.skill, seed);
        let all = nights(climate, model.lead, model.warm, &drawn);
        for day in (from..to).step_by(9) {
            let today = days_ago(DAYS - day);
            let learned = published.learned(&all, climate, today);
            let night = all.iter().find(|night| night.date == today).unwrap();
            gains.push(score(climate, &learned, night) - score(climate, &published, night));
        }
    }
    gains.iter().sum::<f64>() / gains.len() as f64
}

/// The logarithm of the density that the skill gives to what came.
fn score(climate: &Climate, skill: &Skill, night: &Verified) -> f64 {
    let normals = climate.min.normals(night.date);
    let at = skill.at(night.lead, night.members).unwrap();
    let anomaly = |degrees: f64| (degrees - normals.mean) / normals.spread;
    let forecast = anomaly(night.forecast.degrees());
    let warm = skill.bias.of_night(forecast, at.correlation).kelvin() / normals.spread;
    let local = skill.local_spread.kelvin() / normals.spread;
    let variance = at.open_share() + local * local;
    let off = anomaly(night.observed.degrees()) - at.slope * (forecast - warm);
    -0.5 * (variance.ln() + off * off / variance)
}

#[test]
fn what_is_learned_foretells_the_next_night_better_and_never_much_worse() {
    let climate = climate();
    let model = |lead, correlation, slope, warm| Model {
        lead,
        skill: LeadSkill { correlation, slope },
        warm,
    };
    // As published; worse and swinging too far; better; too warm. Seen were gains of 0 to 0.3 soon, 0 to 0.5 late.
    for (model, soon, late) in [
        (model(1, 0.90, 0.90, 0.5), -0.01, -0.01),
        (model(5, 0.77, 0.77, 0.5), -0.01, -0.01),
        (model(1, 0.75, 0.60, 0.5), 0.15, 0.30),
        (model(5, 0.50, 0.40, 0.5), 0.10, 0.25),
        (model(5, 0.90, 0.95, 0.5), 0.03, 0.10),
        (model(1, 0.90, 0.90, 2.5), 0.20, 0.40),
    ] {
        let (first, last) = (
            gain(&climate, &model, 15, 90),
            gain(&climate, &model, 250, 400),
        );
        assert!(
            first > soon,
            "{:?}: {first} in the first months",
            model.skill
        );
        assert!(last > late, "{:?}: {last} in the last months", model.skill);
    }
}

//! The futures formula.
//!
//! In standard units of the season, with `A_y(t)` the anomaly that past year y had on day t and `A(0)` today's, a
//! future without a forecast is the past year brought to today's weather, the difference dying out from day to day
//! with the correlation of the season:
//!
//! ```text
//! p_y(t) = A_y(t) + ρ(t) (A(0) - A_y(0))        ρ(t) = φ(1) φ(2) ... φ(t)
//! ```
//!
//! Over the past years `p` has mean ρ A(0) and variance 1 - ρ². A forecast of the day adds to that what its skill
//! allows, as one scalar update (Kalman, J. Basic Eng. 82, 1960): with `a` the forecast's anomaly, r its correlation and
//! b its slope it is worth an observation `y = b a / r²` with error variance `(1 - r²)/r²`, and the future becomes
//!
//! ```text
//! m + g (a_f - mean a) + q (A_y - ρ A_y(0))       m = ρ A(0) + k (y - ρ A(0)),   g² var a + q² (1 - ρ²) = s²
//! ```
//!
//! Where today is not known ρ is 0; for a single run with slope r and no local spread that leaves `r A_f +
//! sqrt(1 - r²) A_y`. For an ensemble s² is half what the lead says and half what the members' own spread says. In a
//! gap of the forecast or after its end the difference to `p` dies out in turn: there is no seam.

use super::skill::Skill;
use crate::climate::Normals;
use crate::units::{Celsius, CelsiusStep, count};

/// The members' own spread is believed between these shares of what the lead says.
const SPREAD_BELIEVED: (f64, f64) = (0.4, 2.0);

/// The members keep at most this share of the variance for themselves; the past years bring the rest.
const MEMBER_SHARE_MAX: f64 = 0.5;

/// No forecast makes the weather vary more than nearly as far as the season does.
const OPEN_SHARE_MAX: f64 = 0.99;

/// What is known of a day before its forecast is looked at: today's weather, carried on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carried {
    /// Today's anomaly; none when it is not known.
    today: Option<f64>,
    /// How much of it is left.
    share: f64,
}

/// What a forecast makes of one day, in standard units of the season.
#[derive(Debug, Clone, PartialEq)]
pub struct Blend {
    mean: f64,
    year_gain: f64,
    /// What each member adds.
    members: Vec<f64>,
}

impl Carried {
    /// Today's anomaly itself.
    pub fn today(anomaly: Option<f64>) -> Self {
        Self {
            today: anomaly,
            share: if anomaly.is_some() { 1.0 } else { 0.0 },
        }
    }

    /// What is left of it a day later.
    #[must_use]
    pub fn after(self, persistence: f64) -> Self {
        Self {
            share: self.share * persistence,
            ..self
        }
    }

    fn mean(self) -> f64 {
        self.share * self.today.unwrap_or(0.0)
    }

    fn variance(self) -> f64 {
        1.0 - self.share * self.share
    }

    /// A past year's anomaly less what of it today has settled.
    fn free(self, past: f64, past_today: f64) -> f64 {
        past - self.share * past_today
    }
}

impl Blend {
    /// The blend of one day from the members' temperatures; a single run is one member.
    ///
    /// None when no member has the day or there is no skill at that lead.
    pub fn of(
        members: &[Option<Celsius>],
        normals: &Normals,
        skill: &Skill,
        lead: usize,
        carried: Carried,
    ) -> Option<Self> {
        let anomaly = |t: Celsius| (t.degrees() - normals.mean) / normals.spread;
        let known: Vec<f64> = members.iter().flatten().map(|t| anomaly(*t)).collect();
        let at_lead = skill
            .at(lead, known.len())
            .filter(|at| at.correlation > 0.0 && !known.is_empty())?;
        let n = count(known.len());
        let mean = known.iter().sum::<f64>() / n;
        let variance = known.iter().map(|a| (a - mean).powi(2)).sum::<f64>() / n;
        let by_lead = at_lead.open_share();
        let by_members = if known.len() > 1 {
            let own = variance / skill.member_spread_at(lead).powi(2);
            own.clamp(SPREAD_BELIEVED.0 * by_lead, SPREAD_BELIEVED.1 * by_lead)
        } else {
            by_lead
        };
        let open = f64::midpoint(by_lead, by_members).min(OPEN_SHARE_MAX);
        let (value, error) = (at_lead.slope * mean / (1.0 - open), open / (1.0 - open));
        let gain = carried.variance() / (carried.variance() + error);
        let local = (skill.local_spread.kelvin() / normals.spread).powi(2);
        let total = carried.variance() * (1.0 - gain) + local;
        let member_gain = member_gain(at_lead.correlation, variance, total);
        let left = (total - member_gain * member_gain * variance) / carried.variance();
        Some(Self {
            mean: carried.mean() + gain * (value - carried.mean()),
            year_gain: left.sqrt(),
            members: members
                .iter()
                .map(|t| t.map_or(0.0, |t| member_gain * (anomaly(t) - mean)))
                .collect(),
        })
    }

    /// The future's anomaly beside the part of a past year's that is still free.
    fn beside(&self, free: f64, member: usize) -> f64 {
        self.mean + self.members.get(member).copied().unwrap_or(0.0) + self.year_gain * free
    }
}

/// How much of its own deviation a member keeps: the skill of the lead, within the members' share of the variance.
fn member_gain(skill: f64, variance: f64, total: f64) -> f64 {
    if variance > 0.0 {
        skill.min((MEMBER_SHARE_MAX * total / variance).sqrt())
    } else {
        0.0
    }
}

/// The temperatures of one quantity over the coming days, for each past year and member.
#[derive(Debug, Clone, PartialEq)]
pub struct Guide {
    days: Vec<GuideDay>,
    /// As far as the forecast goes.
    blends: Vec<Option<Blend>>,
}

/// What all futures have in common on a day.
#[derive(Debug, Clone, Copy, PartialEq)]
struct GuideDay {
    /// What the season and today's weather make of it, in °C.
    base: f64,
    /// One standard unit of the season, in kelvin.
    spread: f64,
    /// Today's weather, carried on to it.
    carried: Carried,
    /// How much is left on it of a difference of the day before.
    persistence: f64,
    /// How much is left on it of a difference on the last day of the forecast.
    fade: f64,
}

impl Guide {
    /// The guide from today's temperature, if it is known, and the members' temperatures of each day from today on.
    ///
    /// `first_lead` is the lead of the coming day; today's own entry in `days` is not blended.
    pub fn of(
        today: Option<Celsius>,
        days: &[Vec<Option<Celsius>>],
        normals: &[Normals],
        skill: &Skill,
        first_lead: usize,
    ) -> Self {
        let anomaly = normals
            .first()
            .zip(today)
            .map(|(normals, t)| (t.degrees() - normals.mean) / normals.spread);
        let mut carried = Carried::today(anomaly);
        let mut blends = vec![None];
        let mut fade = 1.0;
        let mut all = Vec::with_capacity(normals.len());
        for (index, normals) in normals.iter().enumerate() {
            if index > 0 {
                carried = carried.after(normals.persistence);
                match days.get(index) {
                    Some(members) => {
                        let lead = first_lead + index - 1;
                        blends.push(Blend::of(members, normals, skill, lead, carried));
                    }
                    None => fade *= normals.persistence,
                }
            }
            all.push(GuideDay {
                base: normals.mean + normals.spread * carried.mean(),
                spread: normals.spread,
                carried,
                persistence: normals.persistence,
                fade,
            });
        }
        Self { days: all, blends }
    }

    /// How many coming days the forecast informs.
    pub fn days(&self) -> usize {
        self.blends.iter().flatten().count()
    }

    /// One future: the days of a past year, moved to today's weather and to what a member foresees, in a list that is
    /// used again and again.
    pub fn future(&self, past: &[f64], member: usize, future: &mut Vec<Celsius>) {
        let past_today = past.first().copied().unwrap_or(0.0);
        future.clear();
        let mut difference = 0.0;
        let informed = self.blends.len().min(self.days.len()).min(past.len());
        let (near, far) = self.days.split_at(informed);
        let (past_near, past_far) = past.split_at(informed);
        for (blend, (day, past)) in self.blends.iter().zip(near.iter().zip(past_near)) {
            difference *= day.persistence;
            let free = day.carried.free(*past, past_today);
            if let Some(blend) = blend {
                difference = blend.beside(free, member) - free - day.carried.mean();
            }
            future.push(Celsius::new(day.base + day.spread * (free + difference)));
        }
        // Beyond the forecast each day stands for itself, so that the compiler can take several at once.
        future.extend(far.iter().zip(past_far).map(|(day, past)| {
            let free = day.carried.free(*past, past_today);
            Celsius::new(day.base + day.spread * (free + day.fade * difference))
        }));
    }
}

/// A temperature with its bias taken off: night minima are forecast too warm.
pub(super) fn unbiased(
    t: Celsius,
    normals: &Normals,
    skill: &Skill,
    lead: usize,
    members: usize,
) -> Celsius {
    let correlation = skill.at(lead, members).map_or(0.0, |at| at.correlation);
    let anomaly = (t.degrees() - normals.mean) / normals.spread;
    let bias: CelsiusStep = skill.bias.of_night(anomaly, correlation);
    t - bias
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outlook::LeadSkill;

    const NORMALS: Normals = Normals {
        mean: 2.0,
        spread: 4.0,
        persistence: 0.6,
    };

    fn plain_skill() -> Skill {
        Skill {
            local_spread: CelsiusStep::new(0.0),
            ..Skill::default()
        }
    }

    fn close(found: f64, expected: f64) {
        assert!(
            (found - expected).abs() < 1e-9,
            "{found} against {expected}"
        );
    }

    fn future(guide: &Guide, past: &[f64]) -> Vec<Celsius> {
        let mut future = Vec::new();
        guide.future(past, 0, &mut future);
        future
    }

    fn unknown() -> Carried {
        Carried::today(None)
    }

    #[test]
    fn a_single_run_is_the_plain_formula() {
        // 10 °C is 2 spreads above the normal; r(1) = 0.90.
        let blend = Blend::of(
            &[Some(Celsius::new(10.0))],
            &NORMALS,
            &plain_skill(),
            1,
            unknown(),
        )
        .unwrap();
        close(
            blend.beside(-0.5, 0),
            0.90 * 2.0 + (1.0_f64 - 0.81).sqrt() * -0.5,
        );
    }

    #[test]
    fn a_perfect_forecast_is_the_future_and_one_without_skill_is_climate() {
        let guide = |r| {
            let skill = Skill {
                run: vec![LeadSkill::full_swing(r)],
                ..plain_skill()
            };
            let days = [vec![], vec![Some(Celsius::new(10.0))]];
            future(
                &Guide::of(None, &days, &[NORMALS; 2], &skill, 1),
                &[0.3, -0.7],
            )
        };
        close(guide(1.0)[1].degrees(), 10.0);
        close(guide(0.0)[1].degrees(), 2.0 - 0.7 * 4.0);
    }

    #[test]
    fn today_and_a_forecast_weigh_by_their_variances() {
        // By hand: φ = 0.6, today at +1: mean 0.6, variance 0.64. Truth plus error of one spread: y = a = 2, e² = 1,
        // gain 0.64/1.64 = 0.390 244; mean 0.6 + 0.390 244 x 1.4 = 1.146 341; variance 0.64 x 0.609 756 = 0.390 244,
        // so a past year's free part, of variance 0.64, is scaled by sqrt(0.609 756) = 0.780 869.
        let skill = Skill {
            run: vec![LeadSkill::with_error(1.0)],
            ..plain_skill()
        };
        let carried = Carried::today(Some(1.0)).after(0.6);
        let blend = Blend::of(&[Some(Celsius::new(10.0))], &NORMALS, &skill, 1, carried).unwrap();
        assert!((blend.beside(0.0, 0) - 1.146_341).abs() < 1e-6);
        assert!((blend.beside(1.0, 0) - blend.beside(0.0, 0) - 0.780_869).abs() < 1e-6);
    }

    #[test]
    fn the_futures_of_an_ensemble_have_the_spread_that_lead_and_members_promise() {
        let members: Vec<_> = (-15_i32..=15)
            .map(|k| Some(Celsius::new(2.0 + f64::from(k) / 5.0)))
            .collect();
        let blend = Blend::of(&members, &NORMALS, &plain_skill(), 3, unknown()).unwrap();
        let variance =
            blend.members.iter().map(|m| m * m).sum::<f64>() / 31.0 + blend.year_gain.powi(2);
        // By hand: r = .86, β = .86/(.86+.14/31) = .99478; 1 - rβ = .14449; members: var = 80 * .05² = .2 over .70²
        // = .408, believed up to 2 x .14449; s² = (.14449 + .28898)/2 = .21674.
        assert!((variance - 0.216_74).abs() < 1e-4, "{variance}");
    }

    #[test]
    fn after_its_end_the_forecast_dies_out_without_a_seam() {
        let days = [vec![], vec![Some(Celsius::new(10.0))]];
        let guide = Guide::of(None, &days, &[NORMALS; 4], &plain_skill(), 1);
        let future = future(&guide, &[0.0; 4]);
        let anomalies: Vec<f64> = future.iter().map(|t| t.degrees() - 2.0).collect();
        for (found, expected) in anomalies.iter().zip([0.0, 7.2, 7.2 * 0.6, 7.2 * 0.36]) {
            close(*found, expected);
        }
    }

    #[test]
    fn without_a_forecast_today_dies_out_into_the_past_year() {
        let guide = Guide::of(
            Some(Celsius::new(6.0)),
            &[],
            &[NORMALS; 3],
            &plain_skill(),
            1,
        );
        let future = future(&guide, &[-1.0, 0.5, 0.5]);
        // Today +1 against the past year's -1: a difference of 2 spreads, 8 K, then 0.6 of it, then 0.36.
        for (found, expected) in future.iter().zip([6.0, 2.0 + 2.0 + 4.8, 2.0 + 2.0 + 2.88]) {
            close(found.degrees(), expected);
        }
    }

    #[test]
    fn a_missing_member_is_left_out_and_a_missing_day_is_no_blend() {
        let of = |members: &[Option<Celsius>], lead| {
            Blend::of(members, &NORMALS, &plain_skill(), lead, unknown())
        };
        let some = of(&[Some(Celsius::new(4.0)), None], 2).unwrap();
        close(
            some.beside(1.0, 1),
            of(&[Some(Celsius::new(4.0))], 2).unwrap().beside(1.0, 0),
        );
        assert_eq!(of(&[None, None], 2), None);
        assert_eq!(of(&[Some(Celsius::new(4.0))], 13), None);
    }
}

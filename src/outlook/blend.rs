//! The futures formula.
//!
//! In standard units, with `a_f` the anomaly of a forecast member, `A_y` the one that past year y had, and `r` the
//! skill of the lead, a future is, day by day,
//!
//! ```text
//! m + g (a_f - mean a) + q A_y      with   m = β mean a   and   g² var a + q² = s²
//! ```
//!
//! For a single run β = r and s² = 1 - r² + (local spread)², which is the plain `r A_f + sqrt(1 - r²) A_y`. For an
//! ensemble of M members β = r / (r + (1 - r)/M), since their mean errs less than each of them, and s² is half what
//! the lead says and half what the members' own spread says. Where there is no forecast, in a gap or after its end,
//! the difference to the past year dies out from day to day with the correlation of the season: there is no seam.

use super::skill::Skill;
use crate::climate::Normals;
use crate::units::{Celsius, count};

/// The members' own spread is believed between these shares of what the lead says.
const SPREAD_BELIEVED: (f64, f64) = (0.4, 2.0);

/// The members keep at most this share of the variance for themselves; the past years bring the rest.
const MEMBER_SHARE_MAX: f64 = 0.5;

/// What a forecast makes of one day, in standard units of the season.
#[derive(Debug, Clone, PartialEq)]
pub struct Blend {
    mean: f64,
    year_gain: f64,
    /// What each member adds.
    members: Vec<f64>,
}

impl Blend {
    /// The blend of one day from the members' temperatures; a single run is one member.
    ///
    /// None when no member has the day or the lead is beyond the skill.
    pub fn of(
        members: &[Option<Celsius>],
        normals: &Normals,
        skill: &Skill,
        lead: usize,
    ) -> Option<Self> {
        let skill_of_lead = skill.correlation_at(lead)?;
        let anomaly = |t: Celsius| (t.degrees() - normals.mean) / normals.spread;
        let known: Vec<f64> = members.iter().flatten().map(|t| anomaly(*t)).collect();
        if known.is_empty() {
            return None;
        }
        let n = count(known.len());
        let mean = known.iter().sum::<f64>() / n;
        let variance = known.iter().map(|a| (a - mean).powi(2)).sum::<f64>() / n;
        let weight = skill_of_lead / (skill_of_lead + (1.0 - skill_of_lead) / n);
        let by_lead = 1.0 - skill_of_lead * weight;
        let by_members = if known.len() > 1 {
            let own = variance / skill.member_spread_at(lead).powi(2);
            own.clamp(SPREAD_BELIEVED.0 * by_lead, SPREAD_BELIEVED.1 * by_lead)
        } else {
            by_lead
        };
        let local = (skill.local_spread.kelvin() / normals.spread).powi(2);
        let total = f64::midpoint(by_lead, by_members) + local;
        let member_gain = member_gain(skill_of_lead, variance, total);
        Some(Self {
            mean: weight * mean,
            year_gain: (total - member_gain * member_gain * variance).sqrt(),
            members: members
                .iter()
                .map(|t| t.map_or(0.0, |t| member_gain * (anomaly(t) - mean)))
                .collect(),
        })
    }

    /// The future's anomaly beside that of a past year.
    pub fn beside(&self, past: f64, member: usize) -> f64 {
        self.mean + self.members.get(member).copied().unwrap_or(0.0) + self.year_gain * past
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

/// The temperatures of one future: the forecast's blend where there is one, then the past year, without a seam.
pub fn future_days(
    blends: &[Option<Blend>],
    past: &[f64],
    normals: &[Normals],
    member: usize,
) -> Vec<Celsius> {
    let blends = blends
        .iter()
        .map(Option::as_ref)
        .chain(std::iter::repeat(None));
    let mut difference = 0.0;
    blends
        .zip(past.iter().zip(normals))
        .map(|(blend, (past, normals))| {
            difference = blend.map_or(difference * normals.persistence, |blend| {
                blend.beside(*past, member) - past
            });
            Celsius::new(normals.mean + normals.spread * (past + difference))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::CelsiusStep;

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

    #[test]
    fn a_single_run_is_the_plain_formula() {
        // 10 °C is 2 spreads above the normal; r(1) = 0.90.
        let blend = Blend::of(&[Some(Celsius::new(10.0))], &NORMALS, &plain_skill(), 1).unwrap();
        let by_hand = 0.90 * 2.0 + (1.0_f64 - 0.81).sqrt() * -0.5;
        assert!((blend.beside(-0.5, 0) - by_hand).abs() < 1e-12);
    }

    #[test]
    fn the_futures_of_an_ensemble_have_the_spread_that_the_lead_promises() {
        let members: Vec<_> = (-15_i32..=15)
            .map(|k| Some(Celsius::new(2.0 + f64::from(k) / 5.0)))
            .collect();
        let blend = Blend::of(&members, &NORMALS, &plain_skill(), 3).unwrap();
        let variance =
            blend.members.iter().map(|m| m * m).sum::<f64>() / 31.0 + blend.year_gain.powi(2);
        // By hand: r = .86, β = .86/(.86+.14/31) = .99478; 1 - rβ = .14449; members: var = 80 * .05²  = .2 over .70²
        // = .408, believed up to 2 x .14449; s² = (.14449 + .28898)/2 = .21674.
        assert!((variance - 0.216_74).abs() < 1e-4, "{variance}");
    }

    #[test]
    fn after_its_end_the_forecast_dies_out_without_a_seam() {
        let blend = Blend::of(&[Some(Celsius::new(10.0))], &NORMALS, &plain_skill(), 1);
        let days = future_days(&[blend], &[0.0, 0.0, 0.0], &[NORMALS; 3], 0);
        let anomalies: Vec<f64> = days.iter().map(|t| t.degrees() - 2.0).collect();
        for (found, expected) in anomalies.iter().zip([7.2, 7.2 * 0.6, 7.2 * 0.36]) {
            assert!((found - expected).abs() < 1e-12, "{found}");
        }
    }

    #[test]
    fn a_missing_member_is_left_out_and_a_missing_day_is_no_blend() {
        let some = Blend::of(
            &[Some(Celsius::new(4.0)), None],
            &NORMALS,
            &plain_skill(),
            2,
        )
        .unwrap();
        let one = Blend::of(&[Some(Celsius::new(4.0))], &NORMALS, &plain_skill(), 2).unwrap();
        assert!((some.beside(1.0, 1) - one.beside(1.0, 0)).abs() < 1e-12);
        assert_eq!(Blend::of(&[None, None], &NORMALS, &plain_skill(), 2), None);
        assert_eq!(
            Blend::of(&[Some(Celsius::new(4.0))], &NORMALS, &plain_skill(), 13),
            None
        );
    }
}

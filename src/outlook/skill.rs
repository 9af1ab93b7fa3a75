//! How far a forecast of a night can be trusted, by its lead.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::CelsiusStep;

/// Skill of a source's forecasts at a place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Skill {
    /// Of a single run, at lead 1, 2 and so on; no lead beyond is used.
    pub run: Vec<LeadSkill>,
    /// Of the mean of an ensemble, likewise.
    pub ensemble: Vec<LeadSkill>,
    /// By how much the nights of the forecast are too warm.
    pub bias: WarmBias,
    /// What a place differs from the point that the forecast speaks of, from night to night, as a standard deviation.
    pub local_spread: CelsiusStep,
    /// Share of the true spread that the members of an ensemble show at lead 1, and its growth from lead to lead.
    pub member_spread: (f64, f64),
}

/// Skill at one lead, of anomalies in standard units of the season.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LeadSkill {
    /// Correlation with the truth.
    pub correlation: f64,
    /// Slope of the truth's anomaly on the forecast's: below the correlation for a forecast that swings too far.
    pub slope: f64,
}

/// By how much night minima are forecast too warm, in two kinds of night.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WarmBias {
    /// Over all nights.
    pub all: CelsiusStep,
    /// In nights that are forecast colder than [`COLD_BELOW`] spreads from the normal, mostly clear and still ones.
    pub cold: CelsiusStep,
    /// In the other nights.
    pub other: CelsiusStep,
}

/// Where a night begins to count as a cold one, in spreads from the normal.
///
/// Models err most to the warm side in stable air, which cloud and wind would tell best; where they are not looked at
/// a cold forecast stands for it (estimate).
pub const COLD_BELOW: f64 = -0.5;

impl WarmBias {
    /// The same in every night.
    pub const fn even(kelvin: f64) -> Self {
        let step = CelsiusStep::new(kelvin);
        Self {
            all: step,
            cold: step,
            other: step,
        }
    }

    /// The bias of a night forecast at that anomaly; the kind of night matters less the less it can be foreseen.
    pub fn of_night(&self, anomaly: f64, correlation: f64) -> CelsiusStep {
        let of_kind = if anomaly < COLD_BELOW {
            self.cold
        } else {
            self.other
        };
        of_kind * correlation + self.all * (1.0 - correlation)
    }
}

impl LeadSkill {
    /// A forecast that swings as far as the weather does: the slope is the correlation itself.
    pub const fn full_swing(correlation: f64) -> Self {
        Self {
            correlation,
            slope: correlation,
        }
    }

    /// A forecast that is the truth plus an independent error, given as a standard deviation in spreads.
    pub fn with_error(error: f64) -> Self {
        let slope = 1.0 / (1.0 + error * error);
        Self {
            correlation: slope.sqrt(),
            slope,
        }
    }

    /// Share of the truth's variance that the forecast leaves open.
    pub fn open_share(self) -> f64 {
        1.0 - self.correlation * self.correlation
    }
}

/// Correlation of a single run's anomaly of the night minimum with the truth, by lead in days.
const RUN: [f64; 12] = [
    0.90, 0.88, 0.86, 0.82, 0.77, 0.69, 0.60, 0.50, 0.41, 0.33, 0.27, 0.22,
];

/// Members of the ensembles in common use (30 to 50 and a control).
const MEMBERS: f64 = 31.0;

impl Default for Skill {
    /// Figures for a place at which nothing was verified yet.
    ///
    /// The correlations are an estimate, drawn through published errors of the night minimum: 1.3 to 2.4 K on day 1
    /// (own evaluation of 2,749 forecasts for Innsbruck and 731 for Toulouse), 2.3 K mean absolute error on day 5
    /// (performance page of a mountain forecast, winter 2011/12), 2.5 to 3 K on day 7. Twelve leads are used: beyond,
    /// a run that is a little worse than the table does harm. Of an ensemble whose members each have correlation r
    /// with the truth and with each other, the mean has slope r / (r + (1 - r)/M). Global models are 0.5 to 2 K too
    /// warm on cold nights (ECMWF Forecast User Guide, section 9.2); half a kelvin is taken off until the place has
    /// taught better. Raw ensembles spread about half as far as they err on day 1 (Gneiting et al., Mon. Wea. Rev.
    /// 133, 2005; own evaluation of five ensembles for Toulouse), and as far from about day 9 on (estimate).
    fn default() -> Self {
        let mean_of_members = |r: f64| {
            let slope = r / (r + (1.0 - r) / MEMBERS);
            LeadSkill {
                correlation: (r * slope).sqrt(),
                slope,
            }
        };
        Self {
            run: RUN.map(LeadSkill::full_swing).to_vec(),
            ensemble: RUN.map(mean_of_members).to_vec(),
            bias: WarmBias::even(0.5),
            local_spread: CelsiusStep::new(1.0),
            member_spread: (0.60, 0.05),
        }
    }
}

impl Skill {
    /// The skill at a lead in days, counted from 1, of a single run or of the mean of several members; none beyond the
    /// last lead used.
    pub fn at(&self, lead: usize, members: usize) -> Option<LeadSkill> {
        let leads = if members > 1 {
            &self.ensemble
        } else {
            &self.run
        };
        leads.get(lead.checked_sub(1)?).copied()
    }

    /// How many leads are used at most.
    pub fn leads(&self) -> usize {
        self.run.len().max(self.ensemble.len())
    }

    /// The share of the true spread that members show at a lead.
    pub fn member_spread_at(&self, lead: usize) -> f64 {
        let (first, growth) = self.member_spread;
        (first + growth * crate::units::count(lead.saturating_sub(1))).min(1.0)
    }
}

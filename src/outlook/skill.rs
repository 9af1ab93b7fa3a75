//! How far a forecast of a night can be trusted, by its lead.

use crate::units::CelsiusStep;

/// Skill of a forecast at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Skill {
    /// Correlation of a single run's anomaly with the truth at lead 1, 2 and so on; no lead beyond is used.
    pub correlation: Vec<f64>,
    /// By how much the nights of the forecast are too warm; taken off every night minimum.
    pub warm_bias: CelsiusStep,
    /// What a place differs from the point that the forecast speaks of, from night to night, as a standard deviation.
    pub local_spread: CelsiusStep,
    /// Share of the true spread that the members of an ensemble show at lead 1, and its growth from lead to lead.
    pub member_spread: (f64, f64),
}

impl Default for Skill {
    /// Figures for a place at which nothing was verified yet.
    ///
    /// The correlations are an estimate, drawn through published errors of the night minimum: 1.3 to 2.4 K on day 1
    /// (own evaluation of 2,749 forecasts for Innsbruck and 731 for Toulouse), 2.3 K mean absolute error on day 5
    /// (performance page of a mountain forecast, winter 2011/12), 2.5 to 3 K on day 7. Twelve leads are used: beyond,
    /// a run that is a little worse than the table does harm. Global models are 0.5 to 2 K too warm on cold nights
    /// (ECMWF Forecast User Guide, section 9.2); half a kelvin is taken off until the place has taught better. Raw
    /// ensembles spread about half as far as they err on day 1 (Gneiting et al., Mon. Wea. Rev. 133, 2005; own
    /// evaluation of five ensembles for Toulouse), and as far from about day 9 on (estimate).
    fn default() -> Self {
        Self {
            correlation: vec![
                0.90, 0.88, 0.86, 0.82, 0.77, 0.69, 0.60, 0.50, 0.41, 0.33, 0.27, 0.22,
            ],
            warm_bias: CelsiusStep::new(0.5),
            local_spread: CelsiusStep::new(1.0),
            member_spread: (0.60, 0.05),
        }
    }
}

impl Skill {
    /// The correlation at a lead in days, counted from 1; none beyond the last one used.
    pub fn correlation_at(&self, lead: usize) -> Option<f64> {
        self.correlation.get(lead.checked_sub(1)?).copied()
    }

    /// The share of the true spread that members show at a lead.
    pub fn member_spread_at(&self, lead: usize) -> f64 {
        let (first, growth) = self.member_spread;
        (first + growth * crate::units::count(lead.saturating_sub(1))).min(1.0)
    }
}

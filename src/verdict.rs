//! Stage 4: the findings of all rules folded into one verdict.
//!
//! In: the findings on one cut. Out: a [`Verdict`] with its state, dates and reasons.
//! Does not compute a chance of its own and does not know what was said before.

mod agree;
mod assess;
mod footing;

use chrono::{DateTime, Days, NaiveDate, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::almanac::CutKind;
use crate::outlook::{Basis, Missing};
use crate::risk::DateRange;
use crate::rules::{Finding, Stand};

pub use agree::{BySource, most_careful};
pub use assess::{Ahead, Sky, assess};
pub use footing::Footing;

/// From how many days before its end an open window counts as closing.
pub const CLOSING_DAYS: u64 = 14;

/// What may be done with one planned cut now.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Verdict {
    /// The garden's short name.
    pub garden: String,
    /// The cut's name in that garden.
    pub cut: String,
    /// The planting in the keeper's words.
    pub planting: String,
    /// The kind of cut, in words.
    pub cut_kind: CutKind,
    /// When it was reached.
    pub at: DateTime<Utc>,
    /// The local date there at that moment.
    pub today: NaiveDate,
    /// The state.
    pub state: State,
    /// When it will likely be go, if it is not.
    pub opens: Option<DateRange>,
    /// The last day on which it is go, where one is known.
    pub closes: Option<NaiveDate>,
    /// The day that the keeper wished for.
    pub wished: Option<NaiveDate>,
    /// What each rule found.
    pub findings: Vec<Finding>,
    /// What the chances rest on, and what is missing.
    pub basis: Basis,
}

/// The state of a cut.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// Cut now.
    Go,
    /// Cut now or soon: the window ends.
    Closing,
    /// Not now; a day will come this season.
    Wait,
    /// Not this season.
    Closed,
    /// A professional's work.
    CallAPro,
    /// The program does not know enough to say.
    Unknown,
}

impl State {
    /// Every state.
    pub const ALL: [Self; 6] = [
        Self::Go,
        Self::Closing,
        Self::Wait,
        Self::Closed,
        Self::CallAPro,
        Self::Unknown,
    ];

    /// Its name as screens, mails and files show it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Go => "go",
            Self::Closing => "closing",
            Self::Wait => "wait",
            Self::Closed => "closed",
            Self::CallAPro => "call-a-pro",
            Self::Unknown => "unknown",
        }
    }

    /// Whether the cut may be made now.
    pub const fn allows(self) -> bool {
        match self {
            Self::Go | Self::Closing => true,
            Self::Wait | Self::Closed | Self::CallAPro | Self::Unknown => false,
        }
    }
}

/// State and dates of a cut, folded from its findings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Folded {
    /// The state.
    pub state: State,
    /// When it will likely be go, if it is not.
    pub opens: Option<DateRange>,
    /// The last day on which it is go.
    pub closes: Option<NaiveDate>,
}

/// Folds findings into state and dates.
///
/// A professional's work beats all; then a shut season, then a hold, then what is not known: ignorance may keep a
/// no, it never turns one into a go. A cut without any finding is unknown, and so is one that would be go on weather
/// that is missing or old.
pub fn fold(findings: &[Finding], missing: &[Missing], today: NaiveDate) -> Folded {
    let stands = || findings.iter().map(|finding| &finding.stand);
    let not_now = |state| Folded {
        state,
        opens: latest_opening(findings),
        closes: None,
    };
    if findings.is_empty() {
        return not_now(State::Unknown);
    }
    if stands().any(|stand| matches!(stand, Stand::Professional)) {
        return not_now(State::CallAPro);
    }
    if stands().any(|stand| matches!(stand, Stand::Shut { .. })) {
        return not_now(State::Closed);
    }
    if stands().any(|stand| matches!(stand, Stand::Hold { .. })) {
        return not_now(State::Wait);
    }
    if !missing.is_empty() || stands().any(|stand| matches!(stand, Stand::Unknown { .. })) {
        return not_now(State::Unknown);
    }
    let closes = stands().filter_map(Stand::clear_until).min();
    let closing = closes.is_some_and(|end| {
        today
            .checked_add_days(Days::new(CLOSING_DAYS))
            .is_some_and(|soon| end <= soon)
    });
    Folded {
        state: if closing { State::Closing } else { State::Go },
        opens: None,
        closes,
    }
}

/// The latest of the days on which the single rules will release the cut; none when one of them never will.
fn latest_opening(findings: &[Finding]) -> Option<DateRange> {
    let never = |finding: &Finding| finding.stand == Stand::Shut { opens: None };
    if findings.iter().any(never) {
        return None;
    }
    findings
        .iter()
        .filter_map(|finding| finding.stand.opens())
        .max_by_key(|range| (range.to, range.from))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::almanac::Wood;
    use crate::rules::{Facts, FloweringFacts};

    fn day(day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, 4, day).unwrap()
    }

    fn finding(stand: Stand) -> Finding {
        let facts = FloweringFacts {
            wood: Wood::Old,
            season: None,
            opens_by: None,
            closes_by: None,
            zone: None,
            outside: None,
        };
        Finding {
            stand,
            facts: Facts::FloweringWood(facts),
            source: "test".to_owned(),
        }
    }

    fn state(stands: impl IntoIterator<Item = Stand>, missing: &[Missing]) -> State {
        let findings: Vec<_> = stands.into_iter().map(finding).collect();
        fold(&findings, missing, day(1)).state
    }

    const CLEAR: Stand = Stand::Clear { until: None };
    const HOLD: Stand = Stand::Hold { opens: None };
    const SHUT: Stand = Stand::Shut { opens: None };

    #[test]
    fn the_strictest_finding_rules() {
        assert_eq!(state([CLEAR, CLEAR], &[]), State::Go);
        assert_eq!(state([CLEAR, HOLD], &[]), State::Wait);
        assert_eq!(state([SHUT, HOLD], &[]), State::Closed);
        assert_eq!(state([SHUT, Stand::Professional], &[]), State::CallAPro);
        assert_eq!(state([], &[]), State::Unknown);
    }

    #[test]
    fn missing_weather_keeps_a_no_and_gives_no_go() {
        for missing in [
            Missing::Forecast,
            Missing::FreshForecast { age_hours: 40 },
            Missing::ForecastNights,
            Missing::History,
        ] {
            assert_eq!(state([CLEAR], &[missing]), State::Unknown);
            assert_eq!(state([HOLD], &[missing]), State::Wait);
            assert_eq!(state([SHUT], &[missing]), State::Closed);
        }
    }

    #[test]
    fn an_end_in_sight_is_closing() {
        let until = |end| [Stand::Clear { until: Some(end) }, CLEAR];
        assert_eq!(state(until(day(15)), &[]), State::Closing);
        assert_eq!(state(until(day(16)), &[]), State::Go);
    }

    #[test]
    fn the_latest_opening_counts() {
        let opens = |from, to| {
            Some(DateRange {
                from: day(from),
                to: day(to),
            })
        };
        let findings = [
            Stand::Hold { opens: opens(3, 9) },
            Stand::Hold { opens: opens(5, 7) },
        ]
        .map(finding);
        assert_eq!(fold(&findings, &[], day(1)).opens, opens(3, 9));
        let never = findings.into_iter().chain([finding(SHUT)]);
        assert_eq!(fold(&never.collect::<Vec<_>>(), &[], day(1)).opens, None);
    }
}

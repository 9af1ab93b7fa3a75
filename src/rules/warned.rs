//! Official warnings of frost and freeze.

use chrono::Days;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Case, Facts, Finding, Stand};
use crate::forecast::LocalWarning;
use crate::risk::DateRange;

const SOURCE: &str =
    "the weather service's own alerts, in the Common Alerting Protocol (OASIS, version 1.2, 2010)";

/// The warnings behind a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct WarnedFacts {
    /// Those in force or to come, the first to begin first; one at the least.
    pub warnings: Vec<LocalWarning>,
}

/// Holds a cut that leaves something tender until the day after the last warned cold. It never releases one: offices
/// warn of the season's first freezes only, or of some places only, so no warning says nothing.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    case.cut.cut.tender.as_ref()?;
    let last = case.warnings.iter().map(|one| one.until.date()).max()?;
    let after = last.max(case.today).checked_add_days(Days::new(1));
    Some(Finding {
        stand: Stand::Hold {
            opens: after.map(|day| DateRange { from: day, to: day }),
        },
        facts: Facts::OfficialWarning(WarnedFacts {
            warnings: case.warnings.to_vec(),
        }),
        source: SOURCE.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::super::scene::{Scene, day};
    use super::*;
    use crate::almanac::{CutKind, Edges, Habit, Tender};
    use crate::units::Celsius;

    fn warning(from: &str, until: &str) -> LocalWarning {
        LocalWarning {
            event: "Freeze Warning".to_owned(),
            sender: "NWS Anytown".to_owned(),
            headline: "Freeze Warning until 9 AM".to_owned(),
            from: from.parse().unwrap(),
            until: until.parse().unwrap(),
        }
    }

    fn scene() -> Scene {
        let mut scene = Scene::of(
            "Buxus",
            Habit::SmallLeavedEvergreen,
            CutKind::Shear,
            "2027-04-15",
        );
        scene.tender = Some(Tender {
            class: "made-up".to_owned(),
            why: "made up".to_owned(),
            edges: Some(Edges {
                days: 14,
                damage_at: Celsius::new(-2.0),
            }),
            growth: None,
            unhardened: None,
            source: "test".to_owned(),
        });
        scene
    }

    #[test]
    fn a_tender_cut_waits_until_the_day_after_the_last_warned_cold() {
        let mut scene = scene();
        scene.warnings = vec![
            warning("2027-04-15T22:00:00", "2027-04-17T09:00:00"),
            warning("2027-04-16T02:00:00", "2027-04-16T09:00:00"),
        ];
        let opens = scene.stand(find).opens().unwrap();
        assert_eq!(
            (opens.from, opens.to),
            (day("2027-04-18"), day("2027-04-18"))
        );
    }

    #[test]
    fn without_a_warning_or_without_anything_tender_it_has_nothing_to_say() {
        let mut scene = scene();
        assert_eq!(scene.find(find), None);
        scene.warnings = vec![warning("2027-04-15T22:00:00", "2027-04-16T09:00:00")];
        scene.tender = None;
        assert_eq!(scene.find(find), None);
    }
}

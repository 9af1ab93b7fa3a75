//! What the keeper did and saw: cuts that were made, events that came.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::almanac::{CutKind, Event};

/// A cut that was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Deed {
    /// The cut's name in the garden, such as `box-edging-shear`.
    pub cut: String,
    /// The planting in the keeper's words.
    pub planting: String,
    /// The local day on which it was made.
    pub on: NaiveDate,
    /// How much of the plant's live growth was taken, in percent, where the keeper told.
    pub share: Option<u8>,
    /// What else the keeper told of it.
    pub note: Option<String>,
}

/// An event that the keeper saw at a planting.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sighting {
    /// The planting in the keeper's words.
    pub planting: String,
    /// What came.
    pub event: Event,
    /// The local day on which it came.
    pub on: NaiveDate,
}

impl Deed {
    /// Which kind of cut it was, by the end of its name; none when the name tells no kind.
    pub fn kind(&self) -> Option<CutKind> {
        let is_meant = |kind: &CutKind| {
            self.cut
                .strip_suffix(kind.name())
                .is_some_and(|before| before.is_empty() || before.ends_with('-'))
        };
        CutKind::ALL.into_iter().find(is_meant)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_name_of_a_cut_ends_with_its_kind() {
        let kind = |cut: &str| {
            let deed = Deed {
                cut: cut.to_owned(),
                planting: "box edging".to_owned(),
                on: NaiveDate::from_ymd_opt(2027, 4, 22).unwrap(),
                share: None,
                note: None,
            };
            deed.kind()
        };
        assert_eq!(kind("box-edging-shear"), Some(CutKind::Shear));
        assert_eq!(kind("hedge-thinning-cut"), Some(CutKind::ThinningCut));
        assert_eq!(kind("cut-back"), Some(CutKind::CutBack));
        assert_eq!(kind("box-edgingshear"), None);
        assert_eq!(kind("box-edging"), None);
    }
}

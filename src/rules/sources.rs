//! What several sources of weather say of one cut, where they differ.
//!
//! Not a rule: a rule sees one source. [`crate::verdict`] adds it when it takes the most careful verdict of all.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Facts, Finding};
use crate::forecast::Odd;

/// Which source rules, and which say otherwise.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SourcesFacts {
    /// The source that is most careful, whose verdict stands; none when no source says anything.
    pub rules: Option<String>,
    /// Those by which the cut would be go.
    pub go: Vec<String>,
    /// Those by which it is not.
    pub not_go: Vec<String>,
    /// Those that are left out, since they are out of step with the others.
    pub odd: Vec<Odd>,
}

impl SourcesFacts {
    /// The finding, when there is anything to tell.
    pub fn finding(self) -> Option<Finding> {
        let differ = !self.go.is_empty() && !self.not_go.is_empty();
        let source = "the most careful of all fresh sources rules (estimate)";
        (differ || !self.odd.is_empty()).then(|| Finding::note(Facts::Sources(self), source))
    }
}

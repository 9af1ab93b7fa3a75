//! What the owner tells of a planting beyond its kind: size, lines, branches, marks.

use std::ops::RangeInclusive;

use super::check::Checker;
use super::faults::Checked;
use super::raw::RawPlant;
use crate::garden::{Mark, Planting};
use crate::units::{Centimetres, Kilograms, Metres};

/// No tree is taller (the tallest on record stands at 116 m; from memory).
const HEIGHTS: RangeInclusive<Metres> = Metres(0.0)..=Metres(120.0);
const HEIGHTS_ALLOWED: &str = "0 m to 120 m (394 ft), such as \"0.6 m\" or \"25 ft\"";

/// Lines further off than this are no matter to any cut (estimate).
const LINES: RangeInclusive<Metres> = Metres(0.0)..=Metres(1000.0);
const LINES_ALLOWED: &str = "0 m to 1000 m, such as \"4 m\" or \"12 ft\"";

const BRANCHES: RangeInclusive<Centimetres> = Centimetres(0.0)..=Centimetres(300.0);
const BRANCHES_ALLOWED: &str = "0 cm to 300 cm (118 in), such as \"8 cm\" or \"3 in\"";

const LOADS: RangeInclusive<Kilograms> = Kilograms(0.0)..=Kilograms(20_000.0);
const LOADS_ALLOWED: &str = "0 kg to 20000 kg (44000 lb), such as \"20 kg\" or \"45 lb\"";

impl Checker<'_> {
    /// What `[[garden.plant]]` tells of the planting itself.
    pub(super) fn planting(&mut self, raw: &RawPlant, name: Checked<&str>) -> Checked<Planting> {
        let height = raw
            .height
            .as_ref()
            .map(|value| self.quantity(("height", value), str::parse, HEIGHTS, HEIGHTS_ALLOWED));
        let lines = raw
            .near_lines
            .as_ref()
            .map(|value| self.quantity(("near_lines", value), str::parse, LINES, LINES_ALLOWED));
        let thickest = raw.thickest_branch.as_ref().map(|value| {
            self.quantity(
                ("thickest_branch", value),
                str::parse,
                BRANCHES,
                BRANCHES_ALLOWED,
            )
        });
        let heaviest = raw.heaviest_branch.as_ref().map(|value| {
            self.quantity(("heaviest_branch", value), str::parse, LOADS, LOADS_ALLOWED)
        });
        let marks: Vec<_> = raw
            .marks
            .iter()
            .map(|value| self.choice(("mark", value), &Mark::ALL))
            .collect();
        Ok(Planting {
            name: name?.to_owned(),
            height: height.transpose()?,
            near_lines: lines.transpose()?,
            thickest_branch: thickest.transpose()?,
            heaviest_branch: heaviest.transpose()?,
            marks: marks.into_iter().collect::<Checked<_>>()?,
        })
    }
}

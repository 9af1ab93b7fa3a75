//! The report as one page.

use maud::html;

use super::figures::Figures;
use super::series::{Plan, Series};

/// The report.
pub fn page(_plan: &Plan, _all: &[Series], figures: &[Figures], _together: &Figures) -> String {
    html! { @for one in figures { p { (one.name) } } }.into_string()
}

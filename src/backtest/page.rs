//! The report as one page.

use maud::html;

use super::figures::Figures;

/// The report.
pub fn page(figures: &[Figures]) -> String {
    html! { @for one in figures { p { (one.name) } } }.into_string()
}

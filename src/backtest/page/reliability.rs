//! The reliability diagram: what was said against what came, with limits and counts.

use maud::{Markup, html};

use super::chart::{Scale, WIDTH};
use crate::backtest::figures::Figures;
use crate::units::count;

const FRAME: f64 = 260.0;
const LEFT: f64 = 34.0;
const TOP: f64 = 8.0;
const COUNTS: f64 = 40.0;

/// The diagram, with a strip of counts below it, and its table.
pub(super) fn figure(together: &Figures) -> Markup {
    let across = Scale {
        values: (0.0, 1.0),
        places: (LEFT, WIDTH - 10.0),
    };
    let up = Scale {
        values: (0.0, 1.0),
        places: (TOP + FRAME, TOP),
    };
    let most = together.reliability.iter().map(|bin| bin.days).max();
    let base = TOP + FRAME + 22.0 + COUNTS;
    let tall = Scale {
        values: (0.0, count(most.unwrap_or(1))),
        places: (0.0, COUNTS),
    };
    html! {
        figure {
            svg viewBox=(format!("0 0 {WIDTH} {}", base + 14.0)) role="img"
                aria-label="Observed share against forecast chance, with 95 percent limits, and the count of days below" {
                @for tenth in [0_u8, 20, 40, 60, 80, 100] {
                    @let share = f64::from(tenth) / 100.0;
                    line.grid x1=(across.at(share)) x2=(across.at(share)) y1=(TOP) y2=(TOP + FRAME) {}
                    line.grid x1=(LEFT) x2=(WIDTH - 10.0) y1=(up.at(share)) y2=(up.at(share)) {}
                    text.small x=(across.at(share)) y=(TOP + FRAME + 10.0) text-anchor="middle" { (tenth) }
                    text.small x=(LEFT - 4.0) y=(up.at(share) + 3.0) text-anchor="end" { (tenth) " %" }
                }
                line.axis.dashed x1=(across.at(0.0)) y1=(up.at(0.0)) x2=(across.at(1.0)) y2=(up.at(1.0)) {}
                text x=(LEFT + 6.0) y=(TOP + 12.0) { "share that came" }
                text x=(WIDTH - 12.0) y=(TOP + FRAME - 5.0) text-anchor="end" { "chance that was told, %" }
                @for bin in &together.reliability {
                    @let x = across.at(bin.chance);
                    @let (least, most) = bin.consistent;
                    rect.told x=(x - 4.0) width="8" y=(up.at(most))
                        height=(format!("{:.1}", (up.at(least) - up.at(most)).max(1.0))) {}
                    line.mine.limits x1=(x) x2=(x) y1=(up.at(bin.limits.0)) y2=(up.at(bin.limits.1)) {}
                    circle.mine cx=(x) cy=(up.at(bin.observed)) r="3" {}
                    rect.quiet fill-opacity=".5" stroke="none" x=(across.at(bin.from) + 0.5)
                        width=(format!("{:.1}", (across.at(bin.to) - across.at(bin.from) - 1.0).max(1.0)))
                        y=(format!("{:.1}", base - tall.at(count(bin.days))))
                        height=(tall.at(count(bin.days))) {}
                }
                text.small x=(LEFT) y=(base + 10.0) {
                    "decision days by chance; the tallest bar: " (most.unwrap_or(0)) " days"
                }
            }
            figcaption {
                "On the dashed line chance and share agree. Pale bars: where 95 of 100 shares would lie if every chance "
                "were right, with what comes drawn once a year in each bin (consistency bars after Bröcker and Smith, "
                "2007). Thin lines: 95 % limits of the share itself by resampling whole years. With twelve marks one test in "
                "two has one of them outside its bar by luck alone."
            }
        }
        (table(together))
    }
}

/// The numbers behind the diagram.
fn table(together: &Figures) -> Markup {
    html! {
        div.wide { table {
            thead { tr {
                th { "chance" } th { "days" } th { "years" } th { "mean chance" } th { "came" }
                th { "if right, 95 %" } th { "95 % limits" }
            } }
            tbody { @for bin in &together.reliability { tr {
                td { (format!("{:.0} to {:.0} %", bin.from * 100.0, bin.to * 100.0)) }
                td { (bin.days) } td { (bin.years) }
                td { (format!("{:.1} %", bin.chance * 100.0)) } td { (format!("{:.1} %", bin.observed * 100.0)) }
                td { (super::in_hundred(Some(bin.consistent))) }
                td { (super::in_hundred(Some(bin.limits))) }
            } } }
        } }
    }
}

//! The Brier scores as bars with their limits.

use maud::{Markup, html};

use super::chart::{Scale, WIDTH};
use crate::backtest::baseline::Teller;
use crate::backtest::figures::Figures;
use crate::units::count;

const ROW: f64 = 18.0;

/// One bar a teller, the best possible last.
pub(super) fn figure(together: &Figures) -> Markup {
    let values = together.scores.iter().filter_map(|score| {
        score
            .brier
            .limits
            .map(|limits| limits.1)
            .or(score.brier.value)
    });
    let most = values.fold(0.05, f64::max);
    let scale = Scale {
        values: (0.0, most),
        places: (82.0, WIDTH - 50.0),
    };
    let rows = ROW * count(together.scores.len()) + 4.0;
    let height = rows + 28.0;
    html! {
        figure {
            svg viewBox=(format!("0 0 {WIDTH} {height}")) role="img"
                aria-label="Brier score of the chance and of each baseline, with 95 percent limits" {
                (axis(&scale, rows))
                @for (index, score) in together.scores.iter().enumerate() {
                    @let middle = ROW * count(index) + ROW / 2.0 + 2.0;
                    @let mine = score.teller == Teller::Budward.name();
                    @let class = if mine { "mine" } else { "quiet" };
                    text x="0" y=(middle + 3.5) { (score.teller) }
                    @if let Some(value) = score.brier.value {
                        rect class=(class) fill-opacity=".35" stroke="none" x=(scale.at(0.0)) y=(middle - 5.0)
                            width=(format!("{:.1}", scale.at(value) - scale.at(0.0))) height="10" {}
                        text x=(WIDTH - 38.0) y=(middle + 3.5) { (format!("{value:.3}")) }
                    }
                    @if let Some((low, high)) = score.brier.limits {
                        line class={ (class) " limits" } x1=(scale.at(low)) x2=(scale.at(high)) y1=(middle) y2=(middle) {}
                        line class={ (class) " limits" } x1=(scale.at(low)) x2=(scale.at(low))
                            y1=(middle - 3.0) y2=(middle + 3.0) {}
                        line class={ (class) " limits" } x1=(scale.at(high)) x2=(scale.at(high))
                            y1=(middle - 3.0) y2=(middle + 3.0) {}
                    }
                }
            }
            figcaption { "Less is better. Lines are 95 % limits by resampling whole years; all share the years' luck, so "
                "that overlapping limits do not make two of them equal: the skill in the table below compares them year "
                "by year." }
        }
        ul { @for score in &together.scores { li { b { (score.teller) } ": " (score.words) } } }
    }
}

/// Round values below the bars, and what they are.
fn axis(scale: &Scale, base: f64) -> Markup {
    let step = if scale.values.1 > 0.3 { 0.1 } else { 0.05 };
    let ticks = (0..).map(|index| step * count(index));
    html! {
        @for tick in ticks.take_while(|tick| *tick <= scale.values.1) {
            @let x = scale.at(tick);
            line.grid x1=(x) x2=(x) y1="0" y2=(base) {}
            text.small x=(x) y=(base + 10.0) text-anchor="middle" { (format!("{tick:.2}")) }
        }
        text x=(scale.places.0) y=(base + 24.0) { "Brier score, mean over all decision days" }
    }
}

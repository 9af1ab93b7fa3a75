//! The frame of a picture: two axes with their ticks, and the key under it.
//!
//! In: scales, names. Out: strokes on a drawing. Does not know what is plotted.

use super::font;
use super::labels::Area;
use super::scale::{Days, Scale, round_values};
use super::svg::{Anchor, Ink, Point, Svg};
use super::{Caption, Sheet};
use crate::locale::Locale;

/// Room left of the plot for the values.
const VALUES: f64 = 38.0;

/// The least room between a name and the edge of the sheet.
const EDGE: f64 = 4.0;

/// The plot with its scales.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    pub(super) plot: Area,
    pub(super) days: Days,
    pub(super) values: Scale,
    pub(super) letters: f64,
}

/// A sign of the key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    Line,
    Area,
    /// An area that lies in a wide one.
    Inner,
    Dot,
}

impl Frame {
    /// A plot under `above`, for days and for values.
    pub(super) fn of(
        sheet: &Sheet<'_>,
        above: f64,
        span: (chrono::NaiveDate, chrono::NaiveDate),
        values: (f64, f64),
    ) -> Self {
        let letters = sheet.paper.letters();
        let right = sheet.paper.width() - 12.0;
        let bottom = above + sheet.paper.plot_height();
        Self {
            plot: (VALUES, above, right, bottom),
            days: Days {
                span,
                places: (VALUES, right),
            },
            values: Scale {
                values,
                places: (bottom, above),
            },
            letters,
        }
    }

    /// The size of the letters of ticks.
    pub(super) fn small(&self) -> f64 {
        self.letters - 1.0
    }

    /// A point of the plot.
    pub(super) fn point(&self, day: chrono::NaiveDate, value: f64) -> Point {
        (self.days.at(day), self.values.at(value))
    }

    /// Draws the axes; what the values count stands above them.
    pub(super) fn draw(&self, svg: &mut Svg, sheet: &Sheet<'_>, caption: &Caption) {
        let (left, top, right, bottom) = self.plot;
        let ticks = self
            .days
            .ticks(&|day| sheet.locale.short(day), self.small());
        let (low, high) = self.values.values;
        let values = round_values(low, high, 5);
        for value in &values {
            let y = self.values.at(*value);
            svg.line((left, y), (right, y), Ink::Grid);
        }
        for (x, _) in &ticks {
            svg.line((*x, top), (*x, bottom), Ink::Grid);
        }
        svg.line((left, bottom), (right, bottom), Ink::Axis);
        for (x, _) in &ticks {
            svg.line((*x, bottom), (*x, bottom + 4.0), Ink::Axis);
        }
        let end = (Anchor::End, self.small());
        for value in &values {
            let y = self.values.at(*value) + 0.35 * self.small();
            svg.text(
                (left - 6.0, y),
                end,
                Ink::Quiet,
                &whole(*value, sheet.locale),
            );
        }
        let edge = sheet.paper.width();
        for (x, name) in &ticks {
            let half = font::width(name, self.small()) / 2.0;
            let x = x.clamp(half + EDGE, (edge - half - EDGE).max(half + EDGE));
            let under = bottom + self.small() + 7.0;
            svg.text((x, under), (Anchor::Middle, self.small()), Ink::Quiet, name);
        }
        let above = (2.0, self.letters + 4.0);
        svg.text(
            above,
            (Anchor::Start, self.small()),
            Ink::Quiet,
            &caption.axis,
        );
    }

    /// Where the names of the days end.
    pub(super) fn under(&self) -> f64 {
        self.plot.3 + self.small() + 12.0
    }

    /// Draws a key under the names of the days, in as many lines as it needs; gives where it ends.
    pub(super) fn key(&self, svg: &mut Svg, from: f64, signs: &[(Sign, Ink, &str)]) -> f64 {
        const SIGN: f64 = 22.0;
        let high = self.letters + 7.0;
        let (mut x, mut y) = (4.0, from + high - 4.0);
        for (sign, ink, text) in signs {
            let wide = SIGN + 6.0 + font::width(text, self.small()) + 14.0;
            if x > 4.0 && x + wide > self.plot.2 + 8.0 {
                (x, y) = (4.0, y + high);
            }
            let middle = y - 0.35 * self.small();
            match sign {
                Sign::Line => svg.line((x, middle), (x + SIGN, middle), *ink),
                Sign::Area => svg.rect((x, middle - 5.0), (SIGN, 10.0), *ink),
                Sign::Inner => {
                    svg.rect((x, middle - 5.0), (SIGN, 10.0), Ink::Wide);
                    svg.rect((x, middle - 5.0), (SIGN, 10.0), *ink);
                }
                Sign::Dot => svg.dot((x + SIGN / 2.0, middle), 3.5, *ink),
            }
            let at = (x + SIGN + 6.0, y);
            svg.text(at, (Anchor::Start, self.small()), Ink::Quiet, text);
            x += wide;
        }
        y + 8.0
    }
}

/// A value of the grid.
fn whole(value: f64, locale: Locale) -> String {
    let decimals = usize::from(value.fract().abs() >= 1e-9);
    let text = locale.number(value, decimals);
    if text == "-0" { "0".to_owned() } else { text }
}

//! Beside the words: four pictures, drawn once for page and mail.
//!
//! In: numbers in the units that are shown, dates, and ready words. Out: a [`Picture`], SVG text that stands alone, and
//! the same as PNG. Computes nothing and words nothing: each picture says in its description what its maker was told
//! that it shows.

mod font;
mod frame;
mod heat;
mod labels;
mod nights;
mod png;
mod risk;
mod scale;
mod svg;
mod year;

use crate::locale::Locale;

pub use heat::{HeatChart, HeatEvent, HeatLine};
pub use nights::{NightBand, NightsChart};
pub use png::PictureError;
pub use risk::{RiskChart, RiskRow, RowKind};
pub use year::{Bar, BarKind, YearChart, YearRow};

/// A drawn picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// What it is called.
    pub title: String,
    /// What it shows, in words: all its figures.
    pub says: String,
    /// Width of the drawing; on a page that has room, also the width in pixels.
    pub width: f64,
    /// Height likewise.
    pub height: f64,
    /// The drawing. It has its colours with it; a page may give other ones to its classes.
    pub svg: String,
}

/// How wide a picture is drawn; letters are equally large on both.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// For a telephone held upright, and for mails.
    Narrow,
    /// For a screen with room.
    Wide,
}

/// What every picture needs beside its figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Caption {
    /// What the picture is called.
    pub title: String,
    /// What it shows, in words.
    pub says: String,
    /// What its upright axis counts.
    pub axis: String,
}

/// Where and how a picture is drawn.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'a> {
    /// The picture's own name, unique on its page.
    pub id: &'a str,
    /// Its width.
    pub paper: Paper,
    /// How its days and numbers are written.
    pub locale: Locale,
}

impl Paper {
    const fn width(self) -> f64 {
        match self {
            Self::Narrow => 336.0,
            Self::Wide => 704.0,
        }
    }

    /// The size of its letters.
    const fn letters(self) -> f64 {
        match self {
            Self::Narrow => 12.0,
            Self::Wide => 13.0,
        }
    }

    /// The height of what is plotted.
    const fn plot_height(self) -> f64 {
        match self {
            Self::Narrow => 168.0,
            Self::Wide => 220.0,
        }
    }
}

impl Sheet<'_> {
    /// Puts the last hand to a drawing.
    fn finish(&self, svg: svg::Svg, height: f64, caption: &Caption) -> Picture {
        let width = self.paper.width();
        Picture {
            title: caption.title.clone(),
            says: caption.says.clone(),
            width,
            height,
            svg: svg.done((width, height), &caption.title, &caption.says),
        }
    }
}

//! The one font of all pictures, built in, and how wide a text is in it.
//!
//! In: text. Out: its width. Does not shape: kerning would move a label by less than the room that is left about it.

use std::sync::LazyLock;

use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};

/// The font file, as its maker ships it; its licence lies beside it.
pub(super) const BYTES: &[u8] = include_bytes!("font/OpenSans-Regular.ttf");

/// Its family, as pictures name it.
pub(super) const FAMILY: &str = "Open Sans";

/// Widths of letters are taken at this size and scaled.
const MEASURED_AT: f32 = 1000.0;

/// What a letter that the font does not have is taken for, in parts of the size.
const MISSING: f64 = 0.6;

/// A page that has another font than this one may set text so much wider (own look at common sans-serif fonts;
/// estimate).
const OTHER_FONTS: f64 = 1.08;

static FONT: LazyLock<Option<FontRef<'static>>> = LazyLock::new(|| FontRef::new(BYTES).ok());

/// The width of a text set at a size, in the same unit.
pub(super) fn width(text: &str, size: f64) -> f64 {
    let Some(font) = FONT.as_ref() else {
        return text.chars().map(|_| MISSING * size).sum();
    };
    let letters = font.charmap();
    let metrics = font.glyph_metrics(Size::new(MEASURED_AT), LocationRef::default());
    let of = |letter: char| {
        let glyph = letters.map(letter)?;
        metrics.advance_width(glyph)
    };
    let parts = text
        .chars()
        .map(|letter| of(letter).map_or(MISSING, |wide| f64::from(wide / MEASURED_AT)));
    parts.sum::<f64>() * size * OTHER_FONTS
}

/// Whether the font has every letter of a text.
#[cfg(test)]
pub(super) fn has(text: &str) -> bool {
    let letters = FONT.as_ref().map(MetadataProvider::charmap);
    let has = |letter: char| {
        letters
            .as_ref()
            .is_some_and(|map| map.map(letter).is_some())
    };
    text.chars().all(has)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_as_wide_as_its_letters() {
        // Advances in the font's table hmtx, units of 2048 per em: H 1511, i 518.
        let wide = (1511.0 + 518.0) / 2048.0 * 10.0 * OTHER_FONTS;
        assert!((width("Hi", 10.0) - wide).abs() < 0.01);
        assert!(width("", 10.0).abs() < 1e-9);
    }

    #[test]
    fn the_font_has_the_signs_that_pictures_use() {
        assert!(has("Äöüßéčřů°·–-<>%&'\"/(),.:;0123456789"));
    }
}

//! A picture as PNG, for mails.
//!
//! In: a drawn picture. Out: PNG bytes. Text is drawn with the built-in font alone, so every machine gives the same.

use std::sync::{Arc, LazyLock};

use resvg::tiny_skia::{Pixmap, PremultipliedColorU8, Transform};
use resvg::usvg::fontdb::Database;
use resvg::usvg::{Options, Tree};
use thiserror::Error;

use super::{Picture, font};

/// Pixels to each unit of the drawing: sharp on a fine screen.
const SHARPNESS: f32 = 2.5;

/// A picture that cannot be made.
#[derive(Debug, Error)]
pub enum PictureError {
    /// The drawing is not SVG that can be read.
    #[error("cannot read the drawing")]
    Unreadable(#[source] resvg::usvg::Error),
    /// It has no area, or one beyond all measure.
    #[error("a picture of {width} by {height} cannot be made")]
    Size {
        /// Width in pixels.
        width: u32,
        /// Height in pixels.
        height: u32,
    },
    /// The pixels cannot be packed.
    #[error("cannot pack the picture")]
    Packing(String),
}

static FONTS: LazyLock<Arc<Database>> = LazyLock::new(|| {
    let mut fonts = Database::new();
    fonts.load_font_data(font::BYTES.to_vec());
    // A family that is not found draws nothing at all, without an error: every name leads to the one font.
    fonts.set_sans_serif_family(font::FAMILY);
    Arc::new(fonts)
});

impl Picture {
    /// The picture as PNG, two and a half pixels to each unit of its width and height.
    ///
    /// # Errors
    /// [`PictureError`], which only a fault of the drawing itself can bring.
    pub fn png(&self) -> Result<Vec<u8>, PictureError> {
        packed(&pixels(&self.svg, &FONTS)?)
            .map_err(|error| PictureError::Packing(error.to_string()))
    }
}

/// The pixels as a file, packed as small as it goes: it travels in every copy of a mail. Pictures have a ground, so that no
/// pixel shows through.
fn packed(pixels: &Pixmap) -> Result<Vec<u8>, png::EncodingError> {
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, pixels.width(), pixels.height());
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::High);
    let mut writer = encoder.write_header()?;
    let colours = pixels.pixels().iter();
    let bytes: Vec<u8> = colours
        .map(PremultipliedColorU8::demultiply)
        .flat_map(|pixel| [pixel.red(), pixel.green(), pixel.blue()])
        .collect();
    writer.write_image_data(&bytes)?;
    writer.finish()?;
    Ok(file)
}

/// The drawn pixels.
fn pixels(svg: &str, fonts: &Arc<Database>) -> Result<Pixmap, PictureError> {
    let options = Options {
        font_family: font::FAMILY.to_owned(),
        fontdb: Arc::clone(fonts),
        ..Options::default()
    };
    let tree = Tree::from_str(svg, &options).map_err(PictureError::Unreadable)?;
    let transform = Transform::from_scale(SHARPNESS, SHARPNESS);
    let size = tree.size().to_int_size().scale_by(SHARPNESS);
    let (width, height) = size.map_or((0, 0), |size| (size.width(), size.height()));
    let mut pixels = Pixmap::new(width, height).ok_or(PictureError::Size { width, height })?;
    resvg::render(&tree, transform, &mut pixels.as_mut());
    Ok(pixels)
}

#[cfg(test)]
mod tests {
    use super::super::svg::{Anchor, Ink, Svg};
    use super::*;

    /// How many pixels of a lone label are darker than the ground.
    fn inked(text: &str, fonts: &Arc<Database>) -> usize {
        let mut svg = Svg::new("label");
        svg.text((5.0, 20.0), (Anchor::Start, 14.0), Ink::Text, text);
        let drawn = pixels(&svg.done((120.0, 30.0), "t", "d"), fonts).unwrap();
        drawn
            .pixels()
            .iter()
            .filter(|pixel| pixel.red() < 128)
            .count()
    }

    #[test]
    fn a_label_is_drawn_and_without_the_font_it_is_not() {
        for label in ["28 °F", "-2.2 °C", "1 Apr", "Horní Dvůr", "größte"] {
            assert!(inked(label, &FONTS) > 100, "{label}");
        }
        assert_eq!(inked("28 °F", &Arc::new(Database::new())), 0);
    }

    #[test]
    fn a_drawing_that_is_none_is_refused() {
        assert!(matches!(
            pixels("<svg", &FONTS),
            Err(PictureError::Unreadable(_))
        ));
    }
}

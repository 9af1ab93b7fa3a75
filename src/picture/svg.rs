//! A small writer of SVG: shapes in inks, text with a halo, one title and one description.
//!
//! In: points, texts, inks. Out: SVG text that stands alone. Each ink has a class, by which the page colours it in its
//! own scheme, and plain attributes, which hold where there is no style sheet. Does not know scales or weather.

use std::fmt::Write;

/// A point, x to the right and y downwards.
pub(super) type Point = (f64, f64);

/// Which side of a text its point is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// What a shape is drawn with. Lines differ by their dashes and areas by their pattern, not by colour alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ink {
    /// Text.
    Text,
    /// Text of less weight: ticks, keys.
    Quiet,
    /// Lines of the grid.
    Grid,
    /// The axis.
    Axis,
    /// The line that the picture is about.
    Main,
    /// A thin line of the same: a median.
    Middle,
    /// A point on the main line.
    Dot,
    /// The limit: dashed.
    Limit,
    /// Today: a plain upright line.
    Today,
    /// An upright dotted line: an event, the end of the forecast.
    Mark,
    /// A wide band: eight in ten.
    Wide,
    /// A narrow band within it: half.
    Narrow,
    /// A band of past years: hatched.
    Past,
    /// The middle of past years: dotted.
    PastMiddle,
    /// A window in which a cut may be made: full.
    Open,
    /// The soft begin of one: fading in.
    Opening,
    /// The soft end of one: fading out.
    Ending,
    /// A usual window: an outline.
    Usual,
    /// Something that was done.
    Done,
    /// Frost: an area.
    Frost,
}

impl Ink {
    /// Its class on the page.
    const fn class(self) -> &'static str {
        match self {
            Self::Text => "p-text",
            Self::Quiet => "p-quiet",
            Self::Grid => "p-grid",
            Self::Axis => "p-axis",
            Self::Main => "p-main",
            Self::Middle => "p-middle",
            Self::Dot => "p-dot",
            Self::Limit => "p-limit",
            Self::Today => "p-today",
            Self::Mark => "p-mark",
            Self::Wide => "p-wide",
            Self::Narrow => "p-narrow",
            Self::Past => "p-past",
            Self::PastMiddle => "p-past-middle",
            Self::Open => "p-open",
            Self::Opening | Self::Ending => "p-soft",
            Self::Usual => "p-usual",
            Self::Done => "p-done",
            Self::Frost => "p-frost",
        }
    }

    /// How it is drawn without a style sheet: dark on white.
    const fn plain(self) -> &'static str {
        match self {
            Self::Text => HALO_DARK,
            Self::Quiet => HALO_QUIET,
            Self::Grid => "fill=\"none\" stroke=\"#dde3dd\"",
            Self::Axis => "fill=\"none\" stroke=\"#7d8a81\"",
            Self::Main => {
                "fill=\"none\" stroke=\"#1d5c8a\" stroke-width=\"2.4\" stroke-linejoin=\"round\""
            }
            Self::Middle => {
                "fill=\"none\" stroke=\"#1d5c8a\" stroke-width=\"1.6\" stroke-linejoin=\"round\""
            }
            Self::Dot => "fill=\"#1d5c8a\" stroke=\"#fff\" stroke-width=\"1.5\"",
            Self::Limit => {
                "fill=\"none\" stroke=\"#a4371a\" stroke-width=\"1.8\" stroke-dasharray=\"7 4\""
            }
            Self::Today => "fill=\"none\" stroke=\"#1c2620\" stroke-width=\"1.2\"",
            Self::Mark => {
                "fill=\"none\" stroke=\"#4d5a52\" stroke-width=\"1.2\" stroke-dasharray=\"1.5 3\""
            }
            Self::Wide => "fill=\"#1d5c8a\" fill-opacity=\"0.16\"",
            Self::Narrow => "fill=\"#1d5c8a\" fill-opacity=\"0.28\"",
            Self::Past => "stroke=\"#7d8a81\" stroke-width=\"0.8\"",
            Self::PastMiddle => {
                "fill=\"none\" stroke=\"#4d5a52\" stroke-width=\"1.4\" stroke-dasharray=\"2 3\""
            }
            Self::Open => "fill=\"#3b7a3d\"",
            Self::Opening | Self::Ending => "",
            Self::Usual => "fill=\"none\" stroke=\"#3b7a3d\" stroke-width=\"1.2\"",
            Self::Done => "fill=\"none\" stroke=\"#1c2620\" stroke-width=\"2.2\"",
            Self::Frost => "fill=\"#5b7fa6\" fill-opacity=\"0.55\"",
        }
    }

    /// The pattern or run of colour that fills it, by its name in the picture.
    const fn filled_by(self) -> Option<&'static str> {
        match self {
            Self::Past => Some("hatch"),
            Self::Opening => Some("in"),
            Self::Ending => Some("out"),
            Self::Text
            | Self::Quiet
            | Self::Grid
            | Self::Axis
            | Self::Main
            | Self::Middle
            | Self::Dot
            | Self::Limit
            | Self::Today
            | Self::Mark
            | Self::Wide
            | Self::Narrow
            | Self::PastMiddle
            | Self::Open
            | Self::Usual
            | Self::Done
            | Self::Frost => None,
        }
    }
}

/// Text with a halo of the ground, which keeps it legible on lines.
const HALO_DARK: &str = "fill=\"#1c2620\" stroke=\"#fff\" stroke-width=\"3\" stroke-linejoin=\"round\" paint-order=\"stroke\"";
const HALO_QUIET: &str = "fill=\"#4d5a52\" stroke=\"#fff\" stroke-width=\"3\" stroke-linejoin=\"round\" paint-order=\"stroke\"";

/// Patterns and runs of colour; `ID` is the picture's own name.
const FILLS: &str = "<defs><pattern id=\"ID-hatch\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" \
    patternTransform=\"rotate(45)\"><path d=\"M0 0V5\" class=\"p-hatch\" stroke=\"#7d8a81\" stroke-width=\"1.6\" \
    stroke-opacity=\"0.55\"/></pattern>\
    <linearGradient id=\"ID-in\"><stop class=\"p-stop\" stop-color=\"#3b7a3d\" stop-opacity=\"0.08\"/>\
    <stop class=\"p-stop\" offset=\"1\" stop-color=\"#3b7a3d\"/></linearGradient>\
    <linearGradient id=\"ID-out\"><stop class=\"p-stop\" stop-color=\"#3b7a3d\"/>\
    <stop class=\"p-stop\" offset=\"1\" stop-color=\"#3b7a3d\" stop-opacity=\"0.08\"/></linearGradient></defs>";

/// A picture that is being drawn.
#[derive(Debug)]
pub(super) struct Svg {
    id: String,
    body: String,
    ink: Option<Ink>,
}

impl Svg {
    /// An empty one; `id` is unique on its page.
    pub(super) fn new(id: &str) -> Self {
        Self {
            id: id.to_owned(),
            body: String::new(),
            ink: None,
        }
    }

    /// A straight line.
    pub(super) fn line(&mut self, from: Point, to: Point, ink: Ink) {
        self.path(&[from, to], ink);
    }

    /// A line through points.
    pub(super) fn path(&mut self, points: &[Point], ink: Ink) {
        self.dip(ink);
        let path = path_of(points.iter());
        self.put(format_args!("<path d=\"{path}\"/>"));
    }

    /// The area between two lines of as many points.
    pub(super) fn area(&mut self, upper: &[Point], lower: &[Point], ink: Ink) {
        self.dip(ink);
        let path = path_of(upper.iter().chain(lower.iter().rev()));
        self.put(format_args!("<path d=\"{path}z\"/>"));
    }

    /// A rectangle from its upper left corner.
    pub(super) fn rect(&mut self, at: Point, size: Point, ink: Ink) {
        self.dip(ink);
        let ((x, y), (wide, high)) = (at, size);
        let (x, y, wide, high) = (short(x), short(y), short(wide), short(high));
        self.put(format_args!(
            "<rect x=\"{x}\" y=\"{y}\" width=\"{wide}\" height=\"{high}\"/>"
        ));
    }

    /// A dot.
    pub(super) fn dot(&mut self, at: Point, radius: f64, ink: Ink) {
        self.dip(ink);
        let (x, y, radius) = (short(at.0), short(at.1), short(radius));
        self.put(format_args!(
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"/>"
        ));
    }

    /// A text whose baseline starts, has its middle or ends at a point; a halo keeps it legible on lines.
    pub(super) fn text(&mut self, at: Point, (anchor, size): (Anchor, f64), ink: Ink, text: &str) {
        self.dip(ink);
        let (x, y, size, text) = (short(at.0), short(at.1), short(size), escaped(text));
        let anchor = match anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        self.put(format_args!(
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\"{anchor}>{text}</text>"
        ));
    }

    /// The whole picture of a size, with what it is called and what it says.
    pub(super) fn done(mut self, (wide, high): Point, title: &str, says: &str) -> String {
        self.wipe();
        let (wide, high, id) = (short(wide), short(high), &self.id);
        let (title, says) = (escaped(title), escaped(says));
        let fills = if self.body.contains("url(#") {
            FILLS.replace("ID", id)
        } else {
            String::new()
        };
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {wide} {high}\" width=\"{wide}\" height=\"{high}\" \
             role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" font-family=\"{}, sans-serif\">\
             <title id=\"{id}-title\">{title}</title><desc id=\"{id}-desc\">{says}</desc>{fills}\
             <rect class=\"p-ground\" fill=\"#fff\" width=\"{wide}\" height=\"{high}\"/>{}</svg>",
            super::font::FAMILY,
            self.body
        )
    }

    /// Changes the ink: shapes of one ink that follow each other stand in one group.
    fn dip(&mut self, ink: Ink) {
        if self.ink == Some(ink) {
            return;
        }
        self.wipe();
        let fill = ink
            .filled_by()
            .map(|name| format!(" fill=\"url(#{}-{name})\"", self.id))
            .unwrap_or_default();
        self.put(format_args!(
            "<g class=\"{}\" {}{fill}>",
            ink.class(),
            ink.plain()
        ));
        self.ink = Some(ink);
    }

    fn wipe(&mut self) {
        if self.ink.take().is_some() {
            self.body.push_str("</g>");
        }
    }

    fn put(&mut self, what: std::fmt::Arguments<'_>) {
        // Writing to a string does not fail.
        self.body.write_fmt(what).unwrap_or_default();
    }
}

fn path_of<'a>(points: impl Iterator<Item = &'a Point>) -> String {
    let mut path = String::new();
    for (x, y) in points {
        path.push(if path.is_empty() { 'M' } else { 'L' });
        path.push_str(&short(*x));
        path.push(' ');
        path.push_str(&short(*y));
    }
    path
}

/// A number with one decimal at most.
fn short(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            // XML cannot hold other control characters at all.
            letter if letter.is_control() => safe.push(' '),
            letter => safe.push(letter),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shapes_of_one_ink_share_a_group() {
        let mut svg = Svg::new("a");
        svg.line((0.0, 0.0), (1.25, 2.0), Ink::Grid);
        svg.line((0.0, 1.0), (1.0, 1.0), Ink::Grid);
        svg.dot((1.0, 1.0), 3.0, Ink::Dot);
        let drawn = svg.done((10.0, 20.0), "t", "d");
        assert_eq!(drawn.matches("<g ").count(), 2);
        assert_eq!(drawn.matches("</g>").count(), 2);
        assert!(drawn.contains("M0 0L1.2 2"), "{drawn}");
        assert!(!drawn.contains("<defs>"));
    }

    #[test]
    fn nothing_that_people_write_breaks_out() {
        let mut svg = Svg::new("a");
        svg.text(
            (0.0, 0.0),
            (Anchor::Start, 12.0),
            Ink::Text,
            "box <b>&\u{7} \"yew\"",
        );
        let drawn = svg.done((1.0, 1.0), "</title><script>", "a & b");
        assert!(drawn.contains("box &lt;b&gt;&amp;  &quot;yew&quot;"));
        assert!(!drawn.contains("<script>") && drawn.contains("a &amp; b"));
    }
}

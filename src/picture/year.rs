//! The year about today as a strip: how often nights freeze, and the windows of each cut, one line a cut.

use chrono::NaiveDate;

use super::scale::{Days, Scale};
use super::svg::{Anchor, Ink, Point, Svg};
use super::{Caption, Paper, Picture, Sheet, font};

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct YearChart {
    /// Title, words, and what the frost counts.
    pub caption: Caption,
    /// The first and the last day; today is in the middle.
    pub span: (NaiveDate, NaiveDate),
    /// The local date, and what it is called.
    pub today: (NaiveDate, String),
    /// How often each night freezes, as a share of 1, from the first day on; empty where it is not known.
    pub frost: Vec<f64>,
    /// The cuts.
    pub rows: Vec<YearRow>,
    /// What a window now, a usual one, and what was done are called.
    pub key: [String; 3],
}

/// One cut.
#[derive(Debug, Clone, PartialEq)]
pub struct YearRow {
    /// What it is called.
    pub name: String,
    /// Its state in a word.
    pub state: String,
    /// Its times.
    pub bars: Vec<Bar>,
}

/// A time of a cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bar {
    /// How it is drawn.
    pub kind: BarKind,
    /// The earliest begin.
    pub from: NaiveDate,
    /// The sure begin, the same day where the begin is not soft.
    pub sure_from: NaiveDate,
    /// The sure end.
    pub sure_to: NaiveDate,
    /// The latest end, the same day where the end is not soft.
    pub to: NaiveDate,
}

/// How a time is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BarKind {
    /// A window as the last look has it: full, with soft ends.
    Now,
    /// A window of a usual year: an outline.
    Usual,
    /// A day on which it was done: a tick.
    Done,
}

/// Heights of the ribbon of frost and of the names of the months.
const FROST: f64 = 40.0;
const MONTHS: f64 = 22.0;

/// Where the lines of a strip lie.
struct Strip {
    days: Days,
    letters: f64,
    /// The height of a line, and how far below its top its bars are.
    line: (f64, f64),
    /// Room for the name of a cut.
    name: f64,
}

impl Strip {
    fn of(sheet: &Sheet<'_>, span: (NaiveDate, NaiveDate)) -> Self {
        let letters = sheet.paper.letters() - 1.0;
        let (left, line) = match sheet.paper {
            Paper::Narrow => (6.0, (letters + 19.0, letters + 4.0)),
            Paper::Wide => (276.0, (24.0, 5.0)),
        };
        let right = sheet.paper.width() - 8.0;
        let name = match sheet.paper {
            Paper::Narrow => right - left,
            Paper::Wide => left - 16.0,
        };
        Self {
            days: Days {
                span,
                places: (left, right),
            },
            letters,
            line,
            name,
        }
    }
}

impl YearChart {
    /// Draws it; none when there is no cut.
    pub fn draw(&self, sheet: &Sheet<'_>) -> Option<Picture> {
        if self.rows.is_empty() {
            return None;
        }
        let mut svg = Svg::new(sheet.id);
        let strip = Strip::of(sheet, self.span);
        let head = strip.letters + 8.0;
        let frost = if self.frost.is_empty() {
            0.0
        } else {
            FROST + head
        };
        let lines = super::scale::number(i64::try_from(self.rows.len()).unwrap_or(0));
        let top = MONTHS + frost + 6.0;
        let bottom = top + lines * strip.line.0;
        months(&mut svg, sheet, &strip, bottom);
        let x = strip.days.at(self.today.0);
        svg.line((x, MONTHS - 2.0), (x, bottom), Ink::Today);
        if frost > 0.0 {
            self.frost(&mut svg, &strip, MONTHS + head);
        }
        self.lines(&mut svg, &strip, top);
        let small = (Anchor::Middle, strip.letters);
        let x = strip.days.at(self.today.0);
        svg.text(
            (x, bottom + strip.letters + 3.0),
            small,
            Ink::Text,
            &self.today.1,
        );
        let end = self.key(&mut svg, &strip, bottom + strip.letters + 10.0);
        Some(sheet.finish(svg, end, &self.caption))
    }

    /// One line a cut; what is drawn in one ink is drawn together.
    fn lines(&self, svg: &mut Svg, strip: &Strip, top: f64) {
        let tops = (0_i64..).map(|line| top + super::scale::number(line) * strip.line.0);
        let rows: Vec<(f64, &YearRow)> = tops.zip(&self.rows).collect();
        let size = (Anchor::Start, strip.letters);
        let baseline = strip.letters + 1.0;
        for (top, row) in &rows {
            svg.text((6.0, top + baseline), size, Ink::Text, &row.name(strip));
        }
        for (top, row) in &rows {
            let at = (6.0 + strip.name, top + baseline);
            svg.text(at, (Anchor::End, strip.letters), Ink::Quiet, &row.state);
        }
        for kind in [BarKind::Usual, BarKind::Now, BarKind::Done] {
            for (top, row) in &rows {
                for bar in row.bars.iter().filter(|bar| bar.kind == kind) {
                    bar.draw(svg, strip, top + strip.line.1);
                }
            }
        }
    }

    /// The ribbon: the higher the area, the more often the night freezes.
    fn frost(&self, svg: &mut Svg, strip: &Strip, top: f64) {
        let scale = Scale {
            values: (0.0, 1.0),
            places: (top + FROST, top),
        };
        let (left, right) = strip.days.places;
        let days = self.span.0.iter_days().zip(&self.frost).step_by(3);
        let upper: Vec<Point> = days
            .map(|(day, share)| (strip.days.at(day), scale.at(*share)))
            .collect();
        let lower: Vec<Point> = upper.iter().map(|(x, _)| (*x, scale.at(0.0))).collect();
        svg.area(&upper, &lower, Ink::Frost);
        for share in [0.0, 1.0] {
            svg.line((left, scale.at(share)), (right, scale.at(share)), Ink::Grid);
        }
        let above = (left, top - 5.0);
        svg.text(
            above,
            (Anchor::Start, strip.letters),
            Ink::Quiet,
            &self.caption.axis,
        );
    }

    fn key(&self, svg: &mut Svg, strip: &Strip, top: f64) -> f64 {
        let high = strip.letters + 8.0;
        let right = strip.days.places.1;
        let (mut x, mut y) = (6.0, top + high - 3.0);
        for (kind, text) in [BarKind::Now, BarKind::Usual, BarKind::Done]
            .into_iter()
            .zip(&self.key)
        {
            let wide = 30.0 + font::width(text, strip.letters) + 14.0;
            if x > 6.0 && x + wide > right + 8.0 {
                (x, y) = (6.0, y + high);
            }
            let bar = y - 8.0;
            match kind {
                BarKind::Now => {
                    svg.rect((x, bar), (8.0, 9.0), Ink::Opening);
                    svg.rect((x + 8.0, bar), (8.0, 9.0), Ink::Open);
                    svg.rect((x + 16.0, bar), (8.0, 9.0), Ink::Ending);
                }
                BarKind::Usual => svg.rect((x, bar + 1.0), (24.0, 7.0), Ink::Usual),
                BarKind::Done => tick(svg, (x + 10.0, bar)),
            }
            svg.text(
                (x + 30.0, y),
                (Anchor::Start, strip.letters),
                Ink::Quiet,
                text,
            );
            x += wide;
        }
        y + 8.0
    }
}

/// The names of the months, each with a line down.
fn months(svg: &mut Svg, sheet: &Sheet<'_>, strip: &Strip, bottom: f64) {
    let ticks = strip
        .days
        .ticks(&|day| sheet.locale.short(day), strip.letters);
    for (x, _) in &ticks {
        svg.line((*x, MONTHS - 2.0), (*x, bottom), Ink::Grid);
    }
    let edge = sheet.paper.width();
    for (x, name) in &ticks {
        let half = font::width(name, strip.letters) / 2.0;
        let x = x.clamp(half + 1.0, edge - half - 1.0);
        let at = (x, strip.letters + 3.0);
        svg.text(at, (Anchor::Middle, strip.letters), Ink::Quiet, name);
    }
}

impl YearRow {
    /// The name of a cut, as much of it as fits before its state.
    fn name(&self, strip: &Strip) -> String {
        let room = strip.name - font::width(&self.state, strip.letters) - 14.0;
        fitted(&self.name, strip.letters, room)
    }
}

impl Bar {
    fn draw(&self, svg: &mut Svg, strip: &Strip, top: f64) {
        let Some((from, to)) = strip.days.part((self.from, self.to)) else {
            return;
        };
        let [sure_from, sure_to] = [self.sure_from, self.sure_to].map(|day| strip.days.at(day));
        match self.kind {
            BarKind::Usual => svg.rect((from, top + 1.0), ((to - from).max(2.0), 9.0), Ink::Usual),
            BarKind::Done => tick(svg, (from, top)),
            BarKind::Now => {
                let sure_to = sure_to.max(sure_from);
                if sure_from > from {
                    svg.rect((from, top), (sure_from - from, 11.0), Ink::Opening);
                }
                svg.rect(
                    (sure_from, top),
                    ((sure_to - sure_from).max(2.0), 11.0),
                    Ink::Open,
                );
                if to > sure_to {
                    svg.rect((sure_to, top), (to - sure_to, 11.0), Ink::Ending);
                }
            }
        }
    }
}

fn tick(svg: &mut Svg, (x, top): Point) {
    svg.path(
        &[(x - 4.0, top + 5.0), (x, top + 9.5), (x + 7.0, top - 1.0)],
        Ink::Done,
    );
}

/// A text cut to the room it has.
fn fitted(text: &str, size: f64, room: f64) -> String {
    if font::width(text, size) <= room {
        return text.to_owned();
    }
    let letters: Vec<char> = text.chars().collect();
    let shorter = (0..letters.len()).rev().map(|count| {
        let kept: String = letters.iter().take(count).collect();
        format!("{}...", kept.trim_end())
    });
    let mut fits = shorter.filter(|text| font::width(text, size) <= room);
    fits.next().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_without_room_is_cut() {
        assert_eq!(fitted("box edging", 12.0, 200.0), "box edging");
        let cut = fitted("box edging along the whole of the long walk", 12.0, 100.0);
        assert!(
            cut.ends_with("...") && font::width(&cut, 12.0) <= 100.0,
            "{cut}"
        );
    }
}

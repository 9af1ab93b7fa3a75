//! The chance of damage by cutting day, with the limit, and below it the times that follow.

use chrono::{Days as Count, NaiveDate};

use super::frame::Frame;
use super::labels::Labels;
use super::svg::{Anchor, Ink, Point, Svg};
use super::{Caption, Picture, Sheet};

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct RiskChart {
    /// Title, words, axis.
    pub caption: Caption,
    /// The first cutting day.
    pub today: NaiveDate,
    /// The chance for a cut on that day and each that follows, as ways of 100.
    pub curve: Vec<f64>,
    /// What today's is called.
    pub now: String,
    /// The limit as ways of 100, and what it is called.
    pub limit: (f64, String),
    /// A day that was wished for, and what it is called.
    pub wished: Option<(NaiveDate, String)>,
    /// Times, a row each.
    pub rows: Vec<RiskRow>,
}

/// Times below the curve.
#[derive(Debug, Clone, PartialEq)]
pub struct RiskRow {
    /// What they are called.
    pub name: String,
    /// How they are drawn.
    pub kind: RowKind,
    /// From when to when.
    pub times: Vec<(NaiveDate, NaiveDate)>,
}

/// How times are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowKind {
    /// In which the cut may be made: full bars.
    Open,
    /// In which the plant bears it: outlined bars.
    Usual,
    /// Between which a day lies, the likeliest of them marked: a line with ends.
    Day(NaiveDate),
}

/// The height of a row.
const ROW: f64 = 30.0;

impl RiskChart {
    /// Draws it; none when the curve is too short to be one.
    pub fn draw(&self, sheet: &Sheet<'_>) -> Option<Picture> {
        let days = u64::try_from(self.curve.len()).ok()?.checked_sub(1)?;
        let last = self.today.checked_add_days(Count::new(days))?;
        if days < 2 {
            return None;
        }
        let mut svg = Svg::new(sheet.id);
        let letters = sheet.paper.letters();
        let wished = self.wished.as_ref().map_or(0.0, |_| letters + 6.0);
        let above = letters + 16.0 + wished;
        let frame = Frame::of(sheet, above, (self.today, last), (0.0, 100.0));
        frame.draw(&mut svg, sheet, &self.caption);
        let points = self.today.iter_days().zip(&self.curve);
        let points: Vec<Point> = points.map(|(day, ways)| frame.point(day, *ways)).collect();
        svg.path(&points, Ink::Main);
        self.lines(&mut svg, &frame);
        self.words(&mut svg, &frame, &points);
        let mut below = frame.under() + 4.0;
        let rows = self.rows.iter();
        for row in rows.filter(|row| {
            row.times
                .iter()
                .any(|times| frame.days.part(*times).is_some())
        }) {
            row.draw(&mut svg, &frame, below);
            below += ROW;
        }
        Some(sheet.finish(svg, below + 2.0, &self.caption))
    }

    fn lines(&self, svg: &mut Svg, frame: &Frame) {
        let (left, top, right, bottom) = frame.plot;
        let y = frame.values.at(self.limit.0);
        svg.line((left, y), (right, y), Ink::Limit);
        if let Some((day, _)) = self.wished.as_ref().filter(|(day, _)| frame.days.has(*day)) {
            let x = frame.days.at(*day);
            svg.line((x, top - 4.0), (x, bottom), Ink::Mark);
        }
    }

    /// The words in the plot, kept off the curve and off each other.
    fn words(&self, svg: &mut Svg, frame: &Frame, points: &[Point]) {
        let (left, top, right, _) = frame.plot;
        let size = frame.letters;
        let mut labels = Labels::within((left, top, right, frame.plot.3));
        let limit = frame.values.at(self.limit.0);
        labels.keep_off(points);
        labels.keep_off(&[(left, limit), (right, limit)]);
        let first = points.first().copied().unwrap_or((left, top));
        svg.dot(first, 4.5, Ink::Dot);
        let wished = self.wished.as_ref().filter(|(day, _)| frame.days.has(*day));
        if let Some((day, _)) = wished {
            let x = frame.days.at(*day);
            labels.keep_off(&[(x, top), (x, frame.plot.3)]);
        }
        // Right of the first point, the nearest place first.
        let below = (0..9).map(|line| f64::from(line) * (size + 6.0) + size);
        let heights: Vec<f64> = [-8.0].into_iter().chain(below).collect();
        let beside = |dx: f64| heights.iter().map(move |dy| (dx, *dy));
        let mut steps: Vec<Point> = [9.0, 26.0, 50.0, 80.0, 120.0]
            .into_iter()
            .flat_map(beside)
            .collect();
        steps.sort_by(|a, b| a.0.hypot(a.1).total_cmp(&b.0.hypot(b.1)));
        let at = |(dx, dy): Point| ((first.0 + dx, first.1 + dy), Anchor::Start);
        let places: Vec<(Point, Anchor)> = steps.into_iter().map(at).collect();
        let mut put = |text: &str, places: &[(Point, Anchor)], ink: Ink| {
            if let Some((at, anchor)) = labels.place(text, size, places) {
                svg.text(at, (anchor, size), ink, text);
            }
        };
        put(&self.now, &places, Ink::Text);
        let (over, under) = (limit - 6.0, limit + size + 3.0);
        let places = [
            ((right - 4.0, over), Anchor::End),
            ((left + 4.0, over), Anchor::Start),
            ((f64::midpoint(left, right), over), Anchor::Middle),
            ((right - 4.0, under), Anchor::End),
            ((left + 4.0, under), Anchor::Start),
        ];
        put(&self.limit.1, &places, Ink::Text);
        if let Some((day, name)) = wished {
            // In a line of its own over the plot, where nothing else stands.
            let x = frame.days.at(*day);
            let place = if x + super::font::width(name, frame.small()) > right {
                (x, Anchor::End)
            } else {
                (x, Anchor::Start)
            };
            svg.text(
                (place.0, top - 6.0),
                (place.1, frame.small()),
                Ink::Quiet,
                name,
            );
        }
    }
}

impl RiskRow {
    fn draw(&self, svg: &mut Svg, frame: &Frame, top: f64) {
        let left = frame.plot.0;
        let baseline = top + frame.small() + 1.0;
        svg.text(
            (left, baseline),
            (Anchor::Start, frame.small()),
            Ink::Quiet,
            &self.name,
        );
        let bar = baseline + 4.0;
        for (from, to) in self
            .times
            .iter()
            .filter_map(|times| frame.days.part(*times))
        {
            let wide = (to - from).max(2.0);
            match self.kind {
                RowKind::Open => svg.rect((from, bar), (wide, 8.0), Ink::Open),
                RowKind::Usual => svg.rect((from, bar + 0.6), (wide, 7.0), Ink::Usual),
                RowKind::Day(likely) => {
                    let middle = bar + 4.0;
                    svg.line((from, middle), (from + wide, middle), Ink::Middle);
                    for end in [from, from + wide] {
                        svg.line((end, bar), (end, bar + 8.0), Ink::Middle);
                    }
                    if frame.days.has(likely) {
                        svg.dot((frame.days.at(likely), middle), 4.0, Ink::Dot);
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Paper;
    use super::*;
    use crate::locale::Locale;

    fn chart(curve: Vec<f64>) -> RiskChart {
        let today = NaiveDate::from_ymd_opt(2027, 3, 24).unwrap();
        let day = |month, day| NaiveDate::from_ymd_opt(2027, month, day).unwrap();
        RiskChart {
            caption: Caption {
                title: "Risk".to_owned(),
                says: "97 of 100 today".to_owned(),
                axis: "of 100 ways".to_owned(),
            },
            today,
            curve,
            now: "today 97".to_owned(),
            limit: (10.0, "your limit 10".to_owned()),
            wished: Some((day(4, 10), "wished".to_owned())),
            rows: vec![
                RiskRow {
                    name: "within your limit".to_owned(),
                    kind: RowKind::Open,
                    times: vec![(day(4, 27), day(8, 3))],
                },
                RiskRow {
                    name: "a season long over".to_owned(),
                    kind: RowKind::Usual,
                    times: vec![(day(1, 1), day(2, 1))],
                },
            ],
        }
    }

    fn sheet(paper: Paper) -> Sheet<'static> {
        Sheet {
            id: "risk",
            paper,
            locale: Locale::default(),
        }
    }

    #[test]
    fn the_curve_runs_from_today_to_the_last_day() {
        let curve: Vec<f64> = (0..121).map(|day| 97.0 - 0.8 * f64::from(day)).collect();
        let drawn = chart(curve).draw(&sheet(Paper::Narrow)).unwrap();
        for part in [
            "today 97",
            "your limit 10",
            "wished",
            "within your limit",
            "1 Apr",
        ] {
            assert!(drawn.svg.contains(part), "{part}");
        }
        // A row of which nothing lies on the paper is left out.
        assert!(!drawn.svg.contains("long over"));
        assert!(drawn.svg.len() < 8_000, "{}", drawn.svg.len());
        assert!(drawn.png().unwrap().starts_with(b"\x89PNG"));
    }

    #[test]
    fn a_curve_of_a_day_is_no_picture() {
        assert_eq!(chart(vec![50.0]).draw(&sheet(Paper::Wide)), None);
        assert_eq!(chart(Vec::new()).draw(&sheet(Paper::Wide)), None);
    }
}

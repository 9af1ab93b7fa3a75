//! The heat of the season against that of past years, with the events that go with it.

use chrono::NaiveDate;

use super::frame::{Frame, Sign};
use super::labels::rows;
use super::scale::round_values;
use super::svg::{Anchor, Ink, Point, Svg};
use super::{Caption, Picture, Sheet, font};

/// What is drawn; sums are numbers in the unit that is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatChart {
    /// Title, words, axis.
    pub caption: Caption,
    /// The local date.
    pub today: NaiveDate,
    /// What today is called.
    pub now: String,
    /// Past years.
    pub usual: HeatLine,
    /// This season: what has come up to today, and the ways in which it can go on.
    pub this: HeatLine,
    /// Events in it, in order of time.
    pub events: Vec<HeatEvent>,
    /// What past years, their middle, this season and its ways on are called.
    pub key: [String; 4],
}

/// Running sums by day.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatLine {
    /// Day, and the sums below which 10, 50 and 90 of 100 lie.
    pub sums: Vec<(NaiveDate, [f64; 3])>,
}

/// An event of the season.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatEvent {
    /// What it is called.
    pub name: String,
    /// One in ten is as early, the middle, nine in ten are as early.
    pub days: [NaiveDate; 3],
}

impl HeatLine {
    fn points(&self, frame: &Frame, of: usize) -> Vec<Point> {
        let value = |sums: &[f64; 3]| sums.get(of).copied().unwrap_or_default();
        let sums = self.sums.iter();
        sums.map(|(day, sums)| frame.point(*day, value(sums)))
            .collect()
    }

    /// The part up to a day, or from it on.
    fn split(&self, today: NaiveDate) -> (Self, Self) {
        let (before, after): (Vec<_>, Vec<_>) = self
            .sums
            .iter()
            .copied()
            .partition(|(day, _)| *day <= today);
        let last = before.last().copied();
        let after = last.into_iter().chain(after).collect();
        (Self { sums: before }, Self { sums: after })
    }
}

impl HeatChart {
    /// Draws it; none when past years are not known.
    pub fn draw(&self, sheet: &Sheet<'_>) -> Option<Picture> {
        let (first, last) = (self.usual.sums.first()?.0, self.usual.sums.last()?.0);
        let all = self.usual.sums.iter().chain(&self.this.sums);
        let most = all.map(|(_, sums)| sums[2]).fold(1.0, f64::max);
        let mut svg = Svg::new(sheet.id);
        let small = sheet.paper.letters() - 1.0;
        let caption = sheet.paper.letters() + 16.0;
        let flat = Frame::of(sheet, caption, (first, last), (0.0, top_of(most)));
        let names = self.places(&flat);
        let lines = names.iter().map(|(_, row)| row + 1).max().unwrap_or(0);
        let high = super::scale::number(i64::try_from(lines).unwrap_or(0)) * (small + 6.0);
        let frame = Frame::of(sheet, caption + high, (first, last), (0.0, top_of(most)));
        frame.draw(&mut svg, sheet, &self.caption);
        svg.area(
            &self.usual.points(&frame, 2),
            &self.usual.points(&frame, 0),
            Ink::Past,
        );
        svg.path(&self.usual.points(&frame, 1), Ink::PastMiddle);
        let (come, ahead) = self.this.split(self.today);
        svg.area(
            &ahead.points(&frame, 2),
            &ahead.points(&frame, 0),
            Ink::Wide,
        );
        svg.path(&ahead.points(&frame, 1), Ink::Middle);
        svg.path(&come.points(&frame, 1), Ink::Main);
        let today = frame.days.at(self.today);
        svg.line((today, frame.plot.1), (today, frame.plot.3), Ink::Today);
        self.events(&mut svg, &frame, (&names, small + 6.0));
        if let Some(at) = come.points(&frame, 1).last() {
            svg.dot(*at, 4.0, Ink::Dot);
        }
        let [past, middle, this, ways] = &self.key;
        let key: [(Sign, Ink, &str); 4] = [
            (Sign::Line, Ink::Main, this),
            (Sign::Area, Ink::Wide, ways),
            (Sign::Area, Ink::Past, past),
            (Sign::Line, Ink::PastMiddle, middle),
        ];
        let end = frame.key(&mut svg, frame.under(), &key);
        Some(sheet.finish(svg, end, &self.caption))
    }

    /// Where the name of each event stands: its begin and its row, today's name first.
    fn places(&self, frame: &Frame) -> Vec<(f64, usize)> {
        let (left, _, right, _) = frame.plot;
        let named = std::iter::once((self.today, &self.now));
        let named = named.chain(self.events.iter().map(|event| (event.days[1], &event.name)));
        let ends: Vec<(f64, f64)> = named
            .map(|(day, name)| {
                let wide = font::width(name, frame.small());
                let half = wide / 2.0;
                let middle = frame
                    .days
                    .at(day)
                    .clamp(left - 20.0 + half, (right + 8.0 - half).max(half));
                (middle - half, middle + half)
            })
            .collect();
        let rows = rows(&ends);
        ends.into_iter().map(|(from, _)| from).zip(rows).collect()
    }

    fn events(&self, svg: &mut Svg, frame: &Frame, (places, high): (&[(f64, usize)], f64)) {
        let (_, top, _, bottom) = frame.plot;
        let baseline =
            |row: usize| top - 8.0 - high * super::scale::number(i64::try_from(row).unwrap_or(0));
        let mut places = places.iter();
        let small = (Anchor::Start, frame.small());
        if let Some((x, row)) = places.next() {
            svg.text((*x, baseline(*row)), small, Ink::Text, &self.now);
        }
        for (event, (x, row)) in self.events.iter().zip(places) {
            let [early, middle, late] = event.days.map(|day| frame.days.at(day));
            let y = baseline(*row);
            svg.line((middle, y + 3.0), (middle, bottom), Ink::Mark);
            svg.line((early, bottom - 5.0), (late, bottom - 5.0), Ink::Limit);
            svg.text((*x, y), small, Ink::Quiet, &event.name);
        }
    }
}

/// The top of the values: the round value over the highest.
fn top_of(most: f64) -> f64 {
    let ticks = round_values(0.0, most, 4);
    let step = ticks.get(1).copied().unwrap_or(most);
    (most / step).ceil() * step
}

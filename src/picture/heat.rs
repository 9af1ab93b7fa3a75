//! The heat of the season against that of past years, with the events that go with it.

use chrono::NaiveDate;

use super::frame::{Frame, Sign};
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
        let span = (self.usual.sums.first()?.0, self.usual.sums.last()?.0);
        let all = self.usual.sums.iter().chain(&self.this.sums);
        let most = all.map(|(_, sums)| sums[2]).fold(1.0, f64::max);
        let mut svg = Svg::new(sheet.id);
        let caption = sheet.paper.letters() + 16.0;
        let frame = |above: f64| Frame::of(sheet, above, span, (0.0, top_of(most)));
        let names = self.names(&frame(caption));
        let lines = names.iter().map(|name| name.row + 1).max().unwrap_or(0);
        let high = number(lines) * line_of(sheet.paper.letters());
        let frame = frame(caption + high);
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
        write(&mut svg, &frame, &names);
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

    /// Where the names of today and of the events stand: each right of its line, and over every later one that it
    /// meets, so that no line runs through a name.
    fn names(&self, frame: &Frame) -> Vec<Name<'_>> {
        let events = self
            .events
            .iter()
            .map(|event| (event.days[1], event.name.as_str()));
        let events = events.filter(|(day, _)| frame.days.has(*day));
        let mut all: Vec<(NaiveDate, &str)> =
            events.chain([(self.today, self.now.as_str())]).collect();
        all.sort_by_key(|(day, _)| std::cmp::Reverse(*day));
        let right = frame.plot.2 + 8.0;
        let placed = all.into_iter().map(|(day, name)| {
            let line = frame.days.at(day);
            let wide = font::width(name, frame.small());
            let from = line + BESIDE;
            let from = if from + wide > right {
                line - BESIDE - wide
            } else {
                from
            };
            (day, name, line, from, from + wide)
        });
        // A name that has no room right of its line stands left of it, over all that it then meets: it comes last.
        let mut placed: Vec<_> = placed.collect();
        placed.sort_by_key(|(_, _, line, from, _)| from < line);
        let mut names: Vec<Name<'_>> = Vec::new();
        for (day, name, line, from, to) in placed {
            let in_it = names
                .iter()
                .filter(|later| later.meets(from.min(line), to.max(line)));
            let row = in_it.map(|later| later.row + 1).max().unwrap_or(0);
            names.push(Name {
                text: name,
                line,
                span: (from, to),
                row,
                is_today: day == self.today && name == self.now,
            });
        }
        names
    }
}

/// From a line to its name.
const BESIDE: f64 = 4.0;

/// Where a name stands.
struct Name<'a> {
    /// What is written.
    text: &'a str,
    /// The line that it names.
    line: f64,
    /// From where to where the name goes.
    span: (f64, f64),
    /// Its row over the plot, counted upwards.
    row: usize,
    is_today: bool,
}

impl Name<'_> {
    /// Whether its line or its name comes into what lies between two places.
    fn meets(&self, from: f64, to: f64) -> bool {
        const GAP: f64 = 6.0;
        let left = self.line.min(self.span.0) - GAP;
        let right = self.line.max(self.span.1) + GAP;
        left < to && from < right
    }
}

/// The names over the plot, each with its line down to the days.
fn write(svg: &mut Svg, frame: &Frame, names: &[Name<'_>]) {
    let (_, top, _, bottom) = frame.plot;
    let baseline = |name: &Name<'_>| top - 8.0 - number(name.row) * line_of(frame.letters);
    for name in names {
        let from = (name.line, baseline(name) - 0.7 * frame.small());
        let ink = if name.is_today { Ink::Today } else { Ink::Mark };
        svg.line(from, (name.line, bottom), ink);
    }
    for name in names {
        let ink = if name.is_today { Ink::Text } else { Ink::Quiet };
        let at = (name.span.0, baseline(name));
        svg.text(at, (Anchor::Start, frame.small()), ink, name.text);
    }
}

/// The height of a row of names.
fn line_of(letters: f64) -> f64 {
    letters + 4.0
}

fn number(count: usize) -> f64 {
    super::scale::number(i64::try_from(count).unwrap_or(0))
}

/// The top of the values: the round value over the highest.
fn top_of(most: f64) -> f64 {
    let ticks = round_values(0.0, most, 4);
    let step = ticks.get(1).copied().unwrap_or(most);
    (most / step).ceil() * step
}

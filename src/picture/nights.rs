//! The minima of the coming nights as a fan over the futures, with the temperature that does damage.

use chrono::{Days as Count, NaiveDate};

use super::frame::{Frame, Sign};
use super::labels::Labels;
use super::svg::{Anchor, Ink, Point, Svg};
use super::{Caption, Picture, Sheet};

/// What is drawn; temperatures are numbers in the unit that is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct NightsChart {
    /// Title, words, axis.
    pub caption: Caption,
    /// The nights, one after the other, by the day on which they end.
    pub nights: Vec<NightBand>,
    /// The temperature from which down it does damage, and what it is called.
    pub damage: (f64, String),
    /// What the end of the forecast is called.
    pub forecast_end: String,
    /// What the wide band, the narrow band, the middle and the forecast's own minima are called.
    pub key: [String; 4],
}

/// One night.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NightBand {
    /// The day on which it ends.
    pub to: NaiveDate,
    /// Below which 10, 25, 50, 75 and 90 of 100 futures lie.
    pub quantiles: [f64; 5],
    /// The forecast's own minimum.
    pub forecast: Option<f64>,
}

impl NightsChart {
    /// Draws it; none when there are too few nights.
    pub fn draw(&self, sheet: &Sheet<'_>) -> Option<Picture> {
        let (first, last) = (self.nights.first()?.to, self.nights.last()?.to);
        if self.nights.len() < 3 {
            return None;
        }
        let mut svg = Svg::new(sheet.id);
        let above = sheet.paper.letters() + 16.0;
        let frame = Frame::of(sheet, above, (first, last), self.values());
        frame.draw(&mut svg, sheet, &self.caption);
        let line = |of: usize| -> Vec<Point> {
            let value = |night: &NightBand| night.quantiles.get(of).copied().unwrap_or_default();
            let nights = self.nights.iter();
            nights
                .map(|night| frame.point(night.to, value(night)))
                .collect()
        };
        svg.area(&line(4), &line(0), Ink::Wide);
        svg.area(&line(3), &line(1), Ink::Narrow);
        let middle = line(2);
        svg.path(&middle, Ink::Middle);
        let own = self
            .nights
            .iter()
            .filter_map(|night| Some((night.to, night.forecast?)));
        for (day, value) in own {
            svg.dot(frame.point(day, value), 3.5, Ink::Dot);
        }
        self.words(&mut svg, &frame, &middle);
        let [wide, narrow, middle, own] = &self.key;
        let mut key: Vec<(Sign, Ink, &str)> = vec![
            (Sign::Area, Ink::Wide, wide),
            (Sign::Inner, Ink::Narrow, narrow),
            (Sign::Line, Ink::Middle, middle),
        ];
        if self.reach().is_some() {
            key.push((Sign::Dot, Ink::Dot, own));
        }
        let end = frame.key(&mut svg, frame.under(), &key);
        Some(sheet.finish(svg, end, &self.caption))
    }

    /// From the lowest to the highest value, with some room.
    fn values(&self) -> (f64, f64) {
        let nights = self.nights.iter();
        let all = nights.flat_map(|night| night.quantiles.into_iter().chain(night.forecast));
        let all = all.chain([self.damage.0]);
        let (low, high) = all.fold((f64::MAX, f64::MIN), |(low, high), value| {
            (low.min(value), high.max(value))
        });
        let room = 0.06 * (high - low).max(1.0);
        (low - room, high + room)
    }

    /// The last night of the forecast.
    fn reach(&self) -> Option<NaiveDate> {
        let of_forecast = self.nights.iter().filter(|night| night.forecast.is_some());
        of_forecast.map(|night| night.to).max()
    }

    fn words(&self, svg: &mut Svg, frame: &Frame, middle: &[Point]) {
        let (left, top, right, bottom) = frame.plot;
        let damage = frame.values.at(self.damage.0);
        svg.line((left, damage), (right, damage), Ink::Limit);
        let size = frame.letters;
        let mut labels = Labels::within((left, top, right, bottom));
        labels.keep_off(middle);
        for night in &self.nights {
            if let Some(own) = night.forecast {
                let (x, y) = frame.point(night.to, own);
                labels.keep_off(&[(x - 3.0, y), (x + 3.0, y)]);
            }
        }
        let (over, under) = (damage - 6.0, damage + size + 3.0);
        let at = |x: f64, anchor| [((x, under), anchor), ((x, over), anchor)];
        let places = [
            at(right - 4.0, Anchor::End),
            at(left + 6.0, Anchor::Start),
            at(f64::midpoint(left, right), Anchor::Middle),
        ];
        let places: Vec<(Point, Anchor)> = places.into_iter().flatten().collect();
        if let Some((at, anchor)) = labels.place(&self.damage.1, size, &places) {
            svg.text(at, (anchor, size), Ink::Text, &self.damage.1);
        }
        let half_a_night = Count::new(1);
        let last = self.reach().filter(|day| {
            day.checked_add_days(half_a_night)
                .is_some_and(|next| frame.days.has(next))
        });
        if let Some(last) = last {
            let x = frame.days.at(last) + 3.0;
            svg.line((x, top), (x, bottom), Ink::Mark);
            let y = top + size;
            let places = [
                ((x + 5.0, y), Anchor::Start),
                ((x - 5.0, y), Anchor::End),
                ((x + 5.0, bottom - 5.0), Anchor::Start),
            ];
            if let Some((at, anchor)) = labels.place(&self.forecast_end, frame.small(), &places) {
                svg.text(at, (anchor, frame.small()), Ink::Quiet, &self.forecast_end);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Paper;
    use super::*;
    use crate::locale::Locale;

    #[test]
    fn the_fan_shows_its_forecast_and_where_that_ends() {
        let first = NaiveDate::from_ymd_opt(2027, 3, 25).unwrap();
        let night = |(day, to): (usize, NaiveDate)| {
            let middle = f64::from(u32::try_from(day).unwrap()) / 2.0;
            NightBand {
                to,
                quantiles: [-6.0, -3.0, 0.0, 3.0, 6.0].map(|off| 30.0 + middle + off),
                forecast: (day < 12).then_some(30.0 + middle),
            }
        };
        let chart = NightsChart {
            caption: Caption {
                title: "Nights".to_owned(),
                says: "says".to_owned(),
                axis: "°F".to_owned(),
            },
            nights: first.iter_days().take(21).enumerate().map(night).collect(),
            damage: (28.0, "damage from 28 °F".to_owned()),
            forecast_end: "the forecast ends".to_owned(),
            key: ["8 of 10", "half", "middle", "forecast"].map(str::to_owned),
        };
        let sheet = Sheet {
            id: "nights",
            paper: Paper::Narrow,
            locale: Locale::default(),
        };
        let drawn = chart.draw(&sheet).unwrap();
        assert_eq!(drawn.svg.matches("<circle").count(), 12 + 1, "and the key");
        for part in ["damage from 28 °F", "the forecast ends", "8 of 10"] {
            assert!(drawn.svg.contains(part), "{part}");
        }
        let two = NightsChart {
            nights: chart.nights[..2].to_vec(),
            ..chart
        };
        assert_eq!(two.draw(&sheet), None);
    }
}

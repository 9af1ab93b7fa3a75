//! Places for texts that do not run into each other.
//!
//! In: texts with the places where they may stand, what is drawn already. Out: where each stands. Does not draw.

use super::font;
use super::svg::{Anchor, Point};

/// A box on the paper: left, top, right, bottom.
pub(super) type Area = (f64, f64, f64, f64);

/// What is taken.
#[derive(Debug, Clone)]
pub(super) struct Labels {
    within: Area,
    taken: Vec<Area>,
}

impl Labels {
    /// Labels that stay within a box.
    pub(super) const fn within(within: Area) -> Self {
        Self {
            within,
            taken: Vec::new(),
        }
    }

    /// Keeps texts off a line through points.
    pub(super) fn keep_off(&mut self, points: &[Point]) {
        const REACH: f64 = 2.0;
        for ((x, y), (next_x, next_y)) in points.iter().zip(points.iter().skip(1)) {
            self.taken.push((
                x.min(*next_x) - REACH,
                y.min(*next_y) - REACH,
                x.max(*next_x) + REACH,
                y.max(*next_y) + REACH,
            ));
        }
    }

    /// The first of some places at which a text is free, else the one with the least in its way; it is taken from now on.
    pub(super) fn place(
        &mut self,
        text: &str,
        size: f64,
        places: &[(Point, Anchor)],
    ) -> Option<(Point, Anchor)> {
        let wide = font::width(text, size);
        let in_the_way = |(at, anchor): &(Point, Anchor)| {
            let area = area_of(*at, (*anchor, size), wide);
            let over = self
                .taken
                .iter()
                .map(|taken| shared(area, *taken))
                .sum::<f64>();
            let own = (area.2 - area.0) * (area.3 - area.1);
            over + 4.0 * (own - shared(area, self.within))
        };
        let best = places
            .iter()
            .map(|place| (in_the_way(place), *place))
            .reduce(|best, next| if next.0 < best.0 - 0.01 { next } else { best });
        let (_, (at, anchor)) = best?;
        self.taken.push(area_of(at, (anchor, size), wide));
        Some((at, anchor))
    }
}

/// The box of a text whose baseline stands at a point.
fn area_of((x, y): Point, (anchor, size): (Anchor, f64), wide: f64) -> Area {
    let left = match anchor {
        Anchor::Start => x,
        Anchor::Middle => x - wide / 2.0,
        Anchor::End => x - wide,
    };
    (
        left - 2.0,
        y - 0.85 * size,
        left + wide + 2.0,
        y + 0.3 * size,
    )
}

/// How much two boxes share.
fn shared(a: Area, b: Area) -> f64 {
    let wide = a.2.min(b.2) - a.0.max(b.0);
    let high = a.3.min(b.3) - a.1.max(b.1);
    wide.max(0.0) * high.max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_moves_to_where_there_is_room() {
        let mut labels = Labels::within((0.0, 0.0, 200.0, 100.0));
        labels.keep_off(&[(0.0, 20.0), (200.0, 20.0)]);
        let places = [((10.0, 22.0), Anchor::Start), ((10.0, 60.0), Anchor::Start)];
        assert_eq!(labels.place("today 97", 12.0, &places), Some(places[1]));
        // The same text again finds the second place taken too, and takes the one with the least in its way.
        assert_eq!(labels.place("today 97", 12.0, &places), Some(places[0]));
        assert_eq!(labels.place("none", 12.0, &[]), None);
    }

    #[test]
    fn a_text_does_not_leave_the_paper() {
        let mut labels = Labels::within((0.0, 0.0, 100.0, 100.0));
        let places = [((90.0, 50.0), Anchor::Start), ((90.0, 50.0), Anchor::End)];
        assert_eq!(labels.place("a long label", 12.0, &places), Some(places[1]));
    }
}

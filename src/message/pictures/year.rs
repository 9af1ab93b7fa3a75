//! The strip of the year: windows as the last look has them, usual ones, and what was done.

use chrono::{Datelike, Days, NaiveDate, TimeDelta};

use super::{flowering, frost, sheet};
use crate::garden::Deed;
use crate::locale::{Locale, say};
use crate::look::{HALF_YEAR, Prospect, UsualWindow};
use crate::message::words::{self, pictures as said};
use crate::picture::{Bar, BarKind, Caption, Paper, Picture, YearChart, YearRow};
use crate::risk::DateRange;
use crate::verdict::{State, Verdict};

/// The year about today with one line a cut, in the order given; none without a cut.
pub fn year(
    verdicts: &[&Verdict],
    prospect: &Prospect,
    deeds: &[Deed],
    on: (&str, Paper),
    locale: Locale,
) -> Option<Picture> {
    let half = Days::new(u64::try_from(HALF_YEAR).unwrap_or(0));
    let today = prospect.today;
    let span = (today.checked_sub_days(half)?, today.checked_add_days(half)?);
    let row = |verdict: &&Verdict| YearRow {
        name: format!(
            "{}, {}",
            verdict.planting,
            words::to_do(verdict.cut_kind, locale)
        ),
        state: words::state(verdict.state, locale),
        bars: bars(verdict, prospect, deeds, span),
    };
    let chart = YearChart {
        caption: Caption {
            title: say!(locale, "picture-year"),
            says: said::year(verdicts, locale),
            axis: said::freezing(locale),
        },
        span,
        today: (today, said::today(locale)),
        frost: prospect
            .freezing
            .iter()
            .map(|chance| chance.share())
            .collect(),
        rows: verdicts.iter().map(row).collect(),
        key: said::year_key(locale),
    };
    chart.draw(&sheet(on, locale))
}

fn bars(
    verdict: &Verdict,
    prospect: &Prospect,
    deeds: &[Deed],
    span: (NaiveDate, NaiveDate),
) -> Vec<Bar> {
    let hard = |kind, range: DateRange| Bar {
        kind,
        from: range.from,
        sure_from: range.from,
        sure_to: range.to,
        to: range.to,
    };
    let of_cut = prospect
        .usual
        .iter()
        .filter(|usual| usual.cut == verdict.cut);
    let usual = of_cut
        .flat_map(|usual| about(usual, span))
        .map(|range| hard(BarKind::Usual, range));
    let made = deeds.iter().filter(|deed| deed.cut == verdict.cut);
    let made = made.map(|deed| {
        hard(
            BarKind::Done,
            DateRange {
                from: deed.on,
                to: deed.on,
            },
        )
    });
    usual.chain(window(verdict, span.1)).chain(made).collect()
}

/// A window of a usual year in the years about today.
fn about(usual: &UsualWindow, span: (NaiveDate, NaiveDate)) -> Vec<DateRange> {
    let Some(window) = usual.window else {
        return vec![DateRange {
            from: span.0,
            to: span.1,
        }];
    };
    let moved = |by: i32| {
        let day = |day: NaiveDate| day.with_year(day.year() + by);
        Some(DateRange {
            from: day(window.from)?,
            to: day(window.to)?,
        })
    };
    [-1, 0, 1].into_iter().filter_map(moved).collect()
}

/// The window of a cut as the last look has it, soft where its ends are not sure; none when none is known.
fn window(verdict: &Verdict, last: NaiveDate) -> Option<Bar> {
    let (from, sure_from) = if verdict.state.allows() {
        (verdict.today, verdict.today)
    } else if matches!(verdict.state, State::Wait | State::Closed) {
        (verdict.opens?.from, verdict.opens?.to)
    } else {
        return None;
    };
    let season = flowering(verdict);
    let end = verdict
        .closes
        .or_else(|| end_after(verdict, sure_from))
        .unwrap_or(last);
    // The end of the plant's season is no surer than the event from which it is counted.
    let by_event = season.filter(|facts| facts.season.is_some_and(|season| season.to == end));
    let late = by_event.and_then(|facts| {
        let bound = facts.closes_by.as_ref()?;
        bound
            .date
            .late
            .checked_add_signed(TimeDelta::days(i64::from(bound.days)))
    });
    Some(Bar {
        kind: BarKind::Now,
        from,
        sure_from,
        sure_to: end.max(sure_from),
        to: late.unwrap_or(end).max(end),
    })
}

/// The end of the window that a day opens: of the plant's season or of the time within the limit.
fn end_after(verdict: &Verdict, day: NaiveDate) -> Option<NaiveDate> {
    let season = flowering(verdict).and_then(|facts| facts.season);
    let open = frost(verdict).map_or(&[][..], |facts| &facts.open);
    let holds = |range: &&DateRange| range.from <= day && day <= range.to;
    let ends = season
        .iter()
        .chain(open)
        .filter(holds)
        .map(|range| range.to);
    ends.min()
}

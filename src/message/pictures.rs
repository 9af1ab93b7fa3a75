//! The pictures of a cut and of a garden, with their words: the same on page and in mails.
//!
//! In: a verdict, what lies before the garden, units. Out: a [`Picture`] on the paper that is asked for, and the
//! [`Figures`] behind it as a table. Draws nothing itself and computes nothing but the unit that is shown.

mod year;

use chrono::{Days, NaiveDate};

use super::words::{self, pictures as said};
use crate::almanac::Event;
use crate::locale::{Locale, say};
use crate::look::Prospect;
use crate::outlook::NightFan;
use crate::picture::{
    Caption, HeatChart, HeatEvent, HeatLine, NightBand, NightsChart, Paper, Picture, RiskChart,
    RiskRow, RowKind, Sheet,
};
use crate::risk::DateRange;
use crate::rules::{Facts, Finding, FloweringFacts, FrostFacts};
use crate::verdict::Verdict;

pub use year::year;

/// The figures behind a picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Figures {
    /// The columns.
    pub heads: Vec<String>,
    /// The rows.
    pub rows: Vec<Vec<String>>,
}

/// The heat is drawn so many days ahead, as many as cutting days are: spring, in which most events lie, would vanish in a
/// whole year.
const HEAT_AHEAD: Days = Days::new(120);

/// So many of the days between two figures of the heat are left out.
const HEAT_ROWS_EVERY: usize = 6;

fn sheet((id, paper): (&str, Paper), locale: Locale) -> Sheet<'_> {
    Sheet { id, paper, locale }
}

/// The chance of damage by cutting day; none for a cut that frost does not matter to, and where nothing is known.
///
/// `on` is the picture's own name, unique on its page, and the paper.
pub fn risk(verdict: &Verdict, on: (&str, Paper), locale: Locale) -> Option<Picture> {
    let facts = frost(verdict)?;
    let (now, limit) = said::now_and_limit(facts, locale);
    let chart = RiskChart {
        caption: Caption {
            title: said::of_cut(&say!(locale, "picture-risk"), verdict, locale),
            says: said::risk(facts, verdict, locale),
            axis: said::of_100(locale),
        },
        today: verdict.today,
        curve: facts
            .by_day
            .iter()
            .map(|chance| chance.share() * 100.0)
            .collect(),
        now,
        limit: (facts.tolerance.share() * 100.0, limit),
        wished: verdict
            .wished
            .map(|day| (day, say!(locale, "picture-wished", day = locale.short(day)))),
        rows: risk_rows(verdict, facts, locale),
    };
    chart.draw(&sheet(on, locale))
}

fn risk_rows(verdict: &Verdict, facts: &FrostFacts, locale: Locale) -> Vec<RiskRow> {
    let today = verdict.today;
    let first_go = facts
        .first_go
        .filter(|go| go.late > today)
        .map(|go| RiskRow {
            name: say!(locale, "picture-first-go", day = locale.short(go.middle)),
            kind: RowKind::Day(go.middle),
            times: vec![(go.early, go.late)],
        });
    let times = |ranges: &[DateRange]| ranges.iter().map(|range| (range.from, range.to)).collect();
    let open = RiskRow {
        name: say!(locale, "picture-within"),
        kind: RowKind::Open,
        times: times(&facts.open),
    };
    let season = flowering(verdict)
        .and_then(|facts| facts.season)
        .map(|season| RiskRow {
            name: say!(
                locale,
                "picture-season",
                season = words::range(season, today, locale)
            ),
            kind: RowKind::Usual,
            times: times(&[season]),
        });
    first_go.into_iter().chain([open]).chain(season).collect()
}

/// The figures of [`risk`]: a cutting day a week.
pub fn risk_figures(verdict: &Verdict, locale: Locale) -> Option<Figures> {
    let facts = frost(verdict)?;
    let row = |(day, chance)| vec![locale.date(day, verdict.today), said::ways(chance, locale)];
    Some(Figures {
        heads: said::risk_heads(locale),
        rows: said::later(facts, verdict.today).map(row).collect(),
    })
}

/// The coming nights at the plant; none for a cut that frost does not matter to, and where nothing is known.
pub fn nights(
    verdict: &Verdict,
    prospect: &Prospect,
    locale: Locale,
    on: (&str, Paper),
) -> Option<Picture> {
    let facts = frost(verdict)?;
    let nights = nights_at(facts, prospect);
    let band = |(to, fan): &(NaiveDate, NightFan)| NightBand {
        to: *to,
        quantiles: fan.quantiles.map(|at| locale.degrees(at)),
        forecast: fan.forecast.map(|at| locale.degrees(at)),
    };
    let chart = NightsChart {
        caption: Caption {
            title: said::of_cut(&say!(locale, "picture-nights"), verdict, locale),
            says: said::nights(&nights, facts, prospect.today, locale),
            axis: said::nights_axis(locale, facts.spot_offset),
        },
        nights: nights.iter().map(band).collect(),
        damage: (locale.degrees(facts.damage_at), said::damage(facts, locale)),
        forecast_end: said::forecast_end(locale),
        key: said::nights_key(locale),
    };
    chart.draw(&sheet(on, locale))
}

/// The figures of [`nights`], a night a row.
pub fn nights_figures(verdict: &Verdict, prospect: &Prospect, locale: Locale) -> Option<Figures> {
    let facts = frost(verdict)?;
    let row = |(to, fan): (NaiveDate, NightFan)| {
        let [low, _, middle, _, high] = fan.quantiles.map(|at| locale.temperature(at));
        let own = fan
            .forecast
            .map_or_else(String::new, |at| locale.temperature(at));
        vec![locale.weekday(to, prospect.today), low, middle, high, own]
    };
    let rows = nights_at(facts, prospect).into_iter().map(row);
    Some(Figures {
        heads: said::nights_heads(locale),
        rows: rows.collect(),
    })
}

/// The coming nights in the spot of a cut, each with the day on which it ends.
fn nights_at(facts: &FrostFacts, prospect: &Prospect) -> Vec<(NaiveDate, NightFan)> {
    let days = prospect.today.iter_days().skip(1);
    let at_spot = |fan: &NightFan| NightFan {
        quantiles: fan.quantiles.map(|at| at + facts.spot_offset),
        forecast: fan.forecast.map(|at| at + facts.spot_offset),
    };
    days.zip(prospect.nights.iter().map(at_spot)).collect()
}

/// The heat of the season with the events of a planting; none without past years.
pub fn heat(
    planting: &str,
    prospect: &Prospect,
    locale: Locale,
    on: (&str, Paper),
) -> Option<Picture> {
    let year = prospect.heat.as_ref()?;
    let last = prospect.today.checked_add_days(HEAT_AHEAD)?;
    let line = |bands: &[crate::events::HeatBand]| HeatLine {
        sums: steps(year.start)
            .take_while(|day| *day <= last)
            .zip(bands)
            .map(|(day, band)| (day, band.map(|heat| locale.degree_days(heat))))
            .collect(),
    };
    let of_planting = prospect
        .events
        .iter()
        .filter(|one| one.planting == planting);
    let mut events: Vec<HeatEvent> = of_planting
        .filter(|one| one.event != Event::LastFreeze || one.date.late >= prospect.today)
        .map(|one| HeatEvent {
            name: words::event(one.event, locale),
            days: [one.date.early, one.date.middle, one.date.late],
        })
        .collect();
    events.sort_by_key(|event| event.days[1]);
    let says = std::iter::once(said::heat(year, prospect.today, locale))
        .chain(said::events(prospect, planting, locale));
    let says = says.collect::<Vec<_>>().join(" ");
    let chart = HeatChart {
        caption: Caption {
            title: say!(locale, "picture-heat", planting = planting),
            says,
            axis: said::heat_axis(year, locale),
        },
        today: prospect.today,
        now: said::today(locale),
        usual: line(&year.usual),
        this: line(&year.this),
        events,
        key: said::heat_key(locale),
    };
    chart.draw(&sheet(on, locale))
}

/// The figures of [`heat`], a month a row.
pub fn heat_figures(prospect: &Prospect, locale: Locale) -> Option<Figures> {
    let year = prospect.heat.as_ref()?;
    let rows = steps(year.start)
        .zip(year.this.iter().zip(&year.usual))
        .step_by(HEAT_ROWS_EVERY);
    let row = |(day, (this, usual)): (
        NaiveDate,
        (&crate::events::HeatBand, &crate::events::HeatBand),
    )| {
        let [low, middle, high] = this.map(|heat| locale.heat(heat));
        let this = if low == high {
            middle
        } else {
            say!(
                locale,
                "middle-and-range",
                middle = middle,
                low = low,
                high = high
            )
        };
        let [low, _, high] = usual.map(|heat| locale.heat(heat));
        vec![
            locale.date(day, prospect.today),
            this,
            locale.between(&low, &high),
        ]
    };
    Some(Figures {
        heads: said::heat_heads(locale),
        rows: rows.map(row).collect(),
    })
}

/// The days of a season at which its heat is told.
fn steps(start: NaiveDate) -> impl Iterator<Item = NaiveDate> {
    start.iter_days().step_by(crate::events::STEP_DAYS)
}

fn frost(verdict: &Verdict) -> Option<&FrostFacts> {
    verdict.findings.iter().find_map(Finding::frost)
}

fn flowering(verdict: &Verdict) -> Option<&FloweringFacts> {
    verdict.findings.iter().find_map(|finding| {
        if let Facts::FloweringWood(facts) = &finding.facts {
            Some(facts)
        } else {
            None
        }
    })
}

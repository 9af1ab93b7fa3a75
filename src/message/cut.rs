//! News of a cut to be made: go, put off, closing.

use chrono::NaiveDate;

use super::letter::{Mark, Part, Section};
use super::words;
use crate::garden::{Garden, PlannedCut};
use crate::locale::Locale;
use crate::notice::{CutMatter, News};
use crate::risk::{DateRange, WITHDRAWN_ABOVE};
use crate::rules::{Finding, FrostFacts};
use crate::units::Chance;
use crate::verdict::Verdict;

/// A night further off is not named: no forecast knows it.
const NIGHT_NEAR_DAYS: i64 = 12;

/// The news of a cut in words.
pub(super) fn section(matter: &CutMatter<'_>, garden: &Garden) -> Section {
    let (verdict, locale) = (matter.verdict, garden.locale);
    let opening = match matter.news {
        News::NowGo => now_go(verdict, locale),
        News::PutOff => put_off(verdict, locale),
        News::Closing => closing(verdict, locale),
    };
    let waited = matter.since.map(|since| garden.place.zone.date(since));
    let waited = waited.filter(|since| *since < verdict.today).map(|since| {
        let since = locale.weekday(since, verdict.today);
        Part::Say(format!(
            "This has held since {since}; it could wait for this letter."
        ))
    });
    let mut parts: Vec<Part> = waited.into_iter().collect();
    if verdict.state.allows() {
        parts.extend(how(matter.cut));
    }
    parts.push(Part::List("Why", reasons(verdict, locale)));
    let mut small = vec![format!(
        "Counted over {}.",
        words::basis(&verdict.basis, locale)
    )];
    small.extend(words::credits(&verdict.basis, locale));
    Section {
        subject: subject(matter.news, verdict, locale),
        mark: match matter.news {
            News::NowGo => Mark::Go,
            News::PutOff => Mark::Stop,
            News::Closing => Mark::Ends,
        },
        opening: words::capital(&opening),
        parts,
        small,
        picture: None,
        links: Vec::new(),
    }
}

/// How to make it and what to mind.
fn how(cut: &PlannedCut) -> impl Iterator<Item = Part> {
    let cautions = cut.kind.cautions.iter();
    let mind: Vec<String> = cautions.map(|caution| caution.text.clone()).collect();
    let mind = (!mind.is_empty()).then_some(Part::List("Mind", mind));
    std::iter::once(Part::Say(cut.cut.how.clone())).chain(mind)
}

fn subject(news: News, verdict: &Verdict, locale: Locale) -> String {
    let planting = words::capital(&verdict.planting);
    let today = verdict.today;
    let work = words::work(verdict.cut_kind, locale);
    match news {
        News::NowGo => {
            format!(
                "{planting}: {} from today ({})",
                words::to_do(verdict.cut_kind, locale),
                locale.weekday(today, today)
            )
        }
        News::PutOff => {
            let when = match (verdict.wished, verdict.opens) {
                (Some(day), _) => format!("was planned {}", locale.weekday(day, today)),
                (None, Some(opens)) if opens.from > today => {
                    format!("likely till {}", locale.date(opens.from, today))
                }
                (None, _) => locale.weekday(today, today),
            };
            format!("{planting}: put the {work} off ({when})")
        }
        News::Closing => {
            let end = match verdict.closes {
                Some(day) => format!("till {}", locale.weekday(day, today)),
                None => locale.weekday(today, today),
            };
            format!("{planting}: last days for the {work} ({end})")
        }
    }
}

fn frost(verdict: &Verdict) -> Option<&FrostFacts> {
    verdict.findings.iter().find_map(Finding::frost)
}

/// The go and its window, as the calendar and the letter say it.
pub(super) fn now_go(verdict: &Verdict, locale: Locale) -> String {
    let today = verdict.today;
    let open = match verdict.closes {
        Some(end) => format!("The window stays open till {}.", locale.weekday(end, today)),
        None => "No end of the window is in sight.".to_owned(),
    };
    let Some(facts) = frost(verdict) else {
        return format!(
            "from today this cut may be made; frost is no reason to wait for it. {open}"
        );
    };
    format!(
        "{} {open}",
        still_bring("from today", facts, verdict, locale)
    )
}

/// How much danger is left for a cut made today, and both limits.
fn still_bring(from: &str, facts: &FrostFacts, verdict: &Verdict, locale: Locale) -> String {
    let firm = facts
        .firm_by
        .as_ref()
        .map(|firm| format!(", {}", words::spread(firm, verdict.today, locale)));
    format!(
        "{from} {} ways the weather can go ({} were counted) still bring a night of {} or less before the cut is \
         firm{}. {}",
        words::in_hundred(facts.chance, locale),
        facts.futures,
        locale.temperature(facts.damage_at),
        firm.unwrap_or_default(),
        limits(facts)
    )
}

/// Where a go begins and where it ends: apart, so that a jumpy forecast does not flip it.
fn limits(facts: &FrostFacts) -> String {
    let withdrawn = Chance::of(WITHDRAWN_ABOVE * facts.tolerance.share());
    format!(
        "Your limit is {:.0} of 100; a go is taken back above {:.0} of 100, or for a frost that is forecast.",
        facts.tolerance.in_hundred(),
        withdrawn.in_hundred()
    )
}

fn put_off(verdict: &Verdict, locale: Locale) -> String {
    let today = verdict.today;
    let mut sentences = vec![format!("{}.", words::main_reason(verdict, locale))];
    if let Some(facts) =
        frost(verdict).filter(|facts| facts.chance.share() > facts.tolerance.share())
    {
        let futures = facts.futures;
        sentences.push(format!("{futures} ways were counted. {}", limits(facts)));
        let near = facts
            .first_hit
            .filter(|(night, _)| (*night - today).num_days() <= NIGHT_NEAR_DAYS);
        sentences.extend(near.map(|(night, share)| {
            let night = locale.weekday(night, today);
            format!(
                "The night to {night} is the most likely to strike first, in {} ways.",
                words::in_hundred(share, locale)
            )
        }));
    }
    sentences.push(match verdict.opens {
        Some(opens) => format!(
            "It will likely be go {}.",
            go_day(verdict, opens, today, locale)
        ),
        None => "No day is known yet on which it will be go.".to_owned(),
    });
    sentences.join(" ")
}

/// The likely day, with its most likely one where frost decides it.
fn go_day(verdict: &Verdict, opens: DateRange, today: NaiveDate, locale: Locale) -> String {
    let first_go = frost(verdict).and_then(|facts| facts.first_go.as_ref());
    let decides = first_go.filter(|go| (go.middle, go.late) == (opens.from, opens.to));
    decides.map_or_else(
        || words::range(opens, today, locale),
        |go| words::spread(go, today, locale),
    )
}

fn closing(verdict: &Verdict, locale: Locale) -> String {
    let today = verdict.today;
    let end = match verdict.closes {
        Some(end) => format!(
            "the window for this cut closes {}, on {}.",
            words::days_until(end, today, locale),
            locale.weekday(end, today)
        ),
        None => "the window for this cut closes.".to_owned(),
    };
    match frost(verdict) {
        Some(facts) => format!(
            "{end} {}",
            words::capital(&still_bring("for a cut made today", facts, verdict, locale))
        ),
        None => end,
    }
}

/// Each finding as a sentence with its source.
fn reasons(verdict: &Verdict, locale: Locale) -> Vec<String> {
    let sentence = |finding| words::capital(&words::reason(finding, verdict.today, locale));
    verdict
        .findings
        .iter()
        .map(|finding| format!("{}. Source: {}.", sentence(finding), finding.source))
        .collect()
}

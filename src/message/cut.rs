//! News of a cut to be made: go, put off, closing.

use chrono::NaiveDate;

use super::letter::{Mark, Part, Section};
use super::words;
use crate::garden::{Garden, PlannedCut};
use crate::locale::{Locale, say};
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
        Part::Say(say!(locale, "letter-waited", since = since))
    });
    let mut parts: Vec<Part> = waited.into_iter().collect();
    if verdict.state.allows() {
        parts.extend(how(matter.cut, locale));
    }
    parts.push(Part::Reasons(
        say!(locale, "letter-why"),
        reasons(verdict, locale),
    ));
    let mut small = vec![words::counted_over(&verdict.basis, locale)];
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
fn how(cut: &PlannedCut, locale: Locale) -> impl Iterator<Item = Part> {
    let cautions = cut.kind.cautions.iter();
    let mind: Vec<String> = cautions
        .map(|caution| words::kinds::text(&caution.text, locale).to_owned())
        .collect();
    let mind = (!mind.is_empty()).then(|| Part::List(say!(locale, "letter-mind"), mind));
    std::iter::once(Part::Say(
        words::kinds::text(&cut.cut.how, locale).to_owned(),
    ))
    .chain(mind)
}

fn subject(news: News, verdict: &Verdict, locale: Locale) -> String {
    let planting = words::capital(&verdict.planting);
    let today = verdict.today;
    let day = locale.weekday(today, today);
    let work = words::work(verdict.cut_kind, locale);
    match news {
        News::NowGo => {
            let to_do = words::to_do(verdict.cut_kind, locale);
            say!(
                locale,
                "subject-go",
                planting = planting,
                to_do = to_do,
                day = day
            )
        }
        News::PutOff => {
            let when = match (verdict.wished, verdict.opens) {
                (Some(wished), _) => {
                    say!(
                        locale,
                        "subject-planned",
                        day = locale.weekday(wished, today)
                    )
                }
                (None, Some(opens)) if opens.from > today => {
                    say!(
                        locale,
                        "subject-likely-till",
                        day = locale.date(opens.from, today)
                    )
                }
                (None, _) => day,
            };
            say!(
                locale,
                "subject-put-off",
                planting = planting,
                work = work,
                when = when
            )
        }
        News::Closing => {
            let end = verdict.closes.map_or(day, |end| {
                say!(locale, "when-till", end = locale.weekday(end, today))
            });
            say!(
                locale,
                "subject-closing",
                planting = planting,
                work = work,
                end = end
            )
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
        Some(end) => say!(
            locale,
            "window-stays-open",
            end = locale.weekday(end, today)
        ),
        None => say!(locale, "window-no-end"),
    };
    let go = match frost(verdict) {
        Some(facts) => {
            let (ways, mark, firm) = danger(facts, today, locale);
            let sentence = say!(
                locale,
                "go-still-bring",
                ways = ways,
                futures = facts.futures,
                mark = mark,
                firm = firm
            );
            format!("{sentence} {}", limits(facts, locale))
        }
        None => say!(locale, "go-without-frost"),
    };
    format!("{go} {open}")
}

/// How much danger is left for a cut made today, from which temperature on, and until when.
fn danger(facts: &FrostFacts, today: NaiveDate, locale: Locale) -> (String, String, String) {
    let firm = facts.firm_by.as_ref();
    let firm = firm.map(|firm| format!(", {}", words::spread(firm, today, locale)));
    (
        words::in_hundred(facts.chance, locale),
        locale.temperature(facts.damage_at),
        firm.unwrap_or_default(),
    )
}

/// Where a go begins and where it ends: apart, so that a jumpy forecast does not flip it.
fn limits(facts: &FrostFacts, locale: Locale) -> String {
    let withdrawn = Chance::of(WITHDRAWN_ABOVE * facts.tolerance.share());
    say!(
        locale,
        "go-limits",
        limit = facts.tolerance.in_hundred(),
        withdrawn = withdrawn.in_hundred()
    )
}

fn put_off(verdict: &Verdict, locale: Locale) -> String {
    let today = verdict.today;
    let mut sentences = vec![format!("{}.", words::main_reason(verdict, locale))];
    if let Some(facts) =
        frost(verdict).filter(|facts| facts.chance.share() > facts.tolerance.share())
    {
        let counted = say!(locale, "were-counted", futures = facts.futures);
        sentences.push(format!("{counted} {}", limits(facts, locale)));
        let near = facts
            .first_hit
            .filter(|(night, _)| (*night - today).num_days() <= NIGHT_NEAR_DAYS);
        sentences.extend(near.map(|(night, share)| {
            say!(
                locale,
                "night-strikes-first",
                night = locale.weekday(night, today),
                ways = words::in_hundred(share, locale)
            )
        }));
    }
    sentences.push(match verdict.opens {
        Some(opens) => say!(
            locale,
            "will-be-go",
            day = go_day(verdict, opens, today, locale)
        ),
        None => say!(locale, "no-go-day-known"),
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
        Some(end) => say!(
            locale,
            "window-closes",
            days = words::days_until(end, today, locale),
            end = locale.weekday(end, today)
        ),
        None => say!(locale, "window-closes-some-day"),
    };
    let Some(facts) = frost(verdict) else {
        return end;
    };
    let (ways, mark, firm) = danger(facts, today, locale);
    let sentence = say!(
        locale,
        "today-still-brings",
        ways = ways,
        futures = facts.futures,
        mark = mark,
        firm = firm
    );
    format!("{end} {sentence} {}", limits(facts, locale))
}

/// Each finding as a sentence with its source.
fn reasons(verdict: &Verdict, locale: Locale) -> Vec<(String, String)> {
    let with_source = |finding: &Finding| {
        let reason = words::capital(&words::reason(finding, verdict.today, locale));
        (
            format!("{reason}."),
            words::sourced(&finding.source, locale),
        )
    };
    verdict.findings.iter().map(with_source).collect()
}

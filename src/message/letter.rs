//! The letter behind a mail: what it says, in which order, and its two forms.

use maud::{DOCTYPE, html};

use super::words;
use crate::garden::{Garden, PlannedCut};
use crate::notice::News;
use crate::rules::{Finding, FrostFacts};
use crate::units::UnitSystem;
use crate::verdict::Verdict;

/// A night further off is not named: no forecast knows it.
const NIGHT_NEAR_DAYS: i64 = 12;

/// A letter as parts, from which both forms are made, so that both carry the same facts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Letter {
    pub(super) subject: String,
    pub(super) parts: Vec<Part>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Part {
    /// A paragraph.
    Say(String),
    /// A heading with lines below it.
    List(&'static str, Vec<String>),
    /// Small print.
    Small(Vec<String>),
}

/// The letter that tells the news of a verdict.
pub(super) fn write(news: News, verdict: &Verdict, garden: &Garden, cut: &PlannedCut) -> Letter {
    let units = garden.units;
    let opening = match news {
        News::NowGo => now_go(verdict, units),
        News::PutOff => put_off(verdict, units),
        News::Closing => closing(verdict, units),
    };
    let mut parts = vec![Part::Say(words::capital(&opening))];
    if verdict.state.allows() {
        parts.push(Part::Say(cut.cut.how.clone()));
        let mind: Vec<String> = cut
            .kind
            .cautions
            .iter()
            .map(|caution| caution.text.clone())
            .collect();
        if !mind.is_empty() {
            parts.push(Part::List("Mind", mind));
        }
    }
    parts.push(Part::List("Why", reasons(verdict, units)));
    parts.push(Part::Small(small_print(verdict, garden)));
    Letter {
        subject: subject(news, verdict),
        parts,
    }
}

/// The letter that only shows that mails arrive.
pub(super) fn test(garden: &Garden) -> Letter {
    let say = format!(
        "This is a test. Mails for {} arrive here. You will hear again when a cut that you planned is go, has to be \
         put off, or when its window closes.",
        garden.title
    );
    Letter {
        subject: format!("{}: a test mail", garden.title),
        parts: vec![Part::Say(say)],
    }
}

fn subject(news: News, verdict: &Verdict) -> String {
    let planting = words::capital(&verdict.planting);
    let today = verdict.today;
    match news {
        News::NowGo => {
            format!(
                "{planting}: {} from today ({})",
                words::to_do(verdict.cut_kind),
                words::weekday(today, today)
            )
        }
        News::PutOff => {
            let planned = verdict
                .wished
                .map(|day| format!(" (was planned {})", words::weekday(day, today)));
            format!(
                "{planting}: put the {} off{}",
                words::work(verdict.cut_kind),
                planned.unwrap_or_default()
            )
        }
        News::Closing => {
            let end = verdict
                .closes
                .map(|day| format!(" (till {})", words::weekday(day, today)));
            format!(
                "{planting}: last days for the {}{}",
                words::work(verdict.cut_kind),
                end.unwrap_or_default()
            )
        }
    }
}

fn frost(verdict: &Verdict) -> Option<&FrostFacts> {
    verdict.findings.iter().find_map(Finding::frost)
}

fn now_go(verdict: &Verdict, units: UnitSystem) -> String {
    let today = verdict.today;
    let open = match verdict.closes {
        Some(end) => format!("The window stays open till {}.", words::weekday(end, today)),
        None => "No end of the window is in sight.".to_owned(),
    };
    let Some(facts) = frost(verdict) else {
        return format!(
            "from today this cut may be made; frost is no reason to wait for it. {open}"
        );
    };
    format!(
        "{} {open}",
        still_bring("from today", facts, verdict, units)
    )
}

/// How much danger is left for a cut made today, and the keeper's limit.
fn still_bring(from: &str, facts: &FrostFacts, verdict: &Verdict, units: UnitSystem) -> String {
    let firm = facts
        .firm_by
        .as_ref()
        .map(|firm| format!(", {}", words::spread(firm, verdict.today)));
    format!(
        "{from} {} ways the weather can go still bring a night of {} or less before the cut is firm{}. Your limit is \
         {:.0} of 100.",
        words::in_hundred(facts.chance),
        units.temperature(facts.damage_at),
        firm.unwrap_or_default(),
        facts.tolerance.in_hundred()
    )
}

fn put_off(verdict: &Verdict, units: UnitSystem) -> String {
    let today = verdict.today;
    let mut sentences = vec![format!("{}.", words::main_reason(verdict, units))];
    if let Some(facts) =
        frost(verdict).filter(|facts| facts.chance.share() > facts.tolerance.share())
    {
        sentences.push(format!(
            "Your limit is {:.0} of 100.",
            facts.tolerance.in_hundred()
        ));
        let near = facts
            .first_hit
            .filter(|(night, _)| (*night - today).num_days() <= NIGHT_NEAR_DAYS);
        sentences.extend(near.map(|(night, share)| {
            let night = words::weekday(night, today);
            format!(
                "The night to {night} is the most likely to strike first, in {} ways.",
                words::in_hundred(share)
            )
        }));
    }
    sentences.push(match verdict.opens {
        Some(opens) => format!("It will likely be go {}.", words::range(opens, today)),
        None => "No day is known yet on which it will be go.".to_owned(),
    });
    sentences.join(" ")
}

fn closing(verdict: &Verdict, units: UnitSystem) -> String {
    let today = verdict.today;
    let end = match verdict.closes {
        Some(end) => format!(
            "the window for this cut closes {}, on {}.",
            words::days_until(end, today),
            words::weekday(end, today)
        ),
        None => "the window for this cut closes.".to_owned(),
    };
    match frost(verdict) {
        Some(facts) => format!(
            "{end} {}",
            words::capital(&still_bring("for a cut made today", facts, verdict, units))
        ),
        None => end,
    }
}

/// Each finding as a sentence with its source.
fn reasons(verdict: &Verdict, units: UnitSystem) -> Vec<String> {
    let sentence = |finding| words::capital(&words::reason(finding, verdict.today, units));
    verdict
        .findings
        .iter()
        .map(|finding| format!("{}. Source: {}.", sentence(finding), finding.source))
        .collect()
}

fn small_print(verdict: &Verdict, garden: &Garden) -> Vec<String> {
    let mut lines = vec![
        words::CAUTION.to_owned(),
        format!("Counted over {}.", words::basis(&verdict.basis)),
    ];
    lines.extend(words::credits(&verdict.basis, garden.units));
    lines.extend(garden.remark.clone());
    lines.push(format!(
        "{}, {}",
        garden.title,
        garden
            .place
            .zone
            .local(verdict.at)
            .format("%-d %B %Y, %H:%M")
    ));
    lines
}

impl Letter {
    /// The plain text, without wrapping: readers wrap to their own width.
    pub(super) fn plain(&self) -> String {
        let parts = self.parts.iter().map(|part| match part {
            Part::Say(text) => text.clone(),
            Part::List(heading, lines) => {
                let lines: Vec<String> = lines.iter().map(|line| format!("- {line}")).collect();
                format!("{heading}:\n{}", lines.join("\n"))
            }
            Part::Small(lines) => format!("-- \n{}", lines.join("\n")),
        });
        parts.collect::<Vec<_>>().join("\n\n") + "\n"
    }

    /// The HTML document; no pictures, scripts, links or remote content.
    pub(super) fn html(&self) -> String {
        let page = html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width";
                    meta name="color-scheme" content="light dark";
                    title { (self.subject) }
                }
                body style="font: 16px/1.5 sans-serif; max-width: 36em; margin: 1em auto; padding: 0 1em" {
                    @for part in &self.parts {
                        @match part {
                            Part::Say(text) => p { (text) },
                            Part::List(heading, lines) => {
                                p style="margin-bottom: 0" { b { (heading) } }
                                ul style="margin-top: 0" { @for line in lines { li { (line) } } }
                            }
                            Part::Small(lines) => {
                                hr;
                                @for line in lines { p style="font-size: 14px; margin: 0.4em 0" { (line) } }
                            }
                        }
                    }
                }
            }
        };
        page.into_string()
    }
}

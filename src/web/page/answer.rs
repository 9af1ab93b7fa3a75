//! What a link of a letter would note, with the button that notes it, and what became of it.

use maud::{Markup, html};

use super::parts::at_cut;
use super::{Place, document};
use crate::garden::Answer;
use crate::link::{PATH, Slip};
use crate::locale::{Locale, say};
use crate::message::words::{self, answers};
use crate::verdict::Verdict;
use crate::web::{GardenSnapshot, Outcome, Snapshot};

/// A link's garden and cut, as far as the snapshot has them.
struct About<'a> {
    garden: Option<&'a GardenSnapshot>,
    verdict: Option<&'a Verdict>,
}

impl<'a> About<'a> {
    fn of(snapshot: &'a Snapshot, slip: &Slip) -> Self {
        let garden = snapshot.garden(&slip.garden);
        let verdict = garden.and_then(|garden| {
            let mut verdicts = garden.verdicts.iter();
            verdicts.find(|verdict| verdict.cut == slip.cut)
        });
        Self { garden, verdict }
    }

    /// The cut, or the garden where the link is about all of it.
    fn name(&self, slip: &Slip, locale: Locale) -> String {
        match (self.verdict, self.garden) {
            (Some(verdict), _) => format!(
                "{}, {}",
                words::capital(&verdict.planting),
                words::to_do(verdict.cut_kind, locale)
            ),
            (None, Some(garden)) => garden.title.clone(),
            (None, None) => slip.garden.clone(),
        }
    }

    fn place(&self) -> Place<'_> {
        self.garden
            .map_or(Place::Nowhere, |garden| Place::Garden(&garden.title))
    }
}

/// What the link would note, and the button.
pub(crate) fn ask(snapshot: &Snapshot, slip: &Slip, token: &str) -> String {
    let about = About::of(snapshot, slip);
    let locale = about.garden.map_or(snapshot.locale, |garden| garden.locale);
    let title = format!(
        "{}: {}",
        about.name(slip, locale),
        answers::title(slip.answer, locale)
    );
    let takes_day = matches!(
        slip.answer,
        Answer::Done | Answer::InBloom | Answer::FrostDamage
    );
    let body = html! {
        h1 { (title) }
        p { (answers::meaning(slip.answer, locale)) }
        form method="post" action={ (PATH) (token) } {
            @if takes_day {
                p { label for="day" { (say!(locale, "ask-day")) } br; input type="date" id="day" name="day"; }
            }
            @if slip.answer == Answer::Done {
                p {
                    label for="share" { (say!(locale, "ask-share")) } br;
                    input type="number" id="share" name="share" min="1" max="100" inputmode="numeric";
                }
            }
            p { button type="submit" { (answers::button(slip.answer, locale)) } }
        }
        p.small { (say!(locale, "ask-nothing-noted")) }
    };
    document(&title, about.place(), &body, locale)
}

/// What became of an answer.
pub(crate) fn outcome(snapshot: &Snapshot, slip: &Slip, token: &str, outcome: Outcome) -> String {
    let about = About::of(snapshot, slip);
    let locale = about.garden.map_or(snapshot.locale, |garden| garden.locale);
    let title = format!(
        "{}: {}",
        about.name(slip, locale),
        outcome_word(outcome, locale)
    );
    let can_undo = matches!(outcome, Outcome::Noted(_) | Outcome::Before);
    let body = html! {
        h1 { (title) }
        p role="status" { (told(slip, outcome, locale)) }
        @if can_undo {
            form method="post" action={ (PATH) (token) "/undo" } {
                p { button type="submit" { (say!(locale, "take-back")) } }
            }
        }
        @if let Some(verdict) = about.verdict {
            p { a href=(at_cut(&verdict.garden, &verdict.cut)) { (say!(locale, "page-of-cut")) } }
        }
    };
    document(&title, about.place(), &body, locale)
}

fn outcome_word(outcome: Outcome, locale: Locale) -> String {
    match outcome {
        Outcome::Noted(_) | Outcome::Before => say!(locale, "outcome-noted"),
        Outcome::TakenBack => say!(locale, "outcome-taken-back"),
        Outcome::Nothing => say!(locale, "outcome-nothing"),
        Outcome::NoSuchCut => say!(locale, "outcome-no-such-cut"),
        Outcome::OtherDay => say!(locale, "not-noted"),
    }
}

fn told(slip: &Slip, outcome: Outcome, locale: Locale) -> String {
    match outcome {
        Outcome::Noted(day) => answers::noted(slip.answer, day, locale),
        Outcome::Before => say!(locale, "told-before"),
        Outcome::TakenBack => say!(locale, "told-taken-back"),
        Outcome::Nothing => say!(locale, "told-nothing"),
        Outcome::NoSuchCut => say!(locale, "told-no-such-cut"),
        Outcome::OtherDay => say!(locale, "told-other-day"),
    }
}

/// A link that is not whole, or whose time is over.
pub(crate) fn over(locale: Locale) -> String {
    let title = say!(locale, "link-over");
    short(locale, &title, &say!(locale, "link-over-why"), None)
}

/// A button that was pressed on a page of somebody else.
pub(crate) fn from_elsewhere(locale: Locale) -> String {
    let title = say!(locale, "not-noted-head");
    short(locale, &title, &say!(locale, "from-elsewhere"), None)
}

/// A form that cannot be read.
pub(crate) fn not_understood(token: &str, locale: Locale) -> String {
    let title = say!(locale, "not-noted-head");
    let why = say!(locale, "not-understood");
    short(locale, &title, &why, Some(token))
}

/// Too much at once.
pub(crate) fn busy(token: &str, locale: Locale) -> String {
    let title = say!(locale, "not-noted-head");
    short(locale, &title, &say!(locale, "busy"), Some(token))
}

fn short(locale: Locale, title: &str, text: &str, again: Option<&str>) -> String {
    let body: Markup = html! {
        h1 { (title) }
        p { (text) }
        @if let Some(token) = again { p { a href={ (PATH) (token) } { (say!(locale, "back-to-link")) } } }
        p { a href="/" { (say!(locale, "the-board")) } }
    };
    document(title, Place::Nowhere, &body, locale)
}

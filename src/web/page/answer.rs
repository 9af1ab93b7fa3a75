//! What a link of a letter would note, with the button that notes it, and what became of it.

use maud::{Markup, html};

use super::parts::at_cut;
use super::{Place, document};
use crate::garden::Answer;
use crate::link::{PATH, Slip};
use crate::locale::Locale;
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
        let mut gardens = snapshot.gardens.iter();
        let garden = gardens.find(|garden| garden.name == slip.garden);
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
                p { label for="day" { "On which day? Left empty it means today." } br; input type="date" id="day" name="day"; }
            }
            @if slip.answer == Answer::Done {
                p {
                    label for="share" { "How much of the live growth was taken, in percent? It may stay empty." } br;
                    input type="number" id="share" name="share" min="1" max="100" inputmode="numeric";
                }
            }
            p { button type="submit" { (answers::button(slip.answer, locale)) } }
        }
        p.small { "Nothing is noted before the button is pressed." }
    };
    document(&title, about.place(), &body, locale)
}

/// What became of an answer.
pub(crate) fn outcome(snapshot: &Snapshot, slip: &Slip, token: &str, outcome: Outcome) -> String {
    let about = About::of(snapshot, slip);
    let locale = about.garden.map_or(snapshot.locale, |garden| garden.locale);
    let title = format!("{}: {}", about.name(slip, locale), outcome_word(outcome));
    let can_undo = matches!(outcome, Outcome::Noted(_) | Outcome::Before);
    let body = html! {
        h1 { (title) }
        p role="status" { (told(slip, outcome, locale)) }
        @if can_undo {
            form method="post" action={ (PATH) (token) "/undo" } {
                p { button type="submit" { "Take it back" } }
            }
        }
        @if let Some(verdict) = about.verdict {
            p { a href=(at_cut(&verdict.garden, &verdict.cut)) { "The page of this cut" } }
        }
    };
    document(&title, about.place(), &body, locale)
}

const fn outcome_word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Noted(_) | Outcome::Before => "noted",
        Outcome::TakenBack => "taken back",
        Outcome::Nothing => "nothing to take back",
        Outcome::NoSuchCut => "no longer planned",
        Outcome::OtherDay => "not noted",
    }
}

fn told(slip: &Slip, outcome: Outcome, locale: Locale) -> String {
    match outcome {
        Outcome::Noted(day) => answers::noted(slip.answer, day, locale),
        Outcome::Before => "It was noted before; it is not noted twice.".to_owned(),
        Outcome::TakenBack => "It is taken back, as if it had not been told.".to_owned(),
        Outcome::Nothing => "Nothing of this link stands noted.".to_owned(),
        Outcome::NoSuchCut => "The garden file has no such cut any more.".to_owned(),
        Outcome::OtherDay => {
            "The day has to be today or one of the sixty days before it. Go back and choose another."
                .to_owned()
        }
    }
}

/// A link that is not whole, or whose time is over.
pub(crate) fn over(locale: Locale) -> String {
    short(
        locale,
        "This link is over",
        "Links of letters hold for sixty days, and only when they are whole.",
        None,
    )
}

/// A button that was pressed on a page of somebody else.
pub(crate) fn from_elsewhere(locale: Locale) -> String {
    short(
        locale,
        "Not noted",
        "This came from another page. Open the link itself and press its button.",
        None,
    )
}

/// A form that cannot be read.
pub(crate) fn not_understood(token: &str, locale: Locale) -> String {
    short(
        locale,
        "Not noted",
        "A day is written as 2027-04-22, a share as a number from 1 to 100.",
        Some(token),
    )
}

/// Too much at once.
pub(crate) fn busy(token: &str, locale: Locale) -> String {
    short(
        locale,
        "Not noted",
        "The program is busy. Try it again in a minute.",
        Some(token),
    )
}

fn short(locale: Locale, title: &str, text: &str, again: Option<&str>) -> String {
    let body: Markup = html! {
        h1 { (title) }
        p { (text) }
        @if let Some(token) = again { p { a href={ (PATH) (token) } { "Back to the link" } } }
        p { a href="/" { "The board" } }
    };
    document(title, Place::Nowhere, &body, locale)
}

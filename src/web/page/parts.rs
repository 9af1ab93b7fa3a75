//! Parts that several pages have: a state, a line on a cut, a picture with its figures, a table.

use maud::{Markup, PreEscaped, html};

use crate::locale::{Locale, say};
use crate::message::pictures::Figures;
use crate::message::words::{self, watched};
use crate::outlook::SourceSkill;
use crate::picture::{Paper, Picture};
use crate::verdict::Verdict;
use crate::watch::Watch;
use crate::web::GardenSnapshot;

/// The address of a garden's page, or of one below it.
pub(super) fn at_garden(garden: &str, below: &str) -> String {
    format!("/garden/{garden}{below}")
}

/// The address of a cut's page.
pub(super) fn at_cut(garden: &str, cut: &str) -> String {
    format!("/garden/{garden}/cut/{cut}")
}

/// A state as a word in a shape of its own.
pub(super) fn state(verdict: &Verdict, locale: Locale) -> Markup {
    let (code, name) = (verdict.state.name(), words::state(verdict.state, locale));
    html! { span class={ "state " (code) } { (name) } }
}

/// A cut on a board: state, name, when, and the reason that decides.
pub(super) fn line(verdict: &Verdict, locale: Locale) -> Markup {
    html! {
        p.line {
            (state(verdict, locale)) " "
            a href=(at_cut(&verdict.garden, &verdict.cut)) {
                (words::capital(&verdict.planting)) ", " (words::to_do(verdict.cut_kind, locale))
            }
            " " span.when { (words::when(verdict, locale)) }
        }
        p.reason { (words::capital(&words::main_reason(verdict, locale))) "." }
    }
}

/// A cut that was made, until what it left tender is firm.
pub(super) fn watch(watch: &Watch, locale: Locale) -> Markup {
    html! {
        p { b { (watched::deed(watch, watch.basis.today, locale)) } ": " (watched::tonight(watch, locale)) "." }
        @for sentence in watched::outlook(watch, locale) { p { (sentence) } }
        p.small { (words::sourced(&watch.source, locale)) }
    }
}

/// What the numbers of a verdict rest on.
pub(super) fn basis(garden: &GardenSnapshot, verdict: &Verdict) -> Markup {
    let locale = garden.locale;
    html! {
        p { (words::counted_over(&verdict.basis, locale)) }
        @if !verdict.basis.missing.is_empty() {
            p { (words::capital(&words::missing(&verdict.basis.missing, locale))) "." }
        }
        @for credit in words::credits(&verdict.basis, garden.locale) { p { (credit) "." } }
        @for source in &garden.sources { @if !source.words.is_empty() { p { (source.words) "." } } }
        @for source in &garden.skills { (skill(source, garden.locale)) }
    }
}

/// One line on how far a source was verified, which opens into the figures of each lead.
fn skill(source: &SourceSkill, locale: Locale) -> Markup {
    html! {
        details {
            summary { (words::skill(source, locale)) }
            div.scroll tabindex="0" role="region" aria-label=(say!(locale, "figures-of", source = &source.source)) {
                table {
                    thead { tr { @for head in words::skill_heads(locale) { th scope="col" { (head) } } } }
                    tbody {
                        @for lead in source.in_use() {
                            tr { @for value in words::skill_row(lead, locale) { td { (value) } } }
                        }
                    }
                }
            }
        }
    }
}

/// A picture on both papers, of which the style sheet shows the one that has room, and the figures behind it.
pub(super) fn figure(
    draw: impl Fn(Paper) -> Option<Picture>,
    figures: Option<&Figures>,
    locale: Locale,
) -> Option<Markup> {
    let (narrow, wide) = (draw(Paper::Narrow)?, draw(Paper::Wide)?);
    Some(html! {
        figure {
            // The drawings are our own; every text in them is escaped where they are written.
            div.narrow { (PreEscaped(narrow.svg)) }
            div.wide { (PreEscaped(wide.svg)) }
            @if let Some(figures) = figures {
                details {
                    summary { (say!(locale, "figures-summary")) }
                    p { (narrow.says) }
                    (table(figures, &say!(locale, "figures-title", title = &narrow.title)))
                }
            }
        }
    })
}

fn table(figures: &Figures, title: &str) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label=(title) {
            table.figures {
                thead { tr { @for head in &figures.heads { th scope="col" { (head) } } } }
                tbody {
                    @for row in &figures.rows {
                        tr {
                            @for (place, value) in row.iter().enumerate() {
                                @if place == 0 { th scope="row" { (value) } } @else { td { (value) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// When the weather of a garden was last looked at, and what stands under everything about it.
pub(super) fn looked(garden: &GardenSnapshot) -> Markup {
    let locale = garden.locale;
    html! {
        p.small {
            @match &garden.looked_at {
                Some(when) => { (say!(locale, "looked", when = when)) },
                None => { (say!(locale, "not-looked")) },
            }
            @if let Some(remark) = &garden.remark { " " (remark) }
        }
    }
}

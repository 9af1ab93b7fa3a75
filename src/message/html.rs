//! The HTML form of a letter: no scripts, nothing that is fetched; its links lead to the keeper's own page.
//!
//! Text and ground keep the reader's own colours, so that a dark screen stays dark; the colours at the side of a matter
//! are of middle brightness and show on both.

use maud::{DOCTYPE, Markup, html};

use super::letter::{Letter, Mark, Part};

const BODY: &str = "font: 16px/1.5 sans-serif; max-width: 36em; margin: 1em auto; padding: 0 1em; \
     overflow-wrap: break-word";

/// A link as a button that a thumb hits, in the reader's own colours.
const BUTTON: &str = "display: inline-block; padding: 0.5em 1em; border: 1px solid; border-radius: 6px; color: inherit; \
     text-decoration: none";

impl Letter {
    /// The HTML document.
    pub(super) fn html(&self) -> String {
        let page = html! {
            (DOCTYPE)
            html lang=(self.locale.language.tag()) {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="color-scheme" content="light dark";
                    meta name="supported-color-schemes" content="light dark";
                    title { (self.subject) }
                    style { ":root { color-scheme: light dark }" }
                }
                body style=(BODY) {
                    main {
                        h1 style="font-size: 20px; line-height: 1.3; margin: 0 0 0.7em" { (self.subject) }
                        @for part in self.parts.iter().filter(|part| !is_small(part)) { (shown(part)) }
                    }
                    footer { @for part in self.parts.iter().filter(|part| is_small(part)) { (shown(part)) } }
                }
            }
        };
        page.into_string()
    }
}

const fn is_small(part: &Part) -> bool {
    matches!(part, Part::Small(_))
}

fn shown(part: &Part) -> Markup {
    html! {
        @match part {
            Part::Matter(subject) => {
                h2 style="font-size: 18px; line-height: 1.3; margin: 2em 0 0.5em" { (subject) }
            }
            Part::Opening(mark, text) => p style=(at_the_side(*mark)) { (text) },
            Part::Say(text) => p { (text) },
            Part::List(heading, lines) => (listed(heading, &html! { @for line in lines { li { (line) } } })),
            // Whoever doubts a reason looks for its source; whoever reads on need not read it.
            Part::Reasons(heading, reasons) => {
                (listed(heading, &html! {
                    @for (reason, source) in reasons { li { (reason) " " small style="font-size: 13px" { (source) } } }
                }))
            }
            Part::Picture { cid, alt } => {
                figure style="margin: 1em 0" {
                    img src=(format!("cid:{cid}")) alt=(alt) style="max-width: 100%; height: auto";
                    figcaption style="font-size: 14px" { (alt) }
                }
            }
            Part::Links(links) => {
                ul style="list-style: none; padding: 0; margin: 1em 0" {
                    @for (does, link) in links { li style="margin: 0.6em 0" { a href=(link) style=(BUTTON) { (does) } } }
                }
            }
            Part::Small(lines) => {
                hr;
                @for line in lines { p style="font-size: 14px; margin: 0.4em 0" { (line) } }
            }
        }
    }
}

fn listed(heading: &str, lines: &Markup) -> Markup {
    html! {
        h3 style="font-size: 16px; margin: 1em 0 0" { (heading) }
        ul style="margin: 0.2em 0 1em; padding-left: 1.3em" { (lines) }
    }
}

/// A bar at the side of a matter, by what it is like.
fn at_the_side(mark: Mark) -> String {
    let colour = match mark {
        Mark::Go => "#2e8b57",
        Mark::Stop => "#c9542b",
        Mark::Ends => "#b8860b",
        Mark::Note => "#4682b4",
    };
    format!("border-left: 4px solid {colour}; padding-left: 0.7em; margin: 0 0 1em")
}

//! The sources as tokens: look-ups of texts, and words that stand in literals.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use proc_macro2::{Delimiter, Group, Literal, TokenStream, TokenTree};

use crate::support::project;

/// A look-up of a text.
pub(super) struct LookUp {
    pub(super) at: String,
    pub(super) id: String,
    pub(super) arguments: BTreeSet<String>,
}

/// The folders and files whose words the keeper reads.
const SPOKEN: [&str; 14] = [
    "src/message.rs",
    "src/message",
    "src/web/page.rs",
    "src/web/page",
    "src/picture.rs",
    "src/picture",
    "src/locale",
    "src/cli/board.rs",
    "src/cli/why.rs",
    "src/cli/plan.rs",
    "src/cli/once.rs",
    "src/cli/almanac",
    "src/cli/done.rs",
    "src/cli/seen.rs",
];

/// Files in them that write markup or read files, and no words.
const MARKUP: [&str; 3] = ["picture/svg.rs", "picture/font.rs", "locale/texts.rs"];

/// Attributes of HTML that nobody reads.
const ATTRIBUTES: [&str; 19] = [
    "action",
    "charset",
    "class",
    "colspan",
    "content",
    "for",
    "href",
    "id",
    "inputmode",
    "labelledby",
    "maxlength",
    "method",
    "name",
    "rel",
    "role",
    "scope",
    "style",
    "tabindex",
    "type",
];

/// Literals with words that are not the program's to the keeper, or that are none.
const NO_WORDS: &[&str] = &[
    // The end of a page.
    "</body>",
    "{shown}</body>",
    // Codes of the journal and of mails.
    "verdict",
    "now-go",
    "put-off",
    "closing",
    "cover-tonight",
    "frost-seen",
    "below-now",
    "weather-lost",
    "weather-back",
    "done",
    "done-undone",
    "not-this-year",
    "later",
    "frost-damage",
    "no-letters",
    "seen",
    "seen-undone",
    "mail-sent",
    "mail-deferred",
    "mail-given-up",
    "mail-replaced",
    "mail-unconfirmed",
    "garden",
    "round-up",
    "{}.test.{today}",
    "{}.plan.{first}",
    "source-silent",
    "source-back",
    "%Y%m%dT%H%M%SZ",
    // Kinds, sources and groups of values by the names that the data give them.
    "boxwood",
    "open-meteo",
    "met-norway",
    "nws",
    "files: ",
    "hardiness zones",
    "wood",
    "pace",
    "bud break",
    "bloom",
    "full leaf",
    "end of the flush",
    "bud set",
    "leaf fall",
    "hard cut",
    "largest share",
    "weather holds",
    "diseases",
    "wildlife",
    "sap",
    // By what a text chooses.
    "event",
    "days",
    // Signs of units.
    "in",
    "cm",
    // iCalendar.
    "-//budward//garden windows//EN",
    "{}@budward",
    "TRANSP",
    "TRANSPARENT",
    "VERSION",
    "PRODID",
    "CALSCALE",
    "GREGORIAN",
    "METHOD",
    "PUBLISH",
    "{}.store-restored.{when}",
    "{}.to.{}",
    "{}.bad-address.{}.{}",
    "store-restored",
    "look-broke-down",
    // Addresses, ids and styles of pages and mails.
    "/almanac",
    "/almanac/",
    "/journal",
    "/plan",
    "/windows.ics",
    "/undo",
    "#watched",
    "page",
    "state ",
    "year-{}-{}",
    "/garden/{garden}{below}",
    "/garden/{garden}/cut/{cut}",
    "risk",
    "nights",
    "heat",
    ":root { color-scheme: light dark }",
    "cid:{cid}",
    "display: inline-block; padding: 0.5em 1em; border: 1px solid; border-radius: 6px; color: inherit; text-decoration: none",
    "border-left: 4px solid {colour}; padding-left: 0.7em; margin: 0 0 1em",
    "font: 16px/1.5 sans-serif; max-width: 36em; margin: 1em auto; padding: 0 1em; overflow-wrap: break-word",
    // The log, the types of the program, what the commands say of wrong use: English.
    "Beside",
    "links",
    "cannot start",
    "-check",
    "nothing is noted of it",
    "noted are: {}",
    " on {day}",
    "no {what}{when} to take back\\n{noted}",
    "allowed: 1 to 100 percent, such as 30%",
    "--year {year} is out of range\\nallowed: {} to {}",
    "none",
    "no {event} at {planting} to take back\\nnoted are: {days}",
    "allowed",
    "no verdict on {}",
];

fn sources(under: &Path) -> Vec<PathBuf> {
    if under.is_file() {
        return vec![under.to_owned()];
    }
    let entries = std::fs::read_dir(under).unwrap();
    let mut found: Vec<PathBuf> = entries
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir() || path.extension().is_some_and(|end| end == "rs"))
        .flat_map(|path| sources(&path))
        .collect();
    found.sort();
    found
}

fn tokens(file: &Path) -> TokenStream {
    let text = std::fs::read_to_string(file).unwrap();
    text.parse()
        .unwrap_or_else(|error| panic!("{}: {error}", file.display()))
}

fn place(file: &Path, line: usize) -> String {
    let name = file.strip_prefix(project()).unwrap_or(file);
    format!("{}:{line}", name.display())
}

/// Every look-up in the program.
pub(super) fn look_ups() -> Vec<LookUp> {
    let mut found = Vec::new();
    for file in sources(&project().join("src")) {
        walk(tokens(&file), &mut |before, group| {
            let [.., TokenTree::Ident(name), TokenTree::Punct(mark)] = before else {
                return;
            };
            if name == "say" && mark.as_char() == '!' {
                let line = group.span_open().start().line;
                found.push(look_up(&place(&file, line), group));
            }
        });
    }
    found
}

/// Calls with each group and the tokens before it, tests left out.
fn walk(tokens: TokenStream, found: &mut dyn FnMut(&[TokenTree], &Group)) {
    let tokens: Vec<TokenTree> = tokens.into_iter().collect();
    for (at, token) in tokens.iter().enumerate() {
        if let TokenTree::Group(group) = token {
            found(&tokens[..at], group);
            if !is_test(&tokens[..at]) {
                walk(group.stream(), found);
            }
        }
    }
}

/// Whether tokens end as a module of tests begins.
fn is_test(before: &[TokenTree]) -> bool {
    let [.., TokenTree::Ident(module), TokenTree::Ident(name)] = before else {
        return false;
    };
    module == "mod" && name == "tests"
}

fn look_up(at: &str, group: &Group) -> LookUp {
    let parts = split(group.stream());
    let [_, id, arguments @ ..] = parts.as_slice() else {
        panic!("{at}: a look-up without an id");
    };
    let [TokenTree::Literal(id)] = id.as_slice() else {
        panic!("{at}: the id of a look-up is a literal");
    };
    let name = |argument: &Vec<TokenTree>| match argument.as_slice() {
        [TokenTree::Ident(name), TokenTree::Punct(is), ..] if is.as_char() == '=' => {
            name.to_string()
        }
        other => panic!("{at}: {other:?} is no argument with a name"),
    };
    LookUp {
        at: at.to_owned(),
        id: text_of(id).unwrap_or_default(),
        arguments: arguments.iter().map(name).collect(),
    }
}

/// What stands between the commas.
fn split(tokens: TokenStream) -> Vec<Vec<TokenTree>> {
    let mut parts = vec![Vec::new()];
    for token in tokens {
        match &token {
            TokenTree::Punct(comma) if comma.as_char() == ',' => parts.push(Vec::new()),
            TokenTree::Punct(_)
            | TokenTree::Group(_)
            | TokenTree::Ident(_)
            | TokenTree::Literal(_) => parts.last_mut().unwrap().push(token),
        }
    }
    parts.retain(|part| !part.is_empty());
    parts
}

/// The text of a string literal.
fn text_of(literal: &Literal) -> Option<String> {
    let written = literal.to_string();
    let inner = written.strip_prefix('"')?.strip_suffix('"')?;
    let mut text = String::new();
    let mut lines = inner.split("\\\n");
    text.push_str(lines.next()?);
    // A line that ends with a backslash goes on at the first sign of the next.
    lines.for_each(|line| text.push_str(line.trim_start()));
    Some(text.replace("\\\"", "\""))
}

/// Literals of the spoken files that hold words, each with its place.
pub(super) fn words_left() -> Vec<String> {
    let mut left = Vec::new();
    let mut known: BTreeSet<&str> = NO_WORDS.iter().copied().collect();
    for part in SPOKEN {
        let files = sources(&project().join(part));
        let is_markup = |file: &PathBuf| MARKUP.iter().any(|end| file.ends_with(end));
        for file in files.into_iter().filter(|file| !is_markup(file)) {
            for (line, text) in literals(tokens(&file)) {
                let found = NO_WORDS.iter().find(|words| **words == text);
                if let Some(found) = found {
                    known.remove(found);
                } else if speaks(&text) {
                    left.push(format!("{}: {text:?}", place(&file, line)));
                }
            }
        }
    }
    left.extend(
        known
            .iter()
            .map(|words| format!("{words:?} stands nowhere any more")),
    );
    left
}

/// The string literals with their lines; attributes, tests and the ids of look-ups left out.
fn literals(tokens: TokenStream) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    let tokens: Vec<TokenTree> = tokens.into_iter().collect();
    let mut after_say = false;
    for (at, token) in tokens.iter().enumerate() {
        let before = &tokens[..at];
        match token {
            TokenTree::Literal(_) if is_value(before) => {}
            TokenTree::Literal(literal) => {
                let line = literal.span().start().line;
                found.extend(text_of(literal).map(|text| (line, text)));
            }
            TokenTree::Group(group) if is_attribute(before, group) || is_test(before) => {}
            TokenTree::Group(group) => {
                let mut inner = literals(group.stream());
                if after_say && !inner.is_empty() {
                    inner.remove(0);
                }
                found.extend(inner);
            }
            TokenTree::Ident(_) | TokenTree::Punct(_) => {}
        }
        let ends_as_say = matches!(
            &tokens[..=at],
            [.., TokenTree::Ident(name), TokenTree::Punct(mark)] if name == "say" && mark.as_char() == '!'
        );
        after_say = ends_as_say;
    }
    found
}

fn is_attribute(before: &[TokenTree], group: &Group) -> bool {
    let is = |token: &TokenTree, sign| matches!(token, TokenTree::Punct(punct) if punct.as_char() == sign);
    group.delimiter() == Delimiter::Bracket
        && match before {
            [.., first, second] if is(second, '!') => is(first, '#'),
            [.., last] => is(last, '#'),
            [] => false,
        }
}

/// Whether what follows is the value of an attribute that nobody reads.
fn is_value(before: &[TokenTree]) -> bool {
    let [.., TokenTree::Ident(name), TokenTree::Punct(is)] = before else {
        return false;
    };
    is.as_char() == '=' && ATTRIBUTES.contains(&name.to_string().as_str())
}

/// Whether a literal holds a word of a language: placeholders, codes and markup are none.
fn speaks(text: &str) -> bool {
    let mut plain = String::new();
    let mut depth = 0_u32;
    for sign in text.chars() {
        match sign {
            '{' => depth += 1,
            '}' => depth = depth.saturating_sub(1),
            sign if depth == 0 => plain.push(sign),
            _ => {}
        }
    }
    plain
        .split(|sign: char| !sign.is_alphabetic())
        .any(|word| word.chars().count() > 1)
}

#[test]
fn words_in_literals_are_seen_and_codes_in_attributes_are_not() {
    let of = |text: &str| {
        let left = literals(text.parse().unwrap());
        left.into_iter().map(|(_, text)| text).collect::<Vec<_>>()
    };
    assert_eq!(
        of("#[doc = \"words\"] fn f() { g(\"{x} and {y}\") }"),
        ["{x} and {y}"]
    );
    assert!(of("say!(locale, \"some-id\", x = y)").is_empty());
    assert_eq!(of("say!(locale, \"some-id\", x = \"words\")"), ["words"]);
    assert!(of("mod tests { fn f() { g(\"words\") } }").is_empty());
    assert!(speaks("{x} and {y}") && speaks("Übersicht") && !speaks("{name}: {x} -> %"));
}

//! The translation files: every language has every text, every text is used, no text for the keeper stands elsewhere.

mod german;
mod source;

use std::collections::{BTreeMap, BTreeSet};

use fluent_syntax::ast;
use fluent_syntax::parser;

use crate::support::project;

const LANGUAGES: [&str; 2] = ["en", "de"];

/// What a text asks for, and what it chooses by.
#[derive(Debug, Default, Clone, PartialEq, Eq)]
struct Text {
    /// The names of its arguments.
    variables: BTreeSet<String>,
    /// The numbers among its variants: those of months and days of the week have to be whole in every language.
    numbers: BTreeSet<String>,
    /// Its fixed words, as far as they stand together.
    words: Vec<String>,
}

/// The files of a language by name, with their text.
fn files(language: &str) -> BTreeMap<String, String> {
    let folder = project().join("config/words").join(language);
    let mut files = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|end| end == "ftl") {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            files.insert(name, std::fs::read_to_string(path).unwrap());
        }
    }
    assert!(files.len() > 5, "no files of {language}");
    files
}

/// The texts of some files by id, and what is wrong with the files.
fn texts(files: &BTreeMap<String, String>) -> (BTreeMap<String, Text>, Vec<String>) {
    let (mut texts, mut wrong) = (BTreeMap::new(), Vec::new());
    for (file, content) in files {
        let resource = match parser::parse(content.as_str()) {
            Ok(resource) => resource,
            Err((resource, errors)) => {
                wrong.extend(errors.iter().map(|error| format!("{file}: {error}")));
                resource
            }
        };
        for entry in &resource.body {
            match entry {
                ast::Entry::Message(message) => {
                    let id = message.id.name.to_owned();
                    let Some(pattern) = &message.value else {
                        wrong.push(format!("{file}: {id} says nothing"));
                        continue;
                    };
                    let mut text = Text::default();
                    text.take(pattern);
                    if !message.attributes.is_empty() {
                        wrong.push(format!("{file}: {id} has attributes, which nobody reads"));
                    }
                    if texts.insert(id.clone(), text).is_some() {
                        wrong.push(format!("{file}: {id} is there twice"));
                    }
                }
                ast::Entry::Term(term) => {
                    wrong.push(format!("{file}: -{} is a term", term.id.name));
                }
                ast::Entry::Junk { content } => {
                    wrong.push(format!("{file}: cannot be read: {content}"));
                }
                ast::Entry::Comment(_)
                | ast::Entry::GroupComment(_)
                | ast::Entry::ResourceComment(_) => {}
            }
        }
    }
    (texts, wrong)
}

impl Text {
    fn take(&mut self, pattern: &ast::Pattern<&str>) {
        let mut words = String::new();
        for element in &pattern.elements {
            match element {
                ast::PatternElement::TextElement { value } => {
                    words.push_str(&value.replace('\n', " "));
                }
                ast::PatternElement::Placeable { expression } => {
                    self.words.push(std::mem::take(&mut words));
                    self.expression(expression);
                }
            }
        }
        self.words.push(words);
        self.words.retain(|words| !words.trim().is_empty());
    }

    fn expression(&mut self, expression: &ast::Expression<&str>) {
        match expression {
            ast::Expression::Inline(inline) => self.inline(inline),
            ast::Expression::Select { selector, variants } => {
                self.inline(selector);
                for variant in variants {
                    if let ast::VariantKey::NumberLiteral { value } = variant.key {
                        self.numbers.insert(value.to_owned());
                    }
                    self.take(&variant.value);
                }
            }
        }
    }

    fn inline(&mut self, inline: &ast::InlineExpression<&str>) {
        match inline {
            ast::InlineExpression::VariableReference { id } => {
                self.variables.insert(id.name.to_owned());
            }
            ast::InlineExpression::Placeable { expression } => self.expression(expression),
            ast::InlineExpression::StringLiteral { .. }
            | ast::InlineExpression::NumberLiteral { .. } => {}
            ast::InlineExpression::FunctionReference { .. }
            | ast::InlineExpression::MessageReference { .. }
            | ast::InlineExpression::TermReference { .. } => {
                panic!("{inline:?} is not used in these files")
            }
        }
    }
}

/// What one language's texts lack of another's.
fn lacks(has: &BTreeMap<String, Text>, other: &BTreeMap<String, Text>) -> Vec<String> {
    let compare = |(id, text): (&String, &Text)| match other.get(id) {
        None => Some(format!("{id} is missing")),
        Some(same) if same.variables != text.variables => Some(format!(
            "{id} has the variables {:?} and not {:?}",
            same.variables, text.variables
        )),
        Some(same) if same.numbers != text.numbers => Some(format!(
            "{id} has the variants {:?} and not {:?}",
            same.numbers, text.numbers
        )),
        Some(_) => None,
    };
    has.iter().filter_map(compare).collect()
}

fn read(language: &str) -> BTreeMap<String, Text> {
    let (texts, wrong) = texts(&files(language));
    assert!(wrong.is_empty(), "{language}:\n{}", wrong.join("\n"));
    texts
}

#[test]
fn every_language_has_every_text_with_the_same_variables() {
    let english = read("en");
    for language in LANGUAGES {
        let texts = read(language);
        let mut wrong = lacks(&english, &texts);
        wrong.extend(
            lacks(&texts, &english)
                .iter()
                .map(|lack| format!("en: {lack}")),
        );
        assert!(wrong.is_empty(), "{language}:\n{}", wrong.join("\n"));
    }
    let embedded = std::fs::read_to_string(project().join("src/locale/texts.rs")).unwrap();
    for language in LANGUAGES {
        for file in files(language).keys() {
            assert!(
                embedded.contains(&format!("\"/{file}\"")),
                "{file} is not built in"
            );
        }
    }
}

#[test]
fn no_german_text_is_the_english_one() {
    let english = read("en");
    let is_sentence = |text: &Text| text.words.iter().any(|words| words.trim().contains(' '));
    // Names are the same in every language.
    let is_name = |id: &str| ["almanac-zone-7", "source-met-norway"].contains(&id);
    let copied = read("de").into_iter().filter(|(id, text)| {
        is_sentence(text)
            && !is_name(id)
            && english.get(id).is_some_and(|same| same.words == text.words)
    });
    let copied: Vec<String> = copied.map(|(id, _)| id).collect();
    assert!(copied.is_empty(), "{copied:?}");
}

#[test]
fn a_gap_or_another_variable_is_seen() {
    let of = |text: &str| {
        let (texts, wrong) = texts(&BTreeMap::from([("a.ftl".to_owned(), text.to_owned())]));
        assert!(wrong.is_empty(), "{wrong:?}");
        texts
    };
    let english = of("a = one { $x }\nb = two\n");
    assert_eq!(lacks(&english, &of("a = eins { $x }\n")), ["b is missing"]);
    assert_eq!(lacks(&english, &of("a = eins { $y }\nb = zwei\n")).len(), 1);
    assert!(lacks(&english, &of("b = zwei\na =\n    { $x }\n    eins\n")).is_empty());
    let twice = BTreeMap::from([("a.ftl".to_owned(), "a = one\na = two\n{ x\n".to_owned())]);
    assert!(texts(&twice).1.len() >= 2);
}

#[test]
fn every_look_up_names_a_text_with_its_arguments_and_every_text_is_looked_up() {
    let english = read("en");
    let mut wrong = Vec::new();
    let mut used = BTreeSet::new();
    for call in source::look_ups() {
        used.insert(call.id.clone());
        match english.get(&call.id) {
            None => wrong.push(format!("{}: there is no text {}", call.at, call.id)),
            Some(text) if text.variables != call.arguments => wrong.push(format!(
                "{}: {} has the variables {:?} and is given {:?}",
                call.at, call.id, text.variables, call.arguments
            )),
            Some(_) => {}
        }
    }
    assert!(used.len() > 300, "the look-ups were not found");
    let unused = english.keys().filter(|id| !used.contains(*id));
    wrong.extend(unused.map(|id| format!("{id} is looked up nowhere")));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_words_for_the_keeper_stand_in_the_program() {
    let found = source::words_left();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

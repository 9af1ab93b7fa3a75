//! The rules of the house that a compiler does not check: direction of imports, module docs, lengths, listed files.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::support::project;

/// The modules from the bottom of the river to the top; those on one floor do not know each other.
const FLOORS: [&[&str]; 19] = [
    &["units"],
    &["science", "locale"],
    &["almanac"],
    &["garden"],
    &["forecast", "climate", "thermometer", "link"],
    &["outlook"],
    &["risk", "events", "work"],
    &["foresight"],
    &["rules"],
    &["verdict", "watch", "plan"],
    &["notice", "look"],
    &["picture"],
    &["message"],
    &["backtest"],
    &["rehearsal"],
    &["config", "weather", "mail", "store", "web"],
    &["daemon"],
    &["cli"],
    &["main", "lib"],
];

const LINES_MAX: usize = 400;

/// The lines that every formula's doc comment has, in this order.
const FORMULA_LINES: [&str; 5] = [
    "- Shape:",
    "- Unit:",
    "- Domain:",
    "- Accuracy:",
    "- Source:",
];

fn files() -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![project().join("src")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                found.push(path);
            }
        }
    }
    assert!(found.len() > 40, "the sources were not found");
    found.sort();
    found
}

fn floor_of(module: &str) -> usize {
    FLOORS
        .iter()
        .position(|floor| floor.contains(&module))
        .unwrap_or_else(|| panic!("{module} is on no floor"))
}

/// The first-rank module of a file, such as `risk` for src/risk/sum.rs.
fn module_of(file: &Path) -> String {
    let inside = file.strip_prefix(project().join("src")).unwrap();
    let first = inside
        .components()
        .next()
        .unwrap()
        .as_os_str()
        .to_string_lossy()
        .into_owned();
    first.trim_end_matches(".rs").to_owned()
}

/// Lines of code, without comments.
fn code_lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines()
        .enumerate()
        .map(|(at, line)| (at + 1, line))
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
}

/// The modules of the crate that a line names, by `crate::name` or `super` of a first-rank file.
fn named_modules(line: &str) -> Vec<&str> {
    line.split("crate::")
        .skip(1)
        .map(|rest| {
            rest.split(|c: char| !c.is_alphanumeric() && c != '_')
                .next()
                .unwrap_or("")
        })
        .filter(|name| !name.is_empty())
        .collect()
}

/// Lines of a module's texts, each with its name, that import from a floor that is not below their own.
fn wrong_imports(module: &str, texts: &[(String, String)]) -> Vec<String> {
    let mut wrong = Vec::new();
    for (name, text) in texts {
        for (at, line) in code_lines(text) {
            let others = named_modules(line).into_iter();
            let too_high =
                others.filter(|other| *other != module && floor_of(other) >= floor_of(module));
            wrong.extend(
                too_high.map(|other| format!("{name}:{at}: {module} must not know {other}")),
            );
        }
    }
    wrong
}

#[test]
fn imports_go_down_the_river_only() {
    let mut by_module: BTreeMap<String, Vec<(String, String)>> = BTreeMap::new();
    for file in files() {
        let text = std::fs::read_to_string(&file).unwrap();
        by_module
            .entry(module_of(&file))
            .or_default()
            .push((file.display().to_string(), text));
    }
    let wrong: Vec<String> = by_module
        .iter()
        .flat_map(|(module, texts)| wrong_imports(module, texts))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_import_check_sees_a_wrong_import() {
    let wrong = |module: &str, line: &str| {
        wrong_imports(module, &[("f.rs".to_owned(), line.to_owned())]).len()
    };
    assert_eq!(wrong("risk", "use crate::verdict::State;"), 1);
    assert_eq!(wrong("mail", "let x = crate::store::Store::open();"), 1);
    assert_eq!(wrong("verdict", "use crate::risk::Risk;"), 0);
    assert_eq!(wrong("risk", "// see crate::verdict"), 0);
}

#[test]
fn the_pure_part_touches_nothing_outside() {
    let outside = [
        "std::fs",
        "std::net",
        "std::env",
        "tokio",
        "reqwest",
        "rusqlite",
        "lettre::",
        "tracing::",
        "async fn",
    ];
    let edge = floor_of("config");
    for file in files()
        .into_iter()
        .filter(|file| floor_of(&module_of(file)) < edge)
    {
        let text = std::fs::read_to_string(&file).unwrap();
        for (at, line) in code_lines(&text) {
            let found = outside.iter().find(|word| line.contains(**word));
            assert!(
                found.is_none(),
                "{}:{at}: {found:?} belongs to an edge",
                file.display()
            );
        }
    }
}

#[test]
fn every_file_opens_with_what_it_is_and_stays_short() {
    for file in files() {
        let text = std::fs::read_to_string(&file).unwrap();
        assert!(
            text.starts_with("//! "),
            "{} has no module doc",
            file.display()
        );
        let lines = text.lines().count();
        assert!(
            lines <= LINES_MAX,
            "{} has {lines} lines, more than {LINES_MAX}",
            file.display()
        );
    }
}

#[test]
fn every_stage_says_what_comes_in_and_what_it_does_not_do() {
    for file in files()
        .into_iter()
        .filter(|file| file.parent() == Some(&project().join("src")))
    {
        let module = module_of(&file);
        if ["main", "lib"].contains(&module.as_str()) {
            continue;
        }
        let text = std::fs::read_to_string(&file).unwrap();
        let doc: String = text
            .lines()
            .take_while(|line| line.starts_with("//!"))
            .collect();
        for word in ["In: ", "Out: "] {
            assert!(
                doc.contains(word),
                "{module}: its doc does not say \"{word}\""
            );
        }
        let limits = [
            "Does not",
            "Do not",
            "Knows",
            "Computes nothing",
            "has no",
            "Has no",
            "do not know",
        ];
        assert!(
            limits.iter().any(|word| doc.contains(word)),
            "{module}: its doc does not say what it does not do"
        );
    }
}

#[test]
fn every_file_is_listed_by_its_parent() {
    for file in files() {
        let name = file.file_stem().unwrap().to_string_lossy().into_owned();
        if ["main", "lib"].contains(&name.as_str()) {
            continue;
        }
        let folder = file.parent().unwrap();
        let parent = if folder == project().join("src") {
            project().join("src/lib.rs")
        } else {
            folder.with_extension("rs")
        };
        let text = std::fs::read_to_string(&parent).unwrap_or_default();
        assert!(
            text.contains(&format!("mod {name};")),
            "{} is not listed in {}",
            file.display(),
            parent.display()
        );
    }
}

#[test]
fn every_formula_states_shape_unit_domain_accuracy_and_source() {
    for file in files()
        .into_iter()
        .filter(|file| module_of(file) == "science")
    {
        let text = std::fs::read_to_string(&file).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        for (at, line) in lines
            .iter()
            .enumerate()
            .filter(|(_, line)| line.starts_with("pub fn "))
        {
            let doc: Vec<&str> = lines[..at]
                .iter()
                .rev()
                .take_while(|line| line.starts_with("///"))
                .copied()
                .collect();
            for label in FORMULA_LINES {
                assert!(
                    doc.iter().any(|line| line.contains(label)),
                    "{}: {line} has no \"{label}\"",
                    file.display()
                );
            }
        }
    }
}

#[test]
fn the_top_level_holds_what_belongs_there() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE-MIT",
        "LICENSE-APACHE",
        "src",
        "config",
        "tests",
        "deploy",
        "target",
    ];
    for entry in std::fs::read_dir(project()).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        assert!(
            name.starts_with('.') || allowed.contains(&name.as_str()),
            "{name} does not belong at the top level"
        );
    }
}

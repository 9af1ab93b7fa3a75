//! What is wrong in a data file, and exactly where.

use std::ops::Range;

use thiserror::Error;

use super::load::DataFile;
use super::search::{list, nearest};

/// A data file that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("cannot read {file}, line {line}, column {column}, {row}key '{key}': {what}")]
pub struct AlmanacError {
    /// Which file.
    pub file: String,
    /// Which line, counted from 1.
    pub line: usize,
    /// Which column, counted from 1.
    pub column: usize,
    /// Which row, such as `kind 'boxwood', cut 'shear', `; empty outside of any row.
    pub row: String,
    /// Which key.
    pub key: String,
    /// What was found, what is allowed, and the nearest spelling.
    pub what: String,
}

/// The rows of a data file: how their header and the line with their name begin, and what a row is called.
const ROWS: [(&str, &str, &str); 4] = [
    ("[[kind]]", "id", "kind"),
    ("[[kind.cut]]", "cut", "cut"),
    ("[[tender]]", "id", "tender class"),
    ("[[source]]", "id", "source"),
];

impl AlmanacError {
    /// The error of a value that the checks refuse.
    pub(super) fn at(file: &DataFile<'_>, span: &Range<usize>, key: &str, what: String) -> Self {
        let before = file.text.get(..span.start).unwrap_or(file.text);
        Self {
            file: file.name.to_owned(),
            line: before.matches('\n').count() + 1,
            column: before.chars().rev().take_while(|c| *c != '\n').count() + 1,
            row: row(file.text, span.start),
            key: key.to_owned(),
            what,
        }
    }

    /// The error of a name that is none of the allowed ones.
    pub(super) fn unknown<'a>(
        file: &DataFile<'_>,
        found: &toml::Spanned<String>,
        (key, what): (&str, &str),
        allowed: impl IntoIterator<Item = &'a str>,
    ) -> Self {
        let allowed: Vec<&str> = allowed.into_iter().collect();
        let text = format!("no {what}{}", instead(found.get_ref(), &allowed));
        Self::at(file, &found.span(), key, text)
    }

    /// The error of a file that does not have the form of a data file.
    pub(super) fn form(file: &DataFile<'_>, error: &toml::de::Error) -> Self {
        let span = error.span().unwrap_or(0..0);
        let message = error.message().trim_end_matches(['\n', '.']);
        let quoted: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
        let is_name = message.starts_with("unknown ");
        let (key, what) = match quoted.split_first() {
            Some((found, allowed)) if is_name => {
                let what = message.split('`').next().unwrap_or("unknown key ");
                let text = format!("{}{}", what.trim_end(), instead(found, allowed));
                (key_at(file.text, span.start), text)
            }
            Some((missing, [])) if message.starts_with("missing field") => {
                (*missing, "it is missing".to_owned())
            }
            Some(_) | None => (key_at(file.text, span.start), message.replace('`', "'")),
        };
        Self::at(file, &span, key, what)
    }
}

/// What was found, what is allowed, and the allowed name nearest to it.
fn instead(found: &str, allowed: &[&str]) -> String {
    let hint = nearest(found, allowed.iter().copied());
    let hint = hint.map_or_else(String::new, |name| format!("; did you mean '{name}'?"));
    format!(" '{found}'; allowed: {}{hint}", list(allowed))
}

/// The key on the line of a position.
fn key_at(text: &str, position: usize) -> &str {
    let start = text
        .get(..position)
        .and_then(|before| before.rfind('\n'))
        .map_or(0, |line_end| line_end + 1);
    let line = text.get(start..).and_then(|rest| rest.lines().next());
    let written = line.unwrap_or_default().split('=').next();
    written.unwrap_or_default().trim().trim_matches(['[', ']'])
}

/// The names of the rows that hold a position, outermost first.
fn row(text: &str, position: usize) -> String {
    let mut names = Vec::new();
    let mut from = 0;
    for (header, key, what) in ROWS {
        let Some(start) = last_header(text, header, position).filter(|start| *start >= from) else {
            continue;
        };
        if header.contains('.') && has_header(text.get(start + 1..position)) {
            continue;
        }
        if !header.contains('.') {
            from = start;
            names.clear();
        }
        if let Some(name) = name_in(text.get(start..).unwrap_or_default(), key) {
            names.push(format!("{what} '{name}', "));
        }
    }
    names.concat()
}

/// Where the last line with a header starts that is not after a position.
fn last_header(text: &str, header: &str, position: usize) -> Option<usize> {
    let line = text
        .get(position..)
        .and_then(|rest| rest.find('\n'))
        .map_or(text.len(), |end| position + end);
    text.get(..line)?
        .rmatch_indices(header)
        .map(|(start, _)| start)
        .find(|start| *start == 0 || text.get(..*start).is_some_and(|t| t.ends_with('\n')))
}

fn has_header(text: Option<&str>) -> bool {
    text.is_some_and(|text| text.contains("\n["))
}

/// The name that a row gives itself on the first line that begins with a key.
fn name_in<'a>(row: &'a str, key: &str) -> Option<&'a str> {
    row.lines()
        .skip(1)
        .take_while(|line| !line.starts_with('['))
        .find_map(|line| line.strip_prefix(key)?.trim_start().strip_prefix('='))
        .map(|value| value.trim().trim_matches('"'))
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "[[kind]]\nid = \"box\"\n\n[[kind.cut]]\ncut = \"shear\"\nhow = \"\"\n\n[[kind]]\nid = \"yew\"\n";

    fn position(of: &str) -> usize {
        TEXT.find(of).unwrap()
    }

    #[test]
    fn a_position_knows_its_kind_and_cut() {
        assert_eq!(row(TEXT, position("how")), "kind 'box', cut 'shear', ");
        assert_eq!(row(TEXT, position("id = \"box")), "kind 'box', ");
        assert_eq!(row(TEXT, position("\"yew")), "kind 'yew', ");
        assert_eq!(row(TEXT, 0), "kind 'box', ");
        assert_eq!(row("# nothing\n", 3), "");
    }

    #[test]
    fn a_position_knows_its_line_column_and_key() {
        let file = DataFile {
            name: "some.toml",
            text: TEXT,
        };
        let start = position("\"\"\n");
        let error = AlmanacError::at(&file, &(start..start), "how", "it is empty".to_owned());
        assert_eq!((error.line, error.column), (6, 7));
        assert_eq!(key_at(TEXT, start), "how");
        assert_eq!(
            error.to_string(),
            "cannot read some.toml, line 6, column 7, kind 'box', cut 'shear', key 'how': it is empty"
        );
    }
}

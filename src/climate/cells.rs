//! Lines of a table taken apart into cells.

/// What stands between two cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Separator {
    Comma,
    Semicolon,
    Tab,
    /// Any number of blanks; a cell cannot be empty.
    Blanks,
}

impl Separator {
    /// What a header uses; where numbers have a decimal comma, something else stands between cells.
    pub(super) fn of(header: &str) -> Self {
        if header.contains(';') {
            Self::Semicolon
        } else if header.contains('\t') {
            Self::Tab
        } else if header.contains(',') {
            Self::Comma
        } else {
            Self::Blanks
        }
    }

    /// The cells of a line without their quotes and the blanks around them; none when a quote does not end.
    pub(super) fn cells(self, line: &str) -> Option<Vec<&str>> {
        let mut quoted = false;
        let ends_cell = |c: char| {
            quoted ^= c == '"';
            !quoted && self.is(c)
        };
        let cells = line
            .split(ends_cell)
            .map(|cell| cell.trim().trim_matches('"').trim());
        let cells = match self {
            Self::Comma | Self::Semicolon | Self::Tab => cells.collect(),
            Self::Blanks => cells.filter(|cell| !cell.is_empty()).collect(),
        };
        (!quoted).then_some(cells)
    }

    fn is(self, c: char) -> bool {
        match self {
            Self::Comma => c == ',',
            Self::Semicolon => c == ';',
            Self::Tab => c == '\t',
            Self::Blanks => c.is_whitespace(),
        }
    }
}

/// The lines that are not blank, counted from 1, without a byte order mark.
pub(super) fn lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let text = text.trim_start_matches('\u{feff}');
    (1..)
        .zip(text.lines())
        .filter(|(_, line)| !line.trim().is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_header_tells_its_separator() {
        for (header, separator) in [
            ("date,tmin,tmax", Separator::Comma),
            ("date;tmin, °C;tmax, °C", Separator::Semicolon),
            ("date\ttmin (°C)\ttmax (°C)", Separator::Tab),
            ("Day  Month Year  Tmin(C)", Separator::Blanks),
        ] {
            assert_eq!(Separator::of(header), separator, "{header}");
        }
    }

    #[test]
    fn cells_lose_quotes_and_blanks_but_no_gap() {
        assert_eq!(
            Separator::Comma.cells("\"Long Meadow, north\", 1.5 ,,\"\""),
            Some(vec!["Long Meadow, north", "1.5", "", ""])
        );
        assert_eq!(Separator::Tab.cells("1\t\t 2"), Some(vec!["1", "", "2"]));
        assert_eq!(Separator::Blanks.cells("  1 \t 2  "), Some(vec!["1", "2"]));
        assert_eq!(Separator::Comma.cells("a,\"b,c"), None);
    }

    #[test]
    fn lines_keep_their_number() {
        let found: Vec<_> = lines("\u{feff}a\r\n\n  \nb").collect();
        assert_eq!(found, [(1, "a"), (4, "b")]);
    }
}

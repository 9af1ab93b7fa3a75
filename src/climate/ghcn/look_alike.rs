//! Files that lie beside a station's `.dly` file or are taken for it.

use super::LINE_MIN;

/// What the text is, if it is one of them.
pub(super) fn of(text: &str) -> Option<&'static str> {
    let mut lines = text.lines().filter(|line| !line.trim().is_empty());
    let first = lines.next()?.trim_start_matches('\u{feff}').trim_start();
    if first.starts_with('\u{1f}') {
        return Some("a compressed file");
    }
    if first.starts_with(['{', '[']) {
        return Some("JSON, such as a reply of an archive service");
    }
    if first.starts_with('<') {
        return Some("a web page");
    }
    if first.contains(',') {
        return Some(comma_separated(first, lines.next().unwrap_or_default()));
    }
    let column = |from: usize, to: usize| first.get(from..to).unwrap_or_default().trim();
    let is_number = |text: &str| text.parse::<f64>().is_ok();
    if first.len() < LINE_MIN && is_number(column(12, 20)) && is_number(column(21, 30)) {
        return Some("the list of stations or their inventory");
    }
    None
}

fn comma_separated(first: &str, second: &str) -> &'static str {
    let cells = |line: &str| -> Vec<String> {
        line.split(',')
            .map(|cell| cell.trim_matches(['"', ' ']).to_ascii_lowercase())
            .collect()
    };
    let (header, row) = (cells(first), cells(second));
    let has = |name: &str| header.iter().any(|cell| cell == name);
    let is_month = |cell: &String| cell.len() == 7 && cell.get(4..5) == Some("-");
    let is_date = |cell: &String| cell.len() == 8 && cell.bytes().all(|b| b.is_ascii_digit());
    if header.get(1).is_some_and(is_date) || row.get(1).is_some_and(is_date) {
        "the comma-separated by_station form of GHCN-Daily"
    } else if has("date") && row.iter().any(is_month) {
        "a comma-separated summary by months"
    } else if has("tmin") || has("tmin_attributes") {
        "a comma-separated table of days with a column an element"
    } else if has("date") && (has("attr") || has("value")) {
        "a comma-separated extract with a row a value"
    } else {
        "a comma-separated table"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn look_alikes_are_named() {
        let looks_like = |text: &str, what: &str| {
            assert_eq!(of(text), Some(what));
        };
        looks_like(
            "\"STATION\",\"DATE\",\"TMAX\",\"TMIN\"\n\"XX000000001\",\"1869-01\",\"6\",\"1\"\n",
            "a comma-separated summary by months",
        );
        looks_like(
            "\"STATION\",\"DATE\",\"TMIN\",\"TMIN_ATTRIBUTES\"\n\"XX000000001\",\"1869-01-01\",\"6\",\",,Z\"\n",
            "a comma-separated table of days with a column an element",
        );
        let by_station = "the comma-separated by_station form of GHCN-Daily";
        looks_like("XX000000001,20240101,TMIN,-22,,,C,0700\n", by_station);
        looks_like(
            "ID,DATE,ELEMENT,DATA_VALUE\nXX000000001,20240101,TMIN,-22\n",
            by_station,
        );
        looks_like(
            "date,attr,value,a,b\n2024-01-01,TMIN,-22,,\n",
            "a comma-separated extract with a row a value",
        );
        looks_like("a,b\n1,2\n", "a comma-separated table");
        looks_like(
            "{\"daily\":{}}",
            "JSON, such as a reply of an archive service",
        );
        looks_like("<!DOCTYPE html>", "a web page");
        looks_like(
            "XX000000001  17.1167  -61.7833   10.1    INVENTED PLACE\n",
            "the list of stations or their inventory",
        );
    }
}

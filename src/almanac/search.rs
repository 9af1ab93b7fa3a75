//! Names as people write them: the nearest spelling of one, and the kinds that one may mean.

use std::sync::Arc;

use super::{Almanac, GermanNames, Kind, german_names};

/// How alike two spellings have to be for one to be offered for the other (own trials with misspelt plant names;
/// estimate).
const NEAR: f64 = 0.6;

/// How alike two words have to be to count as the same one (estimate).
const SAME_WORD: f64 = 0.7;

/// The share of what was written that a name has to answer to be a hit: more than one of two words (estimate).
const ANSWERED: f64 = 0.6;

/// Letters from which on the beginning of a word stands for the word.
const BEGINNING: usize = 3;

/// What a beginning counts as, against 1 for the whole word (estimate).
const BEGINNING_WORTH: f64 = 0.9;

/// Letters from which on the end of a German compound stands for the word: Rose in Kletterrose.
const END: usize = 4;

/// What such an end counts as (estimate).
const END_WORTH: f64 = 0.8;

/// So many letters of what was written are enough to tell which name is meant (estimate).
const NAME_MAX: usize = 64;

/// The candidate nearest to what was written, if one is near enough to be meant.
///
/// Case does not matter, nor does the order of the words: `hydrangea-smooth` is near `smooth-hydrangea`.
pub fn nearest<'a>(
    written: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let written = words(written);
    candidates
        .into_iter()
        .map(|candidate| (likeness(&written, &words(candidate)), candidate))
        .filter(|(likeness, _)| *likeness >= NEAR)
        // The first of equals, where `max_by` would take the last.
        .reduce(|best, next| if next.0 > best.0 { next } else { best })
        .map(|(_, candidate)| candidate)
}

/// Names in quotes with commas between them.
pub(super) fn list(names: &[&str]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("'{name}'")).collect();
    quoted.join(", ")
}

impl Almanac {
    /// The kinds that may be meant, the most likely first; spelling, case and order of words may be off.
    pub fn search(&self, written: &str) -> Vec<&Arc<Kind>> {
        let written = words(written);
        let mut hits: Vec<(f64, &Arc<Kind>)> = self
            .kinds
            .iter()
            .map(|kind| (answer(&written, kind), kind))
            .filter(|(answered, _)| *answered >= ANSWERED)
            .collect();
        hits.sort_by(|(a, _), (b, _)| b.total_cmp(a));
        hits.into_iter().map(|(_, kind)| kind).collect()
    }

    /// All kinds, those first whose names have the word likest to what was written, near or not.
    pub fn alike(&self, written: &str) -> Vec<&Arc<Kind>> {
        let written: String = plain(written).chars().take(NAME_MAX).collect();
        let likest = |kind: &Kind| {
            let names = names(kind)
                .chain(german(kind))
                .flat_map(|name| words(name))
                .map(|word| strsim::jaro_winkler(&written, &word));
            names.fold(0.0, f64::max)
        };
        let mut all: Vec<(f64, &Arc<Kind>)> =
            self.kinds.iter().map(|kind| (likest(kind), kind)).collect();
        all.sort_by(|(a, _), (b, _)| b.total_cmp(a));
        all.into_iter().map(|(_, kind)| kind).collect()
    }
}

impl Kind {
    /// Whether that is one of its everyday names, in either language; case does not matter.
    pub fn is_called(&self, written: &str) -> bool {
        self.has(written) || self.german_with(written).is_some()
    }

    /// Its everyday name in the language in which it was called.
    pub fn called(&self, written: &str) -> &str {
        match self.german_with(written) {
            Some(german) if !self.has(written) => &german.common,
            Some(_) | None => &self.common,
        }
    }

    fn has(&self, written: &str) -> bool {
        let mut names = std::iter::once(&self.common).chain(&self.also);
        names.any(|name| same(name, written))
    }

    /// Its German names, if that is one of them.
    fn german_with(&self, written: &str) -> Option<&'static GermanNames> {
        german_names(&self.id).filter(|names| names.all().any(|name| same(name, written)))
    }
}

/// Whether two names differ in case alone, blanks around them aside.
pub(super) fn same(name: &str, written: &str) -> bool {
    let written = written.trim();
    // Hundreds of names are asked whenever the almanac is read: most differ in their first letter.
    let first = |text: &str| text.chars().next().map(char::to_lowercase);
    let is_alike = match (first(name), first(written)) {
        (Some(one), Some(other)) => one.eq(other),
        (one, other) => one.is_none() && other.is_none(),
    };
    is_alike && name.to_lowercase() == written.to_lowercase()
}

/// Every name of a kind but the German ones.
fn names(kind: &Kind) -> impl Iterator<Item = &String> {
    [&kind.id, &kind.botanical, &kind.common]
        .into_iter()
        .chain(&kind.also)
}

/// The German names of a kind.
fn german(kind: &Kind) -> impl Iterator<Item = &String> {
    german_names(&kind.id)
        .into_iter()
        .flat_map(GermanNames::all)
}

/// How well the best of a kind's names answers to what was written.
fn answer(written: &[String], kind: &Kind) -> f64 {
    let other = names(kind).map(|name| answer_of(written, &words(name), word_worth));
    let german = german(kind).map(|name| answer_of(written, &words(name), compound_worth));
    other.chain(german).fold(0.0, f64::max)
}

/// The share of the written words that a name has, less a little for each word of the name that was not written.
fn answer_of(written: &[String], name: &[String], word_worth: fn(&str, &str) -> f64) -> f64 {
    if written.is_empty() {
        return 0.0;
    }
    let worth = |word: &String| {
        let best = name.iter().map(|other| word_worth(word, other));
        best.fold(0.0, f64::max)
    };
    let found = written.iter().map(worth).sum::<f64>() / crate::units::count(written.len());
    let surplus = crate::units::count(name.len().saturating_sub(written.len()));
    found - 0.01 * surplus
}

/// What a word of a name counts as for a written word; nothing when it is another word.
fn word_worth(written: &str, word: &str) -> f64 {
    let alike = alike_from(SAME_WORD, written, word);
    if written.chars().count() >= BEGINNING && word.starts_with(written) {
        return alike.max(BEGINNING_WORTH);
    }
    if alike >= SAME_WORD { alike } else { 0.0 }
}

/// The same for a word of a German name, whose end is a word of its own.
fn compound_worth(written: &str, word: &str) -> f64 {
    let is_end_of = |end: &str| end.chars().count() >= END && word.ends_with(end);
    // Names stand in the singular; most plurals of plants add an n.
    let is_end = is_end_of(written) || written.strip_suffix('n').is_some_and(is_end_of);
    word_worth(written, word).max(if is_end { END_WORTH } else { 0.0 })
}

fn likeness(a: &[String], b: &[String]) -> f64 {
    let sorted = |words: &[String]| {
        let mut words = words.to_vec();
        words.sort();
        words.join(" ")
    };
    let as_written = alike_from(NEAR, &a.join(" "), &b.join(" "));
    as_written.max(alike_from(NEAR, &sorted(a), &sorted(b)))
}

/// How alike two texts are, as far as they are so alike at least; else nothing. Each letter that one has more is one that
/// differs, so that texts of very different lengths are not compared letter by letter.
fn alike_from(least: f64, one: &str, other: &str) -> f64 {
    let [one_long, other_long] = [one, other].map(|text| text.chars().count());
    let (shorter, longer) = (one_long.min(other_long), one_long.max(other_long));
    if crate::units::count(shorter) < least * crate::units::count(longer) {
        return 0.0;
    }
    strsim::normalized_damerau_levenshtein(one, other)
}

/// The words of a name in plain letters.
fn words(name: &str) -> Vec<String> {
    plain(name)
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// A text in lower case, its umlauts as those write them who have no key for them.
fn plain(text: &str) -> String {
    text.to_lowercase()
        .replace('ä', "ae")
        .replace('ö', "oe")
        .replace('ü', "ue")
        .replace('ß', "ss")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hits(written: &str) -> Vec<String> {
        let almanac = super::super::embedded().unwrap();
        let hits = almanac.search(written);
        hits.iter().map(|kind| kind.id.clone()).collect()
    }

    #[test]
    fn what_is_alike_enough_is_told_as_the_library_tells_it() {
        let texts = [
            "",
            "yew",
            "yews",
            "box",
            "boxwood",
            "boxwod",
            "smooth hydrangea",
            "b\u{fc}x",
        ];
        for (one, other) in texts
            .iter()
            .flat_map(|one| texts.map(|other| (*one, other)))
        {
            let whole = strsim::normalized_damerau_levenshtein(one, other);
            let wanted = if whole >= NEAR { whole } else { 0.0 };
            let told = alike_from(NEAR, one, other);
            let told = if told >= NEAR { told } else { 0.0 };
            assert_eq!(told.to_bits(), wanted.to_bits(), "{one} {other}");
        }
    }

    #[test]
    fn a_misspelt_name_finds_its_neighbour() {
        let names = ["boxwood", "bluebeard", "smooth-hydrangea"];
        assert_eq!(nearest("Boxwod", names), Some("boxwood"));
        assert_eq!(nearest("hydrangea smooth", names), Some("smooth-hydrangea"));
        assert_eq!(nearest("oxalis", names), None);
        assert_eq!(nearest("", names), None);
    }

    #[test]
    fn of_two_names_that_are_equally_near_the_first_is_taken() {
        assert_eq!(nearest("cat", ["bat", "rat"]), Some("bat"));
    }

    #[test]
    fn a_search_forgives_spelling_case_and_order() {
        assert_eq!(hits("boxwod"), ["boxwood"]);
        assert_eq!(hits("BUXUS").first().unwrap(), "boxwood");
        assert_eq!(hits("hydrangia smooth"), ["smooth-hydrangea"]);
        assert_eq!(hits("crepe mirtle").first().unwrap(), "crape-myrtle");
    }

    #[test]
    fn a_search_knows_other_names_and_beginnings() {
        assert_eq!(hits("mophead"), ["bigleaf-hydrangea"]);
        assert_eq!(hits("Annabelle"), ["smooth-hydrangea"]);
        assert_eq!(hits("thuj"), ["arborvitae"]);
    }

    #[test]
    fn one_word_for_several_kinds_lists_them_all() {
        assert_eq!(hits("hydrangea").len(), 5);
    }

    #[test]
    fn the_exact_name_comes_before_longer_ones() {
        assert_eq!(hits("holly").first().unwrap(), "japanese-holly");
        assert_eq!(hits("lilac").first().unwrap(), "common-lilac");
    }

    #[test]
    fn german_names_are_found_with_umlauts_or_without_and_by_their_ends() {
        assert_eq!(hits("Flieder").first().unwrap(), "common-lilac");
        assert_eq!(hits("säckelblume"), hits("Saeckelblume"));
        assert_eq!(hits("Buchsbam"), ["boxwood"]);
        assert_eq!(hits("Hortensie").len(), 5);
        assert!(hits("Rose").contains(&"climbing-rose".to_owned()));
    }

    #[test]
    fn a_kind_is_called_by_its_names_in_both_languages() {
        let almanac = super::super::embedded().unwrap();
        let boxwood = almanac.kind("boxwood").unwrap();
        assert!(boxwood.is_called(" Buchs ") && boxwood.is_called("box"));
        assert!(!boxwood.is_called("Buch") && !boxwood.is_called("Eibe"));
        assert_eq!(boxwood.called("buchs"), "Buchsbaum");
        assert_eq!(boxwood.called("box"), "boxwood");
    }

    #[test]
    fn what_is_not_there_is_not_found() {
        assert!(hits("baobab").is_empty());
        assert!(hits("  - ").is_empty());
    }
}

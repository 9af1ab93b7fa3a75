//! Several sources, one verdict: the most careful of what each of them alone gives.

use super::{State, Verdict};
use crate::forecast::Odd;
use crate::rules::SourcesFacts;

/// The verdicts on a garden's cuts by one source.
#[derive(Debug, Clone, PartialEq)]
pub struct BySource {
    /// The source.
    pub source: String,
    /// The verdict on each cut, in the garden's order.
    pub verdicts: Vec<Verdict>,
}

/// The most careful verdict on each cut: go only where every source gives go, and of those that do not the one that
/// holds longest. With it stands which sources say otherwise, and which were left out.
///
/// Every entry has to hold the same cuts in the same order, as those of one garden do.
pub fn most_careful(looks: &[BySource], odd: &[Odd]) -> Vec<Verdict> {
    let cuts = looks.iter().map(|look| look.verdicts.len()).min();
    let of_cut = |cut: usize| {
        let all = looks.iter();
        let all = all.filter_map(|look| Some((&look.source, look.verdicts.get(cut)?)));
        let all: Vec<(&String, &Verdict)> = all.collect();
        // Of equals the first, which is the keeper's first.
        let (rules, verdict) = all
            .iter()
            .copied()
            .reduce(|a, b| if is_more_careful(b.1, a.1) { b } else { a })?;
        let (go, not_go): (Vec<_>, Vec<_>) =
            all.iter().partition(|(_, verdict)| verdict.state.allows());
        let names = |some: Vec<&(&String, &Verdict)>| {
            let names = some.into_iter().map(|(source, _)| (*source).clone());
            names.collect()
        };
        let facts = SourcesFacts {
            rules: Some(rules.clone()),
            go: names(go),
            not_go: names(not_go),
            odd: odd.to_vec(),
        };
        let mut verdict = verdict.clone();
        verdict.findings.extend(facts.finding());
        Some(verdict)
    };
    (0..cuts.unwrap_or_default()).filter_map(of_cut).collect()
}

fn is_more_careful(one: &Verdict, other: &Verdict) -> bool {
    let chance = |verdict: &Verdict| {
        let frost = verdict.findings.iter().find_map(|found| found.frost());
        frost.map_or(0.0, |facts| facts.chance.share())
    };
    let opens = |verdict: &Verdict| verdict.opens.map(|range| (range.to, range.from));
    let ranks = (care(one.state), care(other.state));
    if ranks.0 != ranks.1 {
        return ranks.0 > ranks.1;
    }
    if one.state == State::Closing && one.closes != other.closes {
        return one.closes < other.closes;
    }
    if opens(one) != opens(other) {
        // One that names no day is further from a go than one that does.
        return opens(other).is_some_and(|other| opens(one).is_none_or(|one| one > other));
    }
    chance(one) > chance(other)
}

/// How careful a state is. What is not known holds less firmly than what is known to hold.
const fn care(state: State) -> u8 {
    match state {
        State::Go => 0,
        State::Closing => 1,
        State::Unknown => 2,
        State::Wait => 3,
        State::Closed => 4,
        State::CallAPro => 5,
    }
}

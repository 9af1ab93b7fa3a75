//! The sources of the groups of values of a kind: each group that a row gives comes with its source.

use super::SourceNote;
use super::books::{Origin, Reader};
use super::error::AlmanacError;
use super::raw::{RawKind, Text};
use super::search::{list, nearest};

/// Each group: its key, and what it is called where its source is shown.
const GROUPS: [(&str, &str); 15] = [
    ("wood", "wood"),
    ("zones", "hardiness zones"),
    ("bloom", "bloom"),
    ("bud_set", "bud set"),
    ("bud_break", "bud break"),
    ("full_leaf", "full leaf"),
    ("flush_end", "end of the flush"),
    ("leaf_fall", "leaf fall"),
    ("pace", "pace"),
    ("hard_cut", "hard cut"),
    ("share_max", "largest share"),
    ("holds", "weather holds"),
    ("diseases", "diseases"),
    ("wildlife", "wildlife"),
    ("sap", "sap"),
];

/// The notes of a kind once a row is taken in.
pub(super) fn notes(
    reader: Reader<'_>,
    row: &RawKind,
    before: &[SourceNote],
) -> Result<Vec<SourceNote>, AlmanacError> {
    let given = row.sources.as_ref();
    let keys = GROUPS.map(|(key, _)| key);
    for (key, names) in given.iter().flat_map(|given| given.get_ref()) {
        if !keys.contains(&key.as_str()) {
            let near = nearest(key, keys);
            let hint = near.map_or_else(String::new, |near| format!("; did you mean '{near}'?"));
            let what = format!("unknown group '{key}'; allowed: {}{hint}", list(&keys));
            return Err(reader.refuse(&names.span(), key, what));
        }
    }
    let mut notes = before.to_vec();
    let at = given.map_or_else(
        || row.id.as_ref().map_or(0..0, Text::span),
        toml::Spanned::span,
    );
    for (key, of) in GROUPS {
        let names = given.and_then(|given| given.get_ref().get(key));
        if !gives(row, key) {
            if let Some(names) = names.filter(|_| reader.origin == Origin::BuiltIn) {
                let what = "there is nothing for this source";
                return Err(reader.refuse(&names.span(), key, what));
            }
            continue;
        }
        let source = reader.source(key, names, &at)?;
        let of = of.to_owned();
        match notes.iter_mut().find(|note| note.of == of) {
            Some(note) => note.source = source,
            None => notes.push(SourceNote { of, source }),
        }
    }
    Ok(notes)
}

/// True when a row gives a group.
fn gives(row: &RawKind, key: &str) -> bool {
    fn filled<T>(list: Option<&Vec<T>>) -> bool {
        list.is_some_and(|list| !list.is_empty())
    }
    match key {
        "wood" => row.wood.is_some(),
        "zones" => row.zones.is_some(),
        "bloom" => row.bloom.is_some(),
        "bud_set" => row.bud_set.is_some(),
        "bud_break" => row.bud_break.is_some(),
        "full_leaf" => row.full_leaf.is_some(),
        "flush_end" => row.flush_end.is_some(),
        "leaf_fall" => row.leaf_fall.is_some(),
        "pace" => row.pace.is_some(),
        "hard_cut" => row.hard_cut.is_some(),
        "share_max" => row.share_max.is_some(),
        "holds" => filled(row.holds.as_ref()),
        "diseases" => filled(row.diseases.as_ref()),
        "wildlife" => filled(row.wildlife.as_ref()),
        "sap" => filled(row.sap.as_ref()),
        _ => false,
    }
}

//! From a row of a data file to a cut of a kind, and the one cut that every woody kind takes.
//!
//! In: the row, the kind as far as it is known, what a change is made to. Out: the cut, its season checked.

use std::sync::Arc;

use super::books::Reader;
use super::error::AlmanacError;
use super::raw::{RawCut, Text};
use super::season::{check, season};
use super::tender::NOT_TENDER;
use super::{Cut, CutKind, Habit, Kind, Season, Tender};

/// A cut from its row; what the row leaves out is that of the cut it changes.
pub(super) fn cut(
    reader: Reader<'_>,
    row: &RawCut,
    kind: &Kind,
    base: Option<&Cut>,
) -> Result<Cut, AlmanacError> {
    let missing = |key: &str| reader.refuse(&row.cut.span(), key, "it is missing");
    let or_base = |value: Option<String>, base: Option<&String>, key: &str| {
        value.or(base.cloned()).ok_or_else(|| missing(key))
    };
    let season = match (&row.season, base) {
        (Some(text), _) => {
            season(text.get_ref()).map_err(|what| reader.refuse(&text.span(), "season", what))?
        }
        (None, Some(base)) => base.season,
        (None, None) => return Err(missing("season")),
    };
    let at = row.season.as_ref().map_or(row.cut.span(), Text::span);
    check(kind, season).map_err(|what| reader.refuse(&at, "season", what))?;
    let how = row.how.as_ref();
    let how = how.map(|how| reader.sentence("how", how)).transpose()?;
    let tender = match (&row.tender, base) {
        (Some(name), _) => tender(reader, name)?,
        (None, Some(base)) => base.tender.clone(),
        (None, None) => return Err(missing("tender")),
    };
    Ok(Cut {
        cut: *row.cut.get_ref(),
        season,
        outside: outside(reader, row, season, base)?,
        tender,
        how: or_base(how, base.map(|base| &base.how), "how")?,
        source: reader.source("source", row.source.as_ref(), &row.cut.span())?,
    })
}

/// Why the cut is not made outside its season: needed where there is a season, out of place where there is none.
fn outside(
    reader: Reader<'_>,
    row: &RawCut,
    season: Season,
    base: Option<&Cut>,
) -> Result<Option<String>, AlmanacError> {
    match (season, &row.outside) {
        (Season::AnyTime, None) => Ok(None),
        (Season::AnyTime, Some(text)) => {
            let what = "a cut without a season has no outside";
            Err(reader.refuse(&text.span(), "outside", what))
        }
        (Season::Between(..), None) => {
            let kept = base.and_then(|base| base.outside.clone());
            let at = row.season.as_ref().map_or(row.cut.span(), Text::span);
            let what = "it is missing; a cut with a season says why it is not made outside of it";
            kept.map(Some)
                .ok_or_else(|| reader.refuse(&at, "outside", what))
        }
        (Season::Between(..), Some(text)) if text.get_ref().ends_with(['.', '!', ' ', '\n']) => {
            let what = "a full stop is put behind it where it is shown; end with a word";
            Err(reader.refuse(&text.span(), "outside", what))
        }
        (Season::Between(..), Some(text)) => reader.filled("outside", text).map(Some),
    }
}

fn tender(reader: Reader<'_>, name: &Text) -> Result<Option<Tender>, AlmanacError> {
    if name.get_ref() == NOT_TENDER {
        return Ok(None);
    }
    let classes = &reader.books.classes;
    let allowed = std::iter::once(NOT_TENDER).chain(classes.keys().map(String::as_str));
    let class = classes.get(name.get_ref()).cloned();
    let unknown = || AlmanacError::unknown(reader.file, name, ("tender", "tender class"), allowed);
    class.map(Some).ok_or_else(unknown)
}

impl Kind {
    /// The cut of that kind, if the plant takes it; every woody kind takes the repair of broken wood.
    pub fn takes(&self, cut: CutKind) -> Option<Arc<Cut>> {
        let given = self.cut(cut).cloned();
        let repair = || Arc::new(storm_repair());
        given.or_else(|| (cut == CutKind::StormRepair && self.is_woody()).then(repair))
    }

    /// True for all that keeps its stems over winter.
    pub fn is_woody(&self) -> bool {
        !matches!(self.habit, Habit::Perennial | Habit::Grass)
    }
}

/// Broken wood cut clean: no season, no frost to wait for.
///
/// Source: Salisbury Post, NC Extension (D. Blackwelder), 2021; International Society of Arboriculture, first aid for
/// trees after storms, 2007.
fn storm_repair() -> Cut {
    Cut {
        cut: CutKind::StormRepair,
        season: Season::AnyTime,
        outside: None,
        tender: None,
        how: "Cut hanging and broken wood clean at once, back to the branch collar or to a live side branch: no flush \
              cut, no stub, no topping, no paint (oak in its beetle season is the exception). Judge the shape next \
              year. Wood under tension, near lines, overhead or out of reach from the ground is for a licensed arborist."
            .to_owned(),
        source: "D. Blackwelder, NC Extension, in the Salisbury Post, 2021; International Society of Arboriculture, \
                 first aid for trees after storms, 2007 (in Landscape Architect)"
            .to_owned(),
    }
}

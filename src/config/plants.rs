//! The plants of a garden and the cuts that are wanted on them.

use std::sync::Arc;

use chrono::NaiveDate;
use toml::Spanned;
use toml::value::Datetime;

use super::check::Checker;
use super::faults::{Checked, Table};
use super::garden::open_garden;
use super::raw::{RawCut, RawGarden, RawPlant};
use super::shape::nearest_part;
use super::slug::slug;
use super::wish::Wish;
use crate::almanac::{Almanac, Cut, CutKind, Kind, nearest};
use crate::garden::{PlannedCut, Planting, Spot, Uncut};
use crate::units::Chance;

/// So many kinds are listed whole; of more, the likeliest.
const KINDS_LISTED: usize = 12;

/// The spots of a garden by their names; one with a fault is there, but cannot be used.
pub(super) type Spots = Vec<(String, Checked<Spot>)>;

/// What the plants of a garden come to.
#[derive(Default)]
pub(super) struct Plants {
    /// The cuts that are wanted.
    pub(super) cuts: Vec<PlannedCut>,
    /// The plantings that need none.
    pub(super) uncut: Vec<Uncut>,
}

/// A plant that was understood.
struct Plant {
    facts: Arc<Planting>,
    short: String,
    kind: Arc<Kind>,
    spot: Spot,
}

/// What a plant is worth to its keeper, and the ways in a hundred that are then accepted: the share of its worth that
/// is lost with a window that is missed (cost-loss model: Murphy, Mon. Wea. Rev. 105, 1977; the shares are estimates).
const STAKES: [(&str, f64); 3] = [("dear", 5.0), ("usual", 10.0), ("cheap", 20.0)];

impl Checker<'_> {
    /// Every planned cut of a garden and every planting that needs none, in the order of the file.
    pub(super) fn plants(
        &mut self,
        garden: &Spanned<RawGarden>,
        spots: &Checked<Spots>,
        tolerance: Checked<Chance>,
    ) -> Checked<Plants> {
        let raw = garden.get_ref();
        if raw.plant.is_empty() {
            let warning = self.remark(
                garden,
                "this garden has no plants: there is nothing to tell",
            );
            let hint = "add a table [[garden.plant]] with a name and a kind";
            self.faults.warn(warning.hint(hint));
        }
        let names = raw
            .plant
            .iter()
            .filter_map(|raw| raw.get_ref().name.as_ref());
        let names = names.map(|name| (slug(name.get_ref()), name.span()));
        self.only_once(
            (
                "plant",
                "give one of them another name; only letters and digits tell names apart",
            ),
            names.filter(|(name, _)| !name.is_empty()),
        );
        let plants = raw.plant.iter();
        let each: Vec<_> = plants
            .map(|plant| self.plant(plant, spots, tolerance))
            .collect();
        let mut plants = Plants::default();
        for one in each.into_iter().collect::<Checked<Vec<_>>>()? {
            plants.cuts.extend(one.cuts);
            plants.uncut.extend(one.uncut);
        }
        Ok(plants)
    }

    /// `[[garden.plant]]`
    fn plant(
        &mut self,
        table: &Spanned<RawPlant>,
        spots: &Checked<Spots>,
        tolerance: Checked<Chance>,
    ) -> Checked<Plants> {
        let raw = table.get_ref();
        let heading = Table::of("[[garden.plant]]", table);
        let name = self.required(raw.name.as_ref(), &heading, "name", "name = \"box edging\"");
        let name = name.and_then(|name| Ok((self.line(("name", name))?, self.short_of(name)?)));
        let kind = self
            .required(raw.kind.as_ref(), &heading, "kind", "kind = \"boxwood\"")
            .and_then(|kind| self.kind(kind));
        let spot = match &raw.spot {
            Some(spot) => self.spot_of(spot, spots),
            None => Ok(open_garden()),
        };
        let tolerance = match &raw.stakes {
            Some(stakes) => self
                .choice(("stakes", stakes), &STAKES)
                .map(|ways| Chance::of(ways / 100.0)),
            None => tolerance,
        };
        let facts = self.planting(
            raw,
            name.as_ref()
                .map_or_else(|told| Err(*told), |(name, _)| Ok(name.as_str())),
        );
        let cuts = self.cuts(raw, kind.as_deref().map_err(|told| *told), tolerance);
        let (_, short) = name?;
        let plant = Plant {
            facts: Arc::new(facts?),
            short,
            kind: kind?,
            spot: spot?,
        };
        let planned = cuts?.into_iter().map(|wanted| plant.planned(wanted));
        Ok(Plants {
            cuts: planned.collect(),
            uncut: plant.uncut().into_iter().collect(),
        })
    }

    fn short_of(&mut self, name: &Spanned<String>) -> Checked<String> {
        let short = slug(name.get_ref());
        if short.is_empty() {
            let what = format!("name \"{}\" has no letter and no digit", name.get_ref());
            let fault = self.remark(name, what);
            let hint = "name the plant as you speak of it, such as \"box edging\"";
            return Err(self.tell(fault.hint(hint)));
        }
        Ok(short)
    }

    fn kind(&mut self, value: &Spanned<String>) -> Checked<Arc<Kind>> {
        let written = value.get_ref();
        if let Some(told) = self.refused_kind(written) {
            return Err(told);
        }
        let almanac = Arc::clone(&self.almanac);
        if let Some(kind) = almanac.kind(written) {
            return Ok(Arc::clone(kind));
        }
        let likely = almanac.search(written);
        let meant = nearest_part(likely.first().map(|kind| kind.id.as_str()));
        let what = format!("kind \"{written}\" is not in the almanac{meant}");
        let fault = self.remark(value, what);
        Err(self.tell(fault.allowed(kinds_allowed(&almanac, &likely))))
    }

    pub(super) fn spot_of(
        &mut self,
        value: &Spanned<String>,
        spots: &Checked<Spots>,
    ) -> Checked<Spot> {
        let spots = spots.as_ref().map_err(|told| *told)?;
        let written = value.get_ref().trim();
        if let Some((_, spot)) = spots.iter().find(|(name, _)| name == written) {
            return spot.clone();
        }
        let names: Vec<_> = spots.iter().map(|(name, _)| name.as_str()).collect();
        let meant = nearest_part(nearest(written, names.iter().copied()));
        let what = format!("spot \"{written}\" is not in this garden{meant}");
        let fault = self.remark(value, what);
        let hint =
            "add a table [[garden.spot]] with that name above the plants, or take the line out";
        Err(self.tell(if names.is_empty() {
            fault.hint(hint)
        } else {
            fault.allowed(names.join(", "))
        }))
    }

    /// The cuts of a plant: those that are listed, otherwise all that its kind takes but for those to skip.
    fn cuts(
        &mut self,
        raw: &RawPlant,
        kind: Checked<&Kind>,
        tolerance: Checked<Chance>,
    ) -> Checked<Vec<Wanted>> {
        let skipped = self.skipped(raw, kind);
        if raw.cut.is_empty() {
            let (kind, tolerance, skipped) = (kind?, tolerance?, skipped?);
            let as_usual = |cut: &Arc<Cut>| Wanted {
                cut: Arc::clone(cut),
                wished: None,
                tolerance,
            };
            let wanted = kind.cuts.iter().filter(|cut| !skipped.contains(&cut.cut));
            return Ok(wanted.map(as_usual).collect());
        }
        skipped?;
        let names = raw.cut.iter().filter_map(|raw| raw.get_ref().cut.as_ref());
        self.only_once(
            ("cut", "take one of them out"),
            names.map(|name| (name.get_ref().clone(), name.span())),
        );
        let cuts = raw.cut.iter();
        let cuts: Vec<_> = cuts.map(|cut| self.cut(cut, kind, tolerance)).collect();
        cuts.into_iter().collect()
    }

    /// `skip`: cuts that the keeper does not want of those that the kind takes.
    fn skipped(&mut self, raw: &RawPlant, kind: Checked<&Kind>) -> Checked<Vec<CutKind>> {
        let Some(skip) = &raw.skip else {
            return Ok(Vec::new());
        };
        if !raw.cut.is_empty() {
            let what = "skip stands beside a list of cuts, of which none is skipped";
            let fault = self.remark(skip, what);
            let hint = "take the line out: where cuts are listed, only these are watched";
            return Err(self.tell(fault.hint(hint)));
        }
        let cuts = skip.get_ref().iter();
        let cuts: Vec<_> = cuts.map(|cut| self.cut_of(cut, kind)).collect();
        cuts.into_iter().map(|cut| cut.map(|cut| cut.cut)).collect()
    }

    /// `[[garden.plant.cut]]`
    fn cut(
        &mut self,
        table: &Spanned<RawCut>,
        kind: Checked<&Kind>,
        usual: Checked<Chance>,
    ) -> Checked<Wanted> {
        let raw = table.get_ref();
        let heading = Table::of("[[garden.plant.cut]]", table);
        let cut = self
            .required(raw.cut.as_ref(), &heading, "cut", "cut = \"shear\"")
            .and_then(|value| self.cut_of(value, kind));
        let wished = raw.wished.as_ref().map(|value| self.wished(value));
        let tolerance = self.tolerance(raw.tolerance.as_ref(), usual);
        Ok(Wanted {
            cut: cut?,
            wished: wished.transpose()?,
            tolerance: tolerance?,
        })
    }

    fn cut_of(&mut self, value: &Spanned<String>, kind: Checked<&Kind>) -> Checked<Arc<Cut>> {
        let names = CutKind::ALL.map(|cut| (cut.name(), cut));
        let cut = self.choice(("cut", value), &names)?;
        let kind = kind?;
        kind.takes(cut).ok_or_else(|| {
            let takes: Vec<_> = kind.cuts.iter().map(|one| one.cut.name()).collect();
            let what = format!("{} does not take the cut \"{}\"", kind.id, cut.name());
            let fault = self.remark(value, what);
            self.tell(fault.allowed(takes.join(", ")))
        })
    }

    fn wished(&mut self, value: &Spanned<Datetime>) -> Checked<NaiveDate> {
        let written = value.get_ref();
        let Some(day) = day_of(written) else {
            let fault = self.remark(value, format!("wished {written} is not a day"));
            let allowed = "a day without a time, such as 2027-04-10";
            return Err(self.tell(fault.allowed(allowed)));
        };
        let remark = self.remark(value, format!("wished {day}"));
        self.wishes.push(Wish { on: day, remark });
        Ok(day)
    }
}

fn day_of(written: &Datetime) -> Option<NaiveDate> {
    let date = written.date.filter(|_| written.time.is_none())?;
    NaiveDate::from_ymd_opt(
        i32::from(date.year),
        u32::from(date.month),
        u32::from(date.day),
    )
}

/// All kinds, or of many those that may be meant.
fn kinds_allowed(almanac: &Almanac, likely: &[&Arc<Kind>]) -> String {
    let ids = |kinds: &mut dyn Iterator<Item = &Arc<Kind>>| {
        let ids: Vec<_> = kinds.map(|kind| kind.id.as_str()).collect();
        ids.join(", ")
    };
    let n = almanac.kinds.len();
    if n <= KINDS_LISTED || likely.is_empty() {
        return ids(&mut almanac.kinds.iter());
    }
    let most_alike = ids(&mut likely.iter().take(KINDS_LISTED).copied());
    format!("{n} kinds, of these most alike: {most_alike}")
}

/// A cut with the keeper's wishes.
#[derive(Clone)]
struct Wanted {
    cut: Arc<Cut>,
    wished: Option<NaiveDate>,
    tolerance: Chance,
}

impl Plant {
    /// Why it is left alone, where its kind needs no cut.
    fn uncut(&self) -> Option<Uncut> {
        let why = self.kind.needs_no_cut.clone()?;
        self.kind.cuts.is_empty().then(|| Uncut {
            planting: self.facts.name.clone(),
            kind: self.kind.common.clone(),
            of: Arc::clone(&self.kind),
            why,
        })
    }

    fn planned(&self, wanted: Wanted) -> PlannedCut {
        PlannedCut {
            name: format!("{}-{}", self.short, wanted.cut.cut.name()),
            planting: self.facts.name.clone(),
            facts: Arc::clone(&self.facts),
            kind: Arc::clone(&self.kind),
            cut: wanted.cut,
            spot: self.spot.clone(),
            wished: wanted.wished,
            tolerance: wanted.tolerance,
        }
    }
}

//! One garden: its names, its keeper's choices, its spots.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;
use std::path::PathBuf;
use std::sync::Arc;

use chrono::TimeDelta;
use lettre::message::Mailbox;
use toml::Spanned;

use super::GardenSettings;
use super::check::{Checker, Given};
use super::faults::{Checked, Table};
use super::plants::Spots;
use super::raw::{RawAddresses, RawGarden, RawSpot};
use super::slug::{is_short, slug};
use crate::forecast::{FRESH_FOR, USABLE_FOR};
use crate::garden::{Garden, Spot};
use crate::locale::{DateStyle, Language, Locale};
use crate::units::{CelsiusStep, Chance, UnitSystem};

/// The ways in a hundred that a keeper accepts who names no number (estimate).
pub const TOLERANCE: f64 = 10.0;

/// How many ways in a hundred a keeper may accept; beyond one half it is no caution any more.
const TOLERANCES: RangeInclusive<f64> = 1.0..=50.0;

/// How far the night minimum of a spot without a thermometer of its own may be off (estimate).
pub const DOUBT: CelsiusStep = CelsiusStep::new(1.0);

/// How much colder or warmer than its place a spot may be.
const OFFSETS: RangeInclusive<CelsiusStep> = CelsiusStep::new(-15.0)..=CelsiusStep::new(15.0);
const DOUBTS: RangeInclusive<CelsiusStep> = CelsiusStep::new(0.0)..=CelsiusStep::new(10.0);
const OFFSETS_ALLOWED: &str = "-15 K to 15 K (-27 F to 27 F), such as \"-2 K\" or \"-4 F\"";
const DOUBTS_ALLOWED: &str = "0 K to 10 K (0 F to 18 F), such as \"1 K\" or \"2 F\"";

const UNITS: [(&str, UnitSystem); 2] = [("metric", UnitSystem::Metric), ("us", UnitSystem::Us)];

const LANGUAGES: [(&str, Language); 2] = [
    (Language::English.tag(), Language::English),
    (Language::German.tag(), Language::German),
];

const DATES: [(&str, DateStyle); 3] = [
    ("day-month", DateStyle::DayMonth),
    ("month-day", DateStyle::MonthDay),
    ("year-month-day", DateStyle::YearMonthDay),
];

/// The garden where no spot is named: as cold as its place, as far as anybody knows.
pub(super) fn open_garden() -> Spot {
    Spot {
        name: "garden".to_owned(),
        offset: CelsiusStep::default(),
        doubt: DOUBT,
    }
}

impl Checker<'_> {
    /// Every garden of the file; at least one.
    pub(super) fn gardens(
        &mut self,
        raw: &[Spanned<RawGarden>],
        language: Checked<Language>,
    ) -> Checked<Vec<Arc<GardenSettings>>> {
        if raw.is_empty() {
            let hint = "add [[garden]], and below it: name = \"museum\", latitude = 38.74, longitude = -85.38, each on its line";
            return Err(self.faults.lacking("garden", "no garden", hint));
        }
        let names = raw.iter().filter_map(|raw| raw.get_ref().name.as_ref());
        self.only_once(
            ("garden", "take one of them out, or give it another name"),
            names.map(|name| (name.get_ref().clone(), name.span())),
        );
        let gardens: Vec<_> = raw
            .iter()
            .map(|garden| self.garden(garden, language).map(Arc::new))
            .collect();
        gardens.into_iter().collect()
    }

    /// Complains of gardens that stand in another file already.
    pub(super) fn not_elsewhere(
        &mut self,
        raw: &[Spanned<RawGarden>],
        names: &BTreeMap<String, PathBuf>,
    ) {
        let named = raw.iter().filter_map(|raw| raw.get_ref().name.as_ref());
        for name in named {
            let Some(file) = names.get(name.get_ref()) else {
                continue;
            };
            let file = file.display();
            let what = format!("garden \"{}\" stands already in {file}", name.get_ref());
            let fault = self.remark(name, what);
            self.tell(fault.hint("take one of them out, or give it another name"));
        }
    }

    /// `[[garden]]`
    fn garden(
        &mut self,
        table: &Spanned<RawGarden>,
        language: Checked<Language>,
    ) -> Checked<GardenSettings> {
        let raw = table.get_ref();
        let spots = self.spots(table);
        let garden = self.garden_itself(table, &spots, language);
        let zone = garden.as_ref().map(|garden| garden.place.zone.clone());
        let thermometer = raw.thermometer.as_ref();
        let thermometer =
            thermometer.map(|raw| self.thermometer(raw, &spots, zone.map_err(|told| *told)));
        let stated = raw.fresh_for.as_ref();
        let stated = stated.map(|value| self.fresh_for(value));
        let fresh_for = stated.unwrap_or(Ok(FRESH_FOR));
        let forecasts = self.forecasts(raw.forecast.as_ref(), stated);
        let history = self.history(raw.history.as_ref());
        Ok(GardenSettings {
            file: self.faults.file().to_owned(),
            garden: garden?,
            forecasts: forecasts?,
            history: history?,
            fresh_for: fresh_for?,
            thermometer: thermometer.transpose()?,
        })
    }

    fn garden_itself(
        &mut self,
        table: &Spanned<RawGarden>,
        spots: &Checked<Spots>,
        language: Checked<Language>,
    ) -> Checked<Garden> {
        let raw = table.get_ref();
        let heading = Table::of("[[garden]]", table);
        let name = self
            .required(raw.name.as_ref(), &heading, "name", "name = \"museum\"")
            .and_then(|name| self.short_name(name));
        let title = raw.title.as_ref().map(|title| self.line(("title", title)));
        let place = self.place(raw, &heading);
        let choices = match &place {
            Ok(place) => self.choices(raw.choices.as_ref(), place),
            Err(told) => Err(*told),
        };
        let locale = self.locale(raw, language);
        let usual = Chance::of(TOLERANCE / 100.0);
        let tolerance = self.tolerance(raw.tolerance.as_ref(), Ok(usual));
        let mail_to = match &raw.mail_to {
            Some(to) => self.mail_addresses(to),
            None => Ok(Vec::new()),
        };
        if mail_to.as_ref().is_ok_and(Vec::is_empty) {
            let what = "nothing is mailed for this garden, since it has no mail_to";
            let warning = self.remark(table, what);
            let hint = "add a line such as: mail_to = \"keeper@example.org\"";
            self.faults.warn(warning.hint(hint));
        }
        let letters = self.letters(raw.letters.as_ref());
        let remark = raw.remark.as_ref();
        let remark = remark.map(|remark| self.line(("remark", remark)));
        let plants = self.plants(table, spots, tolerance);
        let (name, place, plants) = (name?, place?, plants?);
        Ok(Garden {
            title: title.transpose()?.unwrap_or_else(|| name.clone()),
            name,
            place,
            locale: locale?,
            mail_to: mail_to?,
            letters: letters?,
            remark: remark.transpose()?,
            choices: choices?,
            cuts: plants.cuts,
            uncut: plants.uncut,
        })
    }

    /// Where the mails of a garden go; an address that stands twice is meant once, which is told.
    fn mail_addresses(&mut self, to: &Spanned<RawAddresses>) -> Checked<Vec<String>> {
        let list = match to.get_ref() {
            RawAddresses::One(one) => {
                let one = Spanned::new(to.span(), one.clone());
                return self.mail_address(("mail_to", &one)).map(|to| vec![to]);
            }
            RawAddresses::Several(list) => list,
        };
        let read: Vec<_> = list
            .iter()
            .map(|one| self.mail_address(("mail_to", one)))
            .collect();
        let mut all: Vec<String> = Vec::new();
        for (place, address) in list.iter().zip(read) {
            let address = address?;
            if all.iter().any(|other| is_same_address(other, &address)) {
                let fault = self.remark(place, format!("mail_to has \"{address}\" twice"));
                return Err(self.tell(fault.allowed("each address once")));
            }
            all.push(address);
        }
        Ok(all)
    }

    /// How the keeper of a garden reads; what is left out is usual in the language.
    fn locale(&mut self, raw: &RawGarden, usual: Checked<Language>) -> Checked<Locale> {
        let language = match &raw.language {
            Some(language) => self.language(language),
            None => usual,
        };
        let units = raw.units.as_ref();
        let units = units.map(|units| self.choice(("units", units), &UNITS));
        let dates = raw.dates.as_ref();
        let dates = dates.map(|dates| self.choice(("dates", dates), &DATES));
        let units = units.unwrap_or(Ok(UnitSystem::default()));
        let usual = Locale::new(language?, units?);
        Ok(Locale {
            dates: dates.unwrap_or(Ok(usual.dates))?,
            ..usual
        })
    }

    /// `language`
    pub(super) fn language(&mut self, value: &Spanned<String>) -> Checked<Language> {
        self.choice(("language", value), &LANGUAGES)
    }

    fn short_name(&mut self, value: &Spanned<String>) -> Checked<String> {
        let written = value.get_ref();
        if is_short(written) {
            return Ok(written.clone());
        }
        let short = Some(slug(written)).filter(|short| !short.is_empty());
        let short = short.unwrap_or_else(|| "museum".to_owned());
        let fault = self
            .remark(value, format!("name \"{written}\" is not a short name"))
            .allowed("small letters a to z and digits, with single hyphens between them")
            .hint(format!(
                "write name = \"{short}\"; the name that people say is the title"
            ));
        Err(self.tell(fault))
    }

    /// The ways in a hundred that the keeper accepts.
    pub(super) fn tolerance(
        &mut self,
        value: Given<'_, f64>,
        default: Checked<Chance>,
    ) -> Checked<Chance> {
        let Some(value) = value else {
            return default;
        };
        let ways = self.within(("tolerance", value), TOLERANCES, " ways in 100")?;
        Ok(Chance::of(ways / 100.0))
    }

    /// How old data may be and still support a go.
    pub(super) fn fresh_for(&mut self, value: &Spanned<String>) -> Checked<TimeDelta> {
        let allowed = format!(
            "\"1 h\" to \"{} h\", such as \"{} h\"",
            USABLE_FOR.num_hours(),
            FRESH_FOR.num_hours()
        );
        let limits = TimeDelta::hours(1)..=USABLE_FOR;
        self.duration(("fresh_for", value), limits, &allowed)
    }

    /// The spots by their names, right or not.
    fn spots(&mut self, garden: &Spanned<RawGarden>) -> Checked<Spots> {
        let raw = &garden.get_ref().spot;
        let name = |raw: &Spanned<RawSpot>| raw.get_ref().name.clone();
        let names = raw.iter().filter_map(name);
        self.only_once(
            ("spot", "take one of them out, or give it another name"),
            names.map(|name| (name.get_ref().trim().to_owned(), name.span())),
        );
        let spots = raw
            .iter()
            .map(|raw| (name(raw), self.spot(raw)))
            .filter_map(|(name, spot)| Some((name?.get_ref().trim().to_owned(), spot)))
            .collect();
        let refused = self.faults.refused(&garden.span(), "spot");
        refused.map_or(Ok(spots), Err)
    }

    /// `[[garden.spot]]`
    fn spot(&mut self, table: &Spanned<RawSpot>) -> Checked<Spot> {
        let raw = table.get_ref();
        let heading = Table::of("[[garden.spot]]", table);
        let name = self
            .required(
                raw.name.as_ref(),
                &heading,
                "name",
                "name = \"frost pocket\"",
            )
            .and_then(|name| self.line(("name", name)));
        let offset = self
            .required(raw.offset.as_ref(), &heading, "offset", "offset = \"-2 K\"")
            .and_then(|value| {
                self.quantity(("offset", value), str::parse, OFFSETS, OFFSETS_ALLOWED)
            });
        let doubt = match &raw.doubt {
            Some(value) => self.quantity(("doubt", value), str::parse, DOUBTS, DOUBTS_ALLOWED),
            None => Ok(DOUBT),
        };
        Ok(Spot {
            name: name?,
            offset: offset?,
            doubt: doubt?,
        })
    }
}

/// Whether two written addresses are of one mailbox.
fn is_same_address(one: &str, other: &str) -> bool {
    let email = |written: &str| {
        let mailbox = written.parse::<Mailbox>().ok()?;
        Some(mailbox.email.to_string().to_lowercase())
    };
    email(one) == email(other)
}

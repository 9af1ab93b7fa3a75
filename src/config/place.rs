//! Where a garden lies, and by which clock it lives.

use std::ops::RangeInclusive;

use toml::Spanned;

use super::check::{Checker, Given};
use super::faults::{Checked, Table};
use super::raw::RawGarden;
use super::shape::nearest_part;
use super::zone::{at_sea, zone_names};
use crate::almanac::nearest;
use crate::garden::{Place, Zone};
use crate::units::Metres;

/// From the shore of the Dead Sea to above the highest gardens.
const ELEVATIONS: RangeInclusive<Metres> = Metres(-450.0)..=Metres(6000.0);

const SIGNS: &str = "south of the equator the latitude is below 0, west of Greenwich the longitude; are the two exchanged?";

impl Checker<'_> {
    /// The place of a garden; its zone is the stated one, otherwise the one of its coordinates.
    pub(super) fn place(&mut self, raw: &RawGarden, table: &Table) -> Checked<Place> {
        let latitude = self.latitude(raw.latitude.as_ref(), table);
        let longitude = self.longitude(raw.longitude.as_ref(), table);
        let elevation = self.elevation(raw.elevation.as_ref());
        let found = match (latitude, longitude) {
            (Ok(latitude), Ok(longitude)) => zone_names(latitude, longitude),
            (Err(_), _) | (_, Err(_)) => Vec::new(),
        };
        self.warn_at_sea(raw, &found);
        let stated = raw.time_zone.as_ref();
        let stated = stated.map(|value| self.stated_zone(value, &found));
        let (latitude, longitude) = (latitude?, longitude?);
        let zone = match stated {
            Some(zone) => zone,
            None => self.found_zone(&found, table),
        };
        Place::new(latitude, longitude, elevation?, zone?)
            .map_err(|error| self.tell(self.faults.remark(&table.span, error.to_string())))
    }

    pub(super) fn latitude(&mut self, value: Given<'_, f64>, table: &Table) -> Checked<f64> {
        let value = self.required(value, table, "latitude", "latitude = 38.74")?;
        self.within(("latitude", value), -90.0..=90.0, " degrees north")
    }

    pub(super) fn longitude(&mut self, value: Given<'_, f64>, table: &Table) -> Checked<f64> {
        let value = self.required(value, table, "longitude", "longitude = -85.38")?;
        self.within(("longitude", value), -180.0..=180.0, " degrees east")
    }

    pub(super) fn elevation(&mut self, value: Given<'_, String>) -> Checked<Option<Metres>> {
        let allowed = "-450 m to 6000 m, such as \"143 m\" or \"470 ft\"";
        let value =
            value.map(|value| self.quantity(("elevation", value), str::parse, ELEVATIONS, allowed));
        value.transpose()
    }

    fn warn_at_sea(&mut self, raw: &RawGarden, found: &[&str]) {
        let zone = found.first().filter(|zone| at_sea(zone));
        if let (Some(latitude), Some(zone)) = (&raw.latitude, zone) {
            let warning = self.remark(latitude, format!("this place lies at sea (zone {zone})"));
            self.faults.warn(warning.hint(SIGNS));
        }
    }

    pub(super) fn stated_zone(&mut self, value: &Spanned<String>, found: &[&str]) -> Checked<Zone> {
        let written = value.get_ref();
        let names = Zone::names();
        let name = names.iter().find(|name| name.eq_ignore_ascii_case(written));
        let Some(zone) = name.and_then(|name| Zone::named(name).ok()) else {
            let meant = nearest_part(nearest(written, names.iter().map(String::as_str)));
            let mut fault = self
                .remark(
                    value,
                    format!("time_zone \"{written}\" is not a time zone{meant}"),
                )
                .allowed(
                    "a name of the IANA list, such as \"America/New_York\" or \"Europe/Vienna\"",
                );
            if let Some(found) = found.first() {
                fault = fault.hint(format!("without the line the coordinates decide: {found}"));
            }
            return Err(self.tell(fault));
        };
        let here = found.first().filter(|here| !at_sea(here));
        if let Some(here) = here.filter(|_| !found.contains(&zone.name())) {
            let what = format!(
                "time_zone is {}, the coordinates lie in {here}",
                zone.name()
            );
            let warning = self.remark(value, what);
            self.faults
                .warn(warning.hint("the stated zone is used; if it is not meant, take the line out, or see to the coordinates"));
        }
        Ok(zone)
    }

    fn found_zone(&mut self, found: &[&str], table: &Table) -> Checked<Zone> {
        let zone = found.first().and_then(|name| Zone::named(name).ok());
        let example = "time_zone = \"Europe/Vienna\"";
        zone.ok_or_else(|| self.faults.missing(table, "time_zone", example))
    }
}

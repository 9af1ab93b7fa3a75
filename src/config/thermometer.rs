//! A garden's own thermometer: the file of its station, or the token with which readings are posted.

use chrono::format::{Item, StrftimeItems};
use toml::Spanned;

use super::check::Checker;
use super::faults::{Checked, Table};
use super::garden::open_garden;
use super::plants::Spots;
use super::raw::RawThermometer;
use super::secret::{READINGS_TOKEN, TokenKeys};
use super::{StationFile, ThermometerSettings};
use crate::garden::Zone;
use crate::thermometer::{Hung, Layout, Missing, TimeForm, Unit};

const DELIMITERS: [(&str, char); 5] = [
    ("comma", ','),
    ("semicolon", ';'),
    ("tab", '\t'),
    ("blanks", ' '),
    ("bar", '|'),
];
const DECIMALS: [(&str, char); 2] = [("point", '.'), ("comma", ',')];
const UNITS: [(&str, Unit); 2] = [("C", Unit::Celsius), ("F", Unit::Fahrenheit)];

impl Checker<'_> {
    /// `[garden.thermometer]`
    pub(super) fn thermometer(
        &mut self,
        table: &Spanned<RawThermometer>,
        spots: &Checked<Spots>,
        zone: Checked<Zone>,
    ) -> Checked<ThermometerSettings> {
        let raw = table.get_ref();
        let hung = match &raw.spot {
            Some(name) => self.spot_of(name, spots).map(Hung::Spot),
            None => Ok(Hung::Garden(open_garden())),
        };
        let token = self.token(
            READINGS_TOKEN,
            &TokenKeys {
                file: raw.token_file.as_ref(),
                variable: raw.token_env.as_ref(),
                plain: raw.token.as_ref(),
            },
        );
        let station = match &raw.file {
            Some(_) => self.station(raw, table, zone).map(Some),
            None => Ok(None),
        };
        let has_token = raw.token_file.is_some() || raw.token_env.is_some() || raw.token.is_some();
        if raw.file.is_none() && !has_token {
            let fault = self.remark(table, "[garden.thermometer] has neither a file nor a token");
            let hint = "add a line such as: file = \"station.csv\", or, to post readings: token_file = \"readings-token\"";
            return Err(self.tell(fault.hint(hint)));
        }
        Ok(ThermometerSettings {
            hung: hung?,
            station: station?,
            token: token?,
        })
    }

    fn station(
        &mut self,
        raw: &RawThermometer,
        table: &Spanned<RawThermometer>,
        zone: Checked<Zone>,
    ) -> Checked<StationFile> {
        let heading = Table::of("[garden.thermometer]", table);
        let path = self
            .required(
                raw.file.as_ref(),
                &heading,
                "file",
                "file = \"station.csv\"",
            )
            .and_then(|file| self.path(("file", file)));
        let delimiter = match &raw.delimiter {
            Some(value) => self.choice(("delimiter", value), &DELIMITERS),
            None => Ok(','),
        };
        let decimal = match &raw.decimal {
            Some(value) => self.choice(("decimal", value), &DECIMALS),
            None => Ok('.'),
        };
        let unit = match &raw.unit {
            Some(value) => self.choice(("unit", value), &UNITS),
            None => Ok(Unit::Celsius),
        };
        let names = |list: &[Spanned<String>]| -> Vec<String> {
            list.iter().map(|name| name.get_ref().clone()).collect()
        };
        let time = match raw.time.as_slice() {
            [] => vec!["time".to_owned()],
            some => names(some),
        };
        let temperature = raw.temperature.as_ref();
        let time_form = self.time_form(raw, zone);
        Ok(StationFile {
            path: path?,
            layout: Layout {
                delimiter: delimiter?,
                decimal: decimal?,
                header: raw.header.as_ref().is_none_or(|header| *header.get_ref()),
                time,
                time_form: time_form?,
                temperature: temperature
                    .map_or_else(|| "temperature".to_owned(), |name| name.get_ref().clone()),
                unit: unit?,
                missing: Missing(names(&raw.missing)),
            },
        })
    }

    /// How the station writes its time; without a format with its offset from universal time.
    fn time_form(&mut self, raw: &RawThermometer, zone: Checked<Zone>) -> Checked<TimeForm> {
        let zone = match &raw.time_zone {
            Some(value) => self.stated_zone(value, &[]),
            None => zone,
        };
        let Some(format) = &raw.time_format else {
            return zone.map(|_| TimeForm::Rfc3339);
        };
        let form = self.line(("time_format", format))?;
        let is_good = StrftimeItems::new(&form).all(|item| !matches!(item, Item::Error));
        if !is_good || !form.contains('%') {
            let what = format!("time_format \"{form}\" is not a form of a time");
            let fault = self.remark(format, what);
            let allowed = "%Y year, %m month, %d day, %H hour, %M minute, %S second, %y %I %p, such as \"%d.%m.%Y %H:%M\"";
            return Err(self.tell(fault.allowed(allowed)));
        }
        Ok(TimeForm::Local { form, zone: zone? })
    }
}

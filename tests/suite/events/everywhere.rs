//! Every cut of the almanac has a season at every place where its kind winters, all year round.

use std::sync::Arc;

use budward::almanac::{Cut, Kind, embedded};
use budward::climate::read_record;
use budward::events::Seasons;
use budward::garden::Hemisphere;
use budward::outlook::{Daily, Horizon, Outlook, Skill};
use budward::rules::Stand;
use chrono::{Datelike, Days, NaiveDate};

use super::walk::{planned, season};
use super::{Known, day, toronto};
use crate::support::sample;

/// Ten years of a record are enough for a season, and quick.
const YEARS: i32 = 10;

fn known(file: &str, hemisphere: Hemisphere) -> Option<Known> {
    let text = std::fs::read_to_string(sample(file)?).unwrap();
    let record = read_record(&text, file).unwrap();
    let last = record.last();
    let from = NaiveDate::from_ymd_opt(last.year() - YEARS, 1, 1).unwrap();
    let mut known = Known::of(&record.between(from, last).unwrap(), last);
    known.hemisphere = hemisphere;
    Some(known)
}

fn places() -> Vec<(&'static str, Known)> {
    use Hemisphere::{North, South};
    let ten_years = toronto().between(day("1993-01-01"), day("2003-12-31"));
    let committed = Known::of(&ten_years.unwrap(), day("2003-12-31"));
    let beside = [
        ("open-data/aquacrop/champion_climate.txt", North),
        ("open-data/aquacrop/brussels_climate.txt", North),
        ("open-data/aquacrop/north_yorks_climate.txt", North),
        ("open-data/aquacrop/cordoba_climate.txt", South),
        ("open-data/aquacrop/tunis_climate.txt", North),
    ];
    std::iter::once(("Toronto", committed))
        .chain(
            beside
                .into_iter()
                .filter_map(|(file, hemisphere)| Some((file, known(file, hemisphere)?))),
        )
        .collect()
}

pub(super) fn winters(kind: &Kind, zone: f64) -> bool {
    f64::from(kind.zones.coldest) <= zone && zone < f64::from(kind.zones.warmest) + 1.0
}

#[test]
fn no_cut_is_without_a_season_where_its_kind_winters() {
    let almanac = embedded().unwrap();
    let mut wrong = Vec::new();
    for (name, known) in places() {
        let zone = known.climate.hardiness_zone();
        let kinds = almanac.kinds.iter().map(|kind| &**kind);
        let kinds: Vec<&Kind> = kinds.filter(|kind| winters(kind, zone)).collect();
        let first = known.climate.span.1 - Days::new(360);
        for today in (0..9).map(|n| first + Days::new(40 * n)) {
            let skill = Skill::default();
            let climate = Some(&known.climate);
            let outlook = Outlook::of_days(&Daily::none(today), climate, &skill, Horizon::YEAR);
            let seasons = Seasons::of(&known.ground(&outlook), &kinds);
            for kind in &kinds {
                let events = seasons.events(kind, &[]);
                let unknown = kind.cuts.iter().filter(|cut| {
                    let planned = planned(kind, cut.cut);
                    let (_, stand) = season(&planned, &known.climate, (today, &events), None);
                    matches!(stand, Stand::Unknown { .. })
                });
                let told =
                    |cut: &Arc<Cut>| format!("{name}, {today}: {} {}", kind.id, cut.cut.name());
                wrong.extend(unknown.map(told));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

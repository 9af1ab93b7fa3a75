//! The almanac's data: whole, told apart as the trade does, and borne out by real records.

mod climates;
mod german;
mod records;
mod refusals;

use std::collections::BTreeSet;
use std::fs;
use std::sync::Arc;

use budward::almanac::{Almanac, Cut, CutKind, HardCut, Kind, Season, Wood, embedded};
use budward::garden::{Hemisphere, PlannedCut, Planting, Spot};
use budward::rules::{Case, Stand, findings};
use budward::units::{CelsiusStep, Chance};
use chrono::NaiveDate;

use crate::support::Quiet;

fn almanac() -> Almanac {
    embedded().unwrap()
}

fn kind(id: &str) -> Arc<Kind> {
    almanac().kind(id).unwrap().clone()
}

fn cut(id: &str, cut: CutKind) -> Arc<Cut> {
    kind(id).cut(cut).unwrap().clone()
}

fn day(month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2019, month, day).unwrap()
}

fn spot() -> Spot {
    Spot {
        name: "the place itself".to_owned(),
        offset: CelsiusStep::new(0.0),
        doubt: CelsiusStep::new(1.0),
    }
}

/// What the season alone says of a cut on a day in the middle of zone 7.
fn season_on(id: &str, of: CutKind, today: NaiveDate, hemisphere: Hemisphere) -> Stand {
    let planned = PlannedCut {
        name: format!("{id}-{}", of.name()),
        planting: id.to_owned(),
        facts: Arc::new(Planting::named(id)),
        kind: kind(id),
        cut: cut(id, of),
        spot: spot(),
        wished: None,
        tolerance: Chance::of(0.1),
    };
    let events = Quiet::events(&planned, today, None, hemisphere);
    let quiet = Quiet::new();
    let case = Case {
        hemisphere,
        ..quiet.case(&planned, &events, today)
    };
    findings(&case).remove(0).stand
}

fn is_open(id: &str, of: CutKind, month: u32, date: u32) -> bool {
    let stand = season_on(id, of, day(month, date), Hemisphere::North);
    matches!(stand, Stand::Clear { .. })
}

/// Asserts on which of some days a cut is open.
fn assert_open(id: &str, of: CutKind, open: &[(u32, u32)], shut: &[(u32, u32)]) {
    for (month, date) in open {
        assert!(
            is_open(id, of, *month, *date),
            "{id} {} is shut on {month}-{date}",
            of.name()
        );
    }
    for (month, date) in shut {
        assert!(
            !is_open(id, of, *month, *date),
            "{id} {} is open on {month}-{date}",
            of.name()
        );
    }
}

#[test]
fn every_data_file_is_built_in() {
    let folder = crate::support::project().join("config/almanac");
    let loader = fs::read_to_string(crate::support::project().join("src/almanac/load.rs")).unwrap();
    for entry in fs::read_dir(folder).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(
            loader.contains(&format!("built_in!(\"{name}\")")),
            "{name} is not built in"
        );
    }
}

#[test]
fn every_source_is_cited() {
    let folder = crate::support::project().join("config/almanac");
    let read = |name: &str| fs::read_to_string(folder.join(name)).unwrap();
    let names = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name());
    let rows: String = names
        .filter_map(|name| name.into_string().ok())
        .filter(|name| name != "sources.toml")
        .map(|name| read(&name))
        .collect();
    for line in read("sources.toml").lines() {
        if let Some(id) = line.strip_prefix("id = ") {
            assert!(rows.contains(id), "{id} is cited nowhere");
        }
    }
}

#[test]
fn the_kinds_span_the_habits_and_woods() {
    let almanac = almanac();
    assert!(almanac.kinds.len() >= 140, "{} kinds", almanac.kinds.len());
    let habits: BTreeSet<String> = almanac
        .kinds
        .iter()
        .map(|kind| format!("{:?}", kind.habit))
        .collect();
    assert!(habits.len() >= 7, "{habits:?}");
    for wood in [Wood::Old, Wood::New, Wood::Both, Wood::Indifferent] {
        assert!(
            almanac.kinds.iter().any(|kind| kind.wood == wood),
            "{wood:?}"
        );
    }
}

#[test]
fn every_kind_is_whole() {
    let almanac = almanac();
    let mut names = BTreeSet::new();
    for kind in &almanac.kinds {
        let id = &kind.id;
        assert!(!kind.cuts.is_empty() || kind.needs_no_cut.is_some(), "{id}");
        assert!(
            kind.cut(CutKind::StormRepair).is_none(),
            "{id}: every woody kind takes it, no row writes it"
        );
        assert_eq!(
            kind.takes(CutKind::StormRepair).is_some(),
            kind.is_woody(),
            "{id}"
        );
        for name in std::iter::once(&kind.common).chain(&kind.also) {
            assert!(
                names.insert(name.to_lowercase()),
                "{id}: '{name}' is a name of two kinds"
            );
            assert_eq!(
                almanac.search(name).first().map(|hit| &hit.id),
                Some(id),
                "{name}"
            );
        }
        for caution in &kind.cautions {
            assert!(
                caution.text.ends_with('.') && !caution.source.is_empty(),
                "{id}: {}",
                caution.text
            );
        }
        for cut in &kind.cuts {
            assert!(
                cut.how.ends_with('.') && !cut.source.is_empty(),
                "{id}: {}",
                cut.how
            );
            let begins = cut.how.chars().next().unwrap();
            assert!(begins.is_uppercase(), "{id}: {}", cut.how);
            assert_eq!(cut.outside.is_some(), cut.season != Season::AnyTime, "{id}");
            let first = cut.outside.iter().find_map(|text| text.chars().next());
            assert!(
                first.is_none_or(char::is_lowercase),
                "{id}: {:?}",
                cut.outside
            );
        }
    }
}

#[test]
fn copies_of_the_almanac_share_its_kinds() {
    assert!(Arc::ptr_eq(&almanac().kinds[0], &almanac().kinds[0]));
}

/// Source: NC State Extension Master Gardeners of Buncombe County, pruning hydrangeas, about 2016; Clemson HGIC,
/// Hydrangeas; Iowa State University Extension, Pruning hydrangeas, about 2022.
#[test]
fn the_four_hydrangeas_are_cut_in_four_ways() {
    let (late_winter, after_bloom) = (&[(3, 1), (3, 20)], &[(7, 15), (7, 31)]);
    assert_open(
        "smooth-hydrangea",
        CutKind::Renewal,
        late_winter,
        after_bloom,
    );
    assert_open(
        "smooth-hydrangea",
        CutKind::Renewal,
        &[],
        &[(4, 10), (11, 1), (1, 5)],
    );
    assert_open(
        "panicle-hydrangea",
        CutKind::CutBack,
        late_winter,
        after_bloom,
    );
    assert_open(
        "bigleaf-hydrangea",
        CutKind::Renewal,
        after_bloom,
        late_winter,
    );
    assert_open(
        "bigleaf-hydrangea",
        CutKind::Renewal,
        &[],
        &[(6, 15), (8, 8), (10, 15)],
    );
    assert_open(
        "bigleaf-hydrangea",
        CutKind::Deadhead,
        &[(4, 10), (5, 15)],
        &[(2, 1), (10, 15)],
    );
    assert_open(
        "oakleaf-hydrangea",
        CutKind::ThinningCut,
        after_bloom,
        late_winter,
    );
    assert_open(
        "oakleaf-hydrangea",
        CutKind::Deadhead,
        &[(7, 20), (3, 1)],
        &[(5, 15)],
    );
}

/// Sources as above.
#[test]
fn the_four_hydrangeas_differ_in_wood_and_in_how_hard_they_are_cut() {
    for id in ["bigleaf-hydrangea", "oakleaf-hydrangea"] {
        assert_eq!(kind(id).wood, Wood::Old);
        assert!(kind(id).cut(CutKind::CutBack).is_none(), "{id}");
    }
    for id in ["smooth-hydrangea", "panicle-hydrangea"] {
        assert_eq!(kind(id).wood, Wood::New);
    }
    assert!(kind("oakleaf-hydrangea").cut(CutKind::Renewal).is_none());
    assert!(
        cut("smooth-hydrangea", CutKind::Renewal)
            .how
            .contains("6-12 in")
    );
    assert!(
        cut("panicle-hydrangea", CutKind::CutBack)
            .how
            .contains("a third")
    );
    assert!(
        cut("bigleaf-hydrangea", CutKind::Deadhead)
            .how
            .contains("first fat pair of buds")
    );
}

/// Source: Iowa State University Extension, Pruning shrubs; Chicago Botanic Garden on lilac and forsythia.
#[test]
fn spring_bloomers_are_cut_after_bloom_or_give_up_their_bloom() {
    assert_open(
        "common-lilac",
        CutKind::ThinningCut,
        &[(5, 10), (6, 1)],
        &[(3, 10), (5, 5), (6, 15), (10, 1)],
    );
    assert_open(
        "forsythia",
        CutKind::ThinningCut,
        &[(4, 10), (5, 10)],
        &[(3, 1), (7, 1), (10, 1)],
    );
    for id in ["common-lilac", "forsythia"] {
        assert_open(
            id,
            CutKind::Renewal,
            &[(3, 1), (3, 15)],
            &[(6, 1), (9, 1), (12, 1)],
        );
        assert!(cut(id, CutKind::Renewal).how.contains("gives up"), "{id}");
    }
    assert!(kind("forsythia").cut(CutKind::Shear).is_none());
}

/// Source: University of Missouri Extension on roses; Haynes, Lindstrom & Dirr 1990 on crape myrtle; NC State
/// Extension and Xerces Society on stems; University of Nebraska on grasses; University of Minnesota on crabapple.
#[test]
fn what_flowers_on_new_growth_is_cut_in_late_winter_or_spring() {
    assert_open(
        "bush-rose",
        CutKind::CutBack,
        &[(3, 15), (4, 1)],
        &[(11, 1), (1, 15), (5, 1)],
    );
    assert_open(
        "crape-myrtle",
        CutKind::ThinningCut,
        &[(3, 5), (4, 1)],
        &[(10, 15), (12, 15)],
    );
    assert!(kind("crape-myrtle").cut(CutKind::CutBack).is_none());
    for id in ["bee-balm", "coneflower", "aster"] {
        assert_open(
            id,
            CutKind::CutBack,
            &[(3, 28), (4, 5)],
            &[(10, 1), (12, 15), (1, 15), (3, 10), (6, 1)],
        );
        assert!(cut(id, CutKind::CutBack).how.contains("8-24 in"), "{id}");
        assert!(
            cut(id, CutKind::CutBack).how.contains("ources differ"),
            "{id}"
        );
    }
    assert_open(
        "warm-season-grass",
        CutKind::CutBack,
        &[(2, 25), (3, 20)],
        &[(10, 1), (4, 15)],
    );
    assert_open(
        "flowering-crabapple",
        CutKind::ThinningCut,
        &[(2, 5), (3, 10)],
        &[(12, 1), (4, 20), (7, 1)],
    );
}

#[test]
fn a_thinning_cut_of_boxwood_is_free_and_its_shearing_is_ruled_by_frost_alone() {
    let thinning = cut("boxwood", CutKind::ThinningCut);
    assert_eq!(
        (thinning.season, &thinning.tender),
        (Season::AnyTime, &None)
    );
    let shear = cut("boxwood", CutKind::Shear);
    assert_eq!(shear.season, Season::AnyTime);
    let class = shear.tender.as_ref().map(|tender| tender.class.as_str());
    assert_eq!(class, Some("sheared-evergreen"));
}

/// Source: R. Kujawski, Berkshire Eagle 2022; UK hedge guides on yew.
#[test]
fn only_yew_among_the_conifers_is_cut_into_bare_wood() {
    assert!(kind("yew").cut(CutKind::Renewal).is_some());
    for id in [
        "arborvitae",
        "juniper",
        "false-cypress",
        "leyland-cypress",
        "hemlock",
    ] {
        assert_eq!(kind(id).hard_cut, HardCut::NotIntoBareWood, "{id}");
        assert!(kind(id).cut(CutKind::Renewal).is_none(), "{id}");
        let warned = kind(id)
            .cautions
            .iter()
            .any(|caution| caution.text.contains("Never cut into bare wood"));
        assert!(warned, "{id}");
    }
}

#[test]
fn dangerous_work_on_trees_is_left_to_an_arborist() {
    let cautions = &kind("flowering-crabapple").cautions;
    for words in ["licensed arborist", "power lines", "disinfected"] {
        assert!(
            cautions.iter().any(|caution| caution.text.contains(words)),
            "{words}"
        );
    }
}

#[test]
fn in_the_south_the_seasons_are_half_a_year_later() {
    let stand = season_on(
        "common-lilac",
        CutKind::ThinningCut,
        day(11, 15),
        Hemisphere::South,
    );
    assert!(
        matches!(stand, Stand::Clear { until: Some(end) } if end == day(12, 8)),
        "{stand:?}"
    );
}

/// Source: Wisconsin Department of Natural Resources, oak wilt notice, 2017; University of Wisconsin Extension Dane
/// County, 2023; NC Cooperative Extension Johnston County, 2009, on dogwood; Virginia Cooperative Extension, shrub
/// pruning calendar, note 9, on pines; University of New Hampshire Extension on candles.
#[test]
fn trees_and_conifers_have_their_seasons() {
    for id in ["oak", "elm"] {
        assert_open(
            id,
            CutKind::ThinningCut,
            &[(12, 15), (2, 15)],
            &[(4, 1), (5, 15), (7, 1), (10, 1)],
        );
    }
    assert_open(
        "flowering-dogwood",
        CutKind::ThinningCut,
        &[(6, 15), (7, 10)],
        &[(4, 20), (3, 1), (10, 1)],
    );
    assert_open("pine", CutKind::Pinch, &[(5, 15)], &[(4, 10), (7, 1)]);
    assert_open(
        "flowering-cherry",
        CutKind::ThinningCut,
        &[(5, 15), (6, 15)],
        &[(11, 1), (2, 1)],
    );
}

/// Source: Redding master gardeners on lavender; Buffalo News on peony, 2004; Christian Science Monitor on mums, 2008;
/// UK garden press on wisteria.
#[test]
fn each_plant_has_its_own_weeks() {
    assert_open(
        "lavender",
        CutKind::Shear,
        &[(8, 1)],
        &[(12, 1), (1, 15), (2, 15)],
    );
    assert_open("peony", CutKind::CutBack, &[(10, 20)], &[(7, 1), (9, 1)]);
    assert_open("garden-mum", CutKind::Pinch, &[(6, 1), (7, 3)], &[(8, 1)]);
    assert_open(
        "asian-wisteria",
        CutKind::Pinch,
        &[(7, 20)],
        &[(5, 1), (12, 1)],
    );
    assert_open(
        "asian-wisteria",
        CutKind::ThinningCut,
        &[(1, 20), (2, 10)],
        &[(7, 20)],
    );
    assert_open(
        "sasanqua-camellia",
        CutKind::ThinningCut,
        &[(4, 15)],
        &[(7, 1), (9, 1), (11, 1)],
    );
}

#[test]
fn what_no_gardener_cuts_has_no_cut_and_says_why() {
    for id in ["giant-hogweed", "poison-ivy"] {
        assert!(kind(id).cuts.is_empty(), "{id}");
        assert!(kind(id).needs_no_cut.is_some(), "{id}");
    }
}

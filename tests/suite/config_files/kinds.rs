//! Kinds that a garden file adds or changes.

use std::path::Path;

use budward::almanac::{self, CutKind, HardCut, Kind, Pace, Season};
use budward::config::{ConfigErrors, Settings};

use super::{FOLDER, env, small};

const PLANTS: &str = "\n[[garden.plant]]\nname = \"edging\"\nkind = \"boxwood\"\n";

fn read(kinds: &str) -> Result<Settings, ConfigErrors> {
    let almanac = almanac::embedded().unwrap();
    let text = small(FOLDER, &format!("{PLANTS}{kinds}"));
    Settings::parse(&text, Path::new("garden.toml"), &almanac, &env)
}

fn settings(kinds: &str) -> Settings {
    read(kinds).unwrap_or_else(|errors| panic!("{errors}"))
}

fn source<'k>(kind: &'k Kind, of: &str) -> &'k str {
    let note = kind.sources.iter().find(|note| note.of == of).unwrap();
    &note.source
}

#[test]
fn a_known_kind_is_changed_in_what_is_given_and_in_nothing_else() {
    let usual = almanac::embedded()
        .unwrap()
        .kind("boxwood")
        .unwrap()
        .clone();
    let settings = settings("\n[[kind]]\nid = \"boxwood\"\nhard_cut = \"no\"\nshare_max = 20\n");
    let own = settings.almanac.kind("boxwood").unwrap();
    assert_eq!((own.hard_cut, own.share_max), (HardCut::No, 20));
    assert_eq!(source(own, "hard cut"), "the garden file");
    assert_eq!(source(own, "pace"), source(&usual, "pace"));
    let mut back = (**own).clone();
    back.hard_cut = usual.hard_cut;
    back.share_max = usual.share_max;
    back.sources.clone_from(&usual.sources);
    assert_eq!(back, *usual);
    assert!(
        settings.gardens[0]
            .garden
            .cuts
            .iter()
            .all(|cut| cut.kind.share_max == 20),
        "the plantings have the changed kind"
    );
    assert_eq!(
        settings.almanac.kinds.len(),
        almanac::embedded().unwrap().kinds.len()
    );
}

#[test]
fn a_cut_is_changed_in_what_is_given() {
    let usual = almanac::embedded()
        .unwrap()
        .kind("boxwood")
        .unwrap()
        .clone();
    let season =
        "season = \"flush-end to 30 days after flush-end\"\noutside = \"the keeper wants it so\"\n";
    let settings = settings(&format!(
        "\n[[kind]]\nid = \"boxwood\"\n[[kind.cut]]\ncut = \"shear\"\n{season}"
    ));
    let own = settings.almanac.kind("boxwood").unwrap();
    let (shear, before) = (
        own.cut(CutKind::Shear).unwrap(),
        usual.cut(CutKind::Shear).unwrap(),
    );
    assert_ne!(shear.season, Season::AnyTime);
    assert_eq!((&shear.how, &shear.tender), (&before.how, &before.tender));
    assert_eq!(shear.source, "the garden file");
    assert_eq!(
        own.cut(CutKind::ThinningCut),
        usual.cut(CutKind::ThinningCut)
    );
}

#[test]
fn a_new_kind_is_added_and_can_be_planted() {
    let olive = "\n[[garden.plant]]\nname = \"olive by the wall\"\nkind = \"olive\"\n\
                 [[kind]]\nid = \"olive\"\nbotanical = \"Olea europaea\"\ncommon = \"olive\"\nhabit = \"tree\"\n\
                 wood = \"old\"\nzones = { coldest = 8, warmest = 11 }\npace = \"slow\"\n\
                 [kind.sources]\npace = [\"dirr-2009\"]\n\
                 [[kind.cut]]\ncut = \"thinning-cut\"\nseason = \"last-freeze to mid-summer\"\noutside = \"late shoots freeze\"\n\
                 tender = \"tender-subtropical\"\nhow = \"Thin it lightly.\"\n";
    let settings = settings(olive);
    let kind = settings.almanac.kind("olive").unwrap();
    assert_eq!(kind.pace, Pace::Slow);
    assert!(
        source(kind, "pace").contains("Dirr"),
        "{}",
        source(kind, "pace")
    );
    assert_eq!(source(kind, "hardiness zones"), "the garden file");
    let cut = settings.gardens[0]
        .garden
        .cuts
        .iter()
        .find(|cut| cut.name == "olive-by-the-wall-thinning-cut");
    assert_eq!(
        cut.unwrap().cut.tender.as_ref().unwrap().class,
        "tender-subtropical"
    );
}

#[test]
fn every_woody_planting_can_have_broken_wood_cut() {
    let repair = "\n[[garden.plant.cut]]\ncut = \"storm-repair\"\n";
    let settings = settings(repair);
    let cut = &settings.gardens[0].garden.cuts[0];
    assert_eq!(
        (cut.cut.cut, cut.cut.season),
        (CutKind::StormRepair, Season::AnyTime)
    );
    let phlox = "\n[[garden.plant]]\nname = \"phlox\"\nkind = \"garden-phlox\"\n[[garden.plant.cut]]\ncut = \"storm-repair\"\n";
    let errors = read(phlox).unwrap_err().to_string();
    assert!(
        errors.contains("garden-phlox does not take the cut \"storm-repair\""),
        "{errors}"
    );
}

#[test]
fn a_change_that_breaks_a_season_is_refused() {
    let errors = read(
        "\n[[kind]]\nid = \"common-lilac\"\nbloom = { from = \"04-15\", to = \"05-10\", days_per_zone = 20 }\n",
    );
    assert!(errors.unwrap_err().to_string().contains("found 20"));
    let late = "\n[[kind]]\nid = \"pieris\"\nbud_break = { from = \"04-01\", to = \"04-20\", days_per_zone = 7 }\n[[kind.cut]]\n\
                cut = \"shear\"\nseason = \"bud-set to bud-break\"\noutside = \"so\"\ntender = \"none\"\nhow = \"So.\"\n";
    let errors = read(late).unwrap_err().to_string();
    assert!(errors.contains("it never opens"), "{errors}");
}

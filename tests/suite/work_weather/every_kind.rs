//! Every kind and cut of the almanac, on days of the whole year: each finding names its source, and each dangerous job
//! carries the caution and the deferral to local codes and licensed practice.

use std::sync::{Arc, LazyLock};

use budward::almanac::{CutKind, Habit, Kind, Sap, embedded};
use budward::climate::{Climate, DailyRecord};
use budward::forecast::{FRESH_FOR, Forecast, Hours};
use budward::garden::{Choices, Garden, Mark, PlannedCut, Planting};
use budward::locale::Locale;
use budward::message::{Beside, Message, words};
use budward::notice::{CutMatter, Matter, News};
use budward::outlook::{MeasuredDays, Skill};
use budward::units::{Centimetres, Metres, UnitSystem};
use budward::verdict::{Sky, Verdict, assess};
use chrono::Datelike;

use super::given::{Weather, place, planned, rain, zone_7};

/// Words of which a source has at least one, beside a year: what is common practice or an estimate says so.
const NO_YEAR: [&str; 5] = [
    "common practice, no source",
    "estimate",
    "from memory",
    "no date",
    "Extension",
];

/// Plantings of which the keeper has told nothing, or something that makes them dangerous.
fn plantings() -> [Planting; 5] {
    let named = Planting::named("the planting");
    let marked = |marks: &[Mark]| Planting {
        marks: marks.iter().copied().collect(),
        ..named.clone()
    };
    [
        named.clone(),
        marked(&[Mark::ChainSaw, Mark::OffLadder]),
        Planting {
            near_lines: Some(Metres(2.0)),
            ..named.clone()
        },
        Planting {
            height: Some(Metres(14.0)),
            thickest_branch: Some(Centimetres(20.0)),
            ..marked(&[Mark::StandingDeadTrunk, Mark::LostLeader])
        },
        marked(&[Mark::Overgrown, Mark::BranchOverhead]),
    ]
}

/// Every kind with all its cuts, the storm repair of woody ones among them; what is told of them goes round.
pub(crate) fn garden() -> Garden {
    let almanac = embedded().unwrap();
    let facts = plantings().map(Arc::new);
    let mut cuts = Vec::new();
    let cut = almanac.kinds.iter().filter(|kind| !kind.cuts.is_empty());
    for (index, kind) in cut.enumerate() {
        let of_kind = kind.cuts.iter().map(|cut| cut.cut);
        let repair = kind.takes(CutKind::StormRepair).map(|cut| cut.cut);
        for cut in of_kind.chain(repair) {
            cuts.push(PlannedCut {
                name: format!("{}-{}", kind.id, cut.name()),
                facts: Arc::clone(&facts[index % facts.len()]),
                cut: kind.takes(cut).unwrap(),
                ..planned(Kind::clone(kind), cut, &[])
            });
        }
    }
    let place = place();
    Garden {
        name: "all".to_owned(),
        title: "All".to_owned(),
        choices: Choices::of(&place),
        place,
        locale: Locale::english(UnitSystem::Us),
        mail_to: vec!["keeper@example.org".to_owned()],
        letters: budward::garden::LetterTimes::USUAL,
        remark: None,
        cuts,
        uncut: Vec::new(),
    }
}

/// Six of the years of zone 7, which are enough for words.
fn climate() -> &'static Climate {
    static SHORT: LazyLock<Climate> = LazyLock::new(|| {
        let days = zone_7().record.days();
        let days = days.filter(|(date, _)| date.year() >= 1998);
        let record = DailyRecord::from_days("a record", days.collect::<Vec<_>>()).unwrap();
        Climate::of(&record).unwrap()
    });
    &SHORT
}

/// Weathers of the year, each of which some rule minds.
pub(crate) fn weathers() -> [Weather; 6] {
    let mild = Weather::mild;
    [
        mild(1, 20).warmed(-3..16, 5.0, 25.0),
        mild(3, 25).warmed(4..6, 20.0, 40.0),
        mild(5, 10).hours_from_now(2..10, rain(1.0)),
        mild(7, 5).warmed(-31..16, 75.0, 98.0),
        mild(9, 20),
        mild(11, 15).warmed(1..4, 10.0, 30.0),
    ]
}

pub(crate) fn verdicts(garden: &Garden, weather: &Weather) -> Vec<Verdict> {
    let hours = weather.conditions.hours.iter();
    let forecast = Forecast {
        source: "invented".to_owned(),
        attribution: "invented weather".to_owned(),
        data_at: weather.now,
        elevation: None,
        run: Hours {
            start: weather.conditions.start,
            temperature: hours.map(|hour| hour.temperature).collect(),
        },
        members: Vec::new(),
        conditions: Some(weather.conditions.clone()),
        spans: Vec::new(),
    };
    let sky = Sky {
        warnings: &[],
        climate: Some(climate()),
        measured: &MeasuredDays::new(),
        sightings: &[],
        deeds: &[],
        forecast: Some(&forecast),
        skill: &Skill::default(),
        fresh_for: FRESH_FOR,
    };
    assess(garden, &sky, &[], weather.now)
}

fn is_source(source: &str) -> bool {
    let is_year =
        |digits: &str| digits.len() == 4 && (digits.starts_with("19") || digits.starts_with("20"));
    let mut numbers = source.split(|sign: char| !sign.is_ascii_digit());
    NO_YEAR.iter().any(|word| source.contains(word)) || numbers.any(is_year)
}

/// What a reason has to say of the dangers of a cut.
fn deferrals(cut: &PlannedCut) -> Vec<&'static str> {
    let mut wanted = Vec::new();
    let is_woody = !matches!(cut.kind.habit, Habit::Perennial | Habit::Grass);
    let is_marked = [Mark::ChainSaw, Mark::OffLadder, Mark::StandingDeadTrunk]
        .iter()
        .any(|mark| cut.facts.is(*mark));
    let by_cut = matches!(cut.cut_kind(), CutKind::LimbUp | CutKind::StormRepair);
    if cut.facts.near_lines.is_some() || (is_woody && (is_marked || by_cut)) {
        wanted.extend(["licensed arborist's", "local codes go first"]);
    }
    if cut.facts.near_lines.is_some() {
        wanted.push("call the utility");
    }
    for sap in &cut.kind.sap {
        wanted.extend(match sap {
            Sap::Bleeds => None,
            Sap::Irritant => Some("gloves, long sleeves, eye cover"),
            Sap::PoisonousEaten => Some("poisonous when eaten"),
            Sap::PoisonousSmoke => Some("never burn"),
        });
    }
    wanted
}

#[test]
fn each_finding_names_its_source_and_each_danger_whose_work_it_is() {
    let garden = garden();
    let mut faults = Vec::new();
    let (mut found, mut dangers) = (0, 0);
    for weather in weathers() {
        for (verdict, cut) in verdicts(&garden, &weather).iter().zip(&garden.cuts) {
            let name = format!("{} on {}", cut.name, verdict.today);
            let matter = Matter::Cut(CutMatter {
                news: News::PutOff,
                verdict,
                cut,
                last: None,
                since: None,
            });
            let mail =
                Message::letter(&[matter], &[], &garden, weather.now, &Beside::NOTHING).unwrap();
            let mut reasons = String::new();
            for finding in &verdict.findings {
                let reason = words::reason(finding, verdict.today, garden.locale);
                let in_mail = [&mail.text, &mail.html].iter().all(|form| {
                    let source = form.replace("&amp;", "&");
                    source.contains(&format!("Source: {}.", finding.source))
                });
                if !is_source(&finding.source) || !in_mail {
                    faults.push(format!("{name}: source of: {reason}: {}", finding.source));
                }
                reasons = format!("{reasons}{reason}. ");
                found += 1;
            }
            let clumsy = ["..", "  ", ";;", "; ;", ": ;", " ,", ": ."];
            if clumsy.iter().any(|signs| reasons.contains(signs)) {
                faults.push(format!("{name}: {reasons}"));
            }
            for wanted in deferrals(cut) {
                dangers += 1;
                if !reasons.contains(wanted) {
                    faults.push(format!("{name}: does not say {wanted:?}: {reasons}"));
                }
            }
            if !mail.text.contains(&words::caution(Locale::default())) {
                faults.push(format!("{name}: a mail without the caution"));
            }
        }
    }
    assert!(
        faults.is_empty(),
        "{}:\n{}",
        faults.len(),
        faults[..faults.len().min(30)].join("\n")
    );
    assert!(found > 5_000 && dangers > 500, "{found}, {dangers}");
}

#[test]
fn what_needs_no_cut_says_why_and_by_which_source() {
    let almanac = embedded().unwrap();
    for kind in almanac.kinds.iter().filter(|kind| kind.cuts.is_empty()) {
        let why = kind.needs_no_cut.as_ref().unwrap();
        assert!(is_source(&why.source), "{}: {}", kind.id, why.source);
    }
    for line in almanac
        .kinds
        .iter()
        .flat_map(|kind| words::about(kind, Locale::default()))
    {
        let source = line.rsplit_once("Source: ").map(|(_, source)| source);
        assert!(source.is_some_and(is_source), "{line}");
    }
}

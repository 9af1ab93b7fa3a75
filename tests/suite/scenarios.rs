//! Cases of the trade in one invented garden of zone 7: what is said of each on its day.
//!
//! Common practice, no source, where no other is named. Garden, names and weather are invented: waves of the year with
//! day-to-day persistence, thirty years of them.

mod sky;

use budward::garden::{Deed, NestRegion, StemBees};
use budward::locale::Locale;
use budward::message::words;
use budward::rules::{Bears, Danger, Facts, Leader, Repair, Stage, Stand, StormFacts};
use budward::units::UnitSystem;
use budward::verdict::{State, Verdict};

use self::sky::{Yard, day};

/// What a rule found, by the shape of its facts.
fn found<T>(verdict: &Verdict, of: impl Fn(&Facts) -> Option<T>) -> Option<T> {
    verdict
        .findings
        .iter()
        .find_map(|finding| of(&finding.facts))
}

fn storm(verdict: &Verdict) -> Option<StormFacts> {
    found(verdict, |facts| {
        if let Facts::Storm(facts) = facts {
            Some(*facts)
        } else {
            None
        }
    })
}

fn stage(verdict: &Verdict) -> Option<Stage> {
    found(verdict, |facts| {
        if let Facts::Pacing(facts) = facts {
            Some(facts.stage)
        } else {
            None
        }
    })
}

fn bears(verdict: &Verdict) -> Option<Bears> {
    found(verdict, |facts| {
        if let Facts::BareWood(facts) = facts {
            Some(facts.bears)
        } else {
            None
        }
    })
}

/// A deed on a planting of the yard.
fn did(cut: &str, on: &str) -> Deed {
    Deed {
        cut: cut.to_owned(),
        planting: "planting".to_owned(),
        on: day(on),
        share: None,
        note: None,
    }
}

/// All that is said of a verdict.
fn said(verdict: &Verdict) -> String {
    let reasons = verdict
        .findings
        .iter()
        .map(|finding| words::reason(finding, verdict.today, Locale::english(UnitSystem::Us)));
    reasons.collect::<Vec<_>>().join("\n")
}

#[test]
fn boxwood_edging_waits_for_the_hard_nights_and_is_thinned_by_hand_meanwhile() {
    let edging = Yard::of("kind = \"boxwood\"\nheight = \"2 ft\"", "shear");
    let by_hand = Yard::of("kind = \"boxwood\"\nheight = \"2 ft\"", "thinning-cut");
    assert_eq!(edging.state("2027-02-25"), State::Wait);
    assert_eq!(by_hand.state("2027-02-25"), State::Go);
    assert!(edging.state("2027-05-25").allows());
}

#[test]
fn perennial_stalks_stay_until_the_plants_have_started_to_grow() {
    let stalks = Yard::of("kind = \"bee-balm\"", "cut-back");
    for winter in ["2026-12-10", "2027-02-10", "2027-03-05"] {
        assert!(!stalks.state(winter).allows(), "{winter}");
    }
    let spring = stalks.verdict("2027-04-12");
    assert!(spring.state.allows(), "{:?}", spring.findings);
    assert!(said(&spring).contains("8 to 24 in"), "{}", said(&spring));
    // The owner may follow the trial in North Carolina instead.
    let mut first_winter = Yard::of("kind = \"bee-balm\"", "cut-back");
    first_winter.choices().stem_bees = StemBees::FirstWinter;
    assert!(first_winter.state("2027-01-20").allows());
}

#[test]
fn a_torn_limb_is_cut_clean_on_any_day() {
    let torn = Yard::of("kind = \"maple\"\nheight = \"18 ft\"", "storm-repair");
    for today in ["2027-01-10", "2027-04-12", "2027-07-20", "2026-10-15"] {
        let verdict = torn.verdict(today);
        assert_eq!(verdict.state, State::Go, "{today}: {:?}", verdict.findings);
        let text = said(&verdict);
        for word in [
            "branch collar",
            "no paint",
            "do not top",
            "licensed arborist",
            "local codes",
        ] {
            assert!(text.contains(word), "{today}: no {word} in {text}");
        }
    }
}

#[test]
fn a_torn_oak_keeps_its_closed_season_and_is_painted() {
    let torn = Yard::of("kind = \"oak\"\nheight = \"18 ft\"", "storm-repair");
    let spring = torn.verdict("2027-05-12");
    assert!(!spring.state.allows());
    assert!(
        said(&spring).contains("paint the torn wood now"),
        "{}",
        said(&spring)
    );
    assert_eq!(storm(&spring).unwrap().repair, Some(Repair::Painted));
    assert!(torn.state("2027-01-10").allows());
}

#[test]
fn a_broken_leader_gets_a_note() {
    let marks = "kind = \"maple\"\nheight = \"18 ft\"\nmarks = [\"lost-leader\"]";
    let verdict = Yard::of(marks, "storm-repair").verdict("2027-07-20");
    assert_eq!(verdict.state, State::Go);
    assert_eq!(storm(&verdict).unwrap().leader, Some(Leader::Broadleaf));
    assert!(said(&verdict).contains("choose one upright side branch"));
}

#[test]
fn an_overgrown_shrub_goes_a_third_a_year_for_three_years() {
    let mut lilac = Yard::of(
        "kind = \"common-lilac\"\nmarks = [\"overgrown\"]",
        "renewal",
    );
    let days = ["2027-03-12", "2028-03-12", "2029-03-12"];
    for (year, today) in (1..=3).zip(days) {
        let verdict = lilac.verdict(today);
        assert_eq!(
            stage(&verdict),
            Some(Stage::Third { year, of: 3 }),
            "{today}"
        );
        assert!(verdict.state.allows(), "{today}: {:?}", verdict.findings);
        lilac.deeds.push(did("planting-renewal", today));
        let after = lilac.verdict(&day(today).succ_opt().unwrap().to_string());
        assert!(!after.state.allows(), "{today}");
    }
}

#[test]
fn all_at_once_only_where_the_kind_bears_it_and_the_owner_accepts_the_risk() {
    let today = "2027-03-20";
    let of = |kind: &str, marks: &str| {
        Yard::of(&format!("kind = \"{kind}\"\nmarks = [{marks}]"), "renewal").verdict(today)
    };
    let accepted = of("forsythia", "\"overgrown\", \"risk-accepted\"");
    assert_eq!(
        (bears(&accepted), stage(&accepted)),
        (Some(Bears::WholeAccepted), None)
    );
    let not_accepted = of("forsythia", "\"overgrown\"");
    let third = Some(Stage::Third { year: 1, of: 3 });
    assert_eq!(
        (bears(&not_accepted), stage(&not_accepted)),
        (Some(Bears::WholeOrThirds), third)
    );
    let does_not_bear = of("common-lilac", "\"overgrown\", \"risk-accepted\"");
    assert_eq!(
        (bears(&does_not_bear), stage(&does_not_bear)),
        (Some(Bears::ThirdsOnly), third)
    );
}

#[test]
fn old_boxwood_cut_hard_is_staged_and_thinned_in_the_years_after() {
    let hard = Yard::of("kind = \"boxwood\"", "renewal").verdict("2027-05-20");
    assert!(hard.state.allows(), "{:?}", hard.findings);
    assert_eq!(bears(&hard), Some(Bears::ThirdsOnly));
    assert_eq!(stage(&hard), Some(Stage::Third { year: 1, of: 3 }));
    assert!(said(&hard).contains("sources differ on the time"));
    let mut after = Yard::of("kind = \"boxwood\"", "thinning-cut");
    after.deeds.push(did("planting-renewal", "2027-05-21"));
    let thinned = after.verdict("2028-05-20");
    let on = day("2027-05-21");
    assert_eq!(stage(&thinned), Some(Stage::ThinAfter { on }));
}

#[test]
fn each_hydrangea_is_cut_in_its_own_way() {
    let of = |kind: &str, cut: &str, today: &str| {
        Yard::of(&format!("kind = \"{kind}\""), cut).verdict(today)
    };
    let smooth = Yard::of("kind = \"smooth-hydrangea\"", "renewal");
    assert!(smooth.state("2027-03-10").allows());
    assert!(smooth.how().contains("6-12 in"));
    assert!(
        of("panicle-hydrangea", "cut-back", "2027-03-20")
            .state
            .allows()
    );
    assert!(
        of("panicle-hydrangea", "thinning-cut", "2027-03-20")
            .state
            .allows()
    );
    // In late winter the flower buds sit on last year's wood.
    let bigleaf = of("bigleaf-hydrangea", "renewal", "2027-03-10");
    assert_eq!(bigleaf.state, State::Closed);
    assert!(said(&bigleaf).contains("flower buds"), "{}", said(&bigleaf));
    assert!(
        of("bigleaf-hydrangea", "deadhead", "2027-05-20")
            .state
            .allows()
    );
    // Of oakleaf only the dead flowers go.
    assert!(
        of("oakleaf-hydrangea", "deadhead", "2027-02-25")
            .state
            .allows()
    );
    assert!(
        !of("oakleaf-hydrangea", "thinning-cut", "2027-02-25")
            .state
            .allows()
    );
    assert!(Yard::refused("kind = \"oakleaf-hydrangea\"", "renewal"));
    assert!(Yard::refused("kind = \"oakleaf-hydrangea\"", "shear"));
}

#[test]
fn a_spring_bloomer_about_to_bloom_waits_and_has_time_to_set_buds() {
    let lilac = Yard::of("kind = \"common-lilac\"", "thinning-cut");
    let before = lilac.verdict("2027-04-08");
    assert_eq!(before.state, State::Wait);
    let opens = before.opens.unwrap().to;
    // Mid May, and the late end of it: the yard's April and May are 1 to 2 K cooler than those of St. Louis.
    assert!(
        (day("2027-04-25")..day("2027-06-15")).contains(&opens),
        "{opens}"
    );
    let after = lilac.verdict(&(opens + chrono::Days::new(3)).to_string());
    assert!(after.state.allows(), "{:?}", after.findings);
    // Buds of the next spring form in summer: the window has closed by 4 July.
    assert!(after.closes.unwrap() < day("2027-07-04"));
}

#[test]
fn an_autumn_bloomer_goes_in_early_spring() {
    assert!(
        Yard::of("kind = \"bluebeard\"", "cut-back")
            .state("2027-04-01")
            .allows()
    );
}

#[test]
fn a_standing_dead_trunk_is_checked_by_a_professional_every_year() {
    let marks = "kind = \"oak\"\nmarks = [\"standing-dead-trunk\"]";
    let verdict = Yard::of(marks, "limb-up").verdict("2027-01-10");
    assert_eq!(verdict.state, State::CallAPro);
    assert!(said(&verdict).contains("once a year"), "{}", said(&verdict));
}

#[test]
fn a_dead_branch_of_90_kg_overhead_is_a_professionals() {
    let marks = "kind = \"maple\"\nheaviest_branch = \"200 lb\"\nmarks = [\"branch-overhead\"]";
    let verdict = Yard::of(marks, "storm-repair").verdict("2027-07-20");
    assert_eq!(verdict.state, State::CallAPro);
    let dangers = found(&verdict, |facts| {
        if let Facts::Professional(facts) = facts {
            Some(facts.dangers.clone())
        } else {
            None
        }
    });
    let is_heavy = |danger: &Danger| matches!(danger, Danger::Heavy { .. });
    assert!(dangers.unwrap().iter().any(is_heavy));
    let text = said(&verdict);
    assert!(
        text.contains("200 lb") && text.contains("local codes"),
        "{text}"
    );
}

#[test]
fn an_oak_waits_for_days_below_50_degrees_even_in_the_open_season() {
    let mut oak = Yard::of("kind = \"oak\"\nheight = \"18 ft\"", "limb-up");
    assert_eq!(oak.state("2027-01-20"), State::Go);
    oak.anomaly = 15.0;
    let warm = oak.verdict("2027-02-12");
    assert_eq!(warm.state, State::Wait, "{:?}", warm.findings);
    assert!(said(&warm).contains("50 °F"), "{}", said(&warm));
}

#[test]
fn a_hedge_in_nest_season_is_searched_first() {
    let mut hedge = Yard::of("kind = \"boxwood\"", "shear");
    let verdict = hedge.verdict("2027-05-25");
    let is_nest = |stand: &Stand, facts: &Facts| {
        matches!(facts, Facts::Nesting(_)) && matches!(stand, Stand::Clear { .. })
    };
    let searched = verdict.findings.iter();
    assert!(searched.clone().any(|one| is_nest(&one.stand, &one.facts)));
    assert!(said(&verdict).contains("search the plant first"));
    hedge.choices().nest_region = NestRegion::South;
    let silent = hedge.verdict("2027-05-25");
    assert!(
        !silent
            .findings
            .iter()
            .any(|one| is_nest(&one.stand, &one.facts))
    );
}

#[test]
fn every_finding_names_its_source() {
    for (plant, cut) in [
        (
            "kind = \"oak\"\nmarks = [\"lost-leader\", \"leaning\"]",
            "storm-repair",
        ),
        ("kind = \"boxwood\"\nmarks = [\"overgrown\"]", "renewal"),
        ("kind = \"maple\"", "limb-up"),
        ("kind = \"coneflower\"", "cut-back"),
        ("kind = \"spurge\"", "cut-back"),
    ] {
        for finding in Yard::of(plant, cut).verdict("2027-03-20").findings {
            assert!(finding.source.len() > 10, "{plant}: {finding:?}");
            let text = words::reason(
                &finding,
                day("2027-03-20"),
                Locale::english(UnitSystem::Metric),
            );
            assert!(!text.is_empty() && !text.ends_with('.'), "{text}");
        }
    }
}

//! When letters go, over weeks of verdicts that jump as no weather does: nothing nags, nothing comes at night, and what
//! cannot wait does not.

use std::path::Path;

use budward::almanac;
use budward::config::Settings;
use budward::garden::{Garden, LetterDay, LetterTimes};
use budward::notice::{Desk, Haste, Matter, News, Said, Waiting, cut_matters, most_urgent_first};
use budward::verdict::{State, Verdict};
use chrono::{DateTime, Datelike, Days, NaiveDate, TimeDelta, Timelike, Utc, Weekday};
use proptest::prelude::*;
use serde_json::json;

const FIRST: &str = "2027-03-01";

const STATES: [State; 5] = [
    State::Go,
    State::Closing,
    State::Wait,
    State::Closed,
    State::Unknown,
];

fn garden(letters: &str) -> Garden {
    let text = format!(
        r#"
[mail]
from = "garden@example.org"
folder = "mails"

[[garden]]
name = "quarry"
latitude = 40.63
longitude = -74.43
time_zone = "America/New_York"
mail_to = "keeper@example.org"
forecast = {{ source = "files", forecast = "forecast.json" }}
history = {{ source = "none" }}
plant = [
    {{ name = "box", kind = "boxwood", cut = [{{ cut = "shear" }}] }},
    {{ name = "lilac", kind = "common-lilac", cut = [{{ cut = "deadhead" }}] }},
    {{ name = "catmint", kind = "catmint", cut = [{{ cut = "shear" }}] }},
]
{letters}
"#
    );
    let almanac = almanac::embedded().unwrap();
    let settings = Settings::parse(&text, Path::new("garden.toml"), &almanac, &|_| None).unwrap();
    settings.gardens[0].garden.clone()
}

/// A verdict of a state; an open window closes after so many days.
fn verdict(cut: &str, at: DateTime<Utc>, today: NaiveDate, (state, left): (State, u64)) -> Verdict {
    let closes = state.allows().then(|| today + Days::new(left));
    let verdict = json!({
        "garden": "quarry", "cut": cut, "planting": cut, "cut_kind": "shear",
        "at": at, "today": today, "state": state.name(), "opens": null, "closes": closes, "wished": null,
        "findings": [],
        "basis": {
            "today": today, "futures": 30, "years": 30, "members": 1, "forecast_days": 15, "missing": [],
        },
    });
    serde_json::from_value(verdict).unwrap()
}

/// A letter that went.
struct Gone {
    at: DateTime<Utc>,
    told: Vec<(String, News)>,
    hasty: bool,
}

/// The letters of a garden over looks, twice a day, as a cycle has them.
fn letters(garden: &Garden, looks: &[[(State, u64); 3]]) -> Vec<Gone> {
    let zone = &garden.place.zone;
    let first: NaiveDate = FIRST.parse().unwrap();
    let (mut said, mut waiting) = (vec![None::<Said>; 3], Vec::new());
    let mut gone: Vec<Gone> = Vec::new();
    for (place, states) in looks.iter().enumerate() {
        let today = first + Days::new(u64::try_from(place / 2).unwrap());
        let (hour, minute) = if place % 2 == 0 { (5, 30) } else { (14, 30) };
        let now = zone.instant(today.and_hms_opt(hour, minute, 0).unwrap());
        let verdicts: Vec<Verdict> = garden
            .cuts
            .iter()
            .zip(states)
            .map(|(cut, state)| verdict(&cut.name, now, today, *state))
            .collect();
        let news = cut_matters((&verdicts, &garden.cuts), &said, &waiting, &[]);
        let names = news.iter().map(|one| (one.verdict.cut.as_str(), one.news));
        waiting = Waiting::after(&waiting, names, &verdicts, now);
        let mut matters: Vec<Matter<'_>> = news.iter().copied().map(Matter::Cut).collect();
        most_urgent_first(&mut matters);
        let desk = Desk {
            now,
            times: &garden.letters,
            zone,
            last_letter: gone.last().map(|letter| letter.at),
            letters_today: gone
                .iter()
                .filter(|letter| zone.date(letter.at) == today)
                .count(),
        };
        let Some(at) = desk.goes(&matters) else {
            continue;
        };
        waiting.clear();
        let hastes: Vec<Haste> = matters.iter().map(Matter::haste).collect();
        assert!(hastes.is_sorted(), "{hastes:?}");
        let mut told = Vec::new();
        for one in &news {
            let cut = garden
                .cuts
                .iter()
                .position(|cut| cut.name == one.verdict.cut);
            said[cut.unwrap()] = Some(Said {
                news: one.news,
                at: now,
                wished: None,
            });
            told.push((one.verdict.cut.clone(), one.news));
        }
        let hasty = hastes.iter().any(|haste| *haste != Haste::LetterDay);
        gone.push(Gone { at, told, hasty });
    }
    gone
}

fn look() -> impl Strategy<Value = [(State, u64); 3]> {
    let one = || (0..STATES.len(), 0_u64..60).prop_map(|(state, left)| (STATES[state], left));
    [one(), one(), one()]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_news_nags_and_none_comes_at_night(looks in proptest::collection::vec(look(), 120)) {
        let garden = garden("");
        let gone = letters(&garden, &looks);
        for (place, letter) in gone.iter().enumerate() {
            let local = garden.place.zone.local(letter.at);
            prop_assert!((7..21).contains(&local.hour()), "{local}");
            for before in &gone[..place] {
                let is_again = before.told.iter().any(|told| letter.told.contains(told));
                let apart = letter.at - before.at;
                prop_assert!(!is_again || apart >= TimeDelta::hours(72), "{:?} after {apart}", letter.told);
            }
            let is_letter_day = local.weekday() == Weekday::Thu || place == 0;
            prop_assert!(letter.hasty || is_letter_day, "{local}: {:?}", letter.told);
        }
    }
}

#[test]
fn who_was_told_to_go_hears_at_once_that_it_is_off_and_the_go_waits_for_thursday() {
    let garden = garden("");
    // From Monday, 1 March on; the first look has nothing to say.
    let nothing = [(State::Wait, 0); 3];
    let go = [(State::Go, 50), (State::Wait, 0), (State::Wait, 0)];
    let mut looks = vec![nothing; 2];
    looks.extend([go; 12]);
    looks.extend([nothing; 4]);
    let gone = letters(&garden, &looks);
    let day = |letter: &Gone| garden.place.zone.date(letter.at).day();
    let told: Vec<_> = gone.iter().map(|one| (day(one), one.told[0].1)).collect();
    // The first letter of all does not wait; it is the second that shows the rule.
    assert_eq!(told, [(2, News::NowGo), (8, News::PutOff)]);
    let lilac = [(State::Go, 50), (State::Go, 50), (State::Wait, 0)];
    let mut looks = vec![nothing, nothing, go, go];
    looks.extend([lilac; 8]);
    let gone = letters(&garden, &looks);
    let told: Vec<_> = gone.iter().map(|one| (day(one), one.told[0].1)).collect();
    assert_eq!(
        told,
        [(2, News::NowGo), (4, News::NowGo)],
        "Tuesday and Thursday"
    );
}

#[test]
fn the_letter_day_and_the_quiet_hours_are_the_keepers_choice() {
    let times = |letters: &str| garden(letters).letters;
    assert_eq!(times(""), LetterTimes::USUAL);
    let own = times(
        "[garden.letters]\nday = \"any\"\nquiet = \"none\"\nmost_a_day = 3\nround_up = true\nyear_plan = true\n",
    );
    let wanted = LetterTimes {
        day: LetterDay::Any,
        quiet: None,
        most_a_day: 3,
        round_up: true,
        year_plan: true,
    };
    assert_eq!(own, wanted);
}

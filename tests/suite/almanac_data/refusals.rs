//! Every way in which a data file can be wrong is refused, with the place, what was found and what is allowed.

use budward::almanac::{Almanac, AlmanacError, DataFile};

/// One file in order; each test spoils one thing in it.
const GOOD: &str = include_str!("good.toml");

fn read(text: &str) -> Result<Almanac, AlmanacError> {
    Almanac::read(&[DataFile {
        name: "some.toml",
        text,
    }])
}

/// The refusal of the good file with one text in it replaced.
fn refused(from: &str, to: &str) -> AlmanacError {
    assert!(GOOD.contains(from), "the good file has no {from}");
    match read(&GOOD.replacen(from, to, 1)) {
        Ok(_) => panic!("'{to}' in place of '{from}' was accepted"),
        Err(error) => error,
    }
}

/// What stands in the good file after one text, up to another one or to the end.
fn text_between(start: &str, end: &str) -> &'static str {
    let (_, rest) = GOOD.split_once(start).unwrap();
    rest.split_once(end).map_or(rest, |(between, _)| between)
}

/// Asserts that the refusal names the key and says all the words.
fn assert_refused(from: &str, to: &str, key: &str, words: &[&str]) {
    let error = refused(from, to);
    let text = error.to_string();
    assert_eq!(error.key, key, "{text}");
    for word in words {
        assert!(text.contains(word), "'{word}' is not in: {text}");
    }
}

#[test]
fn the_file_without_a_fault_is_read() {
    let almanac = read(GOOD).unwrap();
    let kind = almanac.kind("some-shrub").unwrap();
    let source = |of: &str| {
        &kind
            .sources
            .iter()
            .find(|note| note.of == of)
            .unwrap()
            .source
    };
    assert_eq!(
        source("bloom"),
        "from memory: Some press, Some book, 2001; estimate"
    );
    assert_eq!(source("bud set"), "common practice, no source");
    let tender = kind.cuts[0].tender.as_ref().unwrap();
    assert_eq!(tender.edges.unwrap().days, 28);
    assert_eq!(
        tender.growth.unwrap().firm_after.sum().to_bits(),
        250.0_f64.to_bits()
    );
}

#[test]
fn a_refusal_says_where_it_is() {
    let error = refused("tender = \"sheared\"", "tender = \"shaered\"");
    let line = GOOD
        .lines()
        .position(|line| line.starts_with("tender = "))
        .unwrap()
        + 1;
    assert_eq!(
        error.to_string(),
        format!(
            "cannot read some.toml, line {line}, column 10, kind 'some-shrub', cut 'shear', key 'tender': \
             no tender class 'shaered'; allowed: 'none', 'sheared'; did you mean 'sheared'?"
        )
    );
}

#[test]
fn an_unknown_key_is_refused_with_the_nearest_one() {
    let kind = [
        "kind 'some-shrub'",
        "unknown",
        "'botanicle'",
        "did you mean 'botanical'?",
    ];
    assert_refused("botanical =", "botanicle =", "botanicle", &kind);
    let cut = ["cut 'shear'", "'outsid'", "did you mean 'outside'?"];
    assert_refused("outside =", "outsid =", "outsid", &cut);
    assert_refused(
        "[[kind.caution]]",
        "[[kind.causion]]",
        "kind.causion",
        &["'caution'"],
    );
    assert_refused(
        "days_min",
        "days_mn",
        "growth",
        &["tender class 'sheared'", "'days_min'"],
    );
    assert_refused(
        "days_per_zone",
        "day_per_zone",
        "bloom",
        &["'days_per_zone'"],
    );
    assert_refused("warmest", "hottest", "zones", &["'hottest'", "'warmest'"]);
}

#[test]
fn a_word_that_is_none_of_the_allowed_ones_is_refused() {
    assert_refused(
        "\"old\"",
        "\"odl\"",
        "wood",
        &["'odl'", "'old'", "'new'", "'both'"],
    );
    assert_refused(
        "deciduous-shrub",
        "deciduos-shrub",
        "habit",
        &["did you mean 'deciduous-shrub'?"],
    );
    assert_refused("\"shear\"", "\"sheer\"", "cut", &["did you mean 'shear'?"]);
    assert_refused(
        "\"memory\"",
        "\"heard\"",
        "known",
        &["source 'some-book'", "'read'"],
    );
}

#[test]
fn a_row_without_a_source_is_refused() {
    let cut = "how = \"Clip it.\"\nsource = [\"some-book\"]";
    assert_refused(
        cut,
        "how = \"Clip it.\"",
        "source",
        &["cut 'shear'", "no source"],
    );
    assert_refused(
        cut,
        "how = \"Clip it.\"\nsource = []",
        "source",
        &["empty", "'estimate'"],
    );
    let caution = "source = [\"common-practice\"]\n[[kind.cut]]";
    assert_refused(
        caution,
        "[[kind.cut]]",
        "source",
        &["kind 'some-shrub'", "no source"],
    );
    assert_refused(
        "source = [\"estimate\"]",
        "",
        "source",
        &["tender class 'sheared'", "missing"],
    );
    assert_refused("wood = [\"some-book\"]\n", "", "wood", &["no source"]);
    assert_refused(
        "bloom = [\"some-book\", \"estimate\"]\n",
        "",
        "bloom",
        &["no source"],
    );
    assert_refused(
        "bud_set = [\"com",
        "bud_break = [\"estimate\"]\nbud_set = [\"com",
        "bud_break",
        &["nothing for this source"],
    );
}

#[test]
fn an_unknown_source_is_refused_with_the_nearest_one() {
    assert_refused(
        "wood = [\"some-book\"]",
        "wood = [\"some-bok\"]",
        "wood",
        &["did you mean 'some-book'?"],
    );
    assert_refused(
        "[\"estimate\"]",
        "[\"estimated\"]",
        "source",
        &["did you mean 'estimate'?"],
    );
    assert_refused(
        "Some press, Some book, 2001",
        " ",
        "cite",
        &["publisher, title and year"],
    );
}

#[test]
fn a_season_that_counts_from_an_event_without_dates_is_refused() {
    let words = ["cut 'shear'", "'bud-break'", "no dates"];
    assert_refused("bloom-end to 28", "bud-break to 28", "season", &words);
    assert_refused(
        "bloom-end to",
        "bloom-ned to",
        "season",
        &["did you mean 'bloom-end'?"],
    );
}

#[test]
fn a_season_that_never_opens_is_refused() {
    let words = ["never opens"];
    assert_refused(
        "bloom-end to 28",
        "40 days after bloom-end to 28",
        "season",
        &words,
    );
    assert_refused(
        "28 days after bloom-end",
        "5 days before bloom-end",
        "season",
        &words,
    );
    assert_refused(
        "bloom-end to 28 days after bloom-end",
        "bud-set to bloom-end",
        "season",
        &words,
    );
    // Open in zone 8, where it starts on 8 May; in zone 4 bloom ends on 4 June, three days after the fixed end.
    let fixed = "bloom-end to 30 days before mid-summer";
    assert_refused(
        "bloom-end to 28 days after bloom-end",
        fixed,
        "season",
        &["zone 4", "3 days before"],
    );
}

#[test]
fn a_season_needs_a_reason_and_no_season_needs_none() {
    let outside = "outside = \"flower buds form on the new shoots\"\n";
    assert_refused(outside, "", "outside", &["missing"]);
    assert_refused(
        "bloom-end to 28 days after bloom-end",
        "any-time",
        "outside",
        &["no outside"],
    );
    assert_refused("new shoots", "new shoots.", "outside", &["full stop"]);
}

#[test]
fn tender_figures_out_of_range_are_refused() {
    assert_refused("days = 28", "days = 0", "days", &["found 0", "1 to 60"]);
    assert_refused("days = 28", "days = 365", "days", &["found 365"]);
    assert_refused(
        "damage_at_c = -2.2",
        "damage_at_c = 28",
        "damage_at_c",
        &["found 28", "-40 to 5"],
    );
    assert_refused(
        "damage_at_c = -2.2",
        "damage_at_c = nan",
        "damage_at_c",
        &["NaN"],
    );
    assert_refused(
        "firm_after_degree_days = 250",
        "firm_after_degree_days = 9000",
        "firm_after_degree_days",
        &["0 to 1500"],
    );
    assert_refused(
        "starts_after_degree_days = 0",
        "starts_after_degree_days = -1",
        "starts_after_degree_days",
        &["0 to 600"],
    );
    assert_refused("days_max = 84", "days_max = 400", "days_max", &["0 to 120"]);
    assert_refused(
        "days_min = 28",
        "days_min = 85",
        "days_min",
        &["found 85", "0 to 84"],
    );
}

#[test]
fn dates_and_zones_out_of_range_are_refused() {
    assert_refused(
        "days_per_zone = 7",
        "days_per_zone = 70",
        "bloom",
        &["-14 to 14"],
    );
    assert_refused(
        "28 days after",
        "280 days after",
        "season",
        &["'280'", "1 to 150"],
    );
    assert_refused(
        "warmest = 8",
        "warmest = 14",
        "zones",
        &["found 14", "1 to 13"],
    );
    assert_refused(
        "coldest = 4",
        "coldest = 9",
        "zones",
        &["found 9", "1 to 8"],
    );
}

#[test]
fn days_of_the_year_that_do_not_exist_are_refused() {
    assert_refused(
        "\"04-15\"",
        "\"04-31\"",
        "bloom",
        &["kind 'some-shrub'", "'04-31'", "such as 04-15"],
    );
    assert_refused("\"04-15\"", "\"4-15\"", "bloom", &["'4-15'"]);
    assert_refused(
        "from = \"04-15\"",
        "from = \"06-15\"",
        "bloom",
        &["329 days"],
    );
}

#[test]
fn a_name_is_given_once() {
    let again = |header: &str| {
        let row = format!("{header}{}", text_between(header, "[["));
        read(&format!("{GOOD}\n{row}")).unwrap_err().to_string()
    };
    assert!(
        again("[[source]]").contains("source 'some-book', key 'id': 'some-book' is there twice")
    );
    assert!(
        again("[[tender]]").contains("tender class 'sheared', key 'id': 'sheared' is there twice")
    );
    assert!(again("[[kind.cut]]").contains("cut 'shear', key 'cut': 'shear' is there twice"));
    let kind = &format!("[[kind]]{}", text_between("[[kind]]", "the end"));
    let twice = |kind: &str| read(&format!("{GOOD}\n{kind}")).unwrap_err().to_string();
    assert!(twice(kind).contains("key 'id': 'some-shrub' is there twice"));
    let other = kind
        .replace("some-shrub", "other")
        .replace("some shrub", "another");
    assert!(twice(&other).contains("key 'also': 'a shrub' is already a name of 'some-shrub'"));
}

#[test]
fn texts_are_written_and_end_as_sentences() {
    assert_refused("Clip it.", "Clip it", "how", &["full stop"]);
    assert_refused("It has thorns.", "", "text", &["empty"]);
    assert_refused("It is soft for a while.", "soft", "why", &["full stop"]);
    assert_refused("\"a shrub\"", "\"\"", "also", &["empty"]);
    assert_refused(
        "id = \"some-shrub\"",
        "id = \"Some shrub\"",
        "id",
        &["small letters"],
    );
}

#[test]
fn a_kind_without_cuts_and_a_class_without_effect_are_refused() {
    let cut = format!("[[kind.cut]]{}", text_between("[[kind.cut]]", "the end"));
    assert_refused(&cut, "", "cut", &["kind 'some-shrub'", "no cut"]);
    let effect = text_between("for a while.\"\n", "source");
    assert_refused(effect, "", "edges", &["neither edges nor growth"]);
    assert_refused(
        "id = \"sheared\"",
        "id = \"none\"",
        "id",
        &["stands for no tender class"],
    );
    assert_refused(
        "id = \"some-book\"",
        "id = \"estimate\"",
        "id",
        &["having no publication"],
    );
}

#[test]
fn every_group_of_values_names_its_source() {
    for group in ["zones", "pace", "hard_cut", "share_max", "holds", "bud_set"] {
        let sources = text_between("[kind.sources]\n", "[[kind.caution]]");
        let line = sources
            .lines()
            .find(|line| line.starts_with(&format!("{group} = ")))
            .unwrap();
        let without = sources.replacen(&format!("{line}\n"), "", 1);
        let words = ["kind 'some-shrub'", "no source"];
        assert_refused(sources, &without, group, &words);
    }
    assert_refused(
        "pace = [\"some-book\"]",
        "paec = [\"some-book\"]",
        "paec",
        &["unknown group", "did you mean 'pace'?"],
    );
}

#[test]
fn what_a_kind_bears_is_given_and_within_range() {
    assert_refused("pace = \"medium\"\n", "", "pace", &["missing"]);
    assert_refused("hard_cut = \"staged\"\n", "", "hard_cut", &["missing"]);
    assert_refused("share_max = 33\n", "", "share_max", &["missing"]);
    for share in ["0", "101", "-5"] {
        let to = format!("share_max = {share}\n");
        let words = [format!("found {share}"), "1 to 100".to_owned()];
        assert_refused(
            "share_max = 33\n",
            &to,
            "share_max",
            &words.each_ref().map(String::as_str),
        );
    }
    assert_refused(
        "\"wet-foliage\"",
        "\"wet-foliag\"",
        "holds",
        &["did you mean 'wet-foliage'?"],
    );
}

#[test]
fn heat_sums_are_within_range_and_have_a_source() {
    let from = "degree_days_c = 130, base_c = 10";
    assert_refused(
        from,
        "degree_days_c = 0, base_c = 10",
        "degree_days_c",
        &["found 0"],
    );
    assert_refused(
        from,
        "degree_days_c = 130, base_c = 50",
        "base_c",
        &["0 to 15"],
    );
    assert_refused(
        ", source = [\"some-book\"] }]",
        " }]",
        "source",
        &["no source"],
    );
}

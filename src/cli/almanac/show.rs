//! One kind of plant, whole: on a page of 80 columns, or as JSON.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;

use serde::Serialize;

use crate::almanac::{Cut, CutKind, Kind, MonthDay, Sourced};
use crate::cli::board::print_wrapped;
use crate::cli::logging::Form;
use crate::locale::{Locale, say};
use crate::message::words::{self, kinds};

/// A kind with what is computed from it.
#[derive(Debug, Serialize)]
struct Entry<'a> {
    #[serde(flatten)]
    kind: &'a Kind,
    /// First and last day of each cut's season in the middle of zone 7; null when it is all year.
    zone_7_windows: BTreeMap<&'a str, Option<(MonthDay, MonthDay)>>,
    /// Other kinds that may have been meant.
    see_also: &'a [&'a str],
}

/// Shows a kind.
pub(super) fn show(
    out: &mut impl Write,
    kind: &Kind,
    see_also: &[&str],
    (form, locale): (Form, Locale),
) -> anyhow::Result<()> {
    if form == Form::Json {
        let windows = kind.cuts.iter();
        let entry = Entry {
            kind,
            zone_7_windows: windows
                .map(|cut| (cut.cut.name(), kind.zone_7_window(cut.season)))
                .collect(),
            see_also,
        };
        serde_json::to_writer_pretty(&mut *out, &entry)?;
        writeln!(out)?;
        return Ok(());
    }
    head(out, kind, locale)?;
    year(out, kind, locale)?;
    cuts(out, kind, locale)?;
    tender(out, kind, locale)?;
    bears(out, kind, locale)?;
    let hygiene = say!(locale, "almanac-hygiene");
    said(out, &hygiene, kind.hygiene.iter(), locale)?;
    let mind = say!(locale, "letter-mind");
    said(out, &mind, kind.cautions.iter(), locale)?;
    if !see_also.is_empty() {
        writeln!(out)?;
        let names = see_also.join(", ");
        print_wrapped(out, &say!(locale, "see-also", names = names), 0)?;
    }
    Ok(())
}

fn head(out: &mut impl Write, kind: &Kind, locale: Locale) -> std::io::Result<()> {
    print_wrapped(
        out,
        &format!("{} ({})", kinds::name(kind, locale), kind.botanical),
        0,
    )?;
    if !kinds::also(kind, locale).is_empty() {
        let names = kinds::also(kind, locale).join(", ");
        print_wrapped(out, &say!(locale, "also-called-sentence", names = names), 0)?;
    }
    print_wrapped(out, &kinds::grows(kind, locale), 0)?;
    sources(out, kind, &kinds::GROWS_OF, locale)?;
    kind.needs_no_cut.as_ref().map_or(Ok(()), |why| {
        print_wrapped(
            out,
            &say!(
                locale,
                "needs-no-cut-because",
                why = kinds::text(&why.text, locale),
                source = words::sourced(&why.source, locale)
            ),
            0,
        )
    })
}

/// The events of its year.
fn year(out: &mut impl Write, kind: &Kind, locale: Locale) -> std::io::Result<()> {
    let rows = kinds::year(kind, locale);
    if rows.is_empty() && kind.heat.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n{}", kinds::year_head(locale))?;
    for (_, name, span, days_per_zone) in &rows {
        writeln!(out, "  {name:<18} {span:<32} {days_per_zone:+}")?;
    }
    let names: Vec<&str> = rows.iter().map(|(group, ..)| *group).collect();
    sources(out, kind, &names, locale)?;
    kind.heat
        .iter()
        .try_for_each(|sum| print_wrapped(out, &kinds::heat(sum, locale), 2))
}

fn cuts(out: &mut impl Write, kind: &Kind, locale: Locale) -> std::io::Result<()> {
    let repair = kind.takes(CutKind::StormRepair);
    for cut in kind.cuts.iter().chain(&repair) {
        let work = words::capital(&words::to_do(cut.cut, locale));
        writeln!(out, "\n{work}: {}", kinds::window(kind, cut, locale))?;
        if let Some(counted) = kinds::counted(cut, locale) {
            print_wrapped(out, &counted, 2)?;
        }
        one_cut(out, cut, locale)?;
    }
    Ok(())
}

fn one_cut(out: &mut impl Write, cut: &Cut, locale: Locale) -> std::io::Result<()> {
    print_wrapped(out, kinds::text(&cut.how, locale), 2)?;
    if let Some(outside) = &cut.outside {
        print_wrapped(
            out,
            &say!(locale, "at-other-times", why = kinds::text(outside, locale)),
            2,
        )?;
    }
    print_wrapped(out, &kinds::frost(cut, locale), 2)?;
    print_wrapped(out, &words::sourced(&cut.source, locale), 2)
}

/// Each tender class of its cuts once, with its why.
fn tender(out: &mut impl Write, kind: &Kind, locale: Locale) -> std::io::Result<()> {
    let mut shown = BTreeSet::new();
    for tender in kind.cuts.iter().filter_map(|cut| cut.tender.as_ref()) {
        if shown.insert(&tender.class) {
            let class = kinds::data_name(&tender.class, locale);
            writeln!(out, "\n{}", say!(locale, "tender-class", class = class))?;
            print_wrapped(out, kinds::text(&tender.why, locale), 2)?;
            print_wrapped(out, &words::sourced(&tender.source, locale), 2)?;
        }
    }
    Ok(())
}

/// What it bears, what is about it, each with its source.
fn bears(out: &mut impl Write, kind: &Kind, locale: Locale) -> std::io::Result<()> {
    writeln!(out, "\n{}", kinds::bears_head(locale))?;
    for (name, of, text) in kinds::bears(kind, locale) {
        print_wrapped(out, &format!("{name}: {text}."), 2)?;
        sources(out, kind, &[of], locale)?;
    }
    Ok(())
}

fn said<'a>(
    out: &mut impl Write,
    name: &str,
    sentences: impl Iterator<Item = &'a Sourced>,
    locale: Locale,
) -> std::io::Result<()> {
    for (position, one) in sentences.enumerate() {
        if position == 0 {
            writeln!(out, "\n{name}")?;
        }
        print_wrapped(out, kinds::text(&one.text, locale), 2)?;
        print_wrapped(out, &words::sourced(&one.source, locale), 4)?;
    }
    Ok(())
}

fn sources(
    out: &mut impl Write,
    kind: &Kind,
    groups: &[&str],
    locale: Locale,
) -> std::io::Result<()> {
    let sentences = kinds::sources(kind, groups, locale);
    sentences
        .iter()
        .try_for_each(|sentence| print_wrapped(out, sentence, 4))
}

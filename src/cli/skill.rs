//! `skill` shows how far the forecasts of each garden have been verified.

use std::io::Write;

use clap::Args;
use serde::Serialize;

use super::board::print_wrapped;
use super::{FileArgs, MomentArgs};
use crate::config::GardenSettings;
use crate::daemon::{Reach, look};
use crate::locale::Locale;
use crate::look::Seen;
use crate::message::words;
use crate::outlook::{LeadEvidence, Skill, SourceSkill};
use crate::thermometer::OwnThermometer;

/// Show how far the forecasts of each garden have been verified; asks no service.
#[derive(Debug, Clone, Args)]
pub(super) struct SkillArgs {
    /// Only this garden.
    #[arg(long, value_name = "NAME")]
    garden: Option<String>,
    #[command(flatten)]
    file: FileArgs,
    #[command(flatten)]
    moment: MomentArgs,
    /// As JSON, temperatures in °C.
    #[arg(long)]
    json: bool,
}

/// A garden with the skill of each source.
#[derive(Debug, Serialize)]
struct GardenSkill<'a> {
    garden: &'a str,
    sources: Vec<SourceSkill>,
    /// What its own thermometer taught.
    #[serde(skip_serializing_if = "Option::is_none")]
    thermometer: Option<OwnThermometer>,
}

pub(super) async fn skill(args: &SkillArgs) -> anyhow::Result<()> {
    let (house, now, _) = super::once::open(&args.file.config, args.moment.at)?;
    let mut all = Vec::new();
    for garden in super::find::gardens(house.gardens(), args.garden.as_deref())? {
        let weather = house.gather(garden, now, Reach::Here).await?;
        all.push((garden, look(garden, &weather, now)));
    }
    let mut out = std::io::stdout().lock();
    if args.json {
        let all: Vec<GardenSkill<'_>> = all
            .into_iter()
            .map(|(garden, seen)| GardenSkill {
                garden: &garden.garden.name,
                sources: seen.skills,
                thermometer: seen.thermometer,
            })
            .collect();
        serde_json::to_writer_pretty(&mut out, &all)?;
        writeln!(out)?;
        return Ok(());
    }
    for (index, (garden, seen)) in all.iter().enumerate() {
        if index > 0 {
            writeln!(out)?;
        }
        print_garden(&mut out, garden, seen)?;
    }
    Ok(())
}

fn print_garden(out: &mut impl Write, garden: &GardenSettings, seen: &Seen) -> std::io::Result<()> {
    let garden = &garden.garden;
    writeln!(out, "{} ({})", garden.title, garden.name)?;
    if let Some(own) = &seen.thermometer {
        print_wrapped(out, &words::thermometer(own, garden.locale), 2)?;
    }
    if seen.skills.is_empty() {
        print_wrapped(out, &words::nothing_kept(garden.locale), 2)?;
        return print_leads(out, &Skill::default().unlearned().runs, garden.locale);
    }
    for source in &seen.skills {
        print_wrapped(out, &words::skill(source, garden.locale), 2)?;
        print_leads(out, source.in_use(), garden.locale)?;
    }
    garden
        .remark
        .as_ref()
        .map_or(Ok(()), |remark| print_wrapped(out, remark, 2))
}

fn print_leads(
    out: &mut impl Write,
    leads: &[LeadEvidence],
    locale: Locale,
) -> std::io::Result<()> {
    let heads = words::skill_heads(locale);
    let rows = leads.iter().map(|lead| words::skill_row(lead, locale));
    for [lead, nights, correlation, error, bias] in std::iter::once(heads).chain(rows) {
        writeln!(
            out,
            "  {lead:>10}  {nights:>6}  {correlation:>12}  {error:>9}  {bias:>11}"
        )?;
    }
    Ok(())
}

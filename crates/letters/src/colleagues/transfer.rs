//! The summary for a clinic that continues the treatment: the whole course of both feet on two pages at most. The
//! file of the record that goes with it has everything.

use super::{
    ColleagueBlock, ColleagueDocument, ColleagueDocumentKind, ColleagueFacts, NoLetter, course_table, date,
    feet, going, heading, own, said,
};
use crate::{document::Block, parts::messages};
use course::{BraceSpell, Cause, WearKind, WearSpan};
use messages::Sentence;
use record::{Brace, Screened};

/// Rows of both courses together that two pages hold beside the rest.
const COURSE_ROWS: usize = 40;
/// Spells in the brace, and spans of wear, that are printed: the last ones.
const SPELLS: usize = 6;

/// The summary.
///
/// # Errors
/// Where the child died or no affected foot is recorded.
pub fn transfer_summary(facts: &ColleagueFacts<'_>) -> Result<ColleagueDocument, NoLetter> {
    facts.check(false)?;
    let course = facts.course();
    let mut blocks = vec![Block::Paragraph(messages(&["clinic-transfer-why"]))];
    blocks.extend(going::doubt(facts));
    blocks.extend(going::standing(facts));
    blocks.push(feet::each_foot(course, |foot| {
        [feet::nature(foot), feet::done(foot), feet::now(foot)].concat()
    }));
    let most = COURSE_ROWS / course.feet.len().max(1);
    blocks.extend(course.feet.iter().map(|foot| course_table::table(foot, most)));
    blocks.extend(braces(&course.braces));
    blocks.extend(wear(&course.wear));
    blocks.extend(screening(facts));
    blocks.extend(going::steps(facts, false));
    blocks.extend(going::dates(facts));
    blocks.extend(family(facts));
    blocks.extend(going::closing(facts));
    Ok(facts.finished(ColleagueDocumentKind::TransferSummary, "clinic-transfer-title", blocks))
}

fn braces(spells: &[BraceSpell]) -> Option<Block> {
    if spells.is_empty() {
        return None;
    }
    let rows = spells.iter().skip(spells.len().saturating_sub(SPELLS)).map(spell);
    let heads = ["clinic-col-from", "clinic-col-until", "clinic-col-regime", "clinic-col-settings"];
    Some(own(ColleagueBlock::Wide {
        caption: shortened("clinic-braces", "clinic-braces-shortened", spells.len()),
        heads: heads.map(Sentence::new).to_vec(),
        rows: rows.collect(),
    }))
}

/// The caption of a table that shows the last of many.
fn shortened(whole: &'static str, last: &'static str, all: usize) -> Sentence {
    if all <= SPELLS {
        return Sentence::new(whole);
    }
    Sentence::new(last).with("left", i64::try_from(all - SPELLS).unwrap_or(0))
}

fn spell(spell: &BraceSpell) -> Vec<String> {
    let until =
        spell.until.map_or_else(|| "now".to_owned(), |(day, why)| format!("{}, {}", day.words(), cause(why)));
    let inferred = if spell.regime_stated { "" } else { " (not recorded; inferred)" };
    let hours =
        spell.hours_prescribed.map_or_else(String::new, |hours| format!(", {hours} h a day prescribed"));
    let regime = format!("{}{inferred}{hours}", spell.regime.words());
    vec![spell.from.words(), until, regime, settings(&spell.brace)]
}

const fn cause(cause: Cause) -> &'static str {
    match cause {
        Cause::Changed => "changed",
        Cause::Stopped => "stopped",
        Cause::Recast => "cast again",
        Cause::Refitted => "fitted anew",
    }
}

/// The settings that are recorded; each boot with its side.
fn settings(brace: &Brace) -> String {
    let mut words = Vec::new();
    if let Some(label) = &brace.label {
        words.push(label.clone());
    }
    if let Some(mm) = brace.bar_mm {
        words.push(format!("bar {mm} mm"));
    }
    for boot in &brace.boots {
        let length = boot.length_mm.map(|mm| format!("{mm} mm"));
        let out = boot.abduction_deg.map(|deg| format!("turned out {deg}°"));
        let up = boot.dorsiflexion_deg.map(|deg| format!("bent up {deg}°"));
        let set: Vec<String> = [boot.size.clone(), length, out, up].into_iter().flatten().collect();
        if !set.is_empty() {
            words.push(format!("{} boot {}", boot.side.word(), set.join(", ")));
        }
    }
    words.join("; ")
}

fn wear(spans: &[WearSpan]) -> Option<Block> {
    if spans.is_empty() {
        return None;
    }
    let row = |span: &WearSpan| {
        let how = match span.kind {
            WearKind::Reported => "reported by the family",
            WearKind::Logged => "logged in the boot",
        };
        vec![span.from.words(), span.to.words(), format!("{:.1} h a day", span.hours_per_day), how.to_owned()]
    };
    let heads = ["clinic-col-from", "clinic-col-until", "clinic-col-hours", "clinic-col-how"];
    Some(own(ColleagueBlock::Wide {
        caption: shortened("clinic-wear", "clinic-wear-shortened", spans.len()),
        heads: heads.map(Sentence::new).to_vec(),
        rows: spans.iter().skip(spans.len().saturating_sub(SPELLS)).map(row).collect(),
    }))
}

/// What was screened. What was not examined is said, because its absence could be read as "normal".
fn screening(facts: &ColleagueFacts<'_>) -> Vec<Block> {
    let Some(found) = &facts.course().screening else {
        return vec![heading("clinic-screening-head"), Block::Paragraph(messages(&["clinic-not-screened"]))];
    };
    let words = |result: Option<Screened>| said(result.map_or("not recorded", |result| result.words()));
    let mut lines = vec![
        (Sentence::new("clinic-row-hips"), words(found.hips)),
        (Sentence::new("clinic-row-spine"), words(found.spine)),
        (Sentence::new("clinic-row-nerve"), words(found.nerve_and_muscle)),
    ];
    if let Some(note) = &found.note {
        lines.push((Sentence::new("clinic-row-found"), said(note)));
    }
    vec![heading("clinic-screening-head"), Block::Table(lines)]
}

/// How the family is reached, and when it last was.
fn family(facts: &ColleagueFacts<'_>) -> Vec<Block> {
    let about = &facts.course().about;
    let mut lines = Vec::new();
    for carer in &about.carers {
        let relation = carer.relation.clone().unwrap_or_else(|| "relation not recorded".to_owned());
        let phone = carer.phone.clone().unwrap_or_else(|| "no number recorded".to_owned());
        let language = carer.language.as_ref().map(|language| format!(", reads or speaks {language}"));
        let words = format!("{}, {relation}: {phone}{}", carer.name, language.unwrap_or_default());
        lines.push((Sentence::new("clinic-row-carer"), said(&words)));
    }
    if let Some(address) = &about.address {
        lines.push((Sentence::new("clinic-row-lives"), said(address)));
    }
    if let Some(reached) = facts.course().contacts.iter().rev().find(|contact| contact.reached) {
        let value =
            Sentence::new("clinic-reached").with("day", date(reached.on)).with("way", reached.way.words());
        lines.push((Sentence::new("clinic-row-reached"), value));
    }
    if lines.is_empty() {
        return vec![heading("clinic-family-head"), Block::Paragraph(messages(&["clinic-no-family"]))];
    }
    vec![heading("clinic-family-head"), Block::Table(lines)]
}

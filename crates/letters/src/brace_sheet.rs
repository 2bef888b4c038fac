//! The brace of this child: its settings, how it is put on, what to look at.

use crate::{
    document::{Block, FamilyDocument, FamilyDocumentKind, FamilyDrawing},
    facts::{FamilyFacts, NoDocument},
    parts::{Going, messages, telephone, whose},
    plan::putting_on,
};
use messages::{Arg, Sentence};
use record::{Boot, Brace};

/// The sheet.
///
/// # Errors
/// Where no brace is recorded as worn.
pub fn brace_sheet(facts: &FamilyFacts<'_>) -> Result<FamilyDocument, NoDocument> {
    let spell = facts.course.brace_now().ok_or(NoDocument::NoBrace)?;
    let mut blocks = vec![
        Block::Paragraph(messages(&["brace-what", "brace-both-feet"])),
        Block::Drawing(FamilyDrawing::HeelAndStraps, putting_on()),
        Block::Heading(Sentence::new("brace-settings-head")),
        Block::Table(settings(&spell.brace, facts)),
        Block::Paragraph(messages(&["brace-settings-leave"])),
        Block::Heading(Sentence::new("brace-every-day-head")),
        Block::List(messages(&[
            "brace-day-routine",
            "brace-day-socks",
            "brace-day-skin",
            "brace-day-no-cream",
            "brace-day-together",
            "brace-day-no-walker",
        ])),
        Block::Heading(Sentence::new("brace-first-head")),
        Block::Paragraph(messages(&["brace-first-days", "brace-first-hold"])),
    ];
    blocks.push(Block::Ring(messages(&[
        "ring-red",
        "ring-heel",
        "ring-toes-over",
        "ring-brace-off",
        "ring-brace-broken",
        "ring-foot-turns",
    ])));
    blocks.push(Going::of(facts).emergency());
    blocks.push(telephone(facts));
    let title = Sentence::new("brace-title").with("name", facts.name().as_str());
    Ok(FamilyDocument { kind: FamilyDocumentKind::BraceSheet, title, whose: whose(facts), blocks })
}

/// What is recorded of the brace, and nothing else: a setting that is not recorded has no line.
fn settings(brace: &Brace, facts: &FamilyFacts<'_>) -> Vec<(Sentence, Sentence)> {
    let mut rows = Vec::new();
    if let Some((hours, prescribed)) = facts.hours_now {
        let id = if prescribed { "brace-hours-yours" } else { "brace-hours-usual" };
        rows.push((Sentence::new("brace-hours"), Sentence::new(id).with("hours", i64::from(hours))));
    }
    if let Some(bar) = brace.bar_mm {
        rows.push((Sentence::new("brace-bar"), Sentence::new("brace-bar-mm").with("mm", i64::from(bar))));
    }
    rows.extend(brace.boots.iter().flat_map(boot));
    rows
}

fn boot(boot: &Boot) -> Vec<(Sentence, Sentence)> {
    let mut rows = Vec::new();
    if let Some(deg) = boot.abduction_deg {
        let label = Sentence::new("brace-turned-out").with("foot", boot.side);
        rows.push((label, Sentence::new("brace-degrees").with("deg", i64::from(deg))));
    }
    let size = boot.size.clone().map(|size| Sentence::new("brace-size-is").with("size", Arg::Text(size)));
    let length = boot.length_mm.map(|mm| Sentence::new("brace-size-mm").with("mm", i64::from(mm)));
    if let Some(found) = size.or(length) {
        rows.push((Sentence::new("brace-size").with("foot", boot.side), found));
    }
    rows
}

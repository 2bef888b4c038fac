//! Care of the cast at home.

use crate::{
    document::{Block, FamilyDocument, FamilyDocumentKind, FamilyDrawing},
    facts::{FamilyFacts, NoDocument},
    parts::{Going, messages, telephone, whose},
};
use messages::Sentence;

/// The sheet.
///
/// # Errors
/// Where no foot is in a cast or about to be.
pub fn cast_sheet(facts: &FamilyFacts<'_>) -> Result<FamilyDocument, NoDocument> {
    if facts.feet_where(|stage| stage.is_cast()).is_empty() {
        return Err(NoDocument::NoCast);
    }
    let mut blocks = vec![
        Block::Paragraph(messages(&["cast-what", "cast-each"])),
        Block::Drawing(
            FamilyDrawing::LegInCast,
            messages(&["cast-draw-toes", "cast-draw-knee", "cast-draw-heel"]),
        ),
        Block::Heading(Sentence::new("cast-first-day-head")),
        Block::List(messages(&[
            "cast-first-toes",
            "cast-first-dry",
            "cast-first-lift",
            "cast-first-unsettled",
        ])),
        Block::Heading(Sentence::new("cast-every-day-head")),
        Block::List(messages(&[
            "cast-toes-colour",
            "cast-pinch",
            "cast-dry",
            "cast-nappy",
            "cast-nothing-inside",
            "cast-carry",
        ])),
    ];
    if facts.after_cut() {
        blocks.push(Block::Heading(Sentence::new("cast-cut-head")));
        blocks.push(Block::List(messages(&["cast-cut-stain", "cast-cut-draw", "cast-cut-medicine"])));
    }
    blocks.push(Block::Heading(Sentence::new("cast-off-head")));
    blocks.push(Block::Paragraph(messages(&["cast-off-clinic"])));
    blocks.push(Block::Ring(messages(&[
        "ring-cast-wet",
        "ring-cast-loose",
        "ring-cast-smell",
        "ring-cannot-come",
    ])));
    blocks.push(Going::of(facts).emergency());
    blocks.push(telephone(facts));
    let title = Sentence::new("cast-title").with("name", facts.name().as_str());
    Ok(FamilyDocument { kind: FamilyDocumentKind::CastSheet, title, whose: whose(facts), blocks })
}

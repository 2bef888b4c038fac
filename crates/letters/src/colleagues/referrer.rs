//! The letter to the doctor who referred the child: thanks, what was found, what was done, what comes next, what to
//! watch for.

use super::{ColleagueDocument, ColleagueDocumentKind, ColleagueFacts, NoLetter, date, feet, going};
use crate::document::Block;
use messages::Sentence;

/// The letter.
///
/// # Errors
/// Where the child died or no affected foot is recorded.
pub fn referrer_letter(facts: &ColleagueFacts<'_>) -> Result<ColleagueDocument, NoLetter> {
    facts.check(false)?;
    let mut blocks = greeting(facts);
    blocks.extend(going::doubt(facts));
    blocks.extend(going::standing(facts));
    blocks.push(feet::each_foot(facts.course(), |foot| {
        [feet::nature(foot), feet::scores(foot), feet::movement(foot), feet::done(foot), feet::now(foot)]
            .concat()
    }));
    blocks.extend(going::steps(facts, false));
    blocks.extend(going::dates(facts));
    blocks.extend(going::watch(facts));
    blocks.push(Block::Paragraph(vec![Sentence::new("clinic-please-send")]));
    blocks.extend(going::closing(facts));
    Ok(facts.finished(ColleagueDocumentKind::ReferrerLetter, "clinic-referrer-title", blocks))
}

/// To whom, and thanks; who referred the child is named only where it is recorded.
fn greeting(facts: &ColleagueFacts<'_>) -> Vec<Block> {
    let referral = facts.referral();
    let from = referral.as_ref().and_then(|(_, referral)| referral.from.clone());
    let dear = match from.as_deref().map(str::trim).filter(|from| !from.is_empty()) {
        Some(from) => Sentence::new("clinic-dear").with("colleague", from),
        None => Sentence::new("clinic-dear-colleague"),
    };
    let name = facts.name();
    let thanks = match &referral {
        Some((day, _)) => Sentence::new("clinic-thanks-received").with("day", date(*day)),
        None => Sentence::new("clinic-thanks"),
    };
    vec![
        Block::Paragraph(vec![dear]),
        Block::Paragraph(vec![thanks.with("name", name.as_str()), Sentence::new("clinic-below")]),
    ]
}

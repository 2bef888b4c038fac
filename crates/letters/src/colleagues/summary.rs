//! The summary on one page: the course as a picture, the last findings, the next steps with their reasons.

use super::{
    ColleagueBlock, ColleagueDocument, ColleagueDocumentKind, ColleagueFacts, NoLetter, feet, going, own,
};

/// The summary.
///
/// # Errors
/// Where no affected foot is recorded.
pub fn clinic_summary(facts: &ColleagueFacts<'_>) -> Result<ColleagueDocument, NoLetter> {
    facts.check(true)?;
    let mut blocks = Vec::new();
    blocks.extend(going::doubt(facts));
    blocks.extend(going::standing(facts));
    if !facts.charts.is_empty() {
        blocks.push(own(ColleagueBlock::Charts(facts.charts.to_vec())));
    }
    blocks.push(feet::each_foot(facts.course(), |foot| {
        [feet::scores(foot), feet::movement(foot), feet::done(foot), feet::now(foot)].concat()
    }));
    blocks.extend(going::steps(facts, true));
    blocks.extend(going::dates(facts));
    blocks.extend(going::closing(facts));
    Ok(facts.finished(ColleagueDocumentKind::ClinicSummary, "clinic-summary-title", blocks))
}

//! Children of a file who may be the same child, a part at a time.

use super::import::{
    gone,
    preview::{PAIRS_SHOWN, open_pairs, pair},
};
use crate::web::{Fail, PageResult, Shared, Visitor, page, work};
use axum::extract::{Query, State};
use pages::{Here, PossiblePairsView};
use serde::Deserialize;

/// Which import, and which part of its pairs, counted from 1.
#[derive(Debug, Deserialize)]
pub struct PairsQuery {
    #[serde(default)]
    token: String,
    #[serde(default)]
    part: usize,
}

/// A part of the pairs.
pub async fn part(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<PairsQuery>,
) -> PageResult {
    let (owner, frame) = (visitor.user()?, app.frame(&visitor, Here::Import));
    let view = work(&app, move |app| {
        let plan = app.plans.get(&asked.token, owner).ok_or_else(gone)?;
        let (matches, imported) = (&plan.report.matches, plan.written.is_some());
        let matches: Vec<_> = open_pairs(matches).collect();
        let parts = matches.len().div_ceil(PAIRS_SHOWN);
        let part = asked.part.clamp(1, parts.max(1));
        let pairs: Vec<_> = matches
            .iter()
            .skip((part - 1) * PAIRS_SHOWN)
            .take(PAIRS_SHOWN)
            .map(|two| pair(two, imported))
            .collect();
        if pairs.is_empty() {
            return Err(Fail::not_found());
        }
        Ok(PossiblePairsView {
            token: asked.token,
            file_name: plan.file_name.clone(),
            first: (part - 1) * PAIRS_SHOWN + 1,
            listed: matches.len(),
            in_all: plan.report.possible_matches,
            imported,
            pairs,
            part,
            parts,
        })
    });
    page(pages::possible_pairs(&frame, &view.await?))
}

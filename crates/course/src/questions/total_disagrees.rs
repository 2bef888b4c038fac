//! The total on the sheet disagrees with its items. The items count; the total as written is kept.

use super::question;
use crate::{FootCourse, Question, QuestionKind, Scored};

pub(super) fn ask(open: &mut Vec<Question>, foot: &FootCourse) {
    for scored in &foot.scores {
        for (name, stated, sum) in [pirani(scored), dimeglio(scored)].into_iter().flatten() {
            let text = format!(
                "The {name} total of the {} foot on {} is written as {stated}; its items add up to {sum}.",
                foot.side,
                scored.on.words()
            );
            let entries = vec![scored.entry];
            open.push(question(QuestionKind::TotalDisagrees, foot.side, scored.on, text, entries));
        }
    }
}

type Disagreement = (&'static str, String, String);

fn pirani(scored: &Scored) -> Option<Disagreement> {
    let (stated, sum) = (scored.stated_total?, scored.pirani.total()?);
    (stated != sum).then(|| ("Pirani", stated.to_string(), sum.to_string()))
}

fn dimeglio(scored: &Scored) -> Option<Disagreement> {
    let (stated, sum) = (scored.stated_dimeglio_total?, scored.dimeglio.total()?);
    (stated != sum).then(|| ("Dimeglio", stated.to_string(), sum.to_string()))
}

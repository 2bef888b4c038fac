//! The recorded total disagrees with its items. The items count; the recorded total is kept.

use super::question;
use crate::{AssessmentSeen, FootCourse, Question, QuestionKind};
use record::AngleItem;

pub(super) fn ask(open: &mut Vec<Question>, foot: &FootCourse) {
    for scored in &foot.scores {
        for (name, stated, sum) in [pirani(scored), dimeglio(scored)].into_iter().flatten() {
            let text = format!(
                "The {name} total of the {} foot on {} is recorded as {stated}; its items add up to {sum}.",
                foot.side,
                scored.on.words()
            );
            let entries = vec![scored.entry];
            open.push(question(QuestionKind::TotalDisagrees, foot.side, scored.on, text, entries));
        }
    }
}

type Disagreement = (&'static str, String, String);

fn pirani(scored: &AssessmentSeen) -> Option<Disagreement> {
    let (stated, sum) = (scored.stated_total?, scored.pirani.total()?);
    (stated != sum).then(|| ("Pirani", stated.to_string(), sum.to_string()))
}

fn dimeglio(scored: &AssessmentSeen) -> Option<Disagreement> {
    let stated = scored.stated_dimeglio_total?;
    // More than four points are rejected when an entry is recorded; from other sources they have no valid total.
    let possible = |item| scored.dimeglio.angle(item).is_some_and(|angle| angle.points() <= 4);
    if !AngleItem::ALL.into_iter().all(possible) {
        return None;
    }
    let sum = scored.dimeglio.total()?;
    (stated != sum).then(|| ("Dimeglio", stated.to_string(), sum.to_string()))
}

//! A score with some items missing. It stays as it is and has no total.

use super::question;
use crate::{AssessmentSeen, FootCourse, Question, QuestionKind};
use record::{AngleItem, DimeglioSign, WalkingItem};

pub(super) fn ask(open: &mut Vec<Question>, foot: &FootCourse) {
    for scored in &foot.scores {
        let parts =
            [("Pirani", pirani(scored)), ("Dimeglio", dimeglio(scored)), ("walking-age", walking(scored))];
        for (name, missing) in parts {
            if missing.is_empty() {
                continue;
            }
            let text = format!(
                "The {name} score of the {} foot on {} is incomplete. Missing: {}. It has no total.",
                foot.side,
                scored.on.words(),
                missing.join(", ")
            );
            let entries = vec![scored.entry];
            open.push(question(QuestionKind::IncompleteScore, foot.side, scored.on, text, entries));
        }
    }
}

fn pirani(scored: &AssessmentSeen) -> Vec<&'static str> {
    if scored.pirani.is_empty() {
        return Vec::new();
    }
    scored.pirani.missing().map(record::Sign::name).collect()
}

fn dimeglio(scored: &AssessmentSeen) -> Vec<&'static str> {
    let items = &scored.dimeglio;
    if items.is_empty() {
        return Vec::new();
    }
    let angles = AngleItem::ALL.into_iter().filter(|&item| items.angle(item).is_none()).map(AngleItem::name);
    let signs = DimeglioSign::ALL.into_iter().filter(|&sign| items.sign(sign).is_none());
    angles.chain(signs.map(DimeglioSign::name)).collect()
}

fn walking(scored: &AssessmentSeen) -> Vec<&'static str> {
    let items = &scored.walking;
    if items.is_empty() {
        return Vec::new();
    }
    WalkingItem::ALL.into_iter().filter(|&item| items.item(item).is_none()).map(WalkingItem::name).collect()
}

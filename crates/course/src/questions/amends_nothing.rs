//! A correction or withdrawal that has no effect.

use super::question;
use crate::{LooseWhy, Question, QuestionKind, Reading};

pub(super) fn ask(open: &mut Vec<Question>, reading: &Reading<'_>) {
    open.extend(reading.loose.iter().map(|loose| {
        let text = match loose.why {
            LooseWhy::Absent => {
                "This correction or withdrawal is of an entry that is not there; it may have been erased."
            }
            LooseWhy::CorrectsAmendment => {
                "This corrects a correction or withdrawal and has no effect; correct the entry itself."
            }
            LooseWhy::HoldsAmendment => {
                "This correction would turn an entry into a correction or withdrawal and has no effect."
            }
            LooseWhy::WithdrawsLater => {
                "This withdraws a correction or withdrawal that was written after it and has no effect."
            }
        };
        question(QuestionKind::AmendsNothing, None, loose.on, text.to_owned(), vec![loose.entry])
    }));
}

//! A correction or withdrawal that has no effect.

use super::question;
use crate::{CorrectedLog, IneffectiveWhy, Question, QuestionKind};

pub(super) fn ask(open: &mut Vec<Question>, log: &CorrectedLog<'_>) {
    open.extend(log.ineffective.iter().map(|ineffective| {
        let text = match ineffective.why {
            IneffectiveWhy::Absent => {
                "This correction or withdrawal names an entry that does not exist; it may have been erased."
            }
            IneffectiveWhy::CorrectsAmendment => {
                "This corrects a correction or withdrawal and has no effect; correct the entry itself."
            }
            IneffectiveWhy::HoldsAmendment => {
                "This correction would turn an entry into a correction or withdrawal and has no effect."
            }
            IneffectiveWhy::WithdrawsLater => {
                "This withdraws a correction or withdrawal that was recorded after it and has no effect."
            }
        };
        question(QuestionKind::AmendsNothing, None, ineffective.on, text.to_owned(), vec![ineffective.entry])
    }));
}

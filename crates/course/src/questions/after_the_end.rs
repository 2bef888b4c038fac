//! Treatment after the end of care, with no referral or registration in between.
//!
//! After discharge and transfer: casts, tenotomies booked or done, surgery, relapses, and braces fitted
//! or changed (not stopped). After death also everything else that needs a living child: scores, removals,
//! wear, and visits. Entries of the last day itself do not count. One question for each end of care.

use super::question;
use crate::events::{Event, is_visit, treats};
use crate::{Question, QuestionKind, Standing};
use record::{Body, BraceChange, Day, EntryId, Side};

/// An entry, its day and its foot.
type Found = (Day, EntryId, Option<Side>);

/// Entries found after an end, by end.
#[derive(Debug, Default)]
pub(crate) struct Ends {
    list: Vec<(Standing, Vec<Found>)>,
}

fn is_treatment(body: &Body) -> bool {
    match body {
        Body::BraceFitted(_) => true,
        Body::BraceChanged(changed) => changed.change != BraceChange::Stopped,
        body => treats(body).is_some(),
    }
}

fn needs_life(body: &Body) -> bool {
    is_visit(body)
        || matches!(body, Body::BraceChanged(_) | Body::WearReported(_) | Body::WearLogged(_))
        || is_treatment(body)
}

impl Ends {
    /// Records an entry if it comes after the end.
    pub(crate) fn note(&mut self, standing: Standing, event: &Event<'_>) {
        let counts = match standing {
            Standing::Died(_) => needs_life(event.body),
            _ => standing.is_over() && is_treatment(event.body),
        };
        if !counts {
            return;
        }
        let found = (event.on, event.id(), event.body.side());
        match self.list.last_mut().filter(|(end, _)| *end == standing) {
            Some((_, entries)) => entries.push(found),
            None => self.list.push((standing, vec![found])),
        }
    }
}

pub(crate) fn ask(open: &mut Vec<Question>, ends: &Ends) {
    for (end, found) in &ends.list {
        let (word, day) = match *end {
            Standing::Discharged(day) => ("discharged", day),
            Standing::Transferred(day) => ("passed to another clinic", day),
            Standing::Died(day) => ("recorded as having died", day),
            Standing::Active | Standing::Lost(_) => continue,
        };
        let Some(&(on, _, first)) = found.first() else { continue };
        let side = first.filter(|_| found.iter().all(|&(_, _, side)| side == first));
        let entries: Vec<_> = found.iter().map(|&(_, entry, _)| entry).collect();
        let what = match entries.len() {
            1 => "one treatment entry follows".to_owned(),
            n => format!("{n} treatment entries follow"),
        };
        let text = format!(
            "The child was {word} on {}, but {what} from {} on, with no new referral or registration.",
            day.words(),
            on.words()
        );
        open.push(question(QuestionKind::AfterTheEnd, side, on, text, entries));
    }
}

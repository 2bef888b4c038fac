//! The lost list: families who have not come for longer than the protocol allows and could not be reached.
//!
//! A child is on the list if two things are true: the protocol's time without a visit has passed, and an
//! attempt to reach the family since the last visit is recorded, the last of which did not reach them. From
//! that day on the child's calls are on the lost list, under one routine: who was tried, when, and what comes
//! next. Calls for the same day (a cast still on, a warning sign) also stay in the list of children who need
//! attention. A child leaves the lost list when the family is reached or comes, and at the end of care.

use super::{Attention, CallPlace, Ground, RULES, contact_lost};
use crate::Urgency;
use course::Standing;

/// Moves the calls of a child on the lost list there, from the day on which the child is on it.
pub(super) fn to_the_lost_list(ground: &Ground<'_>, found: Vec<Attention>) -> Vec<Attention> {
    let on_list = found.iter().find(|call| call.place == CallPlace::Lost).map(|call| call.from);
    let Some(since) = on_list else { return found };
    let stays =
        |call: &Attention| call.place == CallPlace::Lost || stays_listed(call) || !is_worked_on(call.place);
    let mut moved = Vec::new();
    for call in found {
        if stays(&call) {
            moved.push(call);
            continue;
        }
        let lost = Attention { place: CallPlace::Lost, ..call.clone() };
        moved.extend(call.before(since));
        // A child declared lost has calls only from the rules that apply to lost children.
        moved.extend(lost.after(since).filter(|_| ground.course.standing == Standing::Active));
    }
    moved
}

const fn is_worked_on(place: CallPlace) -> bool {
    matches!(place, CallPlace::List | CallPlace::PutOff)
}

/// Whether a call is for the same day, or comes from a rule that also applies to lost children.
fn stays_listed(call: &Attention) -> bool {
    let applies_when_lost = RULES.iter().any(|rule| rule.key == call.rule && rule.when_lost);
    call.urgency == Urgency::Today || (applies_when_lost && call.rule != contact_lost::RULE.key)
}

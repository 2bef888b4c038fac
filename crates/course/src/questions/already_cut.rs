//! A tenotomy booked or done on a foot that was already cut in the same episode.
//!
//! A second tenotomy belongs to a relapse, which begins a new episode. Within one episode it may be
//! right, if the first one was incomplete; just as often the side is wrong, or one tenotomy was recorded
//! under two days. So the program asks.
//!
//! The question about a booking stays while the booking is open. For tenotomies done, there is a question
//! about each one after the first of its episode; two on one day are one recorded twice and have a question
//! of their own.

use super::question;
use crate::{FootCourse, Question, QuestionKind, TenotomySeen};

pub(super) fn ask(open: &mut Vec<Question>, foot: &FootCourse) {
    for pair in foot.tenotomies.windows(2) {
        if let [first, again] = pair
            && first.episode == again.episode
        {
            open.push(done(foot, first, again));
        }
    }
    open.extend(booked(foot));
}

fn done(foot: &FootCourse, first: &TenotomySeen, again: &TenotomySeen) -> Question {
    let text = format!(
        "A tenotomy of the {} foot is recorded on {} and another on {}, with no relapse between: check the side and the day.",
        foot.side,
        first.on.words(),
        again.on.words()
    );
    question(QuestionKind::AlreadyCut, foot.side, again.on, text, vec![first.entry, again.entry])
}

fn booked(foot: &FootCourse) -> Option<Question> {
    let plan = foot.tenotomy_plan?;
    let cut = foot.tenotomies_now().filter(|cut| cut.on <= plan.booked_on).last()?;
    let text = format!(
        "A tenotomy of the {} foot is booked (entered on {}), but this foot was already cut on {}: check the side.",
        foot.side,
        plan.booked_on.words(),
        cut.on.words()
    );
    Some(question(QuestionKind::AlreadyCut, foot.side, plan.booked_on, text, vec![plan.entry, cut.entry]))
}

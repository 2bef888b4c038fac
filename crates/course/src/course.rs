//! Builds the course.

use crate::{
    CorrectedLog, Course, appointments, child::Child, events, feet, problems, questions, walk::Walk,
};
use record::{ChildId, Day, Entry};

impl Course {
    /// The course of one child from its entries, as known on a day.
    ///
    /// Entries of another child are ignored. The day only decides which entries are visible; nothing else
    /// depends on it.
    #[must_use]
    pub fn of(child: ChildId, entries: &[Entry], as_of: Day) -> Self {
        Self::of_log(child, &CorrectedLog::of(entries, as_of), as_of)
    }

    /// As [`Course::of`], from a log whose corrections were already applied as of the same day.
    #[must_use]
    pub fn of_log(child: ChildId, log: &CorrectedLog<'_>, as_of: Day) -> Self {
        let events = events::effective(log, child, as_of);
        let about = Child::of(&events);
        let known = feet::known(&events);
        let mut walk = Walk::through(&events, &known, about.referred);
        let first_cast = [0, 1].map(|i| {
            let foot = walk.feet[i].as_ref()?;
            foot.casts.casts.first().map(|cast| cast.on)
        });
        let problems = problems::build(&events, &walk.settles, first_cast);
        let appointments = appointments::build(&events, &about.clinical_on, &walk.ended);
        let mut open = walk.open_questions();
        let [right, left] = walk.feet;
        let feet: Vec<_> = [right, left]
            .into_iter()
            .zip(&known)
            .filter_map(|(track, known)| feet::finish(known, track))
            .collect();
        let mut course = Self {
            child,
            as_of,
            about: about.about.map(|(about, _)| about.clone()).unwrap_or_default(),
            registered: about.about.map(|(_, entry)| entry),
            referred_on: about.referred.map(|(on, _)| on),
            reopened: walk.reopened,
            standing: walk.standing,
            feet,
            new_boots: walk.braces.new_boots,
            braces: walk.braces.spells,
            appointments,
            problems,
            siblings: about.siblings,
            contacts: about.contacts,
            wear: about.wear,
            foot_lengths: about.foot_lengths,
            shoulders: about.shoulders,
            preparation: about.preparation,
            screening: about.screening,
            seen_on: about.seen_on,
            only_attended_on: about.only_attended_on,
            confirmed: questions::confirmed::entries(&events),
            questions: Vec::new(),
        };
        questions::of_course(&mut open, &course, log, &events, &known);
        questions::in_order(&mut open);
        course.questions = open;
        course
    }
}

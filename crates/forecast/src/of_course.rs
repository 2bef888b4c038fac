//! From a child's course to what a forecast reads.
//!
//! - **Visits** are the days of the first episode on which the foot was scored or cast, up to the
//!   decision; scores before the first cast count with them, those after a brace do not.
//! - **The decision** (casting for correction is over) is the day the tenotomy was booked, or the first
//!   holding cast after the last cast for correction, whichever is earlier; where neither is written, the
//!   last scored visit on or before the tenotomy, or on or before the brace. It is moved back to the
//!   last visit where it was written on a day without one.
//! - **Nothing is guessed.** A sign that two assessments of one day give differently, and every sign of a
//!   visit at which the feet look swapped, are left out; so are entries before birth. What is left out,
//!   and what could not be found, is listed with its reason and its entries.

use crate::{SeenChild, SeenFoot, SeenVisit, SeenWear, SignsSeen};
use course::{AssessmentSeen, Course, FootCourse, Phase, QuestionKind, Standing, WearKind};
use record::{CastPurpose, Day, EntryId, Nature, ProblemKind, RemovalReason, Side, Sign};

/// A child as seen, and what of its record was left out.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// The child.
    pub child: SeenChild,
    /// What was left out or not found, with the reason.
    pub left_out: Vec<LeftOut>,
}

/// A fact that a forecast does not use.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// The foot, if it is about one.
    pub side: Option<Side>,
    /// The day.
    pub day: Option<Day>,
    /// The reason, one sentence.
    pub text: String,
    /// The entries.
    pub entries: Vec<EntryId>,
}

impl SeenChild {
    /// What has been observed of a child, as of the day of its course. Days are [`Day::number`].
    #[must_use]
    pub fn of(course: &Course) -> Seen {
        let mut left_out = Vec::new();
        let feet = course.feet.iter().map(|foot| Reader::of(course, foot).read(&mut left_out)).collect();
        if course.about.born.is_none() {
            let text = "The day of birth is not recorded, so age is not used.".to_owned();
            left_out.push(LeftOut { side: None, day: None, text, entries: Vec::new() });
        }
        let child = Self {
            born_day: course.about.born.map(Day::number),
            gestation_weeks: course.about.gestation_weeks,
            feet,
            wear: wear(course),
            next_day: course.next_appointment(course.as_of).map(|next| next.for_day.number()),
            last_day: course.last_seen().unwrap_or(course.as_of).number(),
            left_day: left(course.standing),
        };
        Seen { child, left_out }
    }
}

fn wear(course: &Course) -> Vec<SeenWear> {
    let spans = course.wear.iter().map(|span| SeenWear {
        from_day: span.from.number(),
        to_day: span.to.number(),
        hours_per_day: span.hours_per_day,
        logged: span.kind == WearKind::Logged,
    });
    spans.collect()
}

fn left(standing: Standing) -> Option<i32> {
    match standing {
        Standing::Active => None,
        Standing::Discharged(day)
        | Standing::Transferred(day)
        | Standing::Died(day)
        | Standing::Lost(day) => Some(day.number()),
    }
}

/// Reads one foot.
struct Reader<'a> {
    course: &'a Course,
    foot: &'a FootCourse,
    brace: Option<Day>,
    tenotomy: Option<Day>,
    /// The first day after the first course of casts.
    end: Option<Day>,
}

impl<'a> Reader<'a> {
    fn of(course: &'a Course, foot: &'a FootCourse) -> Self {
        let first = foot.phases.iter().filter(|spell| spell.episode == 1);
        let braced = |phase| matches!(phase, Phase::FullTimeBracing | Phase::NightTimeBracing);
        let brace = first.clone().find(|spell| braced(spell.phase)).map(|spell| spell.from);
        let tenotomy = foot.tenotomies.iter().find(|cut| cut.episode == 1).map(|cut| cut.on);
        let next = foot.episodes.iter().find(|episode| episode.number > 1).map(|episode| episode.from);
        let end = [brace, next].into_iter().flatten().min();
        Self { course, foot, brace, tenotomy, end }
    }

    fn read(&self, left_out: &mut Vec<LeftOut>) -> SeenFoot {
        let foot = self.foot;
        let mut visits = self.visits(left_out);
        let ready = self.ready(&visits, left_out);
        visits.retain(|visit| ready.is_none_or(|ready| visit.day <= ready));
        let plan = foot.tenotomy_plan.filter(|_| foot.episode == 1 && self.tenotomy.is_none());
        let known = self.tenotomy.is_some() || self.brace.is_some();
        let decided = if plan.is_some() { Some(true) } else { known.then_some(self.tenotomy.is_some()) };
        let in_time = |on: Day| self.end.is_none_or(|end| on <= end);
        let casts = foot.casts.iter().filter(|cast| cast.episode == 1 && in_time(cast.on)).count();
        SeenFoot {
            side: foot.side,
            complex: foot.complex == Some(true),
            other_cause: matches!(foot.nature, Some(Nature::Syndromic | Nature::Neurogenic)),
            treated_before: foot.earlier_treatment.as_deref().is_some_and(|text| !text.trim().is_empty()),
            visits,
            casts: u16::try_from(casts).unwrap_or(u16::MAX),
            ready_day: ready,
            tenotomy_decided: decided.filter(|_| ready.is_some()),
            tenotomy_planned_day: plan.and_then(|plan| plan.planned_on).map(Day::number),
            tenotomy_day: self.tenotomy.map(Day::number),
            brace_day: self.brace.map(Day::number),
            full_time_end_day: self.full_time_end().map(Day::number),
            relapse_day: self.relapse().map(Day::number),
        }
    }

    /// The first day of nights and naps after the first full time.
    fn full_time_end(&self) -> Option<Day> {
        let first = self.foot.phases.iter().filter(|spell| spell.episode == 1);
        let mut after = first.skip_while(|spell| spell.phase != Phase::FullTimeBracing).skip(1);
        after.find(|spell| spell.phase == Phase::NightTimeBracing).map(|spell| spell.from)
    }

    /// The first relapse after the brace, or the first cast of a later episode if no relapse was recorded.
    fn relapse(&self) -> Option<Day> {
        let brace = self.brace?;
        let noted = self.foot.relapses.iter().map(|relapse| relapse.on).find(|on| *on >= brace);
        let again = self.foot.episodes.iter().find(|episode| episode.number > 1).map(|episode| episode.from);
        [noted, again].into_iter().flatten().min()
    }

    /// Assessments of the first course of casts.
    fn scores(&self) -> impl Iterator<Item = &'a AssessmentSeen> + use<'_, 'a> {
        let last = [self.tenotomy, self.end].into_iter().flatten().min();
        self.foot.scores.iter().filter(move |scored| last.is_none_or(|last| scored.on <= last))
    }

    fn visits(&self, left_out: &mut Vec<LeftOut>) -> Vec<SeenVisit> {
        let mut visits: Vec<SeenVisit> = Vec::new();
        let swapped = self.swapped();
        let scores: Vec<&AssessmentSeen> =
            self.scores().filter(|scored| self.born_by(scored, left_out)).collect();
        for day in scores.chunk_by(|one, next| one.on == next.on) {
            visits.push(self.assessed(day, &swapped, left_out));
        }
        for cast in self.foot.casts.iter().filter(|cast| cast.episode == 1) {
            // Casts after the tenotomy or in a brace are not visits for correction.
            let late = [self.tenotomy, self.end].into_iter().flatten().any(|end| cast.on >= end);
            if !late && cast.purpose != CastPurpose::AfterTenotomy {
                visit_on(&mut visits, cast.on.number()).cast = true;
            }
        }
        visits.sort_by_key(|visit| visit.day);
        self.slips(&mut visits);
        visits
    }

    /// The entries of days on which the feet look swapped.
    fn swapped(&self) -> Vec<EntryId> {
        let questions = self.course.questions.iter();
        let swapped = questions.filter(|question| question.kind == QuestionKind::SidesSwapped);
        swapped.flat_map(|question| question.entries.iter().copied()).collect()
    }

    fn born_by(&self, scored: &AssessmentSeen, left_out: &mut Vec<LeftOut>) -> bool {
        let before = self.course.about.born.is_some_and(|born| scored.on < born);
        if before {
            let text = format!("The score of {} is earlier than the day of birth.", scored.on.words());
            left_out.push(self.left(scored.on, text, vec![scored.entry]));
        }
        !before
    }

    fn left(&self, day: Day, text: String, entries: Vec<EntryId>) -> LeftOut {
        LeftOut { side: Some(self.foot.side), day: Some(day), text, entries }
    }

    /// All assessments of one day as one visit.
    fn assessed(
        &self,
        day: &[&AssessmentSeen],
        swapped: &[EntryId],
        left_out: &mut Vec<LeftOut>,
    ) -> SeenVisit {
        let on = day.first().map_or(self.course.as_of, |scored| scored.on);
        let entries: Vec<EntryId> = day.iter().map(|scored| scored.entry).collect();
        let mut visit = SeenVisit { day: on.number(), ..SeenVisit::default() };
        if entries.iter().any(|entry| swapped.contains(entry)) {
            let text = format!("On {} the feet look swapped, so its signs are not used.", on.words());
            left_out.push(self.left(on, text, entries));
            return visit;
        }
        let mut differing = Vec::new();
        for sign in Sign::ALL {
            match agreed(day.iter().filter_map(|scored| scored.pirani.sign(sign))) {
                Ok(point) => visit.signs[sign as usize] = point,
                Err(()) => differing.push(sign.name()),
            }
        }
        let angle =
            |of: fn(&AssessmentSeen) -> Option<i16>| agreed(day.iter().filter_map(|scored| of(scored)));
        match angle(|scored| scored.dorsiflexion_deg) {
            Ok(deg) => visit.dorsiflexion_deg = deg.map(f64::from),
            Err(()) => differing.push("Dorsiflexion"),
        }
        visit.abduction_deg = angle(|scored| scored.abduction_deg).ok().flatten().map(f64::from);
        if !differing.is_empty() {
            let text =
                format!("{}: recorded with two values on {}, so not used.", differing.join(", "), on.words());
            left_out.push(self.left(on, text, entries));
        }
        visit
    }

    /// Marks visits before which the cast slipped.
    fn slips(&self, visits: &mut [SeenVisit]) {
        let removed = self.foot.casts.iter().filter_map(|cast| {
            let (off, why) = cast.off?;
            let lost = matches!(why, Some(RemovalReason::Slipped));
            (lost && cast.episode == 1).then_some(off)
        });
        let recorded = self.course.problems.iter().filter(|problem| {
            let of_foot = problem.side.is_none_or(|side| side == self.foot.side);
            of_foot && problem.what == ProblemKind::CastSlipped
        });
        for day in removed.chain(recorded.map(|problem| problem.on)) {
            let day = day.number();
            if let Some(visit) = visits.iter_mut().find(|visit| visit.day >= day) {
                visit.slipped = true;
            }
        }
    }

    /// The visit at which casting for correction ended, as a day.
    fn ready(&self, visits: &[SeenVisit], left_out: &mut Vec<LeftOut>) -> Option<i32> {
        let waiting =
            |spell: &&course::PhaseSpell| spell.episode == 1 && spell.phase == Phase::WaitingForTenotomy;
        let booked = self.foot.phases.iter().find(waiting).map(|spell| spell.from);
        let over = booked.into_iter().chain(self.held()).min().or_else(|| self.last_scored());
        let Some(over) = over else {
            let passed = self.tenotomy.or(self.brace);
            if let Some(passed) = passed {
                let text =
                    "There is no scored visit before it, so the day on which the foot was ready is unknown."
                        .to_owned();
                left_out.push(self.left(passed, text, Vec::new()));
            }
            return None;
        };
        let cast_visit = visits.iter().rfind(|visit| visit.day <= over.number());
        cast_visit.map(|visit| visit.day)
    }

    /// The first holding cast after the last cast for correction.
    fn held(&self) -> Option<Day> {
        let first = || self.foot.casts.iter().filter(|cast| cast.episode == 1);
        let correcting =
            first().filter(|cast| cast.purpose == CastPurpose::Correction).map(|cast| cast.on).max();
        first()
            .filter(|cast| cast.purpose == CastPurpose::Holding)
            .map(|cast| cast.on)
            .find(|on| correcting.is_none_or(|last| *on > last))
    }

    /// The last scored visit on or before the tenotomy, or else the brace.
    fn last_scored(&self) -> Option<Day> {
        let passed = self.tenotomy.or(self.brace)?;
        let scored = self.scores().filter(|scored| scored.on <= passed && !scored.pirani.is_empty());
        scored.map(|scored| scored.on).last()
    }
}

/// The common value, `None` if there is none, an error if the values differ.
fn agreed<T: PartialEq>(mut values: impl Iterator<Item = T>) -> Result<Option<T>, ()> {
    let Some(first) = values.next() else { return Ok(None) };
    if values.all(|value| value == first) { Ok(Some(first)) } else { Err(()) }
}

/// The visit of a day, added if there is none.
fn visit_on(visits: &mut Vec<SeenVisit>, day: i32) -> &mut SeenVisit {
    let at = visits.iter().position(|visit| visit.day == day).unwrap_or_else(|| {
        visits.push(SeenVisit { day, signs: SignsSeen::default(), ..SeenVisit::default() });
        visits.len() - 1
    });
    &mut visits[at]
}

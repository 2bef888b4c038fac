//! Dorsiflexion after the tenotomy: a reminder to measure it, and what follows if it is less than expected.

use super::{Action, NextStep, StepText, caution, view::View};
use crate::{Protocol, Reason, call_text::short_after_tenotomy_words, source, words::degrees};
use course::{AssessmentSeen, Course, FootCourse, Phase, TenotomySeen};
use record::{CastPurpose, Day, DayRange, EntryId};

/// Dorsiflexion after a tenotomy that is less than expected.
pub(crate) struct Short {
    /// What was measured.
    pub(crate) deg: i16,
    /// The day.
    pub(crate) on: Day,
    /// The entry.
    pub(crate) entry: EntryId,
    /// The tenotomy.
    pub(crate) cut: TenotomySeen,
    limit_deg: i16,
    key: &'static str,
}

/// The last dorsiflexion measured after the last tenotomy of the episode, if it is less than expected and
/// nothing has answered it: no later measurement, no correcting cast, no other surgery.
///
/// Measurements made after bracing began are covered by the alarm of the brace; one made on the day of the
/// fitting, or between the cast and the brace, still counts.
pub(crate) fn short(course: &Course, foot: &FootCourse, protocol: &Protocol) -> Option<Short> {
    let cut = *foot.tenotomies_now().last()?;
    let (scored, deg) = measured_after(foot, cut.on)?;
    let (limit_deg, key) = protocol.expected_after_tenotomy(foot.nature);
    let braced = course.braces.iter().map(|spell| spell.bracing_since).find(|&since| since > cut.on);
    let stage = match foot.phase {
        Phase::TenotomyCast | Phase::InCorrection => braced.is_none(),
        Phase::FullTimeBracing | Phase::NightTimeBracing => braced.is_some_and(|since| scored.on <= since),
        _ => false,
    };
    let short = stage && deg < limit_deg && !answered(foot, scored.on);
    short.then_some(Short { deg, on: scored.on, entry: scored.entry, cut, limit_deg, key })
}

/// The last dorsiflexion measured on a later day than the tenotomy.
pub(crate) fn measured_after(foot: &FootCourse, cut: Day) -> Option<(&AssessmentSeen, i16)> {
    foot.scores
        .iter()
        .rev()
        .take_while(|scored| scored.on > cut)
        .find_map(|scored| Some((scored, scored.dorsiflexion_deg?)))
}

/// Whether more casts were begun to stretch the foot, another tenotomy is booked, or it was operated on.
fn answered(foot: &FootCourse, on: Day) -> bool {
    let stretches = |cast: &course::CastWorn| cast.on >= on && cast.purpose == CastPurpose::Correction;
    foot.casts.iter().any(stretches)
        || foot.tenotomy_plan.is_some_and(|plan| plan.booked_on >= on)
        || foot.surgery.iter().any(|surgery| surgery.on >= on)
}

impl Short {
    /// In words, such as "Dorsiflexion 0° on 3 May 2024, after the tenotomy of 12 April 2024."
    fn fact(&self) -> String {
        short_after_tenotomy_words(self.deg, self.on, self.cut.on)
    }

    /// Why it matters.
    pub(crate) fn reason(&self, protocol: &Protocol) -> Reason {
        let rule = format!(
            "After the tenotomy {}° or more is expected: check for an incomplete tenotomy, or for stiffness that more casts may stretch.",
            self.limit_deg
        );
        Reason::new(self.fact(), self.entry, rule, protocol.source(self.key))
    }
}

/// Assess today, if dorsiflexion is insufficient at the end of the cast after the tenotomy.
pub(crate) fn step(view: &View<'_>) -> Option<NextStep> {
    let short = short(view.course, view.foot, view.protocol)?;
    let unseen = view.course.last_seen().is_none_or(|seen| seen <= short.on);
    let braced = view.course.brace_now().is_some();
    if braced && !unseen {
        return None;
    }
    let text = StepText::AssessAfterTenotomy;
    let window = Some(DayRange::on(short.on));
    let reason = short.reason(view.protocol);
    let step = NextStep::of(view.scope(), Action::AssessAfterTenotomy, text, window, reason);
    let hold = if braced { caution::HOLD_MEANWHILE } else { caution::HOLD_IN_CAST };
    Some(step.cautions([hold]).cautions(caution::kind_of_foot(view)))
}

/// The caution that dorsiflexion after the tenotomy is not recorded yet, or was insufficient at the tenotomy.
pub(crate) fn reminder(view: &View<'_>, cut: &TenotomySeen) -> Option<caution::Words> {
    if measured_after(view.foot, cut.on).is_some() {
        return None;
    }
    let (limit, key) = view.protocol.expected_after_tenotomy(view.foot.nature);
    let source = view.protocol.source(key);
    Some(match cut.dorsiflexion_after_deg {
        Some(deg) if deg < limit => format!(
            "Dorsiflexion directly after the tenotomy was {}, less than the {limit}° expected: was the tenotomy complete? Measure it again when the cast comes off ({source}).",
            degrees(deg)
        ),
        _ => format!(
            "Dorsiflexion after the tenotomy of {} is not recorded: measure it when the cast comes off; {limit}° or more is expected ({source}).",
            cut.on.words()
        ),
    }
    .into())
}

/// A tenotomy with no cast recorded on its day or since, and no brace since.
pub(crate) fn uncast<'a>(course: &Course, foot: &'a FootCourse) -> Option<&'a TenotomySeen> {
    let cut = foot.tenotomies_now().last()?;
    let cast = foot.casts.iter().any(|cast| cast.on >= cut.on);
    let braced = course.braces.iter().any(|spell| spell.from > cut.on);
    let operated = foot.surgery.iter().any(|surgery| surgery.on >= cut.on);
    (foot.phase == Phase::TenotomyCast && !cast && !braced && !operated).then_some(cut)
}

/// Cast the foot at once: according to the record nothing has held it since the tenotomy.
pub(crate) fn cast_now(view: &View<'_>) -> Option<NextStep> {
    let cut = uncast(view.course, view.foot)?;
    let fact = format!("Tenotomy on {}; no cast is recorded on that day or since.", cut.on.words());
    let rule = "The cast is applied directly after the tenotomy: record it, or cast the foot today.";
    let text = StepText::CastAfterTenotomy;
    let reason = Reason::new(fact, cut.entry, rule, source::COMMON);
    let window = Some(DayRange::on(cut.on));
    let step = NextStep::of(view.scope(), Action::SeeUrgently, text, window, reason);
    Some(step.cautions([caution::AFTER_CUT, caution::CAST_CARE]).cautions(caution::kind_of_foot(view)))
}

//! While the foot is being corrected: the next cast, stalled progress, or the end of casting.

use super::{
    Action, CastNumber, NextStep, StepText, StillToMeasure, caution,
    readiness::{self, RuleAnswer},
    relapse,
    view::View,
    within,
};
use crate::{
    ReadinessRule, Reason, progress, source,
    words::{degrees, score_words},
};
use course::{AssessmentSeen, CastWorn};
use record::{Day, DayRange, RemovalReason};

/// The next cast, with a review of the plan if progress has stalled.
pub(crate) fn step(view: &View<'_>) -> NextStep {
    match relapse::stalled(view).or_else(|| stalled(view)) {
        Some(reason) => review(view, reason),
        None => next_cast(view),
    }
}

/// When the next cast is due, and why.
pub(crate) fn due(view: &View<'_>) -> (DayRange, Reason) {
    let Some(cast) = view.last_cast() else { return due_uncast(view) };
    if let Some((off, why)) = cast.off {
        return due_out_of_cast(view, cast, off, why);
    }
    let window = view.change_window(cast);
    let (low, high) = view.interval();
    let fact = format!("Cast {} was applied on {}.", cast.number, cast.on.words());
    let rule = format!("The next cast is due {low} to {high} days after the last.");
    (window, Reason::new(fact, cast.entry, rule, view.interval_source()))
}

fn due_uncast(view: &View<'_>) -> (DayRange, Reason) {
    let since = view.foot.phase_since.or(view.measured.on).or(view.course.known_since());
    let day = since.unwrap_or(Day::FIRST);
    let fact = format!("In correction since {}; no cast is recorded in this episode.", day.words());
    let days = view.protocol.first_cast_within_days;
    let rule = format!("The first cast is due {}.", within(days));
    let source = view.protocol.source("casting.first_within_days");
    let reason = Reason::new(fact, view.phase_entry(), rule, source);
    (DayRange::new(day, day + i32::from(days)), reason)
}

fn due_out_of_cast(
    view: &View<'_>,
    cast: &CastWorn,
    off: Day,
    why: Option<RemovalReason>,
) -> (DayRange, Reason) {
    let protocol = view.protocol;
    let sore = matches!(why, Some(RemovalReason::Sore | RemovalReason::Circulation));
    let words = why.map_or(String::new(), |why| format!(" ({})", why.words()));
    let fact = format!("Cast {} came off on {}{words}; no new cast is recorded.", cast.number, off.words());
    let (days, key, rule) = if sore {
        let days = protocol.recast_after_sore_days;
        let rule = format!("Cast again as soon as skin and circulation allow, {}.", within(days));
        (days, "casting.recast_after_sore_days", rule)
    } else {
        let days = protocol.recast_within_days;
        let rule = format!("A foot out of its cast loses correction: cast again {}.", within(days));
        (days, "casting.recast_within_days", rule)
    };
    let window = DayRange::new(off, off + i32::from(days));
    (window, Reason::new(fact, cast.entry, rule, protocol.source(key)))
}

/// The number of the next cast, with the episode if it is a later one.
pub(crate) fn cast_number(view: &View<'_>) -> CastNumber {
    let later_episode = Some(view.foot.episode).filter(|episode| *episode > 1);
    CastNumber { number: view.next_number(), later_episode }
}

fn next_cast(view: &View<'_>) -> NextStep {
    let (window, reason) = due(view);
    let wanted = missing(view);
    let text = StepText::Cast(cast_number(view), wanted.as_ref().map(|(what, _)| *what));
    let status = match wanted {
        Some((_, reason)) => reason,
        None => why_not_ready(view),
    };
    let mut step = NextStep::of(view.scope(), Action::NextCast, text, Some(window), reason)
        .because(status)
        .because(relapse::reason(view));
    let full = view.end_point.abduction_deg;
    step.otherwise = readiness::otherwise(RuleAnswer::Cast, &view.measured, full);
    step.cautions([caution::CAST_CARE, caution::OFF_IN_CLINIC])
        .cautions(unscored(view))
        .cautions(caution::kind_of_foot(view))
        .cautions(caution::late_start(view))
        .cautions(relapse::cautions(view, window.from))
}

/// The clinic's rule in words.
fn rule_words(rule: ReadinessRule) -> &'static str {
    readiness::PublishedRule::Score(rule).words()
}

/// Why the foot is not ready yet.
fn why_not_ready(view: &View<'_>) -> Reason {
    let (says, rule) = (view.score_answer, view.protocol.readiness_rule);
    if says == Some(RuleAnswer::Cast) {
        let (fact, entry) = view.measured.score_fact();
        let words = format!("Not ready for tenotomy by the clinic's rule, that of {}.", rule_words(rule));
        return Reason::new(fact, entry, words, rule.source());
    }
    let (fact, entry) = view.measured.movement_fact();
    let EndPointWords(words) = end_point_words(view);
    Reason::new(fact, entry, format!("Not corrected yet: {words} are required."), view.end_point.source)
}

struct EndPointWords(String);

fn end_point_words(view: &View<'_>) -> EndPointWords {
    let end = view.end_point;
    let (out, up) = (degrees(end.abduction_deg), degrees(end.dorsiflexion_deg));
    EndPointWords(format!("{out} abduction and {up} dorsiflexion"))
}

/// What has to be measured before the next decision, and why; nothing is assumed.
fn missing(view: &View<'_>) -> Option<(StillToMeasure, Reason)> {
    let measured = &view.measured;
    let settled = view.status.ready_for_tenotomy.is_some() && view.status.corrected.is_some();
    if settled || view.score_answer == Some(RuleAnswer::Cast) {
        return None;
    }
    if view.score_answer.is_none() {
        let (fact, entry) = measured.score_fact();
        let rule = "The six signs decide between the next cast and the tenotomy: signs that were not assessed are not assumed.";
        let what =
            if measured.scored.is_some() { StillToMeasure::RestOfScore } else { StillToMeasure::Score };
        return Some((what, Reason::new(fact, entry, rule, view.protocol.readiness_rule.source())));
    }
    let what = match (measured.dorsiflexion, measured.abduction) {
        (None, None) => StillToMeasure::Movement,
        (None, Some(_)) => StillToMeasure::Dorsiflexion,
        (Some(_), None) => StillToMeasure::Abduction,
        (Some(_), Some(_)) => return None,
    };
    let (fact, entry) = measured.score_fact();
    let rule = "By the score no tenotomy is needed; dorsiflexion and abduction decide between brace and tenotomy, and are not assumed.";
    Some((what, Reason::new(fact, entry, rule, view.end_point.source)))
}

/// The caution that the last cast was applied without a score.
fn unscored(view: &View<'_>) -> Option<caution::Words> {
    let cast = view.last_cast()?;
    view.measured.on.is_none_or(|on| on < cast.on).then(|| {
        let words = format!(
            "No score was recorded with the cast of {}: score at every visit, including the first (British consensus, Bone Joint J 2022).",
            cast.on.words()
        );
        words.into()
    })
}

/// Progress has stalled, by the rule on slow progress. It looks at the midfoot, because the hindfoot does not
/// improve until the tenotomy.
fn stalled(view: &View<'_>) -> Option<Reason> {
    let slow = progress::slow(view.foot, Some(&view.status), view.protocol)?;
    slow.flat
        .map(|(before, last, casts)| flat(view, before, last, casts))
        .or_else(|| Some(many(view, slow.many?)))
}

fn flat(view: &View<'_>, before: &AssessmentSeen, last: &AssessmentSeen, casts: usize) -> Reason {
    let fact = match before.pirani.midfoot().zip(last.pirani.midfoot()) {
        Some((was, now)) => {
            format!(
                "Midfoot score {was} on {}, {now} on {}, {casts} casts between.",
                before.on.words(),
                last.on.words()
            )
        }
        None => format!(
            "Total on {} not lower than on {}, {casts} casts between.",
            last.on.words(),
            before.on.words()
        ),
    };
    let noise = view.protocol.score_noise;
    let rule = format!(
        "A fall of {noise} or less over {} casts is within rater noise: progress has stalled.",
        view.protocol.slow_over_casts
    );
    Reason::new(fact, last.entry, rule, view.protocol.source("casting.slow_over_casts"))
}

fn many(view: &View<'_>, cast: &CastWorn) -> Reason {
    let limit = view.protocol.slow_after_casts;
    let fact = format!("Correcting cast number {limit} of this episode was applied on {}.", cast.on.words());
    let rule = "Not corrected after this cast: review the plan. No agreed number of casts was found.";
    Reason::new(fact, cast.entry, rule, view.protocol.source("casting.slow_after_casts"))
}

fn review(view: &View<'_>, stall: Reason) -> NextStep {
    let (window, reason) = due(view);
    let text = StepText::CastAndReviewPlan(cast_number(view));
    let mut step = NextStep::of(view.scope(), Action::ReviewSlowProgress, text, Some(window), stall)
        .because(reason)
        .because(view.measured.scored.map(|scored| {
            let rule = "A flat hindfoot score before the tenotomy is normal.";
            let fact = score_words(&scored.pirani, scored.on);
            Reason::new(fact, scored.entry, rule, source::TRAJECTORY)
        }));
    step.otherwise = readiness::otherwise(RuleAnswer::Cast, &view.measured, view.end_point.abduction_deg);
    step.cautions([
        "Review the manipulation and the casts, and any casts that slipped or were removed early; look for the signs of a complex foot (deep crease above the heel and across the sole, short hyperextended great toe) and for an underlying condition; get a second opinion (common practice, no source).".into(),
        caution::CAST_CARE,
    ])
    .cautions(caution::kind_of_foot(view))
    .cautions(caution::late_start(view))
    .cautions(relapse::cautions(view, window.from))
}

//! Around the tenotomy: ready, booked, done; and the foot that needs none.

use super::{
    Action, NextStep, StepText, after_cut, casting, caution,
    readiness::{self, PublishedRule, RuleAnswer},
    relapse,
    view::View,
};
use crate::{Reason, source};
use course::{CastWorn, Phase, TenotomyPlan, TenotomySeen};
use record::{CastPurpose, Day, DayRange};

/// Abduction and dorsiflexion at the published end point of casting (Khan 2017), degrees.
const KHAN_DEG: (i16, i16) = (70, 15);

/// Corrected without a tenotomy: the brace is due at the change of the cast.
pub(crate) fn brace_without(view: &View<'_>) -> NextStep {
    let on = view.measured.on.unwrap_or(Day::FIRST);
    let until = match view.last_cast() {
        Some(cast) => cast.off.map_or(cast.on + view.interval().1, |(off, _)| off + fit_within(view)),
        None => on + view.interval().1,
    };
    let (fact, entry) = view.measured.movement_fact();
    let end = view.end_point;
    let rule = format!(
        "With at least {}° dorsiflexion and {}° abduction no tenotomy is advised: the brace follows the last cast.",
        end.dorsiflexion_deg, end.abduction_deg
    );
    let window = DayRange::new(on, until.max(on));
    let reason = Reason::new(fact, entry, rule, end.source);
    let text = StepText::BraceWithoutTenotomy;
    let mut step = NextStep::of(view.scope(), Action::FitBrace, text, Some(window), reason)
        .because(view.measured.scored.map(|scored| {
            let rule = "A score of zero is not required for bracing: means of 0.3 to 1.2 are published.";
            let (fact, _) = view.measured.score_fact();
            Reason::new(fact, scored.entry, rule, "Islam 2020, PMC7031442; Indian series of 1,055 feet")
        }))
        .because(relapse::reason(view));
    step.otherwise = readiness::otherwise(RuleAnswer::NoTenotomy, &view.measured, end.abduction_deg);
    step.otherwise.extend(short_of_khan(view));
    step.cautions([caution::bar_setting(view)])
        .cautions(caution::unaffected_boot(view.course, view))
        .cautions(caution::kind_of_foot(view))
        .cautions(caution::late_start(view))
}

/// The reason shown if the published end point is stricter than the clinic's.
fn short_of_khan(view: &View<'_>) -> Option<Reason> {
    let (out, up) = (view.measured.abduction_deg()?, view.measured.dorsiflexion_deg()?);
    (out < KHAN_DEG.0 || up < KHAN_DEG.1).then(|| {
        let (fact, entry) = view.measured.movement_fact();
        let rule =
            "The foot has not reached the end point of Khan 2017 (15° dorsiflexion and 70° abduction).";
        Reason::new(fact, entry, rule, source::KHAN)
    })
}

/// Days within which a foot out of its last cast is braced.
fn fit_within(view: &View<'_>) -> i32 {
    view.protocol.fit_within_days.into()
}

fn ready_reason(view: &View<'_>) -> Reason {
    let rule = view.protocol.readiness_rule;
    if view.score_answer == Some(RuleAnswer::Tenotomy) {
        let (fact, entry) = view.measured.score_fact();
        let words = format!(
            "Ready for tenotomy by the clinic's rule, that of {}.",
            PublishedRule::Score(rule).words()
        );
        return Reason::new(fact, entry, words, rule.source());
    }
    let (fact, entry) = view.measured.movement_fact();
    let words = format!(
        "With full abduction, dorsiflexion below {}° indicates a tenotomy.",
        view.end_point.dorsiflexion_deg
    );
    Reason::new(fact, entry, words, view.end_point.source)
}

/// Cautions for dorsiflexion that was not measured, and for abduction that is less than wanted.
fn movement_cautions(view: &View<'_>) -> impl Iterator<Item = caution::Words> {
    let unmeasured = view.measured.dorsiflexion.is_none().then_some(
        "Dorsiflexion was not measured: measure it before the tenotomy; sufficient dorsiflexion would make it unnecessary."
            .into(),
    );
    let wanted = view.end_point.abduction_deg;
    let short = view.measured.abduction_deg().filter(|&deg| deg < wanted).map(|deg| {
        caution::Words::from(format!(
            "Abduction {deg}°; {wanted}° is wanted before the tenotomy (from memory). The tenotomy itself increases it, from 54° to 77° in 22 feet."
        ))
    });
    unmeasured.into_iter().chain(short)
}

/// Whether the foot had a tenotomy before.
fn is_second(view: &View<'_>) -> bool {
    !view.foot.tenotomies.is_empty()
}

fn cautions(view: &View<'_>, step: NextStep) -> NextStep {
    let from = step.window.map(|window| window.from);
    step.cautions(movement_cautions(view))
        .cautions(from.and_then(|from| caution::anaesthetic(view.course, view.protocol, from)))
        .cautions(caution::kind_of_foot(view))
        .cautions(caution::late_start(view))
        .cautions(from.into_iter().flat_map(|from| relapse::cautions(view, from)))
}

/// Ready and not booked.
pub(crate) fn book(view: &View<'_>) -> NextStep {
    let on = view.measured.on.unwrap_or(Day::FIRST);
    let window = DayRange::new(on, on + i32::from(view.protocol.tenotomy_within_days));
    let text = StepText::BookTenotomy { second: is_second(view) };
    let within = Reason::new(
        "No tenotomy is booked.",
        None,
        format!(
            "Once the foot is ready, the tenotomy is due within {} days.",
            view.protocol.tenotomy_within_days
        ),
        view.protocol.source("tenotomy.within_days"),
    );
    let mut step = NextStep::of(view.scope(), Action::Tenotomy, text, Some(window), ready_reason(view))
        .because(within)
        .because(relapse::reason(view));
    step.otherwise = readiness::otherwise(RuleAnswer::Tenotomy, &view.measured, view.end_point.abduction_deg);
    cautions(view, step)
}

/// Booked: keep the booking, and change the cast before it if the cast cannot stay on until then.
pub(crate) fn keep(view: &View<'_>, plan: TenotomyPlan) -> NextStep {
    let day = view.course.tenotomy_day(&plan);
    let booked = plan.booked_on.words();
    let fact = match (plan.planned_on, day) {
        (Some(day), _) => format!("Tenotomy booked on {booked} for {}.", day.words()),
        (None, Some(day)) => {
            format!("Tenotomy booked on {booked}; the appointment for it is on {}.", day.words())
        }
        (None, None) => format!("Tenotomy booked on {booked}, no date chosen."),
    };
    let plan = TenotomyPlan { planned_on: day, ..plan };
    let longest = view.foot.cast_on().map(|cast| cast.on + i32::from(view.protocol.cast_max_days));
    if let (Some(planned), Some(longest)) = (plan.planned_on, longest)
        && planned > longest
    {
        return cast_before(view, &plan, fact, longest);
    }
    let window = match plan.planned_on {
        Some(day) => DayRange::on(day),
        None => DayRange::new(plan.booked_on, plan.booked_on + i32::from(view.protocol.tenotomy_within_days)),
    };
    let second = is_second(view);
    let (text, rule) = match plan.planned_on {
        Some(on) => (StepText::TenotomyBooked { second, on }, "Keep the appointment."),
        None => (StepText::TenotomyWithoutDay { second }, "Choose a date and inform the family."),
    };
    let reason = Reason::new(fact, plan.entry, rule, source::COMMON);
    let step = NextStep::of(view.scope(), Action::KeepTenotomy, text, Some(window), reason);
    cautions(view, why_booked(view, step))
}

/// Adds whether the measurements support the booking.
fn why_booked(view: &View<'_>, mut step: NextStep) -> NextStep {
    step.otherwise = readiness::otherwise(RuleAnswer::Tenotomy, &view.measured, view.end_point.abduction_deg);
    match (view.status.ready_for_tenotomy, view.status.corrected) {
        (Some(true), _) => step.because(ready_reason(view)),
        (_, Some(true)) => {
            let (fact, entry) = view.measured.movement_fact();
            let rule = "The required dorsiflexion and abduction are reached: by the clinic's protocol no tenotomy is advised any more. Reassess before it.";
            step.otherwise.push(Reason::new(fact, entry, rule, view.end_point.source));
            step
        }
        (Some(false), _) => step.cautions([caution::NOT_READY]),
        (None, _) => step.cautions([caution::NOT_MEASURED]),
    }
}

fn cast_before(view: &View<'_>, plan: &TenotomyPlan, fact: String, longest: Day) -> NextStep {
    let (mut window, due) = casting::due(view);
    window.to = window.to.min(longest).max(window.from);
    let rule = format!(
        "The cast may stay on for {} days, until {}: change it before the tenotomy.",
        view.protocol.cast_max_days,
        longest.words()
    );
    let text = StepText::CastUntilTenotomy(casting::cast_number(view));
    let reason = Reason::new(fact, plan.entry, rule, view.protocol.source("casting.max_days"));
    let step = NextStep::of(view.scope(), Action::NextCast, text, Some(window), reason).because(due);
    why_booked(view, step).cautions([caution::CAST_CARE]).cautions(caution::kind_of_foot(view))
}

/// The last tenotomy of the current episode.
fn done<'a>(view: &'a View<'_>) -> Option<&'a TenotomySeen> {
    view.foot.tenotomies_now().last().or_else(|| view.foot.tenotomies.last())
}

/// The days on which the cast after a tenotomy comes off.
fn cast_off_window(view: &View<'_>) -> Option<DayRange> {
    let done = done(view)?.on;
    let span = view.protocol.tenotomy_cast(done, view.born());
    Some(DayRange::new(done + i32::from(span.low), done + i32::from(span.high)))
}

/// After the tenotomy: remove the cast and fit the brace the same day.
///
/// `None` if no tenotomy is recorded.
pub(crate) fn cast_off(view: &View<'_>) -> Option<NextStep> {
    let (done, window) = (done(view)?, cast_off_window(view)?);
    let reason = weeks_reason(view, done, window);
    let window = held_since(view, window).map_or(window, |cast| view.change_window(cast));
    if let Some((off, why)) =
        view.foot.last_cast().filter(|cast| cast.on >= done.on).and_then(|cast| cast.off)
    {
        return Some(out_of_cast(view, done, window, off, why.map(record::RemovalReason::words)));
    }
    let step =
        NextStep::of(view.scope(), Action::CastOffAndBrace, StepText::CastOffAndBrace, Some(window), reason)
            .because(same_day(view));
    let step = step
        .cautions(no_cast_recorded(view, done))
        .cautions(after_cut::reminder(view, done))
        .cautions([caution::bar_setting(view)])
        .cautions(caution::unaffected_boot(view.course, view))
        .cautions([caution::AFTER_CUT])
        .cautions(view.born().is_none().then_some(caution::NO_BIRTH_DAY))
        .cautions(caution::kind_of_foot(view));
    Some(step)
}

fn same_day(view: &View<'_>) -> Option<Reason> {
    view.foot.cast_on().map(|cast| {
        let fact = format!("Cast of {} still on.", cast.on.words());
        let rule = "Fit the brace on the day the cast comes off, so that no correction is lost.";
        Reason::new(fact, cast.entry, rule, source::COMMON)
    })
}

fn weeks_reason(view: &View<'_>, done: &TenotomySeen, window: DayRange) -> Reason {
    let protocol = view.protocol;
    let older = protocol.is_older_for_tenotomy(done.on, view.born());
    let (low, high) = (window.from - done.on, window.to - done.on);
    let rule = match (older, low == high) {
        (true, _) => format!(
            "From {} years of age the cast after a tenotomy stays on longer: {high} days.",
            protocol.tenotomy_older_from_years
        ),
        (false, true) => format!("The cast after a tenotomy stays on for {high} days."),
        (false, false) => format!("The cast after a tenotomy stays on for {low} to {high} days."),
    };
    let key = protocol.tenotomy_cast_key(done.on, view.born());
    Reason::new(format!("Tenotomy on {}.", done.on.words()), done.entry, rule, protocol.source(key))
}

fn no_cast_recorded(view: &View<'_>, done: &TenotomySeen) -> Option<caution::Words> {
    view.foot.cast_on().is_none().then(|| {
        format!(
            "No cast is recorded after the tenotomy of {}: record it, or cast the foot now.",
            done.on.words()
        )
        .into()
    })
}

/// Out of the cast after a tenotomy without a brace: too soon, cast again; otherwise brace at once.
fn out_of_cast(
    view: &View<'_>,
    done: &TenotomySeen,
    window: DayRange,
    off: Day,
    why: Option<&str>,
) -> NextStep {
    let why = why.map_or(String::new(), |why| format!(" ({why})"));
    let fact = format!("Cast after the tenotomy off on {}{why}; no brace is recorded.", off.words());
    let at_once = Some(DayRange::new(off, off + fit_within(view)));
    if off < window.from {
        let rule = format!(
            "After the tenotomy of {} the foot needs its cast until {}: cast again at once.",
            done.on.words(),
            window.from.words()
        );
        let reason = Reason::new(fact, done.entry, rule, source::COMMON);
        let text = StepText::CastOffTooSoon;
        return NextStep::of(view.scope(), Action::SeeUrgently, text, at_once, reason);
    }
    let rule = "A corrected foot without a brace relapses: fit the brace at once.";
    let reason = Reason::new(fact, done.entry, rule, source::UNBRACED);
    let text = StepText::BraceOutOfCast;
    let step = NextStep::of(view.scope(), Action::FitBrace, text, at_once, reason);
    step.cautions(after_cut::reminder(view, done))
        .cautions([caution::bar_setting(view)])
        .cautions(caution::unaffected_boot(view.course, view))
        .cautions(caution::kind_of_foot(view))
}

/// The cast that still holds the foot when the weeks after the tenotomy are over.
fn held_since<'a>(view: &View<'a>, weeks: DayRange) -> Option<&'a CastWorn> {
    view.cast_after_tenotomy().filter(|cast| cast.on >= weeks.from)
}

/// The days on which the foot can change from its cast to the brace; a foot that is only held can do so on any
/// day until its cast has been on for the longest time allowed.
pub(crate) fn brace_days(view: &View<'_>, step: &NextStep) -> Option<DayRange> {
    let window = step.window?;
    let after_tenotomy = cast_off_window(view).and_then(|weeks| held_since(view, weeks));
    let holding = view
        .foot
        .cast_on()
        .filter(|cast| cast.purpose == CastPurpose::Holding && view.foot.phase != Phase::TenotomyCast);
    Some(after_tenotomy.or(holding).map_or(window, |cast| {
        let longest = cast.on + i32::from(view.protocol.cast_max_days);
        DayRange::new(window.from.min(cast.on + 1), window.to.max(longest))
    }))
}

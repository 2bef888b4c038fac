//! In the brace: early reviews, the change to nights and naps, later reviews, the end; and after bracing.

use super::{Action, EarlyReviewAsks, NextStep, Scope, StepText, caution, view::View};
use crate::{
    Protocol, Reason,
    protocol::EarlyReview,
    source,
    words::{degrees, weeks},
};
use course::{BraceSpell, Course, Phase, WearKind};
use record::{Day, DayRange, Regime};
use std::borrow::Cow;
use wear::adherence::Adherence;

/// Number of logged days from which logged hours count. Judgement; no source.
const LEAST_LOGGED_DAYS: u16 = 7;
/// Rounding error allowed in a sum of hours.
const ROUNDING: f64 = 1e-6;

/// The next step in the brace; it belongs to the child, because one bar holds both feet.
pub(crate) fn of_child(course: &Course, protocol: &Protocol, scope: Scope) -> NextStep {
    let Some(spell) = course.brace_now().or_else(|| course.braces.last()) else {
        let rule = "Record when the brace was fitted: the reviews count from that day.";
        let reason = Reason::new("In the brace; no fitting is recorded.", None, rule, source::COMMON);
        return NextStep::of(scope, Action::BraceReview, StepText::BraceReview, None, reason);
    };
    let brace = Brace { course, protocol, scope, spell };
    brace.early().or_else(|| brace.to_nights()).unwrap_or_else(|| brace.later())
}

struct Brace<'a> {
    course: &'a Course,
    protocol: &'a Protocol,
    scope: Scope,
    spell: &'a BraceSpell,
}

impl Brace<'_> {
    fn since(&self) -> Day {
        self.spell.bracing_since
    }

    /// The last day on which the child was seen after the fitting.
    fn last_seen(&self) -> Option<Day> {
        self.course.last_seen().filter(|&day| day > self.since())
    }

    /// The day on which full-time bracing ends, if it is still going on.
    fn nights_from(&self) -> Option<Day> {
        let full = self.spell.regime == Regime::FullTime;
        full.then(|| self.since() + i32::from(self.protocol.full_time_weeks) * 7)
    }

    fn fitted(&self) -> String {
        format!("Brace worn since {}.", self.since().words())
    }

    /// The first early review not yet done. A visit counts for the latest review whose days have begun, so that a
    /// late one is not requested twice; a visit before those days counts for none.
    fn early(&self) -> Option<NextStep> {
        let held = self.last_seen().map(|seen| seen - self.since());
        let due =
            self.protocol.early_reviews().find(|review| held.is_none_or(|held| held < review.from_days))?;
        let day = self.since() + due.due_days;
        let window = DayRange::new(self.since() + due.from_days, self.since() + due.to_days);
        let rule =
            format!("An early review is due {} after the fitting: on {}.", weeks(due.week), day.words());
        let source = self.protocol.source("bracing.early_reviews_weeks");
        let reason = Reason::new(self.fitted(), self.spell.entry, rule, source);
        let change = self.nights_from().filter(|&from| window.contains(from));
        let text = |asks| StepText::EarlyReview(due.week, asks);
        let step = match (change, change.and_then(|_| self.little_worn())) {
            (Some(_), Some(little)) => {
                let text = text(EarlyReviewAsks::WornTooLittle);
                NextStep::of(self.scope, Action::EarlyBraceReview, text, Some(window), little).because(reason)
            }
            (Some(from), None) => self.review_and_nights(due, window, reason, from),
            (None, _) => {
                let text = text(EarlyReviewAsks::Nothing);
                NextStep::of(self.scope, Action::EarlyBraceReview, text, Some(window), reason)
            }
        };
        let step = step.because(self.seen_reason()).because(self.regime_reason());
        Some(step.cautions(self.cautions(window)))
    }

    fn review_and_nights(&self, due: EarlyReview, window: DayRange, reason: Reason, from: Day) -> NextStep {
        let text = StepText::EarlyReview(due.week, EarlyReviewAsks::NightsAndNaps);
        NextStep::of(self.scope, Action::ChangeToNightTime, text, Some(window), reason)
            .because(self.nights_reason(from))
    }

    fn nights_reason(&self, from: Day) -> Reason {
        let Protocol { full_time_weeks, full_time_hours, night_hours, .. } = self.protocol;
        let fact = format!("Full time since {}.", self.spell.from.words());
        let rule = format!(
            "{full_time_hours} hours a day for {full_time_weeks} weeks, until {}; then nights and naps, {night_hours} hours a day.",
            from.words()
        );
        Reason::new(fact, self.spell.entry, rule, self.protocol.source("bracing.full_time_weeks"))
    }

    /// The weeks of full-time bracing are over and no change is recorded.
    fn to_nights(&self) -> Option<NextStep> {
        let from = self.nights_from()?;
        let start = self.last_seen().map_or(from, |seen| seen.max(from));
        let window = DayRange::new(start, start + i32::from(self.protocol.early_review_days_after));
        let nights = self.nights_reason(from);
        let step = match self.little_worn() {
            Some(little) => {
                let text = StepText::BraceReviewWornTooLittle;
                NextStep::of(self.scope, Action::BraceReview, text, Some(window), little).because(nights)
            }
            None => {
                let text = StepText::NightsAndNaps;
                NextStep::of(self.scope, Action::ChangeToNightTime, text, Some(window), nights)
            }
        }
        .because(self.seen_reason())
        .because(self.regime_reason());
        Some(step.cautions(self.cautions(window)))
    }

    /// The reason not to end full time: a logger found too few of the prescribed hours for the weeks to count.
    fn little_worn(&self) -> Option<Reason> {
        let logged = &Adherence::of(self.course, self.protocol.prescribed()).logged;
        let weeks = logged.weeks.iter().filter(|week| week.monday + 6 >= self.since());
        let (days, hours, prescribed) = weeks.fold((0, 0.0, 0.0), |(days, hours, prescribed), week| {
            let known = f64::from(week.days);
            (days + week.days, hours + known * week.hours, prescribed + known * week.prescribed)
        });
        let limit = self.protocol.nights_from_percent;
        if days < LEAST_LOGGED_DAYS || 100.0 * hours >= f64::from(limit) * prescribed - ROUNDING {
            return None;
        }
        let entry = self.course.wear.iter().rfind(|span| span.kind == WearKind::Logged)?.entry;
        let mean = |sum: f64| sum / f64::from(days);
        let fact = format!(
            "A logger found {:.1} of {:.1} hours a day over {days} days since {}.",
            mean(hours),
            mean(prescribed),
            self.since().words()
        );
        let rule = format!(
            "Full time does not end while less than {limit} % of the prescribed hours are worn: ask what prevents wear."
        );
        Some(Reason::new(fact, entry, rule, self.protocol.source("bracing.nights_from_percent")))
    }

    fn later(&self) -> NextStep {
        let seen = self.last_seen().unwrap_or(self.spell.from);
        let born = self.course.about.born;
        let due = self.protocol.next_review(seen, born);
        let last = due + i32::from(self.protocol.review_days_after);
        match self.protocol.bracing_ends(born) {
            Some(end) if end > seen && end <= last => self.end(end, seen),
            end => self.review(seen, DayRange::new(due, last), end),
        }
    }

    fn review(&self, seen: Day, window: DayRange, end: Option<Day>) -> NextStep {
        let months = self.protocol.review_months(seen, self.course.about.born);
        let fact = format!("Last seen on {}.", seen.words());
        let rule = match self.course.about.born {
            Some(_) => format!("At this age a review in the brace is due every {months} months."),
            None => format!(
                "The day of birth is not known, so the shortest interval applies: every {months} months."
            ),
        };
        let reason = Reason::new(fact, None, rule, self.protocol.source("bracing.review_months_under_3y"));
        let over = end.filter(|&end| end <= seen);
        let (action, text) = match over {
            Some(_) => (Action::EndBracing, StepText::BraceReviewAndDecide),
            None => (Action::BraceReview, StepText::BraceReview),
        };
        let step = NextStep::of(self.scope, action, text, Some(window), reason)
            .because(over.map(|end| self.end_reason(end)))
            .because(self.regime_reason());
        step.cautions(self.cautions(window))
    }

    fn end_reason(&self, end: Day) -> Reason {
        let years = self.protocol.bracing_ends_years;
        let entry = self.course.registered;
        let fact = format!("{years} years old on {}.", end.words());
        let rule = format!("Bracing ends at {years} years; 4 to 5 years are published.");
        Reason::new(fact, entry, rule, self.protocol.source("bracing.ends_years"))
    }

    fn end(&self, end: Day, seen: Day) -> NextStep {
        let window = DayRange::new(end, end + i32::from(self.protocol.review_days_after));
        let text = StepText::EndOfBracing(end);
        let reason = self.end_reason(end);
        let last = Reason::new(
            format!("Last seen on {}.", seen.words()),
            None,
            "The next review coincides with the end of bracing.",
            source::COMMON,
        );
        NextStep::of(self.scope, Action::EndBracing, text, Some(window), reason)
            .because(last)
            .cautions(["Most relapses after bracing come after its end (87 % in one series, Manousaki 2021): continue reviews until discharge.".into()])
            .cautions(self.problems())
    }

    fn seen_reason(&self) -> Option<Reason> {
        let seen = self.last_seen()?;
        let fact = format!("Last seen on {}.", seen.words());
        let rule = "A visit counts for the latest review whose days had begun.";
        Some(Reason::new(fact, None, rule, source::COMMON))
    }

    /// The reason for a regime that was not recorded but inferred from the position in the course.
    fn regime_reason(&self) -> Option<Reason> {
        (!self.spell.regime_stated).then(|| {
            let fact = format!("The regime is not recorded; assumed to be {}.", self.spell.regime.words());
            let rule =
                "The first fitting after casting is assumed to be full time: record what was prescribed.";
            Reason::new(fact, self.spell.entry, rule, source::FULL_TIME)
        })
    }

    fn cautions(&self, window: DayRange) -> impl Iterator<Item = Cow<'static, str>> {
        let notice = i32::from(self.protocol.end_notice_days);
        let end = self.protocol.bracing_ends(self.course.about.born);
        let near = end.filter(|&end| window.to >= end - notice && window.from <= end);
        let end = near.map(|end| format!("Bracing is planned to end on {}.", end.words()).into());
        let unknown = self.course.about.born.is_none().then_some(caution::NO_BIRTH_DAY);
        end.into_iter().chain(unknown).chain(self.problems())
    }

    /// Problems with the brace that are not settled.
    fn problems(&self) -> Option<Cow<'static, str>> {
        let open = self.course.problems.iter().rev();
        let problem =
            open.take_while(|problem| problem.on >= self.since()).find(|p| p.settled_on.is_none())?;
        let (what, on) = (problem.what.words(), problem.on.words());
        Some(format!("{}{what}, noted on {on}.", caution::NOT_SETTLED).into())
    }
}

/// The brace step for one foot.
pub(crate) fn of_foot(view: &View<'_>) -> NextStep {
    let step = of_child(view.course, view.protocol, view.scope());
    step.because(movement(view)).cautions(alarm(view)).cautions(caution::kind_of_foot(view))
}

fn movement(view: &View<'_>) -> Option<Reason> {
    let (deg, on, entry) = view.measured.dorsiflexion?;
    let fact = format!("Dorsiflexion {} on {}.", degrees(deg), on.words());
    let rule = "Dorsiflexion is the first to be lost in a relapse: measure it at every review.";
    Some(Reason::new(fact, entry, rule, source::RELAPSE))
}

fn alarm(view: &View<'_>) -> Option<Cow<'static, str>> {
    let (limit, _) = view.protocol.dorsiflexion_alarm(view.foot.nature);
    let (deg, on, _) = view.measured.dorsiflexion.filter(|&(deg, on, _)| {
        deg < limit && view.course.braces.first().is_some_and(|spell| on >= spell.from)
    })?;
    let words = format!(
        "Dorsiflexion {} on {}, below {limit}°: look for early heel rise and supination in swing before reducing the hours.",
        degrees(deg),
        on.words()
    );
    Some(words.into())
}

/// Bracing has stopped: if too early, resume it; otherwise review until discharge.
pub(crate) fn after(view: &View<'_>) -> NextStep {
    let stopped = view.course.braces.last().and_then(|spell| Some((spell.until?.0, spell.entry)));
    let since = view.foot.phases.last().filter(|spell| spell.phase == Phase::AfterBracing);
    let Some(on) = stopped.map(|(day, _)| day).or(since.map(|spell| spell.from)) else {
        let rule = "Record when bracing stopped.";
        let reason =
            Reason::new("After bracing; the day it stopped is not recorded.", None, rule, source::COMMON);
        return NextStep::of(
            view.scope(),
            Action::ReviewAfterBracing,
            StepText::ReviewAfterBracing,
            None,
            reason,
        );
    };
    let entry = view.phase_entry().or(stopped.map(|(_, entry)| entry));
    match view.protocol.bracing_ends(view.born()) {
        Some(end) if on < end && view.course.last_seen().is_none_or(|seen| seen < end) => {
            resume(view, on, end, entry)
        }
        _ => review_after(view, on, entry),
    }
}

fn resume(view: &View<'_>, on: Day, end: Day, entry: Option<record::EntryId>) -> NextStep {
    let years = view.protocol.bracing_ends_years;
    let fact = format!("Bracing stopped on {}; {years} years old on {}.", on.words(), end.words());
    let rule = format!(
        "Bracing lasts until {years} years; if it stops earlier, relapse is likely: talk with the family and resume it."
    );
    let seen = view.course.last_seen().map_or(on, |seen| seen.max(on));
    let window = DayRange::new(seen, seen + i32::from(view.protocol.resume_within_days));
    let reason = Reason::new(fact, entry, rule, source::UNBRACED);
    let text = StepText::ResumeBracing;
    NextStep::of(view.scope(), Action::FitBrace, text, Some(window), reason)
        .cautions([caution::bar_setting(view), "Check for relapse first: a foot that is no longer corrected needs casts before the brace (common practice, no source).".into()])
        .cautions(caution::unaffected_boot(view.course, view))
        .cautions(alarm(view))
        .cautions(caution::kind_of_foot(view))
}

fn review_after(view: &View<'_>, on: Day, entry: Option<record::EntryId>) -> NextStep {
    let seen = view.course.last_seen().map_or(on, |seen| seen.max(on));
    let due = view.protocol.next_review(seen, view.born());
    let window = DayRange::new(due, due + i32::from(view.protocol.review_days_after));
    let fact = format!("Bracing stopped on {}; last seen on {}.", on.words(), seen.words());
    let rule = format!(
        "After bracing the foot is reviewed every {} months, until discharge.",
        view.protocol.review_months(seen, view.born())
    );
    let reason = Reason::new(fact, entry, rule, view.protocol.source("bracing.review_months_older"));
    let step = NextStep::of(
        view.scope(),
        Action::ReviewAfterBracing,
        StepText::ReviewAfterBracing,
        Some(window),
        reason,
    );
    step.because(movement(view))
        .cautions(view.born().is_none().then_some(caution::NO_BIRTH_DAY))
        .cautions(caution::kind_of_foot(view))
}

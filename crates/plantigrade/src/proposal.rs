//! The next appointment, proposed from the protocol's window and the clinic's own weekdays.

use crate::settings::Settings;
use guidance::{Action, NextStep, Outlook, Scope};
use record::{
    AppointmentAttended, Body, BraceChange, BraceChanged, BraceFitted, CastApplied, CastPurpose, Day,
    DayRange, Note, Purpose, Regime, TenotomyDone,
};

/// Days proposed at most.
const PROPOSED: usize = 3;

/// A day to come back, and why then.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposal {
    /// The day.
    pub day: Day,
    /// What for.
    pub purpose: Purpose,
    /// Why that day.
    pub why: String,
}

/// What this visit would write if the steps that are due were done at it, so that the day after it can be
/// proposed before anything is filled in. Nothing of this is ever saved.
#[must_use]
pub fn assumed(outlook: &Outlook, on: Day) -> Vec<Body> {
    let due = |step: &&NextStep| step.window.is_some_and(|window| window.from <= on);
    let mut bodies: Vec<Body> = outlook.steps.iter().filter(due).flat_map(done).collect();
    bodies.push(AppointmentAttended::default().into());
    // An attendance by itself is no visit: the one assumed is written up.
    bodies.push(Note { text: "Visit".to_owned() }.into());
    bodies
}

/// The entries of a step that is done.
fn done(step: &NextStep) -> Vec<Body> {
    let Scope::Foot(side) = step.scope else { return done_for_child(step.action) };
    let cast = |purpose| Body::from(CastApplied { purpose: Some(purpose), ..CastApplied::on(side) });
    match step.action {
        Action::FirstVisit | Action::NextCast | Action::ReviewSlowProgress | Action::TreatRelapse => {
            vec![cast(CastPurpose::Correction)]
        }
        Action::HoldForOtherFoot => vec![cast(CastPurpose::Holding)],
        Action::Tenotomy | Action::KeepTenotomy => {
            vec![TenotomyDone::on(side).into(), cast(CastPurpose::AfterTenotomy)]
        }
        other => done_for_child(other),
    }
}

fn done_for_child(action: Action) -> Vec<Body> {
    match action {
        Action::CastOffAndBrace | Action::FitBrace => vec![BraceFitted::default().into()],
        Action::ChangeToNightTime => vec![
            BraceChanged {
                change: BraceChange::Hours,
                brace: None,
                regime: Some(Regime::NightTime),
                hours_prescribed: None,
                note: None,
            }
            .into(),
        ],
        _ => Vec::new(),
    }
}

/// Proposes days after `on` for the step that leads: the clinic days of its window, or where there are
/// none the nearest clinic day, early rather than late.
#[must_use]
pub fn proposals(outlook: &Outlook, on: Day, settings: &Settings) -> Vec<Proposal> {
    let Some(step) = outlook.lead_on(on) else { return Vec::new() };
    let Some(window) = step.window else { return Vec::new() };
    let span = format!("{} is due from {} to {}", step.words, window.from.words(), window.to.words());
    let proposal = |day: Day| {
        let why =
            if window.contains(day) { span.clone() } else { format!("{span}; this clinic day is nearest") };
        Proposal { day, purpose: purpose(step.action), why }
    };
    clinic_days(window, on, settings).into_iter().map(proposal).collect()
}

fn clinic_days(window: DayRange, on: Day, settings: &Settings) -> Vec<Day> {
    let after = on + 1;
    let held = |day: &Day| *day >= after && settings.open_on(*day);
    let within: Vec<Day> =
        (0..=window.to - window.from).map(|n| window.from + n).filter(held).take(PROPOSED).collect();
    if !within.is_empty() {
        return within;
    }
    let before = (1..=7).map(|n| window.from - n).find(held);
    let next = || (0..7).map(|n| after.max(window.from) + n).find(held);
    before.or_else(next).into_iter().collect()
}

/// What an appointment for a step is for.
const fn purpose(action: Action) -> Purpose {
    match action {
        Action::FirstVisit | Action::WaitForTerm => Purpose::First,
        Action::NextCast | Action::ReviewSlowProgress | Action::TreatRelapse | Action::HoldForOtherFoot => {
            Purpose::Cast
        }
        Action::Tenotomy | Action::KeepTenotomy => Purpose::Tenotomy,
        Action::CastOffAndBrace | Action::FitBrace => Purpose::BraceFitting,
        Action::LookAgain | Action::AssessAfterTenotomy => Purpose::Review,
        Action::EarlyBraceReview | Action::ChangeToNightTime | Action::BraceReview | Action::EndBracing => {
            Purpose::BraceReview
        }
        Action::ReviewAfterBracing | Action::ReviewAfterSurgery => Purpose::Review,
        _ => Purpose::Other,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::settings::Weekday;

    fn day(text: &str) -> Day {
        text.parse().unwrap()
    }

    fn days(window: DayRange, on: Day, weekdays: &[Weekday]) -> Vec<String> {
        let settings = Settings { weekdays: weekdays.to_vec(), ..Settings::default() };
        clinic_days(window, on, &settings).iter().map(Day::to_string).collect()
    }

    // 2024-07-30 was a Tuesday; a window of 5 to 9 days after it is Sunday 4 to Thursday 8 August.
    fn propose(weekdays: &[Weekday]) -> Vec<String> {
        let on = day("2024-07-30");
        days(DayRange { from: on + 5, to: on + 9 }, on, weekdays)
    }

    #[test]
    fn the_clinic_days_of_the_window_come_first() {
        assert_eq!(propose(&[Weekday::Tuesday]), ["2024-08-06"]);
        assert_eq!(propose(&[Weekday::Monday, Weekday::Thursday]), ["2024-08-05", "2024-08-08"]);
        assert_eq!(propose(&[]), ["2024-08-04", "2024-08-05", "2024-08-06"]);
    }

    #[test]
    fn early_rather_than_late_where_the_clinic_is_not_held_within_it() {
        assert_eq!(propose(&[Weekday::Friday]), ["2024-08-02"]);
    }

    #[test]
    fn a_window_that_has_passed_gives_the_next_clinic_day() {
        let on = day("2024-07-30");
        let past = DayRange { from: on - 20, to: on - 15 };
        assert_eq!(days(past, on, &[Weekday::Friday]), ["2024-08-02"]);
        assert_eq!(days(past, on, &[]), ["2024-07-31"]);
    }
}

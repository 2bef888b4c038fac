//! From the brace to the last review.

use super::in_casts::to_two;
use super::pen::Pen;
use crate::natural_history::bracing::{BRACING_ENDS_DAYS, treated_again};
use crate::natural_history::truth::{FootTruth, RELAPSE_CASTS, RELAPSE_INTERVAL_DAYS};
use record::{
    Assessment, BraceChange, BraceChanged, BraceFitted, CastApplied, CastMaterial, CastPurpose, CastRemoved,
    Day, Discharge, DischargeReason, HalfPoint, Pirani, Purpose, Regime, RelapseGrade, RelapseNoted,
    RemovalReason, Side, WearLogged, WearReported,
};

/// Days in the brace after a relapse that came when bracing had ended (assumed).
const BRACED_AGAIN_DAYS: i32 = 365;

/// Hours prescribed for nights and naps.
const NIGHT_HOURS: u8 = 12;

/// Boots are changed at a visit where one is less than this longer than its foot, mm: what is left would not
/// last until the next review.
const LEAST_ROOM_MM: u16 = 9;

/// One day on which the family comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Visit {
    Review,
    Relapse(usize),
    Recast(usize),
    Rebrace(usize),
}

/// What holds from visit to visit.
struct State {
    boots_mm: [u16; 2],
    braced: bool,
    /// The child is in casts again until this day.
    recast_until: i32,
    stop_on: i32,
}

/// Every visit from the brace on.
pub(super) fn write(pen: &mut Pen<'_>) {
    let truth = pen.truth;
    if truth.brace_day > pen.until {
        return;
    }
    let visits = visits(pen);
    let mut state = State {
        boots_mm: pen.boots_mm(truth.brace_day),
        braced: true,
        recast_until: i32::MIN,
        stop_on: truth.born_day + BRACING_ENDS_DAYS,
    };
    for (index, &(day, visit)) in visits.iter().enumerate() {
        if day > pen.until {
            return pen.left(day);
        }
        let again = index > 0 && visits[index - 1].0 == day;
        if !again {
            pen.come(day);
        }
        happen(pen, &mut state, day, visit);
        let next = visits.get(index + 1);
        match next {
            Some(&(next, _)) if next == day => {}
            Some(&(next, what)) => book_next(pen, day, next, what, &state),
            None => {
                pen.write(day, Discharge { reason: DischargeReason::Completed, note: None });
            }
        }
    }
}

/// Every visit in order: reviews, and each relapse with its casts and the brace again.
fn visits(pen: &Pen<'_>) -> Vec<(i32, Visit)> {
    let truth = pen.truth;
    let mut visits = Vec::with_capacity(truth.reviews.len() + 8);
    for (index, foot) in truth.feet.iter().enumerate() {
        let Some(day) = foot.relapse_day else { continue };
        visits.push((day, Visit::Relapse(index)));
        let more = (1..RELAPSE_CASTS).map(|cast| day + RELAPSE_INTERVAL_DAYS * cast);
        visits.extend(more.map(|day| (day, Visit::Recast(index))));
        visits.push((treated_again(day).1, Visit::Rebrace(index)));
    }
    visits.extend(truth.reviews.iter().map(|day| (*day, Visit::Review)));
    visits.sort_unstable();
    visits
}

/// The next visit; one review in twelve is preceded by one missed.
fn book_next(pen: &mut Pen<'_>, day: i32, next: i32, what: Visit, state: &State) {
    let review = if state.braced { Purpose::BraceReview } else { Purpose::Review };
    match what {
        Visit::Review if next - day > 60 && pen.stays(next - 14) && pen.chance.happens(1.0 / 12.0) => {
            pen.appoint(day, next - 14, review);
            pen.missed_then(next - 14, next, review);
        }
        // A relapse is seen at a visit that was booked as a review.
        Visit::Review | Visit::Relapse(_) => pen.appoint(day, next, review),
        Visit::Recast(_) => pen.appoint(day, next, Purpose::Cast),
        Visit::Rebrace(_) => pen.appoint(day, next, Purpose::BraceFitting),
    }
}

fn happen(pen: &mut Pen<'_>, state: &mut State, day: i32, visit: Visit) {
    let truth = pen.truth;
    match visit {
        Visit::Review => review(pen, state, day),
        Visit::Relapse(index) => relapse(pen, state, &truth.feet[index], day),
        Visit::Recast(index) => recast(pen, &truth.feet[index], day),
        Visit::Rebrace(index) => rebrace(pen, state, &truth.feet[index], day),
    }
}

fn review(pen: &mut Pen<'_>, state: &mut State, day: i32) {
    let truth = pen.truth;
    for foot in &truth.feet {
        // Some dorsiflexion is lost in the first years, a degree a year (assumed).
        let years = f64::from(day - truth.born_day) / 365.25;
        let rest = foot.dorsiflexion_at_brace_deg - years.min(4.0) + 1.2 * pen.chance.normal();
        let lost = foot.relapse_day.is_some_and(|relapse| relapse <= day);
        let dorsiflexion = if lost { rest.min(18.0) } else { rest.max(12.0) };
        let assessment = Assessment {
            dorsiflexion_deg: Some(to_two(dorsiflexion.clamp(5.0, 40.0))),
            abduction_deg: Some(to_two(62.0 + 2.0 * pen.chance.normal())),
            foot_length_mm: Some(pen.length_mm(day, foot.side)),
            ..Assessment::of(foot.side)
        };
        pen.write(day, assessment);
    }
    wear(pen, day);
    change(pen, state, day);
}

/// Hours at the review on the last day of their span.
fn wear(pen: &mut Pen<'_>, day: i32) {
    for span in pen.truth.wear.iter().filter(|span| span.to_day == day) {
        let (from, to) = (Day::from_number(span.from_day), Day::from_number(span.to_day));
        if span.logged {
            let hours_per_day = (span.hours_per_day * 10.0).round() / 10.0;
            let days_judged = u16::try_from(span.to_day - span.from_day).unwrap_or(1).max(1);
            pen.write(day, WearLogged { from, to, hours_per_day, days_judged, logger: None });
        } else {
            let hours_per_day = (span.hours_per_day * 2.0).round() / 2.0;
            pen.write(day, WearReported { from, to, hours_per_day, days_without: None, reason: None });
        }
    }
}

/// Nights from the end of full time, larger boots when they are outgrown, and the end of bracing.
fn change(pen: &mut Pen<'_>, state: &mut State, day: i32) {
    let truth = pen.truth;
    if !state.braced || day <= state.recast_until {
        return;
    }
    if day == truth.full_time_end_day {
        let (regime, hours_prescribed) = (Some(Regime::NightTime), Some(NIGHT_HOURS));
        pen.write(day, BraceChanged { regime, hours_prescribed, ..plain(BraceChange::Hours) });
    }
    if day >= state.stop_on {
        pen.write(day, plain(BraceChange::Stopped));
        state.braced = false;
        return;
    }
    let lengths = Side::BOTH.map(|side| pen.length_mm(day, side));
    if lengths.iter().zip(state.boots_mm).any(|(length, boot)| length + LEAST_ROOM_MM > boot) {
        let brace = Some(pen.brace(day));
        pen.write(day, BraceChanged { brace, ..plain(BraceChange::Size) });
        state.boots_mm = pen.boots_mm(day);
    }
}

/// A change of the brace without further values.
const fn plain(change: BraceChange) -> BraceChanged {
    BraceChanged { change, brace: None, regime: None, hours_prescribed: None, note: None }
}

/// The signs of a relapsed foot of a grade.
fn relapsed(grade: RelapseGrade) -> Pirani {
    let (half, zero) = (Some(HalfPoint::Half), Some(HalfPoint::Zero));
    Pirani {
        lateral_border: half,
        medial_crease: zero,
        talar_head: if grade == RelapseGrade::Iib { half } else { zero },
        posterior_crease: half,
        rigid_equinus: if grade == RelapseGrade::Iia { Some(HalfPoint::One) } else { half },
        empty_heel: half,
    }
}

fn relapse(pen: &mut Pen<'_>, state: &mut State, foot: &FootTruth, day: i32) {
    let grade = match pen.chance.unit() {
        // Bhaskar & Patni 2013: dorsiflexion lost in 28 % of feet, dynamic supination in 34 %.
        chance if chance < 0.28 => RelapseGrade::Ia,
        chance if chance < 0.62 => RelapseGrade::Ib,
        chance if chance < 0.80 => RelapseGrade::Iia,
        _ => RelapseGrade::Iib,
    };
    let rigid = matches!(grade, RelapseGrade::Iia);
    let dorsiflexion = if rigid { -4.0 } else { 4.0 } + 3.0 * pen.chance.normal();
    let assessment = Assessment {
        pirani: relapsed(grade),
        dorsiflexion_deg: Some(to_two(dorsiflexion.clamp(-15.0, 9.0))),
        abduction_deg: Some(to_two(42.0 + 5.0 * pen.chance.normal())),
        foot_length_mm: Some(pen.length_mm(day, foot.side)),
        ..Assessment::of(foot.side)
    };
    pen.write(day, assessment);
    pen.write(day, RelapseNoted { side: foot.side, grade: Some(grade), note: None });
    cast(pen, foot, day);
    state.recast_until = state.recast_until.max(treated_again(day).1);
}

fn cast(pen: &mut Pen<'_>, foot: &FootTruth, day: i32) {
    let (purpose, material) = (Some(CastPurpose::Correction), Some(CastMaterial::Plaster));
    pen.write(day, CastApplied { purpose, material, ..CastApplied::on(foot.side) });
}

fn recast(pen: &mut Pen<'_>, foot: &FootTruth, day: i32) {
    pen.write(day, CastRemoved { side: foot.side, why: RemovalReason::Planned, note: None });
    cast(pen, foot, day);
}

/// Casts off and the brace at nights again, unless the other foot is still in its casts.
fn rebrace(pen: &mut Pen<'_>, state: &mut State, foot: &FootTruth, day: i32) {
    pen.write(day, CastRemoved { side: foot.side, why: RemovalReason::Planned, note: None });
    let assessment = Assessment {
        dorsiflexion_deg: Some(to_two((14.0 + 3.0 * pen.chance.normal()).clamp(6.0, 24.0))),
        abduction_deg: Some(60),
        foot_length_mm: Some(pen.length_mm(day, foot.side)),
        ..Assessment::of(foot.side)
    };
    pen.write(day, assessment);
    if day >= state.recast_until {
        fit_again(pen, state, day);
    }
}

fn fit_again(pen: &mut Pen<'_>, state: &mut State, day: i32) {
    let brace = pen.brace(day);
    let full_time = day < pen.truth.full_time_end_day;
    let regime = Some(if full_time { Regime::FullTime } else { Regime::NightTime });
    let hours_prescribed = Some(if full_time { 23 } else { NIGHT_HOURS });
    pen.write(day, BraceFitted { brace, regime, hours_prescribed, fitted_by: None });
    state.boots_mm = pen.boots_mm(day);
    state.braced = true;
    if day >= state.stop_on {
        state.stop_on = day + BRACED_AGAIN_DAYS;
    }
}

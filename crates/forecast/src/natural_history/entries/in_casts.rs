//! From the first cast to the brace.

use super::pen::Pen;
use crate::natural_history::truth::{CastFor, CastVisit, FootTruth};
use record::{
    Anaesthesia, Assessment, BraceFitted, CastApplied, CastMaterial, CastPurpose, CastRemoved, Day, Pirani,
    Problem, ProblemKind, Purpose, Regime, RemovalReason, Sign, TenotomyBooked, TenotomyDone,
};

/// The shortest gap between two visits that contains a missed appointment, days.
const MISSED_GAP_DAYS: i32 = 12;

/// Every visit, the tenotomy, and the fitting of the brace.
pub(super) fn write(pen: &mut Pen<'_>) {
    let truth = pen.truth;
    let days: Vec<i32> = truth.cast_visit_days.iter().copied().chain([truth.brace_day]).collect();
    for (index, &day) in days.iter().enumerate() {
        if day > pen.until {
            return pen.left(day);
        }
        pen.come(day);
        for foot in &truth.feet {
            sit(pen, foot, day);
        }
        if day == truth.brace_day {
            return fit(pen, day);
        }
        if let Some(&next) = days.get(index + 1) {
            book_next(pen, day, next);
        }
    }
}

/// The next visit, with a missed one before it if the gap is long enough.
fn book_next(pen: &mut Pen<'_>, day: i32, next: i32) {
    let truth = pen.truth;
    let cut = |foot: &FootTruth| foot.tenotomy_day == Some(next);
    let purpose = match next {
        _ if next == truth.brace_day => Purpose::BraceFitting,
        _ if truth.feet.iter().any(cut) => Purpose::Tenotomy,
        _ => Purpose::Cast,
    };
    if purpose == Purpose::Cast && next - day >= MISSED_GAP_DAYS && pen.stays(day + 7) {
        pen.appoint(day, day + 7, purpose);
        pen.missed_then(day + 7, next, purpose);
    } else {
        pen.appoint(day, next, purpose);
    }
}

/// One foot at one visit: cast removed, assessment, tenotomy, new cast.
fn sit(pen: &mut Pen<'_>, foot: &FootTruth, day: i32) {
    let cast_visit = foot.cast_visits.iter().find(|cast_visit| cast_visit.day == day);
    let before = foot.casts.iter().rfind(|cast| cast.day < day);
    let now = foot.casts.iter().find(|cast| cast.day == day);
    let braced = day == pen.truth.brace_day;
    if before.is_some() && (now.is_some() || cast_visit.is_some() || braced) {
        take_off(pen, foot, cast_visit, day);
    }
    if let Some(cast_visit) = cast_visit {
        assess(pen, foot, cast_visit);
    }
    if day == foot.ready_day && foot.tenotomy_day.is_some_and(|cut| cut > day) {
        book(pen, foot, day);
    }
    if foot.tenotomy_day == Some(day) {
        let after = foot.dorsiflexion_at_brace_deg.round() as i16;
        let (anaesthesia, dorsiflexion_after_deg) = (Some(Anaesthesia::Local), Some(after));
        pen.write(day, TenotomyDone { anaesthesia, dorsiflexion_after_deg, ..TenotomyDone::on(foot.side) });
    }
    if let Some(cast) = now {
        let last = foot.cast_visits.iter().rfind(|cast_visit| cast_visit.day <= day);
        let purpose = match cast.purpose {
            CastFor::Correction => CastPurpose::Correction,
            CastFor::Holding => CastPurpose::Holding,
            CastFor::Tenotomy => CastPurpose::AfterTenotomy,
        };
        let held = if purpose == CastPurpose::AfterTenotomy { Some(65) } else { last.and_then(abduction) };
        let cast = CastApplied {
            purpose: Some(purpose),
            material: Some(CastMaterial::Plaster),
            abduction_deg: held,
            ..CastApplied::on(foot.side)
        };
        pen.write(day, cast);
    }
}

fn take_off(pen: &mut Pen<'_>, foot: &FootTruth, cast_visit: Option<&CastVisit>, day: i32) {
    let slipped = cast_visit.is_some_and(|cast_visit| cast_visit.slip_written);
    if slipped {
        let what = ProblemKind::CastSlipped;
        pen.write(day, Problem { side: Some(foot.side), ..Problem::of(what) });
    }
    let why = if slipped { RemovalReason::Slipped } else { RemovalReason::Planned };
    pen.write(day, CastRemoved { side: foot.side, why, note: None });
}

fn book(pen: &mut Pen<'_>, foot: &FootTruth, day: i32) {
    let planned_on = foot.tenotomy_day.map(Day::from_number);
    let place = pen.clerk.tenotomy_place.map(str::to_owned);
    pen.write(day, TenotomyBooked { side: foot.side, planned_on, place });
}

/// The assessment of a foot; no entry if nothing was recorded.
fn assess(pen: &mut Pen<'_>, foot: &FootTruth, cast_visit: &CastVisit) {
    let assessment = Assessment {
        pirani: pirani(&cast_visit.written),
        dorsiflexion_deg: cast_visit.dorsiflexion_deg.map(to_two),
        abduction_deg: abduction(cast_visit),
        ..Assessment::of(foot.side)
    };
    if !assessment.is_empty() {
        pen.write(cast_visit.day, assessment);
    }
}

fn abduction(cast_visit: &CastVisit) -> Option<i16> {
    cast_visit.abduction_deg.map(to_two)
}

/// An angle to two degrees, as a goniometer is read.
pub(super) fn to_two(degrees: f64) -> i16 {
    2 * (degrees / 2.0).round() as i16
}

pub(super) fn pirani(signs: &crate::SignsSeen) -> Pirani {
    let mut pirani = Pirani::default();
    for sign in Sign::ALL {
        pirani.set(sign, signs[sign as usize]);
    }
    pirani
}

/// The fitting of the brace, full time.
fn fit(pen: &mut Pen<'_>, day: i32) {
    // A foot with its decision on this day has been assessed already.
    for foot in pen.truth.feet.iter().filter(|foot| foot.ready_day < day) {
        let assessment = Assessment {
            pirani: pirani(&foot.at_brace_written),
            dorsiflexion_deg: Some(to_two(foot.dorsiflexion_at_brace_deg)),
            abduction_deg: Some(to_two(68.0 + 2.0 * pen.chance.normal())),
            foot_length_mm: Some(pen.length_mm(day, foot.side)),
            ..Assessment::of(foot.side)
        };
        pen.write(day, assessment);
    }
    let brace = pen.brace(day);
    let (regime, hours_prescribed) = (Some(Regime::FullTime), Some(23));
    pen.write(day, BraceFitted { brace, regime, hours_prescribed, fitted_by: None });
    if let Some(&review) = pen.truth.reviews.first() {
        pen.appoint(day, review, Purpose::BraceReview);
    }
}

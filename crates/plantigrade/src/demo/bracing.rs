//! Stories of children in the brace and after it.

use super::story::{Story, StoryWriter};
use rand::RngExt;
use record::{
    Assessment, CastPurpose, ContactAttempt, ContactWay, Death, Discharge, DischargeReason, LostDeclared,
    OtherSurgery, Problem, ProblemKind, Procedure, Purpose, RelapseGrade, RelapseNoted, RemovalReason, Side,
    Sides, Transfer, Walking,
};
use std::ops::Range;

/// The stories of this file, in order.
pub const STORIES: &[Story] = &[
    newly_braced,
    early_bracing,
    early_review_overdue,
    night_time_due,
    nights_first_year,
    nights_third_year,
    review_overdue,
    near_the_end,
    after_bracing,
    discharged,
    dorsiflexion_lost,
    relapse_noted,
    relapse_recast,
    stopped_early,
    contact_lost,
    transferred,
    died,
    lost,
    no_appointment,
    appointment_passed,
    skin_broken,
    walking_score_low,
    after_transfer,
    heel_slips,
    one_relapsed,
];

fn any_side(t: &mut StoryWriter<'_>) -> Sides {
    match t.rng.random_range(0..4) {
        0 => Sides::Right,
        1 => Sides::Left,
        _ => Sides::Both,
    }
}

/// The story from birth until the brace was fitted, `days_ago` days before today.
pub(super) fn braced(t: &mut StoryWriter<'_>, days_ago: i32) -> record::Day {
    let fitted_on = t.today - days_ago;
    let casts = t.rng.random_range(4..7);
    let age_days = 35 + 7 * (casts + 4) + t.rng.random_range(0..20);
    let sides = any_side(t);
    t.born(fitted_on - age_days, sides, None);
    t.through_to_brace(casts, fitted_on);
    fitted_on
}

/// Brace fitted four days ago.
fn newly_braced(t: &mut StoryWriter<'_>) {
    braced(t, 4);
    t.appoint(t.today - 4, t.today + 3, Purpose::BraceReview);
}

/// Five weeks into the brace.
fn early_bracing(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 35);
    t.reviews_until(fitted_on, t.today - 1);
    t.appoint(fitted_on + 7, fitted_on + 42, Purpose::BraceReview);
}

/// The first review after the fitting did not take place.
fn early_review_overdue(t: &mut StoryWriter<'_>) {
    braced(t, 24);
}

/// Twelve weeks of full-time wear are over.
fn night_time_due(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 85);
    t.reviews_until(fitted_on, fitted_on + 50);
    t.appoint(fitted_on + 42, t.today, Purpose::BraceReview);
}

/// Night-time wear, first year.
fn nights_first_year(t: &mut StoryWriter<'_>) {
    followed_at_night(t, 120..360, 10, 0..60);
}

/// Night-time wear, third year.
fn nights_third_year(t: &mut StoryWriter<'_>) {
    followed_at_night(t, 420..1_380, 20, 3..110);
}

/// In the brace for a random number of days, reviewed as planned; the next review was appointed `made_ago` days
/// ago and is a random number of days ahead.
fn followed_at_night(t: &mut StoryWriter<'_>, days: Range<i32>, made_ago: i32, ahead: Range<i32>) {
    let days = t.rng.random_range(days);
    let fitted_on = braced(t, days);
    t.reviews_until(fitted_on, t.today - 1);
    let ahead = t.rng.random_range(ahead);
    t.appoint(t.today - made_ago, t.today + ahead, Purpose::BraceReview);
}

/// A later review is overdue.
fn review_overdue(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 620);
    t.reviews_until(fitted_on, t.today - 165);
}

/// Nearly five.
fn near_the_end(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 1_660);
    t.reviews_until(fitted_on, t.today - 20);
    t.appoint(t.today - 20, t.today + 40, Purpose::BraceReview);
}

/// Bracing ended at five, followed without.
fn after_bracing(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 1_900);
    t.reviews_until(fitted_on, t.today - 160);
    t.visit(t.today - 150);
    t.stop(t.today - 150, "Five years old; bracing completed.");
    t.appoint(t.today - 150, t.today + 215, Purpose::Review);
}

/// Discharged at five and a half.
fn discharged(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 2_000);
    t.reviews_until(fitted_on, t.today - 320);
    t.visit(t.today - 300);
    t.stop(t.today - 300, "Five years old; bracing completed.");
    t.visit(t.today - 40);
    t.write(t.today - 40, Discharge { reason: DischargeReason::Completed, note: None });
}

/// Dorsiflexion lost in the brace.
fn dorsiflexion_lost(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 500);
    t.reviews_until(fitted_on, t.today - 12);
    for foot in &mut t.feet {
        foot.dorsiflexion_deg = 4.0;
    }
    t.visit(t.today - 9);
    t.wear(t.today - 100, t.today - 9, 5.0);
    t.appoint(t.today - 9, t.today + 12, Purpose::BraceReview);
}

fn relapse(t: &mut StoryWriter<'_>, days_ago: i32) -> record::Day {
    let fitted_on = braced(t, 560);
    t.reviews_until(fitted_on, t.today - days_ago - 30);
    let on = t.today - days_ago;
    for foot in &mut t.feet {
        foot.dorsiflexion_deg = -4.0;
        foot.signs = [0.5, 0.1, 0.1, 0.9, 0.9, 0.5];
    }
    t.visit(on);
    for side in t.sides() {
        t.write(on, RelapseNoted { side, grade: Some(RelapseGrade::Iia), note: None });
    }
    on
}

/// Relapse noted, not yet cast again.
fn relapse_noted(t: &mut StoryWriter<'_>) {
    relapse(t, 3);
    t.appoint(t.today - 3, t.today + 2, Purpose::Cast);
}

/// Relapse being cast again.
fn relapse_recast(t: &mut StoryWriter<'_>) {
    let on = relapse(t, 20);
    t.casting_visit(on + 6, true, 0.8);
    t.casting_visit(on + 13, false, 0.8);
    t.appoint(on + 13, t.today, Purpose::Cast);
}

/// Bracing stopped by the family at fourteen months.
fn stopped_early(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 330);
    t.reviews_until(fitted_on, t.today - 40);
    t.visit(t.today - 30);
    t.wear(t.today - 90, t.today - 30, 2.0);
    t.stop(t.today - 30, "The family says the child does not sleep in it.");
}

/// Not seen for nine months in the brace; attempts to reach them.
fn contact_lost(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 600);
    t.reviews_until(fitted_on, t.today - 270);
    let made = t.appoint(t.today - 280, t.today - 150, Purpose::BraceReview);
    t.missed(t.today - 150, Some(made));
    for (days_ago, way) in [(148, ContactWay::Phone), (120, ContactWay::Message), (60, ContactWay::Letter)] {
        t.write(t.today - days_ago, ContactAttempt { way, reached: false, whom: None, note: None });
    }
}

/// Moved away.
fn transferred(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 400);
    t.reviews_until(fitted_on, t.today - 100);
    let to = Some("the clinic at Norrhaven (invented)".to_owned());
    t.write(t.today - 80, Transfer { to });
}

/// Died of another cause.
fn died(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 420);
    t.reviews_until(fitted_on, t.today - 220);
    t.write(t.today - 200, Death { cause: None });
}

/// Declared lost.
fn lost(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 900);
    t.reviews_until(fitted_on, t.today - 500);
    t.write(
        t.today - 300,
        ContactAttempt { way: ContactWay::HomeVisit, reached: false, whom: None, note: None },
    );
    t.write(t.today - 290, LostDeclared { reason: Some("Moved; no address known.".to_owned()) });
}

/// No next appointment made.
fn no_appointment(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 250);
    t.reviews_until(fitted_on, t.today - 2);
}

/// Nothing was recorded about an appointment last week.
fn appointment_passed(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 300);
    t.reviews_until(fitted_on, t.today - 30);
    t.appoint(t.today - 60, t.today - 6, Purpose::BraceReview);
}

/// Skin broken under the brace.
fn skin_broken(t: &mut StoryWriter<'_>) {
    newly_braced(t);
    let side = t.sides().first().copied();
    let note = Some("Sore at the heel, picture sent by the family.".to_owned());
    t.write(t.today, Problem { side, note, ..Problem::of(ProblemKind::SkinBroken) });
}

/// Low score at walking age.
fn walking_score_low(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 700);
    t.reviews_until(fitted_on, t.today - 15);
    for side in t.sides() {
        let walking = Walking { ankle: Some(1), pain: Some(2), shoes: Some(2), carer: Some(2) };
        t.write(t.today - 11, Assessment { walking, dorsiflexion_deg: Some(12), ..Assessment::of(side) });
    }
    t.appoint(t.today - 11, t.today + 30, Purpose::Review);
}

/// After a tendon transfer.
fn after_transfer(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 1_300);
    t.reviews_until(fitted_on, t.today - 90);
    let side = t.sides()[0];
    t.write(t.today - 40, OtherSurgery { side, procedure: Procedure::TendonTransfer, note: None });
    t.appoint(t.today - 40, t.today + 5, Purpose::Review);
}

/// The heel slips out of the boot.
fn heel_slips(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 30);
    t.reviews_until(fitted_on, t.today - 20);
    let side = t.sides().first().copied();
    let note = Some("Strap tightened over the telephone; to be looked at.".to_owned());
    t.write(t.today - 2, Problem { side, note, ..Problem::of(ProblemKind::HeelSlipsOut) });
    t.appoint(t.today - 20, t.today + 12, Purpose::BraceReview);
}

/// Both braced, one relapsed and cast again.
fn one_relapsed(t: &mut StoryWriter<'_>) {
    let fitted_on = t.today - 640;
    t.born(fitted_on - 110, Sides::Both, None);
    t.through_to_brace(5, fitted_on);
    t.reviews_until(fitted_on, t.today - 60);
    t.feet[0].dorsiflexion_deg = -2.0;
    t.feet[0].signs = [0.5, 0.3, 0.2, 0.9, 0.9, 0.5];
    let on = t.today - 9;
    t.visit(on);
    t.write(on, RelapseNoted { side: Side::Right, grade: Some(RelapseGrade::Iia), note: None });
    t.cast(on, Side::Right, CastPurpose::Correction);
    t.appoint(on, t.today - 2, Purpose::Cast);
    t.cast_off(t.today - 2, Side::Right, RemovalReason::Planned);
    t.visit(t.today - 2);
    t.cast(t.today - 2, Side::Right, CastPurpose::Correction);
    t.appoint(t.today - 2, t.today + 5, Purpose::Cast);
}

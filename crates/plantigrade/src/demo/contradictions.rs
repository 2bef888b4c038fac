//! Stories of children whose record or findings contradict each other, and of children who are easily lost.

use super::story::{Story, StoryWriter};
use record::{
    AppointmentAttended, Assessment, Boot, Brace, BraceChange, BraceChanged, HalfPoint, Purpose,
    RemovalReason, Side, Sides, TenotomyBooked, TenotomyDone,
};

/// The stories of this file, in order.
pub const STORIES: &[Story] = &[
    wrong_foot_booked,
    findings_disagree,
    short_after_tenotomy,
    cut_without_cast,
    full_time_ended_early,
    came_unrecorded,
    other_foot_untreated,
    long_wait,
    newborn_not_seen,
    settings_exchanged,
];

/// One right clubfoot; the tenotomy was booked for the left foot.
fn wrong_foot_booked(t: &mut StoryWriter<'_>) {
    t.born(t.today - 66, Sides::Right, None);
    t.casting(5, t.today - 9, 1.0);
    t.ready_visit(t.today - 2, true);
    let planned_on = Some(t.today + 5);
    t.write(t.today - 2, TenotomyBooked { side: Side::Left, planned_on, place: None });
    t.appoint(t.today - 2, t.today + 5, Purpose::Tenotomy);
}

/// A high hindfoot score with the dorsiflexion of a corrected foot.
fn findings_disagree(t: &mut StoryWriter<'_>) {
    t.born(t.today - 60, Sides::Left, None);
    t.casting(4, t.today - 8, 1.0);
    let on = t.today - 1;
    t.cast_off(on, Side::Left, RemovalReason::Planned);
    let mut odd = Assessment::of(Side::Left);
    let points = [[HalfPoint::Zero; 3], [HalfPoint::One; 3]];
    for (sign, point) in record::Sign::ALL.into_iter().zip(points.into_iter().flatten()) {
        odd.pirani.set(sign, Some(point));
    }
    odd.pirani.set(record::Sign::RigidEquinus, Some(HalfPoint::Half));
    odd.dorsiflexion_deg = Some(20);
    odd.abduction_deg = Some(62);
    t.write(on, odd);
    t.cast(on, Side::Left, record::CastPurpose::Holding);
    t.appoint(on, t.today + 2, Purpose::Cast);
}

/// Three weeks after the tenotomy the foot dorsiflexes to neutral only.
fn short_after_tenotomy(t: &mut StoryWriter<'_>) {
    t.born(t.today - 80, Sides::Right, None);
    t.casting(5, t.today - 29, 1.0);
    t.ready_visit(t.today - 22, true);
    t.book(t.today - 22, t.today - 21);
    t.tenotomy(t.today - 21);
    t.cast_off(t.today, Side::Right, RemovalReason::Planned);
    let dorsiflexion_deg = Some(0);
    t.write(t.today, Assessment { dorsiflexion_deg, ..Assessment::of(Side::Right) });
}

/// A tenotomy was recorded yesterday and nothing after it.
fn cut_without_cast(t: &mut StoryWriter<'_>) {
    t.born(t.today - 64, Sides::Left, None);
    t.casting(5, t.today - 15, 1.0);
    t.ready_visit(t.today - 8, true);
    t.book(t.today - 8, t.today - 1);
    t.cast_off(t.today - 1, Side::Left, RemovalReason::Planned);
    t.write(t.today - 1, TenotomyDone::on(Side::Left));
    t.appoint(t.today - 1, t.today + 20, Purpose::BraceFitting);
}

/// Nights and naps after 34 of 84 days.
fn full_time_ended_early(t: &mut StoryWriter<'_>) {
    t.born(t.today - 120, Sides::Both, None);
    let fitted = t.today - 36;
    t.through_to_brace(5, fitted);
    t.visit(fitted + 7);
    t.night_time(fitted + 34);
    t.appoint(fitted + 7, fitted + 42, Purpose::BraceReview);
}

/// Arrived three days ago; nothing else was recorded. The last two casts were not scored either.
fn came_unrecorded(t: &mut StoryWriter<'_>) {
    t.born(t.today - 52, Sides::Left, None);
    t.casting(2, t.today - 24, 1.0);
    for on in [t.today - 17, t.today - 10] {
        t.cast_off(on, Side::Left, RemovalReason::Planned);
        t.cast(on, Side::Left, record::CastPurpose::Correction);
    }
    t.appoint(t.today - 10, t.today - 3, Purpose::Cast);
    t.write(t.today - 3, AppointmentAttended { time: None });
}

/// Both feet are clubfeet and only the right one has been cast.
fn other_foot_untreated(t: &mut StoryWriter<'_>) {
    t.born(t.today - 50, Sides::Both, None);
    for on in [t.today - 20, t.today - 13, t.today - 6] {
        t.visit(on);
        t.cast(on, Side::Right, record::CastPurpose::Correction);
        t.feet[0].after_cast(1.0, t.rng);
    }
    t.appoint(t.today - 6, t.today + 1, Purpose::Cast);
}

/// Ready three weeks ago, the first theatre day is next week.
fn long_wait(t: &mut StoryWriter<'_>) {
    t.born(t.today - 85, Sides::Right, None);
    t.casting(5, t.today - 28, 1.0);
    t.ready_visit(t.today - 21, true);
    t.book(t.today - 21, t.today + 6);
    for on in [t.today - 14, t.today - 7] {
        t.cast_off(on, Side::Right, RemovalReason::Planned);
        t.visit(on);
        t.cast(on, Side::Right, record::CastPurpose::Holding);
    }
}

/// Referred from the ward at birth, seven weeks old, never seen.
fn newborn_not_seen(t: &mut StoryWriter<'_>) {
    t.born(t.today - 49, Sides::Both, None);
}

/// One right clubfoot; the settings of the two boots were exchanged.
fn settings_exchanged(t: &mut StoryWriter<'_>) {
    t.born(t.today - 110, Sides::Right, None);
    t.through_to_brace(5, t.today - 9);
    let boot = |side: Side, abduction_deg| Boot { abduction_deg: Some(abduction_deg), ..Boot::of(side) };
    let boots = vec![boot(Side::Right, 35), boot(Side::Left, 60)];
    let brace = Some(Brace { boots, bar_per_side: Some(true), ..Brace::default() });
    t.visit(t.today - 2);
    t.write(t.today - 2, BraceChanged { brace, ..BraceChanged::of(BraceChange::Settings) });
    t.appoint(t.today - 2, t.today + 33, Purpose::BraceReview);
}

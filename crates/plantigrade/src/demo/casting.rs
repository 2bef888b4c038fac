//! Stories of children before the brace.

use super::story::{Story, StoryWriter};
use record::{
    BraceFitted, CastPurpose, ContactAttempt, ContactWay, Correction, HalfPoint, Nature, Note, Problem,
    ProblemKind, Purpose, Regime, RemovalReason, Side, Sides, TenotomyDone, Withdrawal,
};

/// The stories of this file, in order.
pub const STORIES: &[Story] = &[
    newly_referred,
    preterm,
    mid_casting,
    mid_casting_both,
    slow_progress,
    ready_not_booked,
    booked,
    booked_day_passed,
    tenotomy_cast,
    tenotomy_cast_too_long,
    missed_with_cast,
    cast_slipped,
    complex_foot,
    maybe_complex,
    late_start,
    one_ahead,
    no_tenotomy,
    corrected,
    open_questions,
    score_worse,
    no_birth_day,
    syndromic,
    one_foot_braced,
    not_held,
];

/// A child of `age_days` in weekly casts: `casts` of them, the last one `last_days_ago` days ago, and the next
/// appointed a week after it.
fn in_casts(t: &mut StoryWriter<'_>, sides: Sides, age_days: i32, casts: i32, last_days_ago: i32, pace: f64) {
    let last = t.today - last_days_ago;
    t.born(t.today - age_days, sides, None);
    t.casting(casts, last, pace);
    t.appoint(last, last + 7, Purpose::Cast);
}

/// Referred, first visit booked for today.
fn newly_referred(t: &mut StoryWriter<'_>) {
    t.born(t.today - 12, Sides::Both, None);
    t.appoint(t.today - 4, t.today, Purpose::First);
}

/// Born early, waiting for term age.
fn preterm(t: &mut StoryWriter<'_>) {
    t.born(t.today - 30, Sides::Left, Some(32));
}

/// One foot, third cast on, next due today.
fn mid_casting(t: &mut StoryWriter<'_>) {
    in_casts(t, Sides::Right, 41, 3, 7, 1.0);
}

/// Both feet, second cast on.
fn mid_casting_both(t: &mut StoryWriter<'_>) {
    in_casts(t, Sides::Both, 30, 2, 5, 1.0);
}

/// Nine casts and little change.
fn slow_progress(t: &mut StoryWriter<'_>) {
    in_casts(t, Sides::Left, 95, 9, 6, 0.12);
}

/// Ready for tenotomy, nothing booked.
fn ready_not_booked(t: &mut StoryWriter<'_>) {
    t.born(t.today - 70, Sides::Right, None);
    t.casting(5, t.today - 10, 1.0);
    t.ready_visit(t.today - 3, true);
    t.appoint(t.today - 3, t.today + 4, Purpose::Cast);
}

/// Ready and booked.
fn booked(t: &mut StoryWriter<'_>) {
    t.born(t.today - 66, Sides::Both, None);
    t.casting(5, t.today - 11, 1.0);
    t.ready_visit(t.today - 4, true);
    t.book(t.today - 4, t.today + 3);
    t.prepare(t.today - 4, 5100);
}

/// Nothing was recorded about the booked day.
fn booked_day_passed(t: &mut StoryWriter<'_>) {
    t.born(t.today - 75, Sides::Left, None);
    t.casting(5, t.today - 16, 1.0);
    t.ready_visit(t.today - 9, true);
    t.book(t.today - 9, t.today - 2);
}

/// In the tenotomy cast.
fn tenotomy_cast(t: &mut StoryWriter<'_>) {
    t.born(t.today - 80, Sides::Both, None);
    t.casting(5, t.today - 24, 1.0);
    t.ready_visit(t.today - 17, true);
    t.book(t.today - 17, t.today - 10);
    t.tenotomy(t.today - 10);
    t.appoint(t.today - 10, t.today + 11, Purpose::BraceFitting);
}

/// In the tenotomy cast for too long.
fn tenotomy_cast_too_long(t: &mut StoryWriter<'_>) {
    t.born(t.today - 100, Sides::Right, None);
    t.casting(6, t.today - 43, 1.0);
    t.ready_visit(t.today - 36, true);
    t.tenotomy(t.today - 29);
    let made = t.appoint(t.today - 29, t.today - 8, Purpose::BraceFitting);
    t.missed(t.today - 8, Some(made));
    t.write(t.today - 7, ContactAttempt { way: ContactWay::Phone, reached: false, whom: None, note: None });
}

/// Missed a visit with casts on.
fn missed_with_cast(t: &mut StoryWriter<'_>) {
    t.born(t.today - 50, Sides::Both, None);
    t.casting(3, t.today - 9, 1.0);
    let made = t.appoint(t.today - 9, t.today - 2, Purpose::Cast);
    t.missed(t.today - 2, Some(made));
}

/// The cast slipped yesterday; toes not seen.
fn cast_slipped(t: &mut StoryWriter<'_>) {
    in_casts(t, Sides::Right, 40, 3, 4, 1.0);
    for what in [ProblemKind::CastSlipped, ProblemKind::ToesNotSeen] {
        let note = Some("The family rang in the evening.".to_owned());
        t.write(t.today - 1, Problem { side: Some(Side::Right), note, ..Problem::of(what) });
    }
}

/// A foot diagnosed as complex.
fn complex_foot(t: &mut StoryWriter<'_>) {
    t.born(t.today - 60, Sides::Left, None);
    t.casting(3, t.today - 5, 0.5);
    t.diagnose(t.today - 5, Side::Left, Nature::Idiopathic, Some(true));
    t.appoint(t.today - 5, t.today, Purpose::Cast);
}

/// Slips and stuck movement: may be complex.
fn maybe_complex(t: &mut StoryWriter<'_>) {
    t.born(t.today - 64, Sides::Right, None);
    for foot in &mut t.feet {
        foot.signs = [1.0; 6];
        foot.dorsiflexion_deg = -45.0;
    }
    for week in (0..5).rev() {
        let on = t.today - 6 - 7 * week;
        if week < 4 {
            t.write(on - 2, Problem { side: Some(Side::Right), ..Problem::of(ProblemKind::CastSlipped) });
            t.cast_off(on - 2, Side::Right, RemovalReason::Slipped);
        }
        t.casting_visit(on, true, 0.1);
    }
    t.appoint(t.today - 6, t.today + 1, Purpose::Cast);
}

/// First seen at two years.
fn late_start(t: &mut StoryWriter<'_>) {
    in_casts(t, Sides::Both, 790, 4, 6, 0.7);
}

/// One foot corrected, the other not.
fn one_ahead(t: &mut StoryWriter<'_>) {
    t.born(t.today - 75, Sides::Both, None);
    t.casting(5, t.today - 13, 1.0);
    let on = t.today - 6;
    t.feet[0].after_tenotomy(t.rng);
    t.feet[1].signs = [0.8, 0.5, 0.6, 1.0, 1.0, 0.6];
    t.casts_off(on);
    t.visit(on);
    t.cast(on, Side::Right, CastPurpose::Holding);
    t.cast(on, Side::Left, CastPurpose::Correction);
    t.appoint(on, t.today + 1, Purpose::Cast);
}

/// Corrected without tenotomy.
fn no_tenotomy(t: &mut StoryWriter<'_>) {
    t.born(t.today - 62, Sides::Left, None);
    t.casting(5, t.today - 8, 1.0);
    t.feet[0].signs = [0.0, 0.0, 0.0, 0.3, 0.0, 0.3];
    t.feet[0].dorsiflexion_deg = 22.0;
    t.feet[0].abduction_deg = 70.0;
    t.cast_off(t.today - 1, Side::Left, RemovalReason::Planned);
    t.visit(t.today - 1);
    t.cast(t.today - 1, Side::Left, CastPurpose::Holding);
    t.appoint(t.today - 1, t.today + 6, Purpose::BraceFitting);
}

/// A score corrected, a note withdrawn.
fn corrected(t: &mut StoryWriter<'_>) {
    mid_casting(t);
    let on = t.today - 7;
    let mut wrong = t.feet[0].assessed(t.rng);
    wrong.pirani.talar_head = Some(HalfPoint::Zero);
    let entry = t.write(on, wrong.clone());
    wrong.pirani.talar_head = Some(HalfPoint::One);
    let reason = "Talar head was entered for the wrong line of the sheet.".to_owned();
    t.write(on + 1, Correction { entry, body: Box::new(wrong.into()), on: None, reason });
    let note = t.write(on, Note { text: "Bring the older brother's boots.".to_owned() });
    let reason = "Belongs to another child.".to_owned();
    t.write(on + 1, Withdrawal { entry: note, reason });
}

/// Total on the sheet disagrees; a sign left out.
fn open_questions(t: &mut StoryWriter<'_>) {
    mid_casting_both(t);
    let mut first = t.feet[0].assessed(t.rng);
    first.stated_total = first.pirani.total().map(|total| record::Halves(total.0 + 2));
    let mut second = t.feet[1].assessed(t.rng);
    second.pirani.empty_heel = None;
    let on = t.today - 1;
    t.write(on, first);
    t.write(on, second);
}

/// Worse than last time.
fn score_worse(t: &mut StoryWriter<'_>) {
    t.born(t.today - 55, Sides::Right, None);
    t.casting(4, t.today - 13, 1.0);
    for sign in &mut t.feet[0].signs {
        *sign = (*sign + 0.35).min(1.0);
    }
    t.casting_visit(t.today - 6, false, 0.6);
    t.appoint(t.today - 6, t.today + 1, Purpose::Cast);
}

/// Day of birth unknown.
fn no_birth_day(t: &mut StoryWriter<'_>) {
    t.born(t.today - 400, Sides::Both, None);
    let registration = record::Registration {
        given_name: "Unnamed".to_owned(),
        family_name: "Harbourless".to_owned(),
        numbers: vec!["SK19999".to_owned()],
        ..record::Registration::default()
    };
    t.write(t.today - 30, registration);
    t.casting(2, t.today - 7, 0.8);
    t.appoint(t.today - 7, t.today, Purpose::Cast);
}

/// A syndrome.
fn syndromic(t: &mut StoryWriter<'_>) {
    t.born(t.today - 88, Sides::Both, None);
    for side in Side::BOTH {
        t.diagnose(t.today - 60, side, Nature::Syndromic, None);
    }
    t.casting(6, t.today - 3, 0.5);
    t.appoint(t.today - 3, t.today + 4, Purpose::Cast);
}

/// One foot was put in the brace while the other is still in casts.
fn one_foot_braced(t: &mut StoryWriter<'_>) {
    t.born(t.today - 110, Sides::Both, None);
    t.casting(6, t.today - 35, 1.0);
    let cut_on = t.today - 28;
    t.cast_off(cut_on, Side::Right, RemovalReason::Planned);
    t.write(cut_on, TenotomyDone::on(Side::Right));
    t.cast(cut_on, Side::Right, CastPurpose::AfterTenotomy);
    t.feet[0].after_tenotomy(t.rng);
    t.cast_off(t.today - 5, Side::Right, RemovalReason::Planned);
    t.visit(t.today - 5);
    let fitted =
        BraceFitted { regime: Some(Regime::FullTime), hours_prescribed: Some(23), ..BraceFitted::default() };
    t.write(t.today - 5, fitted);
    t.cast(t.today - 5, Side::Left, CastPurpose::Correction);
    t.appoint(t.today - 5, t.today + 2, Purpose::Cast);
}

/// The last cast came off and nothing followed.
fn not_held(t: &mut StoryWriter<'_>) {
    t.born(t.today - 90, Sides::Left, None);
    t.casting(5, t.today - 38, 1.0);
    t.ready_visit(t.today - 31, true);
    t.tenotomy(t.today - 24);
    t.cast_off(t.today - 3, Side::Left, RemovalReason::Planned);
    t.visit(t.today - 3);
    t.write(t.today - 3, Note { text: "Boots not delivered; the family waits for a call.".to_owned() });
}

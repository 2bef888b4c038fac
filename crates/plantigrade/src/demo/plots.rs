//! The plots: where a child of the invented clinic stands today, told backwards from today.

use super::child::Teller;
use rand::{RngExt, rngs::StdRng};
use record::{
    Assessment, BraceFitted, CastPurpose, ContactAttempt, ContactWay, Correction, Death, Discharge,
    DischargeReason, Entry, HalfPoint, LostDeclared, Nature, Note, OtherSurgery, Problem, ProblemKind,
    Procedure, Purpose, Regime, RelapseGrade, RelapseNoted, RemovalReason, Side, Sides, TenotomyDone,
    Transfer, Walking, Withdrawal,
};

macro_rules! plots {
    ($($(#[$doc:meta])* $name:ident, $weight:literal => $tell:expr;)*) => {
        /// Where a child stands today.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Plot { $($(#[$doc])* $name,)* }

        impl Plot {
            /// Every plot, each told once before chance takes over.
            pub const ALL: &[Self] = &[$(Self::$name),*];

            const WEIGHTS: &[u32] = &[$($weight),*];
        }

        /// Tells one child.
        pub fn tell(plot: Plot, mut teller: Teller<'_>) -> Vec<Entry> {
            let story: fn(&mut Teller<'_>) = match plot { $(Plot::$name => $tell,)* };
            story(&mut teller);
            teller.done()
        }
    };
}

impl Plot {
    /// One plot by chance, the common ones more often.
    pub fn draw(rng: &mut StdRng) -> Self {
        let mut left = rng.random_range(0..Self::WEIGHTS.iter().sum::<u32>());
        for (plot, weight) in Self::ALL.iter().zip(Self::WEIGHTS) {
            match left.checked_sub(*weight) {
                Some(rest) => left = rest,
                None => return *plot,
            }
        }
        Self::MidCasting
    }
}

plots! {
    /// Referred, first visit booked for today.
    NewlyReferred, 3 => newly_referred;
    /// Born early, waiting for term age.
    Preterm, 1 => preterm;
    /// One foot, third cast on, next due today.
    MidCasting, 8 => mid_casting;
    /// Both feet, second cast on.
    MidCastingBoth, 6 => mid_casting_both;
    /// Nine casts and little change.
    SlowProgress, 1 => slow_progress;
    /// Ready for tenotomy, nothing booked.
    ReadyNotBooked, 2 => ready_not_booked;
    /// Ready and booked.
    Booked, 2 => booked;
    /// Booked day gone by without a word.
    BookedDayPassed, 1 => booked_day_passed;
    /// In the tenotomy cast.
    TenotomyCast, 4 => tenotomy_cast;
    /// In the tenotomy cast for too long.
    TenotomyCastTooLong, 1 => tenotomy_cast_too_long;
    /// Brace fitted four days ago.
    NewlyBraced, 3 => newly_braced;
    /// Five weeks into the brace.
    EarlyBracing, 6 => early_bracing;
    /// First review after the fitting not held.
    EarlyReviewOverdue, 1 => early_review_overdue;
    /// Twelve weeks of full time are over.
    NightTimeDue, 3 => night_time_due;
    /// Nights, first year.
    NightsFirstYear, 14 => nights_first_year;
    /// Nights, third year.
    NightsThirdYear, 16 => nights_third_year;
    /// Later review overdue.
    ReviewOverdue, 3 => review_overdue;
    /// Nearly five.
    NearTheEnd, 3 => near_the_end;
    /// Bracing ended at five, followed without.
    AfterBracing, 3 => after_bracing;
    /// Discharged at five and a half.
    Discharged, 5 => discharged;
    /// Dorsiflexion lost in the brace.
    DorsiflexionLost, 1 => dorsiflexion_lost;
    /// Relapse noted, not yet cast again.
    RelapseNoted, 1 => relapse_noted;
    /// Relapse being cast again.
    RelapseRecast, 2 => relapse_recast;
    /// Bracing stopped by the family at fourteen months.
    StoppedEarly, 2 => stopped_early;
    /// Not seen for nine months in the brace; attempts to reach them.
    ContactLost, 3 => contact_lost;
    /// Missed a visit with casts on.
    MissedWithCast, 1 => missed_with_cast;
    /// The cast slipped yesterday; toes not seen.
    CastSlipped, 1 => cast_slipped;
    /// A complex foot, called so.
    ComplexFoot, 1 => complex_foot;
    /// Slips and stuck movement: may be complex.
    MaybeComplex, 1 => maybe_complex;
    /// Came at two years.
    LateStart, 1 => late_start;
    /// One foot corrected, the other not.
    OneAhead, 1 => one_ahead;
    /// Corrected without tenotomy.
    NoTenotomy, 2 => no_tenotomy;
    /// Moved away.
    Transferred, 2 => transferred;
    /// Died of another cause.
    Died, 1 => died;
    /// Declared lost.
    Lost, 2 => lost;
    /// A score corrected, a note withdrawn.
    Corrected, 1 => corrected;
    /// Total on the sheet disagrees; a sign left out.
    OpenQuestions, 1 => open_questions;
    /// No next appointment made.
    NoAppointment, 2 => no_appointment;
    /// An appointment last week passed without a word.
    AppointmentPassed, 1 => appointment_passed;
    /// Skin broken under the brace.
    SkinBroken, 1 => skin_broken;
    /// Low score at walking age.
    WalkingScoreLow, 1 => walking_score_low;
    /// After a tendon transfer.
    AfterTransfer, 1 => after_transfer;
    /// Worse than last time.
    ScoreWorse, 1 => score_worse;
    /// Day of birth unknown.
    NoBirthDay, 1 => no_birth_day;
    /// A syndrome.
    Syndromic, 1 => syndromic;
    /// One foot was put in the brace while the other is still in casts.
    OneFootBraced, 1 => one_foot_braced;
    /// The last cast came off and nothing followed.
    NotHeld, 1 => not_held;
    /// The heel slips out of the boot.
    HeelSlips, 1 => heel_slips;
    /// Both braced, one relapsed and cast again.
    OneRelapsed, 1 => one_relapsed;
}

fn any_side(teller: &mut Teller<'_>) -> Sides {
    match teller.rng.random_range(0..4) {
        0 => Sides::Right,
        1 => Sides::Left,
        _ => Sides::Both,
    }
}

/// Born so that the brace went on `age_days` after birth; told up to the brace.
fn braced(teller: &mut Teller<'_>, days_ago: i32) -> record::Day {
    let fitted_on = teller.today - days_ago;
    let casts = teller.rng.random_range(4..7);
    let age_days = 35 + 7 * (casts + 4) + teller.rng.random_range(0..20);
    let sides = any_side(teller);
    teller.born(fitted_on - age_days, sides, None);
    teller.through_to_brace(casts, fitted_on);
    fitted_on
}

fn newly_referred(t: &mut Teller<'_>) {
    t.born(t.today - 12, Sides::Both, None);
    t.appoint(t.today - 4, t.today, Purpose::First);
}

fn preterm(t: &mut Teller<'_>) {
    t.born(t.today - 30, Sides::Left, Some(32));
}

fn mid_casting(t: &mut Teller<'_>) {
    t.born(t.today - 41, Sides::Right, None);
    t.casting(3, t.today - 7, 1.0);
    t.appoint(t.today - 7, t.today, Purpose::Cast);
}

fn mid_casting_both(t: &mut Teller<'_>) {
    t.born(t.today - 30, Sides::Both, None);
    t.casting(2, t.today - 5, 1.0);
    t.appoint(t.today - 5, t.today + 2, Purpose::Cast);
}

fn slow_progress(t: &mut Teller<'_>) {
    t.born(t.today - 95, Sides::Left, None);
    t.casting(9, t.today - 6, 0.12);
    t.appoint(t.today - 6, t.today + 1, Purpose::Cast);
}

fn ready_not_booked(t: &mut Teller<'_>) {
    t.born(t.today - 70, Sides::Right, None);
    t.casting(5, t.today - 10, 1.0);
    t.ready_visit(t.today - 3, true);
    t.appoint(t.today - 3, t.today + 4, Purpose::Cast);
}

fn booked(t: &mut Teller<'_>) {
    t.born(t.today - 66, Sides::Both, None);
    t.casting(5, t.today - 11, 1.0);
    t.ready_visit(t.today - 4, true);
    t.book(t.today - 4, t.today + 3);
}

fn booked_day_passed(t: &mut Teller<'_>) {
    t.born(t.today - 75, Sides::Left, None);
    t.casting(5, t.today - 16, 1.0);
    t.ready_visit(t.today - 9, true);
    t.book(t.today - 9, t.today - 2);
}

fn tenotomy_cast(t: &mut Teller<'_>) {
    t.born(t.today - 80, Sides::Both, None);
    t.casting(5, t.today - 24, 1.0);
    t.ready_visit(t.today - 17, true);
    t.book(t.today - 17, t.today - 10);
    t.tenotomy(t.today - 10);
    t.appoint(t.today - 10, t.today + 11, Purpose::BraceFitting);
}

fn tenotomy_cast_too_long(t: &mut Teller<'_>) {
    t.born(t.today - 100, Sides::Right, None);
    t.casting(6, t.today - 43, 1.0);
    t.ready_visit(t.today - 36, true);
    t.tenotomy(t.today - 29);
    let made = t.appoint(t.today - 29, t.today - 8, Purpose::BraceFitting);
    t.missed(t.today - 8, Some(made));
    t.write(t.today - 7, ContactAttempt { way: ContactWay::Phone, reached: false, whom: None, note: None });
}

fn newly_braced(t: &mut Teller<'_>) {
    braced(t, 4);
    t.appoint(t.today - 4, t.today + 3, Purpose::BraceReview);
}

fn early_bracing(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 35);
    t.reviews_until(fitted_on, t.today - 1);
    t.appoint(fitted_on + 7, fitted_on + 42, Purpose::BraceReview);
}

fn early_review_overdue(t: &mut Teller<'_>) {
    braced(t, 24);
}

fn night_time_due(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 85);
    t.reviews_until(fitted_on, fitted_on + 50);
    t.appoint(fitted_on + 42, t.today, Purpose::BraceReview);
}

fn nights_first_year(t: &mut Teller<'_>) {
    let days = t.rng.random_range(120..360);
    let fitted_on = braced(t, days);
    t.reviews_until(fitted_on, t.today - 1);
    let ahead = t.rng.random_range(0..60);
    t.appoint(t.today - 10, t.today + ahead, Purpose::BraceReview);
}

fn nights_third_year(t: &mut Teller<'_>) {
    let days = t.rng.random_range(420..1_380);
    let fitted_on = braced(t, days);
    t.reviews_until(fitted_on, t.today - 1);
    let ahead = t.rng.random_range(3..110);
    t.appoint(t.today - 20, t.today + ahead, Purpose::BraceReview);
}

fn review_overdue(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 620);
    t.reviews_until(fitted_on, t.today - 165);
}

fn near_the_end(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 1_660);
    t.reviews_until(fitted_on, t.today - 20);
    t.appoint(t.today - 20, t.today + 40, Purpose::BraceReview);
}

fn after_bracing(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 1_900);
    t.reviews_until(fitted_on, t.today - 160);
    t.visit(t.today - 150);
    t.stop(t.today - 150, "Five years old; bracing completed.");
    t.appoint(t.today - 150, t.today + 215, Purpose::Review);
}

fn discharged(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 2_000);
    t.reviews_until(fitted_on, t.today - 320);
    t.visit(t.today - 300);
    t.stop(t.today - 300, "Five years old; bracing completed.");
    t.visit(t.today - 40);
    t.write(t.today - 40, Discharge { reason: DischargeReason::Completed, note: None });
}

fn dorsiflexion_lost(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 500);
    t.reviews_until(fitted_on, t.today - 12);
    for foot in &mut t.feet {
        foot.dorsiflexion_deg = 4.0;
    }
    t.visit(t.today - 9);
    t.wear(t.today - 100, t.today - 9, 5.0);
    t.appoint(t.today - 9, t.today + 12, Purpose::BraceReview);
}

fn relapse(t: &mut Teller<'_>, days_ago: i32) -> record::Day {
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

fn relapse_noted(t: &mut Teller<'_>) {
    relapse(t, 3);
    t.appoint(t.today - 3, t.today + 2, Purpose::Cast);
}

fn relapse_recast(t: &mut Teller<'_>) {
    let on = relapse(t, 20);
    t.casting_visit(on + 6, true, 0.8);
    t.casting_visit(on + 13, false, 0.8);
    t.appoint(on + 13, t.today, Purpose::Cast);
}

fn stopped_early(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 330);
    t.reviews_until(fitted_on, t.today - 40);
    t.visit(t.today - 30);
    t.wear(t.today - 90, t.today - 30, 2.0);
    t.stop(t.today - 30, "The family says the child does not sleep in it.");
}

fn contact_lost(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 600);
    t.reviews_until(fitted_on, t.today - 270);
    let made = t.appoint(t.today - 280, t.today - 150, Purpose::BraceReview);
    t.missed(t.today - 150, Some(made));
    for (days_ago, way) in [(148, ContactWay::Phone), (120, ContactWay::Message), (60, ContactWay::Letter)] {
        t.write(t.today - days_ago, ContactAttempt { way, reached: false, whom: None, note: None });
    }
}

fn missed_with_cast(t: &mut Teller<'_>) {
    t.born(t.today - 50, Sides::Both, None);
    t.casting(3, t.today - 9, 1.0);
    let made = t.appoint(t.today - 9, t.today - 2, Purpose::Cast);
    t.missed(t.today - 2, Some(made));
}

fn cast_slipped(t: &mut Teller<'_>) {
    t.born(t.today - 40, Sides::Right, None);
    t.casting(3, t.today - 4, 1.0);
    t.appoint(t.today - 4, t.today + 3, Purpose::Cast);
    for what in [ProblemKind::CastSlipped, ProblemKind::ToesNotSeen] {
        let note = Some("The family rang in the evening.".to_owned());
        t.write(t.today - 1, Problem { side: Some(Side::Right), what, settled: false, note });
    }
}

fn complex_foot(t: &mut Teller<'_>) {
    t.born(t.today - 60, Sides::Left, None);
    t.casting(3, t.today - 5, 0.5);
    t.diagnose(t.today - 5, Side::Left, Nature::Idiopathic, Some(true));
    t.appoint(t.today - 5, t.today, Purpose::Cast);
}

fn maybe_complex(t: &mut Teller<'_>) {
    t.born(t.today - 64, Sides::Right, None);
    for foot in &mut t.feet {
        foot.signs = [1.0; 6];
        foot.dorsiflexion_deg = -45.0;
    }
    for week in (0..5).rev() {
        let on = t.today - 6 - 7 * week;
        if week < 4 {
            t.write(
                on - 2,
                Problem {
                    side: Some(Side::Right),
                    what: ProblemKind::CastSlipped,
                    settled: false,
                    note: None,
                },
            );
            t.cast_off(on - 2, Side::Right, RemovalReason::Slipped);
        }
        t.casting_visit(on, true, 0.1);
    }
    t.appoint(t.today - 6, t.today + 1, Purpose::Cast);
}

fn late_start(t: &mut Teller<'_>) {
    t.born(t.today - 790, Sides::Both, None);
    t.casting(4, t.today - 6, 0.7);
    t.appoint(t.today - 6, t.today + 1, Purpose::Cast);
}

fn one_ahead(t: &mut Teller<'_>) {
    t.born(t.today - 75, Sides::Both, None);
    t.casting(5, t.today - 13, 1.0);
    let on = t.today - 6;
    t.feet[0].after_tenotomy(t.rng);
    t.feet[1].signs = [0.8, 0.5, 0.6, 1.0, 1.0, 0.6];
    for side in t.sides() {
        t.cast_off(on, side, RemovalReason::Planned);
    }
    t.visit(on);
    t.cast(on, Side::Right, CastPurpose::Holding);
    t.cast(on, Side::Left, CastPurpose::Correction);
    t.appoint(on, t.today + 1, Purpose::Cast);
}

fn no_tenotomy(t: &mut Teller<'_>) {
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

fn transferred(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 400);
    t.reviews_until(fitted_on, t.today - 100);
    let to = Some("the clinic at Norrhaven (invented)".to_owned());
    t.write(t.today - 80, Transfer { to });
}

fn died(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 420);
    t.reviews_until(fitted_on, t.today - 220);
    t.write(t.today - 200, Death { cause: None });
}

fn lost(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 900);
    t.reviews_until(fitted_on, t.today - 500);
    t.write(
        t.today - 300,
        ContactAttempt { way: ContactWay::HomeVisit, reached: false, whom: None, note: None },
    );
    t.write(t.today - 290, LostDeclared { reason: Some("Moved; no address known.".to_owned()) });
}

fn corrected(t: &mut Teller<'_>) {
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

fn open_questions(t: &mut Teller<'_>) {
    mid_casting_both(t);
    let mut first = t.feet[0].assessed(t.rng);
    first.stated_total = first.pirani.total().map(|total| record::Halves(total.0 + 2));
    let mut second = t.feet[1].assessed(t.rng);
    second.pirani.empty_heel = None;
    let on = t.today - 1;
    t.write(on, first);
    t.write(on, second);
}

fn no_appointment(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 250);
    t.reviews_until(fitted_on, t.today - 2);
}

fn appointment_passed(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 300);
    t.reviews_until(fitted_on, t.today - 30);
    t.appoint(t.today - 60, t.today - 6, Purpose::BraceReview);
}

fn skin_broken(t: &mut Teller<'_>) {
    newly_braced(t);
    let side = t.sides().first().copied();
    let note = Some("Sore at the heel, picture sent by the family.".to_owned());
    t.write(t.today, Problem { side, what: ProblemKind::SkinBroken, settled: false, note });
}

fn walking_score_low(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 700);
    t.reviews_until(fitted_on, t.today - 15);
    for side in t.sides() {
        let walking = Walking { ankle: Some(1), pain: Some(2), shoes: Some(2), carer: Some(2) };
        t.write(t.today - 11, Assessment { walking, dorsiflexion_deg: Some(12), ..Assessment::of(side) });
    }
    t.appoint(t.today - 11, t.today + 30, Purpose::Review);
}

fn after_transfer(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 1_300);
    t.reviews_until(fitted_on, t.today - 90);
    let side = t.sides()[0];
    t.write(t.today - 40, OtherSurgery { side, procedure: Procedure::TendonTransfer, note: None });
    t.appoint(t.today - 40, t.today + 5, Purpose::Review);
}

fn score_worse(t: &mut Teller<'_>) {
    t.born(t.today - 55, Sides::Right, None);
    t.casting(4, t.today - 13, 1.0);
    for sign in &mut t.feet[0].signs {
        *sign = (*sign + 0.35).min(1.0);
    }
    t.casting_visit(t.today - 6, false, 0.6);
    t.appoint(t.today - 6, t.today + 1, Purpose::Cast);
}

fn no_birth_day(t: &mut Teller<'_>) {
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

fn syndromic(t: &mut Teller<'_>) {
    t.born(t.today - 88, Sides::Both, None);
    for side in Side::BOTH {
        t.diagnose(t.today - 60, side, Nature::Syndromic, None);
    }
    t.casting(6, t.today - 3, 0.5);
    t.appoint(t.today - 3, t.today + 4, Purpose::Cast);
}

fn one_foot_braced(t: &mut Teller<'_>) {
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

fn not_held(t: &mut Teller<'_>) {
    t.born(t.today - 90, Sides::Left, None);
    t.casting(5, t.today - 38, 1.0);
    t.ready_visit(t.today - 31, true);
    t.tenotomy(t.today - 24);
    t.cast_off(t.today - 3, Side::Left, RemovalReason::Planned);
    t.visit(t.today - 3);
    t.write(t.today - 3, Note { text: "Boots not delivered; the family waits for a call.".to_owned() });
}

fn heel_slips(t: &mut Teller<'_>) {
    let fitted_on = braced(t, 30);
    t.reviews_until(fitted_on, t.today - 20);
    let side = t.sides().first().copied();
    let note = Some("Strap tightened over the telephone; to be looked at.".to_owned());
    t.write(t.today - 2, Problem { side, what: ProblemKind::HeelSlipsOut, settled: false, note });
    t.appoint(t.today - 20, t.today + 12, Purpose::BraceReview);
}

fn one_relapsed(t: &mut Teller<'_>) {
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

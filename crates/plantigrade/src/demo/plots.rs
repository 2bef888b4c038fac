//! The plots: where a child of the invented clinic stands today, told backwards from today.

use super::{bracing, casting, child::Teller};
use rand::{RngExt, rngs::StdRng};
use record::Entry;

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
    NewlyReferred, 3 => casting::newly_referred;
    /// Born early, waiting for term age.
    Preterm, 1 => casting::preterm;
    /// One foot, third cast on, next due today.
    MidCasting, 8 => casting::mid_casting;
    /// Both feet, second cast on.
    MidCastingBoth, 6 => casting::mid_casting_both;
    /// Nine casts and little change.
    SlowProgress, 1 => casting::slow_progress;
    /// Ready for tenotomy, nothing booked.
    ReadyNotBooked, 2 => casting::ready_not_booked;
    /// Ready and booked.
    Booked, 2 => casting::booked;
    /// Booked day gone by without a word.
    BookedDayPassed, 1 => casting::booked_day_passed;
    /// In the tenotomy cast.
    TenotomyCast, 4 => casting::tenotomy_cast;
    /// In the tenotomy cast for too long.
    TenotomyCastTooLong, 1 => casting::tenotomy_cast_too_long;
    /// Brace fitted four days ago.
    NewlyBraced, 3 => bracing::newly_braced;
    /// Five weeks into the brace.
    EarlyBracing, 6 => bracing::early_bracing;
    /// First review after the fitting not held.
    EarlyReviewOverdue, 1 => bracing::early_review_overdue;
    /// Twelve weeks of full time are over.
    NightTimeDue, 3 => bracing::night_time_due;
    /// Nights, first year.
    NightsFirstYear, 14 => bracing::nights_first_year;
    /// Nights, third year.
    NightsThirdYear, 16 => bracing::nights_third_year;
    /// Later review overdue.
    ReviewOverdue, 3 => bracing::review_overdue;
    /// Nearly five.
    NearTheEnd, 3 => bracing::near_the_end;
    /// Bracing ended at five, followed without.
    AfterBracing, 3 => bracing::after_bracing;
    /// Discharged at five and a half.
    Discharged, 5 => bracing::discharged;
    /// Dorsiflexion lost in the brace.
    DorsiflexionLost, 1 => bracing::dorsiflexion_lost;
    /// Relapse noted, not yet cast again.
    RelapseNoted, 1 => bracing::relapse_noted;
    /// Relapse being cast again.
    RelapseRecast, 2 => bracing::relapse_recast;
    /// Bracing stopped by the family at fourteen months.
    StoppedEarly, 2 => bracing::stopped_early;
    /// Not seen for nine months in the brace; attempts to reach them.
    ContactLost, 3 => bracing::contact_lost;
    /// Missed a visit with casts on.
    MissedWithCast, 1 => casting::missed_with_cast;
    /// The cast slipped yesterday; toes not seen.
    CastSlipped, 1 => casting::cast_slipped;
    /// A complex foot, called so.
    ComplexFoot, 1 => casting::complex_foot;
    /// Slips and stuck movement: may be complex.
    MaybeComplex, 1 => casting::maybe_complex;
    /// Came at two years.
    LateStart, 1 => casting::late_start;
    /// One foot corrected, the other not.
    OneAhead, 1 => casting::one_ahead;
    /// Corrected without tenotomy.
    NoTenotomy, 2 => casting::no_tenotomy;
    /// Moved away.
    Transferred, 2 => bracing::transferred;
    /// Died of another cause.
    Died, 1 => bracing::died;
    /// Declared lost.
    Lost, 2 => bracing::lost;
    /// A score corrected, a note withdrawn.
    Corrected, 1 => casting::corrected;
    /// Total on the sheet disagrees; a sign left out.
    OpenQuestions, 1 => casting::open_questions;
    /// No next appointment made.
    NoAppointment, 2 => bracing::no_appointment;
    /// An appointment last week passed without a word.
    AppointmentPassed, 1 => bracing::appointment_passed;
    /// Skin broken under the brace.
    SkinBroken, 1 => bracing::skin_broken;
    /// Low score at walking age.
    WalkingScoreLow, 1 => bracing::walking_score_low;
    /// After a tendon transfer.
    AfterTransfer, 1 => bracing::after_transfer;
    /// Worse than last time.
    ScoreWorse, 1 => casting::score_worse;
    /// Day of birth unknown.
    NoBirthDay, 1 => casting::no_birth_day;
    /// A syndrome.
    Syndromic, 1 => casting::syndromic;
    /// One foot was put in the brace while the other is still in casts.
    OneFootBraced, 1 => casting::one_foot_braced;
    /// The last cast came off and nothing followed.
    NotHeld, 1 => casting::not_held;
    /// The heel slips out of the boot.
    HeelSlips, 1 => bracing::heel_slips;
    /// Both braced, one relapsed and cast again.
    OneRelapsed, 1 => bracing::one_relapsed;
}

//! The kinds of entry, one file each.
//!
//! A kind is declared in its file with `entry!`, as [`crate::field`] explains, and named in the list below.
//! It judges itself without looking at any other entry. What is odd only beside other entries (a score
//! before birth) is found by `course`.

/// What transfer and discharge mean for what the record suggests.
const CARE_ENDS: &str = "From that day no next step and no call for attention is shown for this child. A later referral reopens the record.";

/// Writes a number, and refuses what JSON could only write as `null`: a value gone missing in silence.
pub(crate) fn finite<S: serde::Serializer>(value: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    use serde::ser::Error;
    if value.is_finite() {
        serializer.serialize_f64(*value)
    } else {
        Err(S::Error::custom("hours of wear are not a number"))
    }
}

/// A closed list of answers with a key for files and a human word.
macro_rules! choice {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $key:literal, $words:literal;)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
        pub enum $name {
            $($(#[$vdoc])* #[serde(rename = $key)] $variant,)*
        }

        impl $name {
            /// Every answer, in the order in which it is offered.
            pub const ALL: &[Self] = &[$(Self::$variant),*];

            /// The key for forms and files.
            #[must_use]
            pub const fn key(self) -> &'static str {
                match self { $(Self::$variant => $key,)* }
            }

            /// The human words.
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $(Self::$variant => $words,)* }
            }

            /// From its key.
            #[must_use]
            pub fn from_key(key: &str) -> Option<Self> {
                match key { $($key => Some(Self::$variant),)* _ => None }
            }
        }

        impl $crate::field::FieldValue for $name {
            const TAKES: $crate::field::FieldType = $crate::field::FieldType::Choice(&[$(($key, $words)),*]);

            fn show(&self, _spec: &'static $crate::field::FieldSpec, shown: &mut $crate::field::ShownValues) {
                shown.put(self.key());
            }
        }
    };
}

/// The modules of the kinds, and `for_every_kind!`, which hands the kinds to another macro in this order.
macro_rules! kinds {
    ($($module:ident: $name:ident),* $(,)?) => {
        $(mod $module; pub use $module::*;)*

        macro_rules! for_every_kind {
            ($callback:ident) => { $callback! { $($name)* } };
        }
    };
}

kinds! {
    registration: Registration,
    referral: Referral,
    diagnosis: Diagnosis,
    screening: Screening,
    assessment: Assessment,
    second_score: SecondScore,
    body_measured: BodyMeasured,
    cast_applied: CastApplied,
    cast_removed: CastRemoved,
    tenotomy_booked: TenotomyBooked,
    tenotomy_done: TenotomyDone,
    brace_fitted: BraceFitted,
    brace_changed: BraceChanged,
    wear_reported: WearReported,
    wear_logged: WearLogged,
    problem: Problem,
    consent: Consent,
    appointment_made: AppointmentMade,
    appointment_attended: AppointmentAttended,
    appointment_missed: AppointmentMissed,
    appointment_cancelled: AppointmentCancelled,
    contact_attempt: ContactAttempt,
    relapse_noted: RelapseNoted,
    other_surgery: OtherSurgery,
    transfer: Transfer,
    death: Death,
    lost_declared: LostDeclared,
    discharge: Discharge,
    note: Note,
    correction: Correction,
    withdrawal: Withdrawal,
}

// Part of an assessment.
mod relapse_signs;
pub use relapse_signs::*;

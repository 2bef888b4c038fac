//! The kinds of entry, one file each.
//!
//! Every kind implements `Inspect`: it names what is out of bounds in itself, without looking at any
//! other entry. What is odd only beside other entries (a score before birth) is found by `course`.

use crate::{Day, Finding};

/// Judges one body by itself.
pub(crate) trait Inspect {
    /// Adds what is odd. `on` is the clinical day of the entry.
    fn inspect(&self, on: Day, findings: &mut Vec<Finding>);
}

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
    };
}

macro_rules! kinds {
    ($($module:ident),* $(,)?) => { $(mod $module; pub use $module::*;)* };
}

kinds! {
    appointment_attended, appointment_cancelled, appointment_made, appointment_missed, assessment,
    body_measured, brace_changed, brace_fitted, cast_applied, cast_removed, contact_attempt, correction, death,
    diagnosis, discharge, lost_declared, note, other_surgery, problem, referral, registration,
    relapse_noted, screening, second_score, tenotomy_booked, tenotomy_done, transfer, wear_logged, wear_reported,
    withdrawal,
}

// Part of an assessment.
kinds! { relapse_signs }

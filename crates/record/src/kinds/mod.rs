//! The kinds of entry, one file each.
//!
//! A kind is declared in its file with `entry!`, as [`crate::field`] explains, and named in the list below.
//! [`Kind`] and [`Body`] are made from that list. The checks of a kind look at no other entry; `course`
//! finds problems between entries (a score before birth).

use crate::{
    Day, Finding, Side,
    field::{KindHooks, KindOfEntry, KindSpec, ShownValues},
};
use serde::{Serialize, Serializer, de::MapAccess};

/// The consequence of a transfer or a discharge.
const CARE_ENDS: &str = "From that day no next step and no call for attention is shown for this child. A later referral reopens the record.";

/// Serialises a finite number. JSON would write any other number as `null`, which would lose it unnoticed.
pub(crate) fn finite<S: Serializer>(value: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    use serde::ser::Error;
    if value.is_finite() {
        serializer.serialize_f64(*value)
    } else {
        Err(S::Error::custom("a value is not a number"))
    }
}

/// A closed list of answers, each with a key for files and its words, and for one that was added later the first version
/// of the wire form that can hold it.
macro_rules! choice {
    ($(#[$doc:meta])* $name:ident {
        $($(#[$vdoc:meta])* $variant:ident = $key:literal, $words:literal $(, since $since:literal)?;)*
    }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
        pub enum $name {
            $($(#[$vdoc])* #[serde(rename = $key)] $variant,)*
        }

        impl $name {
            /// Every answer, in the order of a form.
            pub const ALL: &[Self] = &[$(Self::$variant),*];

            /// Its key in forms and files.
            #[must_use]
            pub const fn key(self) -> &'static str {
                match self { $(Self::$variant => $key,)* }
            }

            /// Its words.
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $(Self::$variant => $words,)* }
            }

            /// The answer of a key.
            #[must_use]
            pub fn from_key(key: &str) -> Option<Self> {
                match key { $($key => Some(Self::$variant),)* _ => None }
            }
        }

        impl $crate::field::FieldValue for $name {
            const TAKES: $crate::field::FieldType = $crate::field::FieldType::Choice(&[$(($key, $words)),*]);

            fn version(&self) -> u16 {
                let added: &[(Self, u16)] = &[$($((Self::$variant, $since),)?)*];
                added.iter().find(|(answer, _)| answer == self).map_or(1, |(_, since)| *since)
            }

            fn show(&self, _spec: &'static $crate::field::FieldSpec, shown: &mut $crate::field::ShownValues) {
                shown.put(self.key());
            }
        }
    };
}

/// The modules of the kinds, and `for_every_kind!`, which passes the kinds to another macro in this order.
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
    sibling: Sibling,
    diagnosis: Diagnosis,
    screening: Screening,
    assessment: Assessment,
    second_score: SecondScore,
    body_measured: BodyMeasured,
    weighed: Weighed,
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
    allergies: Allergies,
    medicines: Medicines,
    document_handed: DocumentHanded,
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
    photograph: Photograph,
    photograph_angle: PhotographAngleMeasured,
    photograph_length: PhotographLengthMeasured,
    gait_video: GaitVideo,
    correction: Correction,
    withdrawal: Withdrawal,
    visit_amended: VisitAmended,
    records_joined: RecordsJoined,
}

// Part of an assessment.
mod relapse_signs;
pub use relapse_signs::*;

// Part of the entries that list others written with them.
mod written_together;
pub use written_together::*;

macro_rules! bodies {
    ($($name:ident)*) => {
        /// What was seen or done: one variant per kind of entry.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Body {
            $(#[doc = concat!("See [`", stringify!($name), "`].")] $name($name),)*
        }

        /// The kind of an entry, without its contents.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Kind {
            $(#[doc = concat!("See [`", stringify!($name), "`].")] $name,)*
        }

        impl Kind {
            /// Every kind.
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// The declaration of the kind.
            #[must_use]
            pub const fn spec(self) -> &'static KindSpec {
                match self { $(Self::$name => &<$name as KindOfEntry>::SPEC,)* }
            }
        }

        impl Body {
            /// Its kind.
            #[must_use]
            pub const fn kind(&self) -> Kind {
                match self { $(Self::$name(_) => Kind::$name,)* }
            }

            /// The body as JSON, without the kind.
            ///
            /// # Errors
            /// When a number is not finite.
            pub fn to_json(&self) -> Result<String, serde_json::Error> {
                match self { $(Self::$name(body) => serde_json::to_string(body),)* }
            }

            /// Reads a body of a kind from JSON.
            ///
            /// # Errors
            /// When the JSON has not the shape of that kind.
            pub fn from_json(kind: Kind, json: &str) -> Result<Self, serde_json::Error> {
                match kind { $(Kind::$name => serde_json::from_str(json).map(Self::$name),)* }
            }

            /// Reads a body of a kind from a JSON value.
            ///
            /// # Errors
            /// When the value has not the shape of that kind.
            pub fn from_value(kind: Kind, value: serde_json::Value) -> Result<Self, serde_json::Error> {
                match kind { $(Kind::$name => serde_json::from_value(value).map(Self::$name),)* }
            }

            /// Serialises the body without the kind.
            pub(crate) fn write<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                match self { $(Self::$name(body) => body.serialize(serializer),)* }
            }

            /// Reads the next value of an object as a body of a kind.
            pub(crate) fn read<'de, A: MapAccess<'de>>(kind: Kind, map: &mut A) -> Result<Self, A::Error> {
                match kind { $(Kind::$name => map.next_value().map(Self::$name),)* }
            }

            pub(crate) fn inspect(&self, on: Day, findings: &mut Vec<Finding>) {
                match self { $(Self::$name(body) => KindOfEntry::inspect(body, on, findings),)* }
            }

            pub(crate) fn show(&self, shown: &mut ShownValues) {
                match self { $(Self::$name(body) => KindOfEntry::show(body, shown),)* }
            }

            pub(crate) fn own_sentence(&self) -> Option<String> {
                match self { $(Self::$name(body) => KindHooks::sentence(body),)* }
            }

            /// Sums of its values (sub-scores and totals), each with its name.
            #[must_use]
            pub fn sums(&self) -> Vec<(&'static str, String)> {
                match self { $(Self::$name(body) => KindHooks::sums(body),)* }
            }

            /// The first version of the wire form that can hold it.
            #[must_use]
            pub fn version(&self) -> u16 {
                match self { $(Self::$name(body) => KindOfEntry::version(body),)* }
            }

            /// The foot that it is about, if it is about one foot.
            #[must_use]
            pub fn side(&self) -> Option<Side> {
                match self { $(Self::$name(body) => KindOfEntry::side(body),)* }
            }
        }

        $(impl From<$name> for Body {
            fn from(body: $name) -> Self { Self::$name(body) }
        })*
    };
}

for_every_kind! { bodies }

impl Kind {
    /// Its key in the wire form, `cast_applied`.
    #[must_use]
    pub const fn wire(self) -> &'static str {
        self.spec().wire
    }

    /// Its name in words, "cast applied".
    #[must_use]
    pub const fn words(self) -> &'static str {
        self.spec().words
    }

    /// The kind of a key of the wire form.
    #[must_use]
    pub fn from_wire(wire: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.wire() == wire)
    }
}

//! An entry and its wire form.
//!
//! On the wire an entry is one JSON object, `{"v":1,"id":…,"child":…,"kind":"assessment","body":{…},
//! "on":"2024-07-30","at":"2024-07-30T09:12:04Z","by":…,"site":…}`, with `follows` where it answers
//! another entry. The shape of every kind is pinned by a golden file; a change needs a new version and
//! an upcast, and old files stay readable. An entry is written in the first version that can hold it
//! ([`Body::version`]), so that a body no older than its shape is read by older programs too, and its
//! bytes never change. Version 2 added signs of relapse to an assessment, the size of a boot, advice to a
//! problem, and the measurement of the child; version 3 the second score; version 4 whether the bar of a
//! brace can be set for each side. An older entry reads with all of these absent. Within a version an unknown field is refused rather than
//! dropped: nothing that somebody wrote down is lost in silence.

use crate::{
    ChildId, Day, EntryId, Finding, Severity, SiteId, Timestamp, UserId,
    kinds::{self, Inspect},
};
use serde::{Serialize, Serializer, de::MapAccess};

/// The latest version of the wire form that this program reads and writes.
pub const VERSION: u16 = 4;

/// Something seen or done, written down once.
///
/// ```
/// use record::{Entry, Kind, Side, entry::Body};
///
/// let line = concat!(
///     r#"{"v":1,"id":"01907e2a-0000-7000-8000-000000000001","child":"01907e2a-0000-7000-8000-0000000000c1","#,
///     r#""kind":"cast_applied","body":{"side":"left","number":3},"on":"2024-07-30","#,
///     r#""at":"2024-07-30T09:12:04Z","by":"01907e2a-0000-7000-8000-0000000000b1","#,
///     r#""site":"01907e2a-0000-7000-8000-0000000000a1"}"#,
/// );
/// let mut entry = Entry::from_json(line)?;
/// assert_eq!(entry.kind(), Kind::CastApplied);
/// assert_eq!(entry.body.side(), Some(Side::Left));
/// assert_eq!(entry.to_json()?, line);
/// assert!(entry.findings().is_empty());
///
/// if let Body::CastApplied(cast) = &mut entry.body {
///     cast.dorsiflexion_deg = Some(75);
/// }
/// let refusal = entry.refusal().map(|finding| finding.text).unwrap_or_default();
/// assert!(refusal.starts_with("dorsiflexion 75° cannot be right: −90 to 60° is expected."));
/// # Ok::<(), record::WireError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its id, a UUID of version 7.
    pub id: EntryId,
    /// The child it is about.
    pub child: ChildId,
    /// What was seen or done.
    pub body: Body,
    /// The clinical day.
    pub on: Day,
    /// When it was written.
    pub at: Timestamp,
    /// Who wrote it.
    pub by: UserId,
    /// Where it was written.
    pub site: SiteId,
    /// The entry it answers or follows from, such as the appointment that was missed.
    pub follows: Option<EntryId>,
}

/// An entry that cannot be read from its wire form.
#[derive(Debug, thiserror::Error)]
pub enum WireError {
    /// Written by a later program.
    #[error("this entry has version {0}; this program reads up to version {VERSION}: update the program")]
    Newer(u16),
    /// A kind this program does not know.
    #[error("“{0}” is not a kind of entry this program knows")]
    Kind(String),
    /// Not the expected JSON.
    #[error("this entry cannot be read: {0}")]
    Json(#[from] serde_json::Error),
    /// Holds a number that JSON cannot hold.
    #[error("this entry cannot be written: {0}")]
    Unwritable(serde_json::Error),
}

macro_rules! bodies {
    ($($(#[$doc:meta])* $name:ident = $wire:literal, $words:literal;)*) => {
        /// What was seen or done: one variant per kind of entry.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Body {
            $($(#[$doc])* $name(kinds::$name),)*
        }

        /// The kind of an entry, without its contents.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Kind {
            $($(#[$doc])* $name,)*
        }

        impl Kind {
            /// Every kind.
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// The key on the wire, `cast_applied`.
            #[must_use]
            pub const fn wire(self) -> &'static str {
                match self { $(Self::$name => $wire,)* }
            }

            /// The human word, "cast applied".
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $words,)* }
            }

            /// From the key on the wire.
            #[must_use]
            pub fn from_wire(wire: &str) -> Option<Self> {
                match wire { $($wire => Some(Self::$name),)* _ => None }
            }
        }

        impl Body {
            /// Its kind.
            #[must_use]
            pub const fn kind(&self) -> Kind {
                match self { $(Self::$name(_) => Kind::$name,)* }
            }

            /// The body alone as JSON, without the kind.
            ///
            /// # Errors
            /// None is known: every kind serialises.
            pub fn to_json(&self) -> Result<String, serde_json::Error> {
                match self { $(Self::$name(body) => serde_json::to_string(body),)* }
            }

            /// Reads a body of a kind from JSON.
            ///
            /// # Errors
            /// When the JSON is not of that kind's shape.
            pub fn from_json(kind: Kind, json: &str) -> Result<Self, serde_json::Error> {
                match kind { $(Kind::$name => serde_json::from_str(json).map(Self::$name),)* }
            }

            /// Reads a body of a kind from a JSON value.
            ///
            /// # Errors
            /// When the value is not of that kind's shape.
            pub fn from_value(kind: Kind, value: serde_json::Value) -> Result<Self, serde_json::Error> {
                match kind { $(Kind::$name => serde_json::from_value(value).map(Self::$name),)* }
            }

            /// Writes the body alone.
            pub(crate) fn write<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                match self { $(Self::$name(body) => body.serialize(serializer),)* }
            }

            /// Reads a body of a kind as the next value of an object.
            pub(crate) fn read<'de, A: MapAccess<'de>>(kind: Kind, map: &mut A) -> Result<Self, A::Error> {
                match kind { $(Kind::$name => map.next_value().map(Self::$name),)* }
            }

            pub(crate) fn inspect(&self, on: Day, findings: &mut Vec<Finding>) {
                match self { $(Self::$name(body) => body.inspect(on, findings),)* }
            }
        }

        $(impl From<kinds::$name> for Body {
            fn from(body: kinds::$name) -> Self { Self::$name(body) }
        })*
    };
}

bodies! {
    /// Who the child is; a later one replaces an earlier one whole.
    Registration = "registration", "registration";
    /// The child was referred.
    Referral = "referral", "referral";
    /// What kind of clubfoot, one foot.
    Diagnosis = "diagnosis", "diagnosis";
    /// Hips, spine, nerve and muscle looked at.
    Screening = "screening", "screening";
    /// Scores and movement of one foot at one sitting.
    Assessment = "assessment", "assessment";
    /// A second clinician's score of one foot, made without seeing the first.
    SecondScore = "second_score", "second score";
    /// What was measured of the child and not of a foot.
    BodyMeasured = "body_measured", "child measured";
    /// A cast put on one foot.
    CastApplied = "cast_applied", "cast applied";
    /// A cast taken or fallen off one foot.
    CastRemoved = "cast_removed", "cast removed";
    /// A heel-cord tenotomy booked for one foot.
    TenotomyBooked = "tenotomy_booked", "tenotomy booked";
    /// A heel-cord tenotomy done on one foot.
    TenotomyDone = "tenotomy_done", "tenotomy done";
    /// A foot abduction brace fitted.
    BraceFitted = "brace_fitted", "brace fitted";
    /// The brace or its hours changed, or bracing stopped.
    BraceChanged = "brace_changed", "brace changed";
    /// Hours of wear as the family reports them.
    WearReported = "wear_reported", "wear reported";
    /// Hours of wear as a logger found them.
    WearLogged = "wear_logged", "wear logged";
    /// A problem with skin, cast, brace or family.
    Problem = "problem", "problem";
    /// An appointment made.
    AppointmentMade = "appointment_made", "appointment made";
    /// The child came.
    AppointmentAttended = "appointment_attended", "appointment attended";
    /// The child was expected and did not come.
    AppointmentMissed = "appointment_missed", "appointment missed";
    /// An appointment called off beforehand.
    AppointmentCancelled = "appointment_cancelled", "appointment cancelled";
    /// Someone tried to reach the family.
    ContactAttempt = "contact_attempt", "contact attempt";
    /// A relapse of one foot.
    RelapseNoted = "relapse_noted", "relapse noted";
    /// Surgery other than a heel-cord tenotomy.
    OtherSurgery = "other_surgery", "other surgery";
    /// Care passed to another clinic.
    Transfer = "transfer", "transfer";
    /// The child died.
    Death = "death", "death";
    /// The clinic declared the child lost to follow-up.
    LostDeclared = "lost_declared", "lost to follow-up declared";
    /// Treatment ended.
    Discharge = "discharge", "discharge";
    /// Free text.
    Note = "note", "note";
    /// Another entry was wrong; this is what it should have said.
    Correction = "correction", "correction";
    /// Another entry should not stand at all.
    Withdrawal = "withdrawal", "withdrawal";
}

impl Entry {
    /// Its kind.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        self.body.kind()
    }

    /// What is odd about this entry by itself: refusals and questions, worst first.
    ///
    /// An entry with a refusal must not be written.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        let mut findings = Vec::new();
        self.body.inspect(self.on, &mut findings);
        self.inspect_answered(&mut findings);
        findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
        findings
    }

    fn inspect_answered(&self, findings: &mut Vec<Finding>) {
        let answered = match &self.body {
            Body::Correction(body) => Some(body.entry),
            Body::Withdrawal(body) => Some(body.entry),
            _ => None,
        };
        for (field, entry) in [("entry", answered), ("follows", self.follows)] {
            if entry == Some(self.id) {
                let text = "An entry cannot answer itself.".to_owned();
                findings.push(Finding { severity: Severity::Refuse, field, text });
            }
        }
    }

    /// The first reason to refuse this entry, if there is one.
    #[must_use]
    pub fn refusal(&self) -> Option<Finding> {
        self.findings().into_iter().find(|finding| finding.severity == Severity::Refuse)
    }
}

impl Body {
    /// The first version of the wire form that can hold it.
    #[must_use]
    pub fn version(&self) -> u16 {
        let second = match self {
            Self::SecondScore(_) => return 3,
            Self::BodyMeasured(_) => true,
            Self::Assessment(body) => !body.signs.is_empty(),
            Self::BraceFitted(body) => return brace_version(&body.brace),
            Self::BraceChanged(body) => return body.brace.as_ref().map_or(1, brace_version),
            Self::Problem(body) => body.advised.is_some() || body.helped.is_some(),
            Self::Correction(body) => return body.body.version(),
            _ => false,
        };
        if second { 2 } else { 1 }
    }

    /// The foot this is about, where it is about one foot.
    #[must_use]
    pub fn side(&self) -> Option<crate::Side> {
        match self {
            Self::Diagnosis(body) => Some(body.side),
            Self::Assessment(body) => Some(body.side),
            Self::SecondScore(body) => Some(body.side),
            Self::CastApplied(body) => Some(body.side),
            Self::CastRemoved(body) => Some(body.side),
            Self::TenotomyBooked(body) => Some(body.side),
            Self::TenotomyDone(body) => Some(body.side),
            Self::RelapseNoted(body) => Some(body.side),
            Self::OtherSurgery(body) => Some(body.side),
            Self::Problem(body) => body.side,
            Self::Correction(body) => body.body.side(),
            _ => None,
        }
    }
}

/// The first version that can hold a brace.
fn brace_version(brace: &kinds::Brace) -> u16 {
    match brace.boots.iter().any(|boot| boot.size.is_some()) {
        _ if brace.bar_per_side.is_some() => 4,
        true => 2,
        false => 1,
    }
}

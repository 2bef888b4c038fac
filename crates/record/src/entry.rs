//! An entry and its wire form.
//!
//! On the wire an entry is one JSON object, `{"v":1,"id":…,"child":…,"kind":"assessment","body":{…},
//! "on":"2024-07-30","at":"2024-07-30T09:12:04Z","by":…,"site":…}`, with `follows` where it answers
//! another entry. The shape of every kind is pinned by a golden file; a change needs a new version and
//! an upcast here, and old files stay readable.

use crate::{
    ChildId, Day, EntryId, Finding, Severity, SiteId, Timestamp, UserId,
    kinds::{self, Inspect},
};
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use std::borrow::Cow;

/// The version of the wire form that this program writes.
pub const VERSION: u16 = 1;

/// Something seen or done, written down once.
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

#[derive(Serialize)]
struct WireOut<'a> {
    v: u16,
    id: EntryId,
    child: ChildId,
    kind: &'static str,
    body: &'a RawValue,
    on: Day,
    at: Timestamp,
    by: UserId,
    site: SiteId,
    #[serde(skip_serializing_if = "Option::is_none")]
    follows: Option<EntryId>,
}

#[derive(Deserialize)]
struct WireIn<'a> {
    v: u16,
    id: EntryId,
    child: ChildId,
    #[serde(borrow)]
    kind: Cow<'a, str>,
    #[serde(borrow)]
    body: &'a RawValue,
    on: Day,
    at: Timestamp,
    by: UserId,
    site: SiteId,
    #[serde(default)]
    follows: Option<EntryId>,
}

impl Entry {
    /// Its kind.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        self.body.kind()
    }

    /// The wire form, one line of JSON without a line end.
    ///
    /// # Errors
    /// None is known: every kind serialises.
    pub fn to_json(&self) -> Result<String, WireError> {
        let body = RawValue::from_string(self.body.to_json()?)?;
        Ok(serde_json::to_string(&WireOut {
            v: VERSION,
            id: self.id,
            child: self.child,
            kind: self.kind().wire(),
            body: &body,
            on: self.on,
            at: self.at,
            by: self.by,
            site: self.site,
            follows: self.follows,
        })?)
    }

    /// Reads the wire form of any version up to this program's.
    ///
    /// # Errors
    /// When the text is of a later version, an unknown kind, or not the expected JSON.
    pub fn from_json(json: &str) -> Result<Self, WireError> {
        let wire: WireIn<'_> = serde_json::from_str(json)?;
        if wire.v > VERSION {
            return Err(WireError::Newer(wire.v));
        }
        let kind = Kind::from_wire(&wire.kind).ok_or_else(|| WireError::Kind(wire.kind.to_string()))?;
        Ok(Self {
            id: wire.id,
            child: wire.child,
            body: Body::from_json(kind, wire.body.get())?,
            on: wire.on,
            at: wire.at,
            by: wire.by,
            site: wire.site,
            follows: wire.follows,
        })
    }

    /// What is odd about this entry by itself: refusals and questions, worst first.
    ///
    /// An entry with a refusal must not be written.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        let mut findings = Vec::new();
        self.body.inspect(self.on, &mut findings);
        findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
        findings
    }

    /// The first reason to refuse this entry, if there is one.
    #[must_use]
    pub fn refusal(&self) -> Option<Finding> {
        self.findings().into_iter().find(|finding| finding.severity == Severity::Refuse)
    }
}

impl Body {
    /// The foot this is about, where it is about one foot.
    #[must_use]
    pub fn side(&self) -> Option<crate::Side> {
        match self {
            Self::Diagnosis(body) => Some(body.side),
            Self::Assessment(body) => Some(body.side),
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

impl Serialize for Body {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        use serde::ser::{Error as _, SerializeStruct};
        let json = self.to_json().map_err(S::Error::custom)?;
        let raw = RawValue::from_string(json).map_err(S::Error::custom)?;
        let mut out = serializer.serialize_struct("Body", 2)?;
        out.serialize_field("kind", self.kind().wire())?;
        out.serialize_field("body", &raw)?;
        out.end()
    }
}

impl<'de> Deserialize<'de> for Body {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        use serde::de::Error as _;
        #[derive(Deserialize)]
        struct In {
            kind: String,
            body: serde_json::Value,
        }
        let wire = In::deserialize(deserializer)?;
        let kind = Kind::from_wire(&wire.kind).ok_or_else(|| D::Error::custom("unknown kind of entry"))?;
        Self::from_json(kind, &wire.body.to_string()).map_err(D::Error::custom)
    }
}

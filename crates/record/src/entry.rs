//! An entry and its wire form.
//!
//! On the wire an entry is one JSON object, `{"v":1,"id":…,"child":…,"kind":"assessment","body":{…},
//! "on":"2024-07-30","at":"2024-07-30T09:12:04Z","by":…,"site":…}`, with `follows` where it answers
//! another entry. The shape of every kind is pinned by a golden file; a change needs a new version and
//! an upcast, and old files stay readable. An entry is written in the first version that can hold it
//! ([`Body::version`]), so that a body no older than its shape is read by older programs too, and its
//! bytes never change. Each kind, and each field that is younger than its kind, declares the version that
//! brought it; an older entry reads with that field absent. Within a version an unknown field is refused
//! rather than dropped: nothing that somebody wrote down is lost in silence.

use crate::{
    ChildId, Day, EntryId, Finding, Severity, SiteId, Timestamp, UserId,
    field::{KindHooks, KindOfEntry, KindSpec, ShownValues},
    kinds,
};
use serde::{Serialize, Serializer, de::MapAccess};

/// The latest version of the wire form that this program reads and writes.
pub const VERSION: u16 = latest(Kind::ALL);

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
    ($($name:ident)*) => {
        /// What was seen or done: one variant per kind of entry.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Body {
            $(#[doc = concat!("See [`kinds::", stringify!($name), "`].")] $name(kinds::$name),)*
        }

        /// The kind of an entry, without its contents.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Kind {
            $(#[doc = concat!("See [`kinds::", stringify!($name), "`].")] $name,)*
        }

        impl Kind {
            /// Every kind.
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// What the kind declares about itself.
            #[must_use]
            pub const fn spec(self) -> &'static KindSpec {
                match self { $(Self::$name => &<kinds::$name as KindOfEntry>::SPEC,)* }
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
                match self { $(Self::$name(body) => KindOfEntry::inspect(body, on, findings),)* }
            }

            pub(crate) fn show(&self, shown: &mut ShownValues) {
                match self { $(Self::$name(body) => KindOfEntry::show(body, shown),)* }
            }

            pub(crate) fn own_sentence(&self) -> Option<String> {
                match self { $(Self::$name(body) => KindHooks::sentence(body),)* }
            }

            /// What follows from its values by adding them up (sub-scores and totals), each with its name.
            #[must_use]
            pub fn sums(&self) -> Vec<(&'static str, String)> {
                match self { $(Self::$name(body) => KindHooks::sums(body),)* }
            }

            /// The first version of the wire form that can hold it.
            #[must_use]
            pub fn version(&self) -> u16 {
                match self { $(Self::$name(body) => KindOfEntry::version(body),)* }
            }

            /// The foot this is about, where it is about one foot.
            #[must_use]
            pub fn side(&self) -> Option<crate::Side> {
                match self { $(Self::$name(body) => KindOfEntry::side(body),)* }
            }
        }

        $(impl From<kinds::$name> for Body {
            fn from(body: kinds::$name) -> Self { Self::$name(body) }
        })*
    };
}

for_every_kind! { bodies }

impl Kind {
    /// The key on the wire, `cast_applied`.
    #[must_use]
    pub const fn wire(self) -> &'static str {
        self.spec().wire
    }

    /// The human word, "cast applied".
    #[must_use]
    pub const fn words(self) -> &'static str {
        self.spec().words
    }

    /// From the key on the wire.
    #[must_use]
    pub fn from_wire(wire: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.wire() == wire)
    }
}

const fn latest(kinds: &[Kind]) -> u16 {
    match kinds {
        [] => 1,
        [first, rest @ ..] => {
            let (own, others) = (first.spec().latest(), latest(rest));
            if own > others { own } else { others }
        }
    }
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
                findings.push(Finding::refuse(field, "An entry cannot answer itself."));
            }
        }
    }

    /// The first reason to refuse this entry, if there is one.
    #[must_use]
    pub fn refusal(&self) -> Option<Finding> {
        self.findings().into_iter().find(|finding| finding.severity == Severity::Refuse)
    }
}

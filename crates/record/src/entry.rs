//! An entry and its wire form.
//!
//! On the wire an entry is one JSON object, `{"v":1,"id":…,"child":…,"kind":"assessment","body":{…},
//! "on":"2024-07-30","at":"2024-07-30T09:12:04Z","by":…,"site":…}`, with `follows` if it follows from
//! another entry. A golden file fixes the shape of every kind; a change needs a new version and an upcast,
//! and old files stay readable. An entry is written in the first version that can hold it
//! ([`Body::version`]), so that older programs can read it if they know its shape, and its bytes never
//! change. Each kind, and each field added to a kind later, declares the version that introduced it; in an
//! older entry that field is absent. An unknown field is an error and never dropped, so that nothing
//! recorded is lost unnoticed.

use crate::{
    ChildId, Day, EntryId, Finding, Severity, SiteId, Timestamp, UserId,
    kinds::{Body, Kind},
};

/// The latest version of the wire form that this program reads and writes.
pub const VERSION: u16 = latest(Kind::ALL);

/// Something seen or done, recorded once.
///
/// ```
/// use record::{Body, Entry, Kind, Side};
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
    /// The entry that it follows from, such as the appointment that was missed.
    pub follows: Option<EntryId>,
}

/// An entry that cannot be read from its wire form.
#[derive(Debug, thiserror::Error)]
pub enum WireError {
    /// Written by a later program.
    #[error("this entry has version {0}; this program reads up to version {VERSION}: update the program")]
    Newer(u16),
    /// A kind that this program does not know.
    #[error("“{0}” is not a kind of entry this program knows")]
    Kind(String),
    /// The JSON has not the expected shape.
    #[error("this entry cannot be read: {0}")]
    Json(#[from] serde_json::Error),
    /// It has a number that JSON cannot express.
    #[error("this entry cannot be written: {0}")]
    Unwritable(serde_json::Error),
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

    /// The problems of this entry by itself: refusals, then questions.
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
        if matches!(&self.body, Body::Sibling(link) if link.other == self.child) {
            findings.push(Finding::refuse("other", "A child is not its own brother or sister."));
        }
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

    /// The first refusal, if there is one.
    #[must_use]
    pub fn refusal(&self) -> Option<Finding> {
        self.findings().into_iter().find(|finding| finding.severity == Severity::Refuse)
    }
}

//! The forms for one kind of entry: `pages` reads the fields, and the bounds are checked here.

use super::reader::wrong;
use pages::fields::{self, FieldError, Filled};
use record::{Body, ChildId, Day, Entry, EntryId, Finding, Kind, Severity, SiteId, Timestamp, UserId};

/// What is out of bounds or unusual about a body by itself on a day.
pub(super) fn findings(body: &Body, on: Day) -> Vec<Finding> {
    let nobody = uuid::Uuid::nil();
    let entry = Entry {
        id: EntryId::new(nobody),
        child: ChildId::new(nobody),
        body: body.clone(),
        on,
        at: Timestamp::from_seconds(0),
        by: UserId::new(nobody),
        site: SiteId::new(nobody),
        follows: None,
    };
    entry.findings()
}

/// The reasons to refuse a body on a day.
pub(super) fn refusals(body: &Body, on: Day) -> impl Iterator<Item = Finding> {
    findings(body, on).into_iter().filter(|finding| finding.severity == Severity::Refuse)
}

/// Reads and checks the form of one kind.
///
/// # Errors
/// One sentence for each field that cannot be read or is out of bounds.
pub fn body_of(kind: Kind, filled: &Filled, on: Day) -> Result<Body, Vec<FieldError>> {
    let body = fields::body_of(kind, filled)?;
    let errors: Vec<_> = refusals(&body, on)
        .map(|finding| {
            wrong(kind.field_named(finding.field).unwrap_or_default(), crate::exit::sentence(&finding.text))
        })
        .collect();
    if errors.is_empty() { Ok(body) } else { Err(errors) }
}

/// The refusals of a body whose own fields were checked before, all at one field.
#[must_use]
pub fn refused(body: &Body, on: Day, field: &str) -> Vec<FieldError> {
    refusals(body, on).map(|finding| wrong(field, crate::exit::sentence(&finding.text))).collect()
}

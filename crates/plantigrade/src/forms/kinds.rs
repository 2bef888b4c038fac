//! One small form per kind of entry: its fields read by `pages`, its bounds judged here.

use super::reader::wrong;
use pages::fields::{self, FieldError, Filled};
use record::{Body, ChildId, Day, Entry, EntryId, Finding, Kind, Severity, SiteId, Timestamp, UserId};

/// What is odd about a body by itself on a day.
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

/// Reads and judges the form of one kind.
///
/// # Errors
/// One sentence per field that cannot be read or believed.
pub fn body_of(kind: Kind, filled: &Filled, on: Day) -> Result<Body, Vec<FieldError>> {
    let body = fields::body_of(kind, filled)?;
    let errors: Vec<_> = refusals(&body, on)
        .map(|finding| wrong(field_of(kind, finding.field), crate::exit::sentence(&finding.text)))
        .collect();
    if errors.is_empty() { Ok(body) } else { Err(errors) }
}

/// The refusals of a body whose own fields were judged before, all beside one field.
#[must_use]
pub fn refused(body: &Body, on: Day, field: &str) -> Vec<FieldError> {
    refusals(body, on).map(|finding| wrong(field, crate::exit::sentence(&finding.text))).collect()
}

/// The form's field for a finding: the one of that name, or the first whose path ends in it; otherwise
/// the form as a whole.
fn field_of(kind: Kind, finding: &str) -> String {
    let finding = match (kind, finding) {
        (Kind::Registration, "name") => "family_name",
        (Kind::Registration, "numbers") => "number",
        (Kind::Assessment, "pirani") => "pirani.lateral_border",
        (_, finding) => finding,
    };
    let names: Vec<_> = fields::of_kind(kind).into_iter().map(|field| field.name).collect();
    let ends = |name: &&std::borrow::Cow<'static, str>| name.rsplit('.').next() == Some(finding);
    let found = names.iter().find(|name| **name == finding).or_else(|| names.iter().find(ends));
    found.map(ToString::to_string).unwrap_or_default()
}

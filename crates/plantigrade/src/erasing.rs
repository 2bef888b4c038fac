//! Erasure on legal request, as the pages and the commands do it: what a request is about, what is typed to confirm
//! it, and what is forgotten with it.

use crate::{
    app::App,
    setting_history::{COPIES_FILE, SettingHistory},
};
use clinic::{ArchiveError, ClinicRecords, ErasureRequest, RecordHold};
use record::{ChildId, Day, Entry, EntryId, Kind};
use std::{collections::BTreeMap, path::Path};

/// Entries of a kind with the first and the last of their days.
pub type KindSpan = (Kind, usize, Day, Day);

/// The entries of a child that a request is about, of those that are left.
///
/// # Errors
/// When the records cannot be read.
pub fn concerned(
    records: &ClinicRecords,
    child: ChildId,
    wanted: Option<&[EntryId]>,
) -> Result<Vec<Entry>, ArchiveError> {
    let mut entries = records.entries(child)?;
    entries.retain(|entry| wanted.is_none_or(|wanted| wanted.contains(&entry.id)));
    Ok(entries)
}

/// Entries counted by kind, in the order of the kinds.
#[must_use]
pub fn by_kind(entries: &[Entry]) -> Vec<KindSpan> {
    let mut kinds: BTreeMap<&str, KindSpan> = BTreeMap::new();
    for entry in entries {
        let one = kinds.entry(entry.kind().wire()).or_insert((entry.kind(), 0, entry.on, entry.on));
        *one = (one.0, one.1 + 1, one.2.min(entry.on), one.3.max(entry.on));
    }
    kinds.into_values().collect()
}

/// What is typed to confirm an erasure: the number of the child, or where it has none the end of its id.
///
/// # Errors
/// When the records cannot be read.
pub fn typed_number(records: &ClinicRecords, child: ChildId) -> Result<String, ArchiveError> {
    let number = records.summary_of(child)?.and_then(|summary| summary.numbers.into_iter().next());
    Ok(number.unwrap_or_else(|| {
        let id = child.uuid().simple().to_string();
        id.get(id.len().saturating_sub(8)..).unwrap_or_default().to_owned()
    }))
}

/// Whether what was typed is the number.
#[must_use]
pub fn is_typed(number: &str, typed: &str) -> bool {
    let plain = |text: &str| text.trim().to_lowercase();
    !typed.trim().is_empty() && plain(number) == plain(typed)
}

/// The hold of a record that lasts on a day.
///
/// # Errors
/// When the records cannot be read.
pub fn hold_of(
    records: &ClinicRecords,
    child: ChildId,
    today: Day,
) -> Result<Option<RecordHold>, ArchiveError> {
    let mut holds = records.holds().in_force()?.into_iter();
    Ok(holds.find(|hold| hold.child == child && hold.until.is_some_and(|until| today <= until)))
}

/// "The whole record", "One entry", "3 entries".
#[must_use]
pub fn scope_words(request: &ErasureRequest) -> String {
    match request.request.entries.as_ref().map(Vec::len) {
        None => "The whole record".to_owned(),
        Some(1) => "One entry".to_owned(),
        Some(count) => format!("{count} entries"),
    }
}

/// The folders of the copies that were made on the page of copies.
#[must_use]
pub fn known_copies(dir: &Path) -> Vec<String> {
    let read = SettingHistory::of(dir, COPIES_FILE).read().unwrap_or_default();
    let shown = |change: crate::setting_history::SettingChange| {
        format!("{} ({})", change.to, crate::clock::local_words(change.at))
    };
    read.changes.into_iter().map(shown).collect()
}

impl App {
    /// Forgets what the running program holds of an erased child beside the records: drafts about it, and files that
    /// were uploaded for an import, in which it may be.
    pub fn forget_erased(&self, child: ChildId) {
        self.plans.forget_all();
        self.drafts.forget_child(child);
    }
}

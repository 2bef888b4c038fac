//! `import --list` and `import --undo`: imports so far, and undoing one of them.

use super::{Reading, print, print_json};
use crate::{
    cli::{DataArgs, ImportArgs},
    clock::Clock,
    exit::Failure,
    importing,
};
use clinic::{KeptEntry, PastImport, UndoPlan, UndoStamp};
use record::{ChildId, Day, EntryId, ImportId, Timestamp, UserId};
use serde::Serialize;
use std::fmt::Write as _;

/// Kept entries named in the text report.
const KEPT_NAMED: usize = 50;

/// The imports so far.
#[derive(Serialize)]
struct ImportList {
    imports: Vec<ListedImport>,
}

#[derive(Serialize)]
struct ListedImport {
    id: ImportId,
    file: String,
    at: Timestamp,
    entries: usize,
    children: usize,
    undone: Option<ListedUndo>,
}

#[derive(Serialize)]
struct ListedUndo {
    at: Timestamp,
    reason: String,
    withdrawn: usize,
    kept: usize,
}

/// What undoing an import did or would do.
#[derive(Serialize)]
struct UndoReport {
    import: ListedImport,
    withdrawn: usize,
    withdrawn_before: usize,
    children_gone: usize,
    kept_count: usize,
    kept: Vec<ListedKept>,
    written: bool,
}

#[derive(Serialize)]
struct ListedKept {
    entry: EntryId,
    child: ChildId,
    kind: &'static str,
    on: Day,
    why: &'static str,
    #[serde(skip)]
    words: String,
}

impl From<PastImport> for ListedImport {
    fn from(import: PastImport) -> Self {
        let undone = import.undone.map(|undone| ListedUndo {
            at: undone.at,
            reason: undone.reason,
            withdrawn: undone.withdrawn,
            kept: undone.kept,
        });
        let PastImport { id, file, at, entries, children, .. } = import;
        Self { id, file, at, entries, children, undone }
    }
}

impl From<&KeptEntry> for ListedKept {
    fn from(kept: &KeptEntry) -> Self {
        let (kind, why) = (kept.kind.wire(), kept.why.key());
        let words = format!("{} of {} ({})", kept.kind.words(), kept.on.words(), kept.why.words());
        Self { entry: kept.entry, child: kept.child, kind, on: kept.on, why, words }
    }
}

/// Lists the imports so far, the latest first.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn list(args: &ImportArgs) -> Result<(), Failure> {
    let reading = Reading::open(&args.signed.data)?;
    let imports = reading.records.past_imports()?.into_iter().map(ListedImport::from).collect();
    let list = ImportList { imports };
    if args.json { print_json(&list) } else { print(&list_text(&list)) }
}

// Writing to a string does not fail, so its result is ignored throughout.
fn list_text(list: &ImportList) -> String {
    let mut text = String::new();
    if list.imports.is_empty() {
        text.push_str("There are no imports that could be undone.\n");
    }
    for import in &list.imports {
        let when = crate::clock::local_words(import.at);
        let _ = writeln!(
            text,
            "{}  {when}  {}: {} entries about {} children",
            import.id, import.file, import.entries, import.children
        );
        if let Some(undone) = &import.undone {
            let when = crate::clock::local_words(undone.at);
            let _ = writeln!(
                text,
                "    undone on {when}: {} ({} entries withdrawn, {} kept)",
                undone.reason, undone.withdrawn, undone.kept
            );
        }
    }
    text
}

/// Undoes an import, or says what undoing it would do.
///
/// # Errors
/// When there is no such import, it was undone before, or the records cannot be used.
pub(super) fn undo(args: &ImportArgs, id: ImportId, signed_in: Option<UserId>) -> Result<(), Failure> {
    let reason = args.reason.clone().unwrap_or_default();
    if reason.trim().is_empty() {
        return Err(Failure::usage("A reason is needed, so that others can follow what happened."));
    }
    let plan = if args.check_only {
        Reading::open(&args.signed.data)?.records.plan_undo(id)?
    } else {
        write(&args.signed.data, id, reason, signed_in)?
    };
    let report = UndoReport::of(plan, !args.check_only);
    if args.json { print_json(&report) } else { print(&report.text()) }
}

fn write(
    data: &DataArgs,
    id: ImportId,
    reason: String,
    signed_in: Option<UserId>,
) -> Result<UndoPlan, Failure> {
    let (dir, clock) = (data.dir()?, Clock::new(data.today));
    let records = super::open_to_record(&dir, clock)?;
    let stamp = importing::command_line_stamp(&records, clock, signed_in)?;
    let stamp = UndoStamp { on: stamp.today, at: stamp.at, by: stamp.by, site: stamp.site, reason };
    Ok(records.undo_import(id, &stamp, clock.id(), &mut |_| {})?)
}

impl UndoReport {
    fn of(plan: UndoPlan, written: bool) -> Self {
        Self {
            withdrawn: plan.withdrawn.len(),
            withdrawn_before: plan.withdrawn_before,
            children_gone: plan.children_gone,
            kept_count: plan.kept.len(),
            kept: plan.kept.iter().map(ListedKept::from).collect(),
            import: plan.import.into(),
            written,
        }
    }

    fn text(&self) -> String {
        let mut text = String::new();
        let were = if self.written { "were" } else { "would be" };
        let _ = writeln!(
            text,
            "{}: {} of {} entries {were} withdrawn, {} {were} kept.",
            self.import.file, self.withdrawn, self.import.entries, self.kept_count
        );
        if self.withdrawn_before > 0 {
            let _ = writeln!(text, "{} had been withdrawn before.", self.withdrawn_before);
        }
        if self.children_gone > 0 {
            let _ = writeln!(text, "Nothing {were} left of {} children.", self.children_gone);
        }
        for kept in self.kept.iter().take(KEPT_NAMED) {
            let _ = writeln!(text, "  kept: {} (child {}, entry {})", kept.words, kept.child, kept.entry);
        }
        if self.kept.len() > KEPT_NAMED {
            let _ = writeln!(text, "  and {} more; --json names all", self.kept.len() - KEPT_NAMED);
        }
        text
    }
}

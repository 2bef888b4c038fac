//! Imports so far, and undoing one of them.

use crate::{
    app::App,
    clock,
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, State};
use clinic::{KeptEntry, PastImport, UndoPlan, UndoStamp};
use pages::{Frame, Here, KeptRow, PastImportRow, RequestError, UndoImportView};
use record::{Day, ImportId, UserId};

/// Kept entries shown.
const KEPT_SHOWN: usize = 300;
/// The longest reason, in characters.
const REASON_CHARS: usize = 400;

/// The list of imports.
pub async fn past(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let frame = app.frame(&visitor, Here::Import);
    let imports = work(&app, |app| {
        let imports = app.records.past_imports()?;
        Ok(imports.iter().map(|import| row(app, import)).collect::<Vec<_>>())
    });
    page(pages::past_imports(&frame, &imports.await?))
}

/// One import with what undoing it would do.
pub async fn form(State(app): State<Shared>, visitor: Visitor, Path(id): Path<String>) -> PageResult {
    let (id, frame) = (import_id(&id)?, app.frame(&visitor, Here::Import));
    page(work(&app, move |app| shown(app, &frame, id, String::new(), None)).await?)
}

/// Undoes an import.
pub async fn undo(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(id): Path<String>,
    Posted(filled): Posted,
) -> PageResult {
    let (id, by, frame) = (import_id(&id)?, visitor.user()?, app.frame(&visitor, Here::Import));
    let reason = filled.value("reason").trim().to_owned();
    let refused = refusal(&reason);
    let path = format!("/import/past/{id}");
    let result = work(&app, move |app| match refused {
        Some(text) => shown(app, &frame, id, reason, Some(text)).map(Some),
        None => write(app, id, by, reason).map(|()| None),
    });
    result.await?.map_or_else(|| to(&path), again)
}

fn refusal(reason: &str) -> Option<String> {
    let text = match reason.chars().count() {
        0 => "A reason is needed, so that others can follow what happened.",
        length if length > REASON_CHARS => "The reason is too long.",
        _ => return None,
    };
    Some(text.to_owned())
}

fn write(app: &App, id: ImportId, by: UserId, reason: String) -> Result<(), Fail> {
    let _one_at_a_time = app.importing.lock();
    let import = app.records.past_import(id)?.ok_or_else(Fail::not_found)?;
    // Sent twice, or by two people: the page says how it was undone.
    if import.undone.is_some() {
        return Ok(());
    }
    let stamp = UndoStamp { on: app.clock.today(), at: app.clock.now(), by, site: app.site, reason };
    app.records.undo_import(id, &stamp, app.clock.id(), &mut |_| {})?;
    Ok(())
}

fn import_id(text: &str) -> Result<ImportId, Fail> {
    text.parse().map_err(|_| Fail(RequestError::NotFound))
}

fn shown(
    app: &App,
    frame: &Frame,
    id: ImportId,
    reason: String,
    error: Option<String>,
) -> Result<maud::Markup, Fail> {
    let import = app.records.past_import(id)?.ok_or_else(Fail::not_found)?;
    let mut view = UndoImportView { import: row(app, &import), reason, error, ..UndoImportView::default() };
    if import.undone.is_none() {
        let UndoPlan { withdrawn, kept, withdrawn_before, children_gone, .. } = app.records.plan_undo(id)?;
        view.withdrawn = withdrawn.len();
        view.withdrawn_before = withdrawn_before;
        view.children_gone = children_gone;
        view.kept_in_all = kept.len();
        view.kept = kept.iter().take(KEPT_SHOWN).map(|kept| kept_row(app, kept)).collect::<Result<_, _>>()?;
    }
    Ok(pages::undo_import(frame, &view))
}

fn row(app: &App, import: &PastImport) -> PastImportRow {
    let undone = import.undone.as_ref().map(|undone| {
        let (when, who) = (clock::local_words(undone.at), app.name_of(undone.by));
        format!("{when}, by {who}: {} ({} withdrawn, {} kept)", undone.reason, undone.withdrawn, undone.kept)
    });
    PastImportRow {
        href: format!("/import/past/{}", import.id),
        file: import.file.clone(),
        when: clock::local_words(import.at),
        by: app.name_of(import.by),
        entries: import.entries,
        children: import.children,
        undone,
    }
}

fn kept_row(app: &App, kept: &KeptEntry) -> Result<KeptRow, Fail> {
    let record = app.known(kept.child, Day::LAST)?;
    Ok(KeptRow {
        href: format!("/child/{}/entry/{}", kept.child, kept.entry),
        what: format!("{}, {}", kept.kind.words(), kept.on.words()),
        child: app.who(&record.outlook.course).shown_name(),
        why: kept.why.words().to_owned(),
    })
}

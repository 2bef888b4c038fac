//! Restores a backup at the first start, through the link printed there: a new computer of an old clinic.

use super::start::{may_restore, usable};
use crate::{
    app::App,
    clock::local_words,
    door::{DoorOrder, RestoreOutcome, RestoreRequest},
    found_backups,
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, State};
use backups::BackupFile;
use pages::{
    BACKUP_FILE, BackupOnDisk, Here, OTHER_FILE, RESTORE_REASON, RestoreView, SECRET, fields::Filled,
};
use safekeeping::UnlockSecret;
use std::path::PathBuf;
use tokio::sync::oneshot;

/// The longest reason.
const REASON_CHARS: usize = 500;

/// The form.
pub async fn form(State(app): State<Shared>, visitor: Visitor, Path(token): Path<String>) -> PageResult {
    usable(&app, &token).await?;
    let frame = app.frame(&visitor, Here::Elsewhere);
    let view = work(&app, move |app| {
        if !may_restore(app)? {
            return Err(Fail::not_found());
        }
        let mut filled = Filled::default().with(RESTORE_REASON, "new computer");
        if let Some(RestoreOutcome::Failed(why)) = app.restore_outcome() {
            filled = filled.wrong("", why);
        }
        Ok(view(token, filled))
    });
    page(pages::restore(&frame, &view.await?))
}

fn view(token: String, filled: Filled) -> RestoreView {
    let of = |file: BackupFile| BackupOnDisk {
        path: file.path.display().to_string(),
        words: format!("{}, {} entries", local_words(file.header.at), file.header.entries),
    };
    RestoreView { token, found: found_backups::on_connected_disks().into_iter().map(of).collect(), filled }
}

/// Restores. Everything that can be judged before the records are closed is judged here.
pub async fn send(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(token): Path<String>,
    Posted(filled): Posted,
) -> PageResult {
    usable(&app, &token).await?;
    let frame = app.frame(&visitor, Here::Elsewhere);
    let read = work(&app, move |app| {
        if !may_restore(app)? {
            return Err(Fail::not_found());
        }
        let mut shown = Filled::default();
        for name in [BACKUP_FILE, OTHER_FILE, RESTORE_REASON] {
            shown = shown.with(name, filled.value(name));
        }
        Ok(order(app, &filled, &mut shown).ok_or_else(|| view(token, shown)))
    });
    let order = match read.await? {
        Ok(order) => order,
        Err(view) => return again(pages::restore(&frame, &view)),
    };
    let (begun, begins) = oneshot::channel();
    let orders = app.orders.as_ref().ok_or_else(Fail::not_found)?;
    orders
        .send(DoorOrder::Restore(Box::new(order), begun))
        .map_err(|_| Fail::fault("the program takes no orders"))?;
    // From then on every page says that the backup is being restored.
    let _ = begins.await;
    to("/")
}

/// What is to be restored; errors are added to the fields of `shown`.
fn order(app: &App, filled: &Filled, shown: &mut Filled) -> Option<RestoreRequest> {
    let mut wrong = |field: &str, text: String| *shown = std::mem::take(shown).wrong(field, text);
    let reason = filled.value(RESTORE_REASON).trim();
    match reason.chars().count() {
        0 => wrong(RESTORE_REASON, "Give the reason: it stays with the records.".to_owned()),
        1..=REASON_CHARS => {}
        _ => wrong(RESTORE_REASON, format!("The reason has more than {REASON_CHARS} characters.")),
    }
    let chosen = filled.given(BACKUP_FILE).or_else(|| filled.given(OTHER_FILE));
    let Some(path) = chosen.map(PathBuf::from) else {
        wrong(OTHER_FILE, "Name the file of the backup.".to_owned());
        return None;
    };
    let file = match BackupFile::open(&path) {
        Ok(file) => file,
        Err(error) => {
            wrong(OTHER_FILE, error.to_string());
            return None;
        }
    };
    let secret = match UnlockSecret::typed(filled.value(SECRET), None) {
        Ok(secret) => secret,
        Err(error) => {
            wrong(SECRET, error.to_string());
            return None;
        }
    };
    if let Err(error) = secret.unlock(&file.header.slots) {
        wrong(SECRET, error.to_string());
        return None;
    }
    let order = RestoreRequest { file: path, secret, reason: reason.to_owned(), at: app.clock.now() };
    shown.errors.is_empty().then_some(order)
}

//! Encryption of the records: its state, the offer, the recovery sheet, and changes of what unlocks.

use crate::{
    app::App,
    auth::{PASSPHRASE_HINT, PROGRAM_WORDS, PassphraseError, judge_passphrase},
    clock::{Clock, local_words},
    copies,
    door::DoorOrder,
    exit::Failure,
    folder_key::{self, not_unlocked},
    key_slots::{self, SheetGroups},
    rewriting::NewKey,
    sheet_steps::OpenSheet,
    unlock,
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Query, State};
use clinic::CAN_ENCRYPT;
use pages::{
    Frame, Here, Message, RequestError,
    encryption::{
        BACKED_UP, ENCRYPTION_PATH, EncryptionState, EncryptionView, FIRST_PATH, LAST_GROUP, OWN_PASSWORD,
        PASSPHRASE, PASSPHRASE_AGAIN, RecoverySheetView, SHEET_PASSWORD, SHEET_PATH, SPLIT, SheetPurpose,
    },
    fields::{Filled, settings::DO},
};
use record::UserId;
use safekeeping::{KeySlots, RecordsKey, RecoveryCode};
use serde::Deserialize;
use std::sync::Arc;
use tokio::sync::oneshot;

const INVENTED: &str = "This is the invented clinic. It is deleted when it ends, and is not encrypted.";
const ELSEWHERE: &str = "The records are not encrypted. End the program and run “plantigrade encrypt”: it cannot be done from this page.";

/// What was just done.
#[derive(Debug, Deserialize)]
pub struct EncryptionQuery {
    done: Option<String>,
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<EncryptionQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Settings);
    let encrypted = app.records.key().is_some();
    frame.message = match asked.done.as_deref() {
        Some("encrypted") if encrypted => {
            Some("The records are encrypted. The next start of the program asks for the passphrase.")
        }
        Some("passphrase") => Some("The passphrase is changed."),
        Some("sheet") => {
            Some("The new recovery code is in use. Keep the earlier sheet only for earlier backups.")
        }
        _ => None,
    }
    .map(|text| Message::Done(text.to_owned()));
    shown(
        work(&app, move |app| Ok(pages::encryption::encryption(&frame, &view(app, Filled::default())?)))
            .await?,
    )
}

/// The page of the first start.
pub async fn first(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let frame = app.frame(&visitor, Here::Elsewhere);
    let drawn = work(&app, move |app| {
        Ok(pages::encryption::first_encryption(&frame, &view(app, Filled::default())?))
    });
    shown(drawn.await?)
}

fn view(app: &App, filled: Filled) -> Result<EncryptionView, Fail> {
    let state = match app.records.key() {
        Some(_) => EncryptionState::Encrypted(unlock::words(&slots(app)?.1)),
        None if !CAN_ENCRYPT => EncryptionState::NoCipher,
        None if app.mode.invented => EncryptionState::NotHere(INVENTED),
        None if app.orders.is_none() => EncryptionState::NotHere(ELSEWHERE),
        None => EncryptionState::Plain,
    };
    Ok(EncryptionView { state, hint: PASSPHRASE_HINT, filled, trouble: app.key_trouble() })
}

fn slots(app: &App) -> Result<(RecordsKey, KeySlots), Fail> {
    let both = || {
        let key = folder_key::key_of(&app.dir)?;
        Ok::<_, Failure>(key.zip(folder_key::slots(&app.dir)?))
    };
    both().map_err(fail)?.ok_or_else(Fail::not_found)
}

fn fail(failure: Failure) -> Fail {
    Fail(RequestError::Refused(failure.sentence))
}

/// Takes a form of the page.
pub async fn change(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    asked(app, visitor, filled, false).await
}

/// Takes the form of the first start.
pub async fn first_change(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    asked(app, visitor, filled, true).await
}

/// What came of a form: where to go, or what is wrong.
type Outcome = Result<&'static str, Filled>;

async fn asked(app: Shared, visitor: Visitor, filled: Filled, first: bool) -> PageResult {
    let (frame, user) = (app.frame(&visitor, Here::Settings), visitor.user()?);
    let _permit = app.hashing.acquire().await;
    let done = work(&app, move |app| {
        if let Some(wrong) = wrong_password(app, &visitor, user, &filled)? {
            return Ok(Err((wrong, frame)));
        }
        let outcome = match filled.value(DO) {
            "encrypt" => begin(app, user, &filled, first),
            "passphrase" => new_passphrase(app, &filled),
            "sheet" => new_sheet(app, user, &filled),
            _ => Err(Fail::not_found()),
        };
        Ok(outcome?.map_err(|wrong| (wrong, frame)))
    });
    match done.await? {
        Ok(path) => to(path),
        Err((wrong, frame)) => {
            let drawn = work(&app, move |app| {
                let view = view(app, wrong)?;
                let draw =
                    if first { pages::encryption::first_encryption } else { pages::encryption::encryption };
                Ok(draw(&frame, &view))
            });
            again(drawn.await?)
        }
    }
}

/// The form with what is wrong, unless the password is that of the person. Passwords are not sent back.
fn wrong_password(
    app: &App,
    visitor: &Visitor,
    user: UserId,
    filled: &Filled,
) -> Result<Option<Filled>, Fail> {
    let account = app.records.accounts().account(user)?.ok_or_else(Fail::not_found)?;
    let field = if filled.value(DO) == "sheet" { SHEET_PASSWORD } else { OWN_PASSWORD };
    let right = app.is_password_of(visitor.attempt(), &account, filled.value(field))?;
    Ok((!right).then(|| Filled::default().wrong(field, "Your own password is wrong.")))
}

/// The new passphrase of a form, or what is wrong with it.
fn passphrase(app: &App, filled: &Filled) -> Result<String, Filled> {
    let (first, second) = (filled.value(PASSPHRASE), filled.value(PASSPHRASE_AGAIN));
    let clinic = app.settings().name.clone();
    judge_passphrase(&[&clinic, PROGRAM_WORDS], first, second).map(|()| first.to_owned()).map_err(|error| {
        let field = if error == PassphraseError::Differ { PASSPHRASE_AGAIN } else { PASSPHRASE };
        Filled::default().wrong(field, error.to_string())
    })
}

/// Makes the key and shows the recovery sheet. Nothing is encrypted yet.
fn begin(app: &App, user: UserId, filled: &Filled, first: bool) -> Result<Outcome, Fail> {
    if app.records.key().is_some() || !app.offers_encryption() {
        let text = if app.mode.invented { INVENTED } else { ELSEWHERE };
        return Err(Fail(RequestError::Refused(text.to_owned())));
    }
    let passphrase = match passphrase(app, filled) {
        Ok(passphrase) => passphrase,
        Err(wrong) => return Ok(Err(wrong)),
    };
    let (new, code) = key_slots::new_key(&passphrase).map_err(fail)?;
    let groups = SheetGroups::of(&code, filled.given(SPLIT).is_some());
    let sheet = OpenSheet { purpose: SheetPurpose::Encrypt, code, groups, new: Some(new), first };
    app.sheets.show(user, sheet, Clock::machine_seconds());
    Ok(Ok(SHEET_PATH))
}

fn new_passphrase(app: &App, filled: &Filled) -> Result<Outcome, Fail> {
    let (key, mut slots) = slots(app)?;
    let passphrase = match passphrase(app, filled) {
        Ok(passphrase) => passphrase,
        Err(wrong) => return Ok(Err(wrong)),
    };
    let set = slots.set_passphrase(&key, &passphrase).map_err(not_unlocked);
    set.and_then(|()| key_slots::save(&app.dir, &slots)).map_err(fail)?;
    Ok(Ok("/settings/encryption?done=passphrase"))
}

fn new_sheet(app: &App, user: UserId, filled: &Filled) -> Result<Outcome, Fail> {
    slots(app)?;
    let code = RecoveryCode::new();
    let groups = SheetGroups::of(&code, filled.given(SPLIT).is_some());
    let sheet = OpenSheet { purpose: SheetPurpose::NewSheet, code, groups, new: None, first: false };
    app.sheets.show(user, sheet, Clock::machine_seconds());
    Ok(Ok(SHEET_PATH))
}

/// The recovery sheet.
pub async fn sheet(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let (frame, user) = (app.frame(&visitor, Here::Settings), visitor.user()?);
    let drawn = work(&app, move |app| drawn_sheet(app, &frame, user, Filled::default()));
    drawn.await?.map_or_else(|| to(ENCRYPTION_PATH), shown)
}

fn drawn_sheet(app: &App, frame: &Frame, user: UserId, filled: Filled) -> Result<Option<maud::Markup>, Fail> {
    let Some(sheet) = app.sheets.of(user, Clock::machine_seconds()) else { return Ok(None) };
    let last = copies::last(&app.dir).map_err(|error| Fail::fault(&format!("the copies: {error}")))?;
    let view = RecoverySheetView {
        purpose: sheet.purpose,
        sheets: sheet.groups.sheets.clone(),
        folder: app.dir.display().to_string(),
        asks_for_backup: asks_for_backup(app, &sheet)?,
        last_copy: last.map(|line| local_words(line.at)),
        filled,
    };
    Ok(Some(pages::encryption::recovery_sheet(frame, &view)))
}

/// Where there is no entry yet there is nothing to lose.
fn asks_for_backup(app: &App, sheet: &OpenSheet) -> Result<bool, Fail> {
    Ok(sheet.purpose == SheetPurpose::Encrypt && app.records.mark()?.entries > 0)
}

/// Does what the sheet is for, once its last group was typed from paper.
pub async fn confirm(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (frame, user) = (app.frame(&visitor, Here::Settings), visitor.user()?);
    let now = Clock::machine_seconds();
    if filled.value(DO) == "leave" {
        let first = app.sheets.take(user, now).is_some_and(|sheet| sheet.first);
        return to(if first { FIRST_PATH } else { ENCRYPTION_PATH });
    }
    let checked = work(&app, move |app| {
        let Some(sheet) = app.sheets.of(user, now) else { return Ok(None) };
        let typed = filled.value(LAST_GROUP).trim().to_lowercase();
        let mut wrong = Filled::default();
        if sheet.groups.last_group() != Some(typed.as_str()) {
            wrong = wrong.wrong(LAST_GROUP, "This is not the last group. Type it from the paper.");
        }
        if asks_for_backup(app, &sheet)? && filled.given(BACKED_UP).is_none() {
            wrong = wrong.wrong("", "Make a copy of the records first, and say that there is one.");
        }
        if wrong.errors.is_empty() {
            return Ok(app.sheets.take(user, now).map(Ok));
        }
        Ok(drawn_sheet(app, &frame, user, wrong)?.map(Err))
    });
    match checked.await? {
        None => to(ENCRYPTION_PATH),
        Some(Err(page)) => again(page),
        Some(Ok(sheet)) => match sheet.new.clone() {
            Some(new) => encrypt_now(&app, new, sheet.first).await,
            None => use_new_code(&app, sheet).await,
        },
    }
}

async fn encrypt_now(app: &Shared, new: NewKey, first: bool) -> PageResult {
    let (begun, begins) = oneshot::channel();
    let orders = app.orders.as_ref().ok_or_else(Fail::not_found)?;
    let order = DoorOrder::Rewrite(Box::new(new), begun);
    orders.send(order).map_err(|_| Fail::fault("the program takes no orders"))?;
    // From then on every page says that the records are being encrypted.
    let _ = begins.await;
    to(if first { "/first-steps/clinic" } else { "/settings/encryption?done=encrypted" })
}

async fn use_new_code(app: &Shared, sheet: Arc<OpenSheet>) -> PageResult {
    let done = work(app, move |app| {
        let (key, mut slots) = slots(app)?;
        let set = slots.set_recovery_code(&key, &sheet.code).map_err(not_unlocked);
        set.and_then(|()| key_slots::save(&app.dir, &slots)).map_err(fail)
    });
    done.await?;
    to("/settings/encryption?done=sheet")
}

//! The clinic's letterhead: its lines, its logo, who signs, and people to whom families may talk.

use crate::{
    app::App,
    clinic_history::{SETTINGS_HISTORY, line},
    clock::local_words,
    letterhead_settings::{LetterheadList, LetterheadSettings},
    logo::{self, Logo, LogoRefused},
    setting_changes::{self, ChangeOutcome},
    setting_history::SettingHistory,
    trial_reading::{TrialError, TrialKind},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::{
    extract::{Multipart, Query, State},
    http::StatusCode,
};
use pages::{
    Frame, Here, LetterheadView, LogoShown, Message, RequestError,
    fields::{CSRF, FieldError, Filled},
};
use record::UserId;
use serde::Deserialize;
use std::io;

/// What was just saved.
#[derive(Debug, Deserialize)]
pub struct LetterheadQuery {
    done: Option<String>,
}

const PATH: &str = "/settings/letterhead";

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<LetterheadQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Settings);
    frame.message = asked.done.as_deref().and_then(message);
    shown(work(&app, move |app| Ok(drawn(app, &frame, None, None))).await?)
}

fn message(done: &str) -> Option<Message> {
    Some(match done {
        "saved" => Message::Done("The letterhead is saved. Documents have it from now on.".to_owned()),
        "same" => Message::Note("Nothing differs from what was saved before.".to_owned()),
        "logo" => Message::Done("The logo is saved. Documents have it from now on.".to_owned()),
        "no-logo" => Message::Done("The logo is removed.".to_owned()),
        _ => return None,
    })
}

fn filled(set: &LetterheadSettings) -> Filled {
    LetterheadList::ALL
        .into_iter()
        .fold(Filled::default(), |filled, list| filled.with(list.key(), set.text(list)))
}

fn drawn(app: &App, frame: &Frame, sent: Option<Filled>, logo_refused: Option<String>) -> maud::Markup {
    let logo = Logo::of_clinic(&app.dir);
    let view = LetterheadView {
        filled: sent.unwrap_or_else(|| filled(&app.settings().letterhead)),
        logo: logo.map(|logo| LogoShown { href: logo.for_documents().href(), words: logo.words() }),
        logo_refused,
    };
    pages::letterhead(frame, &view)
}

/// Saves the lines.
pub async fn save(State(app): State<Shared>, visitor: Visitor, Posted(sent): Posted) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Settings));
    let done = work(&app, move |app| {
        let mut read = LetterheadSettings::default();
        LetterheadList::ALL.into_iter().for_each(|list| read.put(list, sent.value(list.key())));
        let wrong = |list: LetterheadList| {
            let text = read.check_list(list).err()?;
            Some(FieldError { field: list.key().to_owned(), text })
        };
        let errors: Vec<FieldError> = LetterheadList::ALL.into_iter().filter_map(wrong).collect();
        if !errors.is_empty() {
            return Ok(Err(drawn(app, &frame, Some(Filled { errors, ..sent }), None)));
        }
        let outcome = setting_changes::change(app, by, None, |settings| {
            settings.letterhead = read;
            Ok(())
        })?;
        Ok(match outcome {
            ChangeOutcome::Saved => Ok("saved"),
            ChangeOutcome::Same => Ok("same"),
            ChangeOutcome::Newer(text) | ChangeOutcome::Refused(text) => {
                Err(drawn(app, &frame, Some(sent.wrong("", text)), None))
            }
        })
    });
    match done.await? {
        Ok(done) => to(&format!("{PATH}?done={done}")),
        Err(form) => again(form),
    }
}

/// Takes a logo.
pub async fn logo(State(app): State<Shared>, visitor: Visitor, form: Multipart) -> PageResult {
    let (csrf, bytes) = uploaded(form).await?;
    if !visitor.sent(&csrf) {
        return Err(Fail(RequestError::Stale));
    }
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Settings));
    let done = work(&app, move |app| match read_logo(app, &bytes) {
        Ok(logo) => {
            let replaced = replaced(app, by);
            kept(app, by, &logo.words(), || logo.keep(&app.dir, &replaced))?;
            Ok(Ok(()))
        }
        Err(why) => Ok(Err(drawn(app, &frame, None, Some(why)))),
    });
    match done.await? {
        Ok(()) => to(&format!("{PATH}?done=logo")),
        Err(form) => again(form),
    }
}

/// Reads a logo, in a child process first, so that no file ends the server.
fn read_logo(app: &App, bytes: &[u8]) -> Result<Logo, String> {
    app.trial.read(TrialKind::Logo, &[bytes]).map_err(|error| match error {
        TrialError::TooLong(_) | TrialError::Ended => LogoRefused::Damaged.to_string(),
        TrialError::NotStarted(_) => error.to_string(),
    })?;
    Logo::read(bytes).map_err(|why| why.to_string())
}

/// Removes the logo.
pub async fn remove_logo(State(app): State<Shared>, visitor: Visitor, Posted(_): Posted) -> PageResult {
    let by = visitor.user()?;
    work(&app, move |app| {
        if Logo::of_clinic(&app.dir).is_none() {
            return Ok(());
        }
        let replaced = replaced(app, by);
        kept(app, by, "", || logo::remove(&app.dir, &replaced))
    })
    .await?;
    to(&format!("{PATH}?done=no-logo"))
}

fn replaced(app: &App, by: UserId) -> String {
    format!("on {} by {}", local_words(app.clock.now()), app.name_of(by))
}

/// The line of the history first, so that no change is in force without it.
fn kept(app: &App, by: UserId, after: &str, write: impl FnOnce() -> io::Result<()>) -> Result<(), Fail> {
    let fault = |error: io::Error| Fail::fault(&format!("the logo cannot be saved: {error}"));
    let before = Logo::of_clinic(&app.dir).map(|logo| logo.words()).unwrap_or_default();
    let change = line(("logo", before, after.to_owned()), app.clock.now(), Some((by, app.name_of(by))));
    let history = SettingHistory::of(&app.dir, SETTINGS_HISTORY);
    let mark = history.append(&[change]).map_err(fault)?;
    if let Err(error) = write() {
        setting_changes::undone(history.take_back(mark));
        return Err(fault(error));
    }
    Ok(())
}

/// The token and the file of the form.
async fn uploaded(mut form: Multipart) -> Result<(String, Vec<u8>), Fail> {
    let broken = |error: axum::extract::multipart::MultipartError| match error.status() {
        StatusCode::PAYLOAD_TOO_LARGE => crate::web::too_large(crate::web::FILE_BYTES),
        _ => Fail(RequestError::Refused("The file broke off on the way.".to_owned())),
    };
    let (mut csrf, mut file) = (String::new(), Vec::new());
    while let Some(field) = form.next_field().await.map_err(broken)? {
        let name = field.name().unwrap_or_default().to_owned();
        let bytes = field.bytes().await.map_err(broken)?;
        match name.as_str() {
            "file" => file = bytes.to_vec(),
            CSRF => csrf = String::from_utf8_lossy(&bytes).into_owned(),
            _ => {}
        }
    }
    Ok((csrf, file))
}

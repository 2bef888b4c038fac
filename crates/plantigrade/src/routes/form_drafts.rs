//! Drafts of forms: saving one, filling a form with it, and the list.

use crate::{
    app::App,
    clock,
    drafts::{DraftContents, DraftError, DraftForm, due},
    web::{AnybodysForm, Fail, PageResult, Posted, Shared, Visitor, page as shown, to, work},
};
use axum::{
    Json,
    extract::{Query, State},
    http::StatusCode,
    response::IntoResponse,
};
use clinic::FormDraftRow;
use pages::{
    DraftRow, DraftsView, Frame, Here, RestoredDraft,
    fields::{CSRF, DISCARD, DRAFT, Filled, ONCE, SEEN},
};
use record::{ChildId, Day, EntryId, UserId};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

impl From<DraftError> for Fail {
    fn from(error: DraftError) -> Self {
        match error {
            DraftError::Records(error) => error.into(),
            other => Self::fault(&other.to_string()),
        }
    }
}

/// What the script is told about a draft.
#[derive(Serialize)]
struct DraftAnswer {
    /// The time at which it was saved; empty if it was not.
    saved: String,
    /// Why it was not saved; empty if it was.
    why: String,
}

/// Saves a draft. Whose it is follows from the token of the form: also a form whose session was locked or ended, or
/// whose device was switched to somebody else, stays that of the person who filled it in. Nothing is shown for it.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    AnybodysForm(filled): AnybodysForm,
) -> PageResult {
    let device = visitor.device_words();
    let kept = work(&app, move |app| {
        let form = DraftForm::of(filled.value(DRAFT));
        let (Some(person), Some(form)) = (owner(app, &visitor, &filled)?, form) else { return Ok(false) };
        keep(app, person, &form, &filled, device)
    });
    let (status, why) = match kept.await? {
        true => (StatusCode::OK, ""),
        false => (StatusCode::FORBIDDEN, "This form is saved already, or cannot be kept as a draft."),
    };
    let saved = if why.is_empty() { app.clock.time_of_day() } else { String::new() };
    Ok((status, Json(DraftAnswer { saved, why: why.to_owned() })).into_response())
}

/// Whose form it is, by its token.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn owner(app: &App, visitor: &Visitor, filled: &Filled) -> Result<Option<UserId>, Fail> {
    let csrf = filled.value(CSRF);
    match &visitor.who {
        Some(who) if visitor.sent(csrf) => Ok(Some(who.user)),
        _ if csrf.is_empty() => Ok(None),
        _ => Ok(app.records.accounts().person_of_form(csrf)?),
    }
}

/// Keeps a form as the draft of a person. Returns whether it is kept: a form that is saved already is not, nor one
/// that the person may not send.
///
/// # Errors
/// When the records cannot be read or written.
pub(super) fn keep(
    app: &App,
    person: UserId,
    form: &DraftForm,
    filled: &Filled,
    device: String,
) -> Result<bool, Fail> {
    if !app.has_right(person, form.needs)? {
        return Ok(false);
    }
    if is_saved(app, &filled.values)? {
        app.drafts.discard(person, &form.name)?;
        return Ok(false);
    }
    let of_form = filled.given(SEEN).and_then(|text| text.parse().ok());
    let seen = match (of_form, form.child) {
        (Some(seen), _) => Some(seen),
        (None, Some(child)) => Some(entries_of(app, child)?),
        (None, None) => None,
    };
    let mut values = filled.values.clone();
    values.retain(|name, _| name != CSRF && name != DRAFT);
    let contents = DraftContents { values, begun_on: app.clock.today(), seen };
    app.drafts.save(person, form, contents, (app.clock.now(), device))?;
    Ok(true)
}

/// How many entries a child has; a child who is not on record is not found.
fn entries_of(app: &App, child: ChildId) -> Result<usize, Fail> {
    Ok(app.known(child, app.clock.today())?.entries.len())
}

/// Whether a form with the token of this one was saved: its answer was lost then, or the draft came after it.
fn is_saved(app: &App, values: &std::collections::BTreeMap<String, String>) -> Result<bool, Fail> {
    let once = values.get(ONCE).and_then(|text| Uuid::parse_str(text).ok());
    let Some(once) = once else { return Ok(false) };
    Ok(app.records.entry(EntryId::new(Uuid::from_u128(once.as_u128() & !0xffff)))?.is_some())
}

/// Fills a form with the draft that a person has of it, and tells the frame; without a draft the form is as it was.
/// Either way the form is from now on one that is kept as a draft, under this name.
///
/// # Errors
/// When the records cannot be read.
pub fn begin(
    app: &App,
    person: UserId,
    name: &str,
    frame: &mut Frame,
    filled: Filled,
) -> Result<Filled, Fail> {
    Ok(restored(app, person, name, frame)?.unwrap_or(filled).with(DRAFT, name))
}

/// The values of the draft of a form, of which the frame then tells; `None` if there is no draft.
///
/// # Errors
/// When the records cannot be read.
pub fn restored(app: &App, person: UserId, name: &str, frame: &mut Frame) -> Result<Option<Filled>, Fail> {
    let Some(row) = app.drafts.find(person, name) else { return Ok(None) };
    let Some(form) = DraftForm::of(name) else { return Ok(None) };
    let contents = match app.drafts.contents(person, name) {
        Ok(Some(contents)) => contents,
        Ok(None) => return Ok(None),
        Err(error) => {
            tracing::error!("{error}");
            frame.restored.push(unreadable(name));
            return Ok(None);
        }
    };
    if is_saved(app, &contents.values)? {
        app.drafts.discard(person, name)?;
        return Ok(None);
    }
    let now = form.child.map(|child| entries_of(app, child)).transpose()?;
    frame.restored.push(notice(&form, &row, &contents, (app.clock.today(), now)));
    // The form is sent under its own new token.
    let values = contents.values.into_iter().filter(|(name, _)| name != ONCE);
    Ok(Some(values.collect()))
}

fn unreadable(name: &str) -> RestoredDraft {
    let text = "There is a draft of this form, and it cannot be opened: the file drafts.key is missing or another one, or the draft was changed.";
    RestoredDraft { form: name.to_owned(), words: vec![text.to_owned()], doubtful: true, values: Vec::new() }
}

/// What a person has to know about a draft that is filled in: from when it is, and whether it still holds.
fn notice(
    form: &DraftForm,
    row: &FormDraftRow,
    contents: &DraftContents,
    (today, entries): (Day, Option<usize>),
) -> RestoredDraft {
    let mut words = vec![format!("Draft of {} restored: not saved yet.", clock::local_words(row.saved_at))];
    let begun = contents.begun_on;
    if begun != today && form.dated {
        words
            .push(format!("It was begun on {}; its dates are as they were then. Check them.", begun.words()));
    } else if begun != today {
        words.push(format!(
            "It was begun on {}. This form has no day of its own: saved now, it counts for today, {}. If that is wrong, do not save it.",
            begun.words(),
            today.words()
        ));
    }
    let changed = contents.seen.zip(entries).is_some_and(|(then, now)| now != then);
    if changed {
        words.push("The child’s record has changed since the draft was begun. Check both.".to_owned());
    }
    let hidden = [ONCE, SEEN];
    let shown = contents
        .values
        .iter()
        .filter(|(name, value)| !hidden.contains(&name.as_str()) && !value.trim().is_empty());
    RestoredDraft {
        form: form.name.clone(),
        doubtful: changed || begun != today,
        values: shown.map(|(_, value)| value.clone()).collect(),
        words,
    }
}

/// Who comes from a form that somebody else filled in.
#[derive(Debug, Deserialize)]
pub struct DraftsQuery {
    filled_by: Option<String>,
}

/// The list.
pub async fn list(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(query): Query<DraftsQuery>,
) -> PageResult {
    let (frame, user) = (app.frame(&visitor, Here::Elsewhere), visitor.user()?);
    let view = work(&app, move |app| {
        let by: Option<UserId> = query.filled_by.and_then(|text| text.parse().ok());
        let filled_by = by.filter(|by| *by != user).map(|by| app.name_of(by));
        view(app, &visitor, user, filled_by)
    });
    shown(pages::drafts(&frame, &view.await?))
}

fn view(app: &App, visitor: &Visitor, user: UserId, filled_by: Option<String>) -> Result<DraftsView, Fail> {
    let mut view = DraftsView { filled_by, ..DraftsView::default() };
    for row in app.drafts.of(user) {
        let form = DraftForm::of(&row.form).filter(|form| visitor.may(form.needs));
        let Some(form) = form else {
            view.hidden += 1;
            continue;
        };
        let known = form.child.map(|child| app.known(child, app.clock.today())).transpose();
        // A child who is not on record any more has no page.
        let Ok(known) = known else {
            view.hidden += 1;
            continue;
        };
        view.rows.push(DraftRow {
            who: known.map(|known| app.who(&known.outlook.course)),
            saved: format!("on {} ({})", clock::local_words(row.saved_at), row.device),
            due: due(&row, app.clock.now()).map(|at| at.day().words()),
            form: form.name,
            words: form.words,
            href: form.page,
        });
    }
    Ok(view)
}

/// Discards a draft.
pub async fn discard(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (user, name) = (visitor.user()?, filled.value(DISCARD).to_owned());
    let page = DraftForm::of(&name).filter(|_| filled.value("then") == "page").map(|form| form.page);
    work(&app, move |app| Ok(app.drafts.discard(user, &name)?)).await?;
    to(page.as_deref().unwrap_or("/drafts"))
}

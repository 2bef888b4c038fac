//! What becomes of a form once it is answered: the draft of one that is saved is deleted, and one that could not be
//! taken, because its session was locked or ended or belongs to somebody else, is kept for the person who filled it in.

use super::{
    form_drafts::{keep, owner},
    gate::{self, AnsweredForm},
};
use crate::{
    drafts::DraftForm,
    web::{Fail, Shared, Visitor, work},
};
use axum::{
    extract::{Request, State},
    http::{StatusCode, header},
    middleware::Next,
    response::{IntoResponse, Redirect, Response},
};
use pages::{
    KeptForm, RequestError,
    fields::{DRAFT, Filled},
};
use record::UserId;

/// Looks at the form of every answer.
pub async fn look_after(State(app): State<Shared>, request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let Some(form) = response.extensions_mut().remove::<AnsweredForm>() else { return response };
    match &form.visitor.who {
        Some(who) if form.is_own => {
            if response.status() == StatusCode::SEE_OTHER {
                done(&app, who.user, &form.path, &form.filled).await;
            }
            response
        }
        _ if form.is_own => response,
        _ => match too_late(&app, &form.visitor, &form.path, form.filled).await {
            Some(answer) => with_cookies_of(&response, answer),
            None => response,
        },
    }
}

/// An answer in place of another, with the cookies that were to be set.
fn with_cookies_of(earlier: &Response, mut answer: Response) -> Response {
    for cookie in earlier.headers().get_all(header::SET_COOKIE) {
        answer.headers_mut().append(header::SET_COOKIE, cookie.clone());
    }
    answer
}

/// Deletes the draft of a form that is saved.
async fn done(app: &Shared, person: UserId, path: &str, filled: &Filled) {
    let Some(form) = DraftForm::sent_to(path, filled.value(DRAFT)) else { return };
    if app.drafts.find(person, &form.name).is_none() {
        return;
    }
    let deleted = work(app, move |app| Ok(app.drafts.discard(person, &form.name)?)).await;
    if let Err(Fail(error)) = deleted {
        tracing::error!("the draft of a form that is saved cannot be deleted: {error:?}");
    }
}

/// Answers a form that cannot be saved in the session in which it came: its session was locked or ended, or belongs
/// to somebody else. It is kept as a draft of the person who filled it in. `None` if that cannot be told, or the
/// form is none that is kept.
async fn too_late(app: &Shared, visitor: &Visitor, path: &str, filled: Filled) -> Option<Response> {
    let form = DraftForm::sent_to(path, filled.value(DRAFT))?;
    let (page, by, device) = (form.page.clone(), visitor.clone(), visitor.device_words());
    let kept = work(app, move |app| {
        let Some(person) = owner(app, &by, &filled)? else { return Ok(None) };
        let kept = keep(app, person, &form, &filled, device)?;
        Ok(kept.then(|| (person, app.name_of(person))))
    });
    let (person, name) = match kept.await {
        Ok(kept) => kept?,
        Err(fail) => return Some(super::request_error::answer(app, visitor, &fail.0)),
    };
    let is = |who: &Option<std::sync::Arc<crate::auth::SignedIn>>| {
        who.as_ref().is_some_and(|who| who.user == person)
    };
    if is(&visitor.who) {
        return Some(Redirect::to(&page).into_response());
    }
    if visitor.who.is_some() {
        let text = format!("{name} filled it in.");
        return Some(super::request_error::answer(app, visitor, &RequestError::FilledBy(text)));
    }
    if is(&visitor.locked) {
        let path = format!("/unlock?then={}", pages::parts::query_value(&page));
        return Some(Redirect::to(&path).into_response());
    }
    let kept = KeptForm { name, person: person.to_string() };
    Some(match super::sign_in::with_kept(app, visitor, gate::own_path(&page), kept).await {
        Ok(page) => (StatusCode::FORBIDDEN, page).into_response(),
        Err(fail) => super::request_error::answer(app, visitor, &fail.0),
    })
}

//! The page of a child’s photographs, and the family’s answer about them.

use super::shown;
use crate::{
    app::App,
    clock::local_words,
    forms,
    photograph_uploads::{PICTURE_BYTES, PICTURES_AT_ONCE},
    routes::submission::{Draft, Submission},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as show, to, work},
};
use axum::{
    extract::{Path, Query, State},
    http::{HeaderName, HeaderValue},
};
use maud::Markup;
use pages::{
    Frame, Here, Message, PhotographsView, WaitingShown,
    fields::{Filled, ON},
};
use record::{ChildId, Kind};
use serde::Deserialize;

/// Has a browser delete what it stored (W3C, Clear Site Data).
const CLEAR_SITE_DATA: HeaderName = HeaderName::from_static("clear-site-data");

/// What was just done.
#[derive(Debug, Deserialize)]
pub struct PhotographsQuery {
    done: Option<String>,
}

fn message(done: &str) -> Option<Message> {
    Some(Message::Done(
        match done {
            "saved" => "The photographs are saved.",
            "forgotten" => "The pictures are forgotten. None of them was kept.",
            "given" => "The consent is recorded.",
            "refused" => "Recorded: the family does not consent to photographs.",
            "withdrawn" => "Recorded: the family took its consent back. No photograph is shown from now on.",
            _ => return None,
        }
        .to_owned(),
    ))
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<PhotographsQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Child);
    frame.message = asked.done.as_deref().and_then(message);
    show(work(&app, move |app| drawn(app, &frame, child, None, Filled::default())).await?)
}

/// The page with why nothing was taken, or with what is wrong in the form of the answer.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn drawn(
    app: &App,
    frame: &Frame,
    child: ChildId,
    error: Option<String>,
    answer: Filled,
) -> Result<Markup, Fail> {
    let today = app.clock.today();
    let known = app.known(child, today)?;
    let strip = shown::strip_view(app, &known, today)?;
    let waiting = app.pictures().waiting_of(child)?.into_iter().map(|upload| {
        let count = i64::try_from(upload.pictures.len()).unwrap_or(i64::MAX);
        WaitingShown {
            href: format!("/child/{child}/photographs/upload/{}", upload.upload),
            words: format!(
                "{}, sent by {}, {}",
                pages::words::count(count, "picture", "pictures"),
                app.name_of(upload.by),
                local_words(upload.at)
            ),
        }
    });
    let view = PhotographsView {
        who: app.who(&known.outlook.course),
        consent: strip.consent,
        photographs: strip.photographs,
        hidden: strip.hidden,
        waiting: waiting.collect(),
        answer,
        error,
        most_at_once: PICTURES_AT_ONCE,
        most_bytes: PICTURE_BYTES,
        once: app.once().to_string(),
    };
    Ok(pages::photographs(frame, &view))
}

/// Records the answer of the family.
pub async fn answer(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let done = match filled.value("answer") {
        "given" => "given",
        "refused" => "refused",
        "withdrawn" => "withdrawn",
        _ => return Err(Fail::not_found()),
    };
    let saved = work(&app, move |app| {
        let today = app.clock.today();
        let whole = filled.clone().with("matter", "photographs").with(ON, today.to_string());
        let read = forms::body_of(Kind::Consent, &whole, today);
        let wrong = |errors| drawn(app, &frame, child, None, Filled { errors, ..filled.clone() }).map(Some);
        let body = match read {
            Ok(body) => body,
            Err(errors) => return wrong(errors),
        };
        let submission = Submission::of_form(app, child, by, &filled);
        match submission.save(app, vec![Draft::new(body, today)])?.or_form(&filled) {
            Ok(()) => Ok(None),
            Err(form) => drawn(app, &frame, child, None, form).map(Some),
        }
    });
    match saved.await? {
        None => {
            let mut answer = to(&format!("/child/{child}/photographs?done={done}"))?;
            if done == "withdrawn" {
                // Small pictures that this browser has stored; it does so on encrypted connections and this computer.
                answer.headers_mut().insert(CLEAR_SITE_DATA, HeaderValue::from_static("\"cache\""));
            }
            Ok(answer)
        }
        Some(form) => again(form),
    }
}

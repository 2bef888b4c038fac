//! Copies of the records.

use crate::{
    app::App,
    clock::local_words,
    copies::{self, CopyRefused},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Query, State};
use pages::{
    CopiesView, Frame, Here, Message,
    fields::{Filled, settings::FOLDER},
};
use serde::Deserialize;

/// What was just done.
#[derive(Debug, Deserialize)]
pub struct CopiesQuery {
    done: Option<String>,
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<CopiesQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Settings);
    let made = "The copy is written, and the check of it found nothing wrong.";
    frame.message = asked.done.filter(|done| done == "made").map(|_| Message::Done(made.to_owned()));
    shown(work(&app, move |app| drawn(app, &frame, Filled::default())).await?)
}

/// Makes a copy.
pub async fn make(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Settings));
    let done = work(&app, move |app| match copies::make(app, by, filled.value(FOLDER))? {
        Ok(_) => Ok(None),
        Err(CopyRefused(text)) => drawn(app, &frame, filled.wrong(FOLDER, text)).map(Some),
    });
    done.await?.map_or_else(|| to("/settings/copies?done=made"), again)
}

fn drawn(app: &App, frame: &Frame, filled: Filled) -> Result<maud::Markup, Fail> {
    let last = copies::last(&app.dir).map_err(|error| Fail::fault(&format!("the copies: {error}")))?;
    let last = last.map(|line| {
        let when = format!("{}, by {}", local_words(line.at), line.name.unwrap_or_default());
        (when, line.to, line.why.unwrap_or_default())
    });
    Ok(pages::copies(frame, &CopiesView { last, records: app.dir.display().to_string(), filled }))
}

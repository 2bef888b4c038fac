//! The page of one child, as of today or of any past day.

use super::day::day_of;
use crate::{
    app::App,
    web::{Fail, PageResult, Shared, Visitor, drawn, to, work},
};
use axum::extract::{Path, Query, State};
use clinic::ChildRecord;
use pages::{ChildView, Here, Message, RequestError};
use record::{ChildId, UserId};
use serde::Deserialize;
use std::collections::BTreeMap;

/// As of which day, and what was just saved.
#[derive(Debug, Deserialize)]
pub struct ChildQuery {
    as_of: Option<String>,
    done: Option<String>,
}

/// The id in a form or query.
///
/// # Errors
/// Not found, if it is not an id.
pub fn id<T: std::str::FromStr>(text: &str) -> Result<T, Fail> {
    text.parse().map_err(|_| Fail::not_found())
}

/// One child.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<ChildQuery>,
) -> PageResult {
    let as_of = day_of(&app, asked.as_of.as_deref())?;
    if as_of > app.clock.today() {
        return Err(Fail(RequestError::Refused(format!(
            "{} is in the future: the record cannot be shown as of that day.",
            as_of.words()
        ))));
    }
    let kept = work(&app, move |app| app.joined_into(child)).await?;
    if let (Some(kept), None) = (kept, &asked.as_of) {
        return to(&format!("/child/{kept}?done=joined-here"));
    }
    let mut frame = app.frame(&visitor, Here::Elsewhere);
    frame.message = asked.done.as_deref().and_then(message);
    let done = asked.done.filter(|_| frame.message.is_some()).unwrap_or_default();
    let reading = app.records.forecast_reading(as_of);
    let page = format!("/child/{child} {as_of} {done} {reading}");
    drawn(&app, &visitor, page, move |app| {
        let known = app.known(child, as_of)?;
        let writers = writers(app, &known);
        let forecasts = app.records.forecasts(&known.outlook.course)?;
        Ok(pages::child(
            &frame,
            &ChildView {
                outlook: &known.outlook,
                forecasts: &forecasts,
                entries: &known.entries,
                writers: &writers,
            },
        ))
    })
    .await
}

/// Names of those who wrote the entries of a child.
pub fn writers(app: &App, known: &ChildRecord) -> BTreeMap<UserId, String> {
    let mut names = BTreeMap::new();
    for entry in &known.entries {
        names.entry(entry.by).or_insert_with(|| app.name_of(entry.by));
    }
    names
}

/// What was just saved, from a fixed list, so that no address can put words on the page.
fn message(done: &str) -> Option<Message> {
    let text = match done {
        "visit" => "The visit is saved.",
        "entry" => "The entry is saved.",
        "corrected" => "The correction is saved. The earlier version stays readable.",
        "withdrawn" => "The entry is withdrawn. It stays readable, with the reason.",
        "registered" => "The child is registered.",
        "visit-child" => {
            "The visit is moved to the other child. Here it stays readable as withdrawn; the line of today leads to taking it back."
        }
        "visit-foot" => {
            "Right and left of the visit are exchanged. The line of today leads to taking it back."
        }
        "visit-day" => "The visit is moved to the other day. The line of today leads to taking it back.",
        "visit-withdraw" => {
            "The visit is withdrawn. It stays readable; the line of today leads to taking it back."
        }
        "joined" => "The records are joined. The line of today leads to taking it back.",
        "joined-here" => "Two records of this child were joined; this is the one in use.",
        "taken-back" => "The step is taken back. What was recorded before holds again.",
        "called" => "The call is saved.",
        "moved" => "The appointment is moved.",
        "both" => {
            let text = "Your visit is saved. Somebody else recorded something about this child while you had the form open; both are saved. Check below that they agree.";
            return Some(Message::Warning(text.to_owned()));
        }
        _ => return None,
    };
    Some(Message::Done(text.to_owned()))
}

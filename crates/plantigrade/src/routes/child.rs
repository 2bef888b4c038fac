//! The page of one child, as known today or on any day past.

use super::day::day_of;
use crate::{
    app::App,
    web::{Fail, PageResult, Shared, Visitor, drawn},
};
use axum::extract::{Path, Query, State};
use clinic::ChildRecord;
use pages::{ChildView, Here, Message, RequestError};
use record::{ChildId, UserId};
use serde::Deserialize;
use std::collections::BTreeMap;

/// As of which day, and what was just done.
#[derive(Debug, Deserialize)]
pub struct ChildQuery {
    as_of: Option<String>,
    done: Option<String>,
}

/// The id in an address.
///
/// # Errors
/// Not found, when it is none.
pub fn id<T: std::str::FromStr>(text: &str) -> Result<T, Fail> {
    text.parse().map_err(|_| Fail::not_found())
}

/// One child.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<String>,
    Query(asked): Query<ChildQuery>,
) -> PageResult {
    let child: ChildId = id(&child)?;
    let as_of = day_of(&app, asked.as_of.as_deref())?;
    if as_of > app.clock.today() {
        return Err(Fail(RequestError::Refused(format!(
            "{} has not come yet: the record cannot be shown as of it.",
            as_of.words()
        ))));
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

/// Names of those who wrote about a child.
pub fn writers(app: &App, known: &ChildRecord) -> BTreeMap<UserId, String> {
    let mut names = BTreeMap::new();
    for entry in &known.entries {
        names.entry(entry.by).or_insert_with(|| app.name_of(entry.by));
    }
    names
}

/// What was just done, from a closed list so that no address can put words on the page.
fn message(done: &str) -> Option<Message> {
    let text = match done {
        "visit" => "The visit is saved.",
        "entry" => "The entry is saved.",
        "corrected" => "The correction is saved. What was written before stays readable.",
        "withdrawn" => "The entry is withdrawn. It stays readable, with the reason.",
        "registered" => "The child is registered.",
        "both" => {
            let text = "Your visit is saved. Somebody else wrote about this child while you had the form open: both stand. Look below whether they agree.";
            return Some(Message::Warning(text.to_owned()));
        }
        _ => return None,
    };
    Some(Message::Done(text.to_owned()))
}

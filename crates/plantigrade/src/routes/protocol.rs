//! The protocol in force, the forms that change its values, and its history.

use super::settings::history_view;
use crate::{
    app::{App, PROTOCOL_FILE},
    protocol_changes::{self, ValueChange, ValueOutcome},
    protocol_history::{self, PROTOCOL_HISTORY},
    setting_history::{ReadHistory, SettingChange},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Path, Query, State};
use guidance::{Protocol, SettingControl};
use pages::{
    Frame, HelpTopic, Here, HistoryView, Message, ProtocolValueView, ProtocolView,
    fields::{self, Filled, settings as names},
};
use serde::Deserialize;

/// Every value with its source.
pub async fn page(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let file = app.dir.join(PROTOCOL_FILE);
    let clinic_file = file.exists().then(|| file.display().to_string());
    let protocol = app.protocol();
    let view = ProtocolView { settings: &protocol.settings, clinic_file };
    shown(pages::protocol(&app.frame(&visitor, Here::Protocol), &view))
}

/// What was just saved.
#[derive(Debug, Deserialize)]
pub struct ValueQuery {
    done: Option<String>,
}

/// One value with its form.
pub async fn value(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(key): Path<String>,
    Query(asked): Query<ValueQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Protocol);
    let saved = "The value is saved. Next steps, calls and lists follow it from now on.";
    frame.message = asked.done.filter(|done| done == "saved").map(|_| Message::Done(saved.to_owned()));
    shown(work(&app, move |app| drawn(app, &frame, &key, None)).await?)
}

/// Changes a value.
pub async fn change(State(app): State<Shared>, visitor: Visitor, form: PostedTo<String>) -> PageResult {
    let frame = app.frame(&visitor, Here::Protocol);
    let PostedTo { path: key, by, filled } = form;
    let place = format!("/protocol/value/{key}?done=saved");
    let done = work(&app, move |app| {
        let asked = ValueChange {
            entered: entered(&app.protocol(), &key, &filled)?,
            why: filled.value(names::WHY).to_owned(),
            seen: filled.value(fields::SEEN).to_owned(),
            key,
        };
        let (filled, newer) = match protocol_changes::change(app, by, &asked)? {
            ValueOutcome::Saved => return Ok(None),
            ValueOutcome::Value(text) => (filled.wrong(names::VALUE, text), None),
            ValueOutcome::Why(text) => (filled.wrong(names::WHY, text), None),
            ValueOutcome::Newer(text) => (filled, Some(text)),
        };
        drawn(app, &frame, &asked.key, Some((filled, newer))).map(Some)
    });
    done.await?.map_or_else(|| to(&place), again)
}

/// The parts that were entered; `None` for the published value.
fn entered(protocol: &Protocol, key: &str, filled: &Filled) -> Result<Option<Vec<String>>, Fail> {
    let setting = protocol.setting(key).ok_or_else(Fail::not_found)?;
    if filled.value(names::DO) == "back" {
        return Ok(None);
    }
    let value = filled.value(names::VALUE);
    Ok(Some(match setting.control {
        SettingControl::TwoEnds { .. } => {
            vec![value.to_owned(), filled.value(names::VALUE_TO).to_owned()]
        }
        SettingControl::Ascending { .. } => value.split([',', ';']).map(str::to_owned).collect(),
        _ => vec![value.to_owned()],
    }))
}

/// The page; with `sent`, the form as it was sent and what somebody else changed since it was shown.
fn drawn(
    app: &App,
    frame: &Frame,
    key: &str,
    sent: Option<(Filled, Option<String>)>,
) -> Result<maud::Markup, Fail> {
    let (protocol, read) = (app.protocol(), history_of(app)?);
    let setting = protocol.setting(key).ok_or_else(Fail::not_found)?;
    let (filled, newer) = sent.unwrap_or_else(|| (pages::filled_value(setting), None));
    let version = protocol_changes::version(setting, &read);
    // A form keeps the version from which it was made; after a newer change it is the version just shown.
    let of_form = filled.given(fields::SEEN).filter(|_| newer.is_none()).map(str::to_owned);
    let own = |change: &SettingChange| change.key == key;
    let of_value = ReadHistory { changes: read.changes.into_iter().filter(own).collect(), unreadable: 0 };
    let rows = history_view(&of_value, |_| (setting.label.to_owned(), None)).rows;
    let seen = of_form.unwrap_or(version);
    Ok(pages::protocol_value(frame, &ProtocolValueView { setting, filled, seen, newer, history: rows }))
}

fn history_of(app: &App) -> Result<ReadHistory, Fail> {
    protocol_history::history(&app.dir)
        .map_err(|error| Fail::fault(&format!("{PROTOCOL_HISTORY} cannot be read: {error}")))
}

/// The history of the protocol.
pub async fn history(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let frame = app.frame(&visitor, Here::Protocol);
    let read = work(&app, history_of).await?;
    let protocol = app.protocol();
    let what = |change: &SettingChange| match protocol.setting(&change.key) {
        Some(setting) => (setting.label.to_owned(), Some(format!("/protocol/value/{}", setting.key))),
        // A value of another version of this program.
        None => (change.key.clone(), None),
    };
    let view = HistoryView {
        topic: HelpTopic::Protocol,
        title: "History of the protocol",
        about: "Every change of a value: who made it, when, and why. Nothing here can be changed.",
        back: ("/protocol", "Protocol"),
        file: PROTOCOL_HISTORY,
        ..history_view(&read, what)
    };
    shown(pages::setting_history(&frame, &view))
}

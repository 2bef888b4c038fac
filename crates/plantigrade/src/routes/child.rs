//! The page of one child, as of today or of any past day.

use super::{day::day_of, day_loads::places};
use crate::{
    app::App,
    web::{DrawnPage, Fail, PageResult, Shared, Visitor, drawn_or_moved, work},
};
use axum::extract::{Path, Query, State};
use clinic::{ChildRecord, SharedDay, shared_day};
use guidance::Outlook;
use pages::{
    AddKind, ChildView, FamilyView, Frame, Here, Message, RequestError, SiblingView, TogetherView,
    fields::{self, Filled},
    parts::Who,
};
use record::{ChildId, Day, Side, UserId};
use serde::Deserialize;
use std::collections::BTreeMap;

/// As of which day, and what was just saved.
#[derive(Debug, Deserialize)]
pub struct ChildQuery {
    as_of: Option<String>,
    /// `all` for the page of all entries.
    entries: Option<String>,
    done: Option<String>,
    /// The fitting that was just saved, of which is said what it took out of stock.
    fitted: Option<String>,
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
    let (as_of, now) = (day_of(&app, asked.as_of.as_deref())?, asked.as_of.is_none());
    if as_of > app.clock.today() {
        return Err(Fail(RequestError::Refused(format!(
            "{} is in the future: the record cannot be shown as of that day.",
            as_of.words()
        ))));
    }
    let mut frame = app.frame(&visitor, Here::Child);
    frame.message = asked.done.as_deref().and_then(message);
    let (mut stock, fitted) = (String::new(), asked.fitted.filter(|_| frame.message.is_some()));
    if let Some(fitted) = fitted {
        stock = work(&app, move |app| super::stock_of_entry::said(app, child, &fitted)).await?;
        frame.message = frame.message.map(|message| message.with(&stock));
    }
    let done = asked.done.filter(|_| frame.message.is_some()).unwrap_or_default();
    let reading = app.records.forecast_reading(as_of);
    let all_entries = asked.entries.as_deref() == Some("all");
    let page = format!("/child/{child} {as_of} {now} {done} {all_entries} {reading} {stock}");
    drawn_or_moved(&app, &visitor, page, move |app| {
        let known = app.known(child, as_of)?;
        if let Some(kept) = course::joined_into(&known.entries).filter(|_| now) {
            return Ok(DrawnPage::MovedTo(format!("/child/{kept}?done=joined-here")));
        }
        let writers = writers(app, &known);
        let forecasts = app.records.forecasts(&known.outlook.course)?;
        let who = app.who(&known.outlook.course);
        let frame = Frame { message: frame.message.clone().map(|message| of_twin(message, &who)), ..frame };
        let angles = super::photographs::angles_of(app, &known, as_of)?;
        let view = ChildView {
            who,
            outlook: &known.outlook,
            forecasts: &forecasts,
            entries: &known.entries,
            writers: &writers,
            family: family(app, &known.outlook, as_of)?,
            photographs: super::photographs::strip(app, &known, as_of)?,
            angles: &angles,
        };
        let page = if all_entries { pages::all_entries(&frame, &view) } else { pages::child(&frame, &view) };
        Ok(DrawnPage::Page(page))
    })
    .await
}

/// The message with the name of a twin and of the other one, so that a visit saved for the wrong twin is noticed.
fn of_twin(message: Message, who: &Who) -> Message {
    let Some(words) = who.twin_words() else { return message };
    let named = |text: String| format!("{text} Child: {}. {words}", who.shown_name());
    match message {
        Message::Done(text) => Message::Done(named(text)),
        Message::Note(text) => Message::Note(named(text)),
        Message::Warning(text) => Message::Warning(named(text)),
    }
}

/// Brothers and sisters, and the days on which two of them can come together; days are proposed today only.
fn family(app: &App, outlook: &Outlook, as_of: Day) -> Result<FamilyView, Fail> {
    let (today, clinic, mut family) = (app.clock.today(), app.clinic_days(), FamilyView::default());
    for one in app.records.siblings(&outlook.course, as_of)? {
        let other = &one.record.outlook;
        let who = app.who(&other.course);
        let closed = who.restricted;
        if let Some(shared) =
            shared_day([outlook, other], today, &clinic).filter(|_| as_of == today && !closed)
        {
            let SharedDay { day, purposes, expected } = shared;
            let [own, theirs] = purposes.map(|purpose| places(app, &clinic, day, Some(purpose)));
            let (who, places) = (who.clone(), [own?, theirs?]);
            family.together.push(TogetherView { who, day, purposes, expected, places });
        }
        let (relation, entry) = (one.link.relation, one.link.entry);
        let carers = if closed { Vec::new() } else { other.course.about.carers.clone() };
        family.siblings.push(SiblingView { who, relation, entry, carers });
    }
    Ok(family)
}

/// Names of those who wrote the entries of a child.
pub fn writers(app: &App, known: &ChildRecord) -> BTreeMap<UserId, String> {
    let mut names = BTreeMap::new();
    for entry in &known.entries {
        names.entry(entry.by).or_insert_with(|| app.name_of(entry.by));
    }
    names
}

/// What is said after the form of a kind was saved: where it is about a foot, which.
pub fn done_for_feet(kind: AddKind, filled: &Filled) -> String {
    match filled.given(fields::SIDE) {
        Some(feet) if kind.takes_both_feet() => format!("{FEET}{}.{feet}", kind.key()),
        _ => "entry".to_owned(),
    }
}

/// Begins what [`done_for_feet`] says.
const FEET: &str = "feet.";

/// "Saved: relapse noted, right foot and left foot."
fn of_feet(done: &str) -> Option<String> {
    let (kind, feet) = done.strip_prefix(FEET)?.split_once('.')?;
    let kind = AddKind::from_key(kind).filter(|kind| kind.takes_both_feet())?;
    let named = |side: &&Side| feet == fields::BOTH_FEET || feet == side.word();
    let feet: Vec<String> = Side::BOTH.iter().filter(named).map(|side| format!("{side} foot")).collect();
    (!feet.is_empty()).then(|| format!("Saved: {}, {}.", kind.kind().words(), feet.join(" and ")))
}

/// What was just saved, from a fixed list, so that no address can put words on the page.
fn message(done: &str) -> Option<Message> {
    if let Some(text) = of_feet(done) {
        return Some(Message::Done(text));
    }
    let text = match done {
        "visit" => "The visit is saved.",
        "entry" => "The entry is saved.",
        "corrected" => "The correction is saved. The earlier version stays readable.",
        "withdrawn" => "The entry is withdrawn. It stays readable, with the reason.",
        "linked" => "The two records are linked.",
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

//! Putting calls off until a day, recorded as an attempt to reach the family.

use super::{
    form_drafts,
    submission::{Draft, Submission},
};
use crate::{
    app::App,
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, State};
use guidance::{
    Attention, Urgency,
    attention::put_off::{MOST_DAYS, PutOff},
};
use pages::{
    Frame, Here, PutOffView,
    fields::{DRAFT, Filled},
    put_off::{BECAUSE, REACHED, UNTIL, WAY, rule_field},
};
use record::{ChildId, ContactAttempt, ContactWay, Day};

/// The form, with the most urgent call selected.
pub async fn form(State(app): State<Shared>, visitor: Visitor, Path(child): Path<ChildId>) -> PageResult {
    let (mut frame, user) = (app.frame(&visitor, Here::Attention), visitor.user()?);
    let drawn = work(&app, move |app| {
        let name = format!("/child/{child}/put-off");
        let draft = form_drafts::restored(app, user, &name, &mut frame)?;
        shown(app, &frame, child, draft.map(|draft| draft.with(DRAFT, name)))
    });
    page(drawn.await?)
}

fn shown(app: &App, frame: &Frame, child: ChildId, filled: Option<Filled>) -> Result<maud::Markup, Fail> {
    let known = app.known(child, app.clock.today())?;
    let calls = can_be_put_off(&known.outlook.attention, app.clock.today());
    let chosen = || calls.first().map(|call| Filled::default().with(rule_field(call.rule), "yes"));
    let name = format!("/child/{child}/put-off");
    let filled = filled.unwrap_or_else(|| chosen().unwrap_or_default().with(DRAFT, name));
    let (who, once) = (app.who(&known.outlook.course), app.once().to_string());
    Ok(pages::put_off(frame, &PutOffView { who, calls, filled, once }))
}

/// Calls listed today that are not for the same day, the most urgent first, each rule once.
pub(super) fn can_be_put_off(calls: &[Attention], today: Day) -> Vec<Attention> {
    let listed = calls.iter().filter(|call| call.is_listed(today) && call.urgency != Urgency::Today);
    let mut listed: Vec<Attention> = listed.cloned().collect();
    listed.sort_by_key(|call| (call.urgency, call.from));
    let mut met = std::collections::HashSet::new();
    listed.retain(|call| met.insert(call.rule));
    listed
}

/// Saves the form.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Attention);
    let saved = work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let attempt = match read(&filled, &can_be_put_off(&known.outlook.attention, today), today) {
            Ok(attempt) => attempt,
            Err(filled) => return shown(app, &frame, child, Some(filled)).map(Some),
        };
        let submission = Submission::of_form(app, child, by, &filled);
        match submission.save(app, vec![Draft::new(attempt, today)])?.or_form(&filled) {
            Ok(()) => Ok(None),
            Err(filled) => shown(app, &frame, child, Some(filled)).map(Some),
        }
    });
    saved.await?.map_or_else(|| to("/attention"), again)
}

/// The attempt of a form, or the form with what is wrong.
fn read(filled: &Filled, calls: &[Attention], today: Day) -> Result<ContactAttempt, Filled> {
    let mut errors = Filled { errors: Vec::new(), ..filled.clone() };
    let chosen = calls.iter().filter(|call| filled.given(&rule_field(call.rule)).is_some());
    let rules: Vec<&'static str> = chosen.map(|call| call.rule).collect();
    if rules.is_empty() {
        errors = errors.wrong("", "Choose which calls to put off.");
    }
    let until: Option<Day> = filled.given(UNTIL).and_then(|text| text.parse().ok());
    let ahead = until.map(|until| until - today);
    if !ahead.is_some_and(|ahead| (1..=MOST_DAYS).contains(&ahead)) {
        let text = format!("Enter a day from tomorrow on, at most {MOST_DAYS} days ahead.");
        errors = errors.wrong(UNTIL, text);
    }
    let because = filled.given(BECAUSE);
    if because.is_none() {
        errors = errors.wrong(BECAUSE, "Enter the reason, so that the next person knows it.");
    }
    let way = filled.given(WAY).and_then(ContactWay::from_key);
    if way.is_none() {
        errors = errors.wrong(WAY, "Choose how you tried to reach the family.");
    }
    let reached = match filled.value(REACHED) {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    };
    if reached.is_none() {
        errors = errors.wrong(REACHED, "Choose whether the family was reached.");
    }
    let (Some(until), Some(because), Some(way), Some(reached), true) =
        (until, because, way, reached, errors.errors.is_empty())
    else {
        return Err(errors);
    };
    let note = PutOff { until, rules, because: because.to_owned() }.note();
    Ok(ContactAttempt { way, reached, whom: None, note: Some(note) })
}

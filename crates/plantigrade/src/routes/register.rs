//! Register a child.

use super::{
    form_drafts,
    submission::{Draft, Submission},
};
use crate::{
    app::App,
    forms::{self, FilledPerson},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page, to, work},
};
use axum::extract::State;
use clinic::Summary;
use pages::{
    Here, PossibleChild, RegisterView,
    fields::{self, Filled},
};
use record::{ChildId, Registration, UserId};
use std::collections::BTreeMap;

/// The most children shown as possible matches.
const OFFERED: usize = 8;

/// The form.
pub async fn form(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let (mut frame, user) = (app.frame(&visitor, Here::Register), visitor.user()?);
    let drawn = work(&app, move |app| {
        let filled = form_drafts::begin(app, user, "/register", &mut frame, Filled::default())?;
        Ok(pages::register(&frame, &RegisterView { filled, possible: Vec::new() }))
    });
    page(drawn.await?)
}

/// Registers the child, unless a similar child is on record and the user has not confirmed that they are
/// different.
pub async fn register(State(app): State<Shared>, visitor: Visitor, Posted(mut filled): Posted) -> PageResult {
    let frame = app.frame(&visitor, Here::Register);
    let person = match forms::person(&filled, app.clock.today()) {
        Ok(person) => person,
        Err(errors) => {
            filled.errors = errors;
            return again(pages::register(&frame, &RegisterView { filled, possible: Vec::new() }));
        }
    };
    let (sure, by) = (filled.given(fields::SURE) == Some("yes"), visitor.user()?);
    match work(&app, move |app| save(app, &person, sure, by)).await? {
        Saved::As(child) => to(&format!("/child/{child}?done=registered")),
        Saved::NotYet(possible) => again(pages::register(&frame, &RegisterView { filled, possible })),
    }
}

enum Saved {
    As(ChildId),
    NotYet(Vec<PossibleChild>),
}

fn save(app: &App, person: &FilledPerson, sure: bool, by: UserId) -> Result<Saved, Fail> {
    let possible = if sure { Vec::new() } else { possible_matches(app, &person.registration)? };
    if !possible.is_empty() {
        return Ok(Saved::NotYet(possible));
    }
    let child = ChildId::new(app.once());
    let today = app.clock.today();
    let drafts = person.bodies.iter().map(|body| Draft::new(body.clone(), today)).collect();
    Submission::new(app, child, by).save(app, drafts)?;
    Ok(Saved::As(child))
}

/// Children who may be the same child, with the reason.
fn possible_matches(app: &App, about: &Registration) -> Result<Vec<PossibleChild>, Fail> {
    let mut found: BTreeMap<ChildId, String> = BTreeMap::new();
    for number in &about.numbers {
        for child in app.records.by_number(number)? {
            found.entry(child).or_insert_with(|| format!("the same number, {number}"));
        }
    }
    let name = about.full_name();
    let hits = if name.is_empty() { Vec::new() } else { app.search(&name, OFFERED * 4)? };
    for hit in hits.into_iter().filter(|hit| hit.own) {
        if let Some(why) = likeness(about, &hit.summary, hit.exact) {
            found.entry(hit.summary.child).or_insert(why);
        }
    }
    let mut possible = Vec::new();
    for (child, why) in found.into_iter().take(OFFERED) {
        possible
            .push(PossibleChild { who: app.who(&app.known(child, app.clock.today())?.outlook.course), why });
    }
    Ok(possible)
}

/// Why two children with similar names may be the same; `None` if too little is alike.
fn likeness(about: &Registration, other: &Summary, exact: bool) -> Option<String> {
    let name = if exact { "the same name" } else { "a similar name" };
    match (about.born, other.born) {
        (Some(one), Some(two)) if one == two && !exact => {
            Some(format!("{name}, born on the same day: the same child, or a twin"))
        }
        (Some(one), Some(two)) if one == two => Some(format!("{name}, born on the same day")),
        (Some(_), Some(_)) => exact.then(|| format!("{name}, a different date of birth")),
        _ => Some(format!("{name}, and one date of birth is not known")),
    }
}

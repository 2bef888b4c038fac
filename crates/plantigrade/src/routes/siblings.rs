//! Brothers, sisters and twins: finds the other record and links the two.

use super::{
    child::id,
    find::search_text,
    form_drafts,
    submission::{Draft, Submission},
};
use crate::{
    app::App,
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Path, Query, State};
use clinic::{ArchiveError, ChildRecord};
use course::twins_contradict;
use pages::{Here, SiblingsView, fields::Filled, parts::Who, siblings::names};
use record::{BirthOrder, ChildId, Right, Sibling, SiblingRelation, UserId};
use serde::Deserialize;

/// The most children shown.
const SHOWN: usize = 12;

/// What stands for the search, and the child that was chosen.
#[derive(Debug, Deserialize)]
pub struct SiblingsQuery {
    search: Option<String>,
    with: Option<String>,
}

/// The page: search, or the form of a link once a child is chosen.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<SiblingsQuery>,
) -> PageResult {
    let with: Option<ChildId> = asked.with.as_deref().map(id).transpose()?;
    let (mut frame, user) = (app.frame(&visitor, Here::Child), visitor.user()?);
    let searched = app.searches.asked(user, asked.search.as_deref());
    let (query, is_over) = (search_text(searched.text.unwrap_or_default().trim()), searched.is_over);
    let drawn = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let chosen = with.map(|with| other(app, &known, with)).transpose()?;
        let mut filled = prefilled(&known, chosen.as_deref());
        if let Some(with) = with.filter(|_| frame.may(Right::RecordContact)) {
            let name = format!("/child/{child}/family?with={with}");
            filled = form_drafts::begin(app, user, &name, &mut frame, filled)?;
        }
        let view = view(app, &known, query, chosen.as_deref(), filled)?;
        Ok(pages::siblings(&frame, &SiblingsView { is_over, ..view }))
    });
    shown(drawn.await?)
}

/// The record of the other child, which is not the same.
fn other(app: &App, known: &ChildRecord, with: ChildId) -> Result<std::sync::Arc<ChildRecord>, Fail> {
    if with == known.outlook.course.child {
        return Err(Fail::not_found());
    }
    app.known(with, app.clock.today())
}

/// The birth orders that other links of the two give already.
fn prefilled(known: &ChildRecord, chosen: Option<&ChildRecord>) -> Filled {
    let order = |record: &ChildRecord| record.outlook.course.birth_order().map_or("", BirthOrder::key);
    Filled::default().with(names::OWN_ORDER, order(known)).with(names::OTHER_ORDER, chosen.map_or("", order))
}

fn view(
    app: &App,
    known: &ChildRecord,
    query: String,
    chosen: Option<&ChildRecord>,
    filled: Filled,
) -> Result<SiblingsView, Fail> {
    let course = &known.outlook.course;
    let today = app.clock.today();
    let linked = app
        .records
        .siblings(course, today)?
        .into_iter()
        .map(|one| (app.who(&one.record.outlook.course), one.link.relation, one.link.entry));
    Ok(SiblingsView {
        who: app.who(course),
        linked: linked.collect(),
        found: if chosen.is_some() { Vec::new() } else { found(app, known, &query)? },
        chosen: chosen.map(|chosen| app.who(&chosen.outlook.course)),
        query,
        is_over: false,
        filled,
        once: app.once().to_string(),
    })
}

/// What was searched, or who may be a brother or sister where nothing was.
fn found(app: &App, known: &ChildRecord, query: &str) -> Result<Vec<(Who, String)>, Fail> {
    let course = &known.outlook.course;
    let mut found: Vec<(ChildId, String)> = if query.is_empty() {
        let possible = app.records.possible_siblings(course)?.into_iter();
        // That a closed record may be of a brother or sister would tell whose it is.
        possible.filter(|one| !app.is_closed(one.child)).map(|one| (one.child, one.why)).collect()
    } else {
        let hits = app.search(query, SHOWN + 1)?.into_iter();
        hits.map(|hit| (hit.summary.child, format!("found because: {}", hit.why))).collect()
    };
    found.retain(|(child, _)| *child != course.child);
    found.truncate(SHOWN);
    let who = |(child, why): (ChildId, String)| {
        Ok((app.who(&app.known(child, app.clock.today())?.outlook.course), why))
    };
    found.into_iter().map(who).collect()
}

/// Links the two records, each to the other, in one transaction.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let saved = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let chosen = other(app, &known, id(filled.value(names::WITH))?)?;
        match read(&known, &chosen, &filled) {
            Ok(links) => link(app, &known, &chosen, links, (by, &filled)).map(|()| None),
            Err(filled) => view(app, &known, String::new(), Some(&chosen), filled).map(Some),
        }
    });
    match saved.await? {
        None => to(&format!("/child/{child}?done=linked")),
        Some(view) => again(pages::siblings(&frame, &view)),
    }
}

/// The entries of the two records, in the order in which the children are given, or the form with what is wrong.
fn read(known: &ChildRecord, chosen: &ChildRecord, filled: &Filled) -> Result<[Sibling; 2], Filled> {
    let (one, two) = (&known.outlook.course, &chosen.outlook.course);
    let wrong = |field: &str, text: &str| Err(filled.clone().wrong(field, text));
    let Some(relation) = filled.given(names::RELATION).and_then(SiblingRelation::from_key) else {
        return wrong(names::RELATION, "Choose how the two are related.");
    };
    let order = |name: &str| filled.given(name).and_then(BirthOrder::from_key);
    let (own, others) = (order(names::OWN_ORDER), order(names::OTHER_ORDER));
    if relation != SiblingRelation::Twin && own.or(others).is_some() {
        return wrong(names::RELATION, "A birth order is recorded for twins only.");
    }
    if own.is_some() && own == others {
        return wrong(names::OTHER_ORDER, "Two children cannot have the same place in the order of birth.");
    }
    if relation == SiblingRelation::Twin
        && let Some(text) = twins_contradict(&one.about, &two.about)
    {
        return wrong(names::RELATION, &text);
    }
    let of = |other: ChildId, birth_order| Sibling { birth_order, ..Sibling::of(other, relation) };
    Ok([of(two.child, own), of(one.child, others)])
}

fn link(
    app: &App,
    known: &ChildRecord,
    chosen: &ChildRecord,
    [own, back]: [Sibling; 2],
    (by, filled): (UserId, &Filled),
) -> Result<(), Fail> {
    let today = app.clock.today();
    let first = Submission::of_form(app, known.outlook.course.child, by, filled);
    let second = Submission::new(app, chosen.outlook.course.child, by);
    let mut entries = first.entries(app, vec![Draft::new(own, today)]);
    entries.extend(second.entries(app, vec![Draft::new(back, today)]));
    match app.append(entries)? {
        // The same form was saved before.
        Ok(_) | Err(ArchiveError::Duplicate(_)) => Ok(()),
        Err(error) => Err(error.into()),
    }
}

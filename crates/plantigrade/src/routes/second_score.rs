//! A second score of a foot, made blind, and both scores side by side once both are down.

use super::{
    child::id,
    write::{self, Draft, Pen, Written},
};
use crate::{
    app::App,
    forms,
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, State};
use clinic::ChildRecord;
use course::{
    CorrectedLog, Fate, Line,
    pairing::{self, NoPair, Rater},
};
use pages::{
    BothScoresView, Frame, Here, RequestError, ScoreShown, SecondScoreView,
    fields::{self, Filled},
    parts::Who,
};
use record::{Body, ChildId, Day, Entry, EntryId, SecondScore, Side, UserId};

/// What the blind form needs to know of the first score: which foot, which day; no more.
struct First {
    entry: EntryId,
    side: Side,
    on: Day,
}

/// The blind form.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, first)): Path<(String, String)>,
) -> PageResult {
    let (child, first): (ChildId, EntryId) = (id(&child)?, id(&first)?);
    let user = visitor.user()?;
    let frame = app.frame(&visitor, Here::Elsewhere);
    let shown = work(&app, move |app| {
        let known = app.known(child, Day::LAST)?;
        if let Some(own) = scored_already(app, &known, first, user) {
            return Ok(Err(own));
        }
        let first = opened(app, &known, first, user)?;
        blind(app, &frame, child, &first, Filled::default()).map(Ok)
    });
    match shown.await? {
        Ok(form) => page(form),
        Err(own) => to(&format!("/child/{child}/both-scores/{own}")),
    }
}

fn blind(
    app: &App,
    frame: &Frame,
    child: ChildId,
    first: &First,
    filled: Filled,
) -> Result<maud::Markup, Fail> {
    let who = Who::of(&app.known(child, app.clock.today())?.outlook.course);
    let once = app.once().to_string();
    let view = SecondScoreView { who, side: first.side, on: first.on, first: first.entry, filled, once };
    Ok(pages::second_score(frame, &view))
}

/// The second score that somebody has made of this first one already.
fn scored_already(app: &App, known: &ChildRecord, first: EntryId, user: UserId) -> Option<EntryId> {
    let pairs = pairing::pairs(&known.entries, Day::LAST);
    let own = pairs.into_iter().find(|(_, pair)| {
        pair.is_ok_and(|pair| pair.scores[0].entry == first && is(app, pair.scores[1].rater, user))
    });
    own.map(|(second, _)| second)
}

/// Whether a rater is the person of an account: by account, or by the name on the sheet.
fn is(app: &App, rater: Rater<'_>, user: UserId) -> bool {
    match rater {
        Rater::Writer(writer) => writer == user,
        Rater::Named(name) => plain_name(name) == plain_name(&app.name_of(user)),
    }
}

/// A name without what follows its comma ("Maren Aldous, physiotherapist"), in small letters.
fn plain_name(name: &str) -> String {
    name.split(',').next().unwrap_or(name).trim().to_lowercase()
}

/// The first score, if this person may score the foot without having scored it before.
fn opened(app: &App, known: &ChildRecord, first: EntryId, user: UserId) -> Result<First, Fail> {
    let refuse = |why: NoPair| Fail(RequestError::Refused(why.sentence()));
    let reading = CorrectedLog::of(&known.entries, Day::LAST);
    let Some(line) = reading.line(first) else { return Err(refuse(missing(app, first)?)) };
    let Body::Assessment(seen) = line.body else { return Err(refuse(NoPair::NoScore)) };
    if matches!(line.fate, Fate::Withdrawn { .. }) {
        return Err(refuse(NoPair::Withdrawn));
    }
    if seen.pirani.is_empty() && seen.dimeglio.is_empty() {
        return Err(refuse(NoPair::NoScore));
    }
    if knows(app, line, user) {
        let text = "You wrote the first score of this foot, so you cannot score it again without knowing it. Let a colleague sign in and open this page.";
        return Err(Fail(RequestError::Refused(text.to_owned())));
    }
    Ok(First { entry: first, side: seen.side, on: line.on })
}

/// Whether somebody made the first score, wrote it down or put it right.
fn knows(app: &App, line: &Line<'_>, user: UserId) -> bool {
    line.entry.by == user || is(app, pairing::rater(line), user)
}

/// Why an entry is not among those of the child.
fn missing(app: &App, entry: EntryId) -> Result<NoPair, Fail> {
    Ok(if app.records.entry(entry)?.is_some() { NoPair::OtherChild } else { NoPair::Unknown })
}

/// Saves it.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, first)): Path<(String, String)>,
    Posted(filled): Posted,
) -> PageResult {
    let (child, first): (ChildId, EntryId) = (id(&child)?, id(&first)?);
    let by = visitor.user()?;
    let frame = app.frame(&visitor, Here::Elsewhere);
    let saved = work(&app, move |app| {
        let known = app.known(child, Day::LAST)?;
        let first = opened(app, &known, first, by)?;
        let pen = Pen { child, by, once: write::once(app, filled.value(fields::ONCE)) };
        match written(app, &known, pen, &first, &filled)? {
            Ok(second) => Ok(Ok(second)),
            Err(filled) => blind(app, &frame, child, &first, filled).map(Err),
        }
    });
    match saved.await? {
        Ok(second) => to(&format!("/child/{child}/both-scores/{second}?done=1")),
        Err(form) => again(form),
    }
}

/// Writes the form, or gives it back with what is wrong.
fn written(
    app: &App,
    known: &ChildRecord,
    pen: Pen,
    first: &First,
    filled: &Filled,
) -> Result<Result<EntryId, Filled>, Fail> {
    let body = match forms::second_score(filled, first.side, first.entry, first.on) {
        Ok(body) => body,
        Err(errors) => return Ok(Err(Filled { errors, ..filled.clone() })),
    };
    let draft = Draft { follows: Some(first.entry), ..Draft::new(body, first.on) };
    let own = scored_already(app, known, first.entry, pen.by);
    let entries = pen.entries(app, vec![draft.clone()]);
    let Some(entry) = entries.into_iter().next() else { return Ok(Err(filled.clone())) };
    if own.is_some_and(|own| own != entry.id) {
        let text = "You have scored this foot already; a second time would not be blind. Correct that entry if it is wrong.";
        return Ok(Err(filled.clone().wrong("", text)));
    }
    let second = entry.id;
    if own.is_none()
        && let Some(text) = no_pair(app, &known.entries, entry)?
    {
        return Ok(Err(filled.clone().wrong("", text)));
    }
    match pen.write(app, vec![draft])? {
        Written::Now | Written::Before => Ok(Ok(second)),
        Written::Otherwise => Ok(Err(filled.clone().wrong("", super::add::SAVED_ALREADY))),
    }
}

/// Why an entry, were it written, would be no second score of a pair; nothing where it would be one.
fn no_pair(app: &App, entries: &[Entry], entry: Entry) -> Result<Option<String>, Fail> {
    let (id, first) = match &entry.body {
        Body::SecondScore(body) => (entry.id, body.first),
        _ => return Ok(None),
    };
    let replaced =
        |other: &Entry| other.id == id || matches!(&other.body, Body::Correction(body) if body.entry == id);
    let kept = entries.iter().filter(|other| !replaced(other)).cloned();
    let all: Vec<Entry> = kept.chain([entry]).collect();
    let found = pairing::pairs(&all, Day::LAST).into_iter().find(|(second, _)| *second == id);
    Ok(match (found, first) {
        (Some((_, Ok(_))), _) => None,
        (Some((_, Err(NoPair::Unknown))), Some(first)) => Some(missing(app, first)?.sentence()),
        (Some((_, Err(why))), _) => Some(why.sentence()),
        (None, _) => Some(NoPair::Withdrawn.sentence()),
    })
}

/// Why a second score may not be corrected to say this.
///
/// # Errors
/// When the records cannot be read.
pub fn refused(app: &App, entry: &Entry, second: &SecondScore, on: Day) -> Result<Option<String>, Fail> {
    let known = app.known(entry.child, Day::LAST)?;
    // As if it had been written so.
    no_pair(app, &known.entries, Entry { body: second.clone().into(), on, ..entry.clone() })
}

/// Both scores, once both are down.
pub async fn both(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, second)): Path<(String, String)>,
    axum::extract::Query(query): axum::extract::Query<Vec<(String, String)>>,
) -> PageResult {
    let (child, second): (ChildId, EntryId) = (id(&child)?, id(&second)?);
    let mut frame = app.frame(&visitor, Here::Elsewhere);
    if query.iter().any(|(name, value)| name == "done" && value == "1") {
        frame.message = Some(pages::Message::Done("The second score is saved.".to_owned()));
    }
    page(work(&app, move |app| beside(app, &frame, child, second)).await?)
}

fn beside(app: &App, frame: &Frame, child: ChildId, second: EntryId) -> Result<maud::Markup, Fail> {
    let known = app.known(child, Day::LAST)?;
    let entry = known.entries.iter().find(|entry| entry.id == second).ok_or_else(Fail::not_found)?;
    let Body::SecondScore(body) = &entry.body else { return Err(Fail::not_found()) };
    let found = pairing::pairs(&known.entries, Day::LAST).into_iter().find(|(id, _)| *id == second);
    let found = found.map_or(Err(None), |(_, pair)| pair.map_err(Some));
    let shown = |score: &pairing::PairedScore<'_>| ScoreShown {
        entry: score.entry,
        by: match score.rater {
            Rater::Writer(user) => app.name_of(user),
            Rater::Named(name) => name.to_owned(),
        },
        pirani: score.pirani,
        dimeglio: score.dimeglio,
    };
    let view = BothScoresView {
        who: Who::of(&app.known(child, app.clock.today())?.outlook.course),
        side: found.map_or(body.side, |pair| pair.side),
        on: found.map_or(entry.on, |pair| pair.on),
        amended: found.is_ok_and(|pair| pair.amended),
        scores: match &found {
            Ok(pair) => Ok([shown(&pair.scores[0]), shown(&pair.scores[1])]),
            Err(Some(why)) => Err(why.sentence()),
            Err(None) => Err("The second score was withdrawn.".to_owned()),
        },
    };
    Ok(pages::both_scores(frame, &view))
}

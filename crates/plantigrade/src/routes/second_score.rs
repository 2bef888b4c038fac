//! A second, blind score of a foot, and both scores side by side once both are saved.

use super::{
    form_drafts,
    submission::{Draft, Submission},
};
use crate::{
    app::App,
    forms,
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, State};
use clinic::ChildRecord;
use course::{
    CorrectedLog, Fate, Line,
    pairing::{self, NoPair, Rater},
};
use pages::{BothScoresView, Frame, Here, RequestError, ScoreShown, SecondScoreView, fields::Filled};
use record::{Body, ChildId, Day, Entry, EntryId, SecondScore, Side, UserId};

/// What the blind form may know of the first score: which foot and which day, nothing else.
struct First {
    entry: EntryId,
    side: Side,
    on: Day,
}

/// The blind form.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, first)): Path<(ChildId, EntryId)>,
) -> PageResult {
    let user = visitor.user()?;
    let mut frame = app.frame(&visitor, Here::Child);
    let shown = work(&app, move |app| {
        let known = app.known(child, Day::LAST)?;
        if let Some(own) = scored_already(app, &known, first, user) {
            return Ok(Err(own));
        }
        let first = opened(app, &known, first, user)?;
        let name = format!("/child/{child}/second-score/{}", first.entry);
        let filled = form_drafts::begin(app, user, &name, &mut frame, Filled::default())?;
        blind(app, &frame, child, &first, filled).map(Ok)
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
    let who = app.who(&app.known(child, app.clock.today())?.outlook.course);
    let once = app.once().to_string();
    let view = SecondScoreView { who, side: first.side, on: first.on, first: first.entry, filled, once };
    Ok(pages::second_score(frame, &view))
}

/// Whether a user may score a foot a second time without having seen the first score.
pub(super) fn may_score_again(app: &App, known: &ChildRecord, first: EntryId, user: UserId) -> bool {
    let reading = CorrectedLog::of(&known.entries, Day::LAST);
    reading.line(first).is_some_and(|line| !knows(app, line, user))
}

/// The second score that a user has already made for a first score.
fn scored_already(app: &App, known: &ChildRecord, first: EntryId, user: UserId) -> Option<EntryId> {
    let pairs = pairing::pairs(&known.entries, Day::LAST);
    let own = pairs.into_iter().find(|(_, pair)| {
        pair.is_ok_and(|pair| pair.scores[0].entry == first && is(app, pair.scores[1].rater, user))
    });
    own.map(|(second, _)| second)
}

/// Whether a rater is the user: by account, or by the name in the entry.
pub(super) fn is(app: &App, rater: Rater<'_>, user: UserId) -> bool {
    match rater {
        Rater::Writer(writer) => writer == user,
        Rater::Named(name) => plain_name(name) == plain_name(&app.name_of(user)),
    }
}

/// A name in lower case without what follows a comma ("Maren Aldous, physiotherapist").
fn plain_name(name: &str) -> String {
    name.split(',').next().unwrap_or(name).trim().to_lowercase()
}

/// The first score, if the user may score the foot and has not seen the first score.
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
        let text = "You recorded the first score of this foot, so a second score by you would not be blind. Ask a colleague to sign in and open this page.";
        return Err(Fail(RequestError::Refused(text.to_owned())));
    }
    Ok(First { entry: first, side: seen.side, on: line.on })
}

/// Whether the user made, recorded or corrected the first score.
fn knows(app: &App, line: &Line<'_>, user: UserId) -> bool {
    line.entry.by == user || is(app, pairing::rater(line), user)
}

/// Why an entry is not one of the child.
fn missing(app: &App, entry: EntryId) -> Result<NoPair, Fail> {
    Ok(if app.records.entry(entry)?.is_some() { NoPair::OtherChild } else { NoPair::Unknown })
}

/// Saves the form.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: (child, first), by, filled }: PostedTo<(ChildId, EntryId)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let saved = work(&app, move |app| {
        let known = app.known(child, Day::LAST)?;
        let first = opened(app, &known, first, by)?;
        let submission = Submission::of_form(app, child, by, &filled);
        match saved(app, &known, submission, &first, &filled)? {
            Ok(second) => Ok(Ok(second)),
            Err(filled) => blind(app, &frame, child, &first, filled).map(Err),
        }
    });
    match saved.await? {
        Ok(second) => to(&format!("/child/{child}/both-scores/{second}?done=1")),
        Err(form) => again(form),
    }
}

/// Saves the second score, or returns the form with what is wrong.
fn saved(
    app: &App,
    known: &ChildRecord,
    submission: Submission,
    first: &First,
    filled: &Filled,
) -> Result<Result<EntryId, Filled>, Fail> {
    let body = match forms::second_score(filled, first.side, first.entry, first.on) {
        Ok(body) => body,
        Err(errors) => return Ok(Err(Filled { errors, ..filled.clone() })),
    };
    let draft = Draft { follows: Some(first.entry), ..Draft::new(body, first.on) };
    let own = scored_already(app, known, first.entry, submission.by);
    let entries = submission.entries(app, vec![draft.clone()]);
    let Some(entry) = entries.into_iter().next() else { return Ok(Err(filled.clone())) };
    if own.is_some_and(|own| own != entry.id) {
        let text = "You have already scored this foot; scoring it again would not be blind. If your score is wrong, correct that entry.";
        return Ok(Err(filled.clone().wrong("", text)));
    }
    let second = entry.id;
    if own.is_none()
        && let Some(text) = no_pair(app, &known.entries, entry)?
    {
        return Ok(Err(filled.clone().wrong("", text)));
    }
    Ok(submission.save(app, vec![draft])?.or_form(filled).map(|()| second))
}

/// Why an entry would not be the second score of a pair if it were saved; `None` if it would.
fn no_pair(app: &App, entries: &[Entry], entry: Entry) -> Result<Option<String>, Fail> {
    let (id, first) = match &entry.body {
        Body::SecondScore(body) => (entry.id, body.first),
        _ => return Ok(None),
    };
    let replaced =
        |other: &Entry| other.id == id || matches!(&other.body, Body::Correction(body) if body.entry == id);
    let others = entries.iter().filter(|other| !replaced(other)).cloned();
    let all: Vec<Entry> = others.chain([entry]).collect();
    let found = pairing::pairs(&all, Day::LAST).into_iter().find(|(second, _)| *second == id);
    Ok(match (found, first) {
        (Some((_, Ok(_))), _) => None,
        (Some((_, Err(NoPair::Unknown))), Some(first)) => Some(missing(app, first)?.sentence()),
        (Some((_, Err(why))), _) => Some(why.sentence()),
        (None, _) => Some(NoPair::Withdrawn.sentence()),
    })
}

/// Why a second score may not be corrected in this way.
///
/// # Errors
/// When the records cannot be read.
pub fn refused(app: &App, entry: &Entry, second: &SecondScore, on: Day) -> Result<Option<String>, Fail> {
    let known = app.known(entry.child, Day::LAST)?;
    // As if it had been saved with these contents.
    no_pair(app, &known.entries, Entry { body: second.clone().into(), on, ..entry.clone() })
}

/// Both scores.
pub async fn both(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, second)): Path<(ChildId, EntryId)>,
    axum::extract::Query(query): axum::extract::Query<Vec<(String, String)>>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Child);
    if query.iter().any(|(name, value)| name == "done" && value == "1") {
        frame.message = Some(pages::Message::Done("The second score is saved.".to_owned()));
    }
    page(work(&app, move |app| side_by_side(app, &frame, child, second)).await?)
}

fn side_by_side(app: &App, frame: &Frame, child: ChildId, second: EntryId) -> Result<maud::Markup, Fail> {
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
        who: app.who(&app.known(child, app.clock.today())?.outlook.course),
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

//! The page of a child’s photographs, and the family’s answer about them.

use super::shown;
use crate::{
    app::App,
    clock::local_words,
    forms,
    photograph_uploads::{PICTURE_BYTES, PICTURES_AT_ONCE},
    routes::submission::{Draft, Submission},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as show, to, work},
};
use axum::{
    extract::{Path, Query, State},
    http::{HeaderName, HeaderValue},
};
use clinic::{ChildRecord, MediaConsent, PhotographUses};
use letters::LastHanded;
use maud::Markup;
use pages::{
    Frame, HandedLetterShown, Here, Message, PHOTOGRAPH_USES, PhotographsView, WaitingShown,
    fields::{self, Filled, ON},
};
use record::{Body, ChildId, ConsentMatter, CorrectedLog, Day, DocumentHanded, EntryId, Kind};
use serde::Deserialize;
use std::collections::HashMap;

/// Has a browser delete what it stored (W3C, Clear Site Data).
const CLEAR_SITE_DATA: HeaderName = HeaderName::from_static("clear-site-data");

/// What was just done.
#[derive(Debug, Deserialize)]
pub struct PhotographsQuery {
    done: Option<String>,
}

fn message(done: &str) -> Option<Message> {
    Some(Message::Done(
        match done {
            "saved" => "The photographs are saved.",
            "forgotten" => "The pictures are forgotten. None of them was kept.",
            "given" => "The consent is recorded.",
            "refused" => "Recorded: the family does not consent to photographs.",
            "withdrawn" => "Recorded: the family took its consent back. No photograph is shown from now on.",
            _ => return None,
        }
        .to_owned(),
    ))
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<PhotographsQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Child);
    frame.message = asked.done.as_deref().and_then(message);
    show(work(&app, move |app| drawn(app, &frame, child, None, Filled::default())).await?)
}

/// The page with why nothing was taken, or with what is wrong in the form of the answer.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn drawn(
    app: &App,
    frame: &Frame,
    child: ChildId,
    error: Option<String>,
    answer: Filled,
) -> Result<Markup, Fail> {
    let today = app.clock.today();
    let known = app.known(child, today)?;
    let strip = shown::strip_view(app, &known, today)?;
    let uses = PhotographUses::of(shown::consent_now(app, &known)?, &known.outlook.course);
    let answer =
        if answer.values.is_empty() && strip.consent.in_force { uses_filled(&known) } else { answer };
    let waiting = app.pictures().waiting_of(child)?.into_iter().map(|upload| {
        let count = i64::try_from(upload.pictures.len()).unwrap_or(i64::MAX);
        WaitingShown {
            href: format!("/child/{child}/photographs/upload/{}", upload.upload),
            words: format!(
                "{}, sent by {}, {}",
                pages::words::count(count, "picture", "pictures"),
                app.name_of(upload.by),
                local_words(upload.at)
            ),
        }
    });
    let in_force = strip.consent.in_force;
    let view = PhotographsView {
        who: app.who(&known.outlook.course),
        consent: strip.consent,
        photographs: strip.photographs,
        hidden: strip.hidden,
        uses: if in_force { uses_words(uses) } else { Vec::new() },
        handed: handed_letters(&known, uses, today),
        waiting: waiting.collect(),
        answer,
        error,
        most_at_once: PICTURES_AT_ONCE,
        most_bytes: PICTURE_BYTES,
        once: app.once().to_string(),
    };
    Ok(pages::photographs(frame, &view))
}

/// What they may be used for, in sentences.
fn uses_words(uses: PhotographUses) -> Vec<String> {
    let may = |may: bool, what: &str| {
        if may {
            format!("They may be {what}.")
        } else {
            format!("They may not be {what}: no yes is recorded.")
        }
    };
    vec![may(uses.letters, "in letters to colleagues"), may(uses.teaching, "shown in teaching")]
}

/// What is recorded in the consent about the uses, so that saving the form again changes nothing unasked.
fn uses_filled(known: &ChildRecord) -> Filled {
    let Some(seen) = known.outlook.course.preparation.consent(ConsentMatter::Photographs) else {
        return Filled::default();
    };
    let said = fields::values_of(&Body::from(seen.said.clone()));
    PHOTOGRAPH_USES.into_iter().fold(Filled::default(), |form, name| form.with(name, said.value(name)))
}

/// Letters that were handed over with photographs, the latest first.
fn handed_letters(known: &ChildRecord, uses: PhotographUses, today: Day) -> Vec<HandedLetterShown> {
    let log = CorrectedLog::of(&known.entries, today);
    let taken: HashMap<EntryId, String> = log
        .lines
        .iter()
        .filter_map(|line| match line.body {
            Body::Photograph(photograph) => {
                Some((line.entry.id, format!("{}, {}", photograph.words(), line.on.words())))
            }
            _ => None,
        })
        .collect();
    let shown = |one: LastHanded| {
        let DocumentHanded { document, to, photographs, .. } = &one.handed;
        let to = to.as_deref().map(|to| format!(", to {to}")).unwrap_or_default();
        let named =
            photographs.iter().map(|id| taken.get(id).map_or("one of another record", String::as_str));
        let named = named.collect::<Vec<_>>().join("; ");
        HandedLetterShown {
            entry: one.entry,
            words: format!("{}: {}{to}, with photographs: {named}", one.on.words(), document.words()),
            letter: uses.letters.then(|| {
                format!("/child/{}/letters/{}/with/{}", known.outlook.course.child, document.key(), one.entry)
            }),
        }
    };
    letters::handed_with_photographs(&log).into_iter().rev().map(shown).collect()
}

/// The form as it is saved: what photographs may be used for only with a yes, and the last day of a consent that is
/// changed. An answer about what they may be used for does not put off its end.
fn whole(app: &App, known: &ChildRecord, filled: &Filled, today: Day) -> Result<Filled, Fail> {
    let mut whole = filled.clone().with("matter", "photographs").with(ON, today.to_string());
    if filled.value("answer") != "given" {
        return Ok(PHOTOGRAPH_USES.into_iter().fold(whole, |form, name| form.with(name, "")));
    }
    if let MediaConsent::InForce(_, _, Some(until)) = shown::consent_now(app, known)? {
        whole = whole.with("until", until.to_string());
    }
    Ok(whole)
}

/// Records the answer of the family.
pub async fn answer(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let done = match filled.value("answer") {
        "given" => "given",
        "refused" => "refused",
        "withdrawn" => "withdrawn",
        _ => return Err(Fail::not_found()),
    };
    let saved = work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let whole = whole(app, &known, &filled, today)?;
        let read = forms::body_of(Kind::Consent, &whole, today);
        let wrong = |errors| drawn(app, &frame, child, None, Filled { errors, ..filled.clone() }).map(Some);
        let body = match read {
            Ok(body) => body,
            Err(errors) => return wrong(errors),
        };
        let submission = Submission::of_form(app, child, by, &filled);
        match submission.save(app, vec![Draft::new(body, today)])?.or_form(&filled) {
            Ok(()) => Ok(None),
            Err(form) => drawn(app, &frame, child, None, form).map(Some),
        }
    });
    match saved.await? {
        None => {
            let mut answer = to(&format!("/child/{child}/photographs?done={done}"))?;
            if done == "withdrawn" {
                // Small pictures that this browser has stored; it does so on encrypted connections and this computer.
                answer.headers_mut().insert(CLEAR_SITE_DATA, HeaderValue::from_static("\"cache\""));
            }
            Ok(answer)
        }
        Some(form) => again(form),
    }
}

//! Which entries the plain columns carry so that they are read back as they were, and how.

use crate::{
    text::fold,
    values,
    words::done::{self, Act},
};
use record::{
    Assessment, Body, Brace, BraceChange, BraceChanged, CastApplied, Day, Diagnosis, DischargeReason,
    Problem, Regime, Registration, TenotomyDone,
};

/// How an entry is written in the plain columns.
pub(super) enum Plain<'a> {
    Assessment(&'a Assessment),
    Cast(&'a CastApplied),
    Diagnosis(&'a Diagnosis),
    /// Next appointment.
    Next(Day),
    Remark(&'a str),
    /// Words for what was done, and for the hours of a brace.
    Done(String, Option<String>),
}

/// The plain columns of an entry; `None` where they would lose something of it.
pub(super) fn plain(body: &Body) -> Option<Plain<'_>> {
    match body {
        Body::Assessment(body) => assessed(body).then_some(Plain::Assessment(body)),
        Body::CastApplied(body) => {
            let more = body.abduction_deg.is_some() || body.dorsiflexion_deg.is_some();
            (!more && body.cast_by.is_none()).then_some(Plain::Cast(body))
        }
        Body::Diagnosis(body) => {
            body.earlier_treatment.as_deref().is_none_or(kept).then_some(Plain::Diagnosis(body))
        }
        Body::AppointmentMade(body) => {
            (body.time.is_none() && body.purpose.is_none()).then_some(Plain::Next(body.for_day))
        }
        Body::Note(body) => (kept(&body.text) && !is_act(&body.text)).then_some(Plain::Remark(&body.text)),
        Body::BraceFitted(body) if body.brace == Brace::default() && body.fitted_by.is_none() => {
            let hours = hours_words(body.regime, body.hours_prescribed);
            let back = hours.as_deref().map_or((None, None), |hours| done::regime(&fold(hours)));
            (back == (body.regime, body.hours_prescribed))
                .then(|| Plain::Done("brace fitted".to_owned(), hours))
        }
        other => done_words(other).map(|words| Plain::Done(words, None)),
    }
}

/// The registration as the plain columns carry it.
pub(super) fn in_short(registration: &Registration) -> Registration {
    let mut short = registration.clone();
    short.numbers.truncate(1);
    short.carers.truncate(1);
    short.born_about = None;
    let texts =
        [Some(&short.family_name), Some(&short.given_name), short.address.as_ref(), short.numbers.first()];
    let of_carer = short.carers.first().map(|carer| {
        [Some(&carer.name), carer.relation.as_ref(), carer.phone.as_ref(), carer.language.as_ref()]
    });
    let all = texts.into_iter().chain(of_carer.into_iter().flatten()).flatten();
    // A text that a cell would not give back makes it differ, so that it is written in full.
    if all.into_iter().any(|text| !text.is_empty() && !kept(text)) {
        return Registration::default();
    }
    short
}

// The plain columns have none for signs of relapse.
fn assessed(body: &Assessment) -> bool {
    let texts = [body.note.as_deref(), body.scored_by.as_deref()];
    texts.into_iter().flatten().all(kept)
        && body.signs.is_empty()
        && !(body.is_empty() && body.note.is_none())
}

/// Whether a cell gives a text back as it was.
pub(super) fn kept(text: &str) -> bool {
    text.trim() == text && !values::is_nothing(text) && !text.contains('\r')
}

/// Whether a remark would be read as something that happened.
fn is_act(text: &str) -> bool {
    let Ok(acts) = done::acts_in(text) else { return false };
    acts.iter().any(|act| matches!(act, Act::Problem(_) | Act::CastOff(_)))
}

fn hours_words(regime: Option<Regime>, hours: Option<u8>) -> Option<String> {
    match (regime, hours) {
        (_, Some(hours)) => Some(format!("{hours}h")),
        (Some(Regime::FullTime), None) => Some("full time".to_owned()),
        (Some(Regime::NightTime), None) => Some("nights".to_owned()),
        (None, None) => None,
    }
}

/// The words the importer reads back as the same entry, where there are any.
fn done_words(body: &Body) -> Option<String> {
    let words = |words: &str, whole: bool| whole.then(|| words.to_owned());
    match body {
        Body::TenotomyDone(body) => words("tenotomy", *body == TenotomyDone::on(body.side)),
        Body::TenotomyBooked(body) => {
            words("tenotomy booked", body.planned_on.is_none() && body.place.is_none())
        }
        Body::CastRemoved(body) => words(&format!("cast off: {}", body.why.words()), body.note.is_none()),
        Body::Problem(body) => words(
            &format!("problem: {}", body.what.words()),
            *body == Problem { side: body.side, ..Problem::of(body.what) },
        ),
        Body::OtherSurgery(body) => words(body.procedure.words(), body.note.is_none()),
        Body::BraceChanged(body) => changed_words(body),
        Body::AppointmentMissed(body) => words("missed", body.reason.is_none()),
        Body::AppointmentAttended(body) => words("review", body.time.is_none()),
        Body::RelapseNoted(body) => words("relapse", body.grade.is_none() && body.note.is_none()),
        Body::Discharge(body) => {
            words("treatment completed", body.reason == DischargeReason::Completed && body.note.is_none())
        }
        Body::Transfer(body) => words("transferred", body.to.is_none()),
        Body::Death(body) => words("died", body.cause.is_none()),
        Body::LostDeclared(body) => words("lost to follow up", body.reason.is_none()),
        _ => None,
    }
}

fn changed_words(body: &BraceChanged) -> Option<String> {
    let bare =
        BraceChanged { change: body.change, brace: None, regime: None, hours_prescribed: None, note: None };
    let words = match body.change {
        BraceChange::Stopped => "brace stopped",
        BraceChange::Size => "new size",
        _ => return None,
    };
    (*body == bare).then(|| words.to_owned())
}

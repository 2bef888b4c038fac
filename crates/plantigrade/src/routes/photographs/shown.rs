//! What of a child's photographs may be shown, and in which words.

use crate::{app::App, clock::local_words, web::Fail};
use clinic::{ChildPhotographs, ChildRecord, KeptLength, KeptPhotograph, MediaConsent};
use pages::{
    ConsentShown, LengthOnPhotograph, PhotographShown, PhotographStripView, picture::AngleOnPhotograph, words,
};
use record::{Day, Side, bounds::number_words};
use std::sync::Arc;

/// Whether photographs may be taken and shown today, whatever the day as of which a page is shown.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn consent_now(app: &App, known: &ChildRecord) -> Result<MediaConsent, Fail> {
    let today = app.clock.today();
    let now = app.known(known.outlook.course.child, today)?;
    Ok(app.records.photograph_consent(&app.pictures(), &now, today)?)
}

/// The consent in words. `what` is what the family consents to, "photographs".
pub(in crate::routes) fn consent_words(consent: MediaConsent, what: &str) -> ConsentShown {
    let words = match consent {
        MediaConsent::InForce(_, since, None) => {
            format!("The family consents to {what} since {}.", since.words())
        }
        MediaConsent::InForce(_, since, Some(until)) => {
            format!("The family consents to {what} since {}, until {}.", since.words(), until.words())
        }
        MediaConsent::NotRecorded => format!("No answer of the family about {what} is recorded."),
        MediaConsent::Refused(_, on) => {
            format!("The family did not consent to {what} on {}.", on.words())
        }
        MediaConsent::Withdrawn(_, on) => {
            format!("The family took its consent to {what} back on {}.", on.words())
        }
        MediaConsent::Ended(_, on) => {
            format!("The consent to {what} ended on {}. Ask the family again.", on.words())
        }
        MediaConsent::WithdrawnBeforeRestore(at) => format!(
            "The family took its consent to {what} back on {}, after the backup was made that was restored. Ask the family again.",
            local_words(at)
        ),
    };
    ConsentShown { in_force: consent.is_in_force(), words }
}

/// The section of the child's page; `None` where nothing about photographs is on record.
///
/// # Errors
/// When the records cannot be read.
pub(in crate::routes) fn strip(
    app: &App,
    known: &ChildRecord,
    as_of: Day,
) -> Result<Option<PhotographStripView>, Fail> {
    let (consent, kept) = (consent_now(app, known)?, kept_of(app, known, as_of)?);
    if consent == MediaConsent::NotRecorded && kept.photographs.is_empty() {
        return Ok(None);
    }
    Ok(Some(strip_of(app, consent, &kept)))
}

/// The photographs of a child up to a day with what was measured on them. Every page about them asks here, and what is
/// computed for one is there for the next.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn kept_of(app: &App, known: &ChildRecord, as_of: Day) -> Result<Arc<ChildPhotographs>, Fail> {
    Ok(app.records.photographs_of(known.outlook.course.child, as_of)?)
}

/// The angles measured on photographs up to a day, for the course picture.
///
/// # Errors
/// When the records cannot be read.
pub(in crate::routes) fn angles_of(
    app: &App,
    known: &ChildRecord,
    as_of: Day,
) -> Result<Vec<AngleOnPhotograph>, Fail> {
    let mark = |kept: &clinic::KeptAngle| AngleOnPhotograph {
        entry: kept.entry,
        on: kept.on,
        side: kept.said.side,
        angle: kept.said.angle,
        degrees: kept.said.degrees,
        error_deg: kept.said.error_deg,
    };
    Ok(kept_of(app, known, as_of)?.angles.iter().map(mark).collect())
}

/// The photographs up to a day with the consent of today.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn strip_view(app: &App, known: &ChildRecord, as_of: Day) -> Result<PhotographStripView, Fail> {
    Ok(strip_of(app, consent_now(app, known)?, &*kept_of(app, known, as_of)?))
}

fn strip_of(app: &App, consent: MediaConsent, kept: &ChildPhotographs) -> PhotographStripView {
    let consent = consent_words(consent, "photographs");
    if !consent.in_force {
        return PhotographStripView { consent, hidden: kept.photographs.len(), photographs: Vec::new() };
    }
    let photographs = kept.photographs.iter().map(|one| shown(app, kept, one.clone())).collect();
    PhotographStripView { consent, photographs, hidden: 0 }
}

/// What was measured on one photograph, in sentences.
fn measured_on(app: &App, of: &ChildPhotographs, one: &KeptPhotograph) -> Vec<String> {
    let by = |by, written| format!("measured by {}, {}", app.name_of(by), local_words(written));
    let angles = of.angles.iter().filter(|kept| kept.said.photograph == one.entry).map(|kept| {
        let (name, side) = (words::capital(kept.said.angle.words()), kept.said.side);
        let value = angle_words(kept.said.degrees, kept.said.error_deg);
        format!("{name}, {side} foot: {value}, {}", by(kept.by, kept.written))
    });
    let lengths = of.lengths.iter().filter(|kept| kept.said.photograph == one.entry).map(|kept| {
        let value = length_words(kept.said.length_mm, kept.said.error_mm);
        format!("Length beside a card, {} foot: {value}, {}", kept.said.side, by(kept.by, kept.written))
    });
    angles.chain(lengths).collect()
}

/// The last length of each foot on a photograph, for the page of brace fitting. Without a consent in force there is none.
///
/// # Errors
/// When the records cannot be read.
pub(in crate::routes) fn lengths_of(
    app: &App,
    known: &ChildRecord,
    as_of: Day,
) -> Result<Vec<LengthOnPhotograph>, Fail> {
    if !consent_now(app, known)?.is_in_force() {
        return Ok(Vec::new());
    }
    let kept = kept_of(app, known, as_of)?;
    let last = |side: Side| kept.lengths.iter().rfind(|kept| kept.said.side == side);
    let of = |kept: &KeptLength| LengthOnPhotograph {
        side: kept.said.side,
        on: kept.on,
        words: length_words(kept.said.length_mm, kept.said.error_mm),
    };
    Ok(Side::BOTH.into_iter().filter_map(last).map(of).collect())
}

/// A photograph with what was measured on it, out of what was measured on all of the child.
pub(super) fn shown(app: &App, of: &ChildPhotographs, one: KeptPhotograph) -> PhotographShown {
    let measured = measured_on(app, of, &one);
    let KeptPhotograph { entry, on, photograph, .. } = one;
    PhotographShown {
        entry,
        on,
        feet: photograph.side,
        view: photograph.view,
        taken_at: photograph.taken_at,
        note: photograph.note,
        measured,
    }
}

/// "17° ± 3°".
pub(super) fn angle_words(degrees: f64, error_deg: f64) -> String {
    format!("{}° ± {}°", number_words(degrees.round()), number_words(error_deg.ceil()))
}

/// "92 mm ± 2 mm".
pub(super) fn length_words(length_mm: f64, error_mm: f64) -> String {
    format!("{} mm ± {} mm", number_words(length_mm.round()), number_words(error_mm.ceil()))
}

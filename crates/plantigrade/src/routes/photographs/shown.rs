//! What of a child's photographs may be shown, and in which words.

use crate::{app::App, clock::local_words, web::Fail};
use clinic::{ChildRecord, KeptAngle, KeptLength, KeptPhotograph, MediaConsent};
use pages::{
    ConsentShown, LengthOnPhotograph, PhotographShown, PhotographStripView, picture::AngleOnPhotograph, words,
};
use record::{Day, Side, bounds::number_words};

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
    let (consent, kept) = (consent_now(app, known)?, known.photographs(as_of));
    if consent == MediaConsent::NotRecorded && kept.is_empty() {
        return Ok(None);
    }
    Ok(Some(strip_of(app, known, consent, kept, as_of)))
}

/// The angles measured on photographs up to a day, for the course picture.
pub(in crate::routes) fn angles_of(known: &ChildRecord, as_of: Day) -> Vec<AngleOnPhotograph> {
    let mark = |kept: KeptAngle| AngleOnPhotograph {
        entry: kept.entry,
        on: kept.on,
        side: kept.said.side,
        angle: kept.said.angle,
        degrees: kept.said.degrees,
        error_deg: kept.said.error_deg,
    };
    known.photograph_angles(as_of).into_iter().map(mark).collect()
}

/// The photographs up to a day with the consent of today.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn strip_view(app: &App, known: &ChildRecord, as_of: Day) -> Result<PhotographStripView, Fail> {
    Ok(strip_of(app, known, consent_now(app, known)?, known.photographs(as_of), as_of))
}

fn strip_of(
    app: &App,
    known: &ChildRecord,
    consent: MediaConsent,
    kept: Vec<KeptPhotograph>,
    as_of: Day,
) -> PhotographStripView {
    let consent = consent_words(consent, "photographs");
    if !consent.in_force {
        return PhotographStripView { consent, hidden: kept.len(), photographs: Vec::new() };
    }
    let measured = OnPhotographs::of(known, as_of);
    let photographs = kept.into_iter().map(|one| shown(app, &measured, one)).collect();
    PhotographStripView { consent, photographs, hidden: 0 }
}

/// What was measured on the photographs of a child.
pub(super) struct OnPhotographs {
    angles: Vec<KeptAngle>,
    lengths: Vec<KeptLength>,
}

impl OnPhotographs {
    pub(super) fn of(known: &ChildRecord, as_of: Day) -> Self {
        Self { angles: known.photograph_angles(as_of), lengths: known.photograph_lengths(as_of) }
    }

    /// On one photograph, in sentences.
    fn sentences(&self, app: &App, one: &KeptPhotograph) -> Vec<String> {
        let by = |by, written| format!("measured by {}, {}", app.name_of(by), local_words(written));
        let angles = self.angles.iter().filter(|kept| kept.said.photograph == one.entry).map(|kept| {
            let (name, side) = (words::capital(kept.said.angle.words()), kept.said.side);
            let value = angle_words(kept.said.degrees, kept.said.error_deg);
            format!("{name}, {side} foot: {value}, {}", by(kept.by, kept.written))
        });
        let lengths = self.lengths.iter().filter(|kept| kept.said.photograph == one.entry).map(|kept| {
            let value = length_words(kept.said.length_mm, kept.said.error_mm);
            format!("Length beside a card, {} foot: {value}, {}", kept.said.side, by(kept.by, kept.written))
        });
        angles.chain(lengths).collect()
    }
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
    let lengths = known.photograph_lengths(as_of);
    let last = |side: Side| lengths.iter().rfind(|kept| kept.said.side == side);
    let of = |kept: &KeptLength| LengthOnPhotograph {
        side: kept.said.side,
        on: kept.on,
        words: length_words(kept.said.length_mm, kept.said.error_mm),
    };
    Ok(Side::BOTH.into_iter().filter_map(last).map(of).collect())
}

/// A photograph with what was measured on it, out of what was measured on all of the child.
pub(super) fn shown(app: &App, on: &OnPhotographs, one: KeptPhotograph) -> PhotographShown {
    let measured = on.sentences(app, &one);
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

//! Taking pictures that somebody sends: each is made safe to keep, all of them wait to be named.

use super::{overview::drawn, shown};
use crate::{
    app::App,
    photograph_uploads::{
        PICTURE_BYTES, PICTURES_AT_ONCE, PICTURES_BYTES, disk_sentence, picture_of, refused,
    },
    web::{Fail, PageResult, Shared, Visitor, again, to, too_large, work},
};
use axum::{
    extract::{
        Multipart, Path, State,
        multipart::{Field, MultipartError},
    },
    http::StatusCode,
};
use clinic::WaitingPicture;
use pages::{
    Here, PHOTOGRAPHS, RequestError,
    fields::{CSRF, Filled, ONCE},
};
use photographs::PictureFault;
use record::ChildId;
use uuid::Uuid;

/// What was sent.
#[derive(Default)]
struct SentPictures {
    csrf: String,
    once: String,
    /// How many files there were, also beyond those that are taken.
    count: usize,
    pictures: Vec<WaitingPicture>,
}

/// Takes the pictures of a form.
pub async fn send(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    form: Multipart,
) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Child));
    let sent = received(&app, form).await?;
    if !visitor.sent(&sent.csrf) {
        return Err(Fail(RequestError::Stale));
    }
    let done = work(&app, move |app| {
        let upload = Uuid::parse_str(&sent.once).ok().filter(|id| id.get_version_num() == 7);
        let upload = upload.unwrap_or_else(|| app.once());
        let why = match why_not(app, child, &sent)? {
            Some(why) => why,
            None => match app.hold_pictures((upload, child, by), &sent.pictures) {
                Ok(()) => return Ok(Ok(upload)),
                Err(error) => disk_sentence(error)?,
            },
        };
        drawn(app, &frame, child, Some(why), Filled::default()).map(Err)
    });
    match done.await? {
        Ok(upload) => to(&format!("/child/{child}/photographs/upload/{upload}")),
        Err(page) => again(page),
    }
}

/// Why nothing is taken, one sentence.
fn why_not(app: &App, child: ChildId, sent: &SentPictures) -> Result<Option<String>, Fail> {
    if consent_missing(app, child)? {
        return Ok(Some("No consent to photographs is in force.".to_owned()));
    }
    Ok(match sent.count {
        0 => Some("No picture was chosen.".to_owned()),
        more if more > PICTURES_AT_ONCE => {
            Some(format!("{more} pictures were chosen, and at most {PICTURES_AT_ONCE} are taken at once."))
        }
        _ => None,
    })
}

/// Whether no consent to photographs of a child is in force.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn consent_missing(app: &App, child: ChildId) -> Result<bool, Fail> {
    let known = app.known(child, app.clock.today())?;
    Ok(!shown::consent_now(app, &known)?.is_in_force())
}

fn broken(error: MultipartError) -> Fail {
    broken_form(&error, PICTURES_BYTES, "The pictures were not received completely. None of them was kept.")
}

/// Why a form with files was not received.
pub(in crate::routes) fn broken_form(error: &MultipartError, most: usize, text: &str) -> Fail {
    match error.status() {
        StatusCode::PAYLOAD_TOO_LARGE => too_large(most),
        _ => Fail(RequestError::Refused(text.to_owned())),
    }
}

/// Reads the form file by file: one is in memory as it was sent, the others as they will be kept.
async fn received(app: &Shared, mut form: Multipart) -> Result<SentPictures, Fail> {
    let mut sent = SentPictures::default();
    while let Some(field) = form.next_field().await.map_err(broken)? {
        let name = field.name().unwrap_or_default().to_owned();
        if name == PHOTOGRAPHS {
            let Some(file) = whole(field, PICTURE_BYTES).await.map_err(broken)? else { continue };
            sent.count += 1;
            if let Some(number) = u16::try_from(sent.count).ok().filter(|_| sent.count <= PICTURES_AT_ONCE) {
                sent.pictures.push(taken(app, number, file).await?);
            }
            continue;
        }
        let text = String::from_utf8_lossy(&field.bytes().await.map_err(broken)?).trim().to_owned();
        match name.as_str() {
            CSRF => sent.csrf = text,
            ONCE => sent.once = text,
            _ => {}
        }
    }
    Ok(sent)
}

async fn taken(app: &Shared, number: u16, file: SentFile) -> Result<WaitingPicture, Fail> {
    match file {
        SentFile::TooLarge => {
            let most_mb = u64::try_from(PICTURE_BYTES >> 20).unwrap_or(u64::MAX);
            Ok(refused(number, PictureFault::LargeFile { most_mb }.to_string()))
        }
        SentFile::Whole(bytes) => work(app, move |app| Ok(picture_of(app, number, &bytes))).await,
    }
}

/// A file of a form.
pub(in crate::routes) enum SentFile {
    Whole(Vec<u8>),
    TooLarge,
}

/// A file; `None` where none was chosen. One that is too large is read to its end and not kept.
///
/// # Errors
/// When it does not arrive.
pub(in crate::routes) async fn whole(
    mut field: Field<'_>,
    most: usize,
) -> Result<Option<SentFile>, MultipartError> {
    let chosen = field.file_name().is_some_and(|name| !name.is_empty());
    let (mut bytes, mut too_large) = (Vec::new(), false);
    while let Some(chunk) = field.chunk().await? {
        too_large |= bytes.len() + chunk.len() > most;
        if too_large {
            bytes = Vec::new();
        } else {
            bytes.extend_from_slice(&chunk);
        }
    }
    if too_large {
        return Ok(Some(SentFile::TooLarge));
    }
    Ok((chosen || !bytes.is_empty()).then_some(SentFile::Whole(bytes)))
}

//! Pictures that come in parts over a bad network. The sender asks how much has arrived and sends what follows; the
//! answer to each part is the number of bytes that have arrived, as plain text. A part that is lost on the way, or whose
//! answer is, is sent again and taken once. The page works without this: it is used by its script.

use super::{overview::drawn, sending::consent_missing};
use crate::{
    app::App,
    photograph_uploads::{PICTURE_BYTES, PICTURES_AT_ONCE, PICTURES_BYTES, disk_sentence, picture_of},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, to, work},
};
use axum::{
    body::Bytes,
    extract::{Path, Query, State},
    http::{HeaderMap, StatusCode},
    response::{IntoResponse, Response},
};
use clinic::ArrivingFile;
use pages::{
    Here, RequestError,
    fields::{Filled, ONCE},
};
use record::{ChildId, UserId};
use serde::Deserialize;
use uuid::Uuid;

/// The header with the token of the form.
const TOKEN: &str = "x-form-token";
/// The largest part, in bytes.
pub(in crate::routes) const PART_BYTES: usize = 1 << 20;

/// Which file, how long it is as a whole, and where the part begins.
#[derive(Debug, Clone, Copy, Deserialize)]
pub struct PartQuery {
    file: Uuid,
    total: u64,
    start: Option<u64>,
}

impl PartQuery {
    fn of(self, child: ChildId, by: UserId) -> Result<ArrivingFile, Fail> {
        self.file_of((child, by), PICTURE_BYTES, "This is no picture that is taken.")
    }

    /// The file of which a part is sent, for a child and by a person.
    ///
    /// # Errors
    /// Where it is empty or larger than the most.
    pub(in crate::routes) fn file_of(
        self,
        (child, by): (ChildId, UserId),
        most: usize,
        refusal: &str,
    ) -> Result<ArrivingFile, Fail> {
        if self.total == 0 || self.total > u64::try_from(most).unwrap_or(u64::MAX) {
            return Err(Fail(RequestError::Refused(refusal.to_owned())));
        }
        Ok(ArrivingFile { file: self.file, child, by, total: self.total })
    }

    /// Where the part begins.
    pub(in crate::routes) fn start(self) -> u64 {
        self.start.unwrap_or(0)
    }
}

/// Whether a part came with the token of its form.
pub(in crate::routes) fn has_token(visitor: &Visitor, headers: &HeaderMap) -> bool {
    let token = headers.get(TOKEN).and_then(|token| token.to_str().ok()).unwrap_or_default();
    visitor.sent(token)
}

/// Takes the next part of a file. The inner result says why not, in one sentence.
///
/// # Errors
/// What is no fault of the disk.
pub(in crate::routes) fn taken(
    app: &App,
    file: &ArrivingFile,
    start: u64,
    bytes: &[u8],
) -> Result<Result<u64, String>, Fail> {
    let pictures = app.pictures();
    let (most, new) = (PICTURES_BYTES as u64, bytes.len() as u64);
    if pictures.arriving_from(file.by)?.saturating_add(new) > most {
        return Ok(Err("Too much was sent and not named. Name it first, or wait two days.".to_owned()));
    }
    match pictures.take_part(file, app.clock.now(), (start, bytes)) {
        Ok(arrived) => Ok(Ok(arrived)),
        Err(error) => disk_sentence(error).map(Err),
    }
}

/// The answer to a part: how many bytes have arrived, or why it was not taken.
pub(in crate::routes) fn part_answer(taken: Result<u64, String>) -> Response {
    match taken {
        Ok(arrived) => arrived.to_string().into_response(),
        Err(sentence) => (StatusCode::UNPROCESSABLE_ENTITY, sentence).into_response(),
    }
}

/// How many bytes of a file have arrived.
pub async fn arrived(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<PartQuery>,
) -> PageResult {
    let file = asked.of(child, visitor.user()?)?;
    let bytes = work(&app, move |app| Ok(app.pictures().arrived(&file)?)).await?;
    Ok(bytes.to_string().into_response())
}

/// Takes a part.
pub async fn take(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<PartQuery>,
    headers: HeaderMap,
    bytes: Bytes,
) -> PageResult {
    if !has_token(&visitor, &headers) {
        return Err(Fail(RequestError::Stale));
    }
    let (by, start) = (visitor.user()?, asked.start());
    let file = asked.of(child, by)?;
    if bytes.is_empty() || bytes.len() > PART_BYTES {
        return Err(Fail(RequestError::Refused("This is no part of a picture.".to_owned())));
    }
    let answer = work(&app, move |app| {
        if consent_missing(app, child)? {
            return Ok(Err("No consent to photographs is in force.".to_owned()));
        }
        taken(app, &file, start, &bytes)
    });
    Ok(part_answer(answer.await?))
}

/// Makes pictures of files that have arrived completely; they then wait to be named as if they had come in one form.
pub async fn finish(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let done = work(&app, move |app| {
        let refused = |why: &str| drawn(app, &frame, child, Some(why.to_owned()), Filled::default()).map(Err);
        let Some(files) = files(filled.value("files"), child, by) else {
            return refused("The pictures were not received completely. Send them again.");
        };
        if consent_missing(app, child)? {
            return refused("No consent to photographs is in force.");
        }
        let upload = Uuid::parse_str(filled.value(ONCE)).ok().filter(|id| id.get_version_num() == 7);
        let (upload, pictures) = (upload.unwrap_or_else(|| app.once()), app.pictures());
        if pictures.waiting(upload)?.is_some() {
            return Ok(Ok(upload));
        }
        let mut made = Vec::new();
        for (number, file) in (1..).zip(&files) {
            let Some(bytes) = pictures.arrived_whole(file)? else {
                return refused("The pictures were not received completely. Send them again.");
            };
            made.push(picture_of(app, number, &bytes));
        }
        if let Err(error) = app.hold_pictures((upload, child, by), &made) {
            return refused(&disk_sentence(error)?);
        }
        files.iter().try_for_each(|file| pictures.forget_arrived(file))?;
        Ok(Ok(upload))
    });
    match done.await? {
        Ok(upload) => to(&format!("/child/{child}/photographs/upload/{upload}")),
        Err(page) => again(page),
    }
}

/// The files of a form, "id:bytes id:bytes"; `None` where it names none, too many, or what is no file.
fn files(text: &str, child: ChildId, by: UserId) -> Option<Vec<ArrivingFile>> {
    let file = |text: &str| {
        let (file, total) = text.split_once(':')?;
        Some(ArrivingFile { file: file.parse().ok()?, child, by, total: total.parse().ok()? })
    };
    let files: Option<Vec<ArrivingFile>> = text.split_whitespace().map(file).collect();
    files.filter(|files| (1..=PICTURES_AT_ONCE).contains(&files.len()))
}

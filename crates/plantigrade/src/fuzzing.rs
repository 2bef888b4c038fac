//! Doors for the fuzz targets (`fuzz/targets`): what reads the bytes of a stranger and is otherwise private.

use crate::{diary_photo, logo::Logo, routes, web};
use axum::{
    body::Body,
    extract::{FromRequest, Multipart},
    http::Request,
};

/// What was read of an upload.
pub struct UploadedFiles {
    /// The bytes of each file, and those of a map.
    pub files: Vec<Vec<u8>>,
}

/// The pairs of a form; `None` where it is refused.
pub async fn form_pairs(request: Request<Body>) -> Option<Vec<(String, String)>> {
    web::pairs(request, &()).await.ok()
}

/// The files of an upload to the import, or of one from a logger; `None` where it is refused.
pub async fn upload(request: Request<Body>, of_logger: bool) -> Option<UploadedFiles> {
    let form = Multipart::from_request(request, &()).await.ok()?;
    Some(UploadedFiles { files: routes::uploaded(form, of_logger).await? })
}

/// The picture that is kept of a logo; `None` where it is refused.
#[must_use]
pub fn logo_png(bytes: &[u8]) -> Option<Vec<u8>> {
    Logo::read(bytes).ok().map(|logo| logo.png)
}

/// A filled-in diary on a photograph; `None` where it is refused, or there is none.
#[must_use]
pub fn diary_of_picture(bytes: &[u8]) -> Option<letters::DiaryReading> {
    letters::read_diary(&diary_photo::unpacked(bytes).ok()?).ok()
}

/// The path to which a sign-in leads on.
#[must_use]
pub fn own_path(text: &str) -> &str {
    routes::own_path(text)
}

//! What the routes share: the forms they take, the pages they answer with, and work off their threads.

pub use crate::request::{Door, Fail, SentForm, Visitor};

use crate::{app::App, restricted};
use axum::{
    Form,
    body::Bytes,
    extract::{FromRequest, FromRequestParts, Path, Request},
    http::{StatusCode, header},
    response::{IntoResponse, Redirect, Response},
};
use clinic::{CacheKey, CacheValue, RecomputeCost};
use maud::Markup;
use pages::{RequestError, fields::Filled};
use record::UserId;
use serde::de::DeserializeOwned;
use std::sync::Arc;

/// The state that every route receives.
pub type Shared = Arc<App>;

/// The largest form, in bytes: three times the longest note as it is encoded, and some more.
pub const FORM_BYTES: usize = 4 << 20;
/// The most fields of a form. The page of an import of the widest sheet has some thousands.
pub const MOST_FIELDS: usize = 20_000;
/// The largest file, in bytes.
pub const FILE_BYTES: usize = exchange::MOST_BYTES;

/// The result of a route.
pub type PageResult = Result<Response, Fail>;

/// A page.
///
/// # Errors
/// None; the form is that of a route.
pub fn page(markup: Markup) -> PageResult {
    Ok(markup.into_response())
}

/// A form shown again with what is wrong.
///
/// # Errors
/// None; the form is that of a route.
pub fn again(markup: Markup) -> PageResult {
    Ok((StatusCode::UNPROCESSABLE_ENTITY, markup).into_response())
}

/// A redirect to another page.
///
/// # Errors
/// None; the form is that of a route.
pub fn to(path: &str) -> PageResult {
    Ok(Redirect::to(path).into_response())
}

/// What a page turns out to be when its contents are read.
pub enum DrawnPage {
    /// The page.
    Page(Markup),
    /// Another page is shown in its place.
    MovedTo(String),
}

/// A page from the cache if nothing was recorded and no setting changed since it was drawn, otherwise drawn now. `page` has to contain
/// everything that determines its contents. A page drawn for one visitor is never shown to another.
///
/// # Errors
/// Those of drawing it.
pub async fn drawn(
    app: &Shared,
    visitor: &Visitor,
    page: String,
    draw: impl FnOnce(&App) -> Result<Markup, Fail> + Send + 'static,
) -> PageResult {
    drawn_or_moved(app, visitor, page, move |app| draw(app).map(DrawnPage::Page)).await
}

/// As [`drawn`], for a page whose contents may say that another page is shown in its place.
///
/// # Errors
/// Those of drawing it.
pub async fn drawn_or_moved(
    app: &Shared,
    visitor: &Visitor,
    page: String,
    draw: impl FnOnce(&App) -> Result<DrawnPage, Fail> + Send + 'static,
) -> PageResult {
    // A name or a role that was changed since is on no page from the cache.
    let changes = app.records.accounts().changes();
    let drafts = visitor.who.as_ref().map_or(0, |who| app.drafts.count(who.user));
    // What is on every page may change without an entry.
    let standing: String = app.standing_for(visitor).iter().map(|notice| notice.text.as_str()).collect();
    let for_visitor = format!(
        "{} {changes} {} {drafts} {} {standing} {page}",
        visitor.csrf(),
        visitor.settings_changes,
        app.reader_key(visitor)
    );
    let key = CacheKey::clinic("page").as_of(app.clock.today()).with(for_visitor);
    let (cache, generation) = (app.records.cache(), visitor.generation);
    let saved = || cache.get::<Bytes>(&key, generation).map(|bytes| Bytes::clone(&bytes));
    if let Some(bytes) = saved() {
        return Ok(html(bytes));
    }
    // Sixteen who open one page at the same time are sixteen who wait for it, and one for whom it is drawn.
    let _alone = if app.saves_pages { Some(app.drawing.alone(&key).await) } else { None };
    if let Some(bytes) = saved() {
        return Ok(html(bytes));
    }
    let _place = app.drawing.begin().await;
    let markup = match work(app, draw).await? {
        DrawnPage::Page(markup) => markup,
        DrawnPage::MovedTo(path) => return to(&path),
    };
    // What was reserved and not used would stay in memory as long as the page does.
    let mut text = markup.into_string();
    text.shrink_to_fit();
    let value = Bytes::from(text);
    if app.saves_pages {
        let (value, bytes) = (value.clone(), value.len());
        cache.put(key, generation, CacheValue { value, bytes, cost: RecomputeCost::Quick });
    }
    Ok(html(value))
}

fn html(bytes: Bytes) -> Response {
    ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], bytes).into_response()
}

/// Runs work on the records outside the threads that answer requests.
///
/// # Errors
/// Those of the work; a panic is caught.
pub async fn work<T: Send + 'static>(
    app: &Shared,
    work: impl FnOnce(&App) -> Result<T, Fail> + Send + 'static,
) -> Result<T, Fail> {
    let (app, closed) = (Arc::clone(app), restricted::closed_now());
    match tokio::task::spawn_blocking(move || restricted::working(closed, || work(&app))).await {
        Ok(result) => result,
        // What it said may hold a name; the log has the place.
        Err(_) => Err(Fail::fault("a request panicked")),
    }
}

/// A form with whatever token it carries; who takes it asks whose form it is.
pub struct AnybodysForm(pub Filled);

impl<S: Send + Sync> FromRequest<S> for AnybodysForm {
    type Rejection = Fail;

    async fn from_request(request: Request, state: &S) -> Result<Self, Fail> {
        Ok(Self(pairs(request, state).await?.into_iter().collect()))
    }
}

/// A form that carries its visitor's token.
pub struct Posted(pub Filled);

impl<S: Send + Sync> FromRequest<S> for Posted {
    type Rejection = Fail;

    async fn from_request(request: Request, state: &S) -> Result<Self, Fail> {
        let visitor = request.extensions().get::<Visitor>().cloned().unwrap_or_default();
        let sent = request.extensions().get::<SentForm>().cloned().unwrap_or_default();
        let filled: Filled = pairs(request, state).await?.into_iter().collect();
        // A form may name a child that its address does not.
        let closed = restricted::closed_now().unwrap_or_default();
        if let Some(child) = closed.named(filled.values.values().map(String::as_str)) {
            return Err(Fail::restricted(child, format!("/child/{child}")));
        }
        let is_own = visitor.sent(filled.value(pages::fields::CSRF));
        sent.put(&filled, is_own);
        if is_own { Ok(Self(filled)) } else { Err(Fail(RequestError::Stale)) }
    }
}

/// A form sent by a signed-in user, with the parameters of the path.
pub struct PostedTo<P> {
    /// The parameters of the path, such as the child.
    pub path: P,
    /// Who sent it.
    pub by: UserId,
    /// The fields.
    pub filled: Filled,
}

impl<P: DeserializeOwned + Send, S: Send + Sync> FromRequest<S> for PostedTo<P> {
    type Rejection = Fail;

    async fn from_request(request: Request, state: &S) -> Result<Self, Fail> {
        let (mut parts, body) = request.into_parts();
        let path = Path::<P>::from_request_parts(&mut parts, state).await;
        let Path(path) = path.map_err(|_| Fail::not_found())?;
        let visitor = Visitor::from_request_parts(&mut parts, state).await?;
        let Posted(filled) = Posted::from_request(Request::from_parts(parts, body), state).await?;
        Ok(Self { path, by: visitor.user()?, filled })
    }
}

pub(crate) async fn pairs<S: Send + Sync>(
    request: Request,
    state: &S,
) -> Result<Vec<(String, String)>, Fail> {
    let form = Form::<Vec<(String, String)>>::from_request(request, state).await;
    let pairs = form.map(|Form(pairs)| pairs).map_err(|error| match error.status() {
        StatusCode::PAYLOAD_TOO_LARGE => too_large(FORM_BYTES),
        _ => Fail(RequestError::Refused("This is not a form of this program.".to_owned())),
    })?;
    if pairs.len() > MOST_FIELDS {
        return Err(Fail(RequestError::TooLarge(format!(
            "At most {MOST_FIELDS} fields are accepted at once."
        ))));
    }
    Ok(pairs)
}

/// The error for a body that is too large.
#[must_use]
pub fn too_large(limit: usize) -> Fail {
    Fail(RequestError::TooLarge(format!("At most {} MB are accepted at once.", limit >> 20)))
}

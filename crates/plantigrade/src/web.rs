//! Between requests and routes: who is asking, what they sent, and what they read when it fails.

use crate::{
    app::App,
    auth::{SignedIn, Token},
};
use axum::{
    Form,
    body::Bytes,
    extract::{FromRequest, FromRequestParts, Request},
    http::{StatusCode, header, request::Parts},
    response::{IntoResponse, Redirect, Response},
};
use clinic::{ArchiveError, CacheKey, CacheValue, RecomputeCost};
use maud::Markup;
use pages::{RequestError, fields::Filled};
use std::{net::IpAddr, sync::Arc};

/// What every route is given.
pub type Shared = Arc<App>;

/// The largest form, in bytes: three times the longest note as it travels, and some room.
pub const FORM_BYTES: usize = 4 << 20;
/// The largest file, in bytes.
pub const FILE_BYTES: usize = exchange::MOST_BYTES;

/// Who is asking.
#[derive(Clone, Default)]
pub struct Visitor {
    /// Who is signed in.
    pub who: Option<Arc<SignedIn>>,
    /// Their session.
    pub token: Option<Token>,
    /// Before signing in, the token that forms carry, kept in a cookie.
    pub form_token: Option<Token>,
    /// Where they are, as far as is known.
    pub from: Option<IpAddr>,
}

impl Visitor {
    /// The token that this visitor's forms carry.
    #[must_use]
    pub fn csrf(&self) -> &str {
        let before = || self.form_token.as_ref().map(Token::text);
        self.who.as_ref().map(|who| who.csrf.as_str()).or_else(before).unwrap_or_default()
    }

    /// The person signed in.
    ///
    /// # Errors
    /// When nobody is; the gate lets nobody else this far.
    pub fn user(&self) -> Result<record::UserId, Fail> {
        self.who.as_ref().map(|who| who.user).ok_or(Fail(RequestError::Stale))
    }

    /// Whether a form carries this visitor's token.
    #[must_use]
    pub fn sent(&self, csrf: &str) -> bool {
        !self.csrf().is_empty() && crate::auth::same(self.csrf(), csrf)
    }
}

/// A failed request; the page for it is drawn once it is known who asked.
#[derive(Debug, Clone)]
pub struct Fail(pub RequestError);

impl Fail {
    /// No such page, child or entry.
    #[must_use]
    pub const fn not_found() -> Self {
        Self(RequestError::NotFound)
    }

    /// A mistake of the program: the log says more under a word that the page shows.
    #[must_use]
    pub fn fault(what: &str) -> Self {
        let word: String = Token::new().text().chars().take(8).collect();
        tracing::error!(word, "{what}");
        Self(RequestError::Fault(word))
    }
}

impl From<ArchiveError> for Fail {
    fn from(error: ArchiveError) -> Self {
        let said = || crate::exit::sentence(&error.to_string());
        match error {
            ArchiveError::Full => Self(RequestError::DiskFull),
            ArchiveError::InUse { .. } => Self(RequestError::Busy),
            ArchiveError::Damaged(_)
            | ArchiveError::NotRecords(_)
            | ArchiveError::EmptyFile(_)
            | ArchiveError::Unreadable { .. } => {
                tracing::error!("{error}");
                Self(RequestError::Damaged(said()))
            }
            _ => Self::fault(&error.to_string()),
        }
    }
}

impl IntoResponse for Fail {
    fn into_response(self) -> Response {
        let status = StatusCode::from_u16(self.0.status()).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let mut response = status.into_response();
        response.extensions_mut().insert(self.0);
        response
    }
}

/// What a route gives back.
pub type PageResult = Result<Response, Fail>;

/// A page.
///
/// # Errors
/// None; the form is that of a route.
pub fn page(markup: Markup) -> PageResult {
    Ok(markup.into_response())
}

/// A form sent back with what is wrong.
///
/// # Errors
/// None; the form is that of a route.
pub fn again(markup: Markup) -> PageResult {
    Ok((StatusCode::UNPROCESSABLE_ENTITY, markup).into_response())
}

/// On to another page.
///
/// # Errors
/// None; the form is that of a route.
pub fn to(path: &str) -> PageResult {
    Ok(Redirect::to(path).into_response())
}

/// A page drawn for a visitor since the log last grew, or drawn now: `page` must say everything that decides
/// what it shows. What is drawn for one person is never shown to another.
///
/// # Errors
/// Those of drawing it.
pub async fn drawn(
    app: &Shared,
    visitor: &Visitor,
    page: String,
    draw: impl FnOnce(&App) -> Result<Markup, Fail> + Send + 'static,
) -> PageResult {
    let for_visitor = format!("{} {page}", visitor.csrf());
    let key = CacheKey::clinic("page").as_of(app.clock.today()).with(for_visitor);
    let (cache, generation) = (app.records.cache(), app.records.generation()?);
    let bytes = match cache.get::<Bytes>(&key, generation) {
        Some(bytes) => Bytes::clone(&bytes),
        None => {
            // Closed only with the server.
            let _turn = app.drawing.acquire().await;
            let value = Bytes::from(work(app, draw).await?.into_string());
            if app.saves_pages {
                let (value, bytes) = (value.clone(), value.len());
                cache.put(key, generation, CacheValue { value, bytes, cost: RecomputeCost::Quick });
            }
            value
        }
    };
    Ok(([(header::CONTENT_TYPE, "text/html; charset=utf-8")], bytes).into_response())
}

/// Works on the records off the threads that answer requests.
///
/// # Errors
/// Those of the work; a mistake within it is caught.
pub async fn work<T: Send + 'static>(
    app: &Shared,
    work: impl FnOnce(&App) -> Result<T, Fail> + Send + 'static,
) -> Result<T, Fail> {
    let app = Arc::clone(app);
    match tokio::task::spawn_blocking(move || work(&app)).await {
        Ok(result) => result,
        Err(error) => Err(Fail::fault(&format!("a request broke off: {error}"))),
    }
}

impl<S: Sync> FromRequestParts<S> for Visitor {
    type Rejection = Fail;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Fail> {
        Ok(parts.extensions.get::<Self>().cloned().unwrap_or_default())
    }
}

/// A form that carries its visitor's token.
pub struct Posted(pub Filled);

impl<S: Send + Sync> FromRequest<S> for Posted {
    type Rejection = Fail;

    async fn from_request(request: Request, state: &S) -> Result<Self, Fail> {
        let visitor = request.extensions().get::<Visitor>().cloned().unwrap_or_default();
        let filled: Filled = pairs(request, state).await?.into_iter().collect();
        if visitor.sent(filled.value(pages::fields::CSRF)) {
            Ok(Self(filled))
        } else {
            Err(Fail(RequestError::Stale))
        }
    }
}

async fn pairs<S: Send + Sync>(request: Request, state: &S) -> Result<Vec<(String, String)>, Fail> {
    let form = Form::<Vec<(String, String)>>::from_request(request, state).await;
    form.map(|Form(pairs)| pairs).map_err(|error| match error.status() {
        StatusCode::PAYLOAD_TOO_LARGE => too_large(FORM_BYTES),
        _ => Fail(RequestError::Refused("What was sent is not a form of this program.".to_owned())),
    })
}

/// What is said of too large a body.
#[must_use]
pub fn too_large(limit: usize) -> Fail {
    Fail(RequestError::TooLarge(format!("At most {} MB are taken at once.", limit >> 20)))
}

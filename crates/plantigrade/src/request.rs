//! A request: who sent it, and how it fails.

use crate::{
    auth::{AdmittedDevice, AttemptFrom, SignedIn, Token},
    logging::without_contents,
};
use axum::{
    extract::FromRequestParts,
    http::{StatusCode, request::Parts},
    response::{IntoResponse, Response},
};
use clinic::{ArchiveError, TokenHash};
use pages::{PageLanguage, RequestError, RestrictedRefused, StandingNotice, fields::Filled};
use record::ChildId;
use std::{
    net::IpAddr,
    sync::{Arc, Mutex, OnceLock, PoisonError},
};

/// Who sent a request.
#[derive(Clone, Default)]
pub struct Visitor {
    /// Who is signed in.
    pub who: Option<Arc<SignedIn>>,
    /// Their session.
    pub token: Option<Token>,
    /// Whose session is locked on the device; then nobody is signed in.
    pub locked: Option<Arc<SignedIn>>,
    /// The device, as the hash by which PINs and sessions know it.
    pub place: Option<TokenHash>,
    /// The enrolled device, if the request came from the clinic's network.
    pub device: Option<Arc<AdmittedDevice>>,
    /// Before signing in, the token of the forms, stored in a cookie.
    pub form_token: Option<Token>,
    /// The address, if it is known.
    pub from: Option<IpAddr>,
    /// The name and port under which the browser asked, as it states them.
    pub host: String,
    /// Whether the request came by the door to the clinic's network.
    pub by_network: bool,
    /// The generation of the log when the request came in, before anything was read for it: a page is saved for this
    /// one, so that it is never taken for newer than what was read first.
    pub generation: u64,
    /// The notices about the records, once somebody asked: what stands in the page and in its key in the cache is one.
    pub standing: Arc<OnceLock<Vec<StandingNotice>>>,
    /// How often the settings had been changed then.
    pub settings_changes: u64,
}

impl Visitor {
    /// The token of this visitor's forms.
    #[must_use]
    pub fn csrf(&self) -> &str {
        let before = || self.form_token.as_ref().map(Token::text);
        self.who.as_ref().map(|who| who.csrf.as_str()).or_else(before).unwrap_or_default()
    }

    /// From where this visitor tries to sign in.
    #[must_use]
    pub const fn attempt(&self) -> AttemptFrom {
        AttemptFrom { address: self.from, place: self.place }
    }

    /// The language in which the person signed in reads pages; English for everybody else.
    #[must_use]
    pub fn language(&self) -> PageLanguage {
        self.who.as_ref().map(|who| who.language).unwrap_or_default()
    }

    /// The person signed in.
    ///
    /// # Errors
    /// When nobody is signed in; the gate refuses such requests before.
    pub fn user(&self) -> Result<record::UserId, Fail> {
        self.who.as_ref().map(|who| who.user).ok_or(Fail(RequestError::Stale))
    }

    /// What stands for this visitor's browser where something is remembered until its next form.
    #[must_use]
    pub fn holder(&self) -> clinic::TokenHash {
        use sha2::{Digest, Sha256};
        Sha256::digest(self.csrf().as_bytes()).into()
    }

    /// The device in words.
    #[must_use]
    pub fn device_words(&self) -> String {
        self.device.as_ref().map_or_else(|| "this computer".to_owned(), |known| known.device.name.clone())
    }

    /// Whether a form has this visitor's token.
    #[must_use]
    pub fn sent(&self, csrf: &str) -> bool {
        !self.csrf().is_empty() && crate::auth::same(self.csrf(), csrf)
    }
}

/// By which of its two doors a request came in.
#[derive(Debug, Clone, Default)]
pub enum Door {
    /// From this computer, or as an operator set it up.
    #[default]
    ThisComputer,
    /// From the clinic's network, from a device that is enrolled, or from one that is not yet.
    ClinicNetwork(Option<Arc<AdmittedDevice>>),
}

/// The form of a request, left here by whoever reads it: the gate looks at it once the request is answered.
#[derive(Clone, Default)]
pub struct SentForm(Arc<Mutex<Option<(Filled, bool)>>>);

impl SentForm {
    /// Leaves the form, with whether it carried the visitor's token.
    pub fn put(&self, filled: &Filled, is_own: bool) {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = Some((filled.clone(), is_own));
    }

    /// Takes the form, with whether it carried the visitor's token.
    #[must_use]
    pub fn take(&self) -> Option<(Filled, bool)> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).take()
    }
}

impl<S: Sync> FromRequestParts<S> for Door {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Self::Rejection> {
        Ok(parts.extensions.get::<Self>().cloned().unwrap_or_default())
    }
}

/// A failed request. The page for it is drawn later, for the visitor.
#[derive(Debug, Clone)]
pub struct Fail(pub RequestError);

impl Fail {
    /// No such page, child or entry.
    #[must_use]
    pub const fn not_found() -> Self {
        Self(RequestError::NotFound)
    }

    /// A restricted record that is closed to the person; once it is open, the person is led on to `then`.
    #[must_use]
    pub fn restricted(child: ChildId, then: String) -> Self {
        let filled = pages::fields::Filled::default();
        Self(RequestError::Restricted(Box::new(RestrictedRefused { child, then, filled })))
    }

    /// An error of the program. The page shows a word by which the details are found in the log.
    #[must_use]
    pub fn fault(what: &str) -> Self {
        let word: String = Token::new().text().chars().take(8).collect();
        tracing::error!(word, "{what}");
        Self(RequestError::Fault(word))
    }
}

impl From<ArchiveError> for Fail {
    fn from(error: ArchiveError) -> Self {
        let sentence = || crate::exit::sentence(&error.to_string());
        match error {
            ArchiveError::Full => Self(RequestError::DiskFull),
            ArchiveError::InUse { .. } => Self(RequestError::Busy),
            ArchiveError::Damaged(_)
            | ArchiveError::NotRecords(_)
            | ArchiveError::EmptyFile(_)
            | ArchiveError::NoMainFile(_)
            | ArchiveError::Unreadable { .. } => {
                tracing::error!("{}", without_contents(&error));
                Self(RequestError::Damaged(sentence()))
            }
            ArchiveError::Witness(_) | ArchiveError::ReadingOnly => {
                Self(RequestError::NotSavedNow(sentence()))
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

impl<S: Sync> FromRequestParts<S> for Visitor {
    type Rejection = Fail;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Fail> {
        Ok(parts.extensions.get::<Self>().cloned().unwrap_or_default())
    }
}

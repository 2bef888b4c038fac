//! Drafts: forms that were filled in and not saved, sealed under a key of the person who filled them in.

mod form;
mod seal;
mod store;

pub use form::DraftForm;
pub use seal::{DraftSecret, SECRET_FILE, with_key as draft_secret_with_key};
pub use store::{DraftContents, DraftError, FormDrafts, due};

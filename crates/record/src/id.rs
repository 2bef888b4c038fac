//! Ids: a type for each kind of thing, so that the id of a child cannot be passed as the id of an entry.

use serde::{Deserialize, Serialize};
use std::{fmt, str::FromStr};
use uuid::Uuid;

/// A text that is not an id.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{text}” is not {article} id: 32 hexadecimal digits with dashes are expected")]
pub struct IdError {
    /// The text, cut to 60 characters.
    pub text: String,
    /// "a child's", "an entry's" and so on.
    pub article: &'static str,
}

macro_rules! id {
    ($(#[$doc:meta])* $name:ident, $article:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(Uuid);

        impl $name {
            /// An id of a UUID. The program creates version 7; any version is accepted.
            #[must_use]
            pub const fn new(uuid: Uuid) -> Self {
                Self(uuid)
            }

            /// The UUID.
            #[must_use]
            pub const fn uuid(self) -> Uuid {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl FromStr for $name {
            type Err = IdError;

            fn from_str(text: &str) -> Result<Self, IdError> {
                Uuid::parse_str(text)
                    .map(Self)
                    .map_err(|_| IdError { text: crate::quoted(text), article: $article })
            }
        }
    };
}

id!(
    /// A child. It never changes, unlike a hospital number.
    ChildId, "a child's"
);
id!(
    /// One entry of the record.
    EntryId, "an entry's"
);
id!(
    /// A tablet, phone or computer on the clinic's network.
    DeviceId, "a device's"
);
id!(
    /// One import: what a file brought in at one time.
    ImportId, "an import's"
);
id!(
    /// The person who wrote an entry.
    UserId, "a person's"
);
id!(
    /// The clinic at which an entry was written; entries are hash-chained per site.
    SiteId, "a clinic's"
);

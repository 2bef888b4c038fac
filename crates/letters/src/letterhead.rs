//! What a clinic prints at the head and the foot of its letters and documents.

use data_encoding::BASE64;
use std::sync::Arc;

/// The picture of a clinic, as PNG.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClinicLogo(Arc<[u8]>);

impl ClinicLogo {
    /// With the bytes of a PNG.
    #[must_use]
    pub fn new(png: &[u8]) -> Self {
        Self(png.into())
    }

    /// The bytes.
    #[must_use]
    pub fn png(&self) -> &[u8] {
        &self.0
    }

    /// The address under which a page shows it without asking for a file.
    #[must_use]
    pub fn href(&self) -> String {
        format!("data:image/png;base64,{}", BASE64.encode(&self.0))
    }
}

/// The clinic's own lines and picture. Everything may be empty: then nothing is printed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Letterhead {
    /// The address and further lines, as the clinic wrote them.
    pub lines: Vec<String>,
    /// The picture of the clinic.
    pub logo: Option<ClinicLogo>,
    /// Printed below the name of the person who signs a letter.
    pub signature: Vec<String>,
    /// People to whom families may talk, a line for each.
    pub talk_to: Vec<String>,
}

/// The head of a document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DocumentHead {
    /// The name of the clinic.
    pub clinic: String,
    /// Lines below it.
    pub lines: Vec<String>,
    /// The picture.
    pub logo: Option<ClinicLogo>,
}

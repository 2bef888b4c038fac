//! What a clinic prints at the head and the foot of its letters and documents.

/// The clinic's own lines and picture. Everything may be empty: then nothing is printed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Letterhead {
    /// The address and further lines, as the clinic wrote them.
    pub lines: Vec<String>,
    /// The picture of the clinic, as an address that a page can show (`data:`).
    pub logo: Option<String>,
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
    /// The picture, as an address that a page can show.
    pub logo: Option<String>,
}

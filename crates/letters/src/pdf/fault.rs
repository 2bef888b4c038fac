//! Why a PDF is not made.

use messages::MessageFault;

/// Why a PDF is not made. Half a document is never made, and none with empty boxes in place of letters.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PdfFault {
    /// A message is missing in the language.
    #[error(transparent)]
    Message(#[from] MessageFault),
    /// No typeface of the program has these characters.
    #[error(
        "The PDF cannot print “{0}”: the program has no typeface for this script. Open the document as a page instead. It shows every script that the device can show, and it can be printed from there."
    )]
    NoTypeface(String),
    /// The document has a part that is for the page alone.
    #[error("This document is printed from its page: {0}.")]
    OnlyAsPage(&'static str),
    /// There is no document.
    #[error("There is no document to print.")]
    Nothing,
    /// The typesetting failed.
    #[error(
        "The PDF could not be made ({0}). Open the document as a page instead: it can be read and printed from there."
    )]
    Typesetting(String),
}

//! How a sentence is put into a language: the languages, sentences by name with what is put into them, and the rules of
//! CLDR for days, numbers and plurals.
//!
//! The words themselves are in the rooms that show them, as Fluent files: of documents for families in `letters`, of
//! pages in `pages`. Each reads its files once ([`MessageTexts`]) and asks for a [`Sentence`] in a [`Language`]. A
//! message that is missing is an error and never a blank line. Nothing here knows a document or a page.
//!
//! [`ClinicPaper`] is how `pages` hands a paper of the clinic to `letters`, which prints it: neither knows the other.

#![cfg_attr(not(test), warn(clippy::indexing_slicing, clippy::string_slice))]

mod dates;
mod language;
mod paper;
mod sentence;
mod texts;

pub use language::Language;
pub use paper::{ClinicPaper, PaperBit, PaperBlock, PaperCell, PaperChild, PaperRow, PaperTable, PaperText};
pub use sentence::{Arg, Sentence};
pub use texts::{MessageFault, MessageTexts};

//! What families hold in their hands: the plan and the sheets, in their language.
//!
//! A document is made in three steps. [`FamilyFacts`] takes from the outlook of a child what a family is to know, and
//! refuses where nothing can be promised. [`family_plan`], [`cast_sheet`], [`brace_sheet`] and [`expect_sheet`] choose the sentences,
//! each by the name of its message, with its numbers and days ([`Sentence`]). [`html::page`] looks the messages up in
//! a [`Language`] and draws the page. So a document has the same facts in every language, and two languages can be
//! printed beside each other.

#![cfg_attr(not(test), warn(clippy::indexing_slicing, clippy::string_slice))]

mod brace_sheet;
mod cast_sheet;
mod colleague_block;
mod colleagues;
mod diary;
mod document;
mod expect;
mod facts;
mod handed;
pub mod html;
mod letter_language;
mod letterhead;
mod letters;
mod own_text;
mod parts;
pub mod pdf;
mod plan;
mod stage;
mod with_letterhead;
mod wording;

pub use brace_sheet::brace_sheet;
pub use cast_sheet::cast_sheet;
pub use colleague_block::{ColleagueBlock, CourseChart, FootFindings, LetterPhotograph};
pub use colleagues::{
    ColleagueDocument, ColleagueDocumentKind, ColleagueFacts, NoLetter, clinic_summary, colleague_document,
    referrer_letter, transfer_summary,
};
pub use diary::{
    DiaryCode, DiaryCodeFault, DiaryReading, DiaryRow, DiaryUnread, GreyPicture, RowReading, read_diary,
};
pub use document::{
    Block, DatedLine, ExpectTopic, FamilyDocument, FamilyDocumentKind, FamilyDrawing, SignPicture, WayPoint,
};
pub use expect::expect_sheet;
pub use facts::{ClinicContact, FamilyFacts, NoDocument, Planned};
pub use handed::{LastHanded, handed_with_photographs, last_handed};
pub use letter_language::LetterLanguage;
pub use letterhead::{ClinicLogo, DocumentHead, Letterhead};
pub use letters::{appointment_letter, missed_visit_letter, nursery_letter, wear_diary};
pub use messages::{Arg, ClinicPaper, Language, MessageFault, Sentence};
pub use own_text::{
    BuiltInText, MESSAGE_GROUPS, TextFault, built_in_text, check_text, samples, texts_of_group,
};
pub use plan::{PlanChoices, family_plan};
pub use stage::FamilyStage;
pub use wording::{LeftOutText, Wording};

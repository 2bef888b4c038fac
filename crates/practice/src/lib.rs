//! Learning to score the foot alike: drawn feet with a known answer, exercises, and agreement with the answer.
//!
//! [`FootDrawing`] is a foot drawn from geometry: every sign of the Pirani score at every level and between them,
//! from the table of numbers in [`SignGeometry`]. [`DrawnCase`] is a foot with the answer to all six signs, from a
//! seed. [`PracticeSchedule`] says which sign a person is asked next and when, [`PracticeProgress`] how the person's
//! answers agree with what was drawn.
//!
//! This room never reads a clock, never writes markup, never scores a child, and sets no pass mark. A drawing cannot
//! teach what is felt with a finger ([`is_felt`]), and nothing here says that a person scores correctly at the cast
//! table.
//!
//! Start reading at [`SignGeometry`], then [`FootDrawing`] and [`DrawnCase`].

#![warn(missing_docs)]
#![cfg_attr(not(test), warn(clippy::indexing_slicing, clippy::string_slice))]

mod answer;
mod case;
mod chance;
mod confirmed;
mod drawn;
mod geometry;
mod photographed;
mod progress;
mod repetition;

pub use answer::{AnswerExplained, CannotShowAnswer, PracticeAnswer};
pub use case::{CaseKey, DrawnByOtherVersion, DrawnCase};
pub use confirmed::{ConfirmedLevels, LevelConfirmed, LevelStanding};
pub use drawn::{
    DrawnLabel, DrawnLayer, DrawnPart, DrawnPoint, DrawnShape, FRAME, FillClass, FootDrawing, FootLook,
    FootView, LabelAnchor, SkinShade, StrokeWeight, is_felt,
};
pub use geometry::{DRAWING_VERSION, GEOMETRY_SOURCE, GeometryItem, LevelGeometry, SignGeometry};
pub use photographed::{PhotographProgress, level_agreed, signs_in_view};
pub use progress::{
    AgreementUnknown, BLOCK, FEWEST_FEET, KappaWithInterval, PUBLISHED_LEARNING, PracticeBlock,
    PracticeProgress, PublishedLearning, ReferenceAgreement, SignProgress,
};
pub use repetition::{BOX_DAYS, PracticeSchedule, SET, SignSchedule};

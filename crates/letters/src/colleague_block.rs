//! Parts that only documents for colleagues have.

use messages::Sentence;
use record::Side;

/// The course of a foot as it was drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CourseChart {
    /// Which foot.
    pub side: Side,
    /// The drawing, an SVG element by itself.
    pub svg: String,
}

/// What a document says about one foot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FootFindings {
    /// Which foot.
    pub side: Side,
    /// What, and its value; `None` where the foot is not recorded as affected.
    pub lines: Option<Vec<(Sentence, Sentence)>>,
}

/// A part that only documents for colleagues have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ColleagueBlock {
    /// What is in doubt, above everything else.
    Doubt(Vec<Sentence>),
    /// The course of each foot, drawn beside each other where both are affected.
    Charts(Vec<CourseChart>),
    /// What is about the right foot beside what is about the left one; below each other on a phone.
    Feet(Vec<FootFindings>),
    /// A table with the heads of its columns.
    Wide {
        /// What the table shows.
        caption: Sentence,
        /// The head of each column.
        heads: Vec<Sentence>,
        /// The cells, row by row; the first cell names the row.
        rows: Vec<Vec<String>>,
    },
    /// A line for the signature, and who signs.
    Signature(Vec<String>),
    /// Small print.
    Small(Vec<Sentence>),
}

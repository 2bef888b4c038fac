//! Parts that only documents for colleagues have.

use messages::{Arg, Sentence};
use record::{Day, PhotographView, Side, Sides};

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

/// A photograph in a letter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LetterPhotograph {
    /// The day on which it was taken.
    pub on: Day,
    /// The foot or feet.
    pub feet: Sides,
    /// From where.
    pub view: PhotographView,
    /// Where a browser finds the picture.
    pub src: String,
}

impl LetterPhotograph {
    /// "Photograph: left foot, sole, 3 May 2024": beside it, and in its place for whoever cannot see it.
    pub(crate) fn caption(&self) -> Sentence {
        Sentence::new("clinic-photograph")
            .with("what", self.view.of_feet(self.feet).as_str())
            .with("day", Arg::Text(self.on.words()))
    }
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
    /// Photographs, on paper of their own, which says whose they are.
    Photographs(Vec<Sentence>, Vec<LetterPhotograph>),
}

//! A document as a list of blocks, without a language and without a layout.

use crate::{
    colleague_block::ColleagueBlock, diary::DiaryCode, letterhead::DocumentHead, stage::FamilyStage,
};
use messages::Sentence;
use record::{Day, HandedDocument, Side};

/// Which document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FamilyDocumentKind {
    /// Where the child is, what comes next, what to look at.
    Plan,
    /// Care of the cast.
    CastSheet,
    /// The brace of this child.
    BraceSheet,
    /// What to expect at a stage.
    Expect(ExpectTopic),
    /// The next visit.
    AppointmentLetter,
    /// After a visit that was missed.
    MissedVisitLetter,
    /// To the nursery, about the brace.
    NurseryLetter,
    /// Hours in the brace, four weeks to fill in.
    WearDiary,
}

/// A stage or question of which there is a sheet that says what to expect.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ExpectTopic {
    /// The first casts.
    FirstCasts,
    /// The day of the tenotomy.
    HeelCord,
    /// The first week of the brace.
    FirstWeekOfBrace,
    /// Changing to nights and naps.
    NightsAndNaps,
    /// Making the brace a habit.
    Habit,
    /// Growing out of the boots.
    Boots,
    /// When the brace is difficult.
    Troubles,
    /// Signs that the foot is turning back.
    TurningBack,
    /// The last year.
    LastYear,
}

impl ExpectTopic {
    /// Every topic, in the order of the way.
    pub const ALL: [Self; 9] = [
        Self::FirstCasts,
        Self::HeelCord,
        Self::FirstWeekOfBrace,
        Self::NightsAndNaps,
        Self::Habit,
        Self::Boots,
        Self::Troubles,
        Self::TurningBack,
        Self::LastYear,
    ];
}

impl FamilyDocumentKind {
    /// Every kind.
    pub const ALL: [Self; 16] = [
        Self::Plan,
        Self::CastSheet,
        Self::BraceSheet,
        Self::Expect(ExpectTopic::FirstCasts),
        Self::Expect(ExpectTopic::HeelCord),
        Self::Expect(ExpectTopic::FirstWeekOfBrace),
        Self::Expect(ExpectTopic::NightsAndNaps),
        Self::Expect(ExpectTopic::Habit),
        Self::Expect(ExpectTopic::Boots),
        Self::Expect(ExpectTopic::Troubles),
        Self::Expect(ExpectTopic::TurningBack),
        Self::Expect(ExpectTopic::LastYear),
        Self::AppointmentLetter,
        Self::MissedVisitLetter,
        Self::NurseryLetter,
        Self::WearDiary,
    ];

    /// Whether it is made as a PDF too. The diary is not: the program reads its boxes back from a picture of the page.
    #[must_use]
    pub const fn has_pdf(self) -> bool {
        !matches!(self, Self::WearDiary)
    }

    /// The key in addresses.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Plan => "plan",
            Self::CastSheet => "cast-sheet",
            Self::BraceSheet => "brace-sheet",
            Self::Expect(topic) => match topic {
                ExpectTopic::FirstCasts => "first-casts",
                ExpectTopic::HeelCord => "heel-cord",
                ExpectTopic::FirstWeekOfBrace => "first-week-of-brace",
                ExpectTopic::NightsAndNaps => "nights-and-naps",
                ExpectTopic::Habit => "habit",
                ExpectTopic::Boots => "boots",
                ExpectTopic::Troubles => "troubles",
                ExpectTopic::TurningBack => "turning-back",
                ExpectTopic::LastYear => "last-year",
            },
            Self::AppointmentLetter => "appointment-letter",
            Self::MissedVisitLetter => "missed-visit-letter",
            Self::NurseryLetter => "nursery-letter",
            Self::WearDiary => "wear-diary",
        }
    }

    /// From a key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// The same document as an entry records it; both have the same key. A test finds one without.
    #[must_use]
    pub fn recorded(self) -> Option<HandedDocument> {
        HandedDocument::from_key(self.key())
    }

    /// Its name for the staff.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Plan => "Family plan",
            Self::CastSheet => "Cast care sheet",
            Self::BraceSheet => "Brace sheet",
            Self::Expect(topic) => match topic {
                ExpectTopic::FirstCasts => "What to expect: first casts",
                ExpectTopic::HeelCord => "What to expect: the day of the tenotomy",
                ExpectTopic::FirstWeekOfBrace => "What to expect: first week of the brace",
                ExpectTopic::NightsAndNaps => "What to expect: nights and naps",
                ExpectTopic::Habit => "Making the brace a habit",
                ExpectTopic::Boots => "Growing out of the boots",
                ExpectTopic::Troubles => "When the brace is difficult",
                ExpectTopic::TurningBack => "Signs that the foot is turning back",
                ExpectTopic::LastYear => "What to expect: the last year",
            },
            Self::AppointmentLetter => "Appointment letter",
            Self::MissedVisitLetter => "Missed-visit letter",
            Self::NurseryLetter => "Letter to the nursery",
            Self::WearDiary => "Wear diary",
        }
    }
}

/// A step on the way of the child, as it is drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WayPoint {
    /// Which.
    pub stage: FamilyStage,
    /// The feet that are there.
    pub here: Vec<Side>,
    /// Whether every foot has passed it.
    pub passed: bool,
}

/// A line of the table of dates.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DatedLine {
    /// The day.
    pub day: Day,
    /// The time of day, as the clinic wrote it.
    pub time: Option<String>,
    /// What for.
    pub what: Sentence,
}

/// A picture of a sign for which a child is brought in at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SignPicture {
    /// Toes of a changed colour.
    Toes,
    /// Toes that have gone into the cast.
    HiddenToes,
    /// A thermometer.
    Fever,
    /// A stain that grows.
    Blood,
    /// A crying face.
    Crying,
    /// Broken skin.
    Skin,
}

/// A drawing in a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FamilyDrawing {
    /// The leg in its cast: bent knee, toes free, heel beyond the edge of a towel.
    LegInCast,
    /// The boot from the side: heel down, and the order of the straps.
    HeelAndStraps,
}

impl FamilyDrawing {
    /// The message that says what it shows.
    #[must_use]
    pub const fn message(self) -> &'static str {
        match self {
            Self::LegInCast => "drawing-leg-in-cast",
            Self::HeelAndStraps => "drawing-heel-and-straps",
        }
    }
}

/// A part of a document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// A heading.
    Heading(Sentence),
    /// A paragraph.
    Paragraph(Vec<Sentence>),
    /// A list.
    List(Vec<Sentence>),
    /// The way with "you are here".
    Way(Vec<WayPoint>),
    /// Dates.
    Dates(Vec<DatedLine>),
    /// When to come at once, each sign with its picture.
    Emergency(Vec<(SignPicture, Sentence)>),
    /// When to ring.
    Ring(Vec<Sentence>),
    /// The telephone number; `None` leaves room to write it.
    Telephone(Option<String>),
    /// A table of two columns.
    Table(Vec<(Sentence, Sentence)>),
    /// A drawing beside its explanation.
    Drawing(FamilyDrawing, Vec<Sentence>),
    /// The sheet of the diary that a machine can read: a row of boxes for each day.
    DiarySheet(DiaryCode),
    /// A question that parents ask, and the answer.
    Question(Sentence, Sentence),
    /// The head of the clinic, drawn above the title wherever it stands.
    Head(DocumentHead),
    /// A part that only documents for colleagues have.
    ForColleagues(ColleagueBlock),
}

/// A document for a family.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FamilyDocument {
    /// Which.
    pub kind: FamilyDocumentKind,
    /// Its title.
    pub title: Sentence,
    /// Whose it is and when it was made: name, day of birth and number, so that it is given to the right family.
    pub whose: Vec<Sentence>,
    /// Its parts.
    pub blocks: Vec<Block>,
}

//! Letters to colleagues, in English: to the doctor who referred the child, a summary on one page, and the summary for
//! a clinic that continues the treatment.
//!
//! Each foot is told by itself, under its name in words. What is in doubt is printed above everything else, and the
//! next steps are those of the outlook, which advises nothing about a foot while its facts contradict each other.

mod course_table;
mod feet;
mod going;
mod referrer;
mod summary;
mod transfer;

pub use referrer::referrer_letter;
pub use summary::clinic_summary;
pub use transfer::transfer_summary;

use crate::{
    colleague_block::{ColleagueBlock, CourseChart, LetterPhotograph},
    document::Block,
    facts::ClinicContact,
};
use course::{Course, Standing};
use guidance::Outlook;
use messages::{Arg, Sentence};
use record::{Body, CorrectedLog, Day, Entry, HandedDocument, Referral};

/// Which document for a colleague.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ColleagueDocumentKind {
    /// To the doctor who referred the child.
    ReferrerLetter,
    /// One page about the child.
    ClinicSummary,
    /// The whole course, for a clinic that continues the treatment.
    TransferSummary,
}

impl ColleagueDocumentKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::ReferrerLetter, Self::ClinicSummary, Self::TransferSummary];

    /// The key in addresses.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::ReferrerLetter => "referrer-letter",
            Self::ClinicSummary => "clinic-summary",
            Self::TransferSummary => "transfer-summary",
        }
    }

    /// From a key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::ReferrerLetter => "Letter to the referring doctor",
            Self::ClinicSummary => "Clinic summary",
            Self::TransferSummary => "Transfer summary",
        }
    }
}

impl ColleagueDocumentKind {
    /// The same document as an entry records it when it is handed over with photographs.
    #[must_use]
    pub const fn recorded(self) -> HandedDocument {
        match self {
            Self::ReferrerLetter => HandedDocument::ReferrerLetter,
            Self::ClinicSummary => HandedDocument::ClinicSummary,
            Self::TransferSummary => HandedDocument::TransferSummary,
        }
    }
}

/// A document for a colleague.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColleagueDocument {
    /// Which.
    pub kind: ColleagueDocumentKind,
    /// Its title.
    pub title: Sentence,
    /// Whose it is and when it was made.
    pub whose: Vec<Sentence>,
    /// Its parts.
    pub blocks: Vec<Block>,
}

impl ColleagueDocument {
    /// The document with photographs behind it; as it is where there are none.
    #[must_use]
    pub fn with_photographs(mut self, photographs: Vec<LetterPhotograph>) -> Self {
        if !photographs.is_empty() {
            self.blocks.push(own(ColleagueBlock::Photographs(self.whose.clone(), photographs)));
        }
        self
    }
}

/// Why no letter is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoLetter {
    /// The child died.
    #[error(
        "The record says that this child has died. Write this letter yourself; the clinic summary can still be made."
    )]
    Died,
    /// No affected foot is recorded.
    #[error("No affected foot is recorded yet. Record the diagnosis or the first visit first.")]
    NoFoot,
}

/// What the letters are made from, on a day.
#[derive(Debug, Clone, Copy)]
pub struct ColleagueFacts<'a> {
    /// The day on which the document is made.
    pub today: Day,
    /// The outlook, as of that day.
    pub outlook: &'a Outlook,
    /// Every entry of the child.
    pub entries: &'a [Entry],
    /// How the clinic is reached.
    pub clinic: &'a ClinicContact,
    /// The course of each affected foot, drawn.
    pub charts: &'a [CourseChart],
    /// The name of the person who makes the document.
    pub writer: &'a str,
}

impl<'a> ColleagueFacts<'a> {
    /// The course.
    #[must_use]
    pub fn course(&self) -> &'a Course {
        &self.outlook.course
    }

    /// The whole name of the child.
    pub(crate) fn name(&self) -> String {
        self.course().about.full_name()
    }

    /// The last referral that holds, with the day on which it was received.
    pub(crate) fn referral(&self) -> Option<(Day, Referral)> {
        let log = CorrectedLog::of(self.entries, self.today);
        let holds = log.lines.iter().filter(|line| line.fate.holds());
        let referrals = holds.filter_map(|line| match line.body {
            Body::Referral(referral) => Some((line.on, referral.clone())),
            _ => None,
        });
        referrals.max_by_key(|(on, _)| *on)
    }

    fn whose(&self) -> Vec<Sentence> {
        crate::parts::whose_of(&self.course().about, self.today, &self.clinic.name)
    }

    fn has_died(&self) -> bool {
        matches!(self.course().standing, Standing::Died(_))
    }

    /// The documents that can be made for a child at all.
    fn check(&self, after_death: bool) -> Result<(), NoLetter> {
        if self.has_died() && !after_death {
            return Err(NoLetter::Died);
        }
        if self.course().feet.is_empty() { Err(NoLetter::NoFoot) } else { Ok(()) }
    }

    fn finished(
        &self,
        kind: ColleagueDocumentKind,
        title: &'static str,
        blocks: Vec<Block>,
    ) -> ColleagueDocument {
        let title = Sentence::new(title).with("name", self.name().as_str());
        ColleagueDocument { kind, title, whose: self.whose(), blocks }
    }
}

/// Words that another part of the program gives, such as those of a step.
pub(crate) fn said(words: &str) -> Sentence {
    Sentence::new("clinic-said").with("text", words)
}

/// A day without its weekday: in a letter to a colleague the weekday says nothing.
pub(crate) fn date(day: Day) -> Arg {
    Arg::Text(day.words())
}

/// "+15°", "−5°".
pub(crate) fn degrees(deg: i16) -> String {
    match deg {
        ..=-1 => format!("−{}°", deg.unsigned_abs()),
        0 => "0°".to_owned(),
        1.. => format!("+{deg}°"),
    }
}

pub(crate) fn heading(id: &'static str) -> Block {
    Block::Heading(Sentence::new(id))
}

pub(crate) fn own(block: ColleagueBlock) -> Block {
    Block::ForColleagues(block)
}

/// Any document for a colleague.
///
/// # Errors
/// As the function of the kind.
pub fn colleague_document(
    facts: &ColleagueFacts<'_>,
    kind: ColleagueDocumentKind,
) -> Result<ColleagueDocument, NoLetter> {
    match kind {
        ColleagueDocumentKind::ReferrerLetter => referrer_letter(facts),
        ColleagueDocumentKind::ClinicSummary => clinic_summary(facts),
        ColleagueDocumentKind::TransferSummary => transfer_summary(facts),
    }
}

//! Questions about the file as a whole: one for each column and value, never one for each row, and the
//! answers a person can give. What is answered goes into the map file and is not asked again.

use crate::text::clip;
use serde::Serialize;
use std::fmt;

/// Rows named with a question.
pub(crate) const ROWS_NAMED: usize = 5;

/// Between the words of a question about several of them.
pub(crate) const TOGETHER: &str = " ¦ ";

/// One answer that can be given to a [`FileQuestion`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AnswerChoice {
    /// The key by which [`crate::MapFile::answer`] takes it.
    pub key: String,
    /// The words a person reads.
    pub words: String,
}

impl AnswerChoice {
    /// An answer with its key and its words.
    #[must_use]
    pub fn new(key: impl Into<String>, words: impl Into<String>) -> Self {
        Self { key: key.into(), words: words.into() }
    }
}

/// One question about the file: the column, the value and the meanings that are in doubt.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FileQuestion {
    /// The same for the same question in every file of the clinic.
    pub id: String,
    /// The heading of the column, several parted by commas; `None` where it is about the whole file.
    pub column: Option<String>,
    /// The value in doubt, shortened; `None` where it is about every value.
    pub value: Option<String>,
    /// One or two sentences.
    pub text: String,
    /// How many cells, or rows, it is about.
    pub count: usize,
    /// The first rows it is about, at most five.
    pub rows: Vec<usize>,
    /// The answers that can be given. A question about unused columns is also answered by giving each
    /// of them a meaning.
    pub choices: Vec<AnswerChoice>,
    /// Whether columns of facts would be lost or read wrongly while it is open: the import is not complete
    /// without an answer. What is in doubt is never written.
    pub blocks: bool,
}

impl FileQuestion {
    /// A question of a topic, without rows yet.
    pub(crate) fn new(topic: &QuestionTopic, text: impl Into<String>) -> Self {
        Self {
            id: topic.to_string(),
            column: None,
            value: None,
            text: text.into(),
            count: 0,
            rows: Vec::new(),
            choices: Vec::new(),
            blocks: false,
        }
    }

    pub(crate) fn about(mut self, column: impl Into<String>, value: Option<&str>) -> Self {
        self.column = Some(column.into());
        self.value = value.map(|value| clip(value, 80));
        self
    }

    pub(crate) fn choice(mut self, key: impl Into<String>, words: impl Into<String>) -> Self {
        self.choices.push(AnswerChoice::new(key, words));
        self
    }

    pub(crate) const fn blocking(mut self) -> Self {
        self.blocks = true;
        self
    }

    /// Counts a cell or row, by the number a person finds it under.
    pub(crate) fn count_row(&mut self, row: usize) {
        self.count += 1;
        if self.rows.len() < ROWS_NAMED && self.rows.last() != Some(&row) {
            self.rows.push(row);
        }
    }
}

/// What a question is about. Its text form is the id of the question.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) enum QuestionTopic {
    /// The order of day and month.
    DateOrder,
    /// A word for what was done.
    DoneWord(String),
    /// A word for a side.
    SideWord(String),
    /// A value in columns that are measured.
    Value(String),
    /// What the numbers of a column, or of all signs, stand for.
    Coding(String),
    /// Whether a column repeats the state so far.
    Repeats(String),
    /// What a column means.
    Meaning(String),
    /// Columns of a kind that would be left out: "scores", "dates", "acts".
    Unused(String),
    /// Rows that look like a sum or a footer.
    Footers,
    /// Rows without a child.
    BlankRows,
    /// Whether each row holds one measurement.
    RowLayout,
    /// Rows that give other values than the record.
    ChangedVisits,
    /// A sheet that is left out.
    OtherSheet(String),
    /// Another choice that has no place of its own in a map file.
    Other(String),
}

type TopicOf = fn(String) -> QuestionTopic;

/// The topics with a text of their own after the colon.
const TOPICS: [(&str, TopicOf); 8] = [
    ("done: ", QuestionTopic::DoneWord),
    ("side: ", QuestionTopic::SideWord),
    ("value: ", QuestionTopic::Value),
    ("coding: ", QuestionTopic::Coding),
    ("repeats: ", QuestionTopic::Repeats),
    ("meaning: ", QuestionTopic::Meaning),
    ("unused: ", QuestionTopic::Unused),
    ("sheet: ", QuestionTopic::OtherSheet),
];

impl fmt::Display for QuestionTopic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::DateOrder => f.write_str("date order"),
            Self::Footers => f.write_str("footers"),
            Self::BlankRows => f.write_str("blank rows"),
            Self::RowLayout => f.write_str("layout"),
            Self::ChangedVisits => f.write_str("changed visits"),
            Self::DoneWord(of) => write!(f, "done: {of}"),
            Self::SideWord(of) => write!(f, "side: {of}"),
            Self::Value(of) => write!(f, "value: {of}"),
            Self::Coding(of) => write!(f, "coding: {of}"),
            Self::Repeats(of) => write!(f, "repeats: {of}"),
            Self::Meaning(of) => write!(f, "meaning: {of}"),
            Self::Unused(of) => write!(f, "unused: {of}"),
            Self::OtherSheet(of) => write!(f, "sheet: {of}"),
            Self::Other(id) => f.write_str(id),
        }
    }
}

impl QuestionTopic {
    /// The topic of an id.
    pub(crate) fn of_id(id: &str) -> Self {
        match id {
            "date order" => return Self::DateOrder,
            "footers" => return Self::Footers,
            "blank rows" => return Self::BlankRows,
            "layout" => return Self::RowLayout,
            "changed visits" => return Self::ChangedVisits,
            _ => {}
        }
        let found = TOPICS.iter().find_map(|(prefix, make)| Some(make(id.strip_prefix(prefix)?.to_owned())));
        found.unwrap_or_else(|| Self::Other(id.to_owned()))
    }
}

/// The id of the question about many sheets that look like visits and are not read.
pub(crate) const OTHER_SHEETS: &str = "other sheets";

/// The answer that a word names no foot.
pub(crate) const NO_FOOT: &str = "no foot";

/// A word in lower case: the same word in capitals is not asked about twice.
pub(crate) fn fold_word(value: &str) -> String {
    value.trim().to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_leads_back_to_its_topic() {
        let topics = [
            QuestionTopic::DateOrder,
            QuestionTopic::Footers,
            QuestionTopic::BlankRows,
            QuestionTopic::RowLayout,
            QuestionTopic::ChangedVisits,
            QuestionTopic::DoneWord("TA: 6".to_owned()),
            QuestionTopic::SideWord("q1".to_owned()),
            QuestionTopic::Value("sain".to_owned()),
            QuestionTopic::Coding("signs".to_owned()),
            QuestionTopic::Repeats("Tenotomy done".to_owned()),
            QuestionTopic::Meaning("B".to_owned()),
            QuestionTopic::Unused("scores".to_owned()),
            QuestionTopic::OtherSheet("May".to_owned()),
            QuestionTopic::Other("something else".to_owned()),
        ];
        for topic in topics {
            assert_eq!(QuestionTopic::of_id(&topic.to_string()), topic);
        }
    }

    #[test]
    fn a_question_counts_every_row_and_names_five_rows_once() {
        let mut question = FileQuestion::new(&QuestionTopic::Footers, "");
        for row in [2, 2, 3, 4, 5, 6, 7] {
            question.count_row(row);
        }
        assert_eq!((question.count, question.rows), (7, vec![2, 3, 4, 5, 6]));
    }
}

//! Questions about cells that an answer for the whole file settles, and what was answered.

use super::{Reader, RowVisit};
use crate::{
    Column, FileQuestion, Meaning, Remark,
    questions::{NO_FOOT, QuestionTopic, fold_word},
    report::grouped,
    sided_scores::SidedScores,
    sides,
    text::{ANY_NUMBER, form_of, latin_digits, numbers_as, tokens},
    values,
    words::done::{
        self, SaidPart,
        explained::{self, NOTE, NOTHING},
    },
};
use record::{Day, Side};
use std::borrow::Cow;

/// How the ids of questions about a piece of a cell begin.
const PIECE: &str = "piece: ";

/// The id of the question about dates in the contrary order.
const CONTRARY_DATES: &str = "contrary dates";

/// What the two scores of a cell such as "3/2.5" are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ScorePair {
    /// Those of the two feet, this one first.
    Feet(Side),
    /// Midfoot and hindfoot of one foot, to be added.
    Parts,
    /// Neither: the words are kept as a note.
    LeftOut,
}

/// The answers to what two scores in a cell are.
const PAIRS: [(&str, &str, ScorePair); 4] = [
    ("midfoot and hindfoot", "midfoot and hindfoot of one foot, to be added", ScorePair::Parts),
    ("right/left", "the right foot, then the left", ScorePair::Feet(Side::Right)),
    ("left/right", "the left foot, then the right", ScorePair::Feet(Side::Left)),
    ("leave out", "something else: keep the words as a note", ScorePair::LeftOut),
];

impl Reader<'_> {
    fn answer(&self, id: &str) -> Option<&str> {
        self.map.answers.get(id).map(String::as_str)
    }

    fn topic_of(&self, what: &str, column: usize) -> String {
        format!("{what}: {}", self.name_of_any_visit(column))
    }

    /// The name that a column shares with those of the other visits, about which one question is enough.
    fn name_of_any_visit(&self, column: usize) -> String {
        let named = self.map.columns.get(column).map(Column::name_of_any_visit);
        named.unwrap_or_else(|| self.column_name(column))
    }

    /// What the two scores in the cells of a column are: as the heading or an answer says.
    pub(super) fn score_pair(&self, column: usize) -> Option<ScorePair> {
        if let Some(answer) = self.answer(&self.topic_of("two scores", column)) {
            return PAIRS.iter().find(|(key, ..)| *key == answer).map(|&(_, _, pair)| pair);
        }
        self.table.headers.get(column).and_then(|heading| first_foot(heading)).map(ScorePair::Feet)
    }

    /// Adds the question what the two scores of a column are.
    pub(super) fn ask_about_pair(&self, column: usize, mut remark: Remark) -> Remark {
        let topic = QuestionTopic::Other(self.topic_of("two scores", column));
        let text = "The cells hold two scores, as 3/2.5. What are they?";
        let mut question = FileQuestion::new(&topic, text).about(self.column_name(column), None).blocking();
        for (key, words, _) in PAIRS {
            question = question.choice(key, words);
        }
        remark.question = Some(Box::new(question));
        remark
    }

    /// Whether one date in this column is that of both feet, or left out; `None` where nobody stated it.
    pub(super) fn is_of_both(&self, column: usize) -> Option<bool> {
        match self.answer(&self.topic_of("one date", column))? {
            "both" => Some(true),
            _ => Some(false),
        }
    }

    /// Adds the question whether one date is that of both feet.
    pub(super) fn ask_about_both(&self, column: usize, meaning: Meaning, mut remark: Remark) -> Remark {
        let topic = QuestionTopic::Other(self.topic_of("one date", column));
        let text = format!("Rows about both feet give one {}. Is it that of both feet?", meaning.words());
        let question = FileQuestion::new(&topic, text)
            .about(self.column_name(column), None)
            .blocking()
            .choice("both", "yes, of both feet on that day")
            .choice("leave out", "not always: keep it as a note, and record each by hand");
        remark.question = Some(Box::new(question));
        remark
    }

    /// What was answered about tenotomies with their dates in a column of remarks.
    pub(super) fn tenotomy_in_remarks(&self, column: usize) -> Option<&str> {
        self.answer(&self.topic_of("tenotomy", column))
    }

    /// Adds the question what a tenotomy with its date in a remark means.
    pub(super) fn ask_about_tenotomy(&self, column: usize, mut remark: Remark) -> Remark {
        let topic = QuestionTopic::Other(self.topic_of("tenotomy", column));
        let text = "Remarks name a tenotomy with a date. Was it done on that day, on the foot of the row?";
        let question = FileQuestion::new(&topic, text)
            .about(self.column_name(column), None)
            .choice("done", "yes: record it on the date written, where the row is about one foot")
            .choice("note", "not always: keep the words as notes, and record each by hand");
        remark.question = Some(Box::new(question));
        remark
    }

    /// Whether remarks with a date are notes and nothing else, as the user stated.
    pub(super) fn dates_are_notes(&self, column: usize) -> bool {
        self.answer(&self.topic_of("dates", column)) == Some("note")
    }

    /// Adds the question whether remarks with a date are notes.
    pub(super) fn ask_about_dates(&self, column: usize, mut remark: Remark) -> Remark {
        let topic = QuestionTopic::Other(self.topic_of("dates", column));
        let text = "Remarks name other days than that of the visit. Nothing is recorded on those days.";
        let question = FileQuestion::new(&topic, text)
            .about(self.column_name(column), None)
            .choice("note", "keep the words as notes");
        remark.question = Some(Box::new(question));
        remark
    }

    /// Whether the user stated that dates are read that exist in the contrary order only.
    pub(super) fn contrary_dates_are_read(&self) -> bool {
        self.answer(CONTRARY_DATES) == Some("read")
    }

    /// Adds the question whether a date that exists in the contrary order only is meant so.
    pub(super) fn ask_about_contrary_date(&self, day: Day, mut remark: Remark) -> Remark {
        if self.answer(CONTRARY_DATES).is_some() {
            return remark;
        }
        let written = remark.value.clone().unwrap_or_default();
        let text = format!(
            "“{written}” is a day in the contrary order of day and month only: {}. Are such dates meant so?",
            day.words()
        );
        let mut question = FileQuestion::new(&QuestionTopic::Other(CONTRARY_DATES.to_owned()), text)
            .choice("read", "yes: read each in the only order that gives a day")
            .choice("refuse", "not certain: refuse what they date");
        question.value = Some(written);
        remark.question = Some(Box::new(question));
        remark
    }

    /// Adds the question whether a column of remarks says what was done.
    pub(super) fn ask_about_acts(&self, column: usize, mut remark: Remark) -> Remark {
        let name = self.name_of_any_visit(column);
        let topic = QuestionTopic::Meaning(name.clone());
        let text =
            "Remarks name treatments, and nothing is taken as done. Does the column say what was done?";
        let question = FileQuestion::new(&topic, text)
            .about(name, None)
            .blocking()
            .choice(Meaning::Done.key(), "yes: what was done")
            .choice(Meaning::Remarks.key(), "no: keep the words as notes");
        remark.question = Some(Box::new(question));
        remark
    }

    /// The words of a cell without the pieces of which the user stated that they say nothing of what was
    /// done.
    pub(super) fn without_explained<'t>(&self, text: Cow<'t, str>) -> Cow<'t, str> {
        let any = self.map.answers.keys().any(|id| id.starts_with(PIECE));
        if !any || self.explained_words.explains(&text) {
            return text;
        }
        let says_nothing = |piece: &str| self.answer(&format!("{PIECE}{}", form_of(piece))) == Some(NOTHING);
        match done::without_pieces(&text, &says_nothing) {
            Some(left) => Cow::Owned(left),
            None => text,
        }
    }

    /// Whether the user stated that cells with this piece are notes.
    pub(super) fn piece_makes_note(&self, piece: &str) -> bool {
        self.answer(&format!("{PIECE}{}", form_of(piece))) == Some(NOTE)
    }

    /// Adds the question what a piece of a cell says in addition to what was done.
    pub(super) fn ask_about_piece(&self, piece: &str, column: usize, mut remark: Remark) -> Remark {
        let topic = QuestionTopic::Other(format!("{PIECE}{}", form_of(piece)));
        let text = format!(
            "“{piece}” comes with something that was done, and is not understood. Does it change that?"
        );
        let question = FileQuestion::new(&topic, text)
            .about(self.column_name(column), Some(piece))
            .choice(NOTHING, "no: read the rest of the cell")
            .choice(NOTE, "yes: keep the whole cell as a note");
        remark.question = Some(Box::new(question));
        remark
    }

    /// Adds the question what a thing means that is not known, wherever it comes in a cell.
    pub(super) fn ask_about_thing(&self, thing: &str, column: usize, mut remark: Remark) -> Remark {
        let topic = QuestionTopic::DoneWord(fold_word(thing));
        let text = remark.value.clone().unwrap_or_default();
        let thing = explained::as_written(&text, thing).unwrap_or(thing);
        let text = format!("“{thing}” is not known as something that was done. What does it mean?");
        let question = FileQuestion::new(&topic, text).about(self.column_name(column), Some(thing));
        let question =
            grouped::DONE_CHOICES.iter().fold(question, |question, act| question.choice(*act, *act));
        let question = question
            .choice("heel cord lengthening", "open lengthening of the heel cord")
            .choice(NOTHING, "nothing that was done: read the rest of the cell")
            .choice(NOTE, "nothing certain: keep the whole cell as a note");
        remark.question = Some(Box::new(question));
        remark
    }

    /// Adds the question what a whole cell means, whatever its numbers.
    pub(super) fn ask_about_cell(&self, text: &str, mut remark: Remark) -> Remark {
        let one = one_number(text);
        let any = if one { ", with any number," } else { "" };
        let question = format!("“{text}”{any} is not known as something that was done. What does it mean?");
        let mut question = FileQuestion::new(&done_topic(text), question);
        question.value = Some(crate::text::clip(text, 80));
        if one {
            question = question.choice(format!("cast {ANY_NUMBER}"), "cast with this number");
        }
        question = grouped::DONE_CHOICES.iter().fold(question, |question, act| question.choice(*act, *act));
        question = question.choice(NOTE, "nothing that was done: keep the words as a note");
        remark.question = Some(Box::new(question));
        remark
    }

    /// Adds the question which foot a word means.
    pub(super) fn ask_about_foot_word(&self, word: &str, column: usize, mut remark: Remark) -> Remark {
        let topic = QuestionTopic::SideWord(fold_word(word));
        let text =
            format!("“{word}” may name a foot, and the file does not settle which. What does it mean?");
        let mut question = FileQuestion::new(&topic, text).about(self.column_name(column), Some(word));
        for side in ["right", "left", "both"] {
            question = question.choice(side, side);
        }
        remark.question = Some(Box::new(question.choice(NO_FOOT, "no foot")));
        remark
    }

    /// Adds the question to which feet the acts of a cell belong, with the answers its own words allow. Where
    /// they allow none for certain, none is offered.
    pub(super) fn ask_which_foot(&self, text: &str, mut remark: Remark) -> Remark {
        let read = self.readings(text);
        let readings = read.as_ref().as_deref().unwrap_or_default();
        let one = one_number(text);
        let mut choices: Vec<String> = readings.iter().flat_map(|parts| answers_for(parts, one)).collect();
        choices.dedup();
        let any = if one { ", with any number," } else { "" };
        let question =
            format!("“{text}”{any} leaves open which foot each thing was done to. What does it mean?");
        let mut question = FileQuestion::new(&done_topic(text), question);
        question.value = Some(crate::text::clip(text, 80));
        for plain in choices {
            let words =
                plain.replace("each", "on each foot of the row").replace(ANY_NUMBER, "with its number");
            question = question.choice(plain, words);
        }
        question = question.choice(NOTE, "nothing that was done: keep the words as a note");
        remark.question = Some(Box::new(question));
        remark
    }

    /// The part of a cell that is the score of a foot, where the cell names the foot of each score or holds
    /// two; empty where it has none of this foot.
    pub(super) fn score_of_foot(&self, visit: &RowVisit<'_>, at: usize, side: Side) -> Option<&str> {
        let text = self.text(visit.row, Some(at));
        if let Some(scores) = self.sided_scores(at, text) {
            // A foot that the row does not name contradicts it.
            let named = |side: Side| visit.named.is_empty() || visit.named.contains(&side);
            let agree = Side::BOTH.into_iter().all(|side| scores.of(side).is_empty() || named(side));
            return agree.then(|| scores.of(side));
        }
        let Some(ScorePair::Feet(first)) = self.pairs.get(&at) else { return None };
        let (one, other) = text.split_once('/')?;
        let part = if side == *first { one.trim() } else { other.trim() };
        Some(if values::is_nothing(part) { "" } else { part })
    }

    fn sided_scores<'t>(&self, at: usize, text: &'t str) -> Option<SidedScores<'t>> {
        self.map.columns.get(at)?.meaning.filter(|meaning| meaning.is_sum())?;
        SidedScores::read(text, &self.cell_sides)
    }
}

/// Whether a text has words and one number, so that an answer can hold for the same words with another number.
fn one_number(text: &str) -> bool {
    let mut numbers = 0;
    numbers_as(&latin_digits(text), |_| {
        numbers += 1;
        String::new()
    });
    numbers == 1 && text.chars().any(char::is_alphabetic)
}

/// The topic of a cell of what was done; cells that differ by their only number share it.
fn done_topic(text: &str) -> QuestionTopic {
    let words = fold_word(&latin_digits(text));
    let form = |_: &str| ANY_NUMBER.to_owned();
    QuestionTopic::DoneWord(if one_number(text) { numbers_as(&words, form) } else { words })
}

/// The foot that a heading such as "Pirani D/G" names first.
fn first_foot(heading: &str) -> Option<Side> {
    let at = heading.find('/')?;
    let (before, after) = heading.split_at(at);
    let one = sides::of_either_letter(tokens(before).last()?)?;
    let other = sides::of_either_letter(tokens(after).first()?)?;
    (one != other).then_some(one)
}

/// The plain words for what parts of a cell may mean: what names no foot done to each foot, or to the one
/// foot that the others name. None where a foot belongs to no act for certain: the answer would leave it out.
fn answers_for(parts: &[SaidPart], any_number: bool) -> Vec<String> {
    if parts.iter().any(SaidPart::is_bare) {
        return Vec::new();
    }
    let named: Vec<Side> = Side::BOTH
        .into_iter()
        .filter(|&side| {
            parts.iter().any(|part| if side == Side::Right { part.named.0 } else { part.named.1 })
        })
        .collect();
    let mut out: Vec<String> = done::in_plain_words(parts, "each", any_number).into_iter().collect();
    if let [side] = named[..] {
        out.extend(done::in_plain_words(parts, &side.to_string(), any_number));
    }
    out.dedup();
    out
}

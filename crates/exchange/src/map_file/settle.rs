//! A map made step by step, from what a person points at and answers.

use super::{Full, MapFile, Said, SheetsSaid, WordSaid, is_done_word, is_value_word};
use crate::{
    ChangedVisits, DateOrder, MapError, Meaning,
    cell_rules::UNITS,
    coding::ValueCoding,
    doubts::EACH,
    questions::{NO_FOOT, QuestionTopic, TOGETHER},
};
use record::{Side, Sides};
use toml::Spanned;

fn said<T>(value: T) -> Spanned<T> {
    Spanned::new(0..0, value)
}

fn wrong(text: String) -> MapError {
    MapError { line: 1, text }
}

impl MapFile {
    /// Takes the answer to a question of a report.
    ///
    /// # Errors
    /// When the choice is none that the question can have.
    pub fn answer(&mut self, id: &str, choice: &str) -> Result<(), MapError> {
        if let (Some((prefix, subjects)), true) = (id.split_once(": "), id.contains(TOGETHER)) {
            let mut each = subjects.split(TOGETHER);
            return each.try_for_each(|subject| self.answer_one(&format!("{prefix}: {subject}"), choice));
        }
        self.answer_one(id, choice)
    }

    /// Takes the answer to a question about one thing.
    fn answer_one(&mut self, id: &str, choice: &str) -> Result<(), MapError> {
        let topic = QuestionTopic::of_id(id);
        let wrong = || wrong(format!("“{choice}” is no answer to the question “{topic}”."));
        match &topic {
            QuestionTopic::DateOrder => {
                self.set_date_order(Some(DateOrder::from_words(choice).ok_or_else(wrong)?));
            }
            QuestionTopic::DoneWord(word) => {
                if !is_done_word(choice) {
                    return Err(wrong());
                }
                self.raw.done.insert(word.clone(), said(choice.to_owned()));
            }
            QuestionTopic::SideWord(_) if choice == NO_FOOT => {
                self.raw.answers.insert(id.to_owned(), choice.to_owned());
            }
            QuestionTopic::SideWord(word) => {
                let side = super::sides(choice).ok_or_else(wrong)?;
                self.set_side_word(word, side);
            }
            QuestionTopic::Value(word) => self.set_word(None, word, choice)?,
            QuestionTopic::Coding(of) => self.answer_coding(of, id, choice)?,
            QuestionTopic::Repeats(column) => match choice {
                "state" => self.set_first_change(column, Some(true)),
                "act" => self.set_first_change(column, Some(false)),
                _ => return Err(wrong()),
            },
            QuestionTopic::Meaning(column) => {
                let meaning = Meaning::from_key(choice).ok_or_else(wrong)?;
                self.set_meaning(column, meaning);
            }
            QuestionTopic::Footers => {
                self.raw.footers = Some(said(among(choice, &["leave out", "read"], wrong)?))
            }
            QuestionTopic::BlankRows => {
                self.raw.blank_means = Some(said(among(choice, &["as above", "refuse"], wrong)?));
            }
            QuestionTopic::RowLayout => {
                self.raw.layout = Some(said(among(choice, &["long", "wide"], wrong)?))
            }
            QuestionTopic::OtherSheet(_) if !matches!(choice, "leave out" | "bring in") => {
                return Err(wrong());
            }
            QuestionTopic::Unused(_)
                if !matches!(choice, "leave out" | EACH) && Meaning::from_key(choice).is_none() =>
            {
                return Err(wrong());
            }
            QuestionTopic::ChangedVisits => {
                ChangedVisits::of_key(choice).ok_or_else(wrong)?;
                self.raw.answers.insert(id.to_owned(), choice.to_owned());
            }
            QuestionTopic::Unused(_) | QuestionTopic::OtherSheet(_) | QuestionTopic::Other(_) => {
                self.raw.answers.insert(id.to_owned(), choice.to_owned());
            }
        }
        Ok(())
    }

    /// Takes the answer what numbers stand for: those of the signs, numbers with words, or those of a column.
    fn answer_coding(&mut self, of: &str, id: &str, choice: &str) -> Result<(), MapError> {
        let known: &[&str] = match of {
            "signs" => &["0/1/2", "1/2/3", "as written", "leave out"],
            "numbers with words" => &["leading number", "as written"],
            column => return self.set_coding(column, choice),
        };
        if !known.contains(&choice) {
            return Err(wrong(format!("“{choice}” is no answer to the question “{id}”.")));
        }
        if of == "signs" && choice != "leave out" {
            self.raw.sign_coding = Some(said(choice.to_owned()));
        } else {
            self.raw.answers.insert(id.to_owned(), choice.to_owned());
        }
        Ok(())
    }

    /// Settles what a column holds, of which foot and at which visit. The column is named by its heading or
    /// its letter. `None` for the meaning leaves it to the guess.
    pub fn set_column(
        &mut self,
        column: &str,
        meaning: Option<Meaning>,
        side: Option<Side>,
        visit: Option<u16>,
    ) {
        self.change(column, |full| {
            full.meaning = meaning.map(Meaning::key);
            full.side = side.map(|side| side.to_string());
            full.visit = visit;
        });
    }

    /// Settles what a column holds and leaves its foot and visit as they are settled, or guessed.
    pub(crate) fn set_meaning(&mut self, column: &str, meaning: Meaning) {
        self.change(column, |full| full.meaning = Some(meaning.key()));
    }

    /// Settles what the values of a column stand for.
    ///
    /// # Errors
    /// When the coding is not known.
    pub fn set_coding(&mut self, column: &str, coding: &str) -> Result<(), MapError> {
        if ValueCoding::from_key(coding).is_none() {
            return Err(wrong(format!("“{coding}” is no coding.")));
        }
        self.change(column, |full| full.coding = Some(coding.to_owned()));
        Ok(())
    }

    /// Settles the unit of a column: mm, cm, g, kg, degrees or points.
    ///
    /// # Errors
    /// When the unit is none of these.
    pub fn set_unit(&mut self, column: &str, unit: &str) -> Result<(), MapError> {
        if !UNITS.contains(&unit) {
            return Err(wrong(format!("“{unit}” is no unit; known are {}.", UNITS.join(", "))));
        }
        self.change(column, |full| full.unit = Some(unit.to_owned()));
        Ok(())
    }

    /// Settles whether a column repeats the state so far, so that an act is taken at its first change only.
    pub fn set_first_change(&mut self, column: &str, first_change: Option<bool>) {
        self.change(column, |full| full.first_change = first_change);
    }

    /// Settles what a value means: "missing", "not affected", a number, yes, no, a side or something done;
    /// in one column, or in every column that is measured.
    ///
    /// # Errors
    /// When the meaning of the value is not known.
    pub fn set_word(&mut self, column: Option<&str>, value: &str, means: &str) -> Result<(), MapError> {
        if !is_value_word(means) {
            return Err(wrong(format!("“{means}” is not known as a value.")));
        }
        match column {
            None => {
                self.raw.words.insert(said(value.to_owned()), WordSaid::Word(means.to_owned()));
            }
            Some(column) => {
                let entry = self.raw.words.entry(said(column.to_owned()));
                let of = entry.or_insert_with(|| WordSaid::OfColumn(std::collections::BTreeMap::new()));
                if let WordSaid::Word(_) = of {
                    *of = WordSaid::OfColumn(std::collections::BTreeMap::new());
                }
                if let WordSaid::OfColumn(words) = of {
                    words.insert(value.to_owned(), means.to_owned());
                }
            }
        }
        Ok(())
    }

    /// Settles what a word for something done means, in plain English: "cast", "tenotomy and cast", "review";
    /// "note" keeps the words and takes nothing as done.
    ///
    /// # Errors
    /// When the plain word is not known.
    pub fn set_done_word(&mut self, word: &str, plain: &str) -> Result<(), MapError> {
        if !is_done_word(plain) {
            return Err(wrong(format!("“{plain}” is not known as something done.")));
        }
        self.raw.done.insert(word.to_owned(), said(plain.to_owned()));
        Ok(())
    }

    /// Settles which foot or feet a word means.
    pub fn set_side_word(&mut self, word: &str, side: Sides) {
        for words in self.raw.sides.values_mut() {
            words.retain(|other| other != word);
        }
        let key = match side {
            Sides::Right => "right",
            Sides::Left => "left",
            Sides::Both => "both",
        };
        self.raw.sides.entry(said(key.to_owned())).or_default().push(word.to_owned());
        self.raw.sides.retain(|_, words| !words.is_empty());
    }

    /// Settles the order of day and month; `None` leaves it to the file.
    pub fn set_date_order(&mut self, order: Option<DateOrder>) {
        self.raw.date_order = order.map(|order| said(order.words().to_owned()));
    }

    /// Settles the sheet of a workbook that is read.
    pub fn set_sheet(&mut self, sheet: Option<&str>) {
        self.raw.sheet = sheet.map(str::to_owned);
    }

    /// Settles the sheets of a workbook that are read together; none leaves it to the file.
    pub fn set_sheets(&mut self, sheets: &[String]) {
        self.raw.sheets = (!sheets.is_empty()).then(|| said(SheetsSaid::Named(sheets.to_vec())));
    }

    /// Settles the last row of the headings, the first row being 1; `None` leaves it to the file.
    pub fn set_header_row(&mut self, row: Option<usize>) {
        self.raw.header_row = row.and_then(|row| i64::try_from(row).ok()).map(said);
    }

    fn change(&mut self, column: &str, change: impl FnOnce(&mut Full)) {
        let entry = self.raw.columns.entry(said(column.to_owned()));
        let entry = entry.or_insert_with(|| said(Said::Full(Full::default())));
        let mut full = entry.get_ref().full();
        change(&mut full);
        let nothing = full == Full::default();
        *entry.get_mut() = Said::Full(full);
        if nothing {
            self.raw.columns.remove(column);
        }
    }
}

fn among(choice: &str, known: &[&str], wrong: impl Fn() -> MapError) -> Result<String, MapError> {
    if known.contains(&choice) { Ok(choice.to_owned()) } else { Err(wrong()) }
}

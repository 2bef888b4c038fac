//! A sentence before it is put into a language.

use record::{Day, Side};

/// What is put into a message.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Arg {
    /// A number, by which plurals are chosen.
    Number(i64),
    /// A day with its weekday, written as the language writes days.
    Day(Day),
    /// A day without its weekday.
    Date(Day),
    /// A time of day as the clinic wrote it, "09:30".
    Time(String),
    /// A name or a text of the clinic, put in as it is.
    Text(String),
    /// A key by which the message chooses its words, such as "left".
    Key(&'static str),
}

/// A message with what is put into it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sentence {
    /// The name of the message.
    pub id: &'static str,
    /// What is put into it, by name.
    pub args: Vec<(&'static str, Arg)>,
}

impl Sentence {
    /// A message.
    #[must_use]
    pub const fn new(id: &'static str) -> Self {
        Self { id, args: Vec::new() }
    }

    /// With something put into it.
    #[must_use]
    pub fn with(mut self, name: &'static str, arg: impl Into<Arg>) -> Self {
        self.args.push((name, arg.into()));
        self
    }
}

impl From<i64> for Arg {
    fn from(number: i64) -> Self {
        Self::Number(number)
    }
}

impl From<Day> for Arg {
    fn from(day: Day) -> Self {
        Self::Day(day)
    }
}

impl From<&str> for Arg {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<Side> for Arg {
    fn from(side: Side) -> Self {
        Self::Key(side.word())
    }
}

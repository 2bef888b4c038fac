//! Days without any clinic.

use record::Day;
use serde::{Deserialize, Serialize};
use std::{fmt, str::FromStr};

/// Days without any clinic, both ends included.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Closure {
    /// First day.
    pub from: Day,
    /// Last day; the first if it is missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Day>,
    /// The reason, for the reader.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
}

/// A text that is no closure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("this is neither a day nor two days, first and last, followed by the reason")]
pub struct ClosureError;

impl Closure {
    /// The same in the one way in which it is read again from its line: the reason on one line, and the last day
    /// named where the reason could be taken for it.
    #[must_use]
    pub fn normal(self) -> Self {
        let why = self.why.split_whitespace().collect::<Vec<_>>().join(" ");
        let to = if why.starts_with("to ") { Some(self.last()) } else { self.to };
        Self { from: self.from, to, why }
    }

    /// The last day.
    #[must_use]
    pub fn last(&self) -> Day {
        self.to.unwrap_or(self.from)
    }

    /// Whether the clinic is closed on a day.
    #[must_use]
    pub fn contains(&self, day: Day) -> bool {
        (self.from..=self.last()).contains(&day)
    }

    /// The reason, or that none is given.
    #[must_use]
    pub fn reason(&self) -> &str {
        if self.why.is_empty() { "no reason given" } else { &self.why }
    }

    /// The days in words, "24 December 2026 to 1 January 2027".
    #[must_use]
    pub fn days(&self) -> String {
        match self.to.filter(|to| *to != self.from) {
            Some(to) => format!("{} to {}", self.from.words(), to.words()),
            None => self.from.words(),
        }
    }
}

/// One line, as it is typed: "2026-12-24 to 2027-01-01 holidays".
impl fmt::Display for Closure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.from)?;
        if let Some(to) = self.to {
            write!(f, " to {to}")?;
        }
        if self.why.is_empty() { Ok(()) } else { write!(f, " {}", self.why) }
    }
}

impl FromStr for Closure {
    type Err = ClosureError;

    fn from_str(line: &str) -> Result<Self, ClosureError> {
        let (first, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        let day = |text: &str| text.parse().map_err(|_| ClosureError);
        let (from, rest) = (day(first)?, rest.trim());
        let Some(until) = rest.strip_prefix("to ").map(str::trim) else {
            return Ok(Self { from, to: None, why: rest.to_owned() });
        };
        let (last, why) = until.split_once(char::is_whitespace).unwrap_or((until, ""));
        let to = day(last)?;
        if to < from {
            Err(ClosureError)
        } else {
            Ok(Self { from, to: Some(to), why: why.trim().to_owned() })
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn day(text: &str) -> Day {
        text.parse().unwrap()
    }

    #[test]
    fn a_line_is_read_as_it_is_written() {
        for line in ["2026-12-25", "2026-12-25 Christmas", "2026-12-24 to 2027-01-01 closed for the holidays"]
        {
            assert_eq!(line.parse::<Closure>().unwrap().to_string(), line);
        }
        let why = "to the lake\nwith the children".to_owned();
        let odd = Closure { from: day("2026-12-25"), to: None, why }.normal();
        assert_eq!(odd.to_string().parse(), Ok(odd));
        for line in ["", "Christmas", "2026-12-25 to 2026-12-24", "2026-12-25 to Friday"] {
            assert_eq!(line.parse::<Closure>(), Err(ClosureError), "{line}");
        }
    }
}

//! What the clinic prints at the head and the foot of its letters and documents: the table `letterhead` of the
//! settings. The logo is a file of its own.

use serde::Deserialize;
use toml_edit::{Array, DocumentMut, Item, Table, value};

/// The table in the file.
const TABLE: &str = "letterhead";
/// The longest line, in characters.
const LINE_CHARS: usize = 100;

/// Lines of the clinic's own, in the order in which they are printed.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct LetterheadSettings {
    /// Printed under the name of the clinic: the address and what else belongs there.
    pub lines: Vec<String>,
    /// Printed under the name of the person who signs.
    pub signature: Vec<String>,
    /// People to whom families may talk.
    pub talk_to: Vec<String>,
}

/// One of the lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LetterheadList {
    /// [`LetterheadSettings::lines`].
    Lines,
    /// [`LetterheadSettings::signature`].
    Signature,
    /// [`LetterheadSettings::talk_to`].
    TalkTo,
}

impl LetterheadList {
    /// Every list.
    pub const ALL: [Self; 3] = [Self::Lines, Self::Signature, Self::TalkTo];

    const fn in_file(self) -> &'static str {
        match self {
            Self::Lines => "lines",
            Self::Signature => "signature",
            Self::TalkTo => "talk_to",
        }
    }

    /// Its key in the history, and the name of its field in the form.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Lines => "letter_lines",
            Self::Signature => "letter_signature",
            Self::TalkTo => "people_to_talk_to",
        }
    }

    /// The most lines, so that a sheet for a family stays on its page.
    const fn most(self) -> usize {
        match self {
            Self::Lines => 6,
            Self::Signature => 3,
            Self::TalkTo => 6,
        }
    }
}

impl LetterheadSettings {
    /// The lines of a list.
    #[must_use]
    pub fn of(&self, list: LetterheadList) -> &[String] {
        match list {
            LetterheadList::Lines => &self.lines,
            LetterheadList::Signature => &self.signature,
            LetterheadList::TalkTo => &self.talk_to,
        }
    }

    fn of_mut(&mut self, list: LetterheadList) -> &mut Vec<String> {
        match list {
            LetterheadList::Lines => &mut self.lines,
            LetterheadList::Signature => &mut self.signature,
            LetterheadList::TalkTo => &mut self.talk_to,
        }
    }

    /// The lines of a list as one text.
    #[must_use]
    pub fn text(&self, list: LetterheadList) -> String {
        self.of(list).join("\n")
    }

    /// Puts the lines of a text into a list; blank lines are left out.
    pub fn put(&mut self, list: LetterheadList, text: &str) {
        *self.of_mut(list) = lines_of(text);
    }

    /// Checks the lines.
    ///
    /// # Errors
    /// What is too long, as one sentence.
    pub fn check(&self) -> Result<(), String> {
        LetterheadList::ALL.into_iter().try_for_each(|list| self.check_list(list))
    }

    /// Checks the lines of one list.
    ///
    /// # Errors
    /// What is too long or cannot be printed, as one sentence.
    pub fn check_list(&self, list: LetterheadList) -> Result<(), String> {
        let (lines, most) = (self.of(list), list.most());
        if lines.len() > most {
            return Err(format!("At most {most} lines have room; these are {}.", lines.len()));
        }
        if let Some(line) = lines.iter().find(|line| line.chars().count() > LINE_CHARS) {
            let begin: String = line.chars().take(30).collect();
            return Err(format!("The line “{begin}…” has more than {LINE_CHARS} characters."));
        }
        if lines.iter().any(|line| line.trim().is_empty() || line.chars().any(char::is_control)) {
            return Err("A line is empty or has a character that cannot be printed.".to_owned());
        }
        Ok(())
    }

    /// What differs from later settings: key, lines before and after.
    #[must_use]
    pub fn changes_to(&self, later: &Self) -> Vec<(&'static str, String, String)> {
        let changed = LetterheadList::ALL.into_iter().filter(|list| self.of(*list) != later.of(*list));
        changed.map(|list| (list.key(), self.text(list), later.text(list))).collect()
    }

    /// Reads a line of the history; `false` for a key of another setting.
    pub fn read_words(&mut self, key: &str, words: &str) -> bool {
        match LetterheadList::ALL.into_iter().find(|list| list.key() == key) {
            Some(list) => {
                self.put(list, words);
                true
            }
            None => false,
        }
    }

    /// Writes the lists that differ from those of the file.
    pub fn write(&self, of_file: &Self, document: &mut DocumentMut) {
        if self == of_file {
            return;
        }
        if *self == Self::default() {
            document.remove(TABLE);
            return;
        }
        if !document.get(TABLE).is_some_and(Item::is_table) {
            document.insert(TABLE, Item::Table(Table::new()));
        }
        let Some(table) = document.get_mut(TABLE).and_then(Item::as_table_mut) else { return };
        for list in LetterheadList::ALL {
            let lines: Array = self.of(list).iter().collect();
            match lines.is_empty() {
                true => drop(table.remove(list.in_file())),
                false => drop(table.insert(list.in_file(), value(lines))),
            }
        }
    }
}

/// The lines of a text, without blank ones and without space around them.
fn lines_of(text: &str) -> Vec<String> {
    text.lines().map(str::trim).filter(|line| !line.is_empty()).map(str::to_owned).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn set() -> LetterheadSettings {
        LetterheadSettings {
            lines: vec!["4 Harbour Road / East wing".into(), "Tel. 0155 20 18 44".into()],
            signature: vec!["Clubfoot clinic".into()],
            talk_to: vec!["Ana, mother of a boy in the brace: 0155 20 18 45".into()],
        }
    }

    /// The table within a settings file.
    #[derive(Deserialize)]
    struct SettingsFile {
        #[serde(default)]
        letterhead: LetterheadSettings,
    }

    fn read(text: &str) -> Result<LetterheadSettings, toml::de::Error> {
        toml::from_str(text).map(|file: SettingsFile| file.letterhead)
    }

    #[test]
    fn what_is_written_is_read_again_and_its_history_too() {
        let file = "name = \"Hillside\" # ours\n[[closures]]\nfrom = \"2026-12-25\"\n";
        let mut document: DocumentMut = file.parse().unwrap();
        set().write(&LetterheadSettings::default(), &mut document);
        let written = document.to_string();
        assert_eq!(read(&written).unwrap(), set(), "{written}");
        assert!(written.contains("# ours"), "{written}");
        let mut known = LetterheadSettings::default();
        for (key, _, after) in LetterheadSettings::default().changes_to(&set()) {
            assert!(known.read_words(key, &after), "{key}");
        }
        assert_eq!(known, set());
        LetterheadSettings::default().write(&set(), &mut document);
        assert_eq!(document.to_string(), file);
    }

    #[test]
    fn too_much_is_refused_with_the_limit() {
        let mut many = set();
        many.put(LetterheadList::Lines, "1\n2\n3\n4\n\n5\n6\n7");
        assert!(many.check().unwrap_err().contains("At most 6 lines"), "{:?}", many.check());
        let mut long = set();
        long.put(LetterheadList::Signature, &"x".repeat(101));
        assert!(long.check().unwrap_err().contains("more than 100 characters"));
        assert!(read("[letterhead]\ncolour = \"red\"\n").is_err());
    }
}

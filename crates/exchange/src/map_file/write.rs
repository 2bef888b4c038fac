//! Maps written as TOML, which a person can mend and use again.

use super::{Full, MapFile, Said, SheetsSaid, WordSaid};
use crate::{ColumnMap, text::fold};
use record::Sides;
use std::fmt::Write as _;

fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

fn list(words: &[String]) -> String {
    format!("[{}]", words.iter().map(|word| quoted(word)).collect::<Vec<_>>().join(", "))
}

impl MapFile {
    /// The map as a map file.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let mut out = String::new();
        self.top_to_toml(&mut out);
        if !self.raw.columns.is_empty() {
            out.push_str("\n[columns]\n");
            for (name, said) in &self.raw.columns {
                let _ = writeln!(out, "{} = {}", quoted(name.get_ref()), of_column(said.get_ref()));
            }
        }
        if !self.raw.missing.words.is_empty() {
            let _ = writeln!(out, "\n[missing]\nwords = {}", list(&self.raw.missing.words));
        }
        if !self.raw.sides.is_empty() {
            out.push_str("\n[sides]\n");
            for (side, words) in &self.raw.sides {
                let _ = writeln!(out, "{} = {}", side.get_ref(), list(words));
            }
        }
        if !self.raw.done.is_empty() {
            out.push_str("\n[done]\n");
            for (word, plain) in &self.raw.done {
                let _ = writeln!(out, "{} = {}", quoted(word), quoted(plain.get_ref()));
            }
        }
        self.values_to_toml(&mut out);
        if !self.raw.answers.is_empty() {
            out.push_str("\n[answers]\n");
            for (id, choice) in &self.raw.answers {
                let _ = writeln!(out, "{} = {}", quoted(id), quoted(choice));
            }
        }
        out
    }

    fn top_to_toml(&self, out: &mut String) {
        let raw = &self.raw;
        if let Some(sheet) = &raw.sheet {
            let _ = writeln!(out, "sheet = {}", quoted(sheet));
        }
        match raw.sheets.as_ref().map(|said| said.get_ref()) {
            Some(SheetsSaid::All(all)) => _ = writeln!(out, "sheets = {}", quoted(all)),
            Some(SheetsSaid::Named(names)) => _ = writeln!(out, "sheets = {}", list(names)),
            None => {}
        }
        if let Some(row) = self.header_row() {
            let _ = writeln!(out, "header_row = {row}");
        }
        let words = [
            ("date_order", &raw.date_order),
            ("layout", &raw.layout),
            ("blank_means", &raw.blank_means),
            ("footers", &raw.footers),
            ("sign_coding", &raw.sign_coding),
        ];
        for (key, said) in words {
            if let Some(said) = said {
                let _ = writeln!(out, "{key} = {}", quoted(said.get_ref()));
            }
        }
    }

    fn values_to_toml(&self, out: &mut String) {
        let plain = self.raw.words.iter().filter_map(|(key, said)| match said {
            WordSaid::Word(meant) => Some((key, meant)),
            WordSaid::OfColumn(_) => None,
        });
        for (at, (word, meant)) in plain.enumerate() {
            if at == 0 {
                out.push_str("\n[words]\n");
            }
            let _ = writeln!(out, "{} = {}", quoted(word.get_ref()), quoted(meant));
        }
        for (column, said) in &self.raw.words {
            let WordSaid::OfColumn(words) = said else { continue };
            let _ = writeln!(out, "\n[words.{}]", quoted(column.get_ref()));
            for (word, meant) in words {
                let _ = writeln!(out, "{} = {}", quoted(word), quoted(meant));
            }
        }
    }
}

fn of_column(said: &Said) -> String {
    let full = said.full();
    if let Full { meaning: Some(meaning), .. } = &full
        && (Full { meaning: Some(meaning.clone()), ..Full::default() }) == full
    {
        return quoted(meaning);
    }
    let texts =
        [("meaning", &full.meaning), ("side", &full.side), ("coding", &full.coding), ("unit", &full.unit)];
    let mut parts: Vec<String> = texts
        .into_iter()
        .filter_map(|(key, text)| Some(format!("{key} = {}", quoted(text.as_ref()?))))
        .collect();
    parts.extend(full.visit.map(|visit| format!("visit = {visit}")));
    if !full.missing.is_empty() {
        parts.push(format!("missing = {}", list(&full.missing)));
    }
    parts.extend(full.first_change.map(|first| format!("first_change = {first}")));
    format!("{{ {} }}", parts.join(", "))
}

impl ColumnMap {
    /// The map as a map file, which a person can mend and use again.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let mut out = String::new();
        if let Some(sheet) = &self.sheet {
            let _ = writeln!(out, "sheet = {}", quoted(sheet));
        }
        if let Some(row) = self.header_row {
            let _ = writeln!(out, "header_row = {row}");
        }
        if let Some(order) = self.date_order {
            let _ = writeln!(out, "date_order = {}", quoted(order.words()));
        }
        out.push_str("\n[columns]\n");
        for column in &self.columns {
            let unique =
                self.columns.iter().filter(|other| fold(&other.header) == fold(&column.header)).count() == 1;
            let plain = unique && !fold(&column.header).is_empty() && !column.header.contains('\n');
            let name = if plain { quoted(&column.header) } else { column.letter.clone() };
            let Some(meaning) = column.meaning else {
                let _ = writeln!(out, "# {name} = \"ignore\"  # not understood: {}", column.reason);
                continue;
            };
            let mut more = column.side.map(|side| format!(", side = \"{side}\"")).unwrap_or_default();
            more.push_str(&column.visit.map(|visit| format!(", visit = {visit}")).unwrap_or_default());
            let key = meaning.key();
            let _ = if more.is_empty() {
                writeln!(out, "{name} = \"{key}\"")
            } else {
                writeln!(out, "{name} = {{ meaning = \"{key}\"{more} }}")
            };
        }
        self.words_to_toml(&mut out);
        out
    }

    fn words_to_toml(&self, out: &mut String) {
        if !self.side_words.is_empty() {
            out.push_str("\n[sides]\n");
            for (key, side) in [("right", Sides::Right), ("left", Sides::Left), ("both", Sides::Both)] {
                let words: Vec<String> = self
                    .side_words
                    .iter()
                    .filter(|(_, of)| **of == side)
                    .map(|(word, _)| quoted(word))
                    .collect();
                if !words.is_empty() {
                    let _ = writeln!(out, "{key} = [{}]", words.join(", "));
                }
            }
        }
        if !self.done_words.is_empty() {
            out.push_str("\n[done]\n");
            for (word, plain) in &self.done_words {
                let _ = writeln!(out, "{} = {}", quoted(word), quoted(plain));
            }
        }
    }
}

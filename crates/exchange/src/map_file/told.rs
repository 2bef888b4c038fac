//! What a map says of one column, for a page that shows it in menus.

use super::{Full, MapFile, Said, is_named};
use crate::{Column, ColumnMap, Meaning, text::column_index, text::fold};
use toml::Spanned;

/// What a map says, for a list of maps.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct MapContents {
    /// The columns, each with what is said of it in words.
    pub columns: Vec<(String, String)>,
    /// How many answers about words and codes it has in addition.
    pub answers: usize,
}

impl MapFile {
    /// What the map says.
    #[must_use]
    pub fn contents(&self) -> MapContents {
        let column = |(name, said): (&Spanned<String>, &Spanned<Said>)| {
            (name.get_ref().clone(), said.get_ref().full().words())
        };
        let raw = &self.raw;
        let lists = raw.sides.len() + raw.done.len() + raw.words.len() + raw.answers.len();
        let wholes = [&raw.date_order, &raw.layout, &raw.blank_means, &raw.footers, &raw.sign_coding];
        let wholes = wholes.iter().filter(|said| said.is_some()).count();
        MapContents {
            columns: raw.columns.iter().map(column).collect(),
            answers: lists + wholes + raw.missing.words.len(),
        }
    }

    /// The key of the coding that the map gives to a column.
    #[must_use]
    pub fn coding<'a>(&'a self, column: &Column) -> Option<&'a str> {
        self.told_of(column).into_iter().find_map(|full| full.coding.as_deref())
    }

    /// The unit that the map gives to a column: mm, cm, g, kg, degrees or points.
    #[must_use]
    pub fn unit<'a>(&'a self, column: &Column) -> Option<&'a str> {
        self.told_of(column).into_iter().find_map(|full| full.unit.as_deref())
    }

    /// Whether the map says that a column repeats the state so far; `None` where it does not say.
    #[must_use]
    pub fn first_change(&self, column: &Column) -> Option<bool> {
        self.told_of(column).into_iter().find_map(|full| full.first_change)
    }

    fn told_of<'a>(&'a self, column: &Column) -> Vec<&'a Full> {
        let said = self.raw.columns.iter().filter(|(name, _)| is_named(column, name.get_ref()));
        let full = said.filter_map(|(_, said)| match said.get_ref() {
            Said::Full(full) => Some(full),
            Said::Meaning(_) => None,
        });
        full.collect()
    }
}

impl Full {
    /// The meaning with the foot, the visit and how its values are written.
    fn words(&self) -> String {
        let meaning = self.meaning.as_deref().map_or("meaning as guessed".to_owned(), |key| {
            Meaning::from_key(key).map_or_else(|| key.to_owned(), Meaning::words)
        });
        let visit = self.visit.map(|visit| format!("visit {visit}"));
        let more = [self.side.clone(), visit, self.coding.clone(), self.unit.clone()];
        let parts: Vec<String> = std::iter::once(meaning).chain(more.into_iter().flatten()).collect();
        parts.join(", ")
    }
}

impl ColumnMap {
    /// How a map file names a column: by its heading where no other column has the same, otherwise by its
    /// letter. `None` where the letter is the heading of another column, so that nothing names this one.
    #[must_use]
    pub fn name_of(&self, index: usize) -> Option<String> {
        let column = self.columns.get(index)?;
        let named = |text: &str| {
            let wanted = fold(text);
            self.columns.iter().filter(move |other| fold(&other.header) == wanted)
        };
        if !fold(&column.header).is_empty() && named(&column.header).count() == 1 {
            return Some(column.header.clone());
        }
        let is_free = named(&column.letter).next().is_none() && column_index(&column.letter) == Some(index);
        is_free.then(|| column.letter.clone())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::{guess, read_table};

    #[test]
    fn a_column_is_named_by_its_heading_or_its_letter_and_never_by_that_of_another() {
        let text = "C,Score,score,,Foot\n1,2,3,4,R\n";
        let map = guess(&read_table(text.as_bytes(), "visits.csv", None).unwrap());
        let names: Vec<_> = (0..5).map(|index| map.name_of(index)).collect();
        let named = |name: &str| Some(name.to_owned());
        // The third column is C by its letter, and C is the heading of the first.
        assert_eq!(names, [named("C"), named("B"), None, named("D"), named("Foot")]);
        assert_eq!(map.name_of(5), None);
    }

    #[test]
    fn what_was_set_of_a_column_is_told_of_it_alone() {
        let text = "No,Len,Sex,Op\n1,6,1,yes\n";
        let table = read_table(text.as_bytes(), "visits.csv", None).unwrap();
        let mut map = MapFile::new();
        map.set_column("Len", Some(Meaning::FootLength), None, None);
        map.set_unit("Len", "cm").unwrap();
        map.set_coding("C", "1 male 2 female").unwrap();
        map.set_first_change("Op", Some(true));
        let columns = map.apply(&table).unwrap().columns;
        let told: Vec<_> =
            columns.iter().map(|of| (map.coding(of), map.unit(of), map.first_change(of))).collect();
        let sex = (Some("1 male 2 female"), None, None);
        assert_eq!(told, [(None, None, None), (None, Some("cm"), None), sex, (None, None, Some(true))]);
    }
}

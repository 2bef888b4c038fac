//! The registration a row would make.

use super::{Reader, RowRead, Who};
use crate::{
    ColumnMap, ImportReason, Meaning, Remark, Table, ages,
    values::{self, Read},
};
use record::{Carer, Day, Registration, Side};
use std::collections::BTreeSet;

impl Reader<'_> {
    /// The column from which a field of an entry was read; `None` where no column of the file is it.
    pub(crate) fn column_of(&self, field: &str, side: Option<Side>) -> Option<usize> {
        let wanted: &[Meaning] = match field {
            "abduction_deg" => &[Meaning::Abduction],
            "dorsiflexion_deg" => &[Meaning::Dorsiflexion],
            "foot_length_mm" => &[Meaning::FootLength],
            "stated_total" => &[Meaning::Total, Meaning::Midfoot],
            "stated_dimeglio_total" => &[Meaning::DimeglioTotal],
            "scored_by" => &[Meaning::SeenBy],
            "born" => &[Meaning::Born],
            "numbers" => &[Meaning::Number],
            "family_name" => &[Meaning::FamilyName, Meaning::Name],
            "given_name" => &[Meaning::GivenName, Meaning::Name],
            "gestation_weeks" => &[Meaning::GestationWeeks],
            "birth_weight_g" => &[Meaning::BirthWeight],
            "address" => &[Meaning::Address],
            "number" => &[Meaning::CastNumber],
            "hours_prescribed" => &[Meaning::BraceHours, Meaning::Done],
            "text" | "note" => &[Meaning::Remarks, Meaning::Done],
            _ => &[],
        };
        let of = |meaning: &Meaning| {
            let mut columns = self.map.columns.iter().filter(|column| column.meaning == Some(*meaning));
            columns.find(|column| column.side.is_none() || column.side == side).map(|column| column.index)
        };
        wanted.iter().find_map(of)
    }

    /// Whether some column could tell what a registration lacks.
    pub(crate) fn may_fill(&self, has: &Registration) -> bool {
        let child = &self.layout.child;
        let lacks = |column: Option<usize>, lacking: bool| lacking && column.is_some();
        let nameless = has.family_name.is_empty() && has.given_name.is_empty();
        let uncared = has.carers.is_empty();
        nameless
            || lacks(child.born, has.born.is_none())
            || lacks(child.age, has.born.is_none() && has.born_about.is_none())
            || lacks(child.sex, has.sex.is_none())
            || lacks(child.gestation, has.gestation_weeks.is_none())
            || lacks(child.weight, has.birth_weight_g.is_none())
            || lacks(child.address, has.address.is_none())
            || lacks(child.carers.first().copied(), uncared)
            || lacks(child.phone, uncared)
            || lacks(child.language, uncared)
    }

    /// Who the child is by this row, and what of it could not be read. What identifies the child is what
    /// its own columns say; a registration given in full adds the rest.
    pub(crate) fn registration(&self, row: usize, read: &RowRead) -> (Registration, Vec<Remark>) {
        let (mut plain, mut asked) = self.by_columns(row, &read.who);
        if let Some((_, full)) = &read.registration {
            let others = full.numbers.iter().filter(|number| !plain.numbers.contains(number));
            plain.numbers.extend(others.cloned().collect::<Vec<_>>());
            plain.carers.clone_from(&full.carers);
            plain.sex = plain.sex.or(full.sex);
            plain.gestation_weeks = full.gestation_weeks;
            plain.birth_weight_g = full.birth_weight_g;
            plain.address = plain.address.or_else(|| full.address.clone());
            plain.born_about = plain.born_about.or(full.born_about);
        }
        if plain.born.is_none() && plain.born_about.is_none() {
            plain.born_about = self.born_about(row, read, &mut asked);
        }
        (plain, asked)
    }

    /// The birth that the age at the visit points to; never taken for the day of birth.
    fn born_about(&self, row: usize, read: &RowRead, asked: &mut Vec<Remark>) -> Option<Day> {
        let column = self.layout.child.age?;
        let seen = read.first_day?;
        let why = match ages::read(self.text(row, Some(column)), ages::unit_in(&self.column_name(column))) {
            Read::Value(age) if !age.coarse => return age.birth(seen),
            Read::Nothing => return None,
            Read::Value(_) => "An age in years alone is too rough for a date of birth; it is left out.",
            Read::Unreadable => "This is no age in days, weeks or months; it is left out.",
        };
        asked.push(self.remark(ImportReason::UnreadableValue, column, self.cell(row, column), why));
        None
    }

    fn by_columns(&self, row: usize, who: &Who) -> (Registration, Vec<Remark>) {
        let child = &self.layout.child;
        let mut asked = Vec::new();
        let mut unread = |column: Option<usize>, what: &str| {
            if let Some(column) = column {
                let text = format!("This cannot be read as {what}; it is left out.");
                asked.push(self.remark(ImportReason::UnreadableValue, column, self.cell(row, column), text));
            }
        };
        let sex = match values::sex(self.text(row, child.sex)) {
            Read::Value(sex) => Some(sex),
            Read::Nothing => None,
            Read::Unreadable => {
                let letter = single_letter(self.text(row, child.sex));
                let sex =
                    letter.and_then(|letter| values::sex_letter(letter, &self.sexes, &self.map.languages));
                if sex.is_none() {
                    unread(child.sex, "a sex");
                }
                sex
            }
        };
        let gestation_weeks = self.small(row, child.gestation);
        let weight = match values::number(self.text(row, child.weight)) {
            Read::Value(value) if value < 10.0 => Some(value * 1000.0),
            Read::Value(value) => Some(value),
            _ => None,
        };
        let registration = Registration {
            family_name: who.family.clone(),
            given_name: who.given.clone(),
            numbers: who.number.iter().cloned().collect(),
            born: who.born,
            sex,
            gestation_weeks,
            birth_weight_g: weight
                .filter(|grams| (0.0..=65_000.0).contains(grams))
                .map(|grams| grams.round() as u16),
            carers: self.carers(row),
            address: self.owned(row, child.address),
            born_about: None,
        };
        (registration, asked)
    }

    fn small(&self, row: usize, column: Option<usize>) -> Option<u8> {
        match values::whole(self.text(row, column)) {
            Read::Value(value) => u8::try_from(value).ok(),
            _ => None,
        }
    }

    fn owned(&self, row: usize, column: Option<usize>) -> Option<String> {
        let text = self.text(row, column);
        (!text.is_empty()).then(|| text.to_owned())
    }

    fn carers(&self, row: usize) -> Vec<Carer> {
        let child = &self.layout.child;
        let mut out: Vec<Carer> = Vec::new();
        for &column in &child.carers {
            let name = self.text(row, Some(column));
            if !name.is_empty() {
                out.push(Carer {
                    name: name.to_owned(),
                    relation: relation_of(&self.column_name(column)),
                    ..Carer::default()
                });
            }
        }
        let (phone, language) = (self.owned(row, child.phone), self.owned(row, child.language));
        let relation = self.owned(row, child.relation);
        if out.is_empty() && (phone.is_some() || language.is_some()) {
            out.push(Carer::default());
        }
        if let Some(first) = out.first_mut() {
            first.relation = relation.or_else(|| first.relation.take());
            (first.phone, first.language) = (phone, language);
        }
        out
    }
}

fn single_letter(text: &str) -> Option<char> {
    let folded = crate::text::fold(text);
    let mut letters = folded.chars();
    letters.next().filter(|_| letters.next().is_none())
}

/// The letters for the sex in a file.
pub(super) fn sex_letters(table: &Table, map: &ColumnMap, column: Option<usize>) -> Vec<char> {
    let Some(column) = column else { return Vec::new() };
    let found = table.rows().filter_map(|row| single_letter(map.rules.cell(table, row, column).trimmed()));
    found.collect::<BTreeSet<char>>().into_iter().collect()
}

/// The relation a heading names, such as "Mother's name".
fn relation_of(header: &str) -> Option<String> {
    let folded = crate::text::fold(header);
    let known = [
        ("mother", "mother"),
        ("father", "father"),
        ("madre", "mother"),
        ("mere", "mother"),
        ("mae", "mother"),
        ("mutter", "mother"),
        ("mama", "mother"),
        ("moeder", "mother"),
        ("anne", "mother"),
        ("ibu", "mother"),
    ];
    known
        .iter()
        .find(|(word, _)| folded.split(' ').any(|w| w.trim_end_matches('s') == *word))
        .map(|(_, relation)| (*relation).to_owned())
}

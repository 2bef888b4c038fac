//! Columns that a kind of entry declares for its own fields: the cells of a row make one entry.

use super::{Event, Reader, Refusal, RowRead, RowVisit};
use crate::{
    ImportReason, Remark,
    meaning::FieldColumn,
    text::fold,
    values::{self, Read},
};
use record::{Body, FieldSpec, FieldType, Kind};
use std::collections::BTreeMap;

impl Reader<'_> {
    /// Adds the entries of the kinds whose own columns hold something in this row. What cannot be read as
    /// an entry is saved as a note.
    pub(super) fn declared(&self, visit: &mut RowVisit<'_>, out: &mut RowRead) -> Result<(), Refusal> {
        let mut of_kind: BTreeMap<Kind, Vec<(FieldColumn, usize)>> = BTreeMap::new();
        for &(column, at) in &visit.columns.declared {
            if !self.text(visit.row, Some(at)).is_empty() {
                of_kind.entry(column.kind).or_default().push((column, at));
            }
        }
        for (kind, columns) in of_kind {
            match self.declared_body(kind, visit.row, &columns)? {
                Ok(body) => out.events.push((visit.day, Event::Body(body))),
                Err(question) => {
                    out.questions.push(question);
                    visit.noted.extend(columns.iter().map(|&(_, at)| at));
                }
            }
        }
        Ok(())
    }

    /// The entry, or the question about the first cell that cannot be read.
    fn declared_body(
        &self,
        kind: Kind,
        row: usize,
        columns: &[(FieldColumn, usize)],
    ) -> Result<Result<Body, Remark>, Refusal> {
        let mut given = BTreeMap::new();
        for &(column, at) in columns {
            let Some(spec) = column.spec() else { continue };
            let text = self.text(row, Some(at));
            let value = match self.date(row, at) {
                _ if spec.takes != FieldType::Day => answer(spec, text),
                Ok(day) => day.map_or_else(String::new, |day| day.to_string()),
                Err(refusal) if refusal.reason == ImportReason::AmbiguousDate => return Err(refusal),
                Err(_) => text.to_owned(),
            };
            given.insert(column.key, value);
        }
        let read = Body::from_values(kind, &|name| given.get(name).filter(|text| !text.is_empty()).cloned());
        Ok(read.map_err(|faults| {
            let fault = faults.into_iter().next();
            let name = fault.as_ref().map_or("", |fault| fault.name.as_str());
            let at = columns.iter().find(|(column, _)| column.key == name).or(columns.first());
            let at = at.map_or(0, |&(_, at)| at);
            let why = fault.map_or_else(String::new, |fault| fault.text);
            let text = format!("{why} The words are saved as a note.");
            self.remark(ImportReason::UnreadableValue, at, self.cell(row, at), text)
        }))
    }
}

/// The key of the answer that a cell gives by its key or its words; any other text unchanged.
fn answer(spec: &FieldSpec, text: &str) -> String {
    if let (FieldType::YesNo | FieldType::Flag(_), Read::Value(yes)) = (spec.takes, values::yes_no(text)) {
        return if yes { "yes" } else { "no" }.to_owned();
    }
    let wanted = fold(text);
    let answers = spec.answers().unwrap_or_default();
    let meant = answers.iter().find(|(key, words)| fold(key) == wanted || fold(words) == wanted);
    meant.map_or_else(|| text.to_owned(), |(key, _)| (*key).to_owned())
}

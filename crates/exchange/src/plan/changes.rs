//! A row that gives other values for something already on record: a corrected row that is imported again, or
//! a second measurement. Only a person can tell, so neither is taken for granted.

use super::{
    Additions, Planner,
    children::{OnRecord, Slot},
};
use crate::{ChangedVisits, ImportReason, Remark, text::clip};
use record::{Body, Correction, Day, Entry};
use serde_json::Value;

impl Planner<'_, '_> {
    /// Adds a body that is not on record in the same form, or asks where the record has another one for the same
    /// foot and day.
    pub(super) fn add_or_ask(&self, slot: Option<Slot>, day: Day, body: Body, additions: &mut Additions) {
        let recorded = slot.and_then(|slot| self.children.on_record(slot, day, &body));
        let Some(recorded) = recorded else {
            additions.new.push(self.entry(day, body));
            return;
        };
        let merged = with_values_of(&recorded.body, &body);
        if merged.as_ref() == Some(&recorded.body) {
            additions.there_known += 1;
            return;
        }
        match (self.reader.map.changed_visits, merged) {
            (ChangedVisits::Second, _) => additions.new.push(self.entry(day, body)),
            (ChangedVisits::Correct, Some(merged)) if !recorded.others => {
                self.correct(slot, &recorded, merged, additions);
            }
            (ChangedVisits::Leave, _) => {
                additions.there_known += 1;
                additions.changed.push(remark(&recorded, &body, day, ImportReason::AlreadyThere));
            }
            (_, _) if recorded.others => {
                additions.changed.push(remark(&recorded, &body, day, ImportReason::SeveralOnRecord));
            }
            _ => additions.changed.push(remark(&recorded, &body, day, ImportReason::ChangedVisit)),
        }
    }

    /// Adds the correction, unless an earlier row of the file has given it.
    fn correct(&self, slot: Option<Slot>, recorded: &OnRecord, merged: Body, additions: &mut Additions) {
        let correction = self.correction(recorded, merged);
        let there =
            slot.and_then(|slot| self.children.there(slot, correction.on, &correction.body, &self.entries));
        if there.is_some() {
            additions.there_file += 1;
        } else {
            additions.new.push(correction);
        }
    }

    fn correction(&self, recorded: &OnRecord, merged: Body) -> Entry {
        let file = &self.reader.table.source.file;
        let reason = clip(&format!("The imported file {file} gives other values for this day."), 200);
        let correction = Correction { entry: recorded.entry, body: Box::new(merged), on: None, reason };
        let follows = Some(recorded.entry);
        Entry { follows, ..self.entry(self.stamp.today, correction.into()) }
    }
}

fn remark(recorded: &OnRecord, body: &Body, day: Day, reason: ImportReason) -> Remark {
    let what = match reason {
        ImportReason::AlreadyThere => "The record was left as it is.",
        ImportReason::SeveralOnRecord => {
            "The record has several on that day, so it is not clear which one to correct."
        }
        _ => "Correct the record, add a second one, or leave the record as it is?",
    };
    let (day, on_record, in_file) = (day.words(), recorded.body.sentence(), body.sentence());
    let text = format!("On {day} the record has “{on_record}”, the file “{in_file}”. {what}");
    Remark { value: Some(clip(&in_file, 80)), ..Remark::on_row(reason, text) }
}

/// A body with the values of another put in; `None` where the two cannot be joined. A group such as a score
/// is taken over as a whole, so that no sum is made of signs of two readings.
fn with_values_of(old: &Body, new: &Body) -> Option<Body> {
    let read = |body: &Body| serde_json::from_str::<Value>(&body.to_json().ok()?).ok();
    let (mut merged, new_values) = (read(old)?, read(new)?);
    let (into, from) = (merged.as_object_mut()?, new_values.as_object()?);
    for (key, value) in from {
        if !into.get(key).is_some_and(|there| holds(there, value)) && !is_nothing(value) {
            // A total belongs to the score it was written with.
            TOTALS.iter().filter(|(score, _)| score == key).for_each(|(_, total)| {
                into.remove(*total);
            });
            into.insert(key.clone(), value.clone());
        }
    }
    for (_, total) in TOTALS {
        if let Some(value) = from.get(total).filter(|value| !value.is_null()) {
            into.insert(total.to_owned(), value.clone());
        }
    }
    Body::from_json(old.kind(), &merged.to_string()).ok()
}

/// Scores, each with the total that is written with it.
const TOTALS: [(&str, &str); 2] = [("pirani", "stated_total"), ("dimeglio", "stated_dimeglio_total")];

fn is_nothing(value: &Value) -> bool {
    value.is_null() || value.as_object().is_some_and(|fields| fields.values().all(is_nothing))
}

/// Whether a value says all that another one does.
fn holds(there: &Value, value: &Value) -> bool {
    match (there, value) {
        (_, value) if is_nothing(value) => true,
        (Value::Object(there), Value::Object(fields)) => fields
            .iter()
            .all(|(key, field)| is_nothing(field) || there.get(key).is_some_and(|own| holds(own, field))),
        _ => there == value,
    }
}

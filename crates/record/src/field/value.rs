//! What every type that can stand in a field knows of itself.

use super::{FieldSpec, FieldType, KindSpec, Presence};
use crate::{
    Day, EntryId, Finding, HalfPoint, Halves, Side,
    bounds::{judge_list, judge_text},
};
use std::collections::BTreeMap;

/// A kind of entry, as its `entry!` declares it.
pub(crate) trait KindOfEntry {
    /// What it declares.
    const SPEC: KindSpec;
    /// Adds what is odd. `on` is the clinical day of the entry.
    fn inspect(&self, on: Day, findings: &mut Vec<Finding>);
    /// The first version of the wire form that can hold it.
    fn version(&self) -> u16;
    /// The foot it is about, where it is about one foot.
    fn side(&self) -> Option<Side>;
    /// Adds every value, as it stands in a form.
    fn show(&self, shown: &mut ShownValues);
}

/// What a kind adds to its declaration in its own file.
pub(crate) trait KindHooks {
    /// Adds what is odd about several fields together.
    fn rules(&self, _on: Day, _findings: &mut Vec<Finding>) {}

    /// Its line in the timeline without the foot; `None` for the values one after the other.
    fn sentence(&self) -> Option<String> {
        None
    }

    /// What follows from its values by adding them up, each with its name.
    fn sums(&self) -> Vec<(&'static str, String)> {
        Vec::new()
    }
}

/// A type that can stand in a field.
pub(crate) trait FieldValue {
    /// What a field of this type takes.
    const TAKES: FieldType = FieldType::Line;
    /// The whole numbers it can hold.
    const RANGE: (i64, i64) = (0, 0);

    /// Whether nothing was recorded.
    fn is_absent(&self) -> bool {
        false
    }

    /// Adds what is out of bounds.
    fn inspect(&self, _spec: &'static FieldSpec, _findings: &mut Vec<Finding>) {}

    /// The first version of the wire form that can hold it.
    fn version(&self) -> u16 {
        1
    }

    /// The foot it names.
    fn side(&self) -> Option<Side> {
        None
    }

    /// Adds it as it stands in a form.
    fn show(&self, spec: &'static FieldSpec, shown: &mut ShownValues);
}

/// The first version that can hold a value in its field.
pub(crate) fn version_of(value: &impl FieldValue, spec: &FieldSpec) -> u16 {
    if value.is_absent() { 1 } else { value.version().max(spec.since) }
}

/// The values of an entry as they stand in its form, by the name of each field.
#[derive(Debug, Default)]
pub(crate) struct ShownValues {
    name: String,
    pub(crate) values: BTreeMap<String, String>,
}

impl ShownValues {
    /// Adds the value of a field; nothing where nothing was recorded.
    pub(crate) fn field(&mut self, spec: &'static FieldSpec, value: &impl FieldValue) {
        if spec.presence != Presence::Optional || !value.is_absent() {
            self.below(spec.key, |shown| value.show(spec, shown));
        }
    }

    /// Adds what stands one step further down.
    pub(crate) fn below(&mut self, key: &str, show: impl FnOnce(&mut Self)) {
        let above = self.name.len();
        if above > 0 {
            self.name.push('.');
        }
        self.name.push_str(key);
        show(self);
        self.name.truncate(above);
    }

    /// Adds what stands under another name on the same step.
    pub(crate) fn renamed(&mut self, name: &str, show: impl FnOnce(&mut Self)) {
        let above = self.name.rfind('.').unwrap_or(0);
        let own = self.name.split_off(above);
        self.below(name, show);
        self.name.push_str(&own);
    }

    /// Takes the value of a field one step further down away again.
    pub(crate) fn drop(&mut self, key: &str) {
        self.values.remove(&format!("{}.{key}", self.name));
    }

    /// The value of the field itself.
    pub(crate) fn put(&mut self, text: impl Into<String>) {
        self.values.insert(self.name.clone(), text.into());
    }
}

impl<T: FieldValue> FieldValue for Option<T> {
    const TAKES: FieldType = T::TAKES;
    const RANGE: (i64, i64) = T::RANGE;

    fn is_absent(&self) -> bool {
        self.is_none()
    }

    fn inspect(&self, spec: &'static FieldSpec, findings: &mut Vec<Finding>) {
        if let Some(value) = self {
            value.inspect(spec, findings);
        }
    }

    fn version(&self) -> u16 {
        self.as_ref().map_or(1, T::version)
    }

    fn side(&self) -> Option<Side> {
        self.as_ref().and_then(T::side)
    }

    fn show(&self, spec: &'static FieldSpec, shown: &mut ShownValues) {
        if let Some(value) = self {
            value.show(spec, shown);
        }
    }
}

macro_rules! whole_numbers {
    ($($type:ty),*) => {$(
        impl FieldValue for $type {
            const TAKES: FieldType = FieldType::Whole;
            const RANGE: (i64, i64) = (<$type>::MIN as i64, <$type>::MAX as i64);

            fn inspect(&self, spec: &'static FieldSpec, findings: &mut Vec<Finding>) {
                findings.extend(spec.bound.and_then(|bound| bound.judge(spec.key, (*self).into())));
            }

            fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
                shown.put(self.to_string());
            }
        }
    )*};
}

whole_numbers!(u8, u16, i16);

impl FieldValue for f64 {
    const TAKES: FieldType = FieldType::Decimal;

    fn inspect(&self, spec: &'static FieldSpec, findings: &mut Vec<Finding>) {
        findings.extend(spec.bound.and_then(|bound| bound.judge(spec.key, *self)));
    }

    // The wire form has no way to write what is not a finite number.
    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        if self.is_finite() {
            shown.put(self.to_string());
        }
    }
}

impl FieldValue for Halves {
    const TAKES: FieldType = FieldType::HalfSteps;

    fn inspect(&self, spec: &'static FieldSpec, findings: &mut Vec<Finding>) {
        findings.extend(spec.bound.and_then(|bound| bound.judge(spec.key, self.value())));
    }

    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        shown.put(self.to_string());
    }
}

impl FieldValue for HalfPoint {
    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        shown.put(self.text());
    }
}

impl FieldValue for bool {
    const TAKES: FieldType = FieldType::YesNo;

    /// Only of a flag, which says yes or nothing.
    fn is_absent(&self) -> bool {
        !self
    }

    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        shown.put(if *self { "yes" } else { "no" });
    }
}

impl FieldValue for String {
    fn inspect(&self, spec: &'static FieldSpec, findings: &mut Vec<Finding>) {
        findings.extend(judge_text(spec.key, self, spec.most_chars));
    }

    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        shown.put(self.as_str());
    }
}

impl FieldValue for Day {
    const TAKES: FieldType = FieldType::Day;

    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        shown.put(self.to_string());
    }
}

impl FieldValue for Side {
    const TAKES: FieldType = FieldType::Choice(&[("right", "right foot"), ("left", "left foot")]);

    fn side(&self) -> Option<Side> {
        Some(*self)
    }

    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        shown.put(self.word());
    }
}

impl FieldValue for EntryId {
    const TAKES: FieldType = FieldType::Entry;

    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        shown.put(self.to_string());
    }
}

impl FieldValue for Vec<String> {
    fn is_absent(&self) -> bool {
        self.is_empty()
    }

    fn inspect(&self, spec: &'static FieldSpec, findings: &mut Vec<Finding>) {
        self.iter().for_each(|line| line.inspect(spec, findings));
        findings.extend(judge_list(spec.key, self.len()));
    }

    fn show(&self, spec: &'static FieldSpec, shown: &mut ShownValues) {
        let FieldType::Lines([first, rest]) = &spec.takes else { return };
        if let Some((line, more)) = self.split_first() {
            shown.renamed(first.key, |shown| shown.put(line.as_str()));
            shown.renamed(rest.key, |shown| shown.put(more.join(", ")));
        }
    }
}

//! The traits of entries and of the values of their fields.

use super::{FieldSpec, FieldType, KindSpec, Presence};
use crate::{
    ChildId, Day, EntryId, Finding, Side, Sides,
    bounds::{judge_list, judge_text},
    half_points::{HalfPoint, Halves},
};
use std::collections::BTreeMap;

/// A kind of entry; implemented by `entry!`.
pub(crate) trait KindOfEntry {
    /// Its declaration.
    const SPEC: KindSpec;
    /// Adds its problems. `on` is the clinical day of the entry.
    fn inspect(&self, on: Day, findings: &mut Vec<Finding>);
    /// The first version of the wire form that can hold it.
    fn version(&self) -> u16;
    /// The foot that it is about, if it is about one foot.
    fn side(&self) -> Option<Side>;
    /// Adds every value as a form shows it.
    fn show(&self, shown: &mut ShownValues);
}

/// Rules and words of a kind that its declaration cannot express.
pub(crate) trait KindHooks {
    /// Adds problems that involve several fields.
    fn rules(&self, _on: Day, _findings: &mut Vec<Finding>) {}

    /// Its line in the timeline without the foot; `None` to list the values.
    fn sentence(&self) -> Option<String> {
        None
    }

    /// Sums of its values, each with its name.
    fn sums(&self) -> Vec<(&'static str, String)> {
        Vec::new()
    }
}

/// A type that a field can have.
pub(crate) trait FieldValue {
    /// The kind of value of a field of this type.
    const TAKES: FieldType = FieldType::Line;
    /// The smallest and the largest whole number that it can hold.
    const RANGE: (i64, i64) = (0, 0);

    /// Whether nothing was recorded.
    fn is_absent(&self) -> bool {
        false
    }

    /// Adds its problems, such as a value out of bounds.
    fn inspect(&self, _spec: &'static FieldSpec, _findings: &mut Vec<Finding>) {}

    /// The first version of the wire form that can hold it.
    fn version(&self) -> u16 {
        1
    }

    /// The foot, if it is a foot.
    fn side(&self) -> Option<Side> {
        None
    }

    /// Adds it as a form shows it.
    fn show(&self, spec: &'static FieldSpec, shown: &mut ShownValues);
}

/// A field declared outside the macros, under this key and for values of type `T`.
pub(crate) const fn part<T: FieldValue>(key: &'static str, spec: FieldSpec) -> FieldSpec {
    spec.place(key, T::TAKES, T::RANGE)
}

/// The first version that can hold a value of a field.
pub(crate) fn version_of(value: &impl FieldValue, spec: &FieldSpec) -> u16 {
    if value.is_absent() { 1 } else { value.version().max(spec.since) }
}

/// The values of an entry as its form shows them, by the name of each field.
#[derive(Debug, Default)]
pub(crate) struct ShownValues {
    name: String,
    pub(crate) values: BTreeMap<String, String>,
}

impl ShownValues {
    /// Adds the value of a field, unless it is optional and absent.
    pub(crate) fn field(&mut self, spec: &'static FieldSpec, value: &impl FieldValue) {
        if spec.presence != Presence::Optional || !value.is_absent() {
            self.below(spec.key, |shown| value.show(spec, shown));
        }
    }

    /// Adds values one level below, under a key.
    pub(crate) fn below(&mut self, key: &str, show: impl FnOnce(&mut Self)) {
        let above = self.name.len();
        if above > 0 {
            self.name.push('.');
        }
        self.name.push_str(key);
        show(self);
        self.name.truncate(above);
    }

    /// Adds values under another name on the same level.
    pub(crate) fn renamed(&mut self, name: &str, show: impl FnOnce(&mut Self)) {
        let above = self.name.rfind('.').unwrap_or(0);
        let own = self.name.split_off(above);
        self.below(name, show);
        self.name.push_str(&own);
    }

    /// Removes the value of a field one level below.
    pub(crate) fn drop(&mut self, key: &str) {
        self.values.remove(&format!("{}.{key}", self.name));
    }

    /// Sets the value at the current name.
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

whole_numbers!(u8, u16, u32, i16);

impl FieldValue for f64 {
    const TAKES: FieldType = FieldType::Decimal;

    fn inspect(&self, spec: &'static FieldSpec, findings: &mut Vec<Finding>) {
        findings.extend(spec.bound.and_then(|bound| bound.judge(spec.key, *self)));
    }

    // The wire form cannot express a number that is not finite.
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

    /// Only for a flag, which is yes or absent.
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

impl FieldValue for Sides {
    const TAKES: FieldType =
        FieldType::Choice(&[("right", "right foot"), ("left", "left foot"), ("both", "both feet")]);

    /// The foot, if it is one.
    fn side(&self) -> Option<Side> {
        match self {
            Self::Right => Some(Side::Right),
            Self::Left => Some(Side::Left),
            Self::Both => None,
        }
    }

    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        shown.put(self.key());
    }
}

impl FieldValue for EntryId {
    const TAKES: FieldType = FieldType::Entry;

    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        shown.put(self.to_string());
    }
}

impl FieldValue for Vec<EntryId> {
    const TAKES: FieldType = FieldType::Entries;

    fn is_absent(&self) -> bool {
        self.is_empty()
    }

    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        let ids: Vec<String> = self.iter().map(ToString::to_string).collect();
        shown.put(ids.join(" "));
    }
}

impl FieldValue for ChildId {
    const TAKES: FieldType = FieldType::Child;

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

//! The place of each declared field in a form: its name and its full label.

use super::{FieldSpec, FieldType};
use crate::{Side, text::capital};

/// A declared field at its place in the form of a kind.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedField {
    /// Its name in the form: the path of its value in the wire form, `pirani.talar_head`. Items of lists are
    /// named differently: `brace.right.length_mm` for the boot of a foot, `carer_2_phone` for the second carer.
    pub name: String,
    /// Its full label, "Right boot: inner length".
    pub label: String,
    /// Its declaration.
    pub spec: &'static FieldSpec,
}

/// The field before those of a boot: whether there is a boot on this side of the bar.
pub(super) static IN_PLACE: FieldSpec = super::flag("", &[("yes", "yes")]);

/// The prefix of the names and labels of the fields in a group.
#[derive(Debug, Clone, Default)]
pub(crate) struct FieldPlace {
    pub(super) name: String,
    pub(super) label: String,
}

impl FieldPlace {
    /// The place of a field within this group.
    pub(super) fn below(&self, spec: &FieldSpec) -> Self {
        Self { name: self.join(spec.key), label: format!("{}{}", self.label, spec.label) }
    }

    /// The place of the fields of one foot.
    pub(super) fn of_foot(&self, side: Side) -> Self {
        Self { name: self.join(side.word()), label: format!("{}{} ", self.label, side.title()) }
    }

    /// The place of the field for whether a list has an item.
    pub(super) fn of_item(&self, list: &FieldSpec) -> Self {
        Self { name: self.join(list.item()), label: format!("{}{}", self.label, list.label) }
    }

    /// The place of a field of the `n`-th of several groups, from 1. The name of the first has no number.
    pub(super) fn of_several(&self, list: &FieldSpec, n: usize, part: &FieldSpec) -> Self {
        let who = if n == 1 { list.label.to_owned() } else { format!("{} {n}", capital(list.item())) };
        let name = self.join(&list.name_of_several(n, part.key));
        Self { name, label: format!("{}{who}: {}", self.label, part.label) }
    }

    fn join(&self, key: &str) -> String {
        if self.name.is_empty() { key.to_owned() } else { format!("{}.{key}", self.name) }
    }

    fn placed(self, spec: &'static FieldSpec) -> PlacedField {
        PlacedField { name: self.name, label: self.label, spec }
    }

    /// Adds the fields of a declared field, with space for `groups` items of a list of groups.
    pub(crate) fn add(&self, spec: &'static FieldSpec, groups: usize, out: &mut Vec<PlacedField>) {
        match spec.takes {
            FieldType::Group(parts) | FieldType::OneOf(parts) => {
                let group = self.below(spec);
                parts.iter().for_each(|part| group.add(part, groups, out));
            }
            FieldType::PerFoot(_, parts) => {
                for side in Side::BOTH {
                    let foot = self.of_foot(side);
                    out.push(foot.of_item(spec).placed(&IN_PLACE));
                    let own = parts.iter().filter(|part| part.key != "side");
                    own.for_each(|part| foot.add(part, groups, out));
                }
            }
            FieldType::Several(_, parts) => {
                for n in 1..=groups.max(1) {
                    out.extend(parts.iter().map(|part| self.of_several(spec, n, part).placed(part)));
                }
            }
            FieldType::Lines(parts) => parts.iter().for_each(|part| self.add(part, groups, out)),
            FieldType::Body => {}
            _ => out.push(self.below(spec).placed(spec)),
        }
    }
}

impl FieldSpec {
    /// The word for an item of its list; empty if it is not a list.
    const fn item(&self) -> &'static str {
        match self.takes {
            FieldType::PerFoot(item, _) | FieldType::Several(item, _) => item,
            _ => "",
        }
    }

    /// The name of a field of the `n`-th of several groups, from 1. The name of the first has no number.
    pub(crate) fn name_of_several(&self, n: usize, key: &str) -> String {
        let item = self.item();
        if n == 1 { format!("{item}_{key}") } else { format!("{item}_{n}_{key}") }
    }

    /// The fields of a group, with labels that do not repeat the label of the group.
    #[must_use]
    pub fn fields_below(&'static self) -> Vec<PlacedField> {
        let mut out = Vec::new();
        let group = FieldPlace { name: self.key.to_owned(), label: String::new() };
        self.parts().iter().for_each(|part| group.add(part, 1, &mut out));
        out
    }
}

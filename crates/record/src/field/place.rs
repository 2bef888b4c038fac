//! Where each declared field stands in a form: its name and its whole label.

use super::{FieldSpec, FieldType};
use crate::{Kind, Side};
use std::sync::LazyLock;

/// A declared field at its place in the form of a kind.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedField {
    /// Its name in the form: the path of its value in the wire form, `pirani.talar_head`. Lists have names
    /// of their own: `brace.right.length_mm` for the boot of a foot, `carer_2_phone` for the second carer.
    pub name: String,
    /// Its whole label, "Right boot: inner length".
    pub label: String,
    /// What it takes.
    pub spec: &'static FieldSpec,
}

/// Whether there is a boot on this side of the bar: the field above those of the boot.
pub(super) static IN_PLACE: FieldSpec = super::flag("", &[("yes", "yes")]);

/// The beginning of the names and of the labels of the fields below a place.
#[derive(Debug, Clone, Default)]
pub(super) struct FieldPlace {
    pub(super) name: String,
    pub(super) label: String,
}

impl FieldPlace {
    /// The place of a field below this one.
    pub(super) fn below(&self, spec: &FieldSpec) -> Self {
        Self { name: self.join(spec.key), label: format!("{}{}", self.label, spec.label) }
    }

    /// The place of what belongs to a foot.
    pub(super) fn of_foot(&self, side: Side) -> Self {
        Self { name: self.join(side.word()), label: format!("{}{} ", self.label, side.title()) }
    }

    /// The place of the field that says whether an item is there.
    pub(super) fn of_item(&self, list: &FieldSpec) -> Self {
        Self { name: self.join(list.item()), label: format!("{}{}", self.label, list.label) }
    }

    /// The place of a field of one of several groups, the first being 1 and without a number in its name.
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

    /// Adds the fields of a declared field, with room for so many of a list of groups.
    fn add(&self, spec: &'static FieldSpec, room: usize, out: &mut Vec<PlacedField>) {
        match spec.takes {
            FieldType::Group(parts) | FieldType::OneOf(parts) => {
                let group = self.below(spec);
                parts.iter().for_each(|part| group.add(part, room, out));
            }
            FieldType::PerFoot(_, parts) => {
                for side in Side::BOTH {
                    let foot = self.of_foot(side);
                    out.push(foot.of_item(spec).placed(&IN_PLACE));
                    let own = parts.iter().filter(|part| part.key != "side");
                    own.for_each(|part| foot.add(part, room, out));
                }
            }
            FieldType::Several(_, parts) => {
                for n in 1..=room.max(1) {
                    out.extend(parts.iter().map(|part| self.of_several(spec, n, part).placed(part)));
                }
            }
            FieldType::Lines(parts) => parts.iter().for_each(|part| self.add(part, room, out)),
            FieldType::Body => {}
            _ => out.push(self.below(spec).placed(spec)),
        }
    }
}

pub(super) fn capital(word: &str) -> String {
    let mut chars = word.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

impl Kind {
    /// The fields of its form, with room for so many of a list of groups (carers). Empty for an amendment,
    /// which has a form of its own.
    #[must_use]
    pub fn form_fields(self, room: usize) -> Vec<PlacedField> {
        let mut out = Vec::new();
        if !self.spec().amends {
            let top = FieldPlace::default();
            self.spec().form_order().for_each(|spec| top.add(spec, room, &mut out));
        }
        out
    }

    /// The name of the field of its form that a key of the wire form leads to: the field of that name, else
    /// the first whose path ends in it, else the first below it.
    #[must_use]
    pub fn field_named(self, key: &str) -> Option<String> {
        let fields = self.fields_made_once();
        let exact = fields.iter().find(|field| field.name == key);
        let found = exact.or_else(|| fields.iter().find(|field| field.name.rsplit('.').next() == Some(key)));
        let below = || {
            let mut below = Vec::new();
            let group = self.spec().fields.iter().find(|spec| spec.key == key)?;
            FieldPlace::default().add(group, 1, &mut below);
            below.into_iter().next().map(|field| field.name)
        };
        found.map(|field| field.name.clone()).or_else(below)
    }

    /// The fields of its form with room for one of a list of groups, made once.
    pub(super) fn fields_made_once(self) -> &'static [PlacedField] {
        static FIELDS: LazyLock<Vec<Vec<PlacedField>>> =
            LazyLock::new(|| Kind::ALL.iter().map(|kind| kind.form_fields(1)).collect());
        FIELDS.get(self as usize).map_or(&[], Vec::as_slice)
    }
}

impl FieldSpec {
    /// What one item of its list is called; empty where it is no list.
    const fn item(&self) -> &'static str {
        match self.takes {
            FieldType::PerFoot(item, _) | FieldType::Several(item, _) => item,
            _ => "",
        }
    }

    /// The name of a field of one of several groups, the first being 1 and without a number.
    pub(crate) fn name_of_several(&self, n: usize, key: &str) -> String {
        let item = self.item();
        if n == 1 { format!("{item}_{key}") } else { format!("{item}_{n}_{key}") }
    }

    /// The fields of a group as they stand below it, each label without that of the group.
    #[must_use]
    pub fn fields_below(&'static self) -> Vec<PlacedField> {
        let mut out = Vec::new();
        let group = FieldPlace { name: self.key.to_owned(), label: String::new() };
        self.parts().iter().for_each(|part| group.add(part, 1, &mut out));
        out
    }
}

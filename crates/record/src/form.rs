//! An entry and its form: the fields of each kind, the values of an entry in them, and an entry in words.

use crate::{
    Body, Kind,
    field::{FieldFault, FieldPlace, FieldType, PlacedField, ShownValues, read_form},
    text::capital,
};
use serde_json::Value;
use std::{collections::BTreeMap, sync::LazyLock};

impl Kind {
    /// The fields of its form, with space for `groups` items of a list of groups (carers). Empty for an
    /// amendment, which has a form of its own.
    #[must_use]
    pub fn form_fields(self, groups: usize) -> Vec<PlacedField> {
        let mut out = Vec::new();
        if !self.spec().amends {
            let top = FieldPlace::default();
            self.spec().form_order().for_each(|spec| top.add(spec, groups, &mut out));
        }
        out
    }

    /// The name of the form field for a key of the wire form: the field of that name, otherwise the first
    /// whose path ends in the key, otherwise the first below it.
    #[must_use]
    pub fn field_named(self, key: &str) -> Option<String> {
        let fields = self.cached_form_fields();
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

    /// [`Kind::form_fields`] with space for one item of a list of groups, computed once.
    fn cached_form_fields(self) -> &'static [PlacedField] {
        static FIELDS: LazyLock<Vec<Vec<PlacedField>>> =
            LazyLock::new(|| Kind::ALL.iter().map(|kind| kind.form_fields(1)).collect());
        FIELDS.get(self as usize).map_or(&[], Vec::as_slice)
    }
}

impl Body {
    /// Its values as its form shows them, by field name: "yes" and "no" for true and false, numbers in their
    /// shortest form. Absent values are left out.
    #[must_use]
    pub fn values(&self) -> BTreeMap<String, String> {
        let mut shown = ShownValues::default();
        self.show(&mut shown);
        shown.values
    }

    /// Reads the values of a form as the contents of an entry. `given` returns what was entered in a field,
    /// trimmed; `None` where nothing was. Bounds are judged by [`crate::Entry::findings`].
    ///
    /// # Errors
    /// What cannot be read, field by field.
    pub fn from_values(kind: Kind, given: &dyn Fn(&str) -> Option<String>) -> Result<Self, Vec<FieldFault>> {
        let fields = read_form(kind.spec().form_order(), given)?;
        Self::from_value(kind, Value::Object(fields)).map_err(|_| {
            let text = format!("This form cannot be read as “{}”: fill it in once more.", kind.words());
            vec![FieldFault { name: String::new(), text }]
        })
    }

    /// The entry in one line, for a timeline: "Right foot: Pirani 4.5, abduction 20°".
    #[must_use]
    pub fn sentence(&self) -> String {
        let what = self.own_sentence().unwrap_or_else(|| self.listed());
        match self.side() {
            Some(side) => format!("{} foot: {what}", side.title()),
            None => capital(&what),
        }
    }

    /// The kind and every value, with a label unless the value can be understood without.
    fn listed(&self) -> String {
        let (kind, values) = (self.kind(), self.values());
        let shown: Vec<String> = kind
            .cached_form_fields()
            .iter()
            .filter(|field| field.name != "side")
            .filter_map(|field| {
                let value = values.get(&field.name)?.trim();
                if value.is_empty() {
                    return None;
                }
                let words = field.spec.words(value);
                let answer = field.spec.answers().is_some() && !matches!(words.as_str(), "yes" | "no");
                let plain = answer || matches!(field.spec.takes, FieldType::Line | FieldType::Long);
                Some(if plain { words } else { format!("{} {words}", field.label.to_lowercase()) })
            })
            .collect();
        if shown.is_empty() {
            kind.words().to_owned()
        } else {
            format!("{}: {}", kind.words(), shown.join(", "))
        }
    }
}

//! The declaration of a kind and of each of its fields, as plain data.

use crate::bounds::{Bound, LINE_CHARS, NOTE_CHARS};

/// One answer of a closed list: its key in files and forms, and its words.
pub type Answer = (&'static str, &'static str);

/// The kind of value that a field takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FieldType {
    /// One line of text.
    Line,
    /// Several lines of text.
    Long,
    /// A telephone number, any text.
    Phone,
    /// A time of day, any text.
    Time,
    /// A day.
    Day,
    /// A whole number.
    Whole,
    /// A number that may have a fraction.
    Decimal,
    /// A score in steps of half a point.
    HalfSteps,
    /// Yes or no.
    YesNo,
    /// Yes or nothing; has the one answer.
    Flag(&'static [Answer]),
    /// One of a closed list.
    Choice(&'static [Answer]),
    /// One of a closed list whose keys are points.
    Points(&'static [Answer]),
    /// The id of another entry or child, never typed by a person.
    Entry,
    /// The ids of other entries, never typed by a person.
    Entries,
    /// The id of another child, never typed by a person.
    Child,
    /// What the program itself notes of a kept picture, never typed by a person.
    Kept,
    /// Points tapped on a picture.
    Taps,
    /// The contents of another entry.
    Body,
    /// A group of fields under one key.
    Group(&'static [FieldSpec]),
    /// A group of fields of which exactly one has a value.
    OneOf(&'static [FieldSpec]),
    /// A list with at most one group for each foot, whose items have a side; has the word for an item.
    PerFoot(&'static str, &'static [FieldSpec]),
    /// A list of groups; has the word for an item.
    Several(&'static str, &'static [FieldSpec]),
    /// A list of lines. A form has one field for the first and one for the others, separated by commas.
    Lines(&'static [FieldSpec; 2]),
}

/// Whether the wire form has a field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Presence {
    /// Only if it was recorded.
    Optional,
    /// Always; it may be blank.
    Always,
    /// Always; it is never blank.
    Required,
}

/// One field of a kind of entry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FieldSpec {
    /// Its key in the wire form, `foot_length_mm`.
    pub key: &'static str,
    /// Its label in a form; for a group, the prefix of the labels of its fields.
    pub label: &'static str,
    /// A hint for the person who fills it in; may be empty.
    pub hint: &'static str,
    /// The kind of value.
    pub takes: FieldType,
    /// Whether the wire form has it.
    pub presence: Presence,
    /// Whether a form requires it.
    pub needed: bool,
    /// The bound of its number; `None` if it has none of its own.
    pub bound: Option<&'static Bound>,
    /// The smallest and the largest whole number that its type can hold.
    pub range: (i64, i64),
    /// Longest text, in characters.
    pub most_chars: usize,
    /// The version of the wire form that introduced it; 1 if it is as old as its kind.
    pub since: u16,
    /// Headings by which its column in a spreadsheet is recognised, lower case; an export writes the first.
    /// Empty for a field without a column.
    pub columns: &'static [&'static str],
    pub(super) of_type: bool,
}

impl FieldSpec {
    const fn new(label: &'static str, takes: FieldType) -> Self {
        Self {
            key: "",
            label,
            hint: "",
            takes,
            presence: Presence::Optional,
            needed: false,
            bound: None,
            range: (0, 0),
            most_chars: LINE_CHARS,
            since: 1,
            columns: &[],
            of_type: false,
        }
    }

    /// With a hint.
    pub(crate) const fn hint(self, hint: &'static str) -> Self {
        Self { hint, ..self }
    }

    /// Required in a form, although an entry without it can be read.
    pub(crate) const fn needed(self) -> Self {
        Self { needed: true, ..self }
    }

    /// Introduced by a later version of the wire form than its kind.
    pub(crate) const fn since(self, since: u16) -> Self {
        Self { since, ..self }
    }

    /// With another maximum length, in characters.
    pub(crate) const fn most_chars(self, most_chars: usize) -> Self {
        Self { most_chars, ..self }
    }

    /// With a bound.
    pub(crate) const fn bound(self, bound: &'static Bound) -> Self {
        Self { bound: Some(bound), ..self }
    }

    /// With the headings by which its column in a spreadsheet is recognised.
    #[must_use]
    pub const fn columns(self, columns: &'static [&'static str]) -> Self {
        Self { columns, ..self }
    }

    /// With its key and its type; for the macros.
    pub(crate) const fn place(self, key: &'static str, of_type: FieldType, range: (i64, i64)) -> Self {
        let takes = if self.of_type { of_type } else { self.takes };
        Self { key, takes, range, ..self }
    }

    /// Always written, perhaps blank; for the macros.
    pub(crate) const fn always(self) -> Self {
        Self { presence: Presence::Always, ..self }
    }

    /// Always written and never blank; for the macros.
    pub(crate) const fn required(self) -> Self {
        Self { presence: Presence::Required, needed: true, ..self }
    }

    /// Its unit, "mm"; empty for none.
    #[must_use]
    pub const fn unit(&self) -> &'static str {
        match self.bound {
            Some(bound) if matches!(self.takes, FieldType::Whole | FieldType::Decimal) => {
                bound.unit.trim_ascii()
            }
            _ => "",
        }
    }

    /// The smallest and the largest number that a form allows.
    #[must_use]
    pub fn limits(&self) -> (i32, i32) {
        // All bounds are whole numbers within 32 bits; a count without a bound is allowed up to 2000.
        #[allow(clippy::cast_possible_truncation)]
        self.bound.map_or((0, 2000), |bound| (bound.possible.0 as i32, bound.possible.1 as i32))
    }

    /// The answers, if it takes one of a closed list.
    #[must_use]
    pub const fn answers(&self) -> Option<&'static [Answer]> {
        match self.takes {
            FieldType::YesNo => Some(&[("yes", "yes"), ("no", "no")]),
            FieldType::Flag(answers) | FieldType::Choice(answers) | FieldType::Points(answers) => {
                Some(answers)
            }
            _ => None,
        }
    }

    /// The fields of its group, if it is a group or a list of groups.
    #[must_use]
    pub const fn parts(&self) -> &'static [Self] {
        match self.takes {
            FieldType::Group(parts)
            | FieldType::OneOf(parts)
            | FieldType::PerFoot(_, parts)
            | FieldType::Several(_, parts) => parts,
            _ => &[],
        }
    }

    /// The latest version that introduced it or a field of its group.
    pub(crate) const fn latest(&self) -> u16 {
        latest_of(self.parts(), self.since)
    }
}

const fn latest_of(fields: &[FieldSpec], at_least: u16) -> u16 {
    match fields {
        [] => at_least,
        [first, rest @ ..] => {
            let latest = first.latest();
            latest_of(rest, if latest > at_least { latest } else { at_least })
        }
    }
}

/// A field whose kind of value follows from the Rust type: an answer, a day, yes or no, a foot, a group.
pub(crate) const fn field(label: &'static str) -> FieldSpec {
    FieldSpec { of_type: true, ..FieldSpec::new(label, FieldType::Line) }
}

/// One line of text.
pub(crate) const fn line(label: &'static str) -> FieldSpec {
    FieldSpec::new(label, FieldType::Line)
}

/// Several lines of text.
pub(crate) const fn long(label: &'static str) -> FieldSpec {
    FieldSpec { most_chars: NOTE_CHARS, ..FieldSpec::new(label, FieldType::Long) }
}

/// What the program notes of a kept picture.
pub(crate) const fn kept(label: &'static str) -> FieldSpec {
    FieldSpec::new(label, FieldType::Kept)
}

/// Points tapped on a picture.
pub(crate) const fn taps(label: &'static str) -> FieldSpec {
    FieldSpec::new(label, FieldType::Taps)
}

/// A telephone number.
pub(crate) const fn phone(label: &'static str) -> FieldSpec {
    FieldSpec::new(label, FieldType::Phone)
}

/// A time of day.
pub(crate) const fn time(label: &'static str) -> FieldSpec {
    FieldSpec::new(label, FieldType::Time)
}

/// A number with a bound; whether it is whole follows from the Rust type.
pub(crate) const fn within(label: &'static str, bound: &'static Bound) -> FieldSpec {
    field(label).bound(bound)
}

/// Yes or nothing, with the one answer.
pub(crate) const fn flag(label: &'static str, yes: &'static [Answer; 1]) -> FieldSpec {
    FieldSpec::new(label, FieldType::Flag(yes))
}

/// Points of a score, each with its meaning.
pub(crate) const fn points(label: &'static str, answers: &'static [Answer]) -> FieldSpec {
    FieldSpec::new(label, FieldType::Points(answers))
}

/// A list with one group for each foot; `item` is the word for a group.
pub(crate) const fn per_foot(
    label: &'static str,
    item: &'static str,
    parts: &'static [FieldSpec],
) -> FieldSpec {
    FieldSpec::new(label, FieldType::PerFoot(item, parts))
}

/// A list of groups; `item` is the word for a group, `label` the label of the first.
pub(crate) const fn several(
    label: &'static str,
    item: &'static str,
    parts: &'static [FieldSpec],
) -> FieldSpec {
    FieldSpec::new(label, FieldType::Several(item, parts))
}

/// A list of lines, with the fields of a form for the first line and for the others.
pub(crate) const fn lines(fields: &'static [FieldSpec; 2]) -> FieldSpec {
    FieldSpec::new("", FieldType::Lines(fields))
}

/// The small form of a kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FormSpec {
    /// Forms are listed in the order of this number.
    pub rank: u16,
    /// The title: what a person does there, "Make an appointment".
    pub title: &'static str,
    /// The consequence of saving it, if it is serious; otherwise empty.
    pub warning: &'static str,
}

impl FormSpec {
    /// A form with its place in the list of forms.
    pub(crate) const fn new(rank: u16, title: &'static str) -> Self {
        Self { rank, title, warning: "" }
    }

    /// With the consequence of saving it.
    pub(crate) const fn warning(self, warning: &'static str) -> Self {
        Self { warning, ..self }
    }
}

/// The declaration of a kind of entry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KindSpec {
    /// Its key in the wire form, `cast_applied`.
    pub wire: &'static str,
    /// Its name in words, "cast applied".
    pub words: &'static str,
    /// The version of the wire form that introduced it.
    pub since: u16,
    /// Its fields in the order of the wire form.
    pub fields: &'static [FieldSpec],
    /// Keys of the fields that a form shows first, in this order.
    pub first: &'static [&'static str],
    /// The label of the clinical day in a form.
    pub day_label: &'static str,
    /// Its small form; `None` if it is recorded in a visit or on a page of its own.
    pub form: Option<FormSpec>,
    /// The heading of its panel in the visit form; `None` if the visit form does not show its declared
    /// fields.
    pub visit: Option<&'static str>,
    /// The heading of its list on the child's page; `None` if it has no list.
    pub list: Option<&'static str>,
    /// Whether it amends another entry; then it has a form of its own.
    pub amends: bool,
}

impl KindSpec {
    /// A kind with its key and its name in words.
    pub(crate) const fn new(wire: &'static str, words: &'static str) -> Self {
        Self {
            wire,
            words,
            since: 1,
            fields: &[],
            first: &[],
            day_label: "Date",
            form: None,
            visit: None,
            list: None,
            amends: false,
        }
    }

    /// Introduced by a later version of the wire form.
    pub(crate) const fn since(self, since: u16) -> Self {
        Self { since, ..self }
    }

    /// With a small form.
    pub(crate) const fn form(self, form: FormSpec) -> Self {
        Self { form: Some(form), ..self }
    }

    /// With another label for the clinical day.
    pub(crate) const fn day_label(self, day_label: &'static str) -> Self {
        Self { day_label, ..self }
    }

    /// With these fields first in a form.
    pub(crate) const fn first(self, first: &'static [&'static str]) -> Self {
        Self { first, ..self }
    }

    /// With a panel of its declared fields in the visit form, under this heading.
    #[must_use]
    pub const fn visit(self, heading: &'static str) -> Self {
        Self { visit: Some(heading), ..self }
    }

    /// With a list on the child's page, under this heading.
    #[must_use]
    pub const fn list(self, heading: &'static str) -> Self {
        Self { list: Some(heading), ..self }
    }

    /// As an amendment of another entry.
    pub(crate) const fn amends(self) -> Self {
        Self { amends: true, ..self }
    }

    /// With its fields; for the macros.
    pub(crate) const fn fields(self, fields: &'static [FieldSpec]) -> Self {
        Self { fields, ..self }
    }

    /// The latest version that introduced the kind or one of its fields.
    #[must_use]
    pub const fn latest(&self) -> u16 {
        latest_of(self.fields, self.since)
    }

    /// Every version that introduced the kind or one of its fields, earliest first.
    #[must_use]
    pub fn versions(&self) -> Vec<u16> {
        fn add(fields: &[FieldSpec], out: &mut Vec<u16>) {
            for field in fields {
                out.push(field.since);
                add(field.parts(), out);
            }
        }
        let mut out = vec![self.since];
        add(self.fields, &mut out);
        out.retain(|&version| version >= self.since);
        out.sort_unstable();
        out.dedup();
        out
    }

    /// Its fields in the order of a form.
    pub fn form_order(&self) -> impl Iterator<Item = &'static FieldSpec> {
        let (first, fields) = (self.first, self.fields);
        let named = first.iter().filter_map(|key| fields.iter().find(|field| field.key == *key));
        named.chain(fields.iter().filter(|field| !first.contains(&field.key)))
    }
}

//! What a kind declares about itself and about each of its fields: plain data.

use crate::bounds::{Bound, LINE_CHARS, NOTE_CHARS};

/// One answer of a closed list: its key for files and forms, and its words.
pub type Answer = (&'static str, &'static str);

/// What a field takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FieldType {
    /// One line of text.
    Line,
    /// Several lines of text.
    Long,
    /// A telephone number, as written.
    Phone,
    /// A time of day, as written.
    Time,
    /// A day.
    Day,
    /// A whole number.
    Whole,
    /// A number that may have a fraction.
    Decimal,
    /// A score that moves by half points.
    HalfSteps,
    /// Yes or no.
    YesNo,
    /// Yes, or nothing: the one answer in its words.
    Flag(&'static [Answer]),
    /// One of a closed list.
    Choice(&'static [Answer]),
    /// One of a closed list whose keys are the points themselves.
    Points(&'static [Answer]),
    /// The id of another entry, carried along and never typed.
    Entry,
    /// The contents of another entry.
    Body,
    /// A group of fields under one key.
    Group(&'static [FieldSpec]),
    /// A group of fields of which exactly one is filled.
    OneOf(&'static [FieldSpec]),
    /// At most one group for each foot, named by this word: a list whose items name their side.
    PerFoot(&'static str, &'static [FieldSpec]),
    /// Any number of groups, each named by this word.
    Several(&'static str, &'static [FieldSpec]),
    /// A list of lines: a form shows the first in a field of its own and the others, with commas, in a second.
    Lines(&'static [FieldSpec; 2]),
}

/// Whether the wire form holds a field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Presence {
    /// Only where something was recorded.
    Optional,
    /// Always, though it may be blank.
    Always,
    /// Always, and never blank.
    Required,
}

/// One field of a kind of entry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FieldSpec {
    /// Its key in the wire form, `foot_length_mm`.
    pub key: &'static str,
    /// What a form calls it; for a group, what precedes the label of each of its fields.
    pub label: &'static str,
    /// What to know before filling it in; empty for nothing.
    pub hint: &'static str,
    /// What it takes.
    pub takes: FieldType,
    /// Whether the wire form holds it.
    pub presence: Presence,
    /// Whether a form cannot do without it.
    pub needed: bool,
    /// Within which its number is believed; `None` where only other fields bound it.
    pub bound: Option<&'static Bound>,
    /// The smallest and the largest whole number that it can hold.
    pub range: (i64, i64),
    /// Longest text, in characters.
    pub most_chars: usize,
    /// The version of the wire form that brought it; 1 where it is as old as its kind.
    pub since: u16,
    /// Headings by which the column of a spreadsheet is recognised, lower case; the first is the one that an
    /// export writes. Empty for a field without a column.
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

    /// The same with a hint.
    pub(crate) const fn hint(self, hint: &'static str) -> Self {
        Self { hint, ..self }
    }

    /// The same, needed in a form although an entry without it can be read.
    pub(crate) const fn needed(self) -> Self {
        Self { needed: true, ..self }
    }

    /// The same, brought by a later version of the wire form than its kind.
    pub(crate) const fn since(self, since: u16) -> Self {
        Self { since, ..self }
    }

    /// The same with another longest text, in characters.
    pub(crate) const fn most_chars(self, most_chars: usize) -> Self {
        Self { most_chars, ..self }
    }

    /// The same, believed within a bound.
    pub(crate) const fn bound(self, bound: &'static Bound) -> Self {
        Self { bound: Some(bound), ..self }
    }

    /// The same, recognised in a spreadsheet by these headings.
    #[must_use]
    pub const fn columns(self, columns: &'static [&'static str]) -> Self {
        Self { columns, ..self }
    }

    /// Used by the macros: the same, under this key and of this type.
    pub(crate) const fn place(self, key: &'static str, of_type: FieldType, range: (i64, i64)) -> Self {
        let takes = if self.of_type { of_type } else { self.takes };
        Self { key, takes, range, ..self }
    }

    /// Used by the macros: the same, written always though it may be blank.
    pub(crate) const fn always(self) -> Self {
        Self { presence: Presence::Always, ..self }
    }

    /// Used by the macros: the same, always there.
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

    /// The smallest and the largest number that a form offers.
    #[must_use]
    pub fn limits(&self) -> (i32, i32) {
        // The bounds are whole numbers well within 32 bits; a count without a bound is offered up to 2000.
        #[allow(clippy::cast_possible_truncation)]
        self.bound.map_or((0, 2000), |bound| (bound.possible.0 as i32, bound.possible.1 as i32))
    }

    /// The answers offered, where it takes one of a closed list.
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

    /// The fields below it, where it is a group or a list of groups.
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

    /// The latest version that brought it or a field below it.
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

/// A field of which the type of the value says what it takes: an answer, a day, yes or no, a foot, a group.
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

/// A telephone number.
pub(crate) const fn phone(label: &'static str) -> FieldSpec {
    FieldSpec::new(label, FieldType::Phone)
}

/// A time of day.
pub(crate) const fn time(label: &'static str) -> FieldSpec {
    FieldSpec::new(label, FieldType::Time)
}

/// A number within a bound; the type of the value says whether it is whole.
pub(crate) const fn within(label: &'static str, bound: &'static Bound) -> FieldSpec {
    field(label).bound(bound)
}

/// Yes, or nothing: the one answer in its words.
pub(crate) const fn flag(label: &'static str, yes: &'static [Answer; 1]) -> FieldSpec {
    FieldSpec::new(label, FieldType::Flag(yes))
}

/// Points of a score, each with its meaning.
pub(crate) const fn points(label: &'static str, answers: &'static [Answer]) -> FieldSpec {
    FieldSpec::new(label, FieldType::Points(answers))
}

/// A list with one group for each foot, each named by `item`.
pub(crate) const fn per_foot(
    label: &'static str,
    item: &'static str,
    parts: &'static [FieldSpec],
) -> FieldSpec {
    FieldSpec::new(label, FieldType::PerFoot(item, parts))
}

/// A list of groups, each named by `item`; `label` is what the first is called.
pub(crate) const fn several(
    label: &'static str,
    item: &'static str,
    parts: &'static [FieldSpec],
) -> FieldSpec {
    FieldSpec::new(label, FieldType::Several(item, parts))
}

/// A list of lines, with the fields in which a form shows the first and the others.
pub(crate) const fn lines(fields: &'static [FieldSpec; 2]) -> FieldSpec {
    FieldSpec::new("", FieldType::Lines(fields))
}

/// A field declared outside the macros, under this key and for values of type `T`.
pub(crate) const fn part<T: super::FieldValue>(key: &'static str, spec: FieldSpec) -> FieldSpec {
    spec.place(key, T::TAKES, T::RANGE)
}

/// The small form of a kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FormSpec {
    /// Forms are offered in the order of this number.
    pub rank: u16,
    /// What the person does there, "Make an appointment".
    pub title: &'static str,
    /// What saving it means, where that is grave; empty otherwise.
    pub warning: &'static str,
}

impl FormSpec {
    /// A form and its place among those offered.
    pub(crate) const fn new(rank: u16, title: &'static str) -> Self {
        Self { rank, title, warning: "" }
    }

    /// The same, with what saving it means.
    pub(crate) const fn warning(self, warning: &'static str) -> Self {
        Self { warning, ..self }
    }
}

/// What a kind of entry declares about itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KindSpec {
    /// The key on the wire, `cast_applied`.
    pub wire: &'static str,
    /// The human word, "cast applied".
    pub words: &'static str,
    /// The version of the wire form that brought it.
    pub since: u16,
    /// Its fields in the order of the wire form.
    pub fields: &'static [FieldSpec],
    /// Keys of the fields that a form shows before the others, in this order.
    pub first: &'static [&'static str],
    /// What a form calls the clinical day.
    pub day_label: &'static str,
    /// Its small form; `None` where it is recorded in a visit or on a page of its own.
    pub form: Option<FormSpec>,
    /// The heading of its panel in the visit form; `None` where the visit form does not show its fields as
    /// they are declared.
    pub visit: Option<&'static str>,
    /// The heading of its list on the child's page; `None` where the timeline is enough.
    pub list: Option<&'static str>,
    /// Whether it amends another entry, and so has a form of its own.
    pub amends: bool,
}

impl KindSpec {
    /// A kind by its key and its words.
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

    /// The same, brought by a later version of the wire form.
    pub(crate) const fn since(self, since: u16) -> Self {
        Self { since, ..self }
    }

    /// The same with a small form.
    pub(crate) const fn form(self, form: FormSpec) -> Self {
        Self { form: Some(form), ..self }
    }

    /// The same with another name for the clinical day.
    pub(crate) const fn day_label(self, day_label: &'static str) -> Self {
        Self { day_label, ..self }
    }

    /// The same, with these fields first in a form.
    pub(crate) const fn first(self, first: &'static [&'static str]) -> Self {
        Self { first, ..self }
    }

    /// The same, shown in the visit form as it is declared, under this heading.
    #[must_use]
    pub const fn visit(self, heading: &'static str) -> Self {
        Self { visit: Some(heading), ..self }
    }

    /// The same, listed on the child's page under this heading.
    #[must_use]
    pub const fn list(self, heading: &'static str) -> Self {
        Self { list: Some(heading), ..self }
    }

    /// The same, an amendment of another entry.
    pub(crate) const fn amends(self) -> Self {
        Self { amends: true, ..self }
    }

    /// Used by the macros: the same with its fields.
    pub(crate) const fn fields(self, fields: &'static [FieldSpec]) -> Self {
        Self { fields, ..self }
    }

    /// The latest version that brought the kind or one of its fields.
    #[must_use]
    pub const fn latest(&self) -> u16 {
        latest_of(self.fields, self.since)
    }

    /// Every version that brought the kind or one of its fields, earliest first.
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

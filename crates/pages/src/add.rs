//! A small form for each kind of entry.

use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Who},
    words,
};
use maud::{Markup, html};
use record::Kind;
use std::sync::LazyLock;

/// A kind of entry that has its own small form. The other kinds are recorded in a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct AddKind(Kind);

impl AddKind {
    /// Every one, in the order in which they are offered.
    #[must_use]
    pub fn all() -> &'static [Self] {
        static ALL: LazyLock<Vec<AddKind>> = LazyLock::new(|| {
            let mut forms: Vec<(u16, AddKind)> =
                Kind::ALL.iter().filter_map(|kind| Some((kind.spec().form?.rank, AddKind(*kind)))).collect();
            forms.sort_by_key(|(rank, _)| *rank);
            forms.into_iter().map(|(_, kind)| kind).collect()
        });
        &ALL
    }

    /// Its key in the URL, such as `appointment-made`.
    #[must_use]
    pub fn key(self) -> String {
        self.0.wire().replace('_', "-")
    }

    /// The kind with a key from the URL.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::all().iter().copied().find(|kind| kind.key() == key)
    }

    /// The kind of entry that it creates.
    #[must_use]
    pub const fn kind(self) -> Kind {
        self.0
    }

    /// The title of the form.
    #[must_use]
    pub fn title(self) -> &'static str {
        self.0.spec().form.map_or(self.0.words(), |form| form.title)
    }

    /// The section of the manual about it.
    const fn topic(self) -> HelpTopic {
        match self.0 {
            Kind::TenotomyBooked | Kind::TenotomyDone => HelpTopic::Tenotomy,
            Kind::AppointmentMade | Kind::AppointmentCancelled => HelpTopic::MoveAppointment,
            Kind::BodyMeasured => HelpTopic::BraceFitting,
            Kind::WearReported => HelpTopic::Wear,
            Kind::LostDeclared => HelpTopic::Lost,
            Kind::ContactAttempt => HelpTopic::Telephone,
            Kind::Registration => HelpTopic::Register,
            _ => HelpTopic::SingleEntry,
        }
    }

    /// Whether one form may record the same of each foot. The entries stay one for each foot.
    #[must_use]
    pub const fn takes_both_feet(self) -> bool {
        matches!(self.0, Kind::Diagnosis | Kind::TenotomyBooked | Kind::RelapseNoted)
    }

    /// What saving it means, where that is grave.
    fn warning(self) -> Option<&'static str> {
        self.0.spec().form.map(|form| form.warning).filter(|warning| !warning.is_empty())
    }
}

/// A small form.
#[derive(Debug, Clone)]
pub struct AddView {
    /// The child.
    pub who: Who,
    /// The kind of entry.
    pub kind: AddKind,
    /// The values in the form: `on` and the fields of `fields::of_kind`.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
    /// The earlier entry that this one answers, with a description: the appointment that is cancelled, the
    /// problem that is solved.
    pub follows: Option<(record::EntryId, String)>,
    /// Whether the form offers to record both feet at once.
    pub both_feet: bool,
}

/// The page with the form.
#[must_use]
pub fn add(frame: &Frame, view: &AddView) -> Markup {
    let AddView { who, kind, filled, once, follows, both_feet } = view;
    let name = who.shown_name();
    let body = html! {
        (parts::band(who, kind.title(), frame.today))
        (parts::error_summary(filled))
        form.card.add method="post" action={ (who.href()) "/add/" (kind.key()) } {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, once))
            (parts::draft(filled))
            (parts::closed_seen(filled))
            (parts::confirmation(filled))
            @if let Some((entry, word)) = follows { (parts::hidden(fields::FOLLOWS, &entry.to_string())) p { "About: " (word) } }
            @if let Some(warning) = kind.warning() { p.message.warning { strong { "Important: " } (warning) } }
            (parts::field(filled, &on_field(kind.kind())))
            @for field in &entry_fields(kind.kind(), filled) { (parts::field(filled, &with_both_feet(field, *both_feet))) }
            p.actions { button.primary type="submit" { "Save for " (name) } " " a.button href=(who.href()) { "Leave without saving" } }
        }
    };
    frame::page(frame, kind.topic(), kind.title(), &body)
}

/// The field that asks for the foot, with both feet as a third answer where the form offers it.
fn with_both_feet(field: &Field, offered: bool) -> Field {
    let mut field = field.clone();
    if let (true, fields::SIDE, What::Choice(answers)) = (offered, field.name.as_ref(), &mut field.what) {
        answers.push((fields::BOTH_FEET, "both feet"));
        field.hint = "“Both feet” saves one entry for each foot, with the same answers. Where the feet differ, record each by itself.";
    }
    field
}

/// The form field of the clinical day, with a label that fits the kind.
pub(crate) fn on_field(kind: Kind) -> Field {
    Field::new(fields::ON, kind.spec().day_label, What::Day).needed()
}

/// The form fields of a kind; a registration has fields for every carer and for one more.
pub(crate) fn entry_fields(kind: Kind, filled: &Filled) -> Vec<Field> {
    fields::with_room(kind, carers_in(filled) + 1)
}

fn carers_in(filled: &Filled) -> usize {
    let names = filled.values.iter().filter(|(name, value)| name.starts_with("carer_") && !value.is_empty());
    let number = |name: &str| name.split('_').nth(1).and_then(|part| part.parse().ok()).unwrap_or(1);
    names.map(|(name, _)| number(name)).max().unwrap_or(0)
}

/// The kind as a heading, such as "Appointment made".
pub(crate) fn kind_title(kind: Kind) -> String {
    words::capital(kind.words())
}

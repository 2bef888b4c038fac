//! One small form per kind of entry.

use crate::{
    Frame,
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Who},
    words,
};
use maud::{Markup, html};
use record::Kind;

/// The kinds that have a small form of their own. The rest is recorded in a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct AddKind(Kind);

impl AddKind {
    /// Every one, in the order in which they are offered.
    pub const ALL: [Self; 18] = [
        Self(Kind::AppointmentMade),
        Self(Kind::AppointmentCancelled),
        Self(Kind::ContactAttempt),
        Self(Kind::Problem),
        Self(Kind::Note),
        Self(Kind::WearReported),
        Self(Kind::BodyMeasured),
        Self(Kind::Diagnosis),
        Self(Kind::Screening),
        Self(Kind::Referral),
        Self(Kind::TenotomyBooked),
        Self(Kind::RelapseNoted),
        Self(Kind::OtherSurgery),
        Self(Kind::Registration),
        Self(Kind::Transfer),
        Self(Kind::Discharge),
        Self(Kind::LostDeclared),
        Self(Kind::Death),
    ];

    /// Its key in the address, `appointment-made`.
    #[must_use]
    pub fn key(self) -> String {
        self.0.wire().replace('_', "-")
    }

    /// From its key in the address.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// The kind of entry that it makes.
    #[must_use]
    pub const fn kind(self) -> Kind {
        self.0
    }

    /// What the person does there.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self.0 {
            Kind::AppointmentMade => "Make an appointment",
            Kind::AppointmentCancelled => "Cancel an appointment",
            Kind::ContactAttempt => "Reaching the family",
            Kind::Problem => "Note a problem",
            Kind::BodyMeasured => "Shoulder width",
            Kind::WearReported => "Brace wear as the family reports it",
            Kind::Diagnosis => "Diagnosis of a foot",
            Kind::Screening => "Hips, spine, nerve and muscle",
            Kind::Referral => "Referral",
            Kind::TenotomyBooked => "Book a tenotomy",
            Kind::RelapseNoted => "Note a relapse",
            Kind::OtherSurgery => "Other surgery",
            Kind::Registration => "Who the child is",
            Kind::Transfer => "Pass care to another clinic",
            Kind::Discharge => "Discharge",
            Kind::LostDeclared => "Declare lost to follow-up",
            Kind::Death => "Death",
            _ => "Write a note",
        }
    }

    /// What saving it means, where that is grave.
    const fn warning(self) -> Option<&'static str> {
        match self.0 {
            Kind::Transfer | Kind::Discharge => Some(
                "From that day the record suggests nothing more for this child, and no call for attention is raised. A later referral opens it again.",
            ),
            Kind::LostDeclared => {
                Some("From that day the child counts as lost to follow-up. Being seen again undoes it.")
            }
            Kind::Death => Some(
                "From that day nothing more is suggested and nobody is called. Make sure that it is the right child.",
            ),
            _ => None,
        }
    }
}

/// A small form.
#[derive(Debug, Clone)]
pub struct AddView {
    /// For whom.
    pub who: Who,
    /// Which.
    pub kind: AddKind,
    /// What stands in it: `on` and the fields of `fields::of_kind`.
    pub filled: Filled,
    /// Makes a double submit harmless.
    pub once: String,
    /// The earlier entry that this one answers, with a word about it: the appointment called off, the
    /// problem settled.
    pub follows: Option<(record::EntryId, String)>,
}

/// The form for one more entry.
#[must_use]
pub fn add(frame: &Frame, view: &AddView) -> Markup {
    let AddView { who, kind, filled, once, follows } = view;
    let name = who.shown_name();
    let body = html! {
        (parts::band(who, kind.title(), frame.today))
        (parts::error_summary(filled))
        form.card.add method="post" action={ (who.href()) "/add/" (kind.key()) } {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, once))
            (parts::confirmation(filled))
            @if let Some((entry, word)) = follows { (parts::hidden(fields::FOLLOWS, &entry.to_string())) p { "About: " (word) } }
            @if let Some(warning) = kind.warning() { p.message.warning { strong { "Mind: " } (warning) } }
            (parts::field(filled, &on_field(kind.kind())))
            (entry_fields(kind.kind(), filled))
            p.actions { button.primary type="submit" { "Save for " (name) } " " a.button href=(who.href()) { "Leave without saving" } }
        }
    };
    frame::page(frame, &format!("{}: {name}", kind.title()), &body)
}

/// The clinical day, worded for the kind.
pub(crate) fn on_field(kind: Kind) -> Field {
    let label = match kind {
        Kind::AppointmentMade => "Made on",
        Kind::Referral => "Received on",
        Kind::Death => "Day of death",
        Kind::WearReported => "Told on",
        Kind::ContactAttempt => "Tried on",
        Kind::AppointmentCancelled => "Called off on",
        Kind::Note => "Day",
        _ => "On which day",
    };
    Field::new(fields::ON, label, What::Day).needed()
}

/// The fields of a kind; for a registration as many carers as there are and room for one more.
pub(crate) fn entry_fields(kind: Kind, filled: &Filled) -> Markup {
    let fields = if kind == Kind::Registration {
        fields::registration_fields(carers_in(filled) + 1)
    } else {
        fields::of_kind(kind)
    };
    html! { @for field in &fields { (parts::field(filled, field)) } }
}

fn carers_in(filled: &Filled) -> usize {
    let names = filled.values.iter().filter(|(name, value)| name.starts_with("carer_") && !value.is_empty());
    let number = |name: &str| name.split('_').nth(1).and_then(|part| part.parse().ok()).unwrap_or(1);
    names.map(|(name, _)| number(name)).max().unwrap_or(0)
}

/// "Appointment made" for a heading.
pub(crate) fn kind_title(kind: Kind) -> String {
    words::capital(kind.words())
}

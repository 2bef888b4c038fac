//! A small form for each kind of entry.

use crate::{
    Frame,
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Who},
    words,
};
use maud::{Markup, html};
use record::Kind;

/// A kind of entry that has its own small form. The other kinds are recorded in a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct AddKind(Kind);

impl AddKind {
    /// All of them, in the order in which they are offered.
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

    /// Its key in the URL, such as `appointment-made`.
    #[must_use]
    pub fn key(self) -> String {
        self.0.wire().replace('_', "-")
    }

    /// The kind with a key from the URL.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// The kind of entry that it creates.
    #[must_use]
    pub const fn kind(self) -> Kind {
        self.0
    }

    /// The title of the form.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self.0 {
            Kind::AppointmentMade => "Make an appointment",
            Kind::AppointmentCancelled => "Cancel an appointment",
            Kind::ContactAttempt => "Contact with the family",
            Kind::Problem => "Record a problem",
            Kind::BodyMeasured => "Shoulder width",
            Kind::WearReported => "Brace wear reported by the family",
            Kind::Diagnosis => "Diagnosis of a foot",
            Kind::Screening => "Screening: hips, spine, nerve and muscle",
            Kind::Referral => "Referral",
            Kind::TenotomyBooked => "Book a tenotomy",
            Kind::RelapseNoted => "Record a relapse",
            Kind::OtherSurgery => "Other surgery",
            Kind::Registration => "Name and details of the child",
            Kind::Transfer => "Transfer to another clinic",
            Kind::Discharge => "Discharge",
            Kind::LostDeclared => "Declare lost to follow-up",
            Kind::Death => "Death",
            _ => "Write a note",
        }
    }

    /// The consequence of saving it, where that is serious.
    const fn warning(self) -> Option<&'static str> {
        match self.0 {
            Kind::Transfer | Kind::Discharge => Some(
                "From that day no next step and no call for attention is shown for this child. A later referral reopens the record.",
            ),
            Kind::LostDeclared => {
                Some("From that day the child counts as lost to follow-up, until seen again.")
            }
            Kind::Death => Some(
                "From that day no next step and no call for attention is shown. Make sure that this is the right child.",
            ),
            _ => None,
        }
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
}

/// The page with the form.
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
            @if let Some(warning) = kind.warning() { p.message.warning { strong { "Important: " } (warning) } }
            (parts::field(filled, &on_field(kind.kind())))
            (entry_fields(kind.kind(), filled))
            p.actions { button.primary type="submit" { "Save for " (name) } " " a.button href=(who.href()) { "Leave without saving" } }
        }
    };
    frame::page(frame, &format!("{}: {name}", kind.title()), &body)
}

/// The form field of the clinical day, with a label that fits the kind.
pub(crate) fn on_field(kind: Kind) -> Field {
    let label = match kind {
        Kind::AppointmentMade => "Made on",
        Kind::Referral => "Received on",
        Kind::Death => "Day of death",
        Kind::WearReported => "Reported on",
        Kind::ContactAttempt => "Contact attempted on",
        Kind::AppointmentCancelled => "Cancelled on",
        Kind::Note => "Date",
        _ => "Date",
    };
    Field::new(fields::ON, label, What::Day).needed()
}

/// The form fields of a kind; a registration has fields for every carer and for one more.
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

/// The kind as a heading, such as "Appointment made".
pub(crate) fn kind_title(kind: Kind) -> String {
    words::capital(kind.words())
}

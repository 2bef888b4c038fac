//! Who may do what: the roles of people, the rights that a role brings, and the right that each kind of entry
//! needs to be written.
//!
//! A person has a set of roles and every right of each. A right is named after what somebody does, not after a
//! page, so that pages, downloads, forms and commands are judged by one list.

use crate::{Body, Kind};

/// What a person is at the clinic. A person may have several roles.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// Treats children: sees and records everything about a child.
    Clinician,
    /// Makes appointments, calls families, keeps contact details and the stock; sees no scores.
    Coordinator,
    /// Comes to do tenotomies; sees the list of booked tenotomies and nothing else.
    Theatre,
    /// Looks at the results of the service, without the identity of any child.
    Auditor,
    /// Answers for the clinic: people, settings, import and export; may also treat.
    Lead,
}

/// What somebody may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Right {
    /// See who a child is, its family, appointments and calls, and when it is due for what.
    SeeChildren,
    /// Register a child; record contact details, appointments and calls.
    RecordContact,
    /// See scores, casts, braces, calls for attention and forecasts of a child.
    SeeClinical,
    /// Record scores, casts, tenotomies, braces and decisions.
    RecordClinical,
    /// See and change the stock of boots and bars.
    KeepStock,
    /// See the places needed and waiting times to come.
    SeeCapacity,
    /// See the list of booked tenotomies.
    SeeTheatreList,
    /// See the results of the service, without identities.
    SeeResults,
    /// Import, export and check the records as a whole.
    CareForRecords,
    /// Add people, give and take roles, disable people, end their sessions; enrol and remove devices.
    ManagePeople,
    /// Change how the clinic is run: its settings and its places.
    ChangeSettings,
    /// See the access log: who opened which record.
    SeeAccessLog,
    /// Restrict records, erase them on legal request, and see which fall due for it.
    ProtectRecords,
}

impl Role {
    /// Every role, in the order of a form.
    pub const ALL: [Self; 5] = [Self::Clinician, Self::Coordinator, Self::Theatre, Self::Auditor, Self::Lead];

    /// The key in files, forms and commands.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Clinician => "clinician",
            Self::Coordinator => "coordinator",
            Self::Theatre => "theatre",
            Self::Auditor => "auditor",
            Self::Lead => "lead",
        }
    }

    /// The name of the role.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Clinician => "treating clinician",
            Self::Coordinator => "clinic coordinator",
            Self::Theatre => "visiting theatre",
            Self::Auditor => "auditor",
            Self::Lead => "lead",
        }
    }

    /// What somebody with this role does, in a phrase.
    #[must_use]
    pub const fn does(self) -> &'static str {
        match self {
            Self::Clinician => "sees and records everything about a child",
            Self::Coordinator => "appointments, calls, contact details and stock; no scores",
            Self::Theatre => "the list of booked tenotomies only",
            Self::Auditor => "results of the service, without the identity of any child",
            Self::Lead => "people, settings, import and export; may also treat",
        }
    }

    /// The role of a key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.key() == key)
    }

    /// What the role may do.
    #[must_use]
    pub const fn rights(self) -> &'static [Right] {
        use Right::{
            KeepStock, RecordClinical, RecordContact, SeeCapacity, SeeChildren, SeeClinical, SeeResults,
            SeeTheatreList,
        };
        match self {
            Self::Clinician => &[
                SeeChildren,
                RecordContact,
                SeeClinical,
                RecordClinical,
                KeepStock,
                SeeCapacity,
                SeeTheatreList,
                SeeResults,
            ],
            Self::Coordinator => &[SeeChildren, RecordContact, KeepStock, SeeCapacity],
            Self::Theatre => &[SeeTheatreList],
            Self::Auditor => &[SeeResults],
            Self::Lead => &Right::ALL,
        }
    }

    const fn bit(self) -> u8 {
        1 << self as u8
    }
}

impl Right {
    /// Every right.
    pub const ALL: [Self; 13] = [
        Self::SeeChildren,
        Self::RecordContact,
        Self::SeeClinical,
        Self::RecordClinical,
        Self::KeepStock,
        Self::SeeCapacity,
        Self::SeeTheatreList,
        Self::SeeResults,
        Self::CareForRecords,
        Self::ManagePeople,
        Self::ChangeSettings,
        Self::SeeAccessLog,
        Self::ProtectRecords,
    ];

    /// What may be done with it, as in "You may not …".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::SeeChildren => "see children and their appointments",
            Self::RecordContact => "register children or record contact details, appointments and calls",
            Self::SeeClinical => "see scores, treatment and forecasts of a child",
            Self::RecordClinical => "record scores, treatment and decisions",
            Self::KeepStock => "see or change the stock",
            Self::SeeCapacity => "see the planning of capacity",
            Self::SeeTheatreList => "see the list of booked tenotomies",
            Self::SeeResults => "see the results of the service",
            Self::CareForRecords => "import, export or check the records as a whole",
            Self::ManagePeople => "add people or devices or change roles",
            Self::ChangeSettings => "change how the clinic is run",
            Self::SeeAccessLog => "see who opened which record",
            Self::ProtectRecords => "restrict records or erase them",
        }
    }

    /// The roles that bring it.
    pub fn roles(self) -> impl Iterator<Item = Role> {
        Role::ALL.into_iter().filter(move |role| role.rights().contains(&self))
    }

    /// The right that is needed to write an entry of a kind. An entry that amends others needs in addition the
    /// right for each entry that it amends; see [`Right::to_write`].
    #[must_use]
    pub const fn for_kind(kind: Kind) -> Self {
        match kind {
            Kind::Registration
            | Kind::Referral
            | Kind::Sibling
            | Kind::AppointmentMade
            | Kind::AppointmentAttended
            | Kind::AppointmentMissed
            | Kind::AppointmentCancelled
            | Kind::ContactAttempt
            | Kind::Correction
            | Kind::Withdrawal => Self::RecordContact,
            Kind::Diagnosis
            | Kind::Screening
            | Kind::Assessment
            | Kind::SecondScore
            | Kind::BodyMeasured
            | Kind::Weighed
            | Kind::Allergies
            | Kind::Medicines
            | Kind::CastApplied
            | Kind::CastRemoved
            | Kind::TenotomyBooked
            | Kind::TenotomyDone
            | Kind::BraceFitted
            | Kind::BraceChanged
            | Kind::WearReported
            | Kind::WearLogged
            | Kind::Problem
            | Kind::Consent
            | Kind::DocumentHanded
            | Kind::RelapseNoted
            | Kind::OtherSurgery
            | Kind::Transfer
            | Kind::Death
            | Kind::LostDeclared
            | Kind::Discharge
            | Kind::Note
            | Kind::Photograph
            | Kind::PhotographAngleMeasured
            | Kind::PhotographLengthMeasured
            | Kind::GaitVideo
            | Kind::VisitAmended
            | Kind::RecordsJoined => Self::RecordClinical,
        }
    }

    /// The right that is needed to write these contents: that of the kind, and for a correction that of the
    /// contents it brings. The entry that a correction or withdrawal amends is known to the caller only.
    #[must_use]
    pub fn to_write(body: &Body) -> Self {
        match body {
            Body::Correction(correction) => Self::to_write(&correction.body),
            other => Self::for_kind(other.kind()),
        }
    }

    const fn bit(self) -> u16 {
        1 << self as u16
    }
}

/// A set of roles.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Roles(u8);

impl Roles {
    /// No role.
    pub const NONE: Self = Self(0);

    /// The roles of the first account, and of every account made before there were roles.
    pub const FIRST: Self = Self(Role::Lead.bit() | Role::Clinician.bit());

    /// These and one more.
    #[must_use]
    pub const fn with(self, role: Role) -> Self {
        Self(self.0 | role.bit())
    }

    /// These without one.
    #[must_use]
    pub const fn without(self, role: Role) -> Self {
        Self(self.0 & !role.bit())
    }

    /// Whether a role is among them.
    #[must_use]
    pub const fn has(self, role: Role) -> bool {
        self.0 & role.bit() != 0
    }

    /// Whether there is none.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Each of them, in the order of a form.
    pub fn iter(self) -> impl Iterator<Item = Role> {
        Role::ALL.into_iter().filter(move |role| self.has(*role))
    }

    /// What a person with these roles may do.
    #[must_use]
    pub fn rights(self) -> Rights {
        self.iter().flat_map(|role| role.rights().iter().copied()).collect()
    }

    /// "treating clinician and lead"; "no role" where there is none.
    #[must_use]
    pub fn words(self) -> String {
        list(self.iter().map(Role::words), "and").unwrap_or_else(|| "no role".to_owned())
    }
}

impl FromIterator<Role> for Roles {
    fn from_iter<T: IntoIterator<Item = Role>>(roles: T) -> Self {
        roles.into_iter().fold(Self::NONE, Self::with)
    }
}

/// A set of rights.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Rights(u16);

impl Rights {
    /// No right.
    pub const NONE: Self = Self(0);

    /// Whether a right is among them.
    #[must_use]
    pub const fn has(self, right: Right) -> bool {
        self.0 & right.bit() != 0
    }
}

impl FromIterator<Right> for Rights {
    fn from_iter<T: IntoIterator<Item = Right>>(rights: T) -> Self {
        Self(rights.into_iter().fold(0, |bits, right| bits | right.bit()))
    }
}

/// "a, b and c"; `None` for an empty list.
fn list(words: impl Iterator<Item = &'static str>, and: &str) -> Option<String> {
    let words: Vec<&str> = words.collect();
    let (last, before) = words.split_last()?;
    Some(if before.is_empty() { (*last).to_owned() } else { format!("{} {and} {last}", before.join(", ")) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_holds_what_was_put_in_and_nothing_else() {
        for role in Role::ALL {
            let one = Roles::NONE.with(role);
            assert_eq!(one.iter().collect::<Vec<_>>(), [role]);
            assert!(one.without(role).is_empty());
            assert_eq!(Role::from_key(role.key()), Some(role));
            for right in Right::ALL {
                assert_eq!(one.rights().has(right), role.rights().contains(&right), "{role:?} {right:?}");
            }
        }
        assert!(Right::ALL.iter().all(|right| !Roles::NONE.rights().has(*right)));
        assert!(Right::ALL.iter().all(|right| Roles::FIRST.rights().has(*right)));
        assert_eq!(Roles::FIRST.words(), "treating clinician and lead");
        assert_eq!(Roles::NONE.words(), "no role");
    }

    #[test]
    fn every_right_is_brought_by_a_role_and_the_lead_has_all() {
        for right in Right::ALL {
            assert!(right.roles().any(|role| role == Role::Lead), "{right:?}");
        }
    }

    #[test]
    fn a_coordinator_writes_no_clinical_entry() {
        let rights = Roles::NONE.with(Role::Coordinator).rights();
        let may = |kind: &&Kind| rights.has(Right::for_kind(**kind));
        let written: Vec<&str> = Kind::ALL.iter().filter(may).map(|kind| kind.wire()).collect();
        assert_eq!(
            written,
            [
                "registration",
                "referral",
                "sibling",
                "appointment_made",
                "appointment_attended",
                "appointment_missed",
                "appointment_cancelled",
                "contact_attempt",
                "correction",
                "withdrawal"
            ]
        );
    }
}

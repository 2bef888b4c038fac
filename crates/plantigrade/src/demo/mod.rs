//! The invented clinic: the children's clinic of Skarholm, a harbour town that does not exist.
//!
//! Deterministic by seed and day: the same seed, day and number of children give the same entries.
//! The first children are planted (`planted`): their stories are written by hand, so that every phase and
//! every attention rule occurs somewhere. All others come from the natural history of the foot (`simulated`).
//! Nobody here is real: names are drawn at random from two lists.

mod additions;
mod brace_fitting;
mod bracing;
mod casting;
mod contradictions;
mod foot;
mod names;
pub mod photographs;
mod planted;
mod second_scores;
mod simulated;
mod stock;
mod story;
mod twins;
pub mod videos;
mod wear;

pub use planted::count as planted_count;
pub use stock::stock;

use forecast::natural_history::ChildTruth;
use record::{ChildId, Day, Entry, Role, Roles, SiteId, UserId};
use std::collections::BTreeMap;
use uuid::Uuid;

/// The name of the invented clinic.
pub const CLINIC: &str = "Skarholm Children's Foot Clinic (invented)";

/// The people of the invented clinic, with the name shown on entries. Ids are fixed.
pub const STAFF: [(&str, Uuid); 3] = [
    ("Maren Aldous, physiotherapist", Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0a01)),
    ("Dr Osei Lindqvist, surgeon", Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0a02)),
    ("Tove Marchbanks, plaster technician", Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0a03)),
];

/// People of the invented clinic who write no clinical entry: sign-in name, name shown, role. Ids are fixed.
const OTHERS: [(&str, &str, Role, Uuid); 3] = [
    (
        "liv",
        "Liv Okonjo, clinic coordinator",
        Role::Coordinator,
        Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0a04),
    ),
    (
        "theatre",
        "Theatre of Skarholm",
        Role::Theatre,
        Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0a05),
    ),
    (
        "audit",
        "Runa Feld, auditor",
        Role::Auditor,
        Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0a06),
    ),
];

/// The sign-in name of one of the staff.
const SIGN_IN_NAMES: [&str; 3] = ["maren", "osei", "tove"];

/// The roles of one of the staff: the first is also the lead.
const fn roles(index: usize) -> Roles {
    if index == 0 { Roles::FIRST } else { Roles::NONE.with(Role::Clinician) }
}

/// Everybody who can sign in: sign-in name, name shown, roles, id.
pub fn people() -> impl Iterator<Item = (&'static str, &'static str, Roles, Uuid)> {
    let staff = STAFF.iter().zip(SIGN_IN_NAMES).enumerate();
    let staff = staff.map(|(index, ((shown, id), name))| (name, *shown, roles(index), *id));
    staff.chain(OTHERS.iter().map(|(name, shown, role, id)| (*name, *shown, Roles::NONE.with(*role), *id)))
}

/// The invented clinic's site.
#[must_use]
pub const fn site() -> SiteId {
    SiteId::new(Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0b01))
}

/// One of the staff.
#[must_use]
pub const fn person(index: usize) -> UserId {
    UserId::new(STAFF[index % STAFF.len()].1)
}

/// The entries of the invented clinic as of a day, in the order in which they were written.
#[must_use]
pub fn clinic(children: usize, seed: u64, today: Day) -> Vec<Entry> {
    clinic_of(children, seed, today, None)
}

/// The same clinic with another share of families who adhere to the brace, for measurements.
#[must_use]
pub fn clinic_of(children: usize, seed: u64, today: Day, adherent: Option<f64>) -> Vec<Entry> {
    let parts = parts(children, seed, today, adherent);
    let mut entries: Vec<Entry> = parts.flatten().collect();
    entries.sort_by_key(|entry| (entry.at, entry.id));
    entries
}

/// Number of simulated children in one part.
const PART: usize = 5_000;

/// The same clinic in parts of whole children, so that a clinic of any size needs little memory. Each part is
/// in the order in which it was written.
pub fn clinic_in_parts(children: usize, seed: u64, today: Day) -> impl Iterator<Item = Vec<Entry>> {
    parts(children, seed, today, None)
}

fn parts(children: usize, seed: u64, today: Day, adherent: Option<f64>) -> impl Iterator<Item = Vec<Entry>> {
    let simulated = simulated::simulated(children.saturating_sub(planted::count()), seed, today, adherent);
    let ranges = (0..simulated.len().div_ceil(PART).max(1)).map(|part| part * PART);
    ranges.map(move |from| {
        let of_part = simulated.get(from..).unwrap_or_default();
        let of_part = of_part.get(..PART).unwrap_or(of_part);
        let mut entries = if from == 0 { planted::entries(children, seed, today) } else { Vec::new() };
        entries.extend(simulated::entries_of(of_part, seed, today));
        entries.extend(second_scores::second_scores(&entries, seed ^ from as u64, today));
        entries.sort_by_key(|entry| (entry.at, entry.id));
        entries
    })
}

/// The simulated truth about the simulated children of that clinic, for measurements. For the planted children
/// there is only what is recorded.
#[must_use]
pub fn truths(
    children: usize,
    seed: u64,
    today: Day,
    adherent: Option<f64>,
) -> BTreeMap<ChildId, ChildTruth> {
    simulated::truths(children.saturating_sub(planted::count()), seed, today, adherent)
}

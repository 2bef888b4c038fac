//! Simulated children as a clinic would have recorded them.
//!
//! The entries contain the facts of [`SimulatedChild::seen`](super::SimulatedChild) and the other entries of a
//! clinic: appointments made, attended and missed, screening, bookings, sizes of boots, attempts to reach a
//! family. Names and notes come from the caller; nothing here invents a person.
//!
//! Days of the simulation are days since 1970-01-01, as in [`Day::number`]. A relapse is treated with
//! three weekly casts and the brace at nights again; a second relapse is not simulated.

mod braced;
mod in_casts;
mod pen;

use super::SimulatedChild;
use super::truth::ChildTruth;
use pen::Pen;
use rayon::prelude::*;
use record::{
    CastRemoved, Day, Diagnosis, Entry, LostDeclared, Nature, Purpose, Referral, Registration, RemovalReason,
    Screened, Screening, Sex, SiteId, UserId,
};

/// What the entries need in addition to the children.
pub struct Clerk<'a> {
    /// The same seed gives the same ids and the same small chances.
    pub seed: u64,
    /// The last day with entries.
    pub as_of: i32,
    /// The site of the entries.
    pub site: SiteId,
    /// The authors of the entries; if there are none, one author without a name.
    pub staff: &'a [UserId],
    /// Names, numbers and carers of a child; birth, sex and gestation are filled in here.
    pub registration: &'a (dyn Fn(&ChildTruth) -> Registration + Sync),
    /// The source of referrals.
    pub referred_from: Option<&'a str>,
    /// The place of tenotomies.
    pub tenotomy_place: Option<&'a str>,
}

impl Clerk<'_> {
    fn writer(&self, number: usize, on: i32) -> UserId {
        let index = (number / 7).wrapping_add(on.unsigned_abs() as usize);
        let nobody = UserId::new(uuid::Uuid::from_u128(0));
        self.staff.get(index % self.staff.len().max(1)).copied().unwrap_or(nobody)
    }
}

/// The entries of one child, in the order in which they were written.
#[must_use]
pub fn entries(child: &SimulatedChild, clerk: &Clerk<'_>) -> Vec<Entry> {
    let truth = &child.truth;
    let mut pen = Pen::of(clerk, truth);
    arrive(&mut pen);
    in_casts::write(&mut pen);
    braced::write(&mut pen);
    if let Some(day) = truth.declared_lost_day {
        casts_off_at_home(&mut pen, day);
        pen.write(
            day,
            LostDeclared { reason: Some("No answer to telephone, message and letter.".to_owned()) },
        );
    }
    pen.entries.sort_by_key(|entry| (entry.at, entry.id));
    pen.entries
}

/// A family that left with casts on has removed them; the clinic learns of it when it declares the child lost.
fn casts_off_at_home(pen: &mut Pen<'_>, day: i32) {
    let truth = pen.truth;
    if truth.brace_day <= pen.until {
        return;
    }
    for foot in &truth.feet {
        if foot.casts.iter().any(|cast| cast.day <= pen.until) {
            let note = Some("Reported by a neighbour; the family itself was not reached.".to_owned());
            pen.write(day, CastRemoved { side: foot.side, why: RemovalReason::ByFamily, note });
        }
    }
}

/// The entries of many children, child by child.
#[must_use]
pub fn clinic_entries(children: &[SimulatedChild], clerk: &Clerk<'_>) -> Vec<Entry> {
    let parts: Vec<Vec<Entry>> = children.par_iter().map(|child| entries(child, clerk)).collect();
    let mut all = Vec::with_capacity(parts.iter().map(Vec::len).sum());
    parts.into_iter().for_each(|part| all.extend(part));
    all
}

/// Registered, referred and diagnosed; the first visit booked.
fn arrive(pen: &mut Pen<'_>) {
    let (truth, clerk) = (pen.truth, pen.clerk);
    let on = truth.referred_day;
    if on > clerk.as_of {
        return;
    }
    let registration = Registration {
        born: Some(Day::from_number(truth.born_day)),
        sex: Some(if truth.boy { Sex::Male } else { Sex::Female }),
        gestation_weeks: Some(truth.gestation_weeks),
        ..(clerk.registration)(truth)
    };
    pen.write(on, registration);
    pen.write(on, Referral { from: clerk.referred_from.map(str::to_owned), reason: None });
    for foot in &truth.feet {
        let nature = if foot.other_cause { Nature::Syndromic } else { Nature::Idiopathic };
        let earlier_treatment = foot.treated_before.then(|| "Casts elsewhere.".to_owned());
        let diagnosis = Diagnosis {
            side: foot.side,
            nature: Some(nature),
            complex: foot.complex.then_some(true),
            earlier_treatment,
        };
        pen.write(on, diagnosis);
    }
    if pen.chance.happens(0.6) {
        let normal = Some(Screened::Normal);
        pen.write(on, Screening { hips: normal, nerve_and_muscle: normal, ..Screening::default() });
    }
    pen.appoint(on, truth.first_cast_day, Purpose::First);
}

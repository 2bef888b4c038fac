//! Writing entries: ids, times, writers and appointments.

use super::Clerk;
use crate::natural_history::chance::Chance;
use crate::natural_history::growth::{AFFECTED_SHARE, FOOT_LENGTH_SD_SHARE, foot_length_mm};
use crate::natural_history::truth::ChildTruth;
use record::{
    AppointmentAttended, AppointmentMade, AppointmentMissed, Body, Boot, Brace, ChildId, ContactAttempt,
    ContactWay, Day, Entry, EntryId, Purpose, Side, Timestamp,
};

/// Writes the entries of one child, up to the as-of day.
pub(super) struct Pen<'a> {
    pub(super) clerk: &'a Clerk<'a>,
    pub(super) truth: &'a ChildTruth,
    pub(super) chance: Chance,
    pub(super) entries: Vec<Entry>,
    /// The last day on which the family comes.
    pub(super) until: i32,
    child: ChildId,
    /// The length of this child's feet relative to the mean.
    length_share: f64,
    on: i32,
    written_on: u32,
    appointment: Option<EntryId>,
}

impl<'a> Pen<'a> {
    pub(super) fn of(clerk: &'a Clerk<'a>, truth: &'a ChildTruth) -> Self {
        let mut chance = Chance::of(clerk.seed ^ 0xE_27_21_35, truth.number as u64);
        let length_share = 1.0 + FOOT_LENGTH_SD_SHARE * chance.normal();
        let seconds = i64::from(truth.referred_day) * 86_400 + 8 * 3_600;
        let child = ChildId::new(identity(seconds, &mut chance));
        let until = truth.leaves_day.map_or(clerk.as_of, |day| clerk.as_of.min(day - 1));
        let entries = Vec::with_capacity(96);
        Self {
            clerk,
            truth,
            chance,
            entries,
            until,
            child,
            length_share,
            on: i32::MIN,
            written_on: 0,
            appointment: None,
        }
    }

    /// Writes an entry on a day, unless the day is still to come.
    pub(super) fn write(&mut self, on: i32, body: impl Into<Body>) -> Option<EntryId> {
        self.write_after(on, body, None)
    }

    fn write_after(&mut self, on: i32, body: impl Into<Body>, follows: Option<EntryId>) -> Option<EntryId> {
        if on > self.clerk.as_of {
            return None;
        }
        self.written_on = if on == self.on { self.written_on + 1 } else { 0 };
        self.on = on;
        let start = 9 * 3_600 + (self.truth.number as i64 % 12) * 900;
        let seconds = i64::from(on) * 86_400 + start + i64::from(self.written_on) * 40;
        let id = EntryId::new(identity(seconds, &mut self.chance));
        self.entries.push(Entry {
            id,
            child: self.child,
            body: body.into(),
            on: Day::from_number(on),
            at: Timestamp::from_seconds(seconds),
            by: self.clerk.writer(self.truth.number, on),
            site: self.clerk.site,
            follows,
        });
        Some(id)
    }

    /// The family comes, to the last appointment if there is one.
    pub(super) fn come(&mut self, on: i32) {
        let follows = self.appointment.take();
        self.write_after(on, AppointmentAttended { time: None }, follows);
    }

    /// An appointment is made.
    pub(super) fn appoint(&mut self, on: i32, for_day: i32, purpose: Purpose) {
        let slot = self.truth.number % 12;
        let time = Some(format!("{:02}:{:02}", 9 + slot / 4, slot % 4 * 15));
        let made = AppointmentMade { for_day: Day::from_number(for_day), time, purpose: Some(purpose) };
        self.appointment = self.write(on, made);
    }

    /// The family does not come to the last appointment; the clinic telephones and makes another.
    pub(super) fn missed_then(&mut self, missed: i32, next: i32, purpose: Purpose) {
        let follows = self.appointment.take();
        self.write_after(missed, AppointmentMissed { reason: None }, follows);
        let rung = (missed + 1).min(next - 1).max(missed);
        self.write(rung, ContactAttempt { way: ContactWay::Phone, reached: true, whom: None, note: None });
        self.appoint(rung, next, purpose);
    }

    /// Whether the family is still in care on a day.
    pub(super) fn stays(&self, day: i32) -> bool {
        self.truth.leaves_day.is_none_or(|leaves| leaves > day)
    }

    /// A visit that does not take place: still to come, or missed by a family that has left and does not answer.
    pub(super) fn left(&mut self, day: i32) {
        if self.stays(day) || day > self.clerk.as_of {
            return;
        }
        let follows = self.appointment.take();
        self.write_after(day, AppointmentMissed { reason: None }, follows);
        let last = self.truth.declared_lost_day.unwrap_or(i32::MAX);
        for (days, way) in [(2, ContactWay::Phone), (12, ContactWay::Message), (40, ContactWay::Letter)] {
            if day + days < last {
                self.write(day + days, ContactAttempt { way, reached: false, whom: None, note: None });
            }
        }
    }

    /// Length of a foot on a day, mm.
    pub(super) fn length_mm(&self, on: i32, side: Side) -> u16 {
        let affected = self.truth.feet.iter().any(|foot| foot.side == side);
        let share = self.length_share * if affected { AFFECTED_SHARE } else { 1.0 };
        (foot_length_mm(f64::from(on - self.truth.born_day)) * share).round() as u16
    }

    /// The inside of a new boot on a day, mm: some 14 mm longer than the foot.
    fn boot_mm(&self, on: i32, side: Side) -> u16 {
        self.length_mm(on, side) + 14
    }

    /// The inside of both, in the order of [`Side::BOTH`].
    pub(super) fn boots_mm(&self, on: i32) -> [u16; 2] {
        Side::BOTH.map(|side| self.boot_mm(on, side))
    }

    /// The brace that fits on a day: new boots, 60° for an affected foot and
    /// 35° for the other, the bar about as wide as the shoulders.
    pub(super) fn brace(&self, on: i32) -> Brace {
        let boot = |side: Side| {
            let affected = self.truth.feet.iter().any(|foot| foot.side == side);
            Boot {
                abduction_deg: Some(if affected { 60 } else { 35 }),
                dorsiflexion_deg: Some(10),
                length_mm: Some(self.boot_mm(on, side)),
                ..Boot::of(side)
            }
        };
        let bar_mm = 150 + (on - self.truth.born_day).clamp(0, 1_800) / 18;
        Brace { boots: Side::BOTH.map(boot).to_vec(), bar_mm: u16::try_from(bar_mm).ok(), ..Brace::default() }
    }
}

/// An id of version 7 from an instant and chance, so that the same seed gives the same ids.
fn identity(seconds: i64, chance: &mut Chance) -> uuid::Uuid {
    let millis = u64::try_from(seconds).unwrap_or(0) * 1_000;
    uuid::Builder::from_unix_timestamp_millis(millis, &chance.bytes()).into_uuid()
}

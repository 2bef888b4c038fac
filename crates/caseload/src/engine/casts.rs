//! Casts, the tenotomy, and the holding casts in between.

use super::{Phase, Run, put_on};
use crate::{
    Service,
    draws::{self, For},
};

impl Run<'_> {
    pub(super) fn cast(&mut self, index: u32) {
        match self.work.children[index as usize].phase {
            Phase::First => self.end_wait(index),
            Phase::Casts => self.cast_off(index),
            _ => return self.hold(index),
        }
        let setting = &self.clinic.setting;
        let child = &mut self.work.children[index as usize];
        child.phase = Phase::Casts;
        put_on(child, self.today);
        child.casts_left = child.casts_left.saturating_sub(1);
        self.tally.casts.correcting += 1;
        let slip = if child.complex { setting.casting.slip_complex } else { setting.casting.slip };
        let number = u64::from(child.casts_on);
        if draws::unit(child.key, For::Slip, number) < slip {
            child.slipped = true;
            child.casts_left += 1;
            let within = u64::from(setting.casting.interval_days.max(2) - 1);
            let due = self.today + 1 + draws::below(child.key, For::SlipDay, number, within) as i32;
            return self.put(Service::Cast, index, due, 0, false);
        }
        self.plan_after_cast(index);
    }

    pub(super) fn plan_after_cast(&mut self, index: u32) {
        let tables = &self.clinic.tables;
        let day = self.today as usize;
        let child = &mut self.work.children[index as usize];
        if child.casts_left > 0 {
            let due = tables.change[day];
            return self.put(Service::Cast, index, due, 0, false);
        }
        let (service, phase, [due, hold]) = if child.tenotomy {
            (Service::Theatre, Phase::Theatre, tables.theatre[day])
        } else {
            (Service::Brace, Phase::Fitting, tables.brace[day])
        };
        child.phase = phase;
        self.put(service, index, due, 0, true);
        self.put(Service::Cast, index, hold, 0, false);
    }

    /// A holding cast: no place has been found yet for the next step.
    pub(super) fn hold(&mut self, index: u32) {
        self.cast_off(index);
        put_on(&mut self.work.children[index as usize], self.today);
        self.tally.casts.holding += 1;
        let due = self.clinic.tables.change[self.today as usize];
        self.put(Service::Cast, index, due, 0, false);
    }

    /// The cast is removed, in time or late.
    pub(super) fn cast_off(&mut self, index: u32) {
        let casting = &self.clinic.setting.casting;
        let child = &mut self.work.children[index as usize];
        let casts = &mut self.tally.casts;
        if child.slipped {
            casts.slipped += 1;
            return;
        }
        casts.ended += 1;
        let window = if child.cut { casting.tenotomy_cast_window_days } else { casting.window_days };
        if self.today - child.cast_on > window[1] as i32 {
            if child.stayed_away {
                casts.late_not_come += 1;
            } else {
                casts.late_no_place += 1;
            }
        }
    }

    pub(super) fn operate(&mut self, index: u32) {
        self.end_wait(index);
        self.cast_off(index);
        self.take_out(Service::Cast, index);
        let child = &mut self.work.children[index as usize];
        put_on(child, self.today);
        child.cut = true;
        child.phase = Phase::Fitting;
        self.tally.casts.after_tenotomy += 1;
        self.tally.children.tenotomies += 1;
        let due = self.clinic.tables.fitting[self.today as usize];
        self.put(Service::Brace, index, due, 0, true);
    }
}

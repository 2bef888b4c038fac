//! Start and end of a run: the children at the start, and the phase of each child at the end.

use super::{Child, Phase, Run, new_child};
use crate::tally::Children;
use crate::{
    ClinicCalendar, Service, WaitKind,
    draws::{self, For},
    ready::{At, Start},
};

impl Run<'_> {
    pub(super) fn begin(&mut self) {
        let clinic = self.clinic;
        for (n, start) in clinic.starts.iter().enumerate() {
            let key = draws::bits(self.key, For::Current, n as u64);
            let index = self.current(key, start);
            self.tally.children.current += 1;
            let child = &mut self.work.children[index as usize];
            if child.phase == Phase::Brace {
                self.own_boots(index);
            }
        }
    }

    pub(super) fn current(&mut self, key: u64, start: &Start) -> u32 {
        let path = self.path(key);
        let mut child = new_child(key);
        child.born = start.born.unwrap_or_else(|| self.drawn_birth(path.age_days, &start.at));
        child.z = start.z.unwrap_or_else(|| draws::normal(key, For::Size) as f32);
        child.complex = start.complex;
        child.episode = start.episode;
        let drawn = |remaining: &[f64]| {
            let even = draws::unit(key, For::Remaining, 0);
            remaining.iter().position(|&sum| even < sum).unwrap_or(remaining.len().saturating_sub(1)) as u16
        };
        let cut = |chance: f64| draws::unit(key, For::CurrentTenotomy, 0) < chance;
        match &start.at {
            At::First { since, due, remaining, tenotomy } => {
                child.since = *since;
                let new = remaining.is_empty();
                child.casts_left = if new { path.cast_visits().into() } else { drawn(remaining).max(1) };
                child.tenotomy = if new { path.needs_tenotomy() } else { cut(*tenotomy) };
                child.leaves_after = self.leaves_after(key, child.casts_left);
                let kind = if start.episode > 1 { WaitKind::Relapse } else { WaitKind::FirstCast };
                let index = self.start_waiting(child, kind);
                self.put(Service::Cast, index, *due, 1, false);
                index
            }
            At::Casts { cast_on, due, remaining, tenotomy } => {
                child.phase = Phase::Casts;
                child.cast_on = *cast_on;
                child.casts_left = drawn(remaining);
                child.tenotomy = cut(*tenotomy);
                child.leaves_after = self.leaves_after(key, child.casts_left.max(1));
                self.start_in_cast(child, *due)
            }
            At::Theatre { since, cast_on, due } => {
                child.phase = Phase::Theatre;
                (child.since, child.cast_on) = (*since, *cast_on);
                let index = self.start_waiting(child, WaitKind::Tenotomy);
                self.put(Service::Theatre, index, *due, 0, false);
                self.hold_current(index, *cast_on, *due);
                index
            }
            At::Fitting { cast_on, after_tenotomy, due } => {
                child.phase = Phase::Fitting;
                (child.cast_on, child.cut) = (*cast_on, *after_tenotomy);
                let index = self.add(child);
                self.put(Service::Brace, index, *due, 0, true);
                if !after_tenotomy {
                    self.hold_current(index, *cast_on, *due);
                }
                index
            }
            At::Brace { since, due } => {
                child.phase = Phase::Brace;
                child.fitted_on = *since;
                let index = self.add(child);
                self.draw_bracing(index);
                self.put(Service::Brace, index, *due, 1, true);
                index
            }
        }
    }

    /// The day of birth from the age at referral of the path; how long ago the child was referred is known only from
    /// its phase.
    pub(super) fn drawn_birth(&self, age_days: u16, at: &At) -> i32 {
        let came = match at {
            At::First { since, .. } | At::Theatre { since, .. } | At::Brace { since, .. } => *since,
            At::Casts { cast_on, .. } | At::Fitting { cast_on, .. } => *cast_on,
        };
        came - i32::from(age_days)
    }

    pub(super) fn start_waiting(&mut self, child: Child, kind: WaitKind) -> u32 {
        self.tally.waits[kind as usize].before_days += u64::from(child.since.unsigned_abs());
        let index = self.add(child);
        self.begin_wait(index, kind);
        index
    }

    /// A child in a correcting cast at the start: the change is due if there are casts to come, otherwise the next step.
    pub(super) fn start_in_cast(&mut self, mut child: Child, due: i32) -> u32 {
        if child.casts_left > 0 {
            let index = self.add(child);
            self.put(Service::Cast, index, due, 0, false);
            return index;
        }
        let service = if child.tenotomy { Service::Theatre } else { Service::Brace };
        child.phase = if child.tenotomy { Phase::Theatre } else { Phase::Fitting };
        let cast_on = child.cast_on;
        let planned = self.clinic.calendar.planned(service, cast_on, self.clinic.correcting()).max(0);
        let index = self.add(child);
        self.put(service, index, planned, 0, true);
        self.hold_current(index, cast_on, planned);
        index
    }

    pub(super) fn hold_current(&mut self, index: u32, cast_on: i32, planned: i32) {
        let calendar: &ClinicCalendar = &self.clinic.calendar;
        let due = calendar.holding(cast_on, planned, self.clinic.correcting());
        self.put(Service::Cast, index, due.max(0), 0, false);
    }

    pub(super) fn close(&mut self) {
        let casting = &self.clinic.setting.casting;
        let days = self.clinic.days;
        for child in &self.work.children {
            if let Some(kind) = child.waits {
                let waits = &mut self.tally.waits[kind as usize];
                waits.open += 1;
                waits.open_days += u64::from((days - child.since).unsigned_abs());
            }
            let window = if child.cut { casting.tenotomy_cast_window_days } else { casting.window_days };
            let in_cast = matches!(child.phase, Phase::Casts | Phase::Theatre | Phase::Fitting);
            if in_cast && !child.slipped && days - child.cast_on > window[1] as i32 {
                self.tally.casts.late_open += 1;
            }
            *in_phase(&mut self.tally.children, child.phase) += 1;
        }
    }
}

/// The count of the children in a phase.
const fn in_phase(children: &mut Children, phase: Phase) -> &mut u32 {
    match phase {
        Phase::First => &mut children.waiting_first,
        Phase::Casts => &mut children.in_casts,
        Phase::Theatre => &mut children.waiting_theatre,
        Phase::Fitting => &mut children.waiting_brace,
        Phase::Brace => &mut children.in_brace,
        Phase::Finished => &mut children.finished,
        Phase::Lost => &mut children.lost,
    }
}

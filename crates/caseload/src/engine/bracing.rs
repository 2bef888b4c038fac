//! In the brace: fitting, reviews, boots and bars, relapse.

use super::{Child, NEVER, Phase, Run};
use crate::{
    ReadyClinic, Service, WaitKind,
    draws::{self, For},
    tally::{SMALLEST_BAR_MM, SMALLEST_BOOT_MM},
};

impl Run<'_> {
    pub(super) fn brace(&mut self, index: u32) {
        self.end_wait(index);
        if self.work.children[index as usize].phase == Phase::Fitting {
            return self.fit(index);
        }
        let child = self.work.children[index as usize];
        if child.relapse_on <= self.today {
            return self.relapse(index);
        }
        self.boots(index);
        if self.today - child.born >= self.clinic.rates.until_days {
            self.work.children[index as usize].phase = Phase::Finished;
        } else {
            self.plan_review(index);
        }
    }

    pub(super) fn fit(&mut self, index: u32) {
        self.cast_off(index);
        self.take_out(Service::Cast, index);
        let today = self.today;
        let child = &mut self.work.children[index as usize];
        child.cut = false;
        child.phase = Phase::Brace;
        child.fitted_on = today;
        self.draw_bracing(index);
        self.boots(index);
        self.plan_review(index);
    }

    /// When it will relapse, and when it will be lost.
    pub(super) fn draw_bracing(&mut self, index: u32) {
        let clinic = self.clinic;
        let today = self.today;
        let child = &mut self.work.children[index as usize];
        child.relapse_on = relapse_day(clinic, child, today);
        if child.lost_on == NEVER && clinic.rates.lost_a_day > 0.0 {
            let days = draws::exponential(child.key, For::LostBracing, 0) / clinic.rates.lost_a_day;
            child.lost_on = today + days.min(f64::from(NEVER / 2)) as i32;
        }
    }

    pub(super) fn plan_review(&mut self, index: u32) {
        let bracing = &self.clinic.setting.bracing;
        let child = &self.work.children[index as usize];
        let since = self.today - child.fitted_on;
        let early = bracing.review_days.iter().find(|&&after| after as i32 > since);
        let next = early
            .map_or(self.today + bracing.later_review_days as i32, |&after| child.fitted_on + after as i32);
        // The last review is on the day on which follow-up ends, not long after it.
        let end = child.born + self.clinic.rates.until_days;
        let due = if self.today < end { next.min(end.max(self.today + 1)) } else { next };
        self.put(Service::Brace, index, due, 1, true);
    }

    pub(super) fn relapse(&mut self, index: u32) {
        let bracing = &self.clinic.setting.bracing;
        let [fewest, most] = bracing.relapse_casts;
        let today = self.today;
        let child = &mut self.work.children[index as usize];
        child.episode = child.episode.saturating_add(1);
        let n = u64::from(child.episode);
        let more = draws::below(child.key, For::RelapseCasts, n, u64::from(most - fewest + 1));
        child.casts_left = (fewest + more as u32) as u16;
        child.tenotomy = draws::unit(child.key, For::RelapseTenotomy, n) < bracing.relapse_tenotomy;
        child.phase = Phase::First;
        child.since = today;
        child.relapse_on = NEVER;
        self.tally.children.relapses += 1;
        self.begin_wait(index, WaitKind::Relapse);
        self.put(Service::Cast, index, today + 1, 1, false);
    }

    /// New boots and a new bar if the present ones are outgrown.
    pub(super) fn boots(&mut self, index: u32) {
        let (growth, boots) = (&self.clinic.growth, &self.clinic.setting.boots);
        let quarter = (self.today / 91) as usize;
        let child = &mut self.work.children[index as usize];
        let age = self.today - child.born;
        let foot = growth.foot(age, child.z);
        if child.boot_mm == 0 || foot > f32::from(child.boot_mm) + boots.outgrown_by() as f32 {
            child.boot_mm = round_up(foot, boots.size_step_mm, SMALLEST_BOOT_MM);
            let step = (u32::from(child.boot_mm) - SMALLEST_BOOT_MM) / boots.size_step_mm;
            count(&mut self.tally.boots, quarter, step);
        }
        let bar = nearest(growth.shoulder(age, child.z), boots.bar_step_mm, SMALLEST_BAR_MM);
        if bar > child.bar_mm {
            child.bar_mm = bar;
            count(&mut self.tally.bars, quarter, (u32::from(bar) - SMALLEST_BAR_MM) / boots.bar_step_mm);
        }
    }

    /// The boots and the bar that a child in the brace has at the start; they do not count as bought.
    pub(super) fn own_boots(&mut self, index: u32) {
        let (growth, boots) = (&self.clinic.growth, &self.clinic.setting.boots);
        let child = &mut self.work.children[index as usize];
        let foot = growth.foot(-child.born, child.z);
        // How far the foot has grown in its boots is unknown: uniform over the range (assumed).
        let room =
            (f64::from(boots.size_step_mm) + boots.outgrown_by()) * draws::unit(child.key, For::Remaining, 1);
        let size = (foot - room as f32 + boots.size_step_mm as f32).max(1.0);
        child.boot_mm = nearest(size, boots.size_step_mm, SMALLEST_BOOT_MM);
        child.bar_mm = nearest(growth.shoulder(-child.born, child.z), boots.bar_step_mm, SMALLEST_BAR_MM);
    }
}

/// The day on which the cumulative hazard by age reaches the number that the child drew.
fn relapse_day(clinic: &ReadyClinic, child: &Child, today: i32) -> i32 {
    let bracing = &clinic.setting.bracing;
    let factor = if child.episode > 1 { bracing.second_relapse_factor } else { 1.0 };
    let mut left = draws::exponential(child.key, For::Relapse, child.episode.into());
    let mut age = f64::from(today - child.born) / 365.25;
    for (n, &rate) in bracing.relapse_per_year.iter().enumerate() {
        let until = bracing.relapse_from_years.get(n + 1).copied().unwrap_or(f64::INFINITY);
        if age >= until {
            continue;
        }
        let (rate, span) = (rate * factor, until - age);
        if rate > 0.0 && left <= rate * span {
            let days = (age + left / rate) * 365.25;
            return child.born.saturating_add(days.min(f64::from(NEVER / 2)).ceil() as i32).max(today + 1);
        }
        left -= rate * span;
        age = until;
    }
    NEVER
}

fn round_up(mm: f32, step: u32, smallest: u32) -> u16 {
    let steps = ((mm - smallest as f32) / step as f32).ceil().max(0.0) as u32;
    (smallest + steps * step).min(u16::MAX.into()) as u16
}

fn nearest(mm: f32, step: u32, smallest: u32) -> u16 {
    let steps = ((mm - smallest as f32) / step as f32).round().max(0.0) as u32;
    (smallest + steps * step).min(u16::MAX.into()) as u16
}

/// Counts a purchase; larger sizes count in the last step.
fn count<const N: usize>(counts: &mut [[u16; N]], quarter: usize, step: u32) {
    if let Some(counts) = counts.get_mut(quarter)
        && let Some(count) = counts.get_mut((step as usize).min(N - 1))
    {
        *count = count.saturating_add(1);
    }
}

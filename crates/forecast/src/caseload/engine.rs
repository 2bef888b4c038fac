//! One run: day by day, the children who come, fall due, are seen, or wait.
//!
//! The rules, in the order in which a day goes:
//! 1. New children are referred; each is due for a first cast from the next day.
//! 2. Whoever is due joins the waiting line of the service, by class and then in the order of falling
//!    due. Class 0 goes first: children in a cast, and brace fittings. With [`Order::FirstCome`] all are
//!    of one class.
//! 3. Theatre, then brace clinic, then cast clinic take the next in line until their places of the day
//!    are used. A child who does not come uses the place up and is due again some days later.
//! 4. Whoever is left waits for the next day on which the service is held.
//!
//! A child's way: first cast; a cast at every visit until the casts of its path are on; then, from the
//! day planned after the last of them, a tenotomy place or, where none is needed, a brace place. Until
//! that place is found the cast is changed for a holding cast, which takes a cast place. After a tenotomy
//! the tenotomy cast stays until a brace place is found. In the brace: reviews until the end of
//! follow-up; a relapse is noted at the first review after it comes, and leads back to the casts.

use super::{
    Calendar, Order, ReadyClinic, Service, WaitKind,
    calendar::left_over,
    draws::{self, For},
    queue::{Entry, Queue},
    ready::{At, Start},
    tally::{SMALLEST_BAR_MM, SMALLEST_BOOT_MM, Tally},
};

const NEVER: i32 = i32::MAX / 2;

/// Where a child is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Phase {
    First,
    Casts,
    Theatre,
    Fitting,
    Brace,
    Finished,
    Lost,
}

/// One child in a run; days count from the start.
#[derive(Debug, Clone, Copy)]
struct Child {
    key: u64,
    born: i32,
    cast_on: i32,
    /// Since when it waits for what its phase waits for.
    since: i32,
    fitted_on: i32,
    relapse_on: i32,
    lost_on: i32,
    z: f32,
    /// Correcting casts still to be put on in this episode.
    casts_left: u16,
    /// Casts put on, all together: numbers the draws of slips.
    casts_on: u16,
    /// Casts after which it stays away, in the first episode.
    leaves_after: u16,
    attempts: u16,
    boot_mm: u16,
    bar_mm: u16,
    stamps: [u16; 3],
    waits_in_line: [bool; 3],
    phase: Phase,
    episode: u8,
    tenotomy: bool,
    complex: bool,
    /// In the cast after a tenotomy.
    cut: bool,
    slipped: bool,
    stayed_away: bool,
    waits: Option<WaitKind>,
}

/// What a thread needs for its runs, kept from one to the next so that nothing is allocated within.
#[derive(Debug, Default)]
pub struct Workspace {
    children: Vec<Child>,
    queues: [Queue; 3],
}

struct Run<'a> {
    clinic: &'a ReadyClinic,
    work: &'a mut Workspace,
    tally: Tally,
    key: u64,
    a_day: f64,
    world: &'a [super::ChildPath],
    today: i32,
    in_line: [u32; 3],
    waiting: [u32; 5],
}

/// One run. The same clinic, seed and number give the same tally, in whatever order runs are done.
#[must_use]
pub fn run(clinic: &ReadyClinic, seed: u64, number: u32, work: &mut Workspace) -> Tally {
    let key = draws::bits(seed, For::Run, number.into());
    let multiple = (clinic.rates.log_sd * draws::normal(key, For::Incidence)).exp();
    work.children.clear();
    for queue in &mut work.queues {
        queue.clear(clinic.days.unsigned_abs() as usize);
    }
    let mut run = Run {
        clinic,
        work,
        tally: Tally::new(clinic.setting.horizon_weeks as usize),
        key,
        a_day: clinic.rates.a_day * multiple,
        world: clinic.world(draws::unit(key, For::World, 0)),
        today: 0,
        in_line: [0; 3],
        waiting: [0; 5],
    };
    run.begin();
    for day in 0..clinic.days {
        run.today = day;
        run.day();
    }
    run.close();
    run.tally
}

impl Run<'_> {
    fn day(&mut self) {
        let week = (self.today / 7) as usize;
        self.arrive();
        for service in Service::ALL {
            self.fall_due(service, week);
        }
        for service in [Service::Theatre, Service::Brace, Service::Cast] {
            self.serve(service, week);
        }
        if self.today % 7 == 6 {
            self.end_week(week);
        }
        for (waits, waiting) in self.tally.waits.iter_mut().zip(self.waiting) {
            waits.child_days += u64::from(waiting);
        }
    }

    /// In a week in which a service is not held at all, whoever is due by its end is left over.
    fn end_week(&mut self, week: usize) {
        for service in Service::ALL {
            if self.clinic.places_in_week(service, week) == 0 {
                self.tally.weeks[week][service.index()].left = self.in_line[service.index()];
            }
        }
    }

    // Coming.

    fn arrive(&mut self) {
        let day = self.today as u64;
        let number = draws::poisson(self.a_day, draws::unit(self.key, For::Arrivals, day));
        for n in 0..number {
            self.refer(draws::bits(self.key, For::Child, (day << 16) | u64::from(n)));
        }
        self.tally.children.arrived += number;
    }

    fn refer(&mut self, key: u64) {
        let path = self.path(key);
        let mut child = new_child(key);
        child.born = self.today - i32::from(path.age_days);
        child.casts_left = u16::from(path.cast_visits());
        child.tenotomy = path.needs_tenotomy();
        child.complex = path.complex;
        child.leaves_after = self.leaves_after(key, child.casts_left);
        child.since = self.today;
        child.z = draws::normal(key, For::Size) as f32;
        let index = self.add(child);
        self.begin_wait(index, WaitKind::FirstCast);
        self.put(Service::Cast, index, self.today + 1, 1, false);
    }

    fn path(&self, key: u64) -> super::ChildPath {
        let n = draws::below(key, For::Path, 0, self.world.len() as u64) as usize;
        self.world[n]
    }

    /// After how many casts a child stays away; never for most.
    fn leaves_after(&self, key: u64, casts: u16) -> u16 {
        if draws::unit(key, For::LostCasting, 0) >= self.clinic.setting.bracing.lost_in_casting {
            return u16::MAX;
        }
        draws::below(key, For::LostCasting, 1, casts.into()) as u16
    }

    fn add(&mut self, child: Child) -> u32 {
        self.work.children.push(child);
        (self.work.children.len() - 1) as u32
    }

    // The lines.

    fn put(&mut self, service: Service, index: u32, day: i32, class: u8, begins_wait: bool) {
        let first_come = self.clinic.setting.visits.order == Order::FirstCome;
        let class = if first_come { 0 } else { class };
        let child = &mut self.work.children[index as usize];
        child.stamps[service.index()] = child.stamps[service.index()].wrapping_add(1);
        let stamp = child.stamps[service.index()];
        self.work.queues[service.index()].put(day, index, stamp, class, begins_wait);
    }

    /// Takes a child out of a line in which it need no longer wait.
    fn take_out(&mut self, service: Service, index: u32) {
        let child = &mut self.work.children[index as usize];
        let at = service.index();
        child.stamps[at] = child.stamps[at].wrapping_add(1);
        if child.waits_in_line[at] {
            child.waits_in_line[at] = false;
            self.in_line[at] -= 1;
        }
    }

    fn fall_due(&mut self, service: Service, week: usize) {
        let at = service.index();
        while let Some((place, entry)) = self.work.queues[at].due(self.today) {
            let child = &mut self.work.children[entry.child as usize];
            if child.stamps[at] != entry.stamp {
                self.work.queues[at].drop_entry(place);
                continue;
            }
            child.waits_in_line[at] = true;
            self.in_line[at] += 1;
            self.tally.weeks[week][at].due += 1;
            self.work.queues[at].line_up(place);
            if entry.begins_wait {
                self.begin_due_wait(entry.child);
            }
        }
    }

    fn begin_due_wait(&mut self, index: u32) {
        let kind = match self.work.children[index as usize].phase {
            Phase::Theatre => WaitKind::Tenotomy,
            Phase::Fitting => WaitKind::Fitting,
            _ => WaitKind::Review,
        };
        self.work.children[index as usize].since = self.today;
        self.begin_wait(index, kind);
    }

    fn begin_wait(&mut self, index: u32, kind: WaitKind) {
        self.work.children[index as usize].waits = Some(kind);
        self.waiting[kind as usize] += 1;
    }

    fn end_wait(&mut self, index: u32) {
        let child = &mut self.work.children[index as usize];
        if let Some(kind) = child.waits.take() {
            self.waiting[kind as usize] -= 1;
            self.tally.waits[kind as usize].end(self.today - child.since);
        }
    }

    fn serve(&mut self, service: Service, week: usize) {
        let at = service.index();
        if self.clinic.calendar.places(service, self.today) == 0 {
            return;
        }
        let places = self.places(service);
        self.tally.weeks[week][at].offered += places;
        for _ in 0..places {
            let Some(entry) = self.next(at) else { break };
            self.tally.weeks[week][at].used += 1;
            if !self.see(service, entry) {
                self.tally.weeks[week][at].lost += 1;
            }
        }
        self.tally.weeks[week][at].left = self.in_line[at];
    }

    fn next(&mut self, at: usize) -> Option<Entry> {
        loop {
            let entry = self.work.queues[at].next()?;
            let child = &mut self.work.children[entry.child as usize];
            if child.stamps[at] == entry.stamp && child.waits_in_line[at] {
                child.waits_in_line[at] = false;
                self.in_line[at] -= 1;
                return Some(entry);
            }
        }
    }

    /// Places there are today, after absence.
    fn places(&self, service: Service) -> u32 {
        let places = self.clinic.calendar.places(service, self.today);
        let setting = &self.clinic.setting;
        let clinic = [&setting.cast_clinic, &setting.theatre, &setting.brace_clinic][service.index()];
        let name = ((service.index() as u64) << 32) | self.today as u64;
        if draws::unit(self.key, For::Absence, name) < clinic.absence {
            left_over(places, clinic.absence_takes)
        } else {
            places
        }
    }

    // A place is there.

    /// The child's turn. False where it does not come.
    fn see(&mut self, service: Service, entry: Entry) -> bool {
        if self.stays_away_for_good(service, entry.child) {
            self.lose(entry.child);
            return false;
        }
        let child = &mut self.work.children[entry.child as usize];
        let attempt = child.attempts;
        child.attempts = attempt.wrapping_add(1);
        if draws::unit(child.key, For::NoShow, attempt.into()) < self.clinic.setting.visits.no_show {
            child.stayed_away = true;
            let again = self.today + self.clinic.setting.visits.rebook_after_days as i32;
            self.put(service, entry.child, again, entry.class, false);
            return false;
        }
        match service {
            Service::Cast => self.cast(entry.child),
            Service::Theatre => self.operate(entry.child),
            Service::Brace => self.brace(entry.child),
        }
        true
    }

    fn stays_away_for_good(&self, service: Service, index: u32) -> bool {
        let child = &self.work.children[index as usize];
        match service {
            Service::Cast => {
                matches!(child.phase, Phase::First | Phase::Casts)
                    && child.episode == 1
                    && child.casts_on >= child.leaves_after
            }
            Service::Theatre => false,
            Service::Brace => child.phase == Phase::Brace && child.lost_on <= self.today,
        }
    }

    fn lose(&mut self, index: u32) {
        let child = &mut self.work.children[index as usize];
        child.phase = Phase::Lost;
        if let Some(kind) = child.waits.take() {
            self.waiting[kind as usize] -= 1;
            let waits = &mut self.tally.waits[kind as usize];
            waits.left += 1;
            waits.left_days += u64::from((self.today - child.since).unsigned_abs());
        }
    }

    fn cast(&mut self, index: u32) {
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

    fn plan_after_cast(&mut self, index: u32) {
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

    /// A holding cast: no place was found yet for what comes next.
    fn hold(&mut self, index: u32) {
        self.cast_off(index);
        put_on(&mut self.work.children[index as usize], self.today);
        self.tally.casts.holding += 1;
        let due = self.clinic.tables.change[self.today as usize];
        self.put(Service::Cast, index, due, 0, false);
    }

    /// The cast comes off: in time or not.
    fn cast_off(&mut self, index: u32) {
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

    fn operate(&mut self, index: u32) {
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

    // In the brace.

    fn brace(&mut self, index: u32) {
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

    fn fit(&mut self, index: u32) {
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
    fn draw_bracing(&mut self, index: u32) {
        let clinic = self.clinic;
        let today = self.today;
        let child = &mut self.work.children[index as usize];
        let episode = child.episode;
        child.relapse_on = relapse_day(clinic, child, today);
        if child.lost_on == NEVER && clinic.rates.lost_a_day > 0.0 {
            let days = draws::exponential(child.key, For::LostBracing, 0) / clinic.rates.lost_a_day;
            child.lost_on = today + days.min(f64::from(NEVER / 2)) as i32;
        }
        debug_assert!(episode >= 1);
    }

    fn plan_review(&mut self, index: u32) {
        let bracing = &self.clinic.setting.bracing;
        let child = &self.work.children[index as usize];
        let since = self.today - child.fitted_on;
        let early = bracing.review_days.iter().find(|&&after| after as i32 > since);
        let next = early
            .map_or(self.today + bracing.later_review_days as i32, |&after| child.fitted_on + after as i32);
        // The last review falls on the day follow-up ends, not long after it.
        let end = child.born + self.clinic.rates.until_days;
        let due = if self.today < end { next.min(end.max(self.today + 1)) } else { next };
        self.put(Service::Brace, index, due, 1, true);
    }

    fn relapse(&mut self, index: u32) {
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

    /// New boots and a new bar where those it has are outgrown.
    fn boots(&mut self, index: u32) {
        let (growth, boots) = (&self.clinic.growth, &self.clinic.setting.boots);
        let quarter = (self.today / 91) as usize;
        let child = &mut self.work.children[index as usize];
        let age = self.today - child.born;
        let foot = growth.foot(age, child.z);
        if child.boot_mm == 0 || foot > f32::from(child.boot_mm) + boots.outgrown_by_mm as f32 {
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

    // The two ends of a run.

    fn begin(&mut self) {
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

    /// Boots and bar a child in the brace has today, as last changed: none is bought for having them.
    fn own_boots(&mut self, index: u32) {
        let (growth, boots) = (&self.clinic.growth, &self.clinic.setting.boots);
        let child = &mut self.work.children[index as usize];
        let foot = growth.foot(-child.born, child.z);
        // How far the foot has grown into its boots is not known: evenly anywhere (assumed).
        let room = (f64::from(boots.size_step_mm) + boots.outgrown_by_mm)
            * draws::unit(child.key, For::Remaining, 1);
        child.boot_mm = round_up(
            (foot - room as f32 + boots.size_step_mm as f32).max(1.0),
            boots.size_step_mm,
            SMALLEST_BOOT_MM,
        );
        child.bar_mm = nearest(growth.shoulder(-child.born, child.z), boots.bar_step_mm, SMALLEST_BAR_MM);
    }

    fn current(&mut self, key: u64, start: &Start) -> u32 {
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

    /// Born so long before the child came as the path says; how long ago it came is known only as far
    /// as the phase tells.
    fn drawn_birth(&self, age_days: u16, at: &At) -> i32 {
        let came = match at {
            At::First { since, .. } | At::Theatre { since, .. } | At::Brace { since, .. } => *since,
            At::Casts { cast_on, .. } | At::Fitting { cast_on, .. } => *cast_on,
        };
        came - i32::from(age_days)
    }

    fn start_waiting(&mut self, child: Child, kind: WaitKind) -> u32 {
        self.tally.waits[kind as usize].before_days += u64::from(child.since.unsigned_abs());
        let index = self.add(child);
        self.begin_wait(index, kind);
        index
    }

    /// A child in a correcting cast today: with casts to come the change is due, else what follows.
    fn start_in_cast(&mut self, mut child: Child, due: i32) -> u32 {
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

    fn hold_current(&mut self, index: u32, cast_on: i32, planned: i32) {
        let calendar: &Calendar = &self.clinic.calendar;
        let due = calendar.holding(cast_on, planned, self.clinic.correcting());
        self.put(Service::Cast, index, due.max(0), 0, false);
    }

    fn close(&mut self) {
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
            let children = &mut self.tally.children;
            *match child.phase {
                Phase::First => &mut children.waiting_first,
                Phase::Casts => &mut children.in_casts,
                Phase::Theatre => &mut children.waiting_theatre,
                Phase::Fitting => &mut children.waiting_brace,
                Phase::Brace => &mut children.in_brace,
                Phase::Finished => &mut children.finished,
                Phase::Lost => &mut children.lost,
            } += 1;
        }
    }
}

fn new_child(key: u64) -> Child {
    Child {
        key,
        born: 0,
        cast_on: 0,
        since: 0,
        fitted_on: 0,
        relapse_on: NEVER,
        lost_on: NEVER,
        z: 0.0,
        casts_left: 0,
        casts_on: 0,
        leaves_after: u16::MAX,
        attempts: 0,
        boot_mm: 0,
        bar_mm: 0,
        stamps: [0; 3],
        waits_in_line: [false; 3],
        phase: Phase::First,
        episode: 1,
        tenotomy: false,
        complex: false,
        cut: false,
        slipped: false,
        stayed_away: false,
        waits: None,
    }
}

fn put_on(child: &mut Child, today: i32) {
    child.cast_on = today;
    child.casts_on = child.casts_on.saturating_add(1);
    child.slipped = false;
    child.stayed_away = false;
}

/// The day on which the hazard by age has used up what the child drew.
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

/// Counts a purchase; the last step holds whatever is larger.
fn count<const N: usize>(counts: &mut [[u16; N]], quarter: usize, step: u32) {
    if let Some(counts) = counts.get_mut(quarter)
        && let Some(count) = counts.get_mut((step as usize).min(N - 1))
    {
        *count = count.saturating_add(1);
    }
}

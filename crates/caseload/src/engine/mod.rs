//! One run: day by day, the children who are referred, become due, are seen, or wait.
//!
//! The rules, in the order of a day:
//! 1. New children are referred; each is due for a first cast from the next day.
//! 2. Children who are due join the queue of the service, by class and then by the day due. Class 0 goes
//!    first: children in a cast, and brace fittings. With [`Order::FirstCome`] there is only one class.
//! 3. Theatre, then brace clinic, then cast clinic take the next in the queue until their places of the day
//!    are used. A child who does not come uses up the place and is due again some days later.
//! 4. The others wait for the next day on which the service is held.
//!
//! The path of a child: first cast; a cast at every visit until it has had the casts of its path; then, from
//! the planned day after the last of them, a tenotomy place or, if it needs none, a brace place. Until
//! that place is found the cast is changed for a holding cast, which takes a cast place. After a tenotomy
//! the tenotomy cast stays until a brace place is found. In the brace: reviews until the end of
//! follow-up; a relapse is found at the first review after it, and leads back to the casts.

mod bracing;
mod casts;
mod ends;

use super::{
    Order, ReadyClinic, Service, WaitKind,
    calendar::left_over,
    draws::{self, For},
    queue::{Entry, Queue},
    tally::Tally,
};

const NEVER: i32 = i32::MAX / 2;

/// The phase of a child.
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

/// One child in a run; days are from the start.
#[derive(Debug, Clone, Copy)]
struct Child {
    key: u64,
    born: i32,
    cast_on: i32,
    /// The first day of waiting for the next step of its phase.
    since: i32,
    fitted_on: i32,
    relapse_on: i32,
    lost_on: i32,
    z: f32,
    /// Correcting casts to come in this episode.
    casts_left: u16,
    /// The number of all casts so far, which numbers the draws of slips.
    casts_on: u16,
    /// The number of casts after which it is lost, in the first episode.
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
    /// Whether it is in the cast after a tenotomy.
    cut: bool,
    slipped: bool,
    stayed_away: bool,
    waits: Option<WaitKind>,
}

/// The memory of a thread for its runs, reused so that a run allocates nothing.
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

/// One run. The same clinic, seed and number give the same tally, in any order of runs.
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

    /// In a week without the service, all children due by its end are left over.
    fn end_week(&mut self, week: usize) {
        for service in Service::ALL {
            if self.clinic.places_in_week(service, week) == 0 {
                self.tally.weeks[week][service.index()].left = self.in_line[service.index()];
            }
        }
    }

    // Arrivals.

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

    /// The number of casts after which a child is lost; never for most.
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

    // The queues.

    fn put(&mut self, service: Service, index: u32, day: i32, class: u8, begins_wait: bool) {
        let first_come = self.clinic.setting.visits.order == Order::FirstCome;
        let class = if first_come { 0 } else { class };
        let child = &mut self.work.children[index as usize];
        child.stamps[service.index()] = child.stamps[service.index()].wrapping_add(1);
        let stamp = child.stamps[service.index()];
        self.work.queues[service.index()].put(day, index, stamp, class, begins_wait);
    }

    /// Removes a child from a queue in which it no longer waits.
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

    /// The places of today, after absence.
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

    // There is a place.

    /// The child takes its place; `false` if it does not come.
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

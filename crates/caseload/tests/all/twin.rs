//! A slow, plain second implementation: one list of bookings that is searched for the next child. No arena, no
//! linked lists, no precomputed tables, days of relapse found by bisection. With the same draws it must count
//! exactly the same as the fast one.

use caseload::{
    BootGrowth, CastWindow, ChildPath, Clinic, ClinicCalendar, Order, PathPool, ReadyClinic, Referrals,
    SMALLEST_BAR_MM, SMALLEST_BOOT_MM, Service, Setting, Taken, Tally, WaitKind, Workspace,
    draws::{self, For},
    published, run,
};
use record::Day;
use std::collections::BTreeMap;

#[derive(Debug, Clone, Copy, PartialEq)]
enum State {
    First,
    Casts,
    NeedsTenotomy,
    NeedsBrace,
    Brace,
    Done,
    Gone,
}

struct Kid {
    key: u64,
    born: i32,
    z: f32,
    path: ChildPath,
    state: State,
    episode: u64,
    casts_to_come: u32,
    tenotomy: bool,
    put_on: u64,
    cast_on: i32,
    slipped: bool,
    missed_in_this_cast: bool,
    cut: bool,
    attempts: u64,
    leaves_after: Option<u64>,
    waiting: Option<(WaitKind, i32)>,
    fitted: i32,
    relapse: Option<i32>,
    lost_on: Option<i32>,
    boot: u32,
    bar: u32,
}

struct Booking {
    service: Service,
    class: u8,
    due: i32,
    ticket: usize,
    kid: usize,
    starts_wait: bool,
    open: bool,
}

#[derive(Default, Debug, PartialEq)]
struct Counted {
    due: BTreeMap<(i32, usize), u32>,
    used: BTreeMap<(i32, usize), u32>,
    lost: BTreeMap<(i32, usize), u32>,
    offered: BTreeMap<(i32, usize), u32>,
    ended: BTreeMap<usize, Vec<i32>>,
    correcting: u32,
    holding: u32,
    after_tenotomy: u32,
    slipped: u32,
    ended_casts: u32,
    late_no_place: u32,
    late_not_come: u32,
    relapses: u32,
    boots: BTreeMap<(i32, u32), u32>,
    bars: BTreeMap<(i32, u32), u32>,
}

struct Plain<'a> {
    setting: &'a Setting,
    calendar: ClinicCalendar,
    growth: BootGrowth,
    world: Vec<ChildPath>,
    key: u64,
    day: i32,
    days: i32,
    kids: Vec<Kid>,
    bookings: Vec<Booking>,
    counted: Counted,
}

fn bump<K: Ord>(map: &mut BTreeMap<K, u32>, key: K) {
    *map.entry(key).or_default() += 1;
}

impl Plain<'_> {
    fn window(&self) -> CastWindow {
        let casting = &self.setting.casting;
        CastWindow {
            target: casting.interval_days as i32,
            ends: [casting.window_days[0] as i32, casting.window_days[1] as i32],
        }
    }

    fn book(&mut self, service: Service, kid: usize, due: i32, class: u8, starts_wait: bool) {
        self.cancel(service, kid);
        let class = if self.setting.visits.order == Order::FirstCome { 0 } else { class };
        let ticket = self.bookings.len();
        let open = due < self.days;
        self.bookings.push(Booking { service, class, due, ticket, kid, starts_wait, open });
    }

    fn cancel(&mut self, service: Service, kid: usize) {
        for booking in self.bookings.iter_mut().filter(|one| one.kid == kid && one.service == service) {
            booking.open = false;
        }
    }

    fn one_day(&mut self, rate: f64) {
        let arriving = draws::poisson(rate, draws::unit(self.key, For::Arrivals, self.day as u64));
        for n in 0..arriving {
            self.refer(n.into());
        }
        for service in Service::ALL {
            self.fall_due(service);
        }
        for service in [Service::Theatre, Service::Brace, Service::Cast] {
            self.hold_clinic(service);
        }
    }

    fn refer(&mut self, n: u64) {
        let key = draws::bits(self.key, For::Child, ((self.day as u64) << 16) | n);
        let path = self.world[draws::below(key, For::Path, 0, self.world.len() as u64) as usize];
        let casts = u64::from(path.cast_visits());
        let leaves = draws::unit(key, For::LostCasting, 0) < self.setting.bracing.lost_in_casting;
        let kid = Kid {
            key,
            born: self.day - i32::from(path.age_days),
            z: draws::normal(key, For::Size) as f32,
            path,
            state: State::First,
            episode: 1,
            casts_to_come: casts as u32,
            tenotomy: path.needs_tenotomy(),
            put_on: 0,
            cast_on: 0,
            slipped: false,
            missed_in_this_cast: false,
            cut: false,
            attempts: 0,
            leaves_after: leaves.then(|| draws::below(key, For::LostCasting, 1, casts)),
            waiting: Some((WaitKind::FirstCast, self.day)),
            fitted: 0,
            relapse: None,
            lost_on: None,
            boot: 0,
            bar: 0,
        };
        self.kids.push(kid);
        let kid = self.kids.len() - 1;
        self.book(Service::Cast, kid, self.day + 1, 1, false);
    }

    fn fall_due(&mut self, service: Service) {
        let today: Vec<usize> = (0..self.bookings.len())
            .filter(|&n| {
                let one = &self.bookings[n];
                one.open && one.service == service && one.due == self.day
            })
            .collect();
        for n in today {
            bump(&mut self.counted.due, (self.day / 7, service.index()));
            let (kid, starts) = (self.bookings[n].kid, self.bookings[n].starts_wait);
            if starts {
                let kind = match self.kids[kid].state {
                    State::NeedsTenotomy => WaitKind::Tenotomy,
                    State::NeedsBrace => WaitKind::Fitting,
                    _ => WaitKind::Review,
                };
                self.kids[kid].waiting = Some((kind, self.day));
            }
        }
    }

    fn hold_clinic(&mut self, service: Service) {
        let mut places = self.calendar.places(service, self.day);
        let clinic = match service {
            Service::Cast => &self.setting.cast_clinic,
            Service::Theatre => &self.setting.theatre,
            Service::Brace => &self.setting.brace_clinic,
        };
        let name = ((service.index() as u64) << 32) + self.day as u64;
        if draws::unit(self.key, For::Absence, name) < clinic.absence {
            places = if clinic.absence_takes == Taken::All { 0 } else { places / 2 };
        }
        *self.counted.offered.entry((self.day / 7, service.index())).or_default() += places;
        for _ in 0..places {
            let waiting =
                self.bookings.iter().filter(|one| one.open && one.service == service && one.due <= self.day);
            let Some(next) = waiting.min_by_key(|one| (one.class, one.due, one.ticket)) else { return };
            let (ticket, kid, class) = (next.ticket, next.kid, next.class);
            self.bookings[ticket].open = false;
            bump(&mut self.counted.used, (self.day / 7, service.index()));
            if !self.turn(service, kid, class) {
                bump(&mut self.counted.lost, (self.day / 7, service.index()));
            }
        }
    }

    fn turn(&mut self, service: Service, kid: usize, class: u8) -> bool {
        let one = &mut self.kids[kid];
        let early = matches!(one.state, State::First | State::Casts) && one.episode == 1;
        let gone = match service {
            Service::Cast => early && one.leaves_after.is_some_and(|after| one.put_on >= after),
            Service::Theatre => false,
            Service::Brace => one.state == State::Brace && one.lost_on.is_some_and(|day| day <= self.day),
        };
        if gone {
            one.state = State::Gone;
            one.waiting = None;
            return false;
        }
        one.attempts += 1;
        if draws::unit(one.key, For::NoShow, one.attempts - 1) < self.setting.visits.no_show {
            one.missed_in_this_cast = true;
            let again = self.day + self.setting.visits.rebook_after_days as i32;
            self.book(service, kid, again, class, false);
            return false;
        }
        match (service, self.kids[kid].state) {
            (Service::Cast, State::First | State::Casts) => self.correct(kid),
            (Service::Cast, _) => self.hold(kid),
            (Service::Theatre, _) => self.operate(kid),
            (Service::Brace, State::NeedsBrace) => self.fit(kid),
            (Service::Brace, _) => self.review(kid),
        }
        true
    }

    fn stop_waiting(&mut self, kid: usize) {
        if let Some((kind, since)) = self.kids[kid].waiting.take() {
            self.counted.ended.entry(kind as usize).or_default().push(self.day - since);
        }
    }

    fn off(&mut self, kid: usize) {
        let one = &self.kids[kid];
        if one.slipped {
            self.counted.slipped += 1;
            return;
        }
        self.counted.ended_casts += 1;
        let casting = &self.setting.casting;
        let last = if one.cut { casting.tenotomy_cast_window_days[1] } else { casting.window_days[1] };
        if self.day - one.cast_on > last as i32 {
            if one.missed_in_this_cast {
                self.counted.late_not_come += 1;
            } else {
                self.counted.late_no_place += 1;
            }
        }
    }

    fn on(&mut self, kid: usize) {
        let one = &mut self.kids[kid];
        (one.cast_on, one.slipped, one.missed_in_this_cast) = (self.day, false, false);
        one.put_on += 1;
    }

    fn correct(&mut self, kid: usize) {
        if self.kids[kid].state == State::Casts {
            self.off(kid);
        } else {
            self.stop_waiting(kid);
        }
        self.on(kid);
        self.counted.correcting += 1;
        let casting = &self.setting.casting;
        let one = &mut self.kids[kid];
        one.state = State::Casts;
        let slip = if one.path.complex { casting.slip_complex } else { casting.slip };
        if draws::unit(one.key, For::Slip, one.put_on) < slip {
            one.slipped = true;
            let days = u64::from(casting.interval_days) - 1;
            let due = self.day + 1 + draws::below(one.key, For::SlipDay, one.put_on, days) as i32;
            return self.book(Service::Cast, kid, due, 0, false);
        }
        one.casts_to_come -= 1;
        if one.casts_to_come > 0 {
            let due = self.calendar.planned(Service::Cast, self.day, self.window());
            return self.book(Service::Cast, kid, due, 0, false);
        }
        let service = if one.tenotomy { Service::Theatre } else { Service::Brace };
        one.state = if one.tenotomy { State::NeedsTenotomy } else { State::NeedsBrace };
        let planned = self.calendar.planned(service, self.day, self.window());
        let hold = self.calendar.holding(self.day, planned, self.window());
        self.book(service, kid, planned, 0, true);
        self.book(Service::Cast, kid, hold, 0, false);
    }

    fn hold(&mut self, kid: usize) {
        self.off(kid);
        self.on(kid);
        self.counted.holding += 1;
        let due = self.calendar.planned(Service::Cast, self.day, self.window());
        self.book(Service::Cast, kid, due, 0, false);
    }

    fn operate(&mut self, kid: usize) {
        self.stop_waiting(kid);
        self.off(kid);
        self.cancel(Service::Cast, kid);
        self.on(kid);
        self.counted.after_tenotomy += 1;
        self.kids[kid].cut = true;
        self.kids[kid].state = State::NeedsBrace;
        let casting = &self.setting.casting;
        let ends = casting.tenotomy_cast_window_days.map(|days| days as i32);
        let window = CastWindow { target: casting.tenotomy_cast_days as i32, ends };
        let due = self.calendar.planned(Service::Brace, self.day, window);
        self.book(Service::Brace, kid, due, 0, true);
    }

    fn fit(&mut self, kid: usize) {
        self.stop_waiting(kid);
        self.off(kid);
        self.cancel(Service::Cast, kid);
        let bracing = &self.setting.bracing;
        let day = self.day;
        let one = &mut self.kids[kid];
        (one.cut, one.state, one.fitted) = (false, State::Brace, day);
        one.relapse = relapse_day(self.setting, one, day);
        if one.lost_on.is_none() {
            let years = bracing.until_years - bracing.relapse_from_years[0];
            let rate = -(1.0 - bracing.lost_in_bracing).ln() / (years * 365.25);
            one.lost_on = Some(day + (draws::exponential(one.key, For::LostBracing, 0) / rate) as i32);
        }
        self.sizes(kid);
        self.next_review(kid);
    }

    fn review(&mut self, kid: usize) {
        self.stop_waiting(kid);
        if self.kids[kid].relapse.is_some_and(|on| on <= self.day) {
            return self.relapse(kid);
        }
        self.sizes(kid);
        let end = (self.setting.bracing.until_years * 365.25).round() as i32;
        if self.day - self.kids[kid].born >= end {
            self.kids[kid].state = State::Done;
        } else {
            self.next_review(kid);
        }
    }

    fn relapse(&mut self, kid: usize) {
        self.counted.relapses += 1;
        let bracing = &self.setting.bracing;
        let day = self.day;
        let one = &mut self.kids[kid];
        one.episode += 1;
        let [few, many] = bracing.relapse_casts;
        one.casts_to_come =
            few + draws::below(one.key, For::RelapseCasts, one.episode, u64::from(many - few) + 1) as u32;
        one.tenotomy = draws::unit(one.key, For::RelapseTenotomy, one.episode) < bracing.relapse_tenotomy;
        one.state = State::First;
        one.waiting = Some((WaitKind::Relapse, day));
        self.book(Service::Cast, kid, day + 1, 1, false);
    }

    fn next_review(&mut self, kid: usize) {
        let bracing = &self.setting.bracing;
        let one = &self.kids[kid];
        let end = one.born + (bracing.until_years * 365.25).round() as i32;
        let early = bracing.review_days.iter().map(|&after| one.fitted + after as i32);
        let next = early
            .into_iter()
            .find(|&due| due > self.day)
            .unwrap_or(self.day + bracing.later_review_days as i32);
        let due = if end > self.day { next.min(end) } else { next };
        self.book(Service::Brace, kid, due, 1, true);
    }

    fn sizes(&mut self, kid: usize) {
        let boots = &self.setting.boots;
        let one = &mut self.kids[kid];
        let age = self.day - one.born;
        let foot = self.growth.foot(age, one.z);
        if one.boot == 0 || foot > one.boot as f32 + boots.outgrown_by() as f32 {
            one.boot = SMALLEST_BOOT_MM;
            while (one.boot as f32) < foot {
                one.boot += boots.size_step_mm;
            }
            bump(&mut self.counted.boots, (self.day / 91, one.boot));
        }
        let width = self.growth.shoulder(age, one.z);
        let mut bar = SMALLEST_BAR_MM;
        while width - bar as f32 >= boots.bar_step_mm as f32 / 2.0 {
            bar += boots.bar_step_mm;
        }
        if bar > one.bar {
            one.bar = bar;
            bump(&mut self.counted.bars, (self.day / 91, bar));
        }
    }
}

/// Hazard summed from birth to an age.
fn hazard_to(setting: &Setting, age: f64, factor: f64) -> f64 {
    let bracing = &setting.bracing;
    let bands = bracing.relapse_per_year.iter().enumerate();
    let within = bands.map(|(n, rate)| {
        let from = if n == 0 { 0.0 } else { bracing.relapse_from_years[n] };
        let until = bracing.relapse_from_years.get(n + 1).copied().unwrap_or(1e6);
        rate * factor * (age.min(until) - from).max(0.0)
    });
    within.sum()
}

fn relapse_day(setting: &Setting, kid: &Kid, day: i32) -> Option<i32> {
    let factor = if kid.episode > 1 { setting.bracing.second_relapse_factor } else { 1.0 };
    let age = f64::from(day - kid.born) / 365.25;
    let wanted = hazard_to(setting, age, factor) + draws::exponential(kid.key, For::Relapse, kid.episode);
    let (mut low, mut high) = (age, 5000.0);
    if hazard_to(setting, high, factor) < wanted {
        return None;
    }
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if hazard_to(setting, middle, factor) < wanted { low = middle } else { high = middle }
    }
    Some((kid.born + (high * 365.25).ceil() as i32).max(day + 1))
}

fn plain(setting: &Setting, pool: &PathPool, start: Day, seed: u64, number: u32) -> (Counted, Vec<Kid>) {
    let key = draws::bits(seed, For::Run, number.into());
    let world = (draws::unit(key, For::World, 0) * pool.worlds() as f64) as usize;
    let days = setting.horizon_weeks as i32 * 7;
    let mut plain = Plain {
        setting,
        calendar: ClinicCalendar::of(setting, start, days + 120),
        growth: BootGrowth::published(),
        world: pool.world(world).to_vec(),
        key,
        day: 0,
        days,
        kids: Vec::new(),
        bookings: Vec::new(),
        counted: Counted::default(),
    };
    let rate = setting.referrals.per_year.unwrap() / 365.25;
    for day in 0..days {
        plain.day = day;
        plain.one_day(rate);
    }
    (plain.counted, plain.kids)
}

/// The fast tally in the plain one's shape. Empty counts are left out on both sides.
fn same_shape(setting: &Setting, tally: &Tally) -> Counted {
    let mut counted = Counted {
        correcting: tally.casts.correcting,
        holding: tally.casts.holding,
        after_tenotomy: tally.casts.after_tenotomy,
        slipped: tally.casts.slipped,
        ended_casts: tally.casts.ended,
        late_no_place: tally.casts.late_no_place,
        late_not_come: tally.casts.late_not_come,
        relapses: tally.children.relapses,
        ..Counted::default()
    };
    for (week, services) in tally.weeks.iter().enumerate() {
        for (n, one) in services.iter().enumerate() {
            let key = (week as i32, n);
            counted.due.insert(key, one.due);
            counted.used.insert(key, one.used);
            counted.lost.insert(key, one.lost);
            counted.offered.insert(key, one.offered);
        }
    }
    for (kind, waits) in tally.waits.iter().enumerate() {
        let each = waits.by_days.iter().enumerate();
        let days: Vec<i32> = each.flat_map(|(days, &n)| vec![days as i32; n as usize]).collect();
        counted.ended.insert(kind, days);
    }
    for (quarter, sizes) in tally.boots.iter().enumerate() {
        for (n, &number) in sizes.iter().enumerate() {
            let mm = SMALLEST_BOOT_MM + n as u32 * setting.boots.size_step_mm;
            counted.boots.insert((quarter as i32, mm), number.into());
        }
    }
    for (quarter, sizes) in tally.bars.iter().enumerate() {
        for (n, &number) in sizes.iter().enumerate() {
            let mm = SMALLEST_BAR_MM + n as u32 * setting.boots.bar_step_mm;
            counted.bars.insert((quarter as i32, mm), number.into());
        }
    }
    counted
}

fn tidy(mut counted: Counted) -> Counted {
    for map in [&mut counted.due, &mut counted.used, &mut counted.lost, &mut counted.offered] {
        map.retain(|_, n| *n > 0);
    }
    for map in [&mut counted.boots, &mut counted.bars] {
        map.retain(|_, n| *n > 0);
    }
    for waits in counted.ended.values_mut() {
        waits.sort_unstable();
    }
    counted.ended.retain(|_, waits| !waits.is_empty());
    counted
}

fn compare(setting: &Setting, seed: u64, runs: u32) {
    let start: Day = "2026-11-25".parse().unwrap();
    let pool = published::pool(setting, 7);
    let clinic = ReadyClinic::new(setting, pool.clone(), &[], start).unwrap();
    let mut work = Workspace::default();
    for number in 0..runs {
        let fast = run(&clinic, seed, number, &mut work);
        let (slow, kids) = plain(setting, &pool, start, seed, number);
        assert_eq!(tidy(same_shape(setting, &fast)), tidy(slow), "seed {seed}, run {number}");
        let now = |state: State| kids.iter().filter(|kid| kid.state == state).count() as u32;
        let children = &fast.children;
        assert_eq!(
            [children.waiting_first, children.in_casts, children.waiting_theatre, children.waiting_brace],
            [now(State::First), now(State::Casts), now(State::NeedsTenotomy), now(State::NeedsBrace)]
        );
        assert_eq!(
            [children.in_brace, children.finished, children.lost],
            [now(State::Brace), now(State::Done), now(State::Gone)]
        );
        let open = kids.iter().filter(|kid| kid.waiting.is_some()).count() as u32;
        assert_eq!(fast.waits.iter().map(|waits| waits.open).sum::<u32>(), open);
    }
}

fn small() -> Setting {
    Setting {
        horizon_weeks: 80,
        referrals: Referrals { per_year: Some(40.0), ..Referrals::default() },
        cast_clinic: Clinic { tuesday: 4, friday: 4, absence: 0.05, ..Clinic::default() },
        theatre: Clinic { thursday: 1, absence: 0.1, ..Clinic::default() },
        brace_clinic: Clinic { wednesday: 5, absence: 0.05, ..Clinic::default() },
        ..Setting::default()
    }
}

#[test]
fn the_fast_and_the_plain_way_count_the_same_in_a_clinic_short_of_places() {
    compare(&small(), 11, 3);
}

#[test]
fn they_count_the_same_with_places_enough() {
    let mut setting = small();
    setting.cast_clinic.tuesday = 20;
    setting.theatre.thursday = 6;
    setting.brace_clinic.wednesday = 30;
    compare(&setting, 12, 3);
}

#[test]
fn they_count_the_same_when_half_days_closures_slips_and_early_ends_come_together() {
    let mut setting = small();
    setting.cast_clinic.absence_takes = Taken::Half;
    setting.cast_clinic.absence = 0.3;
    setting.casting.slip = 0.1;
    setting.visits.no_show = 0.2;
    setting.visits.order = Order::FirstCome;
    setting.bracing.until_years = 1.5;
    setting.bracing.relapse_per_year = vec![1.5, 1.0, 0.5];
    setting.bracing.lost_in_casting = 0.2;
    setting.bracing.lost_in_bracing = 0.5;
    setting.closures = toml::from_str::<Setting>(
        "[[closures]]\nfrom = \"2026-12-21\"\nto = \"2027-01-08\"\nwhy = \"holidays\"\n[[closures]]\nfrom = \"2027-05-04\"\n",
    )
    .unwrap()
    .closures;
    compare(&setting, 13, 4);
}

//! The wear model on invented loggers with known truth, compared with fixed thresholds.
//!
//! `PLANTIGRADE_WRITE_DOCS=1 cargo test -p wear --test all wear_bench` writes the table of
//! `docs/wear.md`; without it the table there is compared with the result.

use rayon::prelude::*;
use std::fmt::Write;
use wear::simulated::{Habit, Logger, Setup};
use wear::{Temperatures, WearReading, hours_above};

const HABITS: [Habit; 4] = [Habit::FullTime, Habit::Nights, Habit::Broken, Habit::Never];
/// Loggers of each kind.
const LOGGERS: u64 = 12;
/// The target for the error, hours a day.
const AIM: f64 = 0.25;

/// By how much the truth lies outside the stated hours of a day, with the hours left open.
fn missed(stated: f64, open: f64, truth: f64) -> f64 {
    (stated - truth).max(truth - stated - open).max(0.0)
}

#[derive(Debug, Clone, Default)]
struct Tally {
    days: usize,
    sum: f64,
    within: usize,
    wrong: usize,
    worst: f64,
    undecided: f64,
    fixed: [f64; 2],
}

impl Tally {
    fn of(logger: &Logger, room: bool) -> Self {
        let in_room: Option<Temperatures<'_>> = room.then(|| logger.in_room());
        let reading = WearReading::of(logger.boot(), in_room, &logger.days);
        let fixed = [25.0, 29.0].map(|celsius| hours_above(logger.boot(), celsius, &logger.days));
        let mut tally = Self::default();
        for (at, (day, truth)) in reading.days.iter().zip(&logger.worn_hours).enumerate() {
            let error = missed(day.hours_worn, day.hours_undecided + day.hours_missing, *truth);
            tally.days += 1;
            tally.sum += error;
            tally.within += usize::from(error <= AIM);
            // Confident and more than an hour wrong.
            tally.wrong += usize::from(error > 1.0 && day.confidence.is_some_and(|sure| sure > 0.9));
            tally.worst = tally.worst.max(error);
            tally.undecided += day.hours_undecided;
            for (sum, hours) in tally.fixed.iter_mut().zip(&fixed) {
                *sum += missed(hours[at], day.hours_missing, *truth);
            }
        }
        tally
    }

    fn add(mut self, other: Self) -> Self {
        self.days += other.days;
        self.sum += other.sum;
        self.within += other.within;
        self.wrong += other.wrong;
        self.worst = self.worst.max(other.worst);
        self.undecided += other.undecided;
        self.fixed = [self.fixed[0] + other.fixed[0], self.fixed[1] + other.fixed[1]];
        self
    }

    fn mean(&self) -> f64 {
        self.sum / self.days as f64
    }

    fn row(&self) -> String {
        let days = self.days as f64;
        format!(
            "{:.2} | {:.0} % | {:.1} | {} | {:.1} | {:.1} | {:.1}",
            self.mean(),
            100.0 * self.within as f64 / days,
            self.worst,
            self.wrong,
            self.undecided / days,
            self.fixed[0] / days,
            self.fixed[1] / days
        )
    }
}

fn run(setup: Setup, room: bool, key: u64) -> Tally {
    let one = |seed: u64| Tally::of(&setup.logger(key * 1000 + seed), room);
    (0..LOGGERS).into_par_iter().map(one).reduce(Tally::default, Tally::add)
}

/// Ordinary rooms, 16 to 28 °C, each sampling and habit.
fn by_sampling() -> Vec<(f64, Habit, Tally)> {
    let mut rows = Vec::new();
    for sampling_min in [1.0, 5.0, 10.0, 15.0, 30.0, 60.0] {
        for habit in HABITS {
            let rooms = [16.0, 20.0, 24.0, 28.0].into_iter().enumerate();
            let tallies = rooms.map(|(at, room_c)| {
                let swing_c = 1.0 + 0.5 * at as f64;
                let setup = Setup { sampling_min, room_c, swing_c, habit, ..Setup::ordinary() };
                run(setup, false, at as u64 + 1)
            });
            rows.push((sampling_min, habit, tallies.fold(Tally::default(), Tally::add)));
        }
    }
    rows
}

/// Every room, all habits, a sample every ten minutes at uneven times, with and without a room sensor.
fn by_room() -> Vec<(f64, [Tally; 2])> {
    let rooms = [12.0, 16.0, 20.0, 24.0, 26.0, 28.0, 30.0, 31.0, 32.0, 33.0, 34.0, 36.0];
    let of = |room_c: f64, sensor: bool| {
        let tallies = HABITS.into_iter().enumerate().map(|(at, habit)| {
            let setup =
                Setup { room_c, swing_c: 2.0, habit, uneven: true, drift_c: 1.0, ..Setup::ordinary() };
            run(setup, sensor, 50 + at as u64)
        });
        tallies.fold(Tally::default(), Tally::add)
    };
    rooms.into_iter().map(|room| (room, [of(room, false), of(room, true)])).collect()
}

const HEAD: &str = "mean error, h a day | days within 0.25 h | worst day, h | sure and over 1 h out, days | undecided, h a day | 25 °C, mean error | 29 °C, mean error |\n";

fn habit_words(habit: Habit) -> &'static str {
    match habit {
        Habit::FullTime => "full time",
        Habit::Nights => "nights and naps",
        Habit::Broken => "broken nights",
        Habit::Never => "never worn",
    }
}

fn table(sampling: &[(f64, Habit, Tally)], rooms: &[(f64, [Tally; 2])]) -> String {
    let mut text = format!("| sample every, min | habit | {HEAD}|---|---|---|---|---|---|---|---|---|\n");
    for (minutes, habit, tally) in sampling {
        let _ = writeln!(text, "| {minutes} | {} | {} |", habit_words(*habit), tally.row());
    }
    let _ = write!(
        text,
        "\n| mean of the room, °C | room sensor | {HEAD}|---|---|---|---|---|---|---|---|---|\n"
    );
    for (room, [without, with]) in rooms {
        let _ = writeln!(text, "| {room} | no | {} |", without.row());
        let _ = writeln!(text, "| {room} | yes | {} |", with.row());
    }
    text
}

#[test]
fn hours_are_found_on_ordinary_rooms_and_nothing_is_guessed_in_warm_ones() {
    let (sampling, rooms) = (by_sampling(), by_room());
    let all = table(&sampling, &rooms);
    for (minutes, habit, tally) in &sampling {
        let row = format!("{minutes} min, {}: {}", habit_words(*habit), tally.row());
        // With up to a quarter of an hour between samples the mean and nearly every day meet the target;
        // beyond that single days may miss it, and the page states so.
        let (mean, share) = if *minutes <= 15.0 { (0.10, 0.95) } else { (0.35, 0.5) };
        assert!(tally.mean() <= mean, "{row}");
        assert!(tally.within as f64 >= share * tally.days as f64, "{row}");
        // Confident and more than an hour wrong: never, with up to a quarter of an hour between samples.
        let few = if *minutes <= 15.0 { 0.0 } else { 0.04 };
        assert!(tally.wrong as f64 <= few * tally.days as f64, "{row}");
        // Both thresholds have larger errors, for every habit except full time in a cool room.
        assert!(*habit == Habit::FullTime || tally.mean() < tally.fixed[0].min(tally.fixed[1]), "{row}");
    }
    for (room, tallies) in &rooms {
        for tally in tallies {
            assert!(tally.mean() <= 0.10, "{room} °C: {}", tally.row());
            // One nap in 1,344 days, with and without the sensor: see docs/wear.md.
            let most = if *room < 28.0 { 1 } else { 0 };
            assert!(tally.wrong <= most, "{room} °C: {}", tally.row());
        }
    }
    // In rooms at the usual temperature for a child little is undecided.
    for (room, [without, _]) in rooms.iter().filter(|(room, _)| *room <= 24.0) {
        assert!(without.undecided < 1.5 * without.days as f64, "{room} °C: {}", without.row());
    }
    // In rooms as warm as the skin hardly any hour is judged.
    for (room, [without, _]) in rooms.iter().filter(|(room, _)| *room >= 32.0) {
        assert!(without.undecided > 22.0 * without.days as f64, "{room} °C: {}", without.row());
    }
    compare("table", &all);
}

/// Two tests may write to the page.
static PAGE: std::sync::Mutex<()> = std::sync::Mutex::new(());

/// A table in `docs/wear.md`, between its two marks.
pub fn compare(name: &str, found: &str) {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/wear.md");
    let _one_at_a_time = PAGE.lock().unwrap();
    let text = std::fs::read_to_string(path).unwrap();
    let (begin, end) = (format!("<!-- {name}: begins -->\n"), format!("<!-- {name}: ends -->"));
    let (before, rest) = text.split_once(&begin).unwrap();
    let (there, after) = rest.split_once(&end).unwrap();
    if std::env::var_os("PLANTIGRADE_WRITE_DOCS").is_some() {
        std::fs::write(path, format!("{before}{begin}{found}{end}{after}")).unwrap();
        return;
    }
    // Processors may differ in the last digit of a rounded value; a larger difference is another result.
    let cells = |text: &str| -> Vec<String> { text.split('|').map(|cell| cell.trim().to_owned()).collect() };
    let number = |cell: &str| cell.trim_end_matches(" %").parse::<f64>().ok();
    let (there, found) = (cells(there), cells(found));
    assert_eq!(there.len(), found.len(), "docs/wear.md has another table");
    for (there, found) in there.iter().zip(&found) {
        match (number(there), number(found)) {
            (Some(a), Some(b)) => {
                assert!((a - b).abs() <= 0.1 + 0.02 * b.abs(), "{a} in docs/wear.md, {b} found")
            }
            _ => assert_eq!(there, found),
        }
    }
}

//! Medians of every survival method at 10⁴, 10⁵ and 10⁶ rows, 5 covariates, whole-day ties.
//!
//! `cargo bench -p statistics --bench survival -- [FOLDER ROWS...]`: with a folder, the rows are read from
//! `FOLDER/rows_N.csv` as `bench/statistics/rows.py` writes them, so that every program meets the same numbers.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use statistics::{
    regression::{Covariates, ordinal},
    survival::*,
};
use std::{hint::black_box, path::Path, time::Instant};

struct Rows {
    start: Vec<f64>,
    stop: Vec<f64>,
    event: Vec<bool>,
    cause: Vec<u32>,
    pair: Vec<u32>,
    group: Vec<u32>,
    x: Vec<Vec<f64>>,
    /// An ordered level that depends on the covariates.
    level: Vec<u32>,
}

/// A small generator, so that the rows are the same everywhere.
struct Dice(u64);

impl Dice {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }
}

fn invented(n: usize) -> Rows {
    let mut dice = Dice(42);
    let x: Vec<Vec<f64>> = (0..5).map(|_| (0..n).map(|_| dice.unit() * 2.0 - 1.0).collect()).collect();
    let mut rows = Rows {
        start: Vec::new(),
        stop: Vec::new(),
        event: Vec::new(),
        cause: Vec::new(),
        pair: (0..n as u32).map(|row| row / 2).collect(),
        group: Vec::new(),
        x,
        level: Vec::new(),
    };
    for row in 0..n {
        let eta: f64 = (0..5).map(|j| 0.2 * (j + 1) as f64 * rows.x[j][row]).sum();
        let time = (-dice.unit().ln() * 800.0 / eta.exp()).ceil();
        let limit = 1.0 + (dice.unit() * 1_500.0).floor();
        let event = time <= limit;
        let stop = time.min(limit);
        rows.start.push((dice.unit() * stop).floor().min(stop - 1.0));
        rows.stop.push(stop);
        rows.event.push(event);
        rows.cause.push(if event { 1 + u32::from(dice.unit() < 0.3) } else { 0 });
        rows.group.push(u32::from(rows.x[0][row] > 0.0));
        let unit = dice.unit();
        let latent = eta + (unit / (1.0 - unit)).ln();
        rows.level.push([-2.0, -0.5, 0.5, 2.0].iter().filter(|edge| latent > **edge).count() as u32);
    }
    rows
}

/// Columns: start, stop, event, cause, pair, group, x1 to x5, level.
fn read(path: &Path) -> Rows {
    let text = std::fs::read_to_string(path).expect("the rows");
    let mut columns: Vec<Vec<f64>> = vec![Vec::new(); 12];
    for line in text.lines().skip(1) {
        for (column, cell) in columns.iter_mut().zip(line.split(',')) {
            column.push(cell.parse().expect("a number"));
        }
    }
    let whole = |column: &Vec<f64>| column.iter().map(|value| *value as u32).collect();
    Rows {
        start: columns[0].clone(),
        stop: columns[1].clone(),
        event: columns[2].iter().map(|value| *value == 1.0).collect(),
        cause: whole(&columns[3]),
        pair: whole(&columns[4]),
        group: whole(&columns[5]),
        level: whole(&columns[11]),
        x: columns.drain(6..11).collect(),
    }
}

/// Nanoseconds this process has run on a processor, where the system says so.
fn processor() -> Option<f64> {
    std::fs::read_to_string("/proc/self/schedstat").ok()?.split(' ').next()?.parse().ok()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

/// Prints: whose, what, rows, median seconds on the clock, median seconds of processor time.
fn time<T>(name: &str, n: usize, mut run: impl FnMut() -> T) {
    let times = if n >= 1_000_000 { 5 } else { 11 };
    let (mut clock, mut busy) = (Vec::new(), Vec::new());
    for _ in 0..times {
        let (begin, before) = (Instant::now(), processor());
        black_box(run());
        clock.push(begin.elapsed().as_secs_f64());
        busy.push(processor().zip(before).map_or(f64::NAN, |(now, before)| (now - before) * 1e-9));
    }
    println!("ours\t{name}\t{n}\t{:.6}\t{:.6}", median(clock), median(busy));
}

fn measure(n: usize, rows: &Rows) {
    let spells = Spells::new(&rows.stop, &rows.event).unwrap();
    let late = spells.entering(&rows.start).unwrap();
    let x = || rows.x.iter().map(Vec::as_slice).collect::<Vec<_>>();
    let data = CompetingRisks::new(&rows.stop, &rows.cause, 2).unwrap();
    let plain = || Cox::new(spells, x()).unwrap();
    time("kaplan-meier", n, || KaplanMeier::of(&spells, &Interval::default()));
    time("log-rank", n, || logrank(&spells, &rows.group, 2, None, Weighting::LogRank).unwrap());
    time("aalen-johansen", n, || cumulative_incidence(&data, &Interval::default()));
    time("cox efron", n, || plain().fit().unwrap());
    time("cox efron cluster", n, || plain().cluster(&rows.pair).unwrap().fit().unwrap());
    time("cox breslow cluster", n, || {
        plain().ties(Ties::Breslow).cluster(&rows.pair).unwrap().fit().unwrap()
    });
    time("cox efron start-stop", n, || Cox::new(late, x()).unwrap().fit().unwrap());
    let covariates = Covariates::new(n, x()).unwrap();
    time("ordinal", n, || ordinal(&covariates, &rows.level, 5).unwrap());
    let fit = plain().fit().unwrap();
    time("concordance", n, || fit.concordance());
    time("proportional hazards test", n, || fit.proportional_hazards(TimeScale::KaplanMeier).unwrap());
}

/// The most memory this process has held, where the system says so.
fn memory() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    Some(line.split_whitespace().next()?.parse::<f64>().ok()? / 1024.0)
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let sizes: Vec<usize> = words.iter().skip(1).filter_map(|word| word.parse().ok()).collect();
    let sizes = if sizes.is_empty() { vec![10_000, 100_000, 1_000_000] } else { sizes };
    for n in sizes {
        let rows = match words.first() {
            Some(folder) => {
                let path = Path::new(folder).join(format!("rows_{n}.csv"));
                time("reading", n, || read(&path));
                read(&path)
            }
            None => invented(n),
        };
        measure(n, &rows);
        if let Some(megabytes) = memory() {
            println!("ours\tmost memory of all the above (MB)\t{n}\t{megabytes:.0}");
        }
    }
}

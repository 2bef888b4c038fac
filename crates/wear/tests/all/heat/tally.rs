//! Readings compared with the truth, source by source.

use super::{Boot, FILES, SAMPLINGS_MIN, Sampled, Source};
use rayon::prelude::*;
use std::fmt::Write;
use wear::WearReading;

/// A confidence from this on counts as confident.
pub const CONFIDENT: f64 = 0.9;
/// A day with a larger error is wrong, hours.
pub const WRONG_H: f64 = 1.0;

/// Sums over the days of a source at one sampling.
#[derive(Debug, Clone, Default)]
pub struct Tally {
    pub days: usize,
    /// Hours by which the truth lies outside what was stated, summed.
    pub error: f64,
    pub undecided: f64,
    /// Confident and more than an hour wrong.
    pub wrong: usize,
    /// Days with a confidence of at least [`CONFIDENT`].
    pub confident: usize,
    pub worst: f64,
    /// Hours stated as worn and hours worn.
    pub stated: f64,
    pub worn: f64,
    /// Days, sum of confidence, and days within an hour, in bins of the confidence: see [`bin`].
    pub bins: [(usize, f64, usize); 6],
}

/// The bins of the confidence: below .6, .7, .8, .9, .95, and above.
fn bin(sure: f64) -> usize {
    [0.6, 0.7, 0.8, 0.9, 0.95].iter().filter(|edge| sure >= **edge).count()
}

impl Tally {
    /// Adds the days of one logger.
    pub fn reading(&mut self, logger: &Sampled, reading: &WearReading) {
        for (day, truth) in reading.days.iter().zip(&logger.worn_hours) {
            let (stated, open) = (day.hours_worn, day.hours_undecided + day.hours_missing);
            let error = (stated - truth).max(truth - stated - open).max(0.0);
            self.days += 1;
            self.error += error;
            self.undecided += day.hours_undecided;
            self.worst = self.worst.max(error);
            self.stated += stated;
            self.worn += truth;
            let Some(sure) = day.confidence else { continue };
            self.confident += usize::from(sure >= CONFIDENT);
            self.wrong += usize::from(sure >= CONFIDENT && error > WRONG_H);
            let of = &mut self.bins[bin(sure)];
            *of = (of.0 + 1, of.1 + sure, of.2 + usize::from(error <= WRONG_H));
        }
    }

    fn add(mut self, other: &Self) -> Self {
        self.days += other.days;
        self.error += other.error;
        self.undecided += other.undecided;
        self.wrong += other.wrong;
        self.confident += other.confident;
        self.worst = self.worst.max(other.worst);
        self.stated += other.stated;
        self.worn += other.worn;
        for (own, other) in self.bins.iter_mut().zip(other.bins) {
            *own = (own.0 + other.0, own.1 + other.1, own.2 + other.2);
        }
        self
    }

    /// Of all days those that are confident and wrong.
    pub fn wrong_share(&self) -> f64 {
        self.wrong as f64 / self.days as f64
    }

    pub fn mean_error(&self) -> f64 {
        self.error / self.days as f64
    }

    /// Share of all hours.
    pub fn undecided_share(&self) -> f64 {
        self.undecided / (24.0 * self.days as f64)
    }

    /// A row of the table.
    pub fn row(&self) -> String {
        let days = self.days as f64;
        format!(
            "{} | {:.1} % | {:.2} | {:.1} % | {:.1} | {:.1} | {:.1}",
            self.days,
            100.0 * self.wrong_share(),
            self.mean_error(),
            100.0 * self.undecided_share(),
            self.worn / days,
            self.stated / days,
            self.worst,
        )
    }
}

/// Sums of every sampling of [`SAMPLINGS_MIN`] of one source.
pub fn of(source: Source, first_seed: u64) -> Vec<Tally> {
    let one = |file: u64| {
        let boot = Boot::of(source, first_seed + file);
        SAMPLINGS_MIN.map(|minutes| {
            let mut tally = Tally::default();
            let logger = boot.sampled(minutes);
            tally.reading(&logger, &WearReading::of(logger.boot(), None, &logger.days));
            tally
        })
    };
    let files: Vec<[Tally; 5]> = (0..FILES).into_par_iter().map(one).collect();
    let sum = |at: usize| files.iter().fold(Tally::default(), |sum, file| sum.add(&file[at]));
    (0..SAMPLINGS_MIN.len()).map(sum).collect()
}

/// The head of the table.
pub const HEAD: &str = "| source | sample every, min | days | confident and over 1 h wrong | mean error, h a day | hours undecided | worn, h a day | stated as worn, h a day | worst day, h |\n|---|---|---|---|---|---|---|---|---|\n";

/// Rows of a source.
pub fn rows(source: Source, tallies: &[Tally]) -> String {
    let mut text = String::new();
    for (minutes, tally) in SAMPLINGS_MIN.iter().zip(tallies) {
        let _ = writeln!(text, "| {} | {minutes} | {} |", source.words(), tally.row());
    }
    text
}

/// How often days of a stated confidence are within an hour, with up to 30 minutes between samples: for all sources
/// except the sibling, then only for those never used for tuning, if there are any.
pub fn calibrations(all: &[(Source, Vec<Tally>)]) -> String {
    let of = |wanted: &dyn Fn(&Source) -> bool| {
        let chosen = all.iter().filter(|(source, _)| wanted(source));
        calibration(&chosen.flat_map(|(_, tallies)| &tallies[..4]).collect::<Vec<_>>())
    };
    let mut text = of(&|source| *source != Source::Sibling);
    if all.iter().any(|(source, _)| Source::UNSEEN.contains(source)) {
        let _ = write!(text, "\nUnseen sources alone:\n\n{}", of(&|source| Source::UNSEEN.contains(source)));
    }
    text
}

/// How often days of a stated confidence are within an hour.
fn calibration(tallies: &[&Tally]) -> String {
    let all = tallies.iter().fold(Tally::default(), |sum, tally| sum.add(tally));
    let words = ["below 60 %", "60–70 %", "70–80 %", "80–90 %", "90–95 %", "95 % and above"];
    let mut text = String::from(
        "| confidence of the day | days | mean confidence | days within 1 h |\n|---|---|---|---|\n",
    );
    for (words, (days, sure, right)) in words.iter().zip(all.bins) {
        let share = |sum: f64| {
            if days == 0 { "–".to_owned() } else { format!("{:.1} %", 100.0 * sum / days as f64) }
        };
        let _ = writeln!(text, "| {words} | {days} | {} | {} |", share(sure), share(right as f64));
    }
    text
}

//! Hours of each day: worn, undecided, missing.

use super::doubt::Doubt;
use super::foot::Judged;
use super::levels::Levels;
use super::passes::Passes;
use super::split::WARMEST_OFF_C;
use super::steps::Steps;
use super::{DaySpan, Temperatures};
use record::Day;
use statistics::hidden_markov::StepWeights as Step;

/// One day of a logger.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WornDay {
    /// The day.
    pub day: Day,
    /// Hours worn, out of the hours that could be judged.
    pub hours_worn: f64,
    /// Hours with samples that could not be judged.
    pub hours_undecided: f64,
    /// Of these, hours of warm spells that something other than a foot may have caused.
    pub hours_doubted: f64,
    /// Hours without samples.
    pub hours_missing: f64,
    /// The lower of two chances: the mean chance, over the judged hours, that the state is right, and the chance that
    /// the least certain warm spell counted as worn was a foot. `None` if nothing was judged.
    pub confidence: Option<f64>,
    /// The reason why most of the undecided hours are undecided.
    pub doubt: Option<Doubt>,
}

/// The smallest distance of the two levels, in joint SDs and in °C, at which the states can be distinguished.
const APART_SDS: f64 = 2.5;
const APART_C: f64 = 2.2;
/// A step whose state is less certain than this at both of its ends is not judged.
const SURE: f64 = 0.9;

impl WornDay {
    pub(super) fn missing(span: DaySpan) -> Self {
        let hours_missing = (span.until_s - span.from_s) as f64 / 3600.0;
        Self {
            day: span.day,
            hours_worn: 0.0,
            hours_undecided: 0.0,
            hours_doubted: 0.0,
            hours_missing,
            confidence: None,
            doubt: None,
        }
    }

    /// Hours that were judged: worn or not worn.
    #[must_use]
    pub fn hours_judged(&self, span_hours: f64) -> f64 {
        (span_hours - self.hours_undecided - self.hours_missing).max(0.0)
    }
}

/// What a step shows.
struct Verdict {
    /// Share of the step that is worn; `None` if it cannot be judged.
    worn: Option<f64>,
    /// The mean certainty of the states at its ends.
    sure: f64,
}

fn verdict(pair: &Step, worn: &Step, apart: bool) -> Verdict {
    let ends = [pair[1][0] + pair[1][1], pair[0][1] + pair[1][1]];
    let sure = |worn: f64| worn.max(1.0 - worn);
    let both = sure(ends[0]).max(sure(ends[1]));
    let share: f64 = (0..4).map(|at| pair[at / 2][at % 2] * worn[at / 2][at % 2]).sum();
    let worn = (apart && both >= SURE).then_some(share.clamp(0.0, 1.0));
    Verdict { worn, sure: 0.5 * (sure(ends[0]) + sure(ends[1])) }
}

/// Adds every step to its day.
pub(super) fn sum(
    steps: &Steps,
    levels: &Levels,
    passes: &Passes,
    spells: &[Judged],
    days: &[DaySpan],
    never_apart: bool,
) -> Vec<WornDay> {
    let mut sums: Vec<WornDay> = days.iter().map(|span| WornDay::missing(*span)).collect();
    let mut sure = vec![Sure::default(); days.len()];
    let mut spells = spells.iter().peekable();
    let (mut hour, mut limit) = (u32::MAX, 0.0);
    let mut day = 0;
    for (step, (pair, worn)) in passes.chain.pairs.iter().zip(&passes.worn).enumerate() {
        if steps.seconds(step) > steps.gap_s {
            continue;
        }
        let block = usize::from(steps.block[step + 1]);
        let off = levels.off_level(steps, step + 1, block);
        let near = if steps.room.is_empty() { off } else { off.max(steps.room_at(step + 1)) };
        if steps.bin[step + 1] != hour {
            hour = steps.bin[step + 1];
            limit = least_apart(levels.spread(steps, step + 1));
        }
        let apart = !never_apart && near < WARMEST_OFF_C && levels.worn.mean[block] - off >= limit;
        let verdict = verdict(pair, worn, apart);
        while spells.next_if(|spell| spell.last < step).is_some() {}
        let spell = spells.peek().filter(|spell| spell.first <= step);
        let (from, until) = (steps.at_s[step], steps.at_s[step + 1]);
        while days.get(day).is_some_and(|span| span.until_s <= from) {
            day += 1;
        }
        let mut at = day;
        while let Some(span) = days.get(at).filter(|span| span.from_s < until) {
            let hours = (until.min(span.until_s) - from.max(span.from_s)) as f64 * (1.0 / 3600.0);
            let sum = &mut sums[at];
            sum.hours_missing -= hours;
            match (verdict.worn, spell.and_then(|spell| spell.doubt)) {
                (Some(share), None) => {
                    sum.hours_worn += share * hours;
                    sure[at].judged(hours, verdict.sure, spell.map_or(1.0, |spell| spell.foot));
                }
                (None, _) => sum.hours_undecided += hours,
                (Some(_), Some(doubt)) => {
                    sum.hours_undecided += hours;
                    sum.hours_doubted += hours;
                    sure[at].doubted(hours, doubt, spell.map_or(0, |spell| spell.first));
                }
            }
            at += 1;
        }
    }
    for (sum, sure) in sums.iter_mut().zip(sure) {
        sum.hours_missing = if sum.hours_missing < 1e-9 { 0.0 } else { sum.hours_missing };
        sum.confidence = sure.confidence();
        sum.doubt = sure.doubt(sum.hours_undecided - sum.hours_doubted);
    }
    sums
}

/// Sums for the confidence and the doubts of a day.
#[derive(Debug, Clone, Copy)]
struct Sure {
    hours: f64,
    chance: f64,
    /// The smallest chance of a foot among spells counted as worn.
    foot: f64,
    /// The spell that is being summed: its hours, its first step, and why it is doubted.
    now: (f64, usize, Option<Doubt>),
    /// The hours and the doubt of the longest spell so far.
    most: (f64, Option<Doubt>),
}

impl Default for Sure {
    fn default() -> Self {
        Self { hours: 0.0, chance: 0.0, foot: 1.0, now: (0.0, usize::MAX, None), most: (0.0, None) }
    }
}

impl Sure {
    fn judged(&mut self, hours: f64, chance: f64, foot: f64) {
        self.hours += hours;
        self.chance += hours * chance;
        self.foot = self.foot.min(foot);
    }

    fn doubted(&mut self, hours: f64, doubt: Doubt, spell: usize) {
        if self.now.1 != spell {
            self.now = (0.0, spell, Some(doubt));
        }
        self.now.0 += hours;
        if self.now.0 > self.most.0 {
            self.most = (self.now.0, Some(doubt));
        }
    }

    fn confidence(&self) -> Option<f64> {
        (self.hours > 0.0).then(|| (self.chance / self.hours).min(self.foot).clamp(0.5, 1.0))
    }

    /// The doubt of the longest spell, or the warm room if that leaves more hours undecided.
    fn doubt(&self, room: f64) -> Option<Doubt> {
        if room > self.most.0 && room > 0.05 { Some(Doubt::WarmRoom) } else { self.most.1 }
    }
}

/// The smallest distance of two levels with these variances, °C.
fn least_apart(spread: [f64; 2]) -> f64 {
    (APART_SDS * (spread[0] + spread[1]).sqrt()).max(APART_C)
}

/// Hours of each day above a fixed temperature, where each sample counts for the time up to the next. It is the
/// result of a plain threshold, for comparison only.
#[must_use]
pub fn hours_above(boot: Temperatures<'_>, threshold_c: f64, days: &[DaySpan]) -> Vec<f64> {
    let mut hours = vec![0.0; days.len()];
    let mut day = 0;
    for (at, celsius) in boot.at_s.windows(2).zip(boot.celsius) {
        while days.get(day).is_some_and(|span| span.until_s <= at[0]) {
            day += 1;
        }
        // A gap of more than six hours is not counted.
        let counted = *celsius >= threshold_c && at[1] - at[0] < 6 * 3600;
        if let Some(sum) = hours.get_mut(day).filter(|_| counted) {
            *sum += (at[1] - at[0]) as f64 / 3600.0;
        }
    }
    hours
}

//! Warm spells: the stretches that the chain finds warm, and the features of each.

use super::onset::Onset;
use super::steps::Steps;
use statistics::hidden_markov::TwoStates;

/// A warm stretch is divided into two spells if it has two levels that differ by this much, °C: in a file in which only
/// a foot seems to be warm, and in any other. Each part lasts at least [`LEAST_PART_S`] seconds.
pub(super) const OTHER_LEVEL_C: [f64; 2] = [2.2, 1.0];
const LEAST_PART_S: i64 = 75 * 60;
/// A spell is settled from this long after its begin to this long before its end, seconds.
const SETTLED_AFTER_S: i64 = 50 * 60;
const SETTLED_BEFORE_S: i64 = 10 * 60;

/// The largest change from sample to sample that counts, °C, so that one short take-off does not make a spell rough.
const MOST_CHANGE_C: f64 = 1.0;
/// How even a spell is shows in changes over this time, seconds, or from sample to sample if these are further apart.
const STILL_OVER_S: i64 = 15 * 60;

/// A stretch in which the boot is warm.
#[derive(Debug, Clone, Default)]
pub(super) struct WarmSpell {
    /// First and last warm sample.
    pub(super) first: usize,
    pub(super) last: usize,
    /// How it warmed; `None` if the beginning was not recorded or is too short.
    pub(super) onset: Option<Onset>,
    /// Temperature once settled (the highest one if it is too short to settle), °C.
    pub(super) level_c: f64,
    /// SD about that, °C, and trend, °C an hour; zero if it never settles.
    pub(super) sd_c: f64,
    pub(super) trend_c_h: f64,
    /// Root mean square of the change from sample to sample once settled, °C.
    pub(super) rough_c: f64,
    /// Changes over about [`STILL_OVER_S`] once settled: their root mean square, °C, their number, and their mean
    /// length, seconds.
    pub(super) still_c: f64,
    pub(super) still_changes: usize,
    pub(super) still_over_s: f64,
    pub(super) hottest_c: f64,
    /// Whether it continues another spell without a break.
    pub(super) goes_on: bool,
    pub(super) hours: f64,
    /// Hours that are settled, and samples in them.
    pub(super) settled_h: f64,
    pub(super) settled: usize,
    /// Hour of the day of its middle.
    pub(super) hour: f64,
}

/// All warm spells, in order.
pub(super) fn find(steps: &Steps, chain: &TwoStates, cooling_s: f64, apart_c: f64) -> Vec<WarmSpell> {
    let mut spells: Vec<WarmSpell> = Vec::new();
    let mut open: Option<(usize, usize)> = None;
    let mut close = |open: &mut Option<(usize, usize)>| {
        if let Some((first, last)) = open.take() {
            let from = other_level(steps, first, last, apart_c);
            spells.extend(divided(steps, first, last, from, cooling_s));
        }
    };
    let warm = |sample: usize| match chain.pairs.get(sample) {
        Some(pair) => pair[1][0] + pair[1][1] > 0.5,
        None => chain.pairs.last().is_some_and(|pair| pair[0][1] + pair[1][1] > 0.5),
    };
    for sample in 0..steps.at_s.len() {
        if sample > 0 && steps.seconds(sample - 1) > steps.gap_s {
            close(&mut open);
        }
        if warm(sample) {
            open = Some((open.map_or(sample, |(first, _)| first), sample));
        } else {
            close(&mut open);
        }
    }
    close(&mut open);
    spells
}

/// The spell of a stretch, or two spells if it is divided at a sample.
fn divided(steps: &Steps, first: usize, last: usize, at: Option<usize>, cooling_s: f64) -> Vec<WarmSpell> {
    let Some(from) = at else { return vec![WarmSpell::of(steps, first, last, cooling_s)] };
    let mut parts =
        [(first, from - 1), (from, last)].map(|(first, last)| WarmSpell::of(steps, first, last, cooling_s));
    // A source that heats one part may heat the other too.
    let hottest_c = parts[0].hottest_c.max(parts[1].hottest_c);
    parts.iter_mut().for_each(|part| part.hottest_c = hottest_c);
    parts[1].goes_on = true;
    parts.into()
}

/// The sample from which a stretch stays at another level: the one at which two levels fit best, if they differ enough.
fn other_level(steps: &Steps, first: usize, last: usize, apart_c: f64) -> Option<usize> {
    let (begin, end) = (steps.at_s[first] + SETTLED_AFTER_S, steps.at_s[last]);
    if end - begin < 2 * LEAST_PART_S {
        return None;
    }
    let from = first + steps.at_s[first..=last].partition_point(|at| *at < begin);
    let about = steps.celsius[from];
    let total: f64 = steps.celsius[from..=last].iter().map(|celsius| celsius - about).sum();
    let count = (last + 1 - from) as f64;
    let (mut sum, mut best, mut found) = (0.0, 0.0, None);
    for sample in from..last {
        sum += steps.celsius[sample] - about;
        let at = steps.at_s[sample];
        if at - begin < LEAST_PART_S || end - at < LEAST_PART_S {
            continue;
        }
        let before = (sample + 1 - from) as f64;
        let apart = sum / before - (total - sum) / (count - before);
        let gain = apart * apart * before * (count - before);
        if gain > best {
            best = gain;
            found = (apart.abs() >= apart_c).then_some(sample + 1);
        }
    }
    found
}

/// Sums over settled samples, about a temperature near theirs.
#[derive(Default)]
struct Sums {
    count: f64,
    x: f64,
    xx: f64,
    t: f64,
    tt: f64,
    tx: f64,
    /// The sample before.
    before: Option<f64>,
    changes: f64,
    rough: f64,
    still: Still,
}

impl Sums {
    /// Adds a sample: its time in seconds and in hours since the begin, and its temperature.
    fn add(&mut self, at: i64, t: f64, x: f64) {
        self.count += 1.0;
        self.x += x;
        self.xx += x * x;
        self.t += t;
        self.tt += t * t;
        self.tx += t * x;
        self.still.sample(at, x);
        if let Some(before) = self.before.replace(x) {
            self.changes += 1.0;
            self.rough += (x - before).abs().min(MOST_CHANGE_C).powi(2);
        }
    }
}

/// Sums over consecutive changes, each over about [`STILL_OVER_S`].
#[derive(Default)]
struct Still {
    before: Option<(i64, f64)>,
    changes: f64,
    over_s: f64,
    squares: f64,
}

impl Still {
    fn sample(&mut self, at: i64, celsius: f64) {
        let Some((since, before)) = self.before else {
            self.before = Some((at, celsius));
            return;
        };
        // Half a minute early is early enough.
        if at - since + 30 < STILL_OVER_S {
            return;
        }
        self.changes += 1.0;
        self.over_s += (at - since) as f64;
        self.squares += (celsius - before).abs().min(MOST_CHANGE_C).powi(2);
        self.before = Some((at, celsius));
    }
}

impl WarmSpell {
    fn of(steps: &Steps, first: usize, last: usize, cooling_s: f64) -> Self {
        let (from, until) = (steps.at_s[first], steps.at_s[last]);
        let celsius = &steps.celsius[first..=last];
        let hottest_c = celsius.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let middle = f64::from(steps.hour[first]) + (until - from) as f64 / 7200.0;
        let mut spell = Self {
            first,
            last,
            level_c: hottest_c,
            hottest_c,
            hours: (until - from) as f64 / 3600.0 + steps.sampling_s / 3600.0,
            hour: middle.rem_euclid(24.0),
            ..Self::default()
        };
        spell.settle(steps, first, last);
        if first > 0 && steps.seconds(first - 1) <= steps.gap_s {
            spell.onset = Onset::of(steps, first, last, cooling_s);
        }
        spell
    }

    /// Level, spread, trend and roughness once settled.
    fn settle(&mut self, steps: &Steps, first: usize, last: usize) {
        let (from, until) = (steps.at_s[first] + SETTLED_AFTER_S, steps.at_s[last] - SETTLED_BEFORE_S);
        let about = steps.celsius[last];
        let mut sums = Sums::default();
        for sample in (first..=last).filter(|sample| (from..=until).contains(&steps.at_s[*sample])) {
            let at = steps.at_s[sample];
            sums.add(at, (at - from) as f64 / 3600.0, steps.celsius[sample] - about);
        }
        if sums.count < 2.0 {
            return;
        }
        let mean = sums.x / sums.count;
        let spread_t = sums.tt - sums.t * sums.t / sums.count;
        self.level_c = about + mean;
        self.sd_c = (sums.xx / sums.count - mean * mean).max(0.0).sqrt();
        self.trend_c_h = (sums.tx - sums.t * mean) / (spread_t + 0.5);
        self.rough_c = (sums.rough / sums.changes.max(1.0)).sqrt();
        self.settled = sums.count as usize;
        self.settled_h = (until - from) as f64 / 3600.0;
        self.still(&sums.still);
    }

    fn still(&mut self, still: &Still) {
        let changes = still.changes.max(1.0);
        self.still_c = (still.squares / changes).sqrt();
        self.still_changes = still.changes as usize;
        self.still_over_s = still.over_s / changes;
    }
}

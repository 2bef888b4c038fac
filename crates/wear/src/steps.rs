//! The series as the model reads it: without faults, at least four minutes apart, with gaps marked.

use super::{DaySpan, Temperatures};

/// The temperatures that a thermometer in a boot can show.
const POSSIBLE_C: std::ops::RangeInclusive<f64> = -30.0..=60.0;
/// A boot on a foot is cooler than this, °C. Hotter samples are lowered to it, so that a radiator is not mistaken for
/// the worn boot. Skin is not warmer than the body; assumed.
pub(super) const HOTTEST_C: f64 = 38.0;
/// Samples above this are too hot to learn the levels from, °C.
pub(super) const HOT_C: f64 = 37.0;
/// Samples closer than this add nothing, because the moment of a change is estimated between samples anyway.
const LEAST_STEP_S: i64 = 235;
/// The shortest gap, whatever the sampling.
const LEAST_GAP_S: f64 = 75.0 * 60.0;
/// Bins of the hour of day.
pub(super) const HOURS: usize = 24;
/// Seconds over which a level is constant.
const BLOCK_S: f64 = 4.0 * 86_400.0;

/// The samples that are used.
#[derive(Debug, Default)]
pub(super) struct Steps {
    /// Seconds, as given.
    pub(super) at_s: Vec<i64>,
    pub(super) celsius: Vec<f64>,
    /// The temperature of the room at each sample; empty without a room sensor.
    pub(super) room: Vec<f64>,
    /// Hour of day of each sample, 0 to 23.
    pub(super) hour: Vec<u8>,
    /// Spell of four days of each sample.
    pub(super) block: Vec<u16>,
    pub(super) blocks: usize,
    /// The index in `bins` of the hour of each sample.
    pub(super) bin: Vec<u32>,
    /// Hours that have samples, counted from the same moment as the seconds.
    pub(super) bins: Vec<i64>,
    /// Median time between samples as given.
    pub(super) sampling_s: f64,
    /// A step longer than this is a gap.
    pub(super) gap_s: f64,
    /// Samples that no thermometer can show, or out of order.
    pub(super) faults: usize,
    /// Samples of the boot without one of the room sensor nearby, if there is a room sensor.
    pub(super) room_missing: usize,
}

impl Steps {
    pub(super) fn of(boot: Temperatures<'_>, room: Option<Temperatures<'_>>, days: &[DaySpan]) -> Self {
        let mut steps = Self { sampling_s: sampling(boot.at_s), ..Self::default() };
        steps.gap_s = (2.5 * steps.sampling_s).max(LEAST_GAP_S);
        steps.add_boot(boot);
        steps.place(days);
        if let Some(room) = room {
            steps.add_room(room);
        }
        steps
    }

    /// The samples without faults, at least [`LEAST_STEP_S`] apart.
    fn add_boot(&mut self, boot: Temperatures<'_>) {
        let count = boot.at_s.len().min(boot.celsius.len());
        self.at_s.reserve(count);
        self.celsius.reserve(count);
        let mut last = i64::MIN / 2;
        let mut newest = i64::MIN / 2;
        for (at, celsius) in boot.at_s.iter().zip(boot.celsius) {
            if !POSSIBLE_C.contains(celsius) || *at <= newest {
                self.faults += 1;
                continue;
            }
            newest = *at;
            if at - last >= LEAST_STEP_S {
                self.at_s.push(*at);
                self.celsius.push(celsius.min(HOTTEST_C));
                last = *at;
            }
        }
    }

    /// Hour and spell of every sample.
    fn place(&mut self, days: &[DaySpan]) {
        let Some(first) = self.at_s.first().copied() else { return };
        let mut day = 0;
        let count = self.at_s.len();
        self.hour.reserve(count);
        self.block.reserve(count);
        self.bin.reserve(count);
        // Whole hours are computed only when a new one begins: the hour of the clock, and the hour since the day
        // began.
        let (mut clock_until, mut day_until, mut hour_of_day) = (i64::MIN, i64::MIN, 0);
        for at in &self.at_s {
            if *at >= clock_until {
                let hour = at.div_euclid(3600);
                self.bins.push(hour);
                clock_until = (hour + 1) * 3600;
            }
            self.bin.push(self.bins.len() as u32 - 1);
            if *at >= day_until {
                while days.get(day).is_some_and(|span| span.until_s <= *at) {
                    day += 1;
                }
                let from_s = days.get(day).map_or(0, |span| span.from_s);
                let hour = (at - from_s).div_euclid(3600);
                hour_of_day = hour.rem_euclid(24) as u8;
                day_until = from_s + (hour + 1) * 3600;
                day_until = days.get(day).map_or(day_until, |span| day_until.min(span.until_s));
            }
            self.hour.push(hour_of_day);
            self.block.push(((at - first) as f64 * (1.0 / BLOCK_S)).min(65_000.0) as u16);
        }
        self.blocks = self.block.last().map_or(0, |block| usize::from(*block) + 1);
    }

    /// The room at each sample, interpolated between the samples of the room sensor.
    fn add_room(&mut self, room: Temperatures<'_>) {
        let found = interpolated(room, &self.at_s);
        self.room_missing = found.iter().filter(|celsius| celsius.is_nan()).count();
        let known: Vec<f64> = found.iter().copied().filter(|celsius| celsius.is_finite()).collect();
        if known.len() * 2 < found.len().max(1) {
            return;
        }
        let mean = known.iter().sum::<f64>() / known.len() as f64;
        self.room =
            found.into_iter().map(|celsius| if celsius.is_finite() { celsius } else { mean }).collect();
    }

    /// The temperature of the room sensor, to which the off level is relative; 0 without a room sensor.
    pub(super) fn room_at(&self, sample: usize) -> f64 {
        self.room.get(sample).copied().unwrap_or(0.0)
    }

    /// Whether something hotter than a foot warms the boot during a step.
    #[inline]
    pub(super) fn hot(&self, step: usize) -> bool {
        self.celsius[step].max(self.celsius[step + 1]) > HOT_C
    }

    pub(super) fn seconds(&self, step: usize) -> f64 {
        (self.at_s[step + 1] - self.at_s[step]) as f64
    }
}

/// The farthest sample of the room that is used, seconds.
const FAR_S: i64 = 3 * 3600;

/// The room at each of these times, from its samples within [`FAR_S`] on either side; NaN without any.
fn interpolated(room: Temperatures<'_>, at_s: &[i64]) -> Vec<f64> {
    let samples = room.at_s.iter().copied().zip(room.celsius.iter().copied());
    let good: Vec<(i64, f64)> = samples.filter(|(_, celsius)| POSSIBLE_C.contains(celsius)).collect();
    let mut next = 0;
    let mut found = Vec::with_capacity(at_s.len());
    for at in at_s {
        while good.get(next).is_some_and(|(room_at, _)| room_at < at) {
            next += 1;
        }
        let before = next.checked_sub(1).and_then(|one| good.get(one)).filter(|one| at - one.0 <= FAR_S);
        let after = good.get(next).filter(|one| one.0 - at <= FAR_S);
        found.push(match (before, after) {
            (Some(a), Some(b)) => a.1 + (b.1 - a.1) * (at - a.0) as f64 / (b.0 - a.0).max(1) as f64,
            (Some(one), None) | (None, Some(one)) => one.1,
            (None, None) => f64::NAN,
        });
    }
    found
}

/// The median step, from about two thousand of them.
fn sampling(at_s: &[i64]) -> f64 {
    let stride = (at_s.len() / 2000).max(1);
    let mut found: Vec<i64> =
        (1..at_s.len()).step_by(stride).map(|at| at_s[at] - at_s[at - 1]).filter(|step| *step > 0).collect();
    found.sort_unstable();
    found.get(found.len() / 2).map_or(0.0, |step| *step as f64)
}

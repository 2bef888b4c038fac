//! The distinct times of a set of spells, and the rank of each row among them.

use super::Spells;

/// Two times closer than this share of the mean time count as equal: fractions of a year that were computed
/// in different ways differ in their last digits. Whole numbers are never merged. The tolerance is the
/// square root of the machine precision, the same as in R survival. R survival also merges by absolute
/// difference; that depends on the unit of time and is not done here.
const SAME_TIME: f64 = 1.490_116_119_384_765_6e-8;

/// The distinct ends of spells, ascending, with each row's rank.
#[derive(Debug, Clone)]
pub(crate) struct Timeline {
    /// Distinct times at which a row ends.
    pub times: Vec<f64>,
    /// For each row the rank of its end.
    pub stop: Vec<u32>,
    /// For each row the first rank at which it is at risk, where rows enter late.
    pub enter: Option<Vec<u32>>,
}

impl Timeline {
    pub fn of(start: Option<&[f64]>, ends: &[f64]) -> Self {
        let (times, stop) = whole_days(ends).unwrap_or_else(|| sorted(ends));
        let enter = start.map(|start| entries(&times, &stop, start, ends));
        Self { times, stop, enter }
    }

    /// The first rank at which a row is at risk.
    pub fn entry(&self, row: usize) -> usize {
        self.enter.as_ref().map_or(0, |enter| enter[row] as usize)
    }
}

/// Whole numbers in a short range are ranked by counting instead of sorting.
fn whole_days(stop: &[f64]) -> Option<(Vec<f64>, Vec<u32>)> {
    let most = stop.iter().copied().fold(0.0, f64::max);
    if most > (4 * stop.len() + 65_536) as f64 {
        return None;
    }
    let mut seen = vec![false; most as usize + 1];
    let mut whole = true;
    for time in stop {
        let day = *time as usize;
        whole &= day as f64 == *time;
        seen[day] = true;
    }
    if !whole {
        return None;
    }
    let mut ranks = vec![0_u32; seen.len()];
    let mut times = Vec::new();
    for (day, seen) in seen.iter().enumerate() {
        ranks[day] = times.len() as u32;
        if *seen {
            times.push(day as f64);
        }
    }
    Some((times, stop.iter().map(|time| ranks[*time as usize]).collect()))
}

fn sorted(stop: &[f64]) -> (Vec<f64>, Vec<u32>) {
    let mut order: Vec<u32> = (0..stop.len() as u32).collect();
    order.sort_unstable_by(|a, b| stop[*a as usize].total_cmp(&stop[*b as usize]));
    let near = tolerance(stop);
    let mut times: Vec<f64> = Vec::new();
    let mut ranks = vec![0_u32; stop.len()];
    let mut last = f64::NEG_INFINITY;
    for row in order {
        let time = stop[row as usize];
        if time - last > near {
            times.push(time);
        }
        last = time;
        ranks[row as usize] = (times.len() - 1) as u32;
    }
    (times, ranks)
}

/// Zero for whole numbers, which are exact.
fn tolerance(stop: &[f64]) -> f64 {
    if stop.iter().all(|time| time.fract() == 0.0) {
        return 0.0;
    }
    SAME_TIME * stop.iter().sum::<f64>() / stop.len() as f64
}

/// The first rank at which each row is at risk. A row that starts at a time is not at risk at that time. A
/// row is always at risk at its own end.
fn entries(times: &[f64], stop: &[u32], start: &[f64], ends: &[f64]) -> Vec<u32> {
    let near = tolerance(ends);
    let first_after = |start: f64| times.partition_point(|time| *time <= start + near) as u32;
    let top = times.last().map_or(0, |last| *last as usize);
    let days = times.iter().all(|time| time.fract() == 0.0) && top <= 4 * start.len() + 65_536;
    if !days {
        return start.iter().zip(stop).map(|(start, stop)| first_after(*start).min(*stop)).collect();
    }
    let table: Vec<u32> = (0..=top).map(|day| first_after(day as f64)).collect();
    let look = |start: f64| if start < 0.0 { 0 } else { table[(start as usize).min(top)] };
    start.iter().zip(stop).map(|(start, stop)| look(*start).min(*stop)).collect()
}

/// Numbers at risk and numbers of ends at each distinct time, by group.
#[derive(Debug, Clone)]
pub(crate) struct Tally {
    pub times: Vec<f64>,
    pub groups: usize,
    /// Weight at risk, by time then group.
    pub at_risk: Vec<f64>,
    /// Weight with the event, by time then group.
    pub events: Vec<f64>,
    /// Weight leaving without it, by time then group.
    pub censored: Vec<f64>,
}

impl Tally {
    /// Counts in one pass over the rows.
    pub fn of(spells: &Spells, timeline: &Timeline, group: Option<&[u32]>, groups: usize) -> Self {
        let cells = timeline.times.len() * groups;
        let mut left = [vec![0.0; cells], vec![0.0; cells]];
        let place =
            |row: usize| timeline.stop[row] as usize * groups + group.map_or(0, |group| group[row] as usize);
        for (row, event) in spells.event.iter().enumerate() {
            left[usize::from(*event)][place(row)] += spells.weight(row);
        }
        let [censored, events] = left;
        let mut tally = Self { times: timeline.times.clone(), groups, at_risk: Vec::new(), events, censored };
        tally.at_risk = tally.count_at_risk(spells, timeline, group);
        tally
    }

    fn count_at_risk(&self, spells: &Spells, timeline: &Timeline, group: Option<&[u32]>) -> Vec<f64> {
        let groups = self.groups;
        let mut at_risk: Vec<f64> = self.events.iter().zip(&self.censored).map(|(a, b)| a + b).collect();
        // A row that enters late is not at risk at earlier ranks.
        if let Some(enter) = &timeline.enter {
            for (row, enter) in enter.iter().enumerate().filter(|(_, enter)| **enter > 0) {
                let group = group.map_or(0, |group| group[row] as usize);
                at_risk[(*enter as usize - 1) * groups + group] -= spells.weight(row);
            }
        }
        for at in (groups..at_risk.len()).rev() {
            at_risk[at - groups] += at_risk[at];
        }
        at_risk
    }

    /// The column of one group: time, at risk, events, censored; only times at which one of its rows ends.
    pub fn column(&self, group: usize) -> impl Iterator<Item = (f64, f64, f64, f64)> + '_ {
        self.times.iter().enumerate().filter_map(move |(rank, time)| {
            let at = rank * self.groups + group;
            let (events, censored) = (self.events[at], self.censored[at]);
            (events > 0.0 || censored > 0.0).then_some((*time, self.at_risk[at], events, censored))
        })
    }
}

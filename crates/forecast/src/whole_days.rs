//! Sums and maxima of whole days.

/// Chances of 0, 1, 2 … days.
pub(crate) type Days = Vec<f64>;

/// The longest distribution, in days; later days count as the last one.
pub(crate) const HORIZON: usize = 500;

/// The sum of two independent numbers of days.
pub(crate) fn convolve(first: &[f64], second: &[f64]) -> Days {
    let brief: Vec<(usize, f64)> =
        second.iter().copied().enumerate().filter(|(_, chance)| *chance > 1e-12).collect();
    convolve_brief(first, &brief)
}

/// The same, where the second is a list of days with their chances.
pub(crate) fn convolve_brief(first: &[f64], second: &[(usize, f64)]) -> Days {
    let reach = second.iter().map(|(day, _)| *day).max().unwrap_or(0);
    let length = (first.len() + reach).clamp(1, HORIZON);
    let mut sum = vec![0.0; length];
    for (day, weight) in second {
        for (from, chance) in first.iter().enumerate() {
            sum[(from + day).min(length - 1)] += weight * chance;
        }
    }
    sum
}

/// The days of weighted visits: each visit is an interval after the one before it, the first after
/// `first` days.
pub(crate) fn visits_to_days(weights: &[f64], first: &[f64], interval: &[(usize, f64)]) -> Days {
    let each: Vec<Days> = weights.iter().map(|weight| vec![*weight]).collect();
    visits_and_waits(&each, first, interval)
}

/// The same if each visit is followed by weighted days of its own.
pub(crate) fn visits_and_waits(waits: &[Days], first: &[f64], interval: &[(usize, f64)]) -> Days {
    let worth = |days: &Days| days.iter().sum::<f64>() > 1e-9;
    let last = waits.iter().rposition(worth).map_or(0, |last| last + 1);
    let mut sum: Days = Vec::new();
    for wait in waits[..last].iter().rev() {
        if !sum.is_empty() {
            sum = convolve_brief(&sum, interval);
        }
        add(&mut sum, wait, 1.0);
    }
    convolve(&sum, first)
}

/// Adds weighted days.
pub(crate) fn add(into: &mut Days, days: &[f64], weight: f64) {
    if into.len() < days.len() {
        into.resize(days.len(), 0.0);
    }
    for (sum, chance) in into.iter_mut().zip(days) {
        *sum += weight * chance;
    }
}

/// The later of two independent days, each summing to 1.
pub(crate) fn later_of(first: &[f64], second: &[f64]) -> Days {
    let length = first.len().max(second.len());
    let (mut below, mut before) = ([0.0, 0.0], 0.0);
    (0..length)
        .map(|day| {
            below[0] += first.get(day).copied().unwrap_or(0.0);
            below[1] += second.get(day).copied().unwrap_or(0.0);
            let here = below[0] * below[1];
            let chance = (here - before).max(0.0);
            before = here;
            chance
        })
        .collect()
}

/// The rest of a wait after some days without the event, in days from now, and whether it is overdue: a wait
/// longer than all known ones is spread evenly over four weeks.
pub(crate) fn remaining(days: &[f64], gone: i32, from: i32) -> (Days, bool) {
    let least = (gone + from).max(0) as usize;
    let from = from.max(0) as usize;
    let mut left = vec![0.0; from];
    left.extend(days.iter().skip(least).copied());
    let sum: f64 = left.iter().sum();
    if sum < 1e-4 {
        let mut even = vec![0.0; from];
        even.extend(std::iter::repeat_n(1.0 / 28.0, 28));
        return (even, true);
    }
    left.iter_mut().for_each(|chance| *chance /= sum);
    (left, false)
}

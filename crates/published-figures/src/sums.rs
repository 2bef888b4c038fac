//! The sums behind the figures papers print.

use super::rows::Row;

pub(super) fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for value in values {
        sum += value;
        count += 1.0;
    }
    sum / count
}

pub(super) fn sd(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let middle = mean(values.clone());
    let (mut sum, mut count) = (0.0, -1.0);
    for value in values {
        sum += (value - middle).powi(2);
        count += 1.0;
    }
    (sum / count).sqrt()
}

pub(super) fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}

/// Pearson's correlation.
pub(super) fn correlation(pairs: impl Iterator<Item = (f64, f64)> + Clone) -> f64 {
    let (first, second) = (pairs.clone().map(|pair| pair.0), pairs.clone().map(|pair| pair.1));
    let middles = (mean(first.clone()), mean(second.clone()));
    let together = mean(pairs.clone().map(|(a, b)| (a - middles.0) * (b - middles.1)));
    let spread = |value: f64, middle: f64| (value - middle).powi(2);
    let spreads = (
        mean(first.map(|value| spread(value, middles.0))),
        mean(second.map(|value| spread(value, middles.1))),
    );
    together / (spreads.0 * spreads.1).sqrt()
}

/// Cohen's kappa, unweighted, of answers counted in half points (0 to 12).
pub(super) fn kappa(pairs: impl Iterator<Item = (f64, f64)>) -> f64 {
    let mut table = [[0.0_f64; 13]; 13];
    let mut count = 0.0;
    for (one, other) in pairs {
        table[(2.0 * one) as usize][(2.0 * other) as usize] += 1.0;
        count += 1.0;
    }
    let agreed: f64 = (0..13).map(|answer| table[answer][answer]).sum::<f64>() / count;
    let by_chance: f64 = (0..13)
        .map(|answer| {
            let row: f64 = table[answer].iter().sum();
            let column: f64 = table.iter().map(|row| row[answer]).sum();
            row * column / (count * count)
        })
        .sum();
    (agreed - by_chance) / (1.0 - by_chance)
}

/// Kaplan-Meier probability of a first relapse by an age, per cent; time runs from birth.
pub(super) fn relapsed_by(children: &[&Row], years: f64) -> f64 {
    let mut ends: Vec<(f64, bool)> = children
        .iter()
        .map(|child| match child.relapse_age_days {
            Some(age) if age <= child.followed_to_days => (age, true),
            _ => (child.followed_to_days, false),
        })
        .collect();
    ends.sort_by(|one, other| one.0.total_cmp(&other.0));
    let (mut at_risk, mut free) = (ends.len() as f64, 1.0);
    for (age, relapsed) in ends {
        if age > years * 365.25 {
            break;
        }
        if relapsed {
            free *= 1.0 - 1.0 / at_risk;
        }
        at_risk -= 1.0;
    }
    100.0 * (1.0 - free)
}

/// Odds ratio of a relapse by an age, family not adherent against adherent; half a child is added to
/// each cell where one is empty.
pub(super) fn odds_ratio(children: &[&Row], years: f64) -> f64 {
    let mut cells = [[0.0_f64; 2]; 2];
    for child in children {
        let relapsed = child.relapse_age_days.is_some_and(|age| age <= years * 365.25);
        cells[usize::from(child.adherent)][usize::from(relapsed)] += 1.0;
    }
    if cells.iter().flatten().any(|count| *count == 0.0) {
        cells.iter_mut().flatten().for_each(|count| *count += 0.5);
    }
    (cells[0][1] * cells[1][0]) / (cells[0][0] * cells[1][1])
}

/// Mean logged hours of a quarter of bracing, of children without a relapse by the age of two.
pub(super) fn hours_when_good(children: &[&Row], quarter: usize) -> f64 {
    mean(good(children).filter_map(|child| child.logged[quarter]))
}

/// Share, per cent, of children without a relapse by two who wore it for fewer hours in a quarter.
pub(super) fn below_hours(children: &[&Row], quarter: usize, hours: f64) -> f64 {
    let below = good(children).filter_map(|child| child.logged[quarter]);
    100.0 * mean(below.map(|logged| f64::from(u8::from(logged < hours))))
}

fn good<'a>(children: &'a [&Row]) -> impl Iterator<Item = &'a Row> {
    children.iter().copied().filter(|child| child.relapse_age_days.is_none_or(|age| age > 730.5))
}

/// Mean logged hours in the third to the sixth quarter, of children with or without a relapse by two.
pub(super) fn late_hours(children: &[&Row], relapsed: bool) -> f64 {
    let by_two = |child: &Row| child.relapse_age_days.is_some_and(|age| age <= 730.5);
    let whose = children.iter().filter(|child| by_two(child) == relapsed);
    mean(whose.flat_map(|child| child.logged[2..].iter().copied().flatten()))
}

//! The stock that will be needed: for every child, the chance that its boots are outgrown within a period, and
//! the size it will then need.

use super::{Outgrowing, Stock};
use crate::Protocol;
use growth::chance_beyond;
use record::{Day, DayRange};
use std::collections::BTreeMap;

/// The need for one size.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// The clinic's label, or the inner length if the list has no boot of that length.
    pub label: String,
    /// Length inside, mm.
    pub inner_mm: u16,
    /// The number in stock.
    pub in_store: Option<u16>,
    /// The mean of the number needed.
    pub expected: f64,
    /// The 90 % interval of the number needed.
    pub ninety: (u16, u16),
    /// Children with any chance of needing it.
    pub children: usize,
    /// The number to order now, so that the stock is enough with 95 % probability; `None` if stock is not counted.
    pub order: Option<u16>,
}

/// What one child in a brace adds to the needs of a period.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct ChildNeed {
    /// Whether anything can be estimated for its boots.
    pub measured: bool,
    /// The inner length its next boots need, mm, and the chance that it needs them.
    pub boots: Option<(u16, f64)>,
    /// The chance that its bar becomes too narrow.
    pub bar: Option<f64>,
}

/// Inner lengths that are not on the clinic's list are counted in steps of this many mm.
const STEP_MM: u16 = 5;
/// A boot that is longer than wanted by more than this is not suitable (common practice, no source).
const MOST_LONG_MM: u16 = 8;
/// A chance as small as this counts as zero.
const NO_CHANCE: f64 = 0.005;

impl ChildNeed {
    /// The need of a child in a brace; not measured if its boots or its growth are not known.
    #[must_use]
    pub fn of(outgrowing: Option<&Outgrowing>, window: DayRange, protocol: &Protocol, stock: &Stock) -> Self {
        let Some(outgrowing) = outgrowing.filter(|found| !found.boots.is_empty()) else {
            return Self::default();
        };
        let bar = outgrowing.bar.as_ref().map(|&(bar, _)| {
            let limit = f64::from(bar) + f64::from(protocol.bar_narrow_mm);
            chance_beyond(outgrowing.growth.shoulders(window.to, protocol.bar_width), limit)
        });
        Self { measured: true, boots: next_boots(outgrowing, window, protocol, stock), bar }
    }
}

fn next_boots(
    outgrowing: &Outgrowing,
    window: DayRange,
    protocol: &Protocol,
    stock: &Stock,
) -> Option<(u16, f64)> {
    // A pair is outgrown as soon as one boot is.
    let boot = outgrowing.first()?;
    let chance = chance_beyond(outgrowing.growth.foot(boot.side, window.to), boot.limit_mm.into());
    if chance <= NO_CHANCE {
        return None;
    }
    let when: Day = boot.days.by_50.unwrap_or(window.to).clamp(window.from, window.to);
    // The foot that is longer by then decides the size.
    let feet = record::Side::BOTH.map(|side| outgrowing.growth.foot(side, when).mm);
    let foot = feet[0].max(feet[1]);
    let least = (foot + f64::from(protocol.toe_room_mm.low)).ceil() as u16;
    // A boot on the list that is far too long is not the size this child needs.
    let longest = (foot + f64::from(protocol.toe_room_mm.high)) as u16 + MOST_LONG_MM;
    let fits = |size: &&super::BootSize| (least..=longest).contains(&size.inner_mm);
    let inner = stock.boots.iter().find(fits).map(|size| size.inner_mm);
    Some((inner.unwrap_or(least.div_ceil(STEP_MM) * STEP_MM), chance))
}

/// The needs, summed child by child.
#[derive(Debug, Clone, Default)]
pub struct Needs {
    /// By inner length: the chances of each child.
    chances: BTreeMap<u16, Vec<f64>>,
    bars: Vec<f64>,
    /// Children in a brace without an estimate, because a measurement is missing.
    pub unmeasured: usize,
    /// Children counted.
    pub counted: usize,
}

impl Needs {
    /// Adds a child in the brace.
    pub fn add(&mut self, share: ChildNeed) {
        if share.measured {
            self.counted += 1;
        } else {
            self.unmeasured += 1;
        }
        if let Some((inner_mm, chance)) = share.boots {
            self.chances.entry(inner_mm).or_default().push(chance);
        }
        self.bars.extend(share.bar);
    }

    /// The need by size, shortest first; includes sizes on the list that are not needed.
    #[must_use]
    pub fn boots(&self, stock: &Stock) -> Vec<Need> {
        let mut sizes: BTreeMap<u16, Option<&super::BootSize>> =
            self.chances.keys().map(|&mm| (mm, None)).collect();
        stock.boots.iter().for_each(|size| {
            sizes.insert(size.inner_mm, Some(size));
        });
        sizes.into_iter().map(|(inner_mm, size)| self.need(inner_mm, size)).collect()
    }

    fn need(&self, inner_mm: u16, size: Option<&super::BootSize>) -> Need {
        let chances = self.chances.get(&inner_mm).map_or(&[][..], Vec::as_slice);
        let (low, high) = ninety(chances);
        let in_store = size.and_then(|size| size.in_store);
        Need {
            label: size.map_or_else(|| format!("{inner_mm} mm, not on the list"), |size| size.label.clone()),
            inner_mm,
            in_store,
            // The sum of an empty list is minus zero.
            expected: chances.iter().sum::<f64>() + 0.0,
            ninety: (low, high),
            children: chances.len(),
            order: in_store.map(|have| high.saturating_sub(have)),
        }
    }

    /// Bars that become too narrow: the mean and the 90 % interval.
    #[must_use]
    pub fn bars(&self) -> (f64, (u16, u16)) {
        (self.bars.iter().sum::<f64>() + 0.0, ninety(&self.bars))
    }
}

/// Beyond this many children the number is approximated as normal, because exact counting would take too long.
const COUNTED_UP_TO: usize = 400;

/// The 90 % interval of the number of events.
fn ninety(chances: &[f64]) -> (u16, u16) {
    if chances.len() <= COUNTED_UP_TO {
        let spread = count_chances(chances);
        return (quantile(&spread, 0.05), quantile(&spread, 0.95));
    }
    let mean: f64 = chances.iter().sum();
    let sd = chances.iter().map(|chance| chance * (1.0 - chance)).sum::<f64>().sqrt();
    let end = |value: f64| value.round().clamp(0.0, f64::from(u16::MAX)) as u16;
    (end(mean - 1.644_854 * sd), end(mean + 1.644_854 * sd))
}

/// The probability of each number among independent events with the given chances, computed child by child.
fn count_chances(chances: &[f64]) -> Vec<f64> {
    let mut spread = vec![1.0];
    for &chance in chances {
        spread.push(0.0);
        for at in (0..spread.len()).rev() {
            let before = if at > 0 { spread[at - 1] } else { 0.0 };
            spread[at] = spread[at] * (1.0 - chance) + before * chance;
        }
    }
    spread
}

/// The smallest number that is not exceeded with at least the given probability.
fn quantile(spread: &[f64], chance: f64) -> u16 {
    let mut sum = 0.0;
    let reached = spread.iter().position(|part| {
        sum += part;
        sum >= chance - 1e-12
    });
    reached.and_then(|at| u16::try_from(at).ok()).unwrap_or(0)
}

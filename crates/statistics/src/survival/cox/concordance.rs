//! Concordance of predicted risk and observed order of events.

use super::CoxFit;
use std::ops::Range;

/// Harrell's concordance of a fitted model.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Concordance {
    /// Share of comparable pairs in which the row with the higher risk had the event first; pairs of
    /// equal risk count half.
    pub value: f64,
    /// Standard error by the infinitesimal jackknife over rows, or over clusters if rows are clustered.
    pub std_err: f64,
    /// Pairs in which the higher risk had the event first.
    pub concordant: f64,
    /// Pairs in which the lower risk had the event first.
    pub discordant: f64,
    /// Pairs of equal risk.
    pub tied_risk: f64,
}

/// Prefix sums by rank with updates and queries in logarithmic time (Fenwick 1994).
struct Tree {
    sums: Vec<f64>,
}

impl Tree {
    fn new(size: usize) -> Self {
        Self { sums: vec![0.0; size + 1] }
    }

    fn add(&mut self, rank: usize, value: f64) {
        let mut at = rank + 1;
        while at < self.sums.len() {
            self.sums[at] += value;
            at += at & at.wrapping_neg();
        }
    }

    /// Sum of the ranks below.
    fn below(&self, rank: usize) -> f64 {
        let (mut at, mut sum) = (rank, 0.0);
        while at > 0 {
            sum += self.sums[at];
            at &= at - 1;
        }
        sum
    }

    /// Sums below, at and above a rank.
    fn split(&self, rank: usize) -> [f64; 3] {
        let (below, with) = (self.below(rank), self.below(rank + 1));
        [below, with - below, self.below(self.sums.len() - 1) - with]
    }
}

/// Pairs of one row: concordant, equal risk, discordant.
type Pairs = [f64; 3];

/// The places of one stratum with their ranks.
struct Ranked<'a> {
    fit: &'a CoxFit,
    stratum: &'a Range<usize>,
    /// First place.
    first: usize,
    /// By place of the stratum: rank of its linear predictor among the distinct ones.
    ranks: Vec<usize>,
    /// Places that enter late, by entry ascending.
    late: Vec<usize>,
}

impl<'a> Ranked<'a> {
    fn of(fit: &'a CoxFit, stratum: &'a Range<usize>) -> Self {
        let places = fit.data.blocks[stratum.start].begin..fit.data.blocks[stratum.end - 1].end;
        let eta: Vec<f64> = places.clone().map(|place| fit.data.eta(place, &fit.beta)).collect();
        let mut order: Vec<usize> = (0..eta.len()).collect();
        order.sort_unstable_by(|a, b| eta[*a].total_cmp(&eta[*b]));
        let mut ranks = vec![0; eta.len()];
        let mut rank = 0;
        for pair in order.windows(2) {
            rank += usize::from(eta[pair[1]] > eta[pair[0]]);
            ranks[pair[1]] = rank;
        }
        let mut late: Vec<usize> =
            if fit.data.late.is_some() { places.clone().collect() } else { Vec::new() };
        late.sort_by_key(|place| fit.data.entry(*place, stratum));
        Self { fit, stratum, first: places.start, ranks, late }
    }

    fn rank(&self, place: usize) -> usize {
        self.ranks[place - self.first]
    }

    fn put(&self, tree: &mut Tree, place: usize, sign: f64) {
        tree.add(self.rank(place), sign * self.fit.data.weight(place));
    }

    /// Pairs in which a row is the one with the event: times descending, everyone at risk in a tree.
    fn as_events(&self, pairs: &mut [Pairs]) {
        let mut tree = Tree::new(self.ranks.len());
        let mut staying = self.late.len();
        for block in self.stratum.clone().rev() {
            let at = &self.fit.data.blocks[block];
            while let Some(place) = staying.checked_sub(1).map(|last| self.late[last]) {
                if self.fit.data.entry(place, self.stratum) <= block {
                    break;
                }
                self.put(&mut tree, place, -1.0);
                staying -= 1;
            }
            at.censored().for_each(|place| self.put(&mut tree, place, 1.0));
            // The row with the event should have the higher risk: those below it are in the right order.
            at.deaths().for_each(|place| pairs[place] = tree.split(self.rank(place)));
            at.deaths().for_each(|place| self.put(&mut tree, place, 1.0));
        }
    }

    /// Pairs in which a row outlives the other: times ascending, the events so far in a tree.
    fn as_survivors(&self, pairs: &mut [Pairs]) {
        let mut tree = Tree::new(self.ranks.len());
        let mut entered = 0;
        let count = |tree: &Tree, place: usize, sign: f64, pairs: &mut [Pairs]| {
            let [below, same, above] = tree.split(self.rank(place));
            for (pair, found) in pairs[place].iter_mut().zip([above, same, below]) {
                *pair += sign * found;
            }
        };
        for block in self.stratum.clone() {
            let at = &self.fit.data.blocks[block];
            while let Some(place) = self.late.get(entered).copied() {
                if self.fit.data.entry(place, self.stratum) > block {
                    break;
                }
                count(&tree, place, -1.0, pairs);
                entered += 1;
            }
            at.deaths().for_each(|place| count(&tree, place, 1.0, pairs));
            at.deaths().for_each(|place| self.put(&mut tree, place, 1.0));
            at.censored().for_each(|place| count(&tree, place, 1.0, pairs));
        }
    }
}

impl CoxFit {
    /// Concordance over pairs within a stratum of which one row has the event while the other is at risk
    /// and stays free of it for longer (Harrell and others 1982), with the standard error of R survival's
    /// `concordance`. A row censored at a time outlives the events of that time; two events at one time
    /// are no pair. Takes n log n steps.
    ///
    /// `None` if no pair can be compared.
    ///
    /// ```
    /// use statistics::survival::{Cox, Spells};
    /// let x = [1.0, 0.0, 1.0, 0.0];
    /// let fit = Cox::new(Spells::new(&[1.0, 2.0, 3.0, 4.0], &[true; 4])?, vec![&x])?.fit()?;
    /// // Three pairs concordant, one discordant, two of equal risk: (3 + 1)/6.
    /// let concordance = fit.concordance().ok_or(statistics::StatError::NoEvents)?;
    /// assert!((concordance.value - 2.0 / 3.0).abs() < 1e-12);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn concordance(&self) -> Option<Concordance> {
        let strata: Vec<Ranked> = self.data.strata.iter().map(|stratum| Ranked::of(self, stratum)).collect();
        let mut pairs: Vec<Pairs> = vec![[0.0; 3]; self.n];
        strata.iter().for_each(|stratum| stratum.as_events(&mut pairs));
        // Each pair has been counted once, at its event.
        let mut totals = [0.0; 3];
        for (place, pairs) in pairs.iter().enumerate() {
            let weight = self.data.weight(place);
            totals.iter_mut().zip(pairs).for_each(|(total, pair)| *total += weight * pair);
        }
        let [concordant, tied_risk, discordant] = totals;
        let all = concordant + tied_risk + discordant;
        if all <= 0.0 {
            return None;
        }
        strata.iter().for_each(|stratum| stratum.as_survivors(&mut pairs));
        let value = (concordant + 0.5 * tied_risk) / all;
        let influence = |(place, [right, tied, wrong]): (usize, &Pairs)| {
            self.data.weight(place) * (right + 0.5 * tied - value * (right + tied + wrong)) / all
        };
        let influences = pairs.iter().enumerate().map(influence);
        let squares: f64 = match &self.data.cluster {
            None => influences.map(|own| own * own).sum(),
            Some(cluster) => {
                let mut sums = vec![0.0; self.data.cluster_limit()];
                influences.zip(cluster).for_each(|(own, cluster)| sums[*cluster as usize] += own);
                sums.iter().map(|sum| sum * sum).sum()
            }
        };
        let std_err = squares.sqrt();
        Some(Concordance { value, std_err, concordant, discordant, tied_risk })
    }
}

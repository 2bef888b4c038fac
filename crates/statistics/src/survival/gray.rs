//! Gray's test of equal cumulative incidence.
//!
//! The test and the form of its statistic are from Gray 1988, A class of K-sample tests for comparing
//! the cumulative incidence of a competing risk, Annals of Statistics 16:1141–1154. The paper was not at
//! hand; the steps below are worked out here from the martingales of the counting processes (Andersen,
//! Borgan, Gill and Keiding 1993, sections II.6 and IV.4).
//!
//! # Notation
//!
//! In group j: Y the number at risk, N the events of the cause under test, M the events of all other
//! causes, S the share free of every event, G the cumulative incidence of the cause and F that of all
//! others, so that S + G + F = 1. dΓ = dG/(1 − G) is the hazard of the subdistribution. The hypothesis is
//! that all groups have one G, called G₀. A value at `t−` is the one just before t. A dot is a sum over
//! groups. h = Y/S(t−).
//!
//! # The score
//!
//! R = Y (1 − G(t−))/S(t−) = h (1 − G(t−)) takes the place of the number at risk. The estimate of Aalen
//! and Johansen has dG = S(t−) dN/Y, so R dΓ = dN: with R as weights the pooled hazard is
//! dΓ₀ = Σ_j R_j dΓ_j / R. = dN./R. and the score of group k is
//!
//! > z_k = ∫ L R_k (dΓ_k − dΓ₀) = Σ_t L (dN_k − R_k dN./R.),  L = (1 − G₀(t−))^ρ.
//!
//! Without other causes R = Y, and the score is that of the log-rank test. G₀ is estimated by
//! dG₀ = Σ_j h_j dG_j / h. = dN./h., the mean of the groups' increments with weights h.
//!
//! # The score as a sum of martingales (worked out here)
//!
//! 1. Under the hypothesis z_k = Σ_j ∫ w_kj (dΓ_j − dΓ₀) with w_kj = L R_j (δ_kj − R_k/R.). This step is
//!    exact.
//! 2. Write X = Ĝ − G for the error of a group's estimate. To first order
//!    dΓ̂ − dΓ = dX/(1 − G) + X dG/(1 − G)² = [dX + X dΓ]/(1 − G).
//! 3. By Duhamel's equation X(t) is the sum over u ≤ t of
//!    S(u−) { dN − Y dA₁ − (dN + dM − Y dA) (G(t) − G(u))/S(u) } / Y, where A₁ is the hazard of the cause
//!    and A that of any event. The differences are martingale increments: dm₁ for the cause, dm₂ for the
//!    others. Since S(u−)/Y = 1/h, a group adds { dm₁ − (dm₁ + dm₂) (G(t) − G(u))/S(u) } / h to X(t).
//! 4. Put d_kj = w_kj/(1 − G₀) = L h_j (δ_kj − h_k/h.), where every G is G₀ as the hypothesis says, and
//!    C_kj(u) = Σ_{t > u} d_kj(t) dΓ₀(t). Insert step 3 into step 2, sum over t first, and collect what
//!    belongs to the increments at u. X enters at u with weight d_kj(u), and at each later t by
//!    d_kj dX(t) + d_kj X(t−) dΓ₀(t). For dm₁/h these are
//!    d_kj(u) − Σ d_kj dG₀/S(u) + Σ d_kj dΓ₀ {1 − (G₀(t−) − G₀(u))/S(u)}. With
//!    dG₀ = (1 − G₀(t−)) dΓ₀ the two sums join to C_kj(u) {1 − (1 − G₀(u))/S_j(u)}. For dm₂/h
//!    only the terms with S(u) remain. So
//!
//! > z_k ≈ Σ_j ∫ { d_kj + C_kj (1 − q_j) } dm₁/h_j − ∫ C_kj q_j dm₂/h_j,  q_j = (1 − G₀(u))/S_j(u).
//!
//! # The variance
//!
//! m₁ and m₂ are orthogonal. Under the hypothesis dm₁ has variance Y dA₁ = h dG₀; that of dm₂ is
//! estimated by dM. Both causes contribute:
//!
//! > V_kl = Σ_j Σ_u (d_kj + C_kj (1 − q_j)) (d_lj + C_lj (1 − q_j)) dG₀/h_j + C_kj C_lj q_j² dM_j/h_j².
//!
//! G₀ is the pooled estimate, S_j the group's own. Theory to first order leaves open which consistent
//! estimate takes the place of each G, and on which side of u it is evaluated. This choice follows the
//! sums of step 4, and it is the one that gives the numbers of R's `cmprsk` on data without ties; the
//! other choices tried changed chi-squared by about one per cent.
//!
//! The scores sum to 0 over groups, so V has rank K − 1 at
//! most; z' V⁻ z, without the rows that other rows explain, is compared with chi-squared with the rank as
//! degrees of freedom. With strata, z and V are computed within each stratum and added.
//!
//! # Rules
//!
//! - **Ties.** Events at one time are one step: h, R, L and d are those just before the time, S_j(u) and
//!   G₀(u) in q those after all of its events, and no factor corrects the variance for ties. With many
//!   ties the variance is therefore slightly too large and the test slightly cautious.
//! - **End of a group.** A group takes part until nobody in it is at risk or its S reaches 0.
//! - **End of G₀.** Where groups differ so much that the pooled estimate passes 1, 1 − G₀ is taken as 0.

use super::{CompetingRisks, competing::CauseTally, kaplan_meier::check_codes, spells, timeline::Timeline};
use crate::{
    error::{Result, StatError, same_length},
    estimate::ChiSquaredTest,
    matrix::{Matrix, quadratic},
    special::chi2_upper,
};

/// Result of Gray's test.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct GrayTest {
    /// The cause under test, from 1.
    pub cause: u32,
    /// Score of each group: weighted events less those expected if all groups had one cumulative incidence.
    pub scores: Vec<f64>,
    /// Covariance of the scores.
    pub variance: Matrix,
    /// Test statistic.
    pub chi2: f64,
    /// Degrees of freedom: groups that can be compared, less one.
    pub df: usize,
    /// Probability of a statistic at least this large if the cumulative incidences are equal.
    pub p: f64,
}

impl GrayTest {
    /// Statistic, degrees of freedom and p value.
    ///
    /// ```
    /// use statistics::survival::{CompetingRisks, gray_test};
    /// let data = CompetingRisks::new(&[1.0, 2.0, 3.0, 4.0], &[2, 1, 0, 0], 2)?;
    /// let gray = gray_test(&data, 1, &[0, 1, 0, 1], 2, None, 0.0)?;
    /// assert_eq!((gray.test().chi2, gray.test().df), (gray.chi2, 1));
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub const fn test(&self) -> ChiSquaredTest {
        ChiSquaredTest { chi2: self.chi2, df: self.df, p: self.p }
    }
}

/// Tests whether groups `0..groups` have one cumulative incidence of a cause (Gray 1988), within each of
/// the `strata` if there are any.
///
/// `rho` above 0 gives early differences more weight, (1 − G₀(t−))^ρ with G₀ the pooled incidence; 0 weighs
/// all times alike. A row that enters late counts as at risk from its start. Tied events are taken as
/// simultaneous, without a correction of the variance. The derivation is in the source of this module.
///
/// # Errors
/// Codes that do not match the rows, a cause out of range, a `rho` that is not finite, no event of the
/// cause, or no time at which two groups can be compared.
///
/// ```
/// use statistics::survival::{CompetingRisks, gray_test};
/// let data = CompetingRisks::new(&[1.0, 2.0, 3.0, 4.0], &[2, 1, 0, 0], 2)?;
/// let test = gray_test(&data, 1, &[0, 1, 0, 1], 2, None, 0.0)?;
/// // Score −1/2 and variance 5/16, worked out by hand.
/// assert!((test.scores[0] + 0.5).abs() < 1e-12);
/// assert!((test.chi2 - 0.8).abs() < 1e-12);
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn gray_test(
    data: &CompetingRisks,
    cause: u32,
    group: &[u32],
    groups: usize,
    strata: Option<&[u32]>,
    rho: f64,
) -> Result<GrayTest> {
    check_codes("the group", data.len(), group, groups)?;
    check(data, cause, rho)?;
    let mut sums = ScoreSums { scores: vec![0.0; groups], variance: Matrix::zeros(groups) };
    match strata {
        None => sums.add(&event_times(data, cause, group, groups), rho),
        Some(strata) => {
            same_length("the stratum", data.len(), strata.len())?;
            for rows in spells::rows_by_code(strata) {
                let part = Stratum::of(data, group, &rows);
                sums.add(&event_times(&part.data(data.causes), cause, &part.group, groups), rho);
            }
        }
    }
    let (chi2, df) = quadratic(&sums.variance, &sums.scores);
    if df == 0 {
        return Err(StatError::OneGroup);
    }
    let ScoreSums { scores, variance } = sums;
    Ok(GrayTest { cause, scores, variance, chi2, df, p: chi2_upper(chi2, df as f64) })
}

fn check(data: &CompetingRisks, cause: u32, rho: f64) -> Result<()> {
    if cause == 0 || cause as usize > data.causes {
        let range = "from 1 to the number of causes";
        return Err(StatError::Setting { what: "the cause", range, value: f64::from(cause) });
    }
    if !rho.is_finite() {
        return Err(StatError::Setting { what: "rho", range: "among the finite numbers", value: rho });
    }
    if data.cause.contains(&cause) { Ok(()) } else { Err(StatError::NoEvents) }
}

/// One group at one time.
struct AtRisk {
    /// Y/S just before the time; 0 where the group takes no part.
    h: f64,
    /// h (1 − G) just before the time.
    r: f64,
    /// Events of the cause.
    events: f64,
    /// Events of all other causes.
    others: f64,
    /// S after the time.
    survival: f64,
}

/// All groups at one time at which any event happens.
struct EventTime {
    groups: Vec<AtRisk>,
    /// 1 − G₀ just before the time, and after it.
    free_before: f64,
    free_after: f64,
}

/// S and G of one group.
#[derive(Clone)]
struct Curves {
    survival: f64,
    incidence: f64,
}

impl Curves {
    /// Advances over one time.
    fn step(&mut self, at_risk: f64, ends: &[f64], cause: u32) -> AtRisk {
        let takes_part = at_risk > 0.0 && self.survival > 0.0;
        let h = if takes_part { at_risk / self.survival } else { 0.0 };
        let r = h * (1.0 - self.incidence);
        let (mut events, mut others) = (0.0, 0.0);
        if takes_part {
            events = ends[cause as usize];
            others = ends.iter().skip(1).sum::<f64>() - events;
            self.incidence += events / h;
            self.survival *= (at_risk - events - others) / at_risk;
        }
        AtRisk { h, r, events, others, survival: self.survival }
    }
}

fn event_times(data: &CompetingRisks, cause: u32, group: &[u32], groups: usize) -> Vec<EventTime> {
    let timeline = Timeline::of(data.start, data.stop);
    let tally = |code: usize| CauseTally::of(data, &timeline, Some((group, code as u32)));
    let tallies: Vec<CauseTally> = (0..groups).map(tally).collect();
    let mut curves = vec![Curves { survival: 1.0, incidence: 0.0 }; groups];
    let mut times = Vec::new();
    let mut pooled = 0.0;
    for rank in 0..timeline.times.len() {
        let step = |(curves, tally): (&mut Curves, &CauseTally)| {
            curves.step(tally.at_risk[rank], tally.ends(rank), cause)
        };
        let at: Vec<AtRisk> = curves.iter_mut().zip(&tallies).map(step).collect();
        if at.iter().all(|group| group.events + group.others == 0.0) {
            continue;
        }
        let events: f64 = at.iter().map(|group| group.events).sum();
        let free_before = f64::max(1.0 - pooled, 0.0);
        pooled += events / at.iter().map(|group| group.h).sum::<f64>();
        times.push(EventTime { groups: at, free_before, free_after: f64::max(1.0 - pooled, 0.0) });
    }
    times
}

/// Scores and their covariance, added over strata.
struct ScoreSums {
    scores: Vec<f64>,
    variance: Matrix,
}

impl ScoreSums {
    fn add(&mut self, times: &[EventTime], rho: f64) {
        let groups = self.scores.len();
        // C_kj of the module's derivation, by j and then k; times descend, so it holds the later ones.
        let mut later = vec![0.0; groups * groups];
        for time in times.iter().rev() {
            let weight = time.free_before.powf(rho);
            self.add_scores(time, weight);
            for (j, later) in later.chunks_exact_mut(groups).enumerate() {
                self.add_variance(time, j, weight, later);
            }
        }
    }

    fn add_scores(&mut self, time: &EventTime, weight: f64) {
        let events: f64 = time.groups.iter().map(|group| group.events).sum();
        if events > 0.0 {
            let r: f64 = time.groups.iter().map(|group| group.r).sum();
            for (score, group) in self.scores.iter_mut().zip(&time.groups) {
                *score += weight * (group.events - group.r * events / r);
            }
        }
    }

    /// Adds what the increments of group `j` at one time contribute, and brings `later` up to this time.
    fn add_variance(&mut self, time: &EventTime, j: usize, weight: f64, later: &mut [f64]) {
        let own = &time.groups[j];
        if own.h == 0.0 {
            return;
        }
        let h: f64 = time.groups.iter().map(|group| group.h).sum();
        let events: f64 = time.groups.iter().map(|group| group.events).sum();
        // Where S has reached 0 the group has no later time, and `later` is 0.
        let q = if own.survival > 0.0 { time.free_after / own.survival } else { 0.0 };
        let d =
            |(k, group): (usize, &AtRisk)| weight * own.h * (if k == j { 1.0 } else { 0.0 } - group.h / h);
        let d: Vec<f64> = time.groups.iter().enumerate().map(d).collect();
        if events > 0.0 {
            let of_cause: Vec<f64> = d.iter().zip(&*later).map(|(d, later)| d + later * (1.0 - q)).collect();
            self.variance.add_square(&of_cause, events / h / own.h);
        }
        if own.others > 0.0 {
            let of_others: Vec<f64> = later.iter().map(|later| later * q).collect();
            self.variance.add_square(&of_others, own.others / (own.h * own.h));
        }
        if time.free_before > 0.0 {
            let hazard = events / h / time.free_before;
            later.iter_mut().zip(&d).for_each(|(later, d)| *later += d * hazard);
        }
    }
}

/// A copy of the rows of one stratum.
struct Stratum {
    start: Option<Vec<f64>>,
    stop: Vec<f64>,
    cause: Vec<u32>,
    group: Vec<u32>,
}

impl Stratum {
    fn of(data: &CompetingRisks, group: &[u32], rows: &[usize]) -> Self {
        let times = |values: &[f64]| rows.iter().map(|row| values[*row]).collect();
        let codes = |values: &[u32]| rows.iter().map(|row| values[*row]).collect();
        Self {
            start: data.start.map(times),
            stop: times(data.stop),
            cause: codes(data.cause),
            group: codes(group),
        }
    }

    fn data(&self, causes: usize) -> CompetingRisks<'_> {
        CompetingRisks { start: self.start.as_deref(), stop: &self.stop, cause: &self.cause, causes }
    }
}

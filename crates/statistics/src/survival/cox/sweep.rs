//! One pass over the risk sets of a Cox model.
//!
//! At every event time the pass reports the sums over the rows at risk and over the rows with the event,
//! and five scalars that hold Efron's correction for ties, so that a time with d events costs d divisions
//! instead of d matrices. Every estimate is computed from these.

use super::{
    Ties,
    prepared::{Block, Prepared},
    rows::Stretch,
};

/// The sums at one event time.
///
/// With a_k = S0 − f_k D0 the k-th denominator, f_k = k/d under Efron and 0 under Breslow, and v the
/// mean weight of the events (under Breslow one term with their whole weight):
pub(crate) struct Step<'a> {
    pub block: usize,
    /// Rows (or their weight) at risk.
    pub at_risk: f64,
    /// Weight of the events.
    pub events: f64,
    /// Σ v/a
    pub c1: f64,
    /// Σ v f/a
    pub c1f: f64,
    /// Σ v/a²
    pub c2: f64,
    /// Σ v f/a²
    pub c2f: f64,
    /// Σ v f²/a²
    pub c2ff: f64,
    /// Σ v log a
    pub log_sum: f64,
    /// Sums over the rows at risk: 1, z, upper triangle of z z', each times weight and e^η.
    pub live: &'a [f64],
    /// The same over the rows with the event.
    pub dead: &'a [f64],
    /// Weighted sum of η over the events.
    pub eta: f64,
    /// Weighted sum of z over the events.
    pub z: &'a [f64],
    /// The largest linear predictor, subtracted in every e^η to keep it in range.
    pub shift: f64,
}

/// Sums with their rounding errors, which matter when rows are also subtracted again.
struct Sums {
    value: Vec<f64>,
    lost: Vec<f64>,
    total: Vec<f64>,
}

impl Sums {
    fn new(size: usize) -> Self {
        Self { value: vec![0.0; size], lost: vec![0.0; size], total: vec![0.0; size] }
    }

    fn clear(&mut self) {
        self.value.fill(0.0);
        self.lost.fill(0.0);
    }

    /// Compensated addition (Neumaier 1974).
    fn add(&mut self, part: &[f64]) {
        for ((value, lost), part) in self.value.iter_mut().zip(&mut self.lost).zip(part) {
            let sum = *value + part;
            let back = sum - *value;
            *lost += (*value - (sum - back)) + (part - back);
            *value = sum;
        }
    }

    fn total(&mut self) -> &[f64] {
        for ((total, value), lost) in self.total.iter_mut().zip(&self.value).zip(&self.lost) {
            *total = value + lost;
        }
        &self.total
    }
}

/// Whether second moments are needed.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Moments {
    First,
    Second,
}

/// Length of the sums.
pub(crate) fn size(width: usize, moments: Moments) -> usize {
    match moments {
        Moments::First => 1 + width,
        Moments::Second => 1 + width + width * (width + 1) / 2,
    }
}

/// Adds `risk · (1, z, z z')` of every row of a stretch, and gives the weight of its rows.
///
/// `WIDTH` is the number of covariates if it is known at compile time, which is several times as fast,
/// else 0.
fn add_rows<const WIDTH: usize>(rows: &Stretch, at: &At, sums: &mut [f64]) -> f64 {
    let width = if WIDTH > 0 { WIDTH } else { at.beta.len() };
    let (Some(beta), Some(sums)) = (at.beta.get(..width), sums.get_mut(..size(width, at.moments))) else {
        return 0.0;
    };
    let mut total = 0.0;
    for (row, z) in rows.z.chunks_exact(width).enumerate() {
        let offset = rows.offset.map_or(0.0, |offset| offset[row]);
        let weight = rows.weight.map_or(1.0, |weight| weight[row]);
        let eta: f64 = offset + z.iter().zip(beta).map(|(z, beta)| z * beta).sum::<f64>();
        add_row(sums, z, weight * (eta - at.shift).exp(), at.moments);
        total += weight;
    }
    total
}

#[inline(always)]
fn add_row(sums: &mut [f64], z: &[f64], risk: f64, moments: Moments) {
    sums[0] += risk;
    let width = z.len();
    let (first, second) = sums[1..].split_at_mut(width);
    for (sum, z) in first.iter_mut().zip(z) {
        *sum += risk * z;
    }
    if moments == Moments::Second {
        let mut rest = second;
        for (i, left) in z.iter().enumerate() {
            let (row, behind) = rest.split_at_mut(width - i);
            let part = risk * left;
            for (sum, right) in row.iter_mut().zip(&z[i..]) {
                *sum += part * right;
            }
            rest = behind;
        }
    }
}

/// The coefficients at which the sums are computed.
struct At<'a> {
    beta: &'a [f64],
    shift: f64,
    moments: Moments,
}

type AddRows = fn(&Stretch, &At, &mut [f64]) -> f64;

fn adder(width: usize) -> AddRows {
    match width {
        1 => add_rows::<1>,
        2 => add_rows::<2>,
        3 => add_rows::<3>,
        4 => add_rows::<4>,
        5 => add_rows::<5>,
        6 => add_rows::<6>,
        7 => add_rows::<7>,
        8 => add_rows::<8>,
        _ => add_rows::<0>,
    }
}

/// The state of a pass.
struct Pass<'a> {
    data: &'a Prepared,
    at: At<'a>,
    add: AddRows,
    /// Over the rows at risk.
    live: Sums,
    /// Over the rows with the event at the present time.
    dead: Vec<f64>,
    /// Over the rows that are added or removed at the present time.
    part: Vec<f64>,
    z: Vec<f64>,
    at_risk: f64,
    rows: usize,
}

/// Runs through all risk sets, times descending within each stratum from the last, and calls `visit` at
/// each time with an event.
pub(crate) fn sweep(
    data: &Prepared,
    beta: &[f64],
    ties: Ties,
    moments: Moments,
    mut visit: impl FnMut(&Step),
) {
    let zeros = vec![0.0; size(data.width, moments)];
    let mut pass = Pass {
        data,
        at: At { beta, shift: largest(data, beta), moments },
        add: adder(data.width),
        live: Sums::new(zeros.len()),
        dead: zeros.clone(),
        part: zeros,
        z: vec![0.0; data.width],
        at_risk: 0.0,
        rows: 0,
    };
    let mut gone = 0;
    for stratum in data.strata.iter().rev() {
        pass.clear();
        for block in stratum.clone().rev() {
            gone = pass.take_out(block, gone);
            pass.time(block, ties, &mut visit);
        }
        // Rows that enter in the first block are never removed.
        gone = data.late.as_ref().map_or(0, |late| late.behind(stratum.start, gone));
    }
}

/// The shift of η if e^η could overflow; else 0, so that results do not depend on it.
fn largest(data: &Prepared, beta: &[f64]) -> f64 {
    let (reach, offset) = &data.reach;
    let bound: f64 = offset + beta.iter().zip(reach).map(|(beta, reach)| beta.abs() * reach).sum::<f64>();
    if bound < 200.0 {
        return 0.0;
    }
    (0..data.order.len()).map(|place| data.eta(place, beta)).fold(f64::NEG_INFINITY, f64::max)
}

impl Pass<'_> {
    fn clear(&mut self) {
        self.live.clear();
        self.at_risk = 0.0;
        self.rows = 0;
    }

    /// Removes the rows that enter only after this time.
    fn take_out(&mut self, block: usize, gone: usize) -> usize {
        let Some(late) = &self.data.late else { return gone };
        let until = late.behind(block + 1, gone);
        if until > gone {
            self.part.fill(0.0);
            self.at_risk -= (self.add)(&late.rows.stretch(gone..until), &self.at, &mut self.part);
            self.rows -= until - gone;
            self.part.iter_mut().for_each(|part| *part = -*part);
            self.live.add(&self.part);
            if self.rows == 0 {
                self.clear();
            }
        }
        until
    }

    fn time(&mut self, block: usize, ties: Ties, visit: &mut impl FnMut(&Step)) {
        let at = self.data.blocks[block];
        self.rows += at.end - at.begin;
        if !at.censored().is_empty() {
            self.part.fill(0.0);
            self.at_risk += (self.add)(&self.data.rows.stretch(at.censored()), &self.at, &mut self.part);
            self.live.add(&self.part);
        }
        if !at.deaths().is_empty() {
            self.events(block, &at, ties, visit);
        }
    }

    fn events(&mut self, block: usize, at: &Block, ties: Ties, visit: &mut impl FnMut(&Step)) {
        let rows = self.data.rows.stretch(at.deaths());
        self.dead.fill(0.0);
        let events = (self.add)(&rows, &self.at, &mut self.dead);
        self.live.add(&self.dead);
        self.at_risk += events;
        let eta = self.event_sums(&rows) - events * self.at.shift;
        let live = self.live.total();
        let parts = Parts::of(ties, at.deaths().len(), events, live[0], self.dead[0]);
        visit(&Step {
            block,
            at_risk: self.at_risk,
            events,
            c1: parts.c1,
            c1f: parts.c1f,
            c2: parts.c2,
            c2f: parts.c2f,
            c2ff: parts.c2ff,
            log_sum: parts.log_sum,
            live,
            dead: &self.dead,
            eta,
            z: &self.z,
            shift: self.at.shift,
        });
    }

    /// Weighted sums of z, and of the linear predictor, over the rows with the event.
    fn event_sums(&mut self, rows: &Stretch) -> f64 {
        self.z.fill(0.0);
        let mut offsets = 0.0;
        for (row, z) in rows.z.chunks_exact(self.z.len()).enumerate() {
            let weight = rows.weight.map_or(1.0, |weight| weight[row]);
            offsets += weight * rows.offset.map_or(0.0, |offset| offset[row]);
            self.z.iter_mut().zip(z).for_each(|(sum, z)| *sum += weight * z);
        }
        offsets + crate::matrix::dot(&self.z, self.at.beta)
    }
}

#[derive(Default)]
struct Parts {
    c1: f64,
    c1f: f64,
    c2: f64,
    c2f: f64,
    c2ff: f64,
    log_sum: f64,
}

impl Parts {
    fn of(ties: Ties, deaths: usize, weight: f64, s0: f64, d0: f64) -> Self {
        match ties {
            Ties::Efron if deaths > 1 => Self::efron(deaths, weight, s0, d0),
            _ => Self { c1: weight / s0, c2: weight / s0 / s0, log_sum: weight * s0.ln(), ..Self::default() },
        }
    }

    fn efron(deaths: usize, weight: f64, s0: f64, d0: f64) -> Self {
        let mut parts = Self::default();
        let each = weight / deaths as f64;
        let step = 1.0 / deaths as f64;
        // One logarithm of a product instead of many; the product is restarted before it underflows.
        let (mut product, mut logs) = (1.0, 0.0);
        for k in 0..deaths {
            let f = k as f64 * step;
            let share = 1.0 - f * (d0 / s0);
            let one = 1.0 / (s0 * share);
            parts.c1 += one;
            parts.c1f += f * one;
            parts.c2 += one * one;
            parts.c2f += f * one * one;
            parts.c2ff += f * f * one * one;
            product *= share;
            if product < 1e-200 {
                logs += f64::ln(product);
                product = 1.0;
            }
        }
        parts.log_sum = logs + f64::ln(product) + deaths as f64 * s0.ln();
        for sum in [
            &mut parts.c1,
            &mut parts.c1f,
            &mut parts.c2,
            &mut parts.c2f,
            &mut parts.c2ff,
            &mut parts.log_sum,
        ] {
            *sum *= each;
        }
        parts
    }
}

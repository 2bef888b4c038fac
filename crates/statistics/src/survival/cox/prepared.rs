//! The rows of a Cox model, sorted once so that every pass reads memory in order.

use super::{Cox, rows::Rows};
use crate::{
    error::{Result, StatError},
    survival::timeline::Timeline,
};
use std::ops::Range;

/// Rows of one stratum that end at the same time, those with the event first.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Block {
    pub time: f64,
    pub stratum: u32,
    pub begin: usize,
    /// First place after the events.
    pub dead: usize,
    pub end: usize,
}

impl Block {
    pub fn deaths(&self) -> Range<usize> {
        self.begin..self.dead
    }

    pub fn censored(&self) -> Range<usize> {
        self.dead..self.end
    }
}

/// Rows sorted by stratum, time and event; covariates centred and scaled to a standard deviation of 1.
#[derive(Debug, Clone)]
pub(crate) struct Prepared {
    /// Covariates.
    pub width: usize,
    /// The row at each place.
    pub order: Vec<u32>,
    /// The rows, place by place.
    pub rows: Rows,
    /// The cluster code of each place, as given by the caller.
    pub cluster: Option<Vec<u32>>,
    pub blocks: Vec<Block>,
    /// Blocks of each stratum, times ascending.
    pub strata: Vec<Range<usize>>,
    /// The codes of the strata, as given by the caller; empty without strata.
    pub stratum_codes: Vec<u32>,
    pub late: Option<Late>,
    pub centre: Vec<f64>,
    pub scale: Vec<f64>,
    /// The largest |z| of each covariate, and the largest |offset|.
    pub reach: (Vec<f64>, f64),
}

/// Late entry.
#[derive(Debug, Clone)]
pub(crate) struct Late {
    /// For each place the first block in which it is at risk.
    pub entry: Vec<u32>,
    /// Entries in descending order, and the rows in that order: the order in which a pass back in time
    /// removes them.
    pub leaving: Vec<u32>,
    pub rows: Rows,
    /// For each place the first time of any stratum at which it is at risk.
    pub first_time: Vec<f64>,
}

impl Late {
    /// The first place in the order of leaving, from `gone` on, that is at risk before `block`.
    pub fn behind(&self, block: usize, mut gone: usize) -> usize {
        while self.leaving.get(gone).is_some_and(|entry| *entry as usize >= block) {
            gone += 1;
        }
        gone
    }
}

impl Prepared {
    pub fn of(cox: &Cox) -> Result<Self> {
        let (centre, scale) = spread(cox)?;
        let timeline = Timeline::of(cox.spells.start, cox.spells.stop);
        let (strata_codes, stratum_codes) = cox.strata.map(compact).unwrap_or_default();
        let order = sort(cox, &timeline, &strata_codes, stratum_codes.len().max(1));
        let (blocks, strata) = blocks(cox, &timeline, &strata_codes, &order);
        let width = cox.columns.len();
        let rows = Rows::of(cox, &order, &centre, &scale);
        let late = timeline.enter.is_some().then(|| late(&timeline, &order, &blocks, &strata, &rows));
        let cluster = cox.cluster.map(|codes| order.iter().map(|row| codes[*row as usize]).collect());
        let mut most = vec![0.0_f64; width];
        for row in rows.z.chunks_exact(width) {
            most.iter_mut().zip(row).for_each(|(most, z)| *most = most.max(z.abs()));
        }
        let reach = (most, cox.offset.map_or(0.0, |offset| offset.iter().fold(0.0, |a, b| b.abs().max(a))));
        Ok(Self { width, rows, cluster, blocks, strata, stratum_codes, late, centre, scale, reach, order })
    }

    pub fn row(&self, place: usize) -> &[f64] {
        &self.rows.z[place * self.width..(place + 1) * self.width]
    }

    pub fn weight(&self, place: usize) -> f64 {
        self.rows.weight.as_ref().map_or(1.0, |weight| weight[place])
    }

    /// One more than the largest cluster code.
    pub fn cluster_limit(&self) -> usize {
        let most = self.cluster.as_ref().and_then(|codes| codes.iter().max());
        most.map_or(0, |most| *most as usize + 1)
    }

    /// The linear predictor of a place at scaled coefficients.
    pub fn eta(&self, place: usize, beta: &[f64]) -> f64 {
        let offset = self.rows.offset.as_ref().map_or(0.0, |offset| offset[place]);
        offset + crate::matrix::dot(self.row(place), beta)
    }

    /// The first block in which a place of a stratum is at risk.
    pub fn entry(&self, place: usize, stratum: &Range<usize>) -> usize {
        self.late.as_ref().map_or(stratum.start, |late| late.entry[place] as usize)
    }
}

/// Mean and standard deviation of each covariate.
fn spread(cox: &Cox) -> Result<(Vec<f64>, Vec<f64>)> {
    let n = cox.spells.len() as f64;
    let (mut centres, mut scales) = (Vec::new(), Vec::new());
    for (column, values) in cox.columns.iter().enumerate() {
        let first = values[0];
        // Differences from the first value, so that a large common offset is not squared.
        let (mut sum, mut squares) = (0.0, 0.0);
        for value in *values {
            sum += value - first;
            squares += (value - first) * (value - first);
        }
        let variance = squares / n - (sum / n) * (sum / n);
        if squares == 0.0 {
            return Err(StatError::Constant { column });
        }
        centres.push(first + sum / n);
        scales.push(if variance > 0.0 { variance.sqrt() } else { (squares / n).sqrt() });
    }
    Ok((centres, scales))
}

/// Codes renumbered from 0 without gaps, in their order, and the distinct codes.
fn compact(codes: &[u32]) -> (Vec<u32>, Vec<u32>) {
    let mut distinct = codes.to_vec();
    distinct.sort_unstable();
    distinct.dedup();
    let place = |code: &u32| distinct.partition_point(|known| known < code) as u32;
    (codes.iter().map(place).collect(), distinct)
}

/// Rows sorted by stratum, time, and event before censoring; by counting if there are few keys.
fn sort(cox: &Cox, timeline: &Timeline, strata: &[u32], strata_count: usize) -> Vec<u32> {
    let times = timeline.times.len() as u64;
    let key = |row: usize| {
        let stratum = strata.get(row).map_or(0, |code| u64::from(*code));
        (stratum * times + u64::from(timeline.stop[row])) * 2 + u64::from(!cox.spells.event[row])
    };
    let rows = cox.spells.len();
    let keys = strata_count as u64 * times * 2;
    if keys > (4 * rows + 65_536) as u64 {
        let mut order: Vec<u32> = (0..rows as u32).collect();
        order.sort_by_key(|row| key(*row as usize));
        return order;
    }
    let mut next = vec![0_u32; keys as usize + 1];
    (0..rows).for_each(|row| next[key(row) as usize + 1] += 1);
    for at in 1..next.len() {
        next[at] += next[at - 1];
    }
    let mut order = vec![0_u32; rows];
    for row in 0..rows {
        let place = &mut next[key(row) as usize];
        order[*place as usize] = row as u32;
        *place += 1;
    }
    order
}

fn blocks(cox: &Cox, timeline: &Timeline, strata: &[u32], order: &[u32]) -> (Vec<Block>, Vec<Range<usize>>) {
    let stratum = |row: u32| strata.get(row as usize).copied().unwrap_or(0);
    let together = |a: &u32, b: &u32| {
        stratum(*a) == stratum(*b) && timeline.stop[*a as usize] == timeline.stop[*b as usize]
    };
    let (mut blocks, mut ranges, mut begin) = (Vec::<Block>::new(), Vec::<Range<usize>>::new(), 0);
    for rows in order.chunk_by(together) {
        let dead = rows.iter().filter(|row| cox.spells.event[**row as usize]).count();
        let time = timeline.times[timeline.stop[rows[0] as usize] as usize];
        let block =
            Block { time, stratum: stratum(rows[0]), begin, dead: begin + dead, end: begin + rows.len() };
        if blocks.last().is_none_or(|last| last.stratum != block.stratum) {
            ranges.push(blocks.len()..blocks.len());
        }
        blocks.push(block);
        if let Some(range) = ranges.last_mut() {
            range.end = blocks.len();
        }
        begin += rows.len();
    }
    (blocks, ranges)
}

/// Late entry in terms of the blocks of each stratum.
fn late(timeline: &Timeline, order: &[u32], blocks: &[Block], strata: &[Range<usize>], rows: &Rows) -> Late {
    let mut entry = vec![0_u32; order.len()];
    let mut table = vec![0_u32; timeline.times.len() + 1];
    for range in strata {
        let mut next = range.start;
        let few = range.len() * 8 < timeline.times.len();
        if !few {
            for (rank, slot) in table.iter_mut().enumerate().take(timeline.times.len()) {
                while next < range.end && blocks[next].time < timeline.times[rank] {
                    next += 1;
                }
                *slot = next as u32;
            }
        }
        for place in blocks[range.start].begin..blocks[range.end - 1].end {
            let rank = timeline.entry(order[place] as usize);
            entry[place] = if few {
                let time = timeline.times[rank];
                (range.start + blocks[range.clone()].partition_point(|block| block.time < time)) as u32
            } else {
                table[rank]
            };
        }
    }
    let ranks = crate::survival::clustered::rows_by_rank(&entry, blocks.len());
    let places: Vec<u32> =
        (0..blocks.len()).rev().flat_map(|block| ranks.rows(block).iter().copied()).collect();
    let leaving = places.iter().map(|place| entry[*place as usize]).collect();
    let rows = rows.reorder(&places);
    let first_time = order.iter().map(|row| timeline.times[timeline.entry(*row as usize)]).collect();
    Late { entry, leaving, rows, first_time }
}

//! The visits to come, for the dashed fan: the scores that will be written, among feet still in casts by then.

use super::now::{ChildNow, FootNow};
use super::outcomes::{Next, step};
use super::tables::Tables;
use super::{Band, PathPoint, windows};
use crate::filter::{MIDFOOT_STATES, Midfoot, cells, hindfoot};
use crate::natural_history::classes::{CLASSES, PACE};
use crate::whole_days::visits_to_days;

/// Visits that a smaller share of feet reaches are left out.
const REACHED: f64 = 0.1;
/// The largest number of visits.
const MOST: usize = 12;

/// Feet of one pace: weights of the joint midfoot levels of those still in casts.
struct Flow {
    pace: usize,
    midfoot: Midfoot,
}

/// The visits to come.
pub(crate) fn path(tables: &Tables, now: &ChildNow<'_>, foot: &FootNow<'_>) -> Vec<PathPoint> {
    let (mut flows, mut hinds) = (flows(foot), hinds(foot));
    let mut points = Vec::new();
    let mut decide = if foot.next == Next::First { &tables.decide_first } else { &tables.decide };
    for cast_visit in 1..=MOST {
        if cast_visit > 1 || foot.next == Next::AfterCast {
            advance(tables, &mut flows, &mut hinds);
        }
        let reached: f64 = flows.iter().flat_map(|flow| flow.midfoot).sum();
        if reached < REACHED {
            break;
        }
        points.extend(point(tables, now, cast_visit, reached.min(1.0), &flows, &hinds));
        for flow in &mut flows {
            flow.midfoot.iter_mut().zip(decide).for_each(|(chance, decide)| *chance *= 1.0 - decide);
        }
        decide = &tables.decide;
    }
    points
}

fn flows(foot: &FootNow<'_>) -> Vec<Flow> {
    let mut flows: Vec<Flow> =
        (0..PACE.len()).map(|pace| Flow { pace, midfoot: [0.0; MIDFOOT_STATES] }).collect();
    for (class, weight) in foot.weights.iter().enumerate().filter(|(_, weight)| **weight > 1e-6) {
        let joint = foot.chains.midfoot(class);
        let flow = &mut flows[class % PACE.len()].midfoot;
        flow.iter_mut().zip(&joint).for_each(|(into, chance)| *into += weight * chance);
    }
    flows.retain(|flow| flow.midfoot.iter().sum::<f64>() > 1e-6);
    flows
}

/// A class with its weight and its levels of the hindfoot signs.
type Hind = (usize, f64, [crate::natural_history::signs::Levels; 3]);

fn hinds(foot: &FootNow<'_>) -> Vec<Hind> {
    let classes = (0..CLASSES).filter(|class| foot.weights[*class] > 1e-4);
    classes.map(|class| (class, foot.weights[class], hindfoot(&foot.chains, class))).collect()
}

fn advance(tables: &Tables, flows: &mut [Flow], hinds: &mut [Hind]) {
    for flow in flows {
        flow.midfoot = tables.kernel.after_cast(flow.pace, &flow.midfoot);
    }
    for (class, _, hind) in hinds {
        step(tables, *class, hind);
    }
}

fn point(
    tables: &Tables,
    now: &ChildNow<'_>,
    cast_visit: usize,
    reached: f64,
    flows: &[Flow],
    hinds: &[Hind],
) -> Option<PathPoint> {
    let (mut midfoot, mut hindfoot, mut total) = ([0.0; 7], [0.0; 7], [0.0; 13]);
    for flow in flows {
        let mid = midfoot_written(tables, &flow.midfoot);
        let hind = hindfoot_written(tables, flow.pace, hinds);
        let weight: f64 = mid.iter().sum();
        for (m, first) in mid.iter().enumerate() {
            midfoot[m] += first;
            for (h, second) in hind.iter().enumerate() {
                total[m + h] += first * second;
            }
        }
        hindfoot.iter_mut().zip(hind).for_each(|(into, chance)| *into += weight * chance);
    }
    let mut weights = vec![0.0; cast_visit];
    weights[cast_visit - 1] = 1.0;
    let days = visits_to_days(&weights, &now.first, &tables.interval_brief);
    Some(PathPoint {
        cast_visit,
        day: now.as_of + windows::median(&days) as i32,
        reached,
        midfoot: Band::of(&midfoot)?,
        hindfoot: Band::of(&hindfoot)?,
        total: Band::of(&total)?,
    })
}

fn midfoot_written(tables: &Tables, levels: &Midfoot) -> [f64; 7] {
    let mut written = [0.0; 7];
    for (weight, row) in levels.iter().zip(&tables.kernel.midfoot_written) {
        written.iter_mut().zip(row).for_each(|(into, chance)| *into += weight * chance);
    }
    written
}

/// Chances of the written hindfoot score among feet of this pace, summing to 1.
fn hindfoot_written(tables: &Tables, pace: usize, hinds: &[Hind]) -> [f64; 7] {
    let mut written = [0.0; 7];
    for (_, weight, hind) in hinds.iter().filter(|(class, ..)| class % PACE.len() == pace) {
        let given = cells(hind, &tables.kernel.given, [None; 3]);
        for (into, row) in written.iter_mut().zip(given) {
            *into += weight * row.iter().sum::<f64>();
        }
    }
    let sum: f64 = written.iter().sum();
    if sum > 0.0 { written.map(|chance| chance / sum) } else { written }
}

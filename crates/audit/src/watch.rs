//! A share watched child by child: a cumulative sum of log likelihood ratios for a rise of the odds
//! (Steiner, Cook, Farewell and Treasure 2000), its limit chosen by how often a false alarm is borne.
//!
//! Each child counts once, by the worse of its feet, on the day its outcome was settled, so that two feet
//! of one child are never two trials and children still on the way do not make the last weeks look good.

use crate::{Cases, Clinic, Measure, Selection, VERSION};
use record::{ChildId, Day};
use serde::Serialize;
use statistics::control::BernoulliCusum;
use std::collections::BTreeMap;

/// Days after time zero at which an outcome by time is settled.
const YEAR: i32 = 365;
/// Days after the first cast at which problems with casts are counted.
const CASTING: i32 = 182;
/// Odds ratios that can be watched for.
pub const ODDS: [f64; 3] = [1.5, 2.0, 3.0];
/// Children between two false alarms that can be chosen.
pub const EVERY: [u32; 4] = [50, 100, 200, 500];

/// What is watched, and for what.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Design {
    /// Share that is acceptable, 0 to 1.
    pub acceptable: f64,
    /// Odds ratio to be found.
    pub odds_ratio: f64,
    /// Children between two false alarms, on average, while the share is acceptable.
    pub every: u32,
}

impl Design {
    /// The share that is to be found: the acceptable one with its odds raised.
    #[must_use]
    pub fn to_find(self) -> f64 {
        let odds = self.odds_ratio * self.acceptable / (1.0 - self.acceptable);
        odds / (1.0 + odds)
    }
}

/// One child.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WatchPoint {
    /// The day its outcome was settled.
    pub on: Day,
    /// Whether the event was seen.
    pub event: bool,
    /// The sum so far.
    pub sum: f64,
    /// Whether it stands above the limit.
    pub alarm: bool,
}

/// A share watched.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Watch {
    /// As of which day.
    pub as_of: Day,
    /// By which version.
    pub version: &'static str,
    /// For what.
    pub design: Design,
    /// Limit of the sum.
    pub limit: f64,
    /// Children until an alarm, on average, once the share is the one to be found.
    pub found_after: f64,
    /// Children in the order in which their outcomes were settled.
    pub points: Vec<WatchPoint>,
    /// Events.
    pub events: usize,
    /// Children left out because their outcome is not settled, or never will be.
    pub left_out: usize,
}

impl Measure {
    /// What is watched of this measure, child by child; `None` where it is no share.
    #[must_use]
    pub const fn watched(self) -> Option<&'static str> {
        match self {
            Self::Tenotomy => {
                Some("children of whom a foot had a tenotomy, on the day the last foot was braced")
            }
            Self::CastProblems => {
                Some("children with any problem of a cast, half a year after the first cast")
            }
            Self::Relapse => Some(
                "children of whom a foot relapsed within a year of the brace, a year after it; children who dropped out or left within the year, or came in a brace, are left out",
            ),
            Self::DropOut => Some(
                "children who dropped out within a year of the first cast, a year after it; children who left otherwise within the year are left out",
            ),
            _ => None,
        }
    }

    /// Acceptable shares that are offered beside the clinic's own, in per cent: round numbers, because no
    /// published series gives this share at this time.
    #[must_use]
    pub const fn acceptable_choices(self) -> &'static [u32] {
        match self {
            Self::Tenotomy => &[60, 70, 80, 90],
            _ => &[5, 10, 15, 20, 30],
        }
    }
}

/// The outcome of a child: when it is settled, and whether the event was seen. `None` where it is not, or
/// never will be.
fn settled(measure: Measure, case: &crate::Case, as_of: i32) -> Option<(i32, bool)> {
    let by_a_year = || {
        let on = case.zero + YEAR;
        let event = case.cause == 1 && case.time <= YEAR;
        // Who enters late was not watched from the brace on.
        (case.enter == 0 && on <= as_of && (event || case.time >= YEAR)).then_some((on, event))
    };
    match measure {
        Measure::Tenotomy => Some((case.at, case.value > 0.0)),
        Measure::CastProblems => {
            let on = case.zero + CASTING;
            (on <= as_of).then_some((on, case.value > 0.0))
        }
        Measure::Relapse | Measure::DropOut => by_a_year(),
        _ => None,
    }
}

/// Each child's outcome, in the order in which they were settled, and how many children were left out.
fn outcomes(clinic: &Clinic, selection: &Selection, measure: Measure) -> (Vec<(i32, bool)>, usize) {
    let Cases { cases, .. } = Cases::of(clinic, selection, measure);
    let mut children: BTreeMap<ChildId, Option<(i32, bool)>> = BTreeMap::new();
    for case in &cases {
        let Some(child) = clinic.children.get(case.child as usize) else { continue };
        let own = settled(measure, case, clinic.as_of.number());
        let so_far = children.entry(child.child).or_insert(None);
        *so_far = match (*so_far, own) {
            (Some(one), Some(other)) => Some((one.0.max(other.0), one.1 || other.1)),
            (one, other) => one.or(other),
        };
    }
    let left_out = children.values().filter(|outcome| outcome.is_none()).count();
    // Of one day in the order of ids, so that the order of reading changes nothing.
    let mut settled: Vec<(i32, bool)> = children.into_values().flatten().collect();
    settled.sort_by_key(|(on, _)| *on);
    (settled, left_out)
}

/// The clinic's own share of children, where it lies between none and all.
#[must_use]
pub fn own_share(clinic: &Clinic, selection: &Selection, measure: Measure) -> Option<f64> {
    let (outcomes, _) = outcomes(clinic, selection, measure);
    let events = outcomes.iter().filter(|(_, event)| *event).count();
    (events > 0 && events < outcomes.len()).then(|| events as f64 / outcomes.len() as f64)
}

impl Watch {
    /// Watches a share.
    ///
    /// # Errors
    /// One sentence, where nobody's outcome is settled or no limit gives so many children between alarms.
    pub fn of(
        clinic: &Clinic,
        selection: &Selection,
        measure: Measure,
        design: Design,
    ) -> Result<Self, String> {
        let (outcomes, left_out) = outcomes(clinic, selection, measure);
        if outcomes.is_empty() {
            return Err("No child’s outcome is settled yet, so there is nothing to watch.".to_owned());
        }
        let no_limit = |_| {
            "No limit gives so many children between two false alarms at this share. Choose another."
                .to_owned()
        };
        let Design { acceptable, odds_ratio, every } = design;
        let chart = BernoulliCusum::limit_for(odds_ratio, acceptable, every.into()).map_err(no_limit)?;
        let found_after = chart.average_run_length(acceptable, design.to_find()).map_err(no_limit)?;
        let events: Vec<bool> = outcomes.iter().map(|(_, event)| *event).collect();
        let sums = chart.run(&events, &vec![acceptable; events.len()]).map_err(no_limit)?;
        let point = |((on, event), sum): (&(i32, bool), &statistics::control::CusumPoint)| WatchPoint {
            on: Day::from_number(*on),
            event: *event,
            sum: sum.high,
            alarm: sum.alarm,
        };
        Ok(Self {
            as_of: clinic.as_of,
            version: VERSION,
            design,
            limit: chart.h,
            found_after,
            points: outcomes.iter().zip(&sums).map(point).collect(),
            events: events.iter().filter(|event| **event).count(),
            left_out,
        })
    }

    /// The first child above the limit of each stretch above it.
    #[must_use]
    pub fn alarms(&self) -> Vec<WatchPoint> {
        let mut alarms = Vec::new();
        let mut above = false;
        for point in &self.points {
            if point.alarm && !above {
                alarms.push(*point);
            }
            above = point.alarm;
        }
        alarms
    }
}

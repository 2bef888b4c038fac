//! A share monitored child by child: a cumulative sum (CUSUM) of log likelihood ratios for a rise of the
//! odds (Steiner, Cook, Farewell and Treasure 2000), with a limit chosen by the acceptable rate of false
//! alarms.
//!
//! Each child counts once, by the worse of its feet, on the day its outcome became known, so that two feet
//! of one child are never two trials and children still in treatment do not make the last weeks look good.

use crate::{Cases, ClinicHistory, Measure, Selection, VERSION};
use record::{ChildId, Day};
use serde::Serialize;
use statistics::control::BernoulliCusum;
use std::collections::BTreeMap;

/// Days after time zero at which an outcome within a year is known.
const YEAR: i32 = 365;
/// Days after the first cast at which problems with casts are counted.
const CASTING: i32 = 182;
/// Odds ratios that can be chosen for detection.
pub const ODDS: [f64; 3] = [1.5, 2.0, 3.0];
/// Numbers of children between two false alarms that can be chosen.
pub const EVERY: [u32; 4] = [50, 100, 200, 500];

/// The design of the monitoring.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WatchDesign {
    /// Acceptable share, 0 to 1.
    pub acceptable: f64,
    /// Odds ratio to be detected.
    pub odds_ratio: f64,
    /// Children between two false alarms, on average, while the share is acceptable.
    pub every: u32,
}

impl WatchDesign {
    /// The share to be detected: the acceptable one with its odds multiplied by the odds ratio.
    #[must_use]
    pub fn to_find(self) -> f64 {
        let odds = self.odds_ratio * self.acceptable / (1.0 - self.acceptable);
        odds / (1.0 + odds)
    }
}

/// One child of a monitored share.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WatchPoint {
    /// The day its outcome became known.
    pub on: Day,
    /// Whether the event occurred.
    pub event: bool,
    /// The sum so far.
    pub sum: f64,
    /// Whether the sum is above the limit.
    pub alarm: bool,
}

/// A monitored share.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Watch {
    /// The as-of day.
    pub as_of: Day,
    /// The version of the program.
    pub version: &'static str,
    /// The design.
    pub design: WatchDesign,
    /// Limit of the sum.
    pub limit: f64,
    /// Mean number of children until an alarm once the share is the one to be detected.
    pub found_after: f64,
    /// Children in the order in which their outcomes became known.
    pub points: Vec<WatchPoint>,
    /// Events.
    pub events: usize,
    /// Children left out because their outcome is not known yet, or never will be.
    pub left_out: usize,
}

impl Measure {
    /// What is monitored child by child for this measure; `None` if it cannot be monitored.
    #[must_use]
    pub const fn watched(self) -> Option<&'static str> {
        match self {
            Self::Tenotomy => {
                Some("children with a tenotomy of at least one foot, on the day the last foot was braced")
            }
            Self::CastProblems => Some("children with any cast problem, half a year after the first cast"),
            Self::Relapse => Some(
                "children with a relapse of at least one foot within a year of the brace, a year after it; children who dropped out or left within the year, or arrived in a brace, are left out",
            ),
            Self::DropOut => Some(
                "children who dropped out within a year of the first cast, a year after it; children who left in another way within the year are left out",
            ),
            _ => None,
        }
    }

    /// Acceptable shares offered in addition to the clinic's own, in per cent: round numbers, because no
    /// published series gives this share at this time.
    #[must_use]
    pub const fn acceptable_choices(self) -> &'static [u32] {
        match self {
            Self::Tenotomy => &[60, 70, 80, 90],
            _ => &[5, 10, 15, 20, 30],
        }
    }
}

/// The outcome of a child: the day it became known, and whether the event occurred. `None` if it is not
/// known, or never will be.
fn settled(measure: Measure, case: &crate::Case, as_of: i32) -> Option<(i32, bool)> {
    let by_a_year = || {
        let on = case.zero + YEAR;
        let event = case.cause == 1 && case.time <= YEAR;
        // A case with late entry was not observed from the brace on.
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

/// The outcome of each child, in the order in which they became known, and the number of children left out.
fn outcomes(clinic: &ClinicHistory, selection: &Selection, measure: Measure) -> (Vec<(i32, bool)>, usize) {
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
    // Within a day the order is that of the ids, so that the order of reading does not matter.
    let mut settled: Vec<(i32, bool)> = children.into_values().flatten().collect();
    settled.sort_by_key(|(on, _)| *on);
    (settled, left_out)
}

/// The clinic's own share of children; `None` if it is 0 or 1.
#[must_use]
pub fn own_share(clinic: &ClinicHistory, selection: &Selection, measure: Measure) -> Option<f64> {
    let (outcomes, _) = outcomes(clinic, selection, measure);
    let events = outcomes.iter().filter(|(_, event)| *event).count();
    (events > 0 && events < outcomes.len()).then(|| events as f64 / outcomes.len() as f64)
}

impl Watch {
    /// Monitors a share.
    ///
    /// # Errors
    /// One sentence, if no outcome is known or no limit gives this many children between false alarms.
    pub fn of(
        clinic: &ClinicHistory,
        selection: &Selection,
        measure: Measure,
        design: WatchDesign,
    ) -> Result<Self, String> {
        let (outcomes, left_out) = outcomes(clinic, selection, measure);
        if outcomes.is_empty() {
            return Err("No child has a known outcome yet, so there is nothing to monitor.".to_owned());
        }
        let no_limit = |_| {
            "No limit gives this many children between two false alarms at this share. Choose another."
                .to_owned()
        };
        let WatchDesign { acceptable, odds_ratio, every } = design;
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

    /// The first child of each run above the limit.
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

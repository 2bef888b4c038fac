//! Curves by group, their comparison, and cumulative incidence.

use super::{
    data::{Data, Rows},
    refused,
    results::{CauseCurve, CurveMethods, CurvesResult, GrayResult, GroupCurve, GroupEvents, LogRankResult},
};
use crate::exit::{Failure, sentence};
use statistics::{
    StatError,
    survival::{
        CompetingRisks, CumulativeIncidence, Interval, KaplanMeier, Spells, Weighting,
        cumulative_incidence_by_group, gray_test, logrank,
    },
};
use std::borrow::Cow;

/// The rows with their groups.
struct Grouped<'a> {
    rows: Rows<'a>,
    names: Vec<Option<&'a str>>,
    codes: Cow<'a, [u32]>,
}

/// Everything but the regression; `notes` receives what could not be computed.
pub fn curves(data: &Data, interval: &Interval, notes: &mut Vec<String>) -> Result<CurvesResult, Failure> {
    let args = data.args;
    let also: Vec<&str> =
        [&args.by, &args.strata, &args.cluster].into_iter().flatten().map(String::as_str).collect();
    let rows = data.rows(&also)?;
    let (names, codes) = match &args.by {
        None => (vec![None], vec![0; rows.stop.len()].into()),
        Some(by) => {
            let (levels, codes) = data.levels(by, &rows.rows)?;
            (levels.iter().map(|level| Some(level.as_str())).collect(), codes)
        }
    };
    let grouped = Grouped { rows, names, codes };
    let curves = grouped.kaplan_meier(interval)?;
    let until = args.tau.unwrap_or_else(|| {
        let used = curves.iter().filter(|curve| !curve.points.is_empty());
        used.map(KaplanMeier::last_time).fold(f64::INFINITY, f64::min)
    });
    let named = grouped.names.iter().zip(&curves).filter(|(_, curve)| curve.n > 0);
    let groups = named.map(|(name, curve)| group(*name, curve, until)).collect();
    let clustered = grouped.rows.cluster.is_some();
    let several = !data.causes.is_empty();
    Ok(CurvesResult {
        method: CurveMethods {
            curve: "Kaplan-Meier",
            std_err: if clustered { "infinitesimal jackknife over clusters" } else { "Greenwood" },
            median: "time at which the curve falls below one half, limits from the pointwise interval",
            rmst: "area under the curve up to the limit",
        },
        used: grouped.rows.stop.len(),
        dropped: grouped.rows.dropped.clone(),
        groups,
        logrank: grouped.logrank(notes),
        cumulative_incidence: several.then(|| grouped.incidence(data, interval)).transpose()?,
        gray: several.then(|| grouped.gray(data, notes)).transpose()?,
    })
}

impl Grouped<'_> {
    fn spells(&self) -> Result<Spells<'_>, StatError> {
        let spells = Spells::new(&self.rows.stop, &self.rows.event)?;
        self.rows.start.as_ref().map_or(Ok(spells), |start| spells.entering(start))
    }

    fn kaplan_meier(&self, interval: &Interval) -> Result<Vec<KaplanMeier>, Failure> {
        let Some(cluster) = &self.rows.cluster else {
            let spells = self.spells().map_err(refused)?;
            return KaplanMeier::by_group(&spells, &self.codes, self.names.len(), interval).map_err(refused);
        };
        (0..self.names.len() as u32).map(|group| self.clustered(group, cluster, interval)).collect()
    }

    fn clustered(&self, group: u32, cluster: &[u32], interval: &Interval) -> Result<KaplanMeier, Failure> {
        let rows: Vec<usize> = (0..self.codes.len()).filter(|row| self.codes[*row] == group).collect();
        if rows.is_empty() {
            return Ok(KaplanMeier::without_rows(interval));
        }
        let pick = |values: &[f64]| rows.iter().map(|row| values[*row]).collect::<Vec<_>>();
        let (stop, start) = (pick(&self.rows.stop), self.rows.start.as_deref().map(pick));
        let event: Vec<bool> = rows.iter().map(|row| self.rows.event[*row]).collect();
        // Renumbered, so that codes stay below the number of rows.
        let mut place = vec![u32::MAX; self.rows.clusters];
        let mut next = 0;
        let codes: Vec<u32> = rows
            .iter()
            .map(|row| {
                let slot = &mut place[cluster[*row] as usize];
                if *slot == u32::MAX {
                    *slot = next;
                    next += 1;
                }
                *slot
            })
            .collect();
        let mut spells = Spells::new(&stop, &event).map_err(refused)?;
        if let Some(start) = &start {
            spells = spells.entering(start).map_err(refused)?;
        }
        KaplanMeier::clustered(&spells, &codes, interval).map_err(refused)
    }

    fn logrank(&self, notes: &mut Vec<String>) -> Option<LogRankResult> {
        if self.names.len() < 2 {
            return None;
        }
        let test = self.spells().and_then(|spells| {
            logrank(&spells, &self.codes, self.names.len(), self.rows.strata.as_deref(), Weighting::LogRank)
        });
        let test = match test {
            Ok(test) => test,
            Err(error) => {
                notes.push(format!("Log-rank test: {}", sentence(&error.to_string())));
                return None;
            }
        };
        let groups = self.names.iter().zip(&test.groups);
        let groups =
            groups.map(|(name, count)| GroupEvents { group: name.map(str::to_owned), count: *count });
        Some(LogRankResult {
            method: "log-rank",
            stratified: self.rows.strata.is_some(),
            test: test.test(),
            groups: groups.collect(),
        })
    }

    fn competing(&self, causes: usize) -> Result<CompetingRisks<'_>, StatError> {
        let data = CompetingRisks::new(&self.rows.stop, &self.rows.cause, causes)?;
        self.rows.start.as_ref().map_or(Ok(data), |start| data.entering(start))
    }

    fn incidence(&self, data: &Data, interval: &Interval) -> Result<Vec<CauseCurve>, Failure> {
        let competing = self.competing(data.causes.len()).map_err(refused)?;
        let groups = cumulative_incidence_by_group(&competing, &self.codes, self.names.len(), interval)
            .map_err(refused)?;
        let mut all = Vec::new();
        for (name, curves) in self.names.iter().zip(&groups) {
            let known = data.causes.iter().zip(curves).filter(|(_, curve)| !curve.points.is_empty());
            all.extend(known.map(|(cause, curve)| incidence(*name, cause, curve)));
        }
        Ok(all)
    }

    fn gray(&self, data: &Data, notes: &mut Vec<String>) -> Result<Vec<GrayResult>, Failure> {
        if self.names.len() < 2 {
            return Ok(Vec::new());
        }
        let competing = self.competing(data.causes.len()).map_err(refused)?;
        let mut tests = Vec::new();
        for (at, cause) in data.causes.iter().enumerate() {
            let strata = self.rows.strata.as_deref();
            match gray_test(&competing, at as u32 + 1, &self.codes, self.names.len(), strata, 0.0) {
                Ok(gray) => tests.push(GrayResult { cause: cause.clone(), test: gray.test() }),
                Err(error) => {
                    notes.push(format!("Gray's test of cause {cause}: {}", sentence(&error.to_string())))
                }
            }
        }
        Ok(tests)
    }
}

fn group(name: Option<&str>, curve: &KaplanMeier, until: f64) -> GroupCurve {
    let median = curve.median();
    let mean = curve.restricted_mean(until);
    GroupCurve {
        group: name.map(str::to_owned),
        n: curve.n,
        events: curve.events,
        median: median.time,
        median_lower: median.lower,
        median_upper: median.upper,
        rmst: mean.mean,
        rmst_std_err: mean.std_err,
        rmst_until: mean.until,
        points: curve.points.clone(),
    }
}

fn incidence(group: Option<&str>, cause: &str, curve: &CumulativeIncidence) -> CauseCurve {
    CauseCurve {
        group: group.map(str::to_owned),
        cause: cause.to_owned(),
        method: "Aalen-Johansen",
        events: curve.events,
        points: curve.points.clone(),
    }
}

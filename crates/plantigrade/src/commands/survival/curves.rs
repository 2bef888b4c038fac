//! Curves by group, their comparison, and cumulative incidence.

use super::{
    data::{Data, Rows},
    said,
};
use crate::exit::{Failure, sentence};
use serde_json::{Value, json};
use statistics::{
    StatError,
    survival::{
        CompetingRisks, CumulativeIncidence, Interval, KaplanMeier, Spells, SurvivalPoint, Weighting,
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

/// Everything but the regression, with notes of what could not be said.
pub fn curves(data: &Data, interval: &Interval, notes: &mut Vec<String>) -> Result<Value, Failure> {
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
    let groups: Vec<Value> = grouped
        .names
        .iter()
        .zip(&curves)
        .filter(|(_, curve)| curve.n > 0)
        .map(|(name, curve)| group(name, curve, until))
        .collect();
    let mut whole = json!({
        "method": {
            "curve": "Kaplan-Meier",
            "std_err": if grouped.rows.cluster.is_some() { "infinitesimal jackknife over clusters" } else { "Greenwood" },
            "median": "time at which the curve falls below one half, limits from the pointwise interval",
            "rmst": "area under the curve up to the limit",
        },
        "used": grouped.rows.stop.len(),
        "dropped": grouped.rows.dropped,
        "groups": groups,
        "logrank": grouped.logrank(notes),
    });
    if !data.causes.is_empty() {
        whole["cumulative_incidence"] = grouped.incidence(data, interval)?;
        whole["gray"] = grouped.gray(data, notes)?;
    }
    Ok(whole)
}

impl Grouped<'_> {
    fn spells(&self) -> Result<Spells<'_>, StatError> {
        let spells = Spells::new(&self.rows.stop, &self.rows.event)?;
        self.rows.start.as_ref().map_or(Ok(spells), |start| spells.entering(start))
    }

    fn kaplan_meier(&self, interval: &Interval) -> Result<Vec<KaplanMeier>, Failure> {
        let Some(cluster) = &self.rows.cluster else {
            let spells = self.spells().map_err(said)?;
            return KaplanMeier::by_group(&spells, &self.codes, self.names.len(), interval).map_err(said);
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
        let mut spells = Spells::new(&stop, &event).map_err(said)?;
        if let Some(start) = &start {
            spells = spells.entering(start).map_err(said)?;
        }
        KaplanMeier::clustered(&spells, &codes, interval).map_err(said)
    }

    fn logrank(&self, notes: &mut Vec<String>) -> Value {
        if self.names.len() < 2 {
            return Value::Null;
        }
        let test = self.spells().and_then(|spells| {
            logrank(&spells, &self.codes, self.names.len(), self.rows.strata.as_deref(), Weighting::LogRank)
        });
        match test {
            Err(error) => {
                notes.push(format!("Log-rank test: {}", sentence(&error.to_string())));
                Value::Null
            }
            Ok(test) => {
                let groups: Vec<Value> = self
                    .names
                    .iter()
                    .zip(&test.groups)
                    .map(|(name, count)| json!({ "group": name, "n": count.n, "observed": count.observed, "expected": count.expected }))
                    .collect();
                let stratified = self.rows.strata.is_some();
                json!({ "method": "log-rank", "stratified": stratified, "chi2": test.chi2, "df": test.df, "p": test.p, "groups": groups })
            }
        }
    }

    fn competing(&self, causes: usize) -> Result<CompetingRisks<'_>, StatError> {
        let data = CompetingRisks::new(&self.rows.stop, &self.rows.cause, causes)?;
        self.rows.start.as_ref().map_or(Ok(data), |start| data.entering(start))
    }

    fn incidence(&self, data: &Data, interval: &Interval) -> Result<Value, Failure> {
        let competing = self.competing(data.causes.len()).map_err(said)?;
        let groups = cumulative_incidence_by_group(&competing, &self.codes, self.names.len(), interval)
            .map_err(said)?;
        let mut all = Vec::new();
        for (name, curves) in self.names.iter().zip(&groups) {
            for (cause, curve) in data.causes.iter().zip(curves).filter(|(_, curve)| !curve.points.is_empty())
            {
                all.push(incidence(name, cause, curve));
            }
        }
        Ok(Value::Array(all))
    }

    fn gray(&self, data: &Data, notes: &mut Vec<String>) -> Result<Value, Failure> {
        if self.names.len() < 2 {
            return Ok(json!([]));
        }
        let competing = self.competing(data.causes.len()).map_err(said)?;
        let mut tests = Vec::new();
        for (at, cause) in data.causes.iter().enumerate() {
            let strata = self.rows.strata.as_deref();
            match gray_test(&competing, at as u32 + 1, &self.codes, self.names.len(), strata, 0.0) {
                Ok(test) => {
                    tests.push(json!({ "cause": cause, "chi2": test.chi2, "df": test.df, "p": test.p }))
                }
                Err(error) => {
                    notes.push(format!("Gray's test of cause {cause}: {}", sentence(&error.to_string())))
                }
            }
        }
        Ok(Value::Array(tests))
    }
}

fn group(name: &Option<&str>, curve: &KaplanMeier, until: f64) -> Value {
    let median = curve.median();
    let mean = curve.restricted_mean(until);
    json!({
        "group": name,
        "n": curve.n,
        "events": curve.events,
        "median": median.time,
        "median_lower": median.lower,
        "median_upper": median.upper,
        "rmst": mean.mean,
        "rmst_std_err": mean.std_err,
        "rmst_until": mean.until,
        "points": curve.points.iter().map(point).collect::<Vec<_>>(),
    })
}

fn point(point: &SurvivalPoint) -> Value {
    json!({
        "time": point.time,
        "at_risk": point.at_risk,
        "events": point.events,
        "censored": point.censored,
        "survival": point.survival,
        "std_err": point.std_err,
        "lower": point.lower,
        "upper": point.upper,
    })
}

fn incidence(group: &Option<&str>, cause: &str, curve: &CumulativeIncidence) -> Value {
    let points: Vec<Value> = curve
        .points
        .iter()
        .map(|point| {
            json!({
                "time": point.time,
                "at_risk": point.at_risk,
                "events": point.events,
                "incidence": point.incidence,
                "std_err": point.std_err,
                "lower": point.lower,
                "upper": point.upper,
            })
        })
        .collect();
    json!({ "group": group, "cause": cause, "method": "Aalen-Johansen", "events": curve.events, "points": points })
}

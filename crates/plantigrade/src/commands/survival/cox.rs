//! Proportional hazards regression of a table.

use super::{
    data::{Data, Rows},
    refused,
    results::{ConcordanceResult, CoxResult, CoxTerm, TermTest},
};
use crate::{
    cli::TiesChoice,
    columns::{DataColumn, UsedRows},
    exit::Failure,
};
use statistics::{
    StatError,
    survival::{Cox, CoxFit, Interval, Spells, Ties, TimeScale},
};
use std::borrow::Cow;

/// The covariates of the model.
struct Covariates<'a> {
    names: Vec<String>,
    values: Vec<Cow<'a, [f64]>>,
    /// For each column of the file its name and the numbers of its covariates.
    terms: Vec<(String, Vec<usize>)>,
}

impl<'a> Covariates<'a> {
    /// Numbers unchanged; levels as one covariate for each level but the first.
    fn of(data: &'a Data, rows: &UsedRows) -> Result<Self, Failure> {
        let mut all = Self { names: Vec::new(), values: Vec::new(), terms: Vec::new() };
        for name in &data.args.cox {
            let from = all.names.len();
            match data.table.column(name)? {
                DataColumn::Numbers(numbers) => {
                    all.names.push(name.clone());
                    all.values.push(rows.of(numbers));
                }
                DataColumn::Levels(levels, codes) => {
                    let codes = rows.of(codes);
                    let mut seen = vec![false; levels.len()];
                    codes.iter().for_each(|code| seen[*code as usize] = true);
                    let present: Vec<usize> = (0..levels.len()).filter(|level| seen[*level]).collect();
                    for level in present.iter().skip(1) {
                        all.names.push(format!("{name}={}", levels[*level]));
                        let is = |code: &u32| f64::from(u8::from(*code as usize == *level));
                        all.values.push(codes.iter().map(is).collect());
                    }
                    if present.len() < 2 {
                        return Err(Failure::refused(format!(
                            "Column {name} has the same value in every row used, so its coefficient cannot be estimated."
                        )));
                    }
                }
            }
            all.terms.push((name.clone(), (from..all.names.len()).collect()));
        }
        Ok(all)
    }

    /// An error with the names of covariates instead of their numbers.
    fn refused(&self, error: StatError) -> Failure {
        let name = |column: usize| self.names.get(column).map_or("a covariate", String::as_str);
        Failure::refused(match error {
            StatError::Constant { column } => {
                format!(
                    "{} has the same value in every row used, so its coefficient cannot be estimated.",
                    name(column)
                )
            }
            StatError::Uninformative { column } => format!(
                "{} does not vary among the rows that are compared with each other, so its coefficient cannot be estimated.",
                name(column)
            ),
            StatError::Collinear { column } => format!(
                "{} is a sum of multiples of the covariates before it, so its coefficient cannot be estimated.",
                name(column)
            ),
            StatError::Separated { columns } => {
                let names: Vec<&str> = columns.into_iter().map(name).collect();
                format!(
                    "{} separates the events perfectly: the likelihood increases without limit as the coefficient grows, so no \
                     finite hazard ratio exists.",
                    names.join(", ")
                )
            }
            other => return refused(other),
        })
    }
}

pub fn cox(data: &Data, interval: &Interval) -> Result<CoxResult, Failure> {
    let args = data.args;
    let mut also: Vec<&str> =
        [&args.strata, &args.cluster].into_iter().flatten().map(String::as_str).collect();
    also.extend(args.cox.iter().map(String::as_str));
    let rows = data.rows(&also)?;
    // With several causes the hazard is that of the first, and the others end the time under observation.
    let event: Vec<bool> = rows.cause.iter().map(|cause| *cause == 1).collect();
    let covariates = Covariates::of(data, &rows.rows)?;
    let refused = |error| covariates.refused(error);
    let mut spells = Spells::new(&rows.stop, &event).map_err(refused)?;
    if let Some(start) = &rows.start {
        spells = spells.entering(start).map_err(refused)?;
    }
    let columns = covariates.values.iter().map(AsRef::as_ref).collect();
    let ties = if args.ties == TiesChoice::Breslow { Ties::Breslow } else { Ties::Efron };
    let mut model = Cox::new(spells, columns).map_err(refused)?.ties(ties);
    if let Some(strata) = &rows.strata {
        model = model.strata(strata).map_err(refused)?;
    }
    if let Some(cluster) = &rows.cluster {
        model = model.cluster(cluster).map_err(refused)?;
    }
    let fit = model.fit().map_err(refused)?;
    result(&fit, &covariates, interval, data.causes.first(), &rows).map_err(refused)
}

fn result(
    fit: &CoxFit,
    covariates: &Covariates<'_>,
    interval: &Interval,
    cause: Option<&String>,
    rows: &Rows<'_>,
) -> Result<CoxResult, StatError> {
    let columns: Vec<Vec<usize>> = covariates.terms.iter().map(|(_, columns)| columns.clone()).collect();
    let proportional = fit.proportional_hazards_by(TimeScale::KaplanMeier, &columns)?;
    let names = covariates.terms.iter().map(|(name, _)| name.as_str()).chain(["GLOBAL"]);
    let tests = proportional.terms.iter().chain([&proportional.global]);
    let ph_test = names.zip(tests).map(|(name, test)| TermTest { term: name.to_owned(), test: *test });
    let terms = covariates.names.iter().zip(&fit.terms);
    let robust = fit.robust_variance.is_some();
    Ok(CoxResult {
        method: "Cox proportional hazards",
        variance: if robust { "robust, scores summed within clusters" } else { "inverse information" },
        cause: cause.cloned(),
        n: fit.n,
        events: fit.events,
        ties: fit.ties.word(),
        clusters: fit.clusters,
        dropped: rows.dropped.clone(),
        terms: terms.map(|(name, term)| CoxTerm::of(name, *term, interval.level())).collect(),
        loglik_null: fit.loglik_null,
        loglik: fit.loglik,
        likelihood_ratio: fit.likelihood_ratio,
        wald: fit.wald,
        score: fit.score,
        ph_test: ph_test.collect(),
        concordance: fit.concordance().map(|c| ConcordanceResult { value: c.value, std_err: c.std_err }),
    })
}

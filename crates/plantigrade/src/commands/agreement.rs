//! `agreement`: the agreement of raters, from any table of ratings.
//!
//! The keys of the JSON are described in `docs/statistics-commands.md` and do not change.

use super::{
    print, print_sorted,
    survival::{DroppedRows, columns},
};
use crate::{
    cli::{AgreementArgs, WeightsChoice},
    columns::{ColumnKind, DataColumn, DataTable, UsedRows},
    exit::{Failure, sentence},
};
use serde::Serialize;
use statistics::agreement::{
    AgreementCoefficient, BlandAltman, ChanceAgreement, Icc, IccForm, IntervalEstimate, RatingTable, Weights,
    bland_altman, kappa,
};
use std::{collections::HashMap, fmt::Write as _};

/// A subject scored by both of two raters: its number, then code and score by each.
type ScoredTwice = (u32, (u32, f64), (u32, f64));

/// The ratings of the table.
struct Data {
    raters: Vec<String>,
    subjects: usize,
    categories: Vec<String>,
    /// Whether the scores are numbers.
    numeric: bool,
    /// Subject, rater, category, score.
    ratings: Vec<(u32, u32, u32, f64)>,
    rows: usize,
    dropped: DroppedRows,
}

/// The whole result.
#[derive(Debug, Serialize)]
struct AgreementResult {
    program: &'static str,
    version: &'static str,
    file: Option<String>,
    columns: RatingColumns,
    level: f64,
    /// Rows of the table, and those used.
    rows: usize,
    used: usize,
    dropped: DroppedRows,
    subjects: usize,
    raters: Vec<String>,
    categories: Vec<String>,
    weights: &'static str,
    /// Of the only pair, if there are two raters.
    kappa: Option<PairKappa>,
    /// As kappa.
    bland_altman: Option<LimitsResult>,
    fleiss: Option<NamedAgreement>,
    gwet: Option<NamedAgreement>,
    icc: Option<IccResult>,
    pairs: Vec<PairResult>,
    notes: Vec<String>,
}

/// The columns that were named.
#[derive(Debug, Serialize)]
struct RatingColumns {
    subject: String,
    rater: String,
    score: String,
}

/// A measure of agreement beyond chance.
#[derive(Debug, Clone, Serialize)]
struct NamedAgreement {
    method: &'static str,
    #[serde(flatten)]
    coefficient: AgreementCoefficient,
}

/// Cohen's kappa of two raters.
#[derive(Debug, Clone, Serialize)]
struct PairKappa {
    #[serde(flatten)]
    agreement: NamedAgreement,
    null_std_err: f64,
    z: f64,
    p: f64,
    n: usize,
}

/// Limits of agreement of two raters.
#[derive(Debug, Clone, Serialize)]
struct LimitsResult {
    method: &'static str,
    n: usize,
    bias: IntervalEstimate,
    sd: f64,
    lower_limit: IntervalEstimate,
    upper_limit: IntervalEstimate,
}

/// Two raters on the subjects that both have rated.
#[derive(Debug, Serialize)]
struct PairResult {
    raters: [String; 2],
    subjects: usize,
    kappa: Option<PairKappa>,
    bland_altman: Option<LimitsResult>,
}

/// The intraclass correlation on the subjects that every rater has rated.
#[derive(Debug, Serialize)]
struct IccResult {
    method: &'static str,
    subjects: usize,
    raters: usize,
    forms: Vec<IccFormResult>,
}

/// One form of the intraclass correlation.
#[derive(Debug, Serialize)]
struct IccFormResult {
    form: &'static str,
    value: f64,
    lower: f64,
    upper: f64,
    f: f64,
    df1: f64,
    df2: f64,
    p: f64,
}

impl From<&BlandAltman> for LimitsResult {
    fn from(limits: &BlandAltman) -> Self {
        Self {
            method: "Bland-Altman limits, bias less and plus 1.96 standard deviations, first rater less second",
            n: limits.n,
            bias: limits.bias,
            sd: limits.sd,
            lower_limit: limits.lower,
            upper_limit: limits.upper,
        }
    }
}

impl From<&IccForm> for IccFormResult {
    fn from(form: &IccForm) -> Self {
        Self {
            form: form.kind.word(),
            value: form.value,
            lower: form.lower,
            upper: form.upper,
            f: form.f,
            df1: form.df.0,
            df2: form.df.1,
            p: form.p,
        }
    }
}

/// Prints the agreement in one table of ratings.
///
/// # Errors
/// A file, column or row that cannot be used, a subject rated twice by one rater, or weights for scores
/// that are not numbers.
pub fn agreement(args: &AgreementArgs) -> Result<(), Failure> {
    let data = Data::read(args)?;
    let weights = match args.weights {
        None => Weights::Identity,
        Some(WeightsChoice::Linear) => Weights::Linear,
        Some(WeightsChoice::Quadratic) => Weights::Quadratic,
    };
    if weights != Weights::Identity && !data.numeric {
        return Err(Failure::refused(format!(
            "Weights need scores that are numbers, so that their order and distance are known; column {} contains words.",
            args.score
        )));
    }
    let whole = data.whole(args, weights);
    if args.json { print_sorted(&whole) } else { print(&text(&whole)) }
}

impl Data {
    fn read(args: &AgreementArgs) -> Result<Self, Failure> {
        let wanted = [
            (args.subject.as_str(), ColumnKind::Level),
            (&args.rater, ColumnKind::Level),
            (&args.score, ColumnKind::Level),
        ];
        let table = DataTable::read(&args.file, &wanted)?;
        let (rows, lacking) = table.complete(&[&args.subject, &args.rater, &args.score])?;
        let column = |name: &str| match table.column(name)? {
            DataColumn::Levels(levels, codes) => Ok((levels, codes)),
            DataColumn::Numbers(_) => {
                Err(Failure::usage("Subject, rater and score must be different columns."))
            }
        };
        let (subjects, subject) = column(&args.subject)?;
        let (raters, rater) = column(&args.rater)?;
        let (categories, score) = column(&args.score)?;
        if rows.is_empty() {
            return Err(Failure::refused("No row has a subject, a rater and a score."));
        }
        let values: Vec<Option<f64>> =
            categories.iter().map(|level| level.replace(',', ".").parse().ok()).collect();
        let numeric = values.iter().all(Option::is_some);
        check_rated_once(&table, &rows, (subjects, subject), (raters, rater), &args.score)?;
        let value = |code: u32| values.get(code as usize).copied().flatten().unwrap_or(f64::NAN);
        let rating = |row: usize| (subject[row], rater[row], score[row], value(score[row]));
        let ratings = rows.each().map(rating).collect();
        let missing_by_column = lacking.into_iter().collect();
        let dropped = DroppedRows { rows: table.rows - rows.len(), missing_by_column };
        Ok(Self {
            raters: raters.clone(),
            subjects: subjects.len(),
            categories: categories.clone(),
            numeric,
            ratings,
            rows: table.rows,
            dropped,
        })
    }

    fn whole(self, args: &AgreementArgs, weights: Weights) -> AgreementResult {
        let (level, mut notes) = (args.level, Vec::new());
        let gwet = if weights == Weights::Identity { "Gwet's AC1" } else { "Gwet's AC2" };
        let fleiss = self.several(ChanceAgreement::Fleiss, "Fleiss's kappa", (weights, level), &mut notes);
        let gwet = self.several(ChanceAgreement::Gwet, gwet, (weights, level), &mut notes);
        let pairs = self.pairs(weights, level, &mut notes);
        let only = if let [only] = pairs.as_slice() { Some(only) } else { None };
        AgreementResult {
            program: "plantigrade",
            version: env!("CARGO_PKG_VERSION"),
            file: args.file.file_name().map(|name| name.to_string_lossy().into_owned()),
            columns: RatingColumns {
                subject: args.subject.clone(),
                rater: args.rater.clone(),
                score: args.score.clone(),
            },
            level,
            used: self.ratings.len(),
            weights: weights.word(),
            kappa: only.and_then(|pair| pair.kappa.clone()),
            bland_altman: only.and_then(|pair| pair.bland_altman.clone()),
            fleiss,
            gwet,
            icc: self.icc(level, &mut notes),
            pairs,
            rows: self.rows,
            dropped: self.dropped,
            subjects: self.subjects,
            raters: self.raters,
            categories: self.categories,
            notes,
        }
    }

    fn several(
        &self,
        chance: ChanceAgreement,
        method: &'static str,
        (weights, level): (Weights, f64),
        notes: &mut Vec<String>,
    ) -> Option<NamedAgreement> {
        let plain: Vec<(usize, u32)> =
            self.ratings.iter().map(|(subject, _, code, _)| (*subject as usize, *code)).collect();
        let result = RatingTable::new(&plain, self.categories.len())
            .and_then(|table| table.agreement(chance, weights, level));
        match result {
            Ok(result) => Some(NamedAgreement { method, coefficient: result }),
            Err(error) => {
                notes.push(format!("{method}: {}", sentence(&error.to_string())));
                None
            }
        }
    }

    /// Every two raters on the subjects that both have rated.
    fn pairs(&self, weights: Weights, level: f64, notes: &mut Vec<String>) -> Vec<PairResult> {
        let mut by_rater: Vec<HashMap<u32, (u32, f64)>> = vec![HashMap::new(); self.raters.len()];
        for (subject, rater, code, score) in &self.ratings {
            by_rater[*rater as usize].insert(*subject, (*code, *score));
        }
        let mut pairs = Vec::new();
        for one in 0..self.raters.len() {
            for two in one + 1..self.raters.len() {
                let mut both: Vec<ScoredTwice> = by_rater[one]
                    .iter()
                    .filter_map(|(subject, first)| Some((*subject, *first, *by_rater[two].get(subject)?)))
                    .collect();
                both.sort_by_key(|(subject, ..)| *subject);
                pairs.push(self.pair((one, two), &both, (weights, level), notes));
            }
        }
        pairs
    }

    fn pair(
        &self,
        (one, two): (usize, usize),
        both: &[ScoredTwice],
        (weights, level): (Weights, f64),
        notes: &mut Vec<String>,
    ) -> PairResult {
        let raters = [&self.raters[one], &self.raters[two]];
        let codes: (Vec<u32>, Vec<u32>) = both.iter().map(|(_, a, b)| (a.0, b.0)).unzip();
        let scores: (Vec<f64>, Vec<f64>) = both.iter().map(|(_, a, b)| (a.1, b.1)).unzip();
        let kappa = match kappa(&codes.0, &codes.1, self.categories.len(), weights, level) {
            Ok(result) => Some(PairKappa {
                agreement: NamedAgreement { method: "Cohen's kappa", coefficient: result.kappa },
                null_std_err: result.null_std_err,
                z: result.z,
                p: result.p,
                n: result.n,
            }),
            Err(error) => {
                let [one, two] = raters;
                notes.push(format!("Kappa of {one} and {two}: {}", sentence(&error.to_string())));
                None
            }
        };
        let limits = if self.numeric { bland_altman(&scores.0, &scores.1, 0.95, level).ok() } else { None };
        PairResult {
            raters: raters.map(Clone::clone),
            subjects: both.len(),
            kappa,
            bland_altman: limits.as_ref().map(LimitsResult::from),
        }
    }

    /// On the subjects that every rater has rated.
    fn icc(&self, level: f64, notes: &mut Vec<String>) -> Option<IccResult> {
        if !self.numeric {
            return None;
        }
        let raters = self.raters.len();
        let mut rows: Vec<Vec<f64>> = vec![vec![f64::NAN; raters]; self.subjects];
        for (subject, rater, _, score) in &self.ratings {
            rows[*subject as usize][*rater as usize] = *score;
        }
        let complete: Vec<f64> =
            rows.iter().filter(|row| row.iter().all(|score| !score.is_nan())).flatten().copied().collect();
        match Icc::of(&complete, raters, level) {
            Ok(icc) => Some(IccResult {
                method: "intraclass correlation, Shrout and Fleiss",
                subjects: icc.subjects,
                raters: icc.raters,
                forms: icc.forms.iter().map(IccFormResult::from).collect(),
            }),
            Err(error) => {
                notes.push(format!("Intraclass correlation: {}", sentence(&error.to_string())));
                None
            }
        }
    }
}

/// Levels of a column and the level of each row.
type Levels<'a> = (&'a [String], &'a [u32]);

/// Refuses a second score of a subject by the same rater.
fn check_rated_once(
    table: &DataTable,
    rows: &UsedRows,
    (subjects, subject): Levels<'_>,
    (raters, rater): Levels<'_>,
    score: &str,
) -> Result<(), Failure> {
    let mut seen: HashMap<(u32, u32), usize> = HashMap::with_capacity(rows.len());
    for row in rows.each() {
        let (one, two) = (subject[row], rater[row]);
        if let Some(before) = seen.insert((one, two), row) {
            return Err(Failure::refused(format!(
                "Rater {} scored subject {} twice: {} and {}.",
                raters[two as usize],
                subjects[one as usize],
                table.place(before, score),
                table.place(row, score)
            )));
        }
    }
    Ok(())
}

/// A row of the printed table; missing figures are dashes.
fn row(name: String, value: f64, std_err: Option<f64>, limits: (f64, f64)) -> Vec<String> {
    let figure = |value: f64| if value.is_finite() { format!("{value:.4}") } else { "-".to_owned() };
    let std_err = std_err.map_or("-".to_owned(), figure);
    vec![name, figure(value), std_err, figure(limits.0), figure(limits.1)]
}

fn coefficient_row(name: String, of: &AgreementCoefficient) -> Vec<String> {
    row(name, of.value, Some(of.std_err), (of.lower, of.upper))
}

fn pair_rows(pair: &PairResult, rows: &mut Vec<Vec<String>>) {
    let [one, two] = &pair.raters;
    if let Some(kappa) = &pair.kappa {
        let name = format!("Cohen's kappa, {one} and {two} (n {})", pair.subjects);
        rows.push(coefficient_row(name, &kappa.agreement.coefficient));
    }
    let limits = pair.bland_altman.iter().flat_map(|limits| {
        [
            ("bias", &limits.bias),
            ("lower limit of agreement", &limits.lower_limit),
            ("upper limit of agreement", &limits.upper_limit),
        ]
    });
    rows.extend(limits.map(|(words, limit)| {
        let name = format!("Bland-Altman {words}, {one} less {two}");
        row(name, limit.value, Some(limit.std_err), (limit.lower, limit.upper))
    }));
}

fn text(whole: &AgreementResult) -> String {
    let mut text = String::new();
    let percent = whole.level * 100.0;
    // Writing to a string does not fail.
    let _ = writeln!(
        text,
        "Agreement of {} raters on {} subjects, {} of {} rows used, weights: {}, {percent}% confidence intervals.\n",
        whole.raters.len(),
        whole.subjects,
        whole.used,
        whole.rows,
        whole.weights
    );
    let mut rows = Vec::new();
    whole.pairs.iter().for_each(|pair| pair_rows(pair, &mut rows));
    let several = [&whole.fleiss, &whole.gwet].into_iter().flatten();
    rows.extend(several.map(|one| coefficient_row(one.method.to_owned(), &one.coefficient)));
    let forms = whole.icc.iter().flat_map(|icc| &icc.forms);
    rows.extend(forms.map(|form| row(form.form.to_owned(), form.value, None, (form.lower, form.upper))));
    columns(&mut text, &["", "value", "std err", "lower", "upper"], &rows);
    for note in &whole.notes {
        let _ = writeln!(text, "\nNote: {note}");
    }
    let _ = writeln!(text, "\nplantigrade {}", whole.version);
    text
}

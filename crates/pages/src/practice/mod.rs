//! Learning to score a foot from drawings, and scoring alike in a clinic.

mod answer;
mod chart;
mod drawing;
mod exercise;
mod learn;
mod level_source;
mod levels;
mod photographs;
mod progress;
mod record_of_practice;
mod together;

pub use answer::{PracticeAnswerView, practice_answer};
pub use exercise::{ExerciseView, exercise};
pub use learn::{LearnView, learn};
pub use level_source::{PracticeLevelView, practice_level};
pub use levels::{PracticeLevelsView, practice_levels};
pub use photographs::{
    PhotographExerciseView, PhotographPracticeView, PhotographTask, PhotographToScore, photograph_exercise,
    photograph_practice,
};
pub use progress::{PracticeProgressView, practice_progress};
pub use record_of_practice::{PracticeRecordView, practice_record};
pub use together::{ScoringProposalRow, ScoringTogetherView, scoring_together};

use practice::{AgreementUnknown, KappaWithInterval, ReferenceAgreement};

pub use crate::frame::{LEARN_PATH, TOGETHER_PATH};

/// The page with every level of every sign.
pub const LEVELS_PATH: &str = "/practice/levels";
/// The page of the own progress.
pub const PROGRESS_PATH: &str = "/practice/progress";
/// The own record of practice, to print.
pub const RECORD_PATH: &str = "/practice/record";
/// The page of practice on photographs.
pub const PHOTOGRAPHS_PATH: &str = "/practice/photographs";
/// Where an answer is sent.
pub const ANSWER_PATH: &str = "/practice/answer";

/// Names of the fields of an exercise.
pub mod practice_fields {
    /// The key of the sign ([`record::Sign::key`]).
    pub const SIGN: &str = "sign";
    /// The seed of the case, a whole number.
    pub const SEED: &str = "seed";
    /// The version of the drawings.
    pub const DRAWING: &str = "drawing";
    /// The level given: "0", "0.5" or "1".
    pub const LEVEL: &str = "level";
    /// The source with which a level was compared.
    pub const SOURCE: &str = "source";
    /// The statement that words and numbers were compared with it.
    pub const COMPARED: &str = "compared";
}

/// The page on which a sign is asked.
#[must_use]
pub fn sign_path(sign: record::Sign) -> String {
    format!("{LEARN_PATH}/sign/{}", sign.key())
}

/// The page of a stored answer.
#[must_use]
pub fn answer_path(number: i64) -> String {
    format!("{ANSWER_PATH}/{number}")
}

/// The page on which a sign on a photograph is scored. It is an address of the child, so that whatever closes the record
/// closes it, and opening it is noted.
#[must_use]
pub fn photograph_path(of: &PhotographToScore) -> String {
    format!("/child/{}/photographs/{}/score/{}", of.child, of.photograph, of.sign.key())
}

/// The page on which a level is confirmed with a source.
#[must_use]
pub fn level_path(sign: record::Sign, level: record::HalfPoint) -> String {
    format!("{LEVELS_PATH}/{}/{}", sign.key(), level.text())
}

/// "0.62"; a true minus sign.
fn two(value: f64) -> String {
    let text = format!("{value:.2}");
    if text == "-0.00" { "0.00".to_owned() } else { text.replacen('-', "−", 1) }
}

/// "+0.12", "−0.08".
fn signed(value: f64) -> String {
    let text = two(value);
    if text.starts_with('−') || text == "0.00" { text } else { format!("+{text}") }
}

/// Kappa with its interval in words, or why there is none.
fn kappa_words(kappa: &Result<KappaWithInterval, AgreementUnknown>) -> String {
    match kappa {
        Err(why) => why.to_string(),
        Ok(KappaWithInterval { value, limits: Some((low, high)) }) => {
            format!("{} ({} to {})", two(*value), two(*low), two(*high))
        }
        Ok(KappaWithInterval { value, limits: None }) => {
            format!("{}; every foot agreed, so there is no interval", two(*value))
        }
    }
}

/// "13 of 15 (62 to 96 %)".
fn same_words(agreement: &ReferenceAgreement) -> String {
    match agreement.same_limits {
        None => "–".to_owned(),
        Some((low, high)) => {
            format!("{} of {} ({:.0} to {:.0} %)", agreement.same, agreement.n, 100.0 * low, 100.0 * high)
        }
    }
}

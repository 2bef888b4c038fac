//! What the import does not yet do, with the figures measured. The list can only shrink: a file that holds
//! must leave it, and a file on it may not become worse.

use super::{RIGHT_WITH_ANSWERS_PERCENT, evaluate::Tally};

/// A file that does not yet hold.
pub struct NotYet {
    pub file: &'static str,
    /// With the answers of the clinic, or without a map.
    pub answered: bool,
    /// Facts wrong, invented or silently missing.
    pub grave: usize,
    /// Percent right.
    pub right: f64,
}

const fn open(file: &'static str, grave: usize, right: f64) -> NotYet {
    NotYet { file, answered: false, grave, right }
}

const fn answered(file: &'static str, grave: usize, right: f64) -> NotYet {
    NotYet { file, answered: true, grave, right }
}

/// The files that do not yet hold.
pub const NOT_YET: &[NotYet] = &[
    open("portuguese.csv", 93, 23.7),
    answered("portuguese.csv", 93, 23.7),
    open("spanish_status.csv", 71, 100.0),
    answered("spanish_status.csv", 71, 100.0),
    open("french_slash.csv", 44, 13.3),
    answered("french_slash.csv", 44, 13.3),
    answered("swahili_as_above.csv", 0, 21.7),
    answered("turkish.csv", 0, 98.0),
    open("hindi.xlsx", 10, 89.7),
    answered("hindi.xlsx", 10, 89.7),
    answered("russian.csv", 0, 0.0),
    open("missing_words.csv", 2, 89.8),
    answered("missing_words.csv", 2, 100.0),
    open("remark_acts.csv", 59, 63.0),
    answered("remark_acts.csv", 59, 63.0),
    answered("mistyped_date.csv", 0, 98.5),
    answered("dates_in_notes.csv", 0, 93.7),
    open("both_one_date.csv", 12, 100.0),
    answered("both_one_date.csv", 12, 100.0),
    answered("code_book.xlsx", 0, 0.0),
    open("long_items.csv", 91, 13.4),
    answered("long_items.csv", 91, 13.4),
    open("spanish_months.xlsx", 216, 10.0),
    answered("spanish_months.xlsx", 216, 10.0),
    open("german_children.xlsx", 148, 0.0),
    answered("german_children.xlsx", 148, 0.0),
    open("one_sheet_a_foot.xlsx", 88, 0.0),
    answered("one_sheet_a_foot.xlsx", 88, 0.0),
    answered("side_under_sign.xlsx", 0, 0.0),
    open("french_part_over_sign.csv", 42, 15.6),
    answered("french_part_over_sign.csv", 42, 15.6),
    answered("acts_not_done.csv", 0, 73.7),
    answered("twins.csv", 0, 61.1),
    answered("number_typed_twice.csv", 0, 70.1),
    open("side_in_the_cell.csv", 44, 17.8),
    answered("side_in_the_cell.csv", 44, 17.8),
];

/// What a person must do about a result, if anything.
pub fn judge(file: &str, answered: bool, tally: &Tally) -> Option<String> {
    let enough = !answered || tally.right_percent() >= RIGHT_WITH_ANSWERS_PERCENT;
    let holds = tally.grave() == 0 && enough;
    let listed = NOT_YET.iter().find(|entry| entry.file == file && entry.answered == answered);
    let with = if answered { " with answers" } else { "" };
    let measured = format!("{} grave, {:.1} % right", tally.grave(), tally.right_percent());
    match listed {
        None if holds => None,
        None => {
            let examples: Vec<&String> = tally.grave_examples().take(5).collect();
            Some(format!("{file}{with} does not hold ({measured}): {examples:#?}"))
        }
        Some(_) if holds => Some(format!("{file}{with} holds now: take it off the list")),
        // A tenth of a percent is what rounding may cost.
        Some(entry) if tally.grave() > entry.grave || tally.right_percent() < entry.right - 0.1 => {
            Some(format!("{file}{with} is worse than listed: {measured}"))
        }
        Some(_) => {
            println!("not yet: {file}{with}: {measured}");
            None
        }
    }
}

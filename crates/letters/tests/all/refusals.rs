//! Documents that are not made.

use crate::children::{CASTS, with};
use letters::{NoDocument, brace_sheet};

fn refused(rows: &str, on: &str) -> Option<NoDocument> {
    with(rows, on, |facts| facts.err())
}

/// Nothing reaches the family of a child that has died.
#[test]
fn a_child_that_has_died() {
    let rows = format!("{CASTS}\n| 2025-02-12 | – | died | |");
    assert_eq!(refused(&rows, "2025-02-12"), Some(NoDocument::Died));
    assert_eq!(refused(&rows, "2025-02-11"), None, "the day before nobody knew");
}

#[test]
fn a_child_that_is_followed_elsewhere() {
    let rows = format!("{CASTS}\n| 2025-02-12 | – | transferred | |");
    assert_eq!(refused(&rows, "2025-02-12"), Some(NoDocument::NotFollowed));
}

#[test]
fn a_child_without_an_affected_foot() {
    let rows = "| 2025-02-03 | – | registered | name Solveig; born 2025-01-20 |";
    assert_eq!(refused(rows, "2025-02-03"), Some(NoDocument::NoFoot));
}

/// A tenotomy on the foot that is not in casts: the advice is on hold, and so is the plan.
#[test]
fn a_record_in_doubt() {
    let rows = format!("{CASTS}\n| 2025-02-17 | right | tenotomy | dorsiflexion 20 |");
    assert_eq!(refused(&rows, "2025-02-17"), Some(NoDocument::InDoubt));
}

#[test]
fn no_brace_sheet_without_a_brace() {
    let refused = with(CASTS, "2025-02-10", |facts| brace_sheet(&facts.unwrap()).unwrap_err());
    assert_eq!(refused, NoDocument::NoBrace);
}

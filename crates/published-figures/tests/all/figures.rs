//! Published against simulated: the page in `docs/` is what the program writes, the named figures are
//! inside, and whatever is outside says why.

use forecast::natural_history::{ClinicHabits, HabitSpread, Parameters};
use published_figures::{CHILDREN, FigureComparison, FigureRole, compare, page};
use std::sync::OnceLock;

/// The seed of the page in `docs/`.
const SEED: u64 = 1;

fn rows() -> &'static [FigureComparison] {
    static ROWS: OnceLock<Vec<FigureComparison>> = OnceLock::new();
    ROWS.get_or_init(|| {
        compare(&Parameters::published(), &HabitSpread::published(), CHILDREN as usize, SEED).unwrap()
    })
}

#[test]
fn the_page_is_what_the_program_writes() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/published-and-simulated.md");
    let page = page(rows(), CHILDREN as usize, SEED);
    if std::fs::read_to_string(path).is_ok_and(|kept| kept == page) {
        return;
    }
    let fresh = concat!(env!("CARGO_TARGET_TMPDIR"), "/published-and-simulated.md");
    std::fs::write(fresh, page).unwrap();
    panic!(
        "the page is out of date; a fresh one is at {fresh}, or: cargo run --release -p published-figures -- --out {path}"
    );
}

#[test]
fn the_named_figures_are_inside() {
    let named: Vec<&FigureComparison> = rows().iter().filter(|row| row.named).collect();
    // Casts 2, correlation 1, bands of three papers 6 and of one more 1, the brace 2, wear 6, relapse 3,
    // leaving care 2.
    assert_eq!(named.len(), 23);
    let outside: Vec<String> = named
        .iter()
        .filter(|row| !row.inside)
        .map(|row| {
            let FigureComparison { figure, source, published, low, high, simulated, .. } = row;
            format!("{figure} ({source}): {published:?}, simulated {simulated:.3}, {low:.3} to {high:.3}")
        })
        .collect();
    assert!(outside.is_empty(), "{outside:#?}");
}

#[test]
fn whatever_is_outside_says_why() {
    let silent: Vec<(&str, &str)> = rows()
        .iter()
        .filter(|row| !row.inside && row.why.is_empty())
        .map(|row| (row.figure.as_str(), row.source.as_str()))
        .collect();
    assert_eq!(silent, []);
    let odd: Vec<&str> =
        rows().iter().filter(|row| !row.simulated.is_finite()).map(|row| row.figure.as_str()).collect();
    assert_eq!(odd, [""; 0]);
}

/// The page leads with the checks, and no figure is without a source.
#[test]
fn checks_are_told_from_what_was_used() {
    let checks: Vec<&FigureComparison> = rows().iter().filter(|row| row.role == FigureRole::Check).collect();
    let inside = checks.iter().filter(|row| row.inside).count();
    let page = page(rows(), CHILDREN as usize, SEED);
    let headline = format!("**{inside} of {} figures not used for fitting lie inside.**", checks.len());
    assert_eq!(page.lines().nth(2).and_then(|line| line.find(&headline)), Some(0), "{headline}");
    assert!(checks.len() >= 30, "{} checks", checks.len());
    // A figure that has a twin of the same words, paper and value is one figure.
    let mut seen = std::collections::BTreeSet::new();
    for row in rows() {
        assert!(!row.source.is_empty(), "{} has no source", row.figure);
        let key = format!("{} {} {} {:?} {}", row.group, row.figure, row.source, row.published, row.n);
        assert!(seen.insert(key.clone()), "{key} is there twice");
    }
}

/// The clinic of which nothing is known is the middle of the clinics that are drawn.
#[test]
fn the_usual_clinic_is_the_middle_of_the_spread() {
    let (usual, spread) = (ClinicHabits::published(), HabitSpread::published());
    assert_eq!(usual.tenotomy_intercept.to_bits(), spread.tenotomy_intercept_mean.to_bits());
    assert_eq!(usual.pace_shift.to_bits(), 0.0_f64.to_bits());
    assert_eq!(usual.relapse_factor.to_bits(), 1.0_f64.to_bits());
}

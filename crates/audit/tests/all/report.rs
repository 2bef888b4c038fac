//! The yearly report: its contents, and that it has no small numbers.

use crate::rows::{child, clinic, foot, on};
use audit::{ChildHistory, FootHistory, Measure, Selection, report::YearReport};
use record::Side;

/// Children begun `from` day on, every tenth day, braced after 60 days; every third foot without a tenotomy.
fn begun(count: i32, from: i32, first: u128) -> Vec<ChildHistory> {
    (0..count)
        .map(|n| {
            let cast = from + 10 * n;
            let foot = FootHistory {
                first_cast: on(cast).into(),
                brace: on(cast + 60).into(),
                tenotomy: (n % 3 != 0).then(|| on(cast + 40)).into(),
                correcting_casts: 5,
                casts: 6,
                ..foot(Side::Right)
            };
            ChildHistory {
                born: on(cast - 20).into(),
                referred: on(cast - 10).into(),
                brace: on(cast + 60).into(),
                last_seen: on(1_400).into(),
                ..child(first + n as u128, [Some(foot), None])
            }
        })
        .collect()
}

#[test]
fn a_year_includes_its_own_cases_for_shares_and_everyone_for_curves() {
    // 2021 is days 366 to 730: thirty children begin in 2020, twenty-four in 2021.
    let children = [begun(30, 10, 1), begun(24, 380, 100)].concat();
    let report = YearReport::of(&clinic(on(1_500), children), 2021);
    let line = |measure| report.lines.iter().find(|line| line.measure == measure).unwrap();
    assert_eq!(report.begun, Some(24));
    // Of 24 feet, 16 of which n % 3 ≠ 0.
    let tenotomy = line(Measure::Tenotomy);
    assert_eq!((tenotomy.n, tenotomy.events), (Some(24), Some(16)));
    assert!((tenotomy.figures[0].estimate.value - 16.0 / 24.0).abs() < 1e-12);
    assert_eq!(line(Measure::RelapseFree).n, Some(54));
    assert_eq!(report.lines.len(), Measure::ALL.len());
    assert!(report.lines.iter().all(|line| !line.method.is_empty()));
}

#[test]
fn small_numbers_are_not_in_it_at_all() {
    let children = [begun(30, 10, 1), begun(4, 380, 100)].concat();
    let report = YearReport::of(&clinic(on(1_500), children), 2021);
    let tenotomy = report.lines.iter().find(|line| line.measure == Measure::Tenotomy).unwrap();
    assert_eq!((tenotomy.n, tenotomy.children, tenotomy.events), (None, None, None));
    assert!(tenotomy.figures.is_empty() && tenotomy.why_none.as_ref().unwrap().starts_with("Withheld: "));
    assert_eq!(report.begun, None);
}

/// Twenty-four children begin in 2021, every other one by the second clinician.
#[test]
fn the_year_of_a_clinician_includes_that_clinicians_cases_only() {
    let mut children = begun(24, 380, 100);
    for (n, child) in children.iter_mut().enumerate() {
        child.feet.iter_mut().flatten().for_each(|foot| foot.clinician = (n % 2) as u16);
    }
    let own = Selection { clinician: Some(1), ..Selection::default() };
    let report = YearReport::of_selection(&clinic(on(1_500), children), 2021, &own);
    assert_eq!(report.begun, Some(12));
    let line = |measure| report.lines.iter().find(|line| line.measure == measure).unwrap();
    assert_eq!(line(Measure::Casts).n, Some(12));
    // Four of the twelve had no tenotomy: fewer than five, so the share is withheld.
    assert_eq!(line(Measure::Tenotomy).n, None);
}

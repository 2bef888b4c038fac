//! The rule for "more than chance", with data made for each of its branches.

use crate::rows::{child, clinic, foot, on};
use audit::{ChildHistory, DetailLevel, FootHistory, Measure, MeasureResult, Selection, Verdict, YearChange};
use record::Side;

/// The as-of day: quarters end here and every three months before.
const AS_OF: i32 = 3_650;
const QUARTERS: i32 = 16;

/// Feet braced in each of sixteen quarters, the last one ending on the as-of day: this many, of which
/// this many after a tenotomy.
fn quarters(feet: impl Fn(i32) -> (u32, u32)) -> YearChange {
    let mut children: Vec<ChildHistory> = Vec::new();
    for quarter in 0..QUARTERS {
        let (count, cut) = feet(quarter);
        for n in 0..count {
            // Mid-quarter: 91 days each, counted back from the as-of day.
            let brace = AS_OF - 91 * (QUARTERS - 1 - quarter) - 45;
            let foot = FootHistory {
                first_cast: on(brace - 60).into(),
                brace: on(brace).into(),
                tenotomy: (n < cut).then(|| on(brace - 21)).into(),
                ..foot(Side::Right)
            };
            let number = 1 + children.len() as u128;
            children.push(ChildHistory { brace: on(brace).into(), ..child(number, [Some(foot), None]) });
        }
    }
    let clinic = clinic(on(AS_OF), children);
    let answer = MeasureResult::of(&clinic, &Selection::default(), Measure::Tenotomy, DetailLevel::Overview);
    let chart = answer.chart.as_ref().expect("a chart");
    assert_eq!(chart.points.len(), QUARTERS as usize, "each quarter is a point");
    answer.change
}

const LAST_YEAR: i32 = QUARTERS - 4;

/// 10 of 20 in each quarter: p̄ = 1/2, limits 1/2 ± 3 √(1/80) = 0.165 and 0.835.
#[test]
fn neither_shows_a_change() {
    let change = quarters(|_| (20, 10));
    assert_eq!(change.verdict, Verdict::NoMoreThanChance, "{}", change.sentence);
    assert!(change.sentence.ends_with("lies outside its limits."), "{}", change.sentence);
}

/// The last year 1 of 20 in each quarter, far below its limit, and 4 of 80 against 40 of 80.
#[test]
fn both_show_a_change_in_the_same_direction() {
    let change = quarters(|quarter| (20, if quarter >= LAST_YEAR { 1 } else { 10 }));
    assert_eq!(change.verdict, Verdict::MoreThanChance, "{}", change.sentence);
    assert!(change.sentence.contains("Both the years and the chart show a change"), "{}", change.sentence);
}

/// One quarter of 2 of 20 is outside; the other quarters of the year make up for it: 42 of 80 against 40 of 80.
#[test]
fn the_chart_alone_is_one_sign() {
    let cut = |quarter| match quarter - LAST_YEAR {
        0 => 2,
        1 => 14,
        2 | 3 => 13,
        _ => 10,
    };
    let change = quarters(|quarter| (20, cut(quarter)));
    assert_eq!(change.verdict, Verdict::OneSign, "{}", change.sentence);
    assert!(
        change.sentence.contains("One sign of two: one point of the last year is outside the limits; the years do not differ by more than chance (p = "),
        "{}",
        change.sentence
    );
}

/// 6 of 20 in each quarter against 11 of 20: no quarter is beyond three standard errors, but 24 of 80
/// and 44 of 80 differ by about 4.4 standard errors.
#[test]
fn the_years_alone_are_one_sign() {
    let change = quarters(|quarter| (20, if quarter >= LAST_YEAR { 6 } else { 11 }));
    assert_eq!(change.verdict, Verdict::OneSign, "{}", change.sentence);
    assert!(
        change.sentence.contains("no point of the last year is outside the limits"),
        "{}",
        change.sentence
    );
}

/// The year is lower, 28 of 56 against 60 of 80, but its one point outside is above: 19 of 20.
#[test]
fn opposite_directions_are_one_sign() {
    let cut = |quarter| match quarter - LAST_YEAR {
        3 => 19,
        0..=2 => 3,
        _ if quarter >= LAST_YEAR - 4 => 15,
        _ => 9,
    };
    let change = quarters(|quarter| {
        let of = if (LAST_YEAR..LAST_YEAR + 3).contains(&quarter) { 12 } else { 20 };
        (of, cut(quarter).min(of))
    });
    assert_eq!(change.verdict, Verdict::OneSign, "{}", change.sentence);
    assert!(change.sentence.contains("The two point in opposite directions"), "{}", change.sentence);
}

/// 10 of 20 and 7 of 20 in each quarter: 28 of 80 against 40 of 80, z about 1.9 to 2.0.
#[test]
fn between_one_and_five_in_a_hundred_is_perhaps_chance() {
    let change = quarters(|quarter| {
        let cut = match quarter - LAST_YEAR {
            0 | 2 => 7,
            1 | 3 => 6,
            _ => 10,
        };
        (20, cut)
    });
    let p = change.difference.expect("compared").3;
    assert!((0.01..0.05).contains(&p), "{p}");
    assert_eq!(change.verdict, Verdict::PerhapsChance, "{}", change.sentence);
}

/// No cases in the year before the last: the years cannot be compared.
#[test]
fn too_few_to_compare_and_no_signal_in_the_chart() {
    let mut children: Vec<ChildHistory> = Vec::new();
    for n in 0..6 {
        let brace = AS_OF - 200 + n;
        let foot =
            FootHistory { first_cast: on(brace - 60).into(), brace: on(brace).into(), ..foot(Side::Right) };
        children.push(ChildHistory { brace: on(brace).into(), ..child(1 + n as u128, [Some(foot), None]) });
    }
    let clinic = clinic(on(AS_OF), children);
    let answer = MeasureResult::of(&clinic, &Selection::default(), Measure::Tenotomy, DetailLevel::Overview);
    assert_eq!(answer.change.verdict, Verdict::TooFew, "{}", answer.change.sentence);
    assert!(answer.change.sentence.contains("too few to judge"), "{}", answer.change.sentence);
}

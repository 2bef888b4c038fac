//! The chance of a relapse by the hours of wear.

use super::story::{PUBLISHED, Story, day};
use forecast::SeenChild;
use forecast::foot::Forecaster;
use forecast::learning::ClinicPosterior;
use forecast::natural_history::Parameters;
use forecast::relapse::{RelapseByWear, WearGrade};
use record::Day;

fn risk(story: &Story, as_of: Day) -> RelapseByWear {
    RelapseByWear::of(&SeenChild::of(&story.course(as_of)).child, as_of).unwrap()
}

#[test]
fn little_wear_raises_the_chance_of_a_relapse_and_unknown_wear_lies_between() {
    let (mut well, mut badly) = (Story::braced(), Story::braced());
    for quarter in 0..4 {
        let from = day(2024, 4, 1) + 91 * quarter;
        well.logged(from, from + 90, PUBLISHED[quarter as usize]);
        badly.logged(from, from + 90, 0.2 * PUBLISHED[quarter as usize]);
    }
    let as_of = day(2025, 4, 1);
    let [well, unknown, badly] = [&well, &Story::braced(), &badly].map(|story| risk(story, as_of));
    assert!(well.now < unknown.now && unknown.now < badly.now, "{well:?} {unknown:?} {badly:?}");
    for risk in [well, unknown, badly] {
        assert!(risk.keeping <= risk.now && risk.now <= risk.not_keeping, "{risk:?}");
    }
    assert_eq!(badly.grade(), WearGrade::High);
}

/// The wear page and the child's page show the same chance for the same foot, whatever was learned.
#[test]
fn the_chance_by_wear_is_that_of_the_forecast_of_the_foot() {
    let mut story = Story::braced();
    for quarter in 0..4 {
        let from = day(2024, 4, 1) + 91 * quarter;
        story.logged(from, from + 90, 6.0);
    }
    let as_of = day(2025, 4, 1);
    let child = SeenChild::of(&story.course(as_of)).child;
    let published = Parameters::published();
    // Sixty children of whom none relapsed in three years.
    let well = SeenChild::of(&Story::braced().course(day(2027, 4, 1))).child;
    let taught = ClinicPosterior::of(&published, &vec![well; 60], day(2027, 4, 2).number());
    let mut chances = Vec::new();
    for clinic in [ClinicPosterior::published(&published), taught] {
        let forecaster = Forecaster::new(&clinic);
        let (risk, feet) = forecaster.relapse_by_wear(&child, as_of).unwrap();
        assert_eq!(feet, clinic.finished_feet());
        let foot = forecaster.of(&child, as_of.number())[0].relapse_within_year.unwrap();
        assert!((risk.now - foot.value).abs() < 1e-12, "{risk:?} {foot:?}");
        chances.push(risk);
    }
    assert_eq!(
        chances[0],
        risk(&story, as_of),
        "without a foot of its own a clinic has the published chance"
    );
    assert!(chances[1].now < 0.9 * chances[0].now, "{chances:?}");
}

/// These children were all still corrected at two years, so such hours are no evidence of a family that does not keep
/// to the brace.
#[test]
fn the_hours_of_children_who_did_well_are_a_usual_risk() {
    let mut story = Story::braced();
    for (quarter, hours) in PUBLISHED.into_iter().enumerate() {
        let from = day(2024, 4, 1) + 91 * quarter as i32;
        story.logged(from, from + 90, hours);
    }
    let risk = risk(&story, day(2025, 10, 1));
    assert!(risk.keeps > 0.9 && risk.grade() == WearGrade::Usual, "{risk:?}");
}

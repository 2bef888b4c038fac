//! Published end points and windows, each with its source.

use crate::story::{Story, due, full_text, of_foot, short};
use guidance::{Action, Protocol, Scope};
use record::Side;
use rstest::rstest;

fn corrected_at(abduction: i16, dorsiflexion: i16, nature: &str) -> Story {
    Story::rows(&format!(
        "| 2024-06-03 | – | registered | name Tevita; born 2024-05-13; gestation 40 w |
         | 2024-06-03 | left | diagnosis | {nature} |
         | 2024-06-03 | left | cast | |
         | 2024-06-10 | left | cast | |
         | 2024-06-17 | left | score | 0 0 0 / ½ 0 0; abduction {abduction}; dorsiflexion {dorsiflexion} |
         | 2024-06-17 | left | cast | |"
    ))
}

/// Khan 2017 (read): at least 15° dorsiflexion and 70° abduction. If the clinic's own end point is
/// reached and this one is not, it is named.
#[rstest]
#[case(70, 15, false)]
#[case(69, 15, true)]
#[case(60, 15, true)]
fn the_end_point_of_khan(#[case] abduction: i16, #[case] dorsiflexion: i16, #[case] named: bool) {
    let outlook = corrected_at(abduction, dorsiflexion, "idiopathic").on("2024-06-17");
    let step = outlook.foot_step(Side::Left).unwrap();
    assert_eq!(step.action, Action::FitBrace);
    assert_eq!(step.otherwise.iter().any(|reason| reason.source.contains("Khan 2017")), named);
}

/// Mehta 2021, 10.5005/jp-journals-10040-1170 (read): 30–40° abduction and 5–10° dorsiflexion are
/// accepted in stiff feet that are not idiopathic; the lower ends are from which the brace follows.
#[rstest]
#[case("neurogenic", 30, 5, Action::FitBrace)]
#[case("syndromic", 30, 5, Action::FitBrace)]
#[case("neurogenic", 29, 5, Action::NextCast)]
#[case("neurogenic", 30, 4, Action::Tenotomy)]
#[case("idiopathic", 30, 5, Action::NextCast)]
fn what_is_accepted_when_not_idiopathic(
    #[case] nature: &str,
    #[case] abduction: i16,
    #[case] dorsiflexion: i16,
    #[case] expected: Action,
) {
    let outlook = corrected_at(abduction, dorsiflexion, nature).on("2024-06-17");
    assert_eq!(of_foot(&outlook, Side::Left).0, expected);
}

/// 1 week, then 5 more, then 6 more: 1 + 5 + 6 = 12 weeks (common practice, no source).
#[test]
fn early_reviews_add_up_to_twelve_weeks() {
    let reviews: Vec<_> = Protocol::built_in().early_reviews().map(|review| review.due_days).collect();
    assert_eq!(reviews, [7, (1 + 5) * 7, (1 + 5 + 6) * 7]);
}

fn braced(rows: &str) -> Story {
    Story::rows(&format!(
        "| 2024-06-03 | – | registered | name Runa; born 2024-05-13; gestation 40 w |
         | 2024-06-03 | right | cast | |
         | 2024-07-09 | right | tenotomy | |
         | 2024-07-09 | right | cast | after tenotomy |
         | 2024-07-30 | – | brace | full time |
         {rows}"
    ))
}

/// A visit counts from the first day of a review's window: 6 weeks are due on 10 September (30 July +
/// 42), from 7 September (3 days sooner).
#[rstest]
#[case("2024-09-06", "2024-09-07", "2024-09-17")] // a day too soon: 6 weeks still to come
#[case("2024-09-07", "2024-10-19", "2024-10-29")] // counts: 12 weeks are next
#[case("2024-09-17", "2024-10-19", "2024-10-29")]
#[case("2024-10-18", "2024-10-19", "2024-10-29")] // late, before the next window
fn a_visit_counts_from_the_first_day_of_the_window(#[case] seen: &str, #[case] from: &str, #[case] to: &str) {
    let story = braced(&format!("| {seen} | right | movement | dorsiflexion 20 |"));
    let (action, window) = of_foot(&story.on(seen), Side::Right);
    assert_eq!(window, Some((from.to_owned(), to.to_owned())));
    let twelve = from == "2024-10-19";
    assert_eq!(action, if twelve { Action::ChangeToNightTime } else { Action::EarlyBraceReview });
}

/// Already on nights and naps at the third review: a review without a change.
#[test]
fn no_change_if_nights_were_recorded_before() {
    let story = braced(
        "| 2024-09-10 | right | movement | dorsiflexion 20 |
         | 2024-09-10 | – | brace changed | hours changed; nights and naps |",
    );
    let expected = due(Action::EarlyBraceReview, "2024-10-19", "2024-10-29");
    assert_eq!(of_foot(&story.on("2024-09-10"), Side::Right), expected);
}

/// A clinic that keeps full time for 16 weeks: the 12-week review changes nothing, the change comes at
/// 30 July + 112 days = 19 November.
#[test]
fn longer_full_time_parts_review_and_change() {
    let protocol = Protocol::with_clinic_file("[bracing]\nfull_time_weeks = 16\n").unwrap();
    let story = braced(
        "| 2024-09-10 | right | movement | dorsiflexion 20 |
         | 2024-10-22 | right | movement | dorsiflexion 20 |",
    );
    let at = |day: &str| of_foot(&story.under(day, &protocol), Side::Right);
    assert_eq!(at("2024-09-10"), due(Action::EarlyBraceReview, "2024-10-19", "2024-10-29"));
    assert_eq!(at("2024-10-22"), due(Action::ChangeToNightTime, "2024-11-19", "2024-11-26"));
}

/// Two years old to the day at the tenotomy: 42 days; a day younger: 14 to 21 (proceedings, 92-B supp
/// III 369: six weeks over two years; read).
#[rstest]
#[case("2022-07-10", "2024-07-23", "2024-07-30")]
#[case("2022-07-09", "2024-08-20", "2024-08-20")]
fn the_longer_cast_from_two_years(#[case] born: &str, #[case] from: &str, #[case] to: &str) {
    let story = Story::rows(&format!(
        "| 2024-06-03 | – | registered | name Amadou; born {born}; gestation 40 w |
         | 2024-06-03 | right | cast | |
         | 2024-07-09 | right | tenotomy | |
         | 2024-07-09 | right | cast | after tenotomy |"
    ));
    let outlook = story.on("2024-07-09");
    assert_eq!(of_foot(&outlook, Side::Right), due(Action::CastOffAndBrace, from, to));
    assert_eq!(
        short(&outlook.lead_on(outlook.course.as_of).unwrap()),
        due(Action::CastOffAndBrace, from, to)
    );
}

/// British consensus (read): start at 2 to 6 weeks; premature babies wait until term. Referred on the
/// day term is reached there is nothing to wait for.
#[rstest]
#[case("2024-01-01", 40, "2024-01-03", Action::FirstVisit, "2024-01-15", "2024-02-12")]
#[case("2024-01-01", 40, "2024-01-20", Action::FirstVisit, "2024-01-20", "2024-02-12")]
#[case("2024-01-01", 40, "2024-02-12", Action::FirstVisit, "2024-02-12", "2024-02-19")]
#[case("2024-01-01", 37, "2024-01-03", Action::FirstVisit, "2024-01-15", "2024-02-12")]
#[case("2024-01-01", 36, "2024-01-28", Action::WaitForTerm, "2024-01-29", "2024-02-26")]
#[case("2024-01-01", 36, "2024-01-29", Action::FirstVisit, "2024-01-29", "2024-02-26")]
fn when_to_begin(
    #[case] born: &str,
    #[case] weeks: u8,
    #[case] referred: &str,
    #[case] action: Action,
    #[case] from: &str,
    #[case] to: &str,
) {
    let story = Story::rows(&format!(
        "| {referred} | – | registered | name Siosaia; born {born}; gestation {weeks} w |
         | {referred} | – | referred | |"
    ));
    let outlook = story.on(referred);
    let child = outlook.child_step().unwrap();
    assert_eq!(child.scope, Scope::Child);
    assert_eq!(short(child), due(action, from, to), "{}", full_text(child));
}

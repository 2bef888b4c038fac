//! Which actions come first for a child in each state, and which are not offered.

use crate::story::Story;
use guidance::{ChildAction, ChildActions};
use record::Kind;

const BORN: &str = "2024-01-02 | – | registered | born 2024-01-01; gestation 40 w";

fn actions(rows: &str, on: &str) -> ChildActions {
    ChildActions::of(&Story::rows(&format!("{BORN}\n{rows}")).on(on))
}

fn leads(rows: &str, on: &str) -> ChildAction {
    *actions(rows, on).first.first().unwrap()
}

fn offered(rows: &str, on: &str, action: ChildAction) -> bool {
    let ChildActions { first, more } = actions(rows, on);
    first.contains(&action) || more.contains(&action)
}

const DIAGNOSED: &str = "2024-01-08 | both | diagnosis | idiopathic";
const CAST: &str = "2024-01-15 | both | cast | correction";
const CUT: &str = "2024-01-15 | both | cast | correction
    2024-02-26 | both | tenotomy | ;
    2024-02-26 | both | cast | after tenotomy";
const BRACED: &str = "2024-01-15 | both | cast | correction
    2024-02-26 | both | tenotomy | ;
    2024-02-26 | both | cast | after tenotomy
    2024-03-18 | – | brace | full time; hours 23";

#[test]
fn a_newborn_is_offered_a_visit_and_no_brace() {
    for rows in ["", DIAGNOSED, CAST] {
        assert_eq!(leads(rows, "2024-01-20"), ChildAction::Visit, "{rows}");
        for brace in [ChildAction::BraceFitting, ChildAction::BraceProblems, ChildAction::Wear] {
            assert!(!offered(rows, "2024-01-20", brace), "{brace:?} after {rows:?}");
        }
    }
}

#[test]
fn boots_may_be_measured_once_a_tenotomy_is_booked() {
    let rows = "2024-01-15 | right | cast | correction
        2024-02-12 | right | tenotomy booked | for 2024-02-26";
    let found = actions(rows, "2024-02-14");
    assert_eq!(found.first.first(), Some(&ChildAction::Visit));
    assert!(found.more.contains(&ChildAction::BraceFitting));
}

#[test]
fn in_the_last_cast_the_fitting_stands_next_to_the_visit() {
    let found = actions(CUT, "2024-03-01");
    assert_eq!(found.first.get(..2), Some(&[ChildAction::Visit, ChildAction::BraceFitting][..]));
}

#[test]
fn a_foot_corrected_without_tenotomy_is_offered_the_fitting() {
    // Abduction 65° and dorsiflexion 20° reach both end points of the built-in protocol.
    let rows = "2024-01-15 | right | cast | correction
        2024-02-12 | right | score | 0 0 0 / 0 0 0; abduction 65; dorsiflexion 20
        2024-02-12 | right | cast | holding";
    assert!(actions(rows, "2024-02-14").first.contains(&ChildAction::BraceFitting));
}

#[test]
fn in_the_brace_years_measuring_and_fitting_lead() {
    for on in ["2024-03-19", "2025-06-01"] {
        let found = actions(BRACED, on);
        assert_eq!(found.first.get(..2), Some(&[ChildAction::BraceFitting, ChildAction::Visit][..]), "{on}");
        assert!(found.first.contains(&ChildAction::Wear), "{on}");
    }
}

#[test]
fn a_foot_cast_again_leads_back_to_the_visit() {
    let rows = format!(
        "{BRACED}
        2024-09-02 | left | relapse | grade IA
        2024-09-02 | left | cast | correction"
    );
    let found = actions(&rows, "2024-09-03");
    assert_eq!(found.first.first(), Some(&ChildAction::Visit));
    assert!(offered(&rows, "2024-09-03", ChildAction::BraceFitting), "the brace is known already");
}

#[test]
fn after_the_end_of_care_a_visit_recedes_and_stays_in_reach() {
    for (end, lead) in [("transferred", Kind::Referral), ("discharged", Kind::Referral), ("died", Kind::Note)]
    {
        let rows = format!("{BRACED}\n2024-06-03 | – | {end} | ;");
        let found = actions(&rows, "2024-06-04");
        assert_eq!(found.first.first(), Some(&ChildAction::Entry(lead)), "{end}");
        assert!(!found.first.contains(&ChildAction::Visit), "{end}");
        assert!(found.more.contains(&ChildAction::Visit), "{end}");
        for never in [ChildAction::BraceFitting, ChildAction::Entry(Kind::AppointmentMade)] {
            assert!(!offered(&rows, "2024-06-04", never), "{never:?} after {end}");
        }
    }
}

#[test]
fn a_child_declared_lost_is_first_contacted() {
    let rows = format!("{CAST}\n2024-06-03 | – | declared lost | ;");
    assert_eq!(leads(&rows, "2024-06-04"), ChildAction::Entry(Kind::ContactAttempt));
    assert!(offered(&rows, "2024-06-04", ChildAction::Visit));
}

#[test]
fn no_action_is_offered_twice_and_no_form_is_left_out() {
    for rows in ["", CAST, CUT, BRACED] {
        let ChildActions { first, more } = actions(rows, "2024-03-20");
        let all: Vec<_> = first.iter().chain(&more).collect();
        for action in &all {
            assert_eq!(all.iter().filter(|other| other == &action).count(), 1, "{action:?}");
        }
        for kind in Kind::ALL.iter().filter(|kind| kind.spec().form.is_some()) {
            assert!(all.contains(&&ChildAction::Entry(*kind)), "{kind:?} after {rows:?}");
        }
    }
}

/// Who makes appointments sees for what and when, once for both feet, and not why.
#[test]
fn what_is_to_be_booked_names_purpose_and_days_only() {
    let outlook = Story::rows(&format!("{BORN}\n{DIAGNOSED}\n{CAST}")).on("2024-01-20");
    let steps = outlook.steps_on(outlook.course.as_of);
    assert!(steps.len() > 1 && steps.iter().any(|step| !step.because.is_empty()), "{steps:?}");
    let booked = guidance::to_book(&steps);
    let words: Vec<&str> = booked.iter().map(|step| &*step.words).collect();
    assert!(!words.is_empty() && words.iter().all(|words| *words == "cast"), "{words:?}");
    let (mut days, all) = (booked.iter().map(|step| step.window).collect::<Vec<_>>(), booked.len());
    days.dedup();
    assert_eq!(days.len(), all, "the two feet are named once where their days are the same");
    assert_eq!(booked[0].window, steps.iter().find_map(|step| step.window));
    for step in &booked {
        assert!(step.because.is_empty() && step.cautions.is_empty() && step.otherwise.is_empty(), "{step:?}");
    }
}

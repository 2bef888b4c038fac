//! For any entries in any order: no panic, every step has its reasons, windows run forwards, and the requested
//! day only decides which entries are visible.

use crate::story::{Story, day};
use course::{Phase, Standing};
use guidance::{
    Action, Outlook, Protocol, Scope, Urgency,
    attention::{ending::ABOUT_THE_BRACE, worst::leads},
};
use proptest::prelude::*;

/// The rows that may be recorded, without the day.
const ROWS: &[&str] = &[
    "– | registered | name Any; born 2024-01-01; gestation 34 w",
    "– | registered | name Any",
    "right | diagnosis | idiopathic; complex",
    "left | diagnosis | neurogenic",
    "left | diagnosis | positional",
    "right | diagnosis | not a clubfoot",
    "both | score | 1 1 1 / 1 1 1",
    "right | score | ½ 0 0 / 1 1 1; abduction 60; dorsiflexion 0",
    "left | score | 0 0 – / ½ ½ 0; dorsiflexion 20",
    "right | score | 0 0 0 / 1 ½ 1; dorsiflexion 20; abduction 60",
    "left | score | 0 ½ 0 / 0 0 0; dorsiflexion 0; abduction 10",
    "left | score | 0 0 0 / 1 1 1; total 2; dorsiflexion 15; abduction 65",
    "both | tenotomy booked | for 2025-01-01",
    "right | movement | dorsiflexion 5; abduction 65",
    "– | note | seen and well",
    "– | confirmed | right foot after all",
    "left | movement | abduction 70; dorsiflexion 20",
    "both | cast | ",
    "left | cast | holding",
    "right | cast | after tenotomy",
    "right | cast off | slipped",
    "left | cast off | as planned",
    "right | tenotomy booked | for 2024-08-01",
    "left | tenotomy booked | ",
    "right | tenotomy | ",
    "left | tenotomy | ",
    "– | brace | full time",
    "– | brace | ",
    "– | brace changed | bracing stopped",
    "– | brace changed | hours changed; nights and naps",
    "left | relapse | grade IA",
    "right | surgery | tibialis anterior tendon transfer",
    "right | problem | cast slipped",
    "– | problem | heel slips out of the boot",
    "– | appointment | for 2024-09-01; cast",
    "– | missed | ",
    "– | attended | ",
    "– | transferred | ",
    "– | declared lost | ",
    "– | discharged | ",
    "– | died | ",
    "– | contact | telephone",
    "– | contact | letter; reached",
    "– | problem | brace broken",
    "– | problem | boots or bar outgrown",
    "right | problem | fever or signs of infection",
    "– | brace changed | new size",
    "– | brace | nights and naps; boots 100; bar 200",
    "right | movement | length 99",
];

/// Whether a row opens an episode: casts, a tenotomy, a brace, a relapse, other surgery.
fn opens(row: &str) -> bool {
    ["| cast |", "| tenotomy |", "| brace |", "| relapse |", "| surgery |", "taken up again"]
        .iter()
        .any(|word| row.contains(word))
}

/// Whether a brace is taken up by a change of it: bracing that casts or a tenotomy had ended begins again with
/// the first change recorded after them.
fn taken_up_by_a_change(written: &[(usize, i32)], not_before: i32) -> bool {
    let changes = |row: &str| row.contains("| hours changed") || row.contains("| new size");
    let ends = |row: &str| row.contains("| cast |") || row.contains("| tenotomy |");
    written.iter().any(|&(row, after)| {
        let ended = |&(other, earlier): &(usize, i32)| earlier <= after && ends(ROWS[other]);
        after >= not_before && changes(ROWS[row]) && written.iter().any(ended)
    })
}

/// Whether a foot is in treatment after the last row.
fn is_open(outlook: &Outlook) -> bool {
    use Phase::{AfterSurgery, InCorrection, TenotomyCast, WaitingForTenotomy};
    let treated = |foot: &course::FootCourse| {
        matches!(foot.phase, InCorrection | WaitingForTenotomy | TenotomyCast | AfterSurgery)
            || foot.cast_on().is_some()
    };
    outlook.course.feet.iter().any(treated)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn invariants_hold_for_any_entries(
        written in prop::collection::vec((0..ROWS.len(), 0..2_200_i32), 1..25),
        gap in 1..2_000_i32,
    ) {
        let first = day("2024-01-01");
        let rows: Vec<_> = written.iter().map(|&(row, after)| format!("| {} | {} |", first + after, ROWS[row])).collect();
        let story = Story::rows(&rows.join("\n"));
        let last = written.iter().map(|&(_, after)| first + after).max().unwrap();
        let outlook = story.on(&last.to_string());
        prop_assert_eq!(outlook.steps.len(), outlook.course.feet.len() + 1);
        for step in &outlook.steps {
            prop_assert!(!step.because.is_empty() && !step.words.is_empty());
            prop_assert_eq!(&step.words, &step.text.words());
            prop_assert!(step.window.is_none_or(|window| window.from <= window.to));
            let whole = |r: &guidance::Reason| !r.fact.is_empty() && !r.rule.is_empty() && !r.source.is_empty();
            prop_assert!(step.because.iter().chain(&step.otherwise).all(whole));
            prop_assert!(step.action != Action::Nothing || step.window.is_none());
        }
        for foot in &outlook.course.feet {
            let about = |rule: &str| outlook.attention.iter().any(|call| {
                call.rule == rule && call.side.is_none_or(|side| side == foot.side)
            });
            let step = outlook.foot_step(foot.side).unwrap();
            // A decision between cast, tenotomy and brace must not rest on findings that disagree, nor on an
            // entry whose side is in doubt.
            let decides = [Action::FitBrace, Action::Tenotomy, Action::KeepTenotomy, Action::CastOffAndBrace];
            let casting = matches!(
                foot.phase,
                Phase::Referred | Phase::InCorrection | Phase::WaitingForTenotomy | Phase::TenotomyCast
            );
            if about("record-in-doubt") || casting && about("findings-disagree") {
                prop_assert!(!decides.contains(&step.action), "{step:?}");
            }
        }
        let mut shuffled = story.clone();
        shuffled.entries.reverse();
        let turned = shuffled.on(&last.to_string());
        prop_assert_eq!(&outlook.steps, &turned.steps);
        prop_assert_eq!(&outlook.attention, &turned.attention);
        if !matches!(outlook.course.standing, Standing::Active | Standing::Lost(_)) {
            prop_assert_eq!(outlook.lead_on(outlook.course.as_of), None);
        }
        prop_assert_eq!(outlook.steps.last().unwrap().scope, Scope::Child);
        let later = story.on(&(last + gap).to_string());
        prop_assert_eq!(outlook.steps, later.steps);
        prop_assert_eq!(outlook.attention, later.attention);
    }

    /// The order of rows in the file does not affect the calls.
    #[test]
    fn calls_do_not_depend_on_the_order_of_rows(
        written in prop::collection::vec((0..ROWS.len(), 0..2_200_i32), 1..25),
        seed in any::<u64>(),
    ) {
        let first = day("2024-01-01");
        let rows: Vec<_> = written.iter().map(|&(row, after)| format!("| {} | {} |", first + after, ROWS[row])).collect();
        let story = Story::rows(&rows.join("\n"));
        let mut mixed = story.clone();
        let mut state = seed | 1;
        for at in (1..mixed.entries.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            mixed.entries.swap(at, usize::try_from(state >> 33).unwrap() % (at + 1));
        }
        prop_assert_eq!(story.on("2031-01-01").attention, mixed.on("2031-01-01").attention);
    }

    /// There is no call about a brace that is no longer to be worn, unless an episode was opened or was still
    /// open at the end of bracing; and every child with a call for the same day or this week has a row for it.
    #[test]
    fn brace_calls_end_with_bracing_and_no_urgent_call_is_without_a_row(
        written in prop::collection::vec((0..ROWS.len(), 0..2_200_i32), 1..25),
    ) {
        let first = day("2024-01-01");
        let rows: Vec<_> = written.iter().map(|&(row, after)| format!("| {} | {} |", first + after, ROWS[row])).collect();
        let story = Story::rows(&rows.join("\n"));
        let outlook = story.on("2035-01-01");
        let protocol = Protocol::built_in();
        if let Some(end) = protocol.bracing_ends(outlook.course.about.born) {
            let late = written.iter().any(|&(row, after)| first + after >= end && opens(ROWS[row]))
                || taken_up_by_a_change(&written, end - first);
            let last = end + i32::from(protocol.review_days_after);
            let beyond = |call: &&guidance::Attention| {
                ABOUT_THE_BRACE.contains(&call.rule) && call.until.is_none_or(|until| until > last + 1)
            };
            let beyond: Vec<_> = outlook.attention.iter().filter(beyond).collect();
            prop_assert!(late || is_open(&outlook) || beyond.is_empty(), "{beyond:?}");
        }
        let stretches = leads(&outlook.attention);
        for after in (0..4_000).step_by(7) {
            let on = first + after;
            let urgent = |call: &guidance::Attention| call.is_listed(on) && call.urgency <= Urgency::ThisWeek;
            let holds = stretches.iter().find(|lead| lead.from <= on && lead.until.is_none_or(|until| on < until));
            let shown = holds.is_some_and(|lead| outlook.attention[lead.call].urgency <= Urgency::ThisWeek);
            prop_assert_eq!(outlook.attention.iter().any(urgent), shown, "{}", on);
        }
    }
}

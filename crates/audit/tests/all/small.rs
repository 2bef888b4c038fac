//! The rule for small numbers.

use audit::{CaseCounts, small};
use proptest::prelude::*;

fn line(children: usize, events: Option<usize>) -> CaseCounts {
    let free_children = events.map(|events| children - events);
    CaseCounts { n: children, children, events, event_children: events, free_children }
}

#[test]
fn one_to_four_are_withheld_none_and_five_are_not() {
    for (children, small) in [(0, false), (1, true), (4, true), (5, false)] {
        assert_eq!(small::is_small(&line(children, None)), small, "{children}");
    }
    // Those with and without the event are treated alike: 3 of 20, 17 of 20, but neither 0 nor all of 20.
    for (events, small) in [(0, false), (3, true), (5, false), (15, false), (17, true), (20, false)] {
        assert_eq!(small::is_small(&line(20, Some(events))), small, "{events}");
    }
}

/// Of 45 feet of 31 children 44 had the event: the one child with a foot without it could be identified.
#[test]
fn one_foot_of_a_child_without_the_event_is_a_child_too() {
    let counted = CaseCounts {
        n: 45,
        children: 31,
        events: Some(44),
        event_children: Some(31),
        free_children: Some(1),
    };
    assert!(small::is_small(&counted));
}

#[test]
fn if_one_line_could_be_recovered_the_next_smallest_is_withheld_too() {
    let shown =
        |children: &[usize]| small::may_leave(&children.iter().map(|n| line(*n, None)).collect::<Vec<_>>());
    assert_eq!(shown(&[30, 20, 10]), [true, true, true]);
    assert_eq!(shown(&[30, 20, 3]), [true, false, false]);
    assert_eq!(shown(&[30, 3, 3]), [true, false, false], "two that hold six are hidden by each other");
    assert_eq!(shown(&[30, 2, 1]), [false, false, false], "two that hold three are not");
    assert_eq!(shown(&[30, 0, 3]), [false, true, false], "an empty line hides nothing");
    assert_eq!(shown(&[3]), [false]);
    assert_eq!(shown(&[]), Vec::<bool>::new());
}

proptest! {
    #[test]
    fn nothing_withheld_can_be_got_back(children in proptest::collection::vec(0_usize..40, 1..9)) {
        let lines: Vec<_> = children.iter().map(|n| line(*n, None)).collect();
        let shown = small::may_leave(&lines);
        let hidden: Vec<usize> = children.iter().zip(&shown).filter(|(_, shown)| !**shown).map(|(n, _)| *n).collect();
        for (n, shown) in children.iter().zip(&shown) {
            prop_assert!(!shown || !(1..=4).contains(n));
        }
        let alone = hidden.len() == 1;
        let total: usize = hidden.iter().sum();
        // If every line with a child is withheld, no more can be withheld.
        let all = children.iter().zip(&shown).all(|(n, shown)| !shown || *n == 0);
        prop_assert!(all || hidden.is_empty() || (!alone && total >= 5), "{children:?} {shown:?}");
    }
}

//! A child is found by its marks, and texts are saved for all children; both follow the log.

use crate::common::{child, day, note, open, options, raw, someone};
use archive::{Archive, FaultKind};
use record::{ChildId, DayRange, Timestamp};

fn texts(archive: &Archive, topic: &str) -> Vec<(ChildId, String)> {
    let mut all = Vec::new();
    archive.for_each_saved_text(topic, &mut |child, text| all.push((child, text.to_owned()))).unwrap();
    all.sort();
    all
}

fn days(from: &str, to: &str) -> DayRange {
    DayRange::new(day(from), day(to))
}

#[test]
fn a_child_is_found_by_a_mark_on_its_days_only() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    archive
        .append(vec![
            note(child(1), "2024-01-09", "mark/logger/K-4/2024-01-02/2024-01-08"),
            note(child(1), "2024-01-09", "mark/logger/K-4/2024-01-05/2024-01-12"),
            note(child(2), "2024-01-09", "mark/logger/K-4/2024-03-01/2024-03-08"),
            note(child(3), "2024-01-09", "mark/other/K-4/2024-01-02/2024-01-08"),
        ])
        .unwrap();
    let found = |from, to| archive.marked("logger", "K-4", days(from, to)).unwrap();
    assert_eq!(found("2024-01-12", "2024-01-20"), [child(1)], "the last day counts, and a child once");
    assert_eq!(found("2024-01-13", "2024-02-29"), []);
    assert_eq!(found("2023-12-01", "2024-01-01"), []);
    assert_eq!(found("2024-01-02", "2024-03-01"), [child(1), child(2)]);
    assert_eq!(archive.marked("logger", "K-40", days("2024-01-01", "2024-12-31")).unwrap(), []);
    let counted = archive.marks_counted("logger", day("2024-12-31")).unwrap();
    assert_eq!(counted, [("K-4".to_owned(), 3)]);
    // The first of March has not come.
    assert_eq!(archive.marks_counted("logger", day("2024-02-29")).unwrap(), [("K-4".to_owned(), 2)]);
}

#[test]
fn a_text_is_replaced_by_the_next_and_goes_with_its_entry() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let first = note(child(1), "2024-01-09", "keep/growth/short");
    let second = note(child(1), "2024-01-09", "keep/growth/long");
    archive.append(vec![first, note(child(2), "2024-01-09", "keep/growth/other")]).unwrap();
    archive.append(vec![second.clone()]).unwrap();
    let of = |number, text: &str| (child(number), text.to_owned());
    assert_eq!(texts(&archive, "growth"), [of(1, "long"), of(2, "other")]);
    archive.erase(second.id, "asked for", someone(), Timestamp::from_seconds(0)).unwrap();
    assert_eq!(texts(&archive, "growth"), [of(1, "short"), of(2, "other")]);
    assert_eq!(archive.saved_text("growth", child(1)).unwrap().as_deref(), Some("short"));
    assert_eq!(archive.saved_text("growth", child(3)).unwrap(), None);
    assert_eq!(texts(&archive, "elsewhere"), []);
}

#[test]
fn marks_changed_behind_the_programs_back_are_found_and_computed_again() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    archive.append(vec![note(child(1), "2024-01-09", "mark/logger/K-4/2024-01-02/2024-01-08")]).unwrap();
    for change in ["UPDATE marks SET to_day = to_day + 1", "DELETE FROM marks"] {
        raw(dir.path()).execute(change, []).unwrap();
        let report = archive.verify().unwrap();
        assert_eq!(report.faults.first().map(|fault| fault.kind), Some(FaultKind::Summary), "{report}");
    }
    drop(archive);
    let again = archive::Options { summary_version: "2".into(), ..options() };
    let archive = Archive::open(dir.path(), again).unwrap();
    assert!(archive.verify().unwrap().is_sound());
    assert_eq!(archive.marked("logger", "K-4", days("2024-01-08", "2024-01-08")).unwrap(), [child(1)]);
}

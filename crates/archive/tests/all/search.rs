//! Finding a child.

use crate::common::{child, entry, open, registration};
use archive::{Archive, Hit};
use record::{Carer, ChildId, Registration};
use rstest::rstest;
use tempfile::TempDir;

const CHILDREN: &[(&str, &str, &str, Option<&str>)] = &[
    ("Amina", "Osei", "CF-0012", Some("2023-10-05")),
    ("Amena", "Osei", "CF-0120", Some("2023-05-10")),
    ("Zoë", "Łukasiewicz", "KB 77/2023", Some("2022-02-28")),
    ("Rashid", "Al-Hassan", "0450", None),
    ("Seán", "O'Brien", "X9", Some("2021-12-31")),
    ("Mohammed Tariq", "van der Berg", "CF-0013", Some("2023-10-05")),
    ("ሰላም", "አበበ", "A-1", None),
];

fn clinic() -> (TempDir, Archive) {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let one = |(at, (given, family, number, born)): (usize, &(&str, &str, &str, Option<&str>))| {
        registration(child(at as u128), given, family, number, *born)
    };
    archive.append(CHILDREN.iter().enumerate().map(one).collect()).unwrap();
    (dir, archive)
}

fn found(archive: &Archive, text: &str) -> Vec<ChildId> {
    archive.search(text, 10).unwrap().into_iter().map(|hit| hit.summary.child).collect()
}

#[rstest]
#[case::whole("Amina Osei", &[0, 1])]
#[case::order_turned_round("osei amina", &[0, 1])]
#[case::part_of_a_name("lukasie", &[2])]
#[case::middle_of_a_name("kasie", &[2])]
#[case::without_accents("zoe", &[2])]
#[case::with_accents("ZOË", &[2])]
#[case::misspelt("Lukasievitz", &[2])]
#[case::letters_swapped("rahsid", &[3])]
#[case::run_together("alhassan", &[3])]
#[case::taken_apart("al hassan", &[3])]
#[case::apostrophe_left_out("obrien", &[4])]
#[case::other_apostrophe("O’Brien", &[4])]
#[case::three_words("vanderberg", &[5])]
#[case::second_given_name("tariq", &[5])]
#[case::initial_and_name("m berg", &[5])]
#[case::other_script("አበበ", &[6])]
#[case::number("CF-0012", &[0])]
#[case::number_spaced("cf 00 12", &[0])]
#[case::number_with_stroke("KB77 2023", &[2])]
#[case::end_of_a_number("0120", &[1])]
#[case::day_iso("2023-10-05", &[0, 5])]
#[case::day_spelt("5 October 2023", &[0, 5])]
#[case::day_short("5 oct 2023", &[0, 5])]
#[case::day_month_first("Oct 5, 2023", &[0, 5])]
#[case::day_dotted("31.12.2021", &[4])]
#[case::name_and_day("amina 5 oct 2023", &[0])]
#[case::month_and_year("Oct 2023", &[0, 5])]
#[case::name_month_and_year("tariq october 2023", &[5])]
#[case::month_in_figures_is_part_of_a_number("77/2023", &[2])]
#[case::nothing_like_it("Xylander", &[])]
#[case::empty("", &[])]
#[case::only_marks(" -- ' ", &[])]
fn finds(#[case] text: &str, #[case] expected: &[u128]) {
    let (_dir, archive) = clinic();
    let expected: Vec<_> = expected.iter().map(|number| child(*number)).collect();
    assert_eq!(found(&archive, text), expected);
}

#[test]
fn a_day_that_can_be_read_two_ways_finds_both_and_says_which() {
    let (_dir, archive) = clinic();
    let hits = archive.search("05/10/2023", 10).unwrap();
    let mut whys: Vec<_> = hits.iter().map(|hit| (hit.summary.child, hit.why.as_str())).collect();
    whys.sort();
    let expected = [
        (child(0), "born 5 October 2023"),
        (child(1), "born 10 May 2023"),
        (child(5), "born 5 October 2023"),
    ];
    assert_eq!(whys, expected);
}

#[test]
fn exact_comes_before_misspelt_and_says_so() {
    let (_dir, archive) = clinic();
    for (asked, first, second) in [("amina", 0, 1), ("amena", 1, 0)] {
        let hits = archive.search(asked, 10).unwrap();
        let children: Vec<_> = hits.iter().map(|hit| (hit.summary.child, hit.exact)).collect();
        assert_eq!(children, [(child(first), true), (child(second), false)]);
        assert!(hits[1].why.contains("is like"), "{}", hits[1].why);
    }
}

#[test]
fn numbers_are_never_matched_by_resemblance() {
    let (_dir, archive) = clinic();
    // One digit away from CF-0012 and CF-0013.
    assert_eq!(found(&archive, "CF-0014"), Vec::<ChildId>::new());
    assert_eq!(archive.by_number("cf 0012").unwrap(), vec![child(0)]);
    assert_eq!(archive.by_number("CF-001").unwrap(), Vec::<ChildId>::new());
    assert_eq!(archive.by_number("").unwrap(), Vec::<ChildId>::new());
}

#[test]
fn a_changed_name_is_found_by_the_new_one_only() {
    let (_dir, archive) = clinic();
    archive.append(vec![registration(child(3), "Rashid", "Newname", "0450", None)]).unwrap();
    assert_eq!(found(&archive, "newname"), vec![child(3)]);
    assert_eq!(found(&archive, "hassan"), Vec::<ChildId>::new());
}

#[test]
fn twins_with_one_name_are_both_found() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let twins = [1, 2].map(|n| registration(child(n), "Ama", "Mensah", &format!("T{n}"), Some("2024-01-01")));
    archive.append(twins.to_vec()).unwrap();
    assert_eq!(found(&archive, "ama mensah"), vec![child(1), child(2)]);
    assert_eq!(archive.search("ama mensah", 1).unwrap().len(), 1);
    assert_eq!(archive.born_on(crate::common::day("2024-01-01")).unwrap().len(), 2);
}

#[test]
fn children_are_listed_by_name_in_pages() {
    let (_dir, archive) = clinic();
    let (page, total) = archive.children(Some(true), None, 1, 2).unwrap();
    let names: Vec<_> = page.iter().map(|summary| summary.family_name.as_str()).collect();
    // al-hassan, lukasiewicz, o'brien, osei, osei, van der berg, አበበ
    assert_eq!((names, total), (vec!["Łukasiewicz", "O'Brien"], CHILDREN.len()));
    assert_eq!(archive.children(Some(false), None, 0, 10).unwrap(), (Vec::new(), 0));
}

#[test]
fn no_question_does_harm() {
    let (_dir, archive) = clinic();
    let long = "a ".repeat(100_000);
    for question in ["%", "_", "\"", "'; DROP TABLE entries; --", "\0", "𝕬𝖒𝖎𝖓𝖆", &long, "99/99/9999", "- - -"]
    {
        archive.search(question, 10).unwrap();
        archive.by_number(question).unwrap();
    }
    assert!(archive.verify().unwrap().is_sound());
}

/// Three children, each with a carer and a telephone number. Invented.
fn families() -> (TempDir, Archive) {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let family = |number: u128, given: &str, carer: &str, phone: &str| {
        let carers = vec![Carer { name: carer.into(), phone: Some(phone.into()), ..Carer::default() }];
        let (given_name, family_name) = (given.to_owned(), "Osei".to_owned());
        let numbers = vec![format!("CF-{number}")];
        entry(
            child(number),
            "2024-01-01",
            Registration { given_name, family_name, numbers, carers, ..Registration::default() },
        )
    };
    let entries = vec![
        family(1, "Amina", "Grace Quartey", "0700 029 570"),
        family(2, "Grace", "Abena Osei", "+233 (0)20 811-4477"),
        family(3, "Kofi", "Kwame Osei", "029 570"),
    ];
    archive.append(entries).unwrap();
    (dir, archive)
}

fn first(archive: &Archive, text: &str) -> Hit {
    archive.search(text, 10).unwrap().into_iter().next().unwrap_or_else(|| panic!("{text} finds nobody"))
}

#[rstest]
#[case::name("quartey", 1, "carer “quartey”")]
#[case::part_of_a_name("quart", 1, "carer “quartey”")]
#[case::misspelt("quartay", 1, "carer “quartey” is like “quartay”")]
#[case::whole_number("0700029570", 1, "telephone")]
#[case::number_spaced("0700 029 570", 1, "telephone")]
#[case::with_the_code_of_the_country("0208114477", 2, "telephone")]
#[case::end_of_a_number("4477", 2, "telephone with “4477”")]
#[case::child_and_carer("kofi kwame", 3, "name “kofi”, carer “kwame”")]
fn a_child_is_found_by_its_carer(#[case] text: &str, #[case] number: u128, #[case] why: &str) {
    let (_dir, archive) = families();
    let hit = first(&archive, text);
    assert_eq!((hit.summary.child, hit.own), (child(number), false), "{}", hit.why);
    assert!(hit.why.starts_with(why), "{}", hit.why);
}

#[test]
fn the_childs_own_name_comes_before_that_of_a_carer() {
    let (_dir, archive) = families();
    let hits = archive.search("grace", 10).unwrap();
    let found: Vec<_> = hits.iter().map(|hit| (hit.summary.child, hit.own)).collect();
    assert_eq!(found, [(child(2), true), (child(1), false)]);
}

#[test]
fn a_telephone_number_is_no_hospital_number_and_two_digits_find_none() {
    let (_dir, archive) = families();
    assert_eq!(archive.by_number("0700 029 570").unwrap(), Vec::<ChildId>::new());
    assert_eq!(found(&archive, "57"), Vec::<ChildId>::new());
}

#[test]
fn a_changed_telephone_number_is_found_by_the_new_one_only() {
    let (_dir, archive) = families();
    let carers = vec![Carer { name: "Grace Quartey".into(), phone: Some("0799".into()), ..Carer::default() }];
    let about = Registration { given_name: "Amina".into(), carers, ..Registration::default() };
    archive.append(vec![entry(child(1), "2024-01-02", about)]).unwrap();
    assert_eq!(found(&archive, "0799"), vec![child(1)]);
    assert_eq!(found(&archive, "0700029570"), Vec::<ChildId>::new());
    assert!(archive.verify().unwrap().is_sound());
}

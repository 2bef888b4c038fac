//! Registrations, links between records, and ids.

use super::{family_answers::consent, named, only_refusal};
use crate::examples::{day, entry, full_entry};
use record::{
    bounds::{LINE_CHARS, LIST_LENGTH},
    *,
};
use rstest::rstest;

#[test]
fn a_name_of_501_characters_is_refused() {
    assert_eq!(LINE_CHARS, 500);
    assert_eq!(entry(named("ä".repeat(500))).findings(), []);
    let (field, text) = only_refusal(named("ä".repeat(501)));
    assert_eq!(field, "given_name");
    assert_eq!(text, "This text has 501 characters; at most 500 are allowed. Shorten it.");
}

#[rstest]
#[case::nameless(Registration::default(), "family_name", "A child needs a name or a hospital number.")]
#[case::blank(named("  ".into()), "family_name", "A child needs a name or a hospital number.")]
#[case::unborn(
    Registration { born: Some(day("2024-07-31")), ..named("Ada".into()) },
    "born",
    "The day of birth lies after the day of registration."
)]
#[case::numbers(
    Registration { numbers: vec!["1".into(); LIST_LENGTH + 1], ..named("Ada".into()) },
    "numbers",
    "There are 51 of these; at most 50 are allowed."
)]
#[case::carers(
    Registration { carers: vec![Carer::default(); LIST_LENGTH + 1], ..named("Ada".into()) },
    "carers",
    "There are 51 of these; at most 50 are allowed."
)]
fn a_registration_is_refused(#[case] body: Registration, #[case] field: &str, #[case] text: &str) {
    assert_eq!(only_refusal(body), (field, text.to_owned()));
}

#[test]
fn a_number_alone_is_enough_and_so_is_a_birth_on_the_day() {
    let numbered = Registration { numbers: vec!["4711".into()], ..Registration::default() };
    assert_eq!(entry(numbered).findings(), []);
    assert_eq!(entry(Registration { born: Some(day("2024-07-30")), ..named("A".into()) }).findings(), []);
}

#[test]
fn a_link_to_a_brother_or_sister_is_refused_to_oneself_and_with_an_order_of_birth_unless_of_twins() {
    let itself = entry(Sibling::of(entry(consent()).child, SiblingRelation::Sibling));
    let text = |entry: &Entry| entry.refusal().map(|finding| finding.text);
    assert_eq!(text(&itself).as_deref(), Some("A child is not its own brother or sister."));
    let other = ChildId::new(uuid::Uuid::from_u128(0xc2));
    let second =
        |relation| entry(Sibling { birth_order: Some(BirthOrder::Second), ..Sibling::of(other, relation) });
    assert_eq!(
        text(&second(SiblingRelation::Half)).as_deref(),
        Some("A birth order is recorded for twins only.")
    );
    let twin = second(SiblingRelation::Twin);
    assert_eq!(twin.findings(), []);
    assert_eq!(twin.body.sentence(), "Linked to the record of a twin; this child was born second");
}

#[test]
fn ids_of_different_things_say_what_they_are() {
    let error = "4711".parse::<ChildId>().unwrap_err().to_string();
    assert_eq!(error, "“4711” is not a child's id: 32 hexadecimal digits with dashes are expected");
    let id = full_entry(Kind::Note).id;
    assert_eq!(id.to_string().parse::<EntryId>(), Ok(id));
}

//! What a family answers and is given: consents, documents, and what an anaesthetist is told.

use super::only_refusal;
use crate::examples::{day, entry};
use record::*;
use rstest::rstest;

pub(super) fn consent() -> Consent {
    Consent {
        by_name: Some("Ngozi Oyelaran".into()),
        until: Some(day("2024-07-30")),
        ..Consent::of(ConsentMatter::Tenotomy, ConsentAnswer::Given)
    }
}

/// The entry's day is 30 July 2024.
#[rstest]
#[case::ended_before(
    Consent { until: Some(day("2024-07-29")), ..consent() },
    "until",
    "The last day, 29 July 2024, lies before the day on which consent was given, 30 July 2024."
)]
#[case::refused_until(
    Consent { answer: ConsentAnswer::Refused, ..consent() },
    "until",
    "A consent that was refused has no last day."
)]
#[case::of_nobody(
    Consent { by_name: Some(" ".into()), ..consent() },
    "by_name",
    "Who answered is missing: a name, or relation to the child."
)]
#[case::of_an_operation_for_letters(
    Consent { photographs_in_letters: Some(true), ..consent() },
    "photographs_in_letters",
    "What photographs may be used for is asked only where the family consents to photographs. Leave it empty here."
)]
#[case::refused_for_teaching(
    Consent {
        photographs_in_teaching: Some(false),
        until: None,
        ..Consent { matter: ConsentMatter::Photographs, answer: ConsentAnswer::Refused, ..consent() }
    },
    "photographs_in_teaching",
    "What photographs may be used for is asked only where the family consents to photographs. Leave it empty here."
)]
fn a_consent_is_refused(#[case] body: Consent, #[case] field: &str, #[case] text: &str) {
    assert_eq!(only_refusal(body), (field, text.to_owned()));
}

#[test]
fn a_consent_stands_up_to_its_day_and_by_the_relation_alone() {
    assert_eq!(entry(consent()).findings(), []);
    let of_mother = Consent { by_name: None, relation: Some("mother".into()), until: None, ..consent() };
    assert_eq!(entry(of_mother).findings(), []);
    let of_photographs = Consent {
        matter: ConsentMatter::Photographs,
        photographs_in_letters: Some(true),
        photographs_in_teaching: Some(false),
        ..consent()
    };
    assert_eq!(entry(of_photographs).findings(), []);
}

/// An earlier program cannot read a consent to videos, and any other.
#[test]
fn a_consent_to_videos_needs_the_version_that_brought_it() {
    let version = |matter| Body::from(Consent::of(matter, ConsentAnswer::Given)).version();
    assert_eq!((version(ConsentMatter::Photographs), version(ConsentMatter::Videos)), (5, 10));
}

/// Only a letter to a colleague has photographs, and it is recorded for their sake.
#[test]
fn a_letter_is_recorded_with_its_photographs_and_a_family_document_has_none() {
    let photograph = entry(consent()).id;
    let handed = |document, photographs| {
        entry(DocumentHanded { photographs, ..DocumentHanded::of(document, FamilyLanguage::English) })
    };
    for &document in HandedDocument::ALL {
        let (without, with) = (handed(document, Vec::new()), handed(document, vec![photograph]));
        let (sound, refused) = if document.is_for_colleagues() { (with, without) } else { (without, with) };
        assert_eq!(sound.findings(), [], "{document:?}");
        assert_eq!(refused.refusal().expect("a refusal").field, "photographs", "{document:?}");
    }
}

#[rstest]
#[case::which(Allergies::of(AllergyAnswer::Named).into(), "which", "Which allergies is missing.")]
#[case::blank(
    Allergies { which: Some(" ".into()), ..Allergies::of(AllergyAnswer::Named) }.into(),
    "which",
    "Which allergies is missing."
)]
#[case::none_and_one(
    Allergies { which: Some("latex".into()), ..Allergies::of(AllergyAnswer::NoneKnown) }.into(),
    "which",
    "“None known” and an allergy that is named contradict each other."
)]
#[case::which_medicine(Medicines::of(MedicineAnswer::Named).into(), "which", "Which medicines is missing.")]
#[case::none_and_a_medicine(
    Medicines { which: Some("iron".into()), ..Medicines::of(MedicineAnswer::None) }.into(),
    "which",
    "“None” and a medicine that is named contradict each other."
)]
#[case::none_and_methaemoglobin(
    Medicines { methaemoglobin: Some(true), ..Medicines::of(MedicineAnswer::None) }.into(),
    "methaemoglobin",
    "“None” and a medicine that can cause methaemoglobinaemia contradict each other."
)]
#[case::kilograms(
    Weighed::grams(5).into(),
    "weight_g",
    "weight 5 g cannot be right: 500 to 60000 g is expected. Grams, not kilograms: 5.2 kg is 5200 g."
)]
fn what_an_anaesthetist_is_told_is_refused(#[case] body: Body, #[case] field: &str, #[case] text: &str) {
    assert_eq!(only_refusal(body), (field, text.to_owned()));
}

#[test]
fn what_an_anaesthetist_is_told_stands_and_says_it_in_a_sentence() {
    let allergies = Allergies { which: Some("latex: rash".into()), ..Allergies::of(AllergyAnswer::Named) };
    let medicines = Medicines {
        which: Some("iron".into()),
        methaemoglobin: Some(false),
        ..Medicines::of(MedicineAnswer::Named)
    };
    for (body, sentence) in [
        (Body::from(allergies), "Allergies: latex: rash"),
        (Allergies::of(AllergyAnswer::NoneKnown).into(), "Allergies: none known"),
        (medicines.into(), "Medicines: iron (cannot cause methaemoglobinaemia, as looked up)"),
        (Medicines::of(MedicineAnswer::None).into(), "Medicines: none"),
        (Weighed::grams(5200).into(), "Child weighed: weight 5200 g"),
    ] {
        assert_eq!(body.sentence(), sentence);
        assert_eq!(entry(body).findings(), []);
    }
}

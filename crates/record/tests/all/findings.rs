//! What an entry is refused or questioned for by itself.
//!
//! Long because every kind of entry has its refusals here, each with its sentence.

use crate::{
    examples::{day, entry, full, full_entry, minimal},
    golden::latest,
};
use record::{
    bounds::{LINE_CHARS, LIST_LENGTH, NOTE_CHARS},
    *,
};
use rstest::rstest;
use serde_json::{Value, json};

fn only_refusal(body: impl Into<Body>) -> (&'static str, String) {
    let findings = entry(body).findings();
    assert_eq!(findings.len(), 1, "{findings:?}");
    assert_eq!(findings[0].severity, Severity::Refuse, "{findings:?}");
    (findings[0].field, findings[0].text.clone())
}

#[test]
fn the_examples_are_not_refused() {
    for &kind in Kind::ALL {
        assert_eq!(full_entry(kind).refusal(), None);
        assert_eq!(entry(minimal(kind)).findings(), [], "{}", kind.wire());
    }
}

/// Every free text of every kind, found from the wire form: at the limit it passes, one character more
/// is refused under its own field. A list of answers, a day or an id is no free text.
#[test]
fn no_free_text_is_without_a_limit() {
    let mut texts = 0;
    for &kind in Kind::ALL {
        let whole = serde_json::to_value(&latest(kind)[0].body).unwrap()["body"].clone();
        for (key, value) in whole.as_object().unwrap() {
            let Some(text) = value.as_str() else { continue };
            if with(kind, &whole, key, &format!("{text}x")).is_none() {
                continue; // not a free text: it cannot even be read
            }
            texts += 1;
            let too_long = with(kind, &whole, key, &"x".repeat(NOTE_CHARS + 1)).unwrap();
            let refusal = entry(too_long).refusal().unwrap_or_else(|| panic!("{} {key}", kind.wire()));
            assert!(refusal.text.contains("at most"), "{}", refusal.text);
            assert_eq!(refusal.field, key, "{}", kind.wire());
        }
    }
    let is_text = |spec: &&FieldSpec| {
        matches!(spec.takes, FieldType::Line | FieldType::Long | FieldType::Phone | FieldType::Time)
    };
    let declared = Kind::ALL.iter().flat_map(|kind| kind.spec().fields).filter(is_text).count();
    assert!(declared >= 38, "{declared}");
    assert_eq!(texts, declared);
}

fn with(kind: Kind, whole: &Value, key: &str, text: &str) -> Option<Body> {
    let mut changed = whole.clone();
    changed[key] = json!(text);
    Body::from_value(kind, changed).ok()
}

fn named(given_name: String) -> Registration {
    Registration { given_name, ..Registration::default() }
}

#[test]
fn a_note_of_20001_characters_is_refused() {
    assert_eq!(entry(Note { text: "x".repeat(20_000) }).findings(), []);
    let (field, text) = only_refusal(Note { text: "x".repeat(20_001) });
    assert_eq!(field, "text");
    assert_eq!(
        text,
        "This text has 20001 characters; at most 20000 are allowed. Shorten it, or split it into several notes."
    );
    let (_, text) = only_refusal(Note { text: "x".repeat(1_000_000) });
    assert!(text.starts_with("This text has 1000000 characters"));
}

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
fn a_second_score_without_a_sign_is_refused_and_its_angles_are_judged() {
    let (field, text) = only_refusal(SecondScore::of(Side::Left));
    assert_eq!((field, text.as_str()), ("pirani", "No sign was scored."));
    let mut wild = SecondScore::of(Side::Left);
    wild.dimeglio.set_angle(AngleItem::Equinus, Some(Angle::Points(5)));
    assert_eq!(only_refusal(wild).0, "equinus");
}

#[test]
fn an_assessment_without_a_measurement_is_refused() {
    let (field, text) = only_refusal(Assessment::of(Side::Left));
    assert_eq!((field, text.as_str()), ("pirani", "Nothing was measured."));
    let noted = Assessment { note: Some("asleep, not disturbed".into()), ..Assessment::of(Side::Left) };
    assert_eq!(entry(noted).findings(), []);
    let (field, text) = only_refusal(Screening::default());
    assert_eq!((field, text.as_str()), ("hips", "Nothing was examined."));
}

fn scored(change: impl FnOnce(&mut Assessment)) -> Vec<Finding> {
    let Body::Assessment(mut body) = full(Kind::Assessment) else { panic!("an assessment") };
    change(&mut body);
    entry(body).findings()
}

/// The full example's signs: 0 + 0.5 + 1 + 1 + 1 + 0.5 = 4. Its Dimeglio items: 50° 4, −5° 1, points 3,
/// 0° 2, and two signs: 12.
#[test]
fn a_total_on_the_sheet_is_held_against_its_items() {
    assert_eq!(scored(|_| ()), []);
    let wrong = scored(|body| body.stated_total = Some(Halves(9)));
    assert_eq!(wrong.len(), 1);
    assert_eq!((wrong[0].severity, wrong[0].field), (Severity::Ask, "stated_total"));
    assert_eq!(wrong[0].text, "The total written is 4.5, the six signs add up to 4.");
    let wrong = scored(|body| body.stated_dimeglio_total = Some(13));
    assert_eq!(wrong.len(), 1);
    assert_eq!(wrong[0].text, "The Dimeglio total written is 13, its eight items add up to 12.");
    // With a sign missing there is nothing to hold the total against.
    assert_eq!(scored(|body| (body.stated_total, body.pirani.empty_heel) = (Some(Halves(9)), None)), []);
}

#[test]
fn a_total_above_the_scale_is_refused_before_it_is_questioned() {
    let findings = scored(|body| body.stated_total = Some(Halves(13)));
    assert_eq!(
        findings.iter().map(|finding| finding.severity).collect::<Vec<_>>(),
        [Severity::Refuse, Severity::Ask]
    );
    assert!(findings[0].text.starts_with("Pirani total 6.5 cannot be right: 0 to 6 is expected."));
    let findings = scored(|body| body.stated_dimeglio_total = Some(21));
    assert!(findings[0].text.starts_with("Dimeglio total 21 cannot be right: 0 to 20 is expected."));
}

/// One out-of-bounds value at a time, and the field it is found under.
#[rstest]
#[case(Kind::Assessment, "abduction_deg", json!(91))]
#[case(Kind::Assessment, "dorsiflexion_deg", json!(-91))]
#[case(Kind::Assessment, "foot_length_mm", json!(49))]
#[case(Kind::CastApplied, "number", json!(0))]
#[case(Kind::CastApplied, "abduction_deg", json!(-61))]
#[case(Kind::CastApplied, "dorsiflexion_deg", json!(61))]
#[case(Kind::TenotomyDone, "dorsiflexion_after_deg", json!(61))]
#[case(Kind::BraceFitted, "hours_prescribed", json!(25))]
#[case(Kind::BraceChanged, "hours_prescribed", json!(25))]
#[case(Kind::WearReported, "hours_per_day", json!(24.1))]
#[case(Kind::WearReported, "days_without", json!(29))]
#[case(Kind::WearLogged, "hours_per_day", json!(-0.1))]
#[case(Kind::WearLogged, "days_judged", json!(29))]
#[case(Kind::WearLogged, "days_judged", json!(0))]
#[case(Kind::Registration, "gestation_weeks", json!(21))]
#[case(Kind::Registration, "birth_weight_g", json!(299))]
fn a_value_out_of_bounds_is_refused(#[case] kind: Kind, #[case] field: &str, #[case] value: Value) {
    let mut body = serde_json::to_value(full(kind)).unwrap()["body"].clone();
    body[field] = value;
    let (found, _) = only_refusal(Body::from_value(kind, body).unwrap());
    assert_eq!(found, field);
}

#[rstest]
#[case("equinus", json!({"dimeglio": {"equinus": {"deg": 111}}}))]
#[case("adduction", json!({"dimeglio": {"adduction": {"points": 5}}}))]
#[case("pain", json!({"walking": {"pain": 4}}))]
fn an_item_out_of_bounds_is_refused(#[case] field: &str, #[case] mut body: Value) {
    body["side"] = json!("left");
    let (found, _) = only_refusal(Body::from_value(Kind::Assessment, body).unwrap());
    assert_eq!(found, field);
}

#[test]
fn two_boots_for_one_foot_are_refused() {
    let Body::BraceFitted(mut body) = full(Kind::BraceFitted) else { panic!("a brace") };
    body.brace.boots[1].side = Side::Right;
    let (field, text) = only_refusal(body);
    assert_eq!((field, text.as_str()), ("boots", "Two boots are recorded for the right foot."));
}

#[test]
fn a_span_the_wrong_way_round_is_refused_once() {
    let (from, to) = (day("2024-07-02"), day("2024-07-01"));
    let body = WearReported { from, to, hours_per_day: 20.0, days_without: Some(0), reason: None };
    assert_eq!(only_refusal(body), ("to", "The last day lies before the first.".to_owned()));
}

fn consent() -> Consent {
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

fn photograph() -> Photograph {
    let picture = PictureHash::new([7; 32]);
    Photograph::of(Sides::Left, PhotographView::Sole, picture, 1500, 2000)
}

fn angle(degrees: f64, error_deg: f64) -> PhotographAngleMeasured {
    let taps = PictureTaps::new(vec![(10, 20), (30, 40)]).unwrap();
    let of = full_entry(Kind::Note).id;
    PhotographAngleMeasured::of(of, Side::Right, PhotographAngle::HeelVarus, degrees, error_deg, taps)
}

fn length(length_mm: f64, points: Vec<(u16, u16)>) -> PhotographLengthMeasured {
    let of = full_entry(Kind::Note).id;
    let taps = PictureTaps::new(points).unwrap();
    PhotographLengthMeasured::of(of, Side::Right, length_mm, 1.5, taps, 1.0, 1.5, ScaleCard::BankCard)
}

#[rstest]
#[case::two_feet_in_a_view_of_one(
    Photograph { side: Sides::Both, ..photograph() }.into(),
    "side",
    "This view shows one foot: say which, right or left."
)]
#[case::one_foot_in_a_view_of_both(
    Photograph { view: PhotographView::Squatting, ..photograph() }.into(),
    "side",
    "This view shows both feet. Say so, or choose the view of the one foot."
)]
#[case::no_pixel(
    Photograph { width_px: 0, ..photograph() }.into(),
    "width_px",
    "A picture has at least one pixel."
)]
#[case::no_angle(
    angle(181.0, 2.0).into(),
    "degrees",
    "angle on a photograph 181° cannot be right: −180 to 180° is expected. Beyond a right angle the points were probably tapped in another order."
)]
#[case::no_length(
    length(20.0, vec![(10, 20); 6]).into(),
    "length_mm",
    "length on a photograph 20 mm cannot be right: 30 to 300 mm is expected. Newborn feet are about 78 mm, SD 4 (Kuponiyi & Ogunlesi 2023); a length far from that has the wrong points or the wrong card."
)]
#[case::five_points(
    length(80.0, vec![(10, 20); 5]).into(),
    "taps",
    "A length has six points: the four corners of the card, heel and toe."
)]
#[case::no_error(
    angle(10.0, f64::NAN).into(),
    "error_deg",
    "error of the angle without a number cannot be right: 0 to 45° is expected. Points that lie too near to each other give no angle."
)]
fn a_photograph_is_refused(#[case] body: Body, #[case] field: &str, #[case] text: &str) {
    assert_eq!(only_refusal(body), (field, text.to_owned()));
}

#[test]
fn a_photograph_says_what_it_shows_and_names_its_picture_also_when_corrected() {
    let both = Photograph { side: Sides::Both, view: PhotographView::BothFeet, ..photograph() };
    let timed = Photograph { taken_at: Some("09:10".into()), note: Some("asleep".into()), ..photograph() };
    for (body, sentence) in [
        (Body::from(photograph()), "Left foot: photograph, sole"),
        (both.into(), "Both feet: photograph, both feet together"),
        (timed.clone().into(), "Left foot: photograph, sole, taken at 09:10; asleep"),
        (angle(-12.4, 2.6).into(), "Right foot: on a photograph: varus of the heel −12° ± 3°"),
    ] {
        assert_eq!(body.sentence(), sentence);
        assert_eq!(entry(body).findings(), []);
    }
    let correction = Correction {
        entry: full_entry(Kind::Note).id,
        body: Box::new(timed.into()),
        on: None,
        reason: "Wrong foot".into(),
    };
    assert_eq!(Body::from(correction).picture(), Some(PictureHash::new([7; 32])));
    assert_eq!(Body::from(angle(1.0, 1.0)).picture(), None);
}

fn gait_video() -> GaitVideo {
    GaitVideo::of(GaitActivity::Walking, GaitView::Side, VideoHash::new([7; 32]), 8_000_000, 14_200)
}

#[rstest]
#[case::no_byte(GaitVideo { size_bytes: 0, ..gait_video() }, "size_bytes", "A video has at least one byte.")]
#[case::no_time(
    GaitVideo { duration_ms: 0, ..gait_video() },
    "duration_ms",
    "A video lasts at least a millisecond."
)]
fn a_video_of_nothing_is_refused(#[case] video: GaitVideo, #[case] field: &str, #[case] text: &str) {
    assert_eq!(only_refusal(video), (field, text.to_owned()));
}

#[test]
fn a_video_says_what_it_shows_and_names_its_video_also_when_corrected() {
    let timed = GaitVideo { taken_at: Some("09:10".into()), note: Some("barefoot".into()), ..gait_video() };
    let short = GaitVideo { duration_ms: 40, activity: GaitActivity::Squatting, ..gait_video() };
    for (video, sentence) in [
        (gait_video(), "Video of both feet, walking, from the side, 14 seconds"),
        (timed.clone(), "Video of both feet, walking, from the side, 14 seconds, taken at 09:10; barefoot"),
        (short, "Video of both feet, squatting, from the side, 1 second"),
    ] {
        let body = Body::from(video);
        assert_eq!(body.sentence(), sentence);
        assert_eq!((body.side(), body.version(), body.picture()), (None, 10, None));
        assert_eq!(entry(body).findings(), []);
    }
    let correction = Correction {
        entry: full_entry(Kind::Note).id,
        body: Box::new(timed.into()),
        on: None,
        reason: "Wrong view".into(),
    };
    assert_eq!(Body::from(correction).video(), Some(VideoHash::new([7; 32])));
    assert_eq!(Body::from(photograph()).video(), None);
}

/// An earlier program cannot read a consent to videos, and any other.
#[test]
fn a_consent_to_videos_needs_the_version_that_brought_it() {
    let version = |matter| Body::from(Consent::of(matter, ConsentAnswer::Given)).version();
    assert_eq!((version(ConsentMatter::Photographs), version(ConsentMatter::Videos)), (5, 10));
}

#[test]
fn the_text_of_a_hash_or_of_points_is_read_as_it_is_written_and_no_other() {
    let hash = PictureHash::new(std::array::from_fn(|n| n as u8 * 8 + 1));
    assert_eq!(hash.to_string().parse(), Ok(hash));
    for wrong in [
        hash.to_string().to_uppercase(),
        hash.to_string()[1..].to_owned(),
        format!("{hash}0"),
        "g".repeat(64),
    ] {
        assert_eq!(wrong.parse::<PictureHash>(), Err(PictureHashError), "{wrong}");
        assert_eq!(wrong.parse::<VideoHash>(), Err(VideoHashError), "{wrong}");
    }
    assert_eq!(hash.to_string().parse(), Ok(VideoHash::new(*hash.bytes())));
    let taps = PictureTaps::new(vec![(0, 65_535), (12, 3)]).unwrap();
    assert_eq!(taps.to_string(), "0,65535 12,3");
    assert_eq!(taps.to_string().parse(), Ok(taps));
    let many = vec!["1,2"; 17].join(" ");
    for wrong in ["", "1", "1,2 ", "1,2  3,4", "1,+2", "1,65536", "1,2,3", many.as_str()] {
        assert_eq!(wrong.parse::<PictureTaps>(), Err(PictureTapsError), "{wrong}");
    }
}

#[test]
fn an_appointment_before_it_was_made_is_questioned() {
    let made = |text| entry(AppointmentMade { for_day: day(text), time: None, purpose: None }).findings();
    assert_eq!(made("2024-07-30"), []);
    assert_eq!(made("2024-07-29")[0].severity, Severity::Ask);
}

#[test]
fn a_correction_needs_a_reason_and_a_body_that_can_stand() {
    let correct = |body: Body, reason: &str| {
        only_refusal(Correction {
            entry: full_entry(Kind::Correction).follows.unwrap(),
            body: Box::new(body),
            on: None,
            reason: reason.into(),
        })
    };
    assert_eq!(correct(minimal(Kind::Note), " \n").0, "reason");
    assert_eq!(correct(minimal(Kind::Correction), "r").0, "body");
    assert_eq!(correct(minimal(Kind::Withdrawal), "r").0, "body");
    assert_eq!(correct(Assessment::of(Side::Left).into(), "r").1, "Nothing was measured.");
    // The corrected day counts: born on the 31st, registered on the 30th by mistake for the 31st.
    let born = Registration { born: Some(day("2024-07-31")), ..named("Ada".into()) };
    assert_eq!(correct(born.clone().into(), "r").0, "born");
    let mended = Correction {
        entry: full_entry(Kind::Correction).follows.unwrap(),
        body: Box::new(born.into()),
        on: Some(day("2024-07-31")),
        reason: "wrong day".into(),
    };
    assert_eq!(entry(mended).findings(), []);
}

#[test]
fn an_entry_cannot_answer_itself() {
    let mut own = entry(minimal(Kind::AppointmentMissed));
    own.follows = Some(own.id);
    assert_eq!(own.refusal().unwrap().text, "An entry cannot answer itself.");
    let id = own.id;
    let withdrawn = entry(Withdrawal { entry: id, reason: "r".into() });
    assert_eq!(withdrawn.refusal().unwrap().field, "entry");
}

/// Writes the reason and the other record into a body, and says which field is refused.
fn together(body: impl Into<Body>) -> Option<&'static str> {
    entry(body).refusal().map(|finding| finding.field)
}

#[test]
fn a_visit_is_amended_with_a_reason_and_with_a_day_only_where_it_is_moved() {
    let body = |change, moved_to, reason: &str| VisitAmended {
        moved_to,
        ..VisitAmended::of(change, day("2024-07-23"), reason.to_owned(), WrittenTogether::default())
    };
    let moved = Some(day("2024-07-24"));
    assert_eq!(together(body(VisitChange::Withdrawn, None, "did not happen")), None);
    assert_eq!(together(body(VisitChange::Withdrawn, None, " ")), Some("reason"));
    assert_eq!(together(body(VisitChange::Withdrawn, moved, "r")), Some("moved_to"));
    assert_eq!(together(body(VisitChange::DayChanged, moved, "r")), None);
    assert_eq!(together(body(VisitChange::DayChanged, None, "r")), Some("moved_to"));
}

#[test]
fn joined_records_name_the_other_and_a_reason() {
    let body = |other, reason: &str| {
        let together = WrittenTogether { other, ..WrittenTogether::default() };
        RecordsJoined::of(JoinedPart::Closed, reason.to_owned(), together)
    };
    let other = Some(full_entry(Kind::Note).child);
    assert_eq!(together(body(other, "registered twice")), None);
    assert_eq!(together(body(other, "")), Some("reason"));
    assert_eq!(together(body(None, "registered twice")), Some("other"));
}

#[test]
fn an_entry_recorded_again_leads_to_the_entry_it_was_before() {
    let [one, two, before]: [EntryId; 3] =
        ["e2", "e3", "d2"].map(|last| format!("01907e2a-0000-7000-8000-{last:0>12}").parse().unwrap());
    let list =
        WrittenTogether { entries: vec![one, two], origins: vec![before], ..WrittenTogether::default() };
    assert_eq!((list.origin_of(one), list.origin_of(two)), (Some(before), None));
}

/// Every kind that names a foot names the other afterwards, twice gives what it was, and the boots of a bar
/// are exchanged with all they hold.
#[test]
fn the_other_foot_keeps_every_value() {
    for &kind in Kind::ALL {
        let body = full(kind);
        let Some(other) = body.of_other_foot() else {
            assert_eq!(body.side(), None, "{}", kind.wire());
            continue;
        };
        assert_eq!(other.side(), body.side().map(Side::other), "{}", kind.wire());
        assert_ne!(other, body, "{}", kind.wire());
        assert_eq!(other.of_other_foot(), Some(body), "{}", kind.wire());
    }
    let Some(Body::BraceFitted(fitted)) = full(Kind::BraceFitted).of_other_foot() else { panic!("no boots") };
    // Right 65° and left 35° before.
    let boots: Vec<_> = fitted.brace.boots.iter().map(|boot| (boot.side, boot.abduction_deg)).collect();
    assert_eq!(boots, [(Side::Right, Some(35)), (Side::Left, Some(65))]);
    assert_eq!(full(Kind::Note).of_other_foot(), None);
}

/// Kinds about one foot name it; kinds about the child name none, so that no side is ever guessed.
#[test]
fn the_side_of_an_entry_is_the_side_of_its_body() {
    for &kind in Kind::ALL {
        let body = full(kind);
        let wire = serde_json::to_value(&body).unwrap();
        let inner = if kind == Kind::Correction { &wire["body"]["body"]["body"] } else { &wire["body"] };
        assert_eq!(body.side().map(Side::word), inner["side"].as_str(), "{}", kind.wire());
    }
}

#[test]
fn sides_lead_to_the_feet_meant() {
    assert_eq!(Sides::Both.each(), [Side::Right, Side::Left]);
    for side in Side::BOTH {
        assert_eq!(Sides::from(side).each(), [side]);
        assert_eq!(side.other().other(), side);
        assert_ne!(side.other(), side);
        assert_eq!(serde_json::to_value(side).unwrap(), side.word());
    }
    assert_eq!(Sides::of(Some(()), None), Some(Sides::Right));
    assert_eq!(Sides::of(None, Some(())), Some(Sides::Left));
    assert_eq!(Sides::of(Some(()), Some(())), Some(Sides::Both));
    assert_eq!(Sides::of(None, None), None);
}

#[test]
fn ids_of_different_things_say_what_they_are() {
    let error = "4711".parse::<ChildId>().unwrap_err().to_string();
    assert_eq!(error, "“4711” is not a child's id: 32 hexadecimal digits with dashes are expected");
    let id = full_entry(Kind::Note).id;
    assert_eq!(id.to_string().parse::<EntryId>(), Ok(id));
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

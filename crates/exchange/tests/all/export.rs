//! What is written out is read back without a map as the same course.

use crate::common::{day, import, import_table, stamp};
use exchange::{Nothing, Plan, export_csv, export_xlsx, read_table};
use record::*;
use std::collections::BTreeSet;
use uuid::Uuid;

fn entry(id: u128, on: &str, body: impl Into<Body>) -> Entry {
    let stamp = stamp();
    let (id, child) = (EntryId::new(Uuid::from_u128(id)), ChildId::new(Uuid::from_u128(5)));
    Entry {
        id,
        child,
        body: body.into(),
        on: day(on),
        at: stamp.at,
        by: stamp.by,
        site: stamp.site,
        follows: None,
    }
}

fn course() -> Vec<Entry> {
    let one = Some(HalfPoint::One);
    let pirani = Pirani {
        lateral_border: one,
        medial_crease: Some(HalfPoint::Half),
        talar_head: one,
        posterior_crease: one,
        rigid_equinus: one,
        empty_heel: None,
    };
    let mut foot = Assessment {
        pirani,
        abduction_deg: Some(-5),
        dorsiflexion_deg: Some(-30),
        foot_length_mm: Some(78),
        scored_by: Some("HK".to_owned()),
        ..Assessment::of(Side::Right)
    };
    foot.dimeglio.equinus = Some(Angle::Deg(2));
    foot.dimeglio.varus = Some(Angle::Points(3));
    foot.dimeglio.cavus = Some(true);
    let cast = |number, purpose| CastApplied { number, purpose, ..CastApplied::on(Side::Right) };
    let born = Registration {
        family_name: "Okonjo".to_owned(),
        given_name: "Amadi".to_owned(),
        numbers: vec!["0041".to_owned()],
        born: Some(day("2024-01-05")),
        sex: Some(record::Sex::Male),
        ..Registration::default()
    };
    let diagnosis = Diagnosis {
        side: Side::Right,
        nature: Some(Nature::Idiopathic),
        complex: Some(false),
        earlier_treatment: None,
    };
    vec![
        entry(1, "2024-01-20", born),
        entry(2, "2024-01-20", diagnosis),
        entry(3, "2024-01-20", foot),
        entry(4, "2024-01-20", cast(Some(1), None)),
        entry(5, "2024-01-25", CastRemoved { side: Side::Right, why: RemovalReason::Slipped, note: None }),
        entry(6, "2024-01-27", cast(Some(2), Some(CastPurpose::Holding))),
        entry(7, "2024-02-03", TenotomyDone::on(Side::Right)),
        entry(8, "2024-02-03", cast(Some(3), Some(CastPurpose::AfterTenotomy))),
        entry(9, "2024-02-24", CastRemoved { side: Side::Right, why: RemovalReason::Planned, note: None }),
        entry(
            10,
            "2024-02-24",
            BraceFitted {
                regime: Some(record::Regime::FullTime),
                hours_prescribed: Some(23),
                ..BraceFitted::default()
            },
        ),
        entry(11, "2024-03-02", record::AppointmentMissed::default()),
        entry(12, "2024-03-09", record::AppointmentAttended::default()),
        entry(
            13,
            "2024-03-09",
            record::AppointmentMade { for_day: day("2024-04-09"), time: None, purpose: None },
        ),
        entry(14, "2024-05-09", RelapseNoted { side: Side::Right, grade: None, note: None }),
        entry(15, "2024-05-16", TenotomyDone::on(Side::Right)),
        entry(16, "2024-06-16", Note { text: "=cmd|'/C calc'!A0".to_owned() }),
        entry(17, "2024-07-16", Discharge { reason: DischargeReason::Completed, note: None }),
    ]
}

fn told(entries: &[Entry]) -> BTreeSet<String> {
    entries
        .iter()
        .map(|entry| format!("{} {} {}", entry.on, entry.kind().wire(), entry.body.to_json().unwrap()))
        .collect()
}

fn out_and_in(entries: &[Entry]) -> (Plan, Plan) {
    let children = [(entries[0].child, entries)];
    let text = export_csv(&children);
    let book = export_xlsx(&children).unwrap();
    (import(&text), import_table(&read_table(&book, "out.xlsx", None).unwrap(), None, &Nothing))
}

#[test]
fn a_whole_course_survives_the_way_out_and_in() {
    let entries = course();
    let (text, book) = out_and_in(&entries);
    for plan in [&text, &book] {
        let unknown: Vec<_> = plan.report.columns.iter().filter(|c| c.meaning.is_none()).collect();
        assert!(unknown.is_empty(), "{unknown:?}");
        assert_eq!(plan.report.dispositions.refused, 0, "{:?}", plan.report.not_plain);
        assert_eq!(told(&plan.entries), told(&entries));
    }
}

#[test]
fn what_was_withdrawn_is_not_written_out() {
    let mut entries = course();
    entries.push(entry(
        20,
        "2024-08-01",
        Withdrawal { entry: entries[13].id, reason: "wrong child".to_owned() },
    ));
    let (text, _) = out_and_in(&entries);
    assert!(!text.entries.iter().any(|entry| matches!(entry.body, Body::RelapseNoted(_))));
}

/// A withdrawal that was itself withdrawn withdraws nothing, and what lists a step is no entry of a sheet.
#[test]
fn what_was_taken_back_is_written_out_again() {
    let mut entries = course();
    let withdrawal = |entry: EntryId| Withdrawal { entry, reason: "wrong child".to_owned() };
    let steps = WrittenTogether { entries: vec![entries[13].id], ..WrittenTogether::default() };
    let list = VisitAmended::of(VisitChange::Withdrawn, day("2024-05-09"), "wrong child".to_owned(), steps);
    entries.push(entry(20, "2024-08-01", withdrawal(entries[13].id)));
    entries.push(entry(21, "2024-08-01", list));
    entries.push(entry(22, "2024-08-02", withdrawal(entries[17].id)));
    let (text, _) = out_and_in(&entries);
    assert!(text.entries.iter().any(|entry| matches!(entry.body, Body::RelapseNoted(_))));
    assert!(!text.entries.iter().any(|entry| matches!(entry.body, Body::VisitAmended(_))));
}

#[test]
fn no_cell_of_text_begins_like_a_formula() {
    let mut entries = course();
    if let Body::Registration(body) = &mut entries[0].body {
        body.family_name = "@SUM(A1)".to_owned();
        body.given_name = "+1".to_owned();
    }
    let text = export_csv(&[(entries[0].child, &entries)]);
    let table = read_table(text.as_bytes(), "out.csv", None).unwrap();
    for row in table.rows() {
        for column in 0..table.headers.len() {
            let cell = table.cell(row, column).text;
            let number = cell.parse::<f64>().is_ok();
            assert!(number || !cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{cell}");
        }
    }
    assert!(text.contains("'@SUM(A1)"));
}

#[test]
fn a_child_without_visits_is_one_row() {
    let entries = course();
    let (text, _) = out_and_in(&entries[..1]);
    assert_eq!((text.report.rows, text.report.children, text.entries.len()), (1, 1, 1));
}

/// Bodies that hold all there is to hold, of every kind but those that amend others, with every
/// choice of every closed list.
// One value of each kind, written out.
#[allow(clippy::too_many_lines)]
fn everything() -> Vec<Body> {
    let some = |text: &str| Some(text.to_owned());
    let side = Side::Left;
    let boot = |side, abduction_deg| Boot {
        abduction_deg,
        dorsiflexion_deg: Some(12),
        length_mm: Some(95),
        ..Boot::of(side)
    };
    let brace = Brace {
        boots: vec![boot(Side::Right, Some(60)), boot(Side::Left, Some(40))],
        bar_mm: Some(220),
        label: some("size 2; \"blue\""),
        bar_per_side: Some(true),
    };
    let mut out: Vec<Body> = vec![
        Referral { from: some("Dr Quist"), reason: some("foot turned in") }.into(),
        Screening {
            hips: Some(Screened::Normal),
            spine: Some(Screened::Awaited),
            nerve_and_muscle: Some(Screened::Abnormal),
            note: some("ultrasound booked"),
        }
        .into(),
        Diagnosis {
            side,
            nature: Some(Nature::Syndromic),
            complex: Some(true),
            earlier_treatment: some("3 casts elsewhere"),
        }
        .into(),
        Assessment { note: some("child cried"), abduction_deg: Some(40), ..Assessment::of(side) }.into(),
        CastApplied {
            purpose: Some(CastPurpose::Correction),
            number: Some(2),
            material: Some(CastMaterial::Plaster),
            abduction_deg: Some(30),
            dorsiflexion_deg: Some(-10),
            cast_by: some("HK"),
            side,
        }
        .into(),
        TenotomyBooked { side, planned_on: Some(day("2024-03-01")), place: some("theatre 2") }.into(),
        TenotomyDone {
            side,
            anaesthesia: Some(Anaesthesia::Local),
            dorsiflexion_after_deg: Some(20),
            complication: some("none"),
            done_by: some("MW"),
        }
        .into(),
        BraceFitted {
            brace: brace.clone(),
            regime: Some(Regime::FullTime),
            hours_prescribed: Some(23),
            fitted_by: some("AB"),
        }
        .into(),
        BraceFitted { regime: None, hours_prescribed: Some(23), ..BraceFitted::default() }.into(),
        BraceFitted { regime: Some(Regime::NightTime), ..BraceFitted::default() }.into(),
        WearReported {
            from: day("2024-02-01"),
            to: day("2024-02-28"),
            hours_per_day: 21.5,
            days_without: Some(2),
            reason: some("a cold"),
        }
        .into(),
        WearLogged {
            from: day("2024-02-01"),
            to: day("2024-02-28"),
            hours_per_day: 17.0,
            days_judged: 26,
            logger: some("L-3"),
        }
        .into(),
        AppointmentMade {
            for_day: day("2024-06-01"),
            time: some("09:30"),
            purpose: Some(Purpose::BraceReview),
        }
        .into(),
        AppointmentAttended { time: some("09:40") }.into(),
        AppointmentMissed { reason: some("no bus") }.into(),
        AppointmentCancelled {
            for_day: day("2024-06-01"),
            by: Some(CancelledBy::Family),
            reason: some("flood"),
        }
        .into(),
        RelapseNoted { side, grade: Some(RelapseGrade::Ib), note: some("swing") }.into(),
        Discharge { reason: DischargeReason::Declined, note: some("moved") }.into(),
        Transfer { to: some("Cape Orrowen") }.into(),
        LostDeclared { reason: some("no answer") }.into(),
        Death { cause: some("not known") }.into(),
        Note { text: "two lines\nof text".to_owned() }.into(),
        Note { text: "cast slipped".to_owned() }.into(),
        Note { text: "-".to_owned() }.into(),
        Note { text: " spaced ".to_owned() }.into(),
    ];
    out.extend(RemovalReason::ALL.iter().map(|&why| CastRemoved { side, why, note: None }.into()));
    out.extend(RemovalReason::ALL.iter().map(|&why| CastRemoved { side, why, note: some("why") }.into()));
    let seen =
        Pirani { talar_head: Some(HalfPoint::Half), empty_heel: Some(HalfPoint::One), ..Pirani::default() };
    let second =
        SecondScore { pirani: seen, scored_by: some("HK"), note: some("asleep"), ..SecondScore::of(side) };
    out.push(second.into());
    let until = Some(day("2030-01-01"));
    for &matter in ConsentMatter::ALL {
        let given = Consent { by_name: some("Ada"), until, ..Consent::of(matter, ConsentAnswer::Given) };
        let (relation, how, taken_by) = (some("mother"), Some(ConsentForm::Spoken), some("HK"));
        out.push(Consent { relation, how, taken_by, ..given.clone() }.into());
        // A cell would not give this name back, so that the entry is written in full.
        out.push(Consent { by_name: some(" Ada; B "), ..given }.into());
    }
    let withdrawn = Consent::of(ConsentMatter::Research, ConsentAnswer::Withdrawn);
    out.push(Consent { relation: some("guardian"), ..withdrawn }.into());
    out.push(Weighed { weight_g: 5200, note: some("with one cast; 5.1 before") }.into());
    out.push(Weighed::grams(4100).into());
    out.push(Allergies { which: some("latex"), ..Allergies::of(AllergyAnswer::Named) }.into());
    out.push(Allergies::of(AllergyAnswer::NoneKnown).into());
    let named = Medicines { which: some("iron; vitamin D"), ..Medicines::of(MedicineAnswer::Named) };
    out.push(Medicines { methaemoglobin: Some(false), ..named }.into());
    out.push(Medicines::of(MedicineAnswer::None).into());
    let uses = Consent {
        relation: some("mother"),
        photographs_in_letters: Some(true),
        photographs_in_teaching: Some(false),
        ..Consent::of(ConsentMatter::Photographs, ConsentAnswer::Given)
    };
    out.push(uses.into());
    for &document in HandedDocument::ALL {
        let of_letter = [79, 80].map(|id| EntryId::new(Uuid::from_u128(id))).to_vec();
        let photographs = if document.is_for_colleagues() { of_letter } else { Vec::new() };
        let handed = DocumentHanded { photographs, ..DocumentHanded::of(document, FamilyLanguage::Swahili) };
        out.push(DocumentHanded { to: some("aunt"), with_interpreter: Some(false), ..handed.clone() }.into());
        out.push(handed.into());
    }
    let picture = PictureHash::new([171; 32]);
    for &view in PhotographView::ALL {
        let feet = if view.feet() == ViewFeet::Both { Sides::Both } else { side.into() };
        let plain = Photograph::of(feet, view, picture, 1500, 2000);
        let full = Photograph { taken_at: some("09:10"), note: some("a; b"), ..plain.clone() };
        out.extend([plain.into(), full.into()]);
    }
    for &angle in PhotographAngle::ALL {
        let taps = PictureTaps::new(vec![(812, 403), (640, 588)]).unwrap();
        let of = EntryId::new(Uuid::from_u128(78));
        out.push(PhotographAngleMeasured::of(of, side, angle, -12.25, 2.5, taps).into());
    }
    for &card in ScaleCard::ALL {
        let taps =
            PictureTaps::new(vec![(812, 403), (1400, 410), (1402, 780), (808, 774), (90, 9), (95, 600)]);
        let of = EntryId::new(Uuid::from_u128(78));
        out.push(PhotographLengthMeasured::of(of, side, 92.25, 1.5, taps.unwrap(), 1.0, 3.0, card).into());
    }
    for (&activity, &view) in GaitActivity::ALL.iter().cycle().zip(GaitView::ALL) {
        let plain = GaitVideo::of(activity, view, VideoHash::new([172; 32]), 8_000_000, 14_200);
        let full = GaitVideo { taken_at: some("09:10"), note: some("a; b"), ..plain.clone() };
        out.extend([plain.into(), full.into()]);
    }
    let twin = Sibling::of(ChildId::new(Uuid::from_u128(77)), SiblingRelation::Twin);
    out.push(Sibling { birth_order: Some(BirthOrder::First), ..twin }.into());
    out.push(BodyMeasured { shoulder_mm: Some(188), shoulder_width: None, note: some("vest") }.into());
    let signs = RelapseSigns {
        adductus: Some(Deformity::Fixed),
        evertors: Some(Evertors::Weak),
        dynamic_supination: Some(true),
        ..RelapseSigns::default()
    };
    out.push(Assessment { signs, dorsiflexion_deg: Some(5), ..Assessment::of(side) }.into());
    let boots = vec![Boot { size: some("4; wide"), ..Boot::of(side) }];
    out.push(BraceFitted { brace: Brace { boots, ..Brace::default() }, ..BraceFitted::default() }.into());
    let (advised, helped) = (some("dry the strap"), Some(Helped::No));
    out.push(Problem { advised, helped, ..Problem::of(ProblemKind::Blister) }.into());
    for &what in ProblemKind::ALL {
        out.push(Problem { side: Some(side), ..Problem::of(what) }.into());
        out.push(Problem::of(what).into());
        out.push(
            Problem { side: Some(side), settled: true, note: some("healed"), ..Problem::of(what) }.into(),
        );
    }
    out.extend(Procedure::ALL.iter().map(|&procedure| OtherSurgery { side, procedure, note: None }.into()));
    out.extend(DischargeReason::ALL.iter().map(|&reason| Discharge { reason, note: None }.into()));
    for &change in BraceChange::ALL {
        let bare = BraceChanged { change, brace: None, regime: None, hours_prescribed: None, note: None };
        out.push(bare.clone().into());
        out.push(BraceChanged { brace: Some(brace.clone()), hours_prescribed: Some(12), ..bare }.into());
    }
    for &way in ContactWay::ALL {
        out.push(ContactAttempt { way, reached: true, whom: some("aunt"), note: some("will come") }.into());
    }
    for &nature in Nature::ALL {
        out.push(
            Diagnosis { side: Side::Right, nature: Some(nature), complex: None, earlier_treatment: None }
                .into(),
        );
    }
    for purpose in [None].into_iter().chain(CastPurpose::ALL.iter().map(|&purpose| Some(purpose))) {
        out.push(CastApplied { purpose, ..CastApplied::on(side) }.into());
    }
    out
}

/// A child with two numbers and two carers.
fn two_carers() -> Registration {
    let carer = |name: &str, relation: &str| Carer {
        name: name.to_owned(),
        relation: Some(relation.to_owned()),
        phone: Some("+44 20 0000".to_owned()),
        language: Some("Igbo".to_owned()),
    };
    Registration {
        family_name: "Okonjo".to_owned(),
        given_name: "Amadi".to_owned(),
        numbers: vec!["0041".to_owned(), "B/7".to_owned()],
        born: Some(day("2024-01-05")),
        sex: Some(record::Sex::Undetermined),
        gestation_weeks: Some(39),
        birth_weight_g: Some(3100),
        carers: vec![carer("Ada", "mother"), carer("Uche", "uncle")],
        address: Some("12 Quay, Orrowen".to_owned()),
        born_about: Some(day("2024-01-04")),
    }
}

/// Every kind of entry with all it can hold, each on a day of its own, comes back as it was.
#[test]
fn everything_the_record_holds_survives_the_way_out_and_in() {
    let mut entries = vec![entry(1, "2024-01-06", two_carers())];
    for (at, body) in (2..).zip(everything()) {
        let on = day("2024-01-06") + i32::try_from(at).unwrap();
        entries.push(entry(at, &on.to_string(), body));
    }
    let kinds: BTreeSet<&str> = entries.iter().map(|entry| entry.kind().wire()).collect();
    let missing: Vec<_> =
        Kind::ALL.iter().map(|kind| kind.wire()).filter(|kind| !kinds.contains(kind)).collect();
    let amend = Kind::ALL.iter().filter(|kind| kind.spec().amends).map(|kind| kind.wire());
    assert_eq!(missing, amend.collect::<Vec<_>>(), "every kind is tried");
    let (text, book) = out_and_in(&entries);
    for plan in [&text, &book] {
        assert_eq!(plan.report.dispositions.refused, 0, "{:?}", plan.report.not_plain);
        let (back, out) = (told(&plan.entries), told(&entries));
        let (lost, added): (Vec<_>, Vec<_>) =
            (out.difference(&back).collect(), back.difference(&out).collect());
        assert!(lost.is_empty() && added.is_empty(), "lost {lost:#?}\nadded {added:#?}");
    }
}

/// All of it on one day, in both feet: rows do not take from each other.
#[test]
fn everything_on_one_day_survives_as_well() {
    let mut entries = vec![entry(1, "2024-01-06", two_carers())];
    let ends = |body: &Body| matches!(body, Body::Diagnosis(_));
    entries.extend(
        (2..)
            .zip(everything().into_iter().filter(|body| !ends(body)))
            .map(|(at, body)| entry(at, "2024-03-09", body)),
    );
    let (text, _) = out_and_in(&entries);
    assert_eq!(text.report.dispositions.refused, 0, "{:?}", text.report.not_plain);
    let (back, out) = (told(&text.entries), told(&entries));
    let (lost, added): (Vec<_>, Vec<_>) = (out.difference(&back).collect(), back.difference(&out).collect());
    assert!(lost.is_empty() && added.is_empty(), "lost {lost:#?}\nadded {added:#?}");
}

/// The columns stand in an export only where there is a consent.
#[test]
fn a_consent_has_columns_of_its_own() {
    let who = entry(1, "2024-01-06", two_carers());
    let consent = Consent {
        by_name: Some("Ada".to_owned()),
        until: Some(day("2030-01-01")),
        ..Consent::of(ConsentMatter::Messages, ConsentAnswer::Given)
    };
    let entries = [who.clone(), entry(2, "2024-02-01", consent)];
    let text = export_csv(&[(who.child, &entries)]);
    let head = text.lines().next().unwrap();
    assert!(head.ends_with(",Entry in full,Consent to,Consent answer,Consent by,Consent relation,Consent how,Consent taken by,Consent until"), "{head}");
    assert!(text.contains(",messages to the family,given,Ada,,,,2030-01-01"), "{text}");
    assert!(!export_csv(&[(who.child, &entries[..1])]).contains("Consent"));
}

/// A weight in grams has a column of its own, and a column in kilograms is never read into it.
#[test]
fn a_weight_is_read_in_grams_only() {
    let plan =
        import("Hosp no,Name,Date of visit,Weight (g),Allergies\n7,Ada Obi,2024-02-01,5200,none known\n");
    let bodies: Vec<Body> = plan.entries.iter().map(|entry| entry.body.clone()).collect();
    assert!(bodies.contains(&Weighed::grams(5200).into()), "{bodies:?}");
    assert!(bodies.contains(&Allergies::of(AllergyAnswer::NoneKnown).into()), "{bodies:?}");
    let plan = import("Hosp no,Name,Date of visit,Weight (kg)\n7,Ada Obi,2024-02-01,5.2\n");
    assert!(plan.entries.iter().all(|entry| entry.kind() != Kind::Weighed), "{:?}", plan.entries);
}

/// A sheet of a clinic's own: other headings, words and keys, and a row that cannot be read as a consent.
#[test]
fn a_clinics_own_columns_of_consent_are_read() {
    let plan = import(concat!(
        "Hosp no,Name,Date of visit,Consent type,Consent status,Consented by,Consent obtained by,Consent expiry\n",
        "7,Ada Obi,2024-02-01,Photographs,GIVEN,Grace Obi,HK,2025-02-01\n",
        "7,Ada Obi,2024-02-08,messages to the family,refused,Grace Obi,,\n",
        "7,Ada Obi,2024-02-15,parking,given,Grace Obi,,\n",
        "7,Ada Obi,2024-02-22,tenotomy,given,Grace Obi,,2024-02-21\n",
    ));
    let given = Consent {
        by_name: Some("Grace Obi".to_owned()),
        taken_by: Some("HK".to_owned()),
        until: Some(day("2025-02-01")),
        ..Consent::of(ConsentMatter::Photographs, ConsentAnswer::Given)
    };
    let refused = Consent {
        by_name: Some("Grace Obi".to_owned()),
        ..Consent::of(ConsentMatter::Messages, ConsentAnswer::Refused)
    };
    let read: Vec<&Body> =
        plan.entries.iter().map(|entry| &entry.body).filter(|body| body.kind() == Kind::Consent).collect();
    assert_eq!(read, [&Body::from(given), &Body::from(refused)], "{:?}", plan.report.not_plain);
    let notes = plan.entries.iter().filter(|entry| entry.kind() == Kind::Note);
    assert!(notes.clone().any(|note| note.body.sentence() == "Consent type: parking"), "nothing is lost");
    let remarks: Vec<&str> = plan.report.not_plain.iter().map(|row| row.remark.text.as_str()).collect();
    assert!(remarks.iter().any(|text| text.contains("“parking” is not one of the answers")), "{remarks:?}");
    assert!(remarks.iter().any(|text| text.contains("lies before the day")), "{remarks:?}");
    assert_eq!(plan.report.dispositions.refused, 1, "the consent that ended before it was given");
}

/// The id of the first score means nothing in another record: it leaves with the entry and is not taken in,
/// so that the pair is found again by foot and day.
#[test]
fn a_second_score_leaves_with_its_pair_and_is_paired_by_the_day_where_it_comes_in() {
    let first =
        entry(2, "2024-03-04", Assessment { dorsiflexion_deg: Some(5), ..Assessment::of(Side::Left) });
    let pirani = Pirani { talar_head: Some(HalfPoint::Half), ..Pirani::default() };
    let second = SecondScore { first: Some(first.id), pirani, ..SecondScore::of(Side::Left) };
    let entries = [entry(1, "2024-01-06", two_carers()), first, entry(3, "2024-03-04", second.clone())];
    let text = export_csv(&[(entries[0].child, &entries)]);
    assert!(
        text.contains(&format!("second_score; first: {}; pirani.talar_head: 0.5; side: left", entries[1].id)),
        "{text}"
    );
    let back: Vec<_> = import(&text).entries.into_iter().map(|entry| entry.body).collect();
    assert!(back.contains(&SecondScore { first: None, ..second }.into()), "{back:#?}");
}

/// The wrong side is one of the two worst errors: nothing is taken where the row and the entry disagree.
#[test]
fn an_entry_in_full_for_another_foot_than_its_row_is_refused() {
    let entries = [
        entry(1, "2024-01-06", two_carers()),
        entry(2, "2024-02-01", RelapseNoted { side: Side::Left, grade: Some(RelapseGrade::Iia), note: None }),
    ];
    let text = export_csv(&[(entries[0].child, &entries)]);
    assert!(text.contains("relapse_noted; grade: IIA; side: left"), "{text}");
    let wrong = text.replace(",left,", ",right,");
    let plan = import(&wrong);
    assert_eq!(plan.report.dispositions.refused, 1, "{:?}", plan.report.not_plain);
    assert!(plan.report.not_plain[0].remark.text.contains("the row about another"));
}

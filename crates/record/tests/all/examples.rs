//! Two invented entries of every kind: one with every field filled, one with only what a kind needs. Those
//! written out here are held against the golden files; a kind that is not takes both from its golden file.

use record::{HalfPoint::*, *};

pub fn day(text: &str) -> Day {
    text.parse().unwrap()
}

fn some(text: &str) -> Option<String> {
    Some(text.to_owned())
}

fn uuid<T: std::str::FromStr<Err = IdError>>(last: &str) -> T {
    format!("01907e2a-0000-7000-8000-{last:0>12}").parse().unwrap()
}

/// An entry around a body; all four ids differ so that a mix-up shows.
pub fn entry(body: impl Into<Body>) -> Entry {
    Entry {
        id: uuid("e1"),
        child: uuid("c1"),
        body: body.into(),
        on: day("2024-07-30"),
        at: "2024-07-30T09:12:04Z".parse().unwrap(),
        by: uuid("b1"),
        site: uuid("a1"),
        follows: None,
    }
}

pub fn full_entry(kind: Kind) -> Entry {
    Entry { follows: Some(uuid("e0")), ..entry(full(kind)) }
}

fn pirani() -> Pirani {
    Pirani {
        lateral_border: Some(Zero),
        medial_crease: Some(Half),
        talar_head: Some(One),
        posterior_crease: Some(One),
        rigid_equinus: Some(One),
        empty_heel: Some(Half),
    }
}

fn dimeglio() -> Dimeglio {
    Dimeglio {
        equinus: Some(Angle::Deg(50)),
        varus: Some(Angle::Deg(-5)),
        derotation: Some(Angle::Points(3)),
        adduction: Some(Angle::Deg(0)),
        posterior_crease: Some(true),
        medial_crease: Some(false),
        cavus: Some(true),
        poor_muscle: Some(false),
    }
}

fn assessment() -> Assessment {
    Assessment {
        side: Side::Right,
        pirani: pirani(),
        stated_total: Some(Halves(8)),
        dimeglio: dimeglio(),
        stated_dimeglio_total: Some(12),
        walking: Walking { ankle: Some(0), pain: Some(1), shoes: Some(2), carer: Some(3) },
        signs: RelapseSigns::default(),
        abduction_deg: Some(-20),
        dorsiflexion_deg: Some(-35),
        foot_length_mm: Some(84),
        scored_by: some("Dr Invented"),
        note: some("first sitting"),
    }
}

fn brace() -> Brace {
    let boot = |side, abduction| Boot {
        abduction_deg: Some(abduction),
        dorsiflexion_deg: Some(10),
        length_mm: Some(95),
        ..Boot::of(side)
    };
    Brace {
        boots: vec![boot(Side::Right, 65), boot(Side::Left, 35)],
        bar_mm: Some(210),
        label: some("B-17"),
        ..Brace::default()
    }
}

fn registration() -> Registration {
    Registration {
        family_name: "Oyelaran".into(),
        given_name: "Tomi \"T\"".into(),
        numbers: vec!["4711".into(), "A/12".into()],
        born: Some(day("2024-07-01")),
        sex: Some(Sex::Female),
        gestation_weeks: Some(38),
        birth_weight_g: Some(3120),
        carers: vec![Carer {
            name: "Ngozi Oyelaran".into(),
            relation: some("mother"),
            phone: some("+00 555 0100"),
            language: some("Yorùbá"),
        }],
        address: some("12 Invented Street"),
        born_about: None,
    }
}

fn made() -> AppointmentMade {
    AppointmentMade { for_day: day("2024-08-06"), time: some("09:30"), purpose: Some(Purpose::BraceFitting) }
}

/// Every field of the kind filled.
pub fn full(kind: Kind) -> Body {
    let side = Side::Left;
    match kind {
        Kind::Registration => registration().into(),
        Kind::Referral => Referral { from: some("Dr Elsewhere"), reason: some("both feet turned in") }.into(),
        Kind::Diagnosis => Diagnosis {
            side,
            nature: Some(Nature::Idiopathic),
            complex: Some(false),
            earlier_treatment: some("two casts elsewhere"),
        }
        .into(),
        Kind::Screening => Screening {
            hips: Some(Screened::Normal),
            spine: Some(Screened::Abnormal),
            nerve_and_muscle: Some(Screened::Awaited),
            note: some("sacral dimple"),
        }
        .into(),
        Kind::Assessment => assessment().into(),
        Kind::SecondScore => SecondScore {
            side,
            first: Some(uuid("e7")),
            pirani: pirani(),
            dimeglio: dimeglio(),
            scored_by: some("Dr Invented"),
            note: some("second sitting"),
        }
        .into(),
        Kind::CastApplied => CastApplied {
            side,
            purpose: Some(CastPurpose::AfterTenotomy),
            number: Some(6),
            material: Some(CastMaterial::Plaster),
            abduction_deg: Some(60),
            dorsiflexion_deg: Some(15),
            cast_by: some("A. Plasterer"),
        }
        .into(),
        Kind::CastRemoved => {
            CastRemoved { side, why: RemovalReason::Circulation, note: some("toes pink again") }.into()
        }
        Kind::TenotomyBooked => {
            TenotomyBooked { side, planned_on: Some(day("2024-08-20")), place: some("theatre 2") }.into()
        }
        Kind::TenotomyDone => TenotomyDone {
            side,
            anaesthesia: Some(Anaesthesia::Local),
            dorsiflexion_after_deg: Some(20),
            complication: some("oozing, stopped with pressure"),
            done_by: some("Dr Invented"),
        }
        .into(),
        Kind::BraceFitted => BraceFitted {
            brace: brace(),
            regime: Some(Regime::FullTime),
            hours_prescribed: Some(23),
            fitted_by: some("O. Fitter"),
        }
        .into(),
        Kind::BraceChanged => BraceChanged {
            change: BraceChange::Hours,
            brace: Some(brace()),
            regime: Some(Regime::NightTime),
            hours_prescribed: Some(12),
            note: some("twelve weeks done"),
        }
        .into(),
        _ => full_later(kind),
    }
}

fn full_later(kind: Kind) -> Body {
    let side = Side::Left;
    let (from, to) = (day("2024-07-01"), day("2024-07-28"));
    match kind {
        Kind::WearReported => {
            WearReported { from, to, hours_per_day: 21.5, days_without: Some(2), reason: some("a cold") }
                .into()
        }
        Kind::WearLogged => {
            WearLogged { from, to, hours_per_day: 17.3, days_judged: 26, logger: some("L-3") }.into()
        }
        Kind::Problem => Problem {
            side: Some(side),
            settled: true,
            note: some("cast changed"),
            ..Problem::of(ProblemKind::ToesNotSeen)
        }
        .into(),
        Kind::AppointmentMade => made().into(),
        Kind::AppointmentAttended => AppointmentAttended { time: some("09:42") }.into(),
        Kind::AppointmentMissed => AppointmentMissed { reason: some("flood") }.into(),
        Kind::AppointmentCancelled => AppointmentCancelled {
            for_day: day("2024-08-06"),
            by: Some(CancelledBy::Family),
            reason: some("harvest"),
        }
        .into(),
        Kind::ContactAttempt => ContactAttempt {
            way: ContactWay::HomeVisit,
            reached: true,
            whom: some("grandmother"),
            note: some("will come on Tuesday"),
        }
        .into(),
        Kind::RelapseNoted => {
            RelapseNoted { side, grade: Some(RelapseGrade::Iib), note: some("heel turning in") }.into()
        }
        Kind::OtherSurgery => {
            OtherSurgery { side, procedure: Procedure::TendonTransfer, note: some("elsewhere") }.into()
        }
        Kind::Transfer => Transfer { to: some("Hill Clinic") }.into(),
        Kind::Death => Death { cause: some("malaria") }.into(),
        Kind::LostDeclared => LostDeclared { reason: some("three calls, one visit") }.into(),
        Kind::Discharge => {
            Discharge { reason: DischargeReason::Completed, note: some("fifth birthday") }.into()
        }
        Kind::Note => Note { text: "line one\nline “two” \t½ − 😀".into() }.into(),
        Kind::Correction => Correction {
            entry: uuid("e7"),
            body: Box::new(assessment().into()),
            on: Some(day("2024-07-29")),
            reason: "left and right swapped".into(),
        }
        .into(),
        Kind::Withdrawal => {
            Withdrawal { entry: uuid("e7"), reason: "written under the wrong child".into() }.into()
        }
        Kind::BodyMeasured => BodyMeasured {
            shoulder_mm: Some(195),
            shoulder_width: Some(ShoulderWidth::Bideltoid),
            note: some("arms at the sides"),
        }
        .into(),
        _ => crate::golden::latest(kind)[0].body.clone(),
    }
}

fn signs() -> RelapseSigns {
    RelapseSigns {
        equinus: Some(Deformity::Fixed),
        heel_varus: Some(Deformity::Flexible),
        adductus: Some(Deformity::Absent),
        cavus: Some(Deformity::Absent),
        dynamic_supination: Some(true),
        early_heel_rise: Some(false),
        evertors: Some(Evertors::Weak),
        lateral_cuneiform_ossified: Some(true),
    }
}

fn sized_brace() -> Brace {
    let mut brace = brace();
    brace.boots.iter_mut().for_each(|boot| boot.size = some("3 wide"));
    brace
}

/// Every field of the kind as version 2 has it; `None` where version 2 changed nothing.
pub fn full_of_two(kind: Kind) -> Option<Body> {
    let signed = || Assessment { signs: signs(), ..assessment() };
    Some(match (kind, full_of_one(kind)) {
        _ if kind == Kind::BodyMeasured => full(kind),
        (Kind::Assessment, _) => signed().into(),
        (_, Some(Body::BraceFitted(body))) => BraceFitted { brace: sized_brace(), ..body }.into(),
        (_, Some(Body::BraceChanged(body))) => BraceChanged { brace: Some(sized_brace()), ..body }.into(),
        (_, Some(Body::Problem(body))) => {
            Problem { advised: some("tongue-strap-first"), helped: Some(Helped::Partly), ..body }.into()
        }
        (_, Some(Body::Correction(body))) => Correction { body: Box::new(signed().into()), ..body }.into(),
        _ => return None,
    })
}

/// Every field of the kind as version 1 had it; `None` for a kind it did not have.
pub fn full_of_one(kind: Kind) -> Option<Body> {
    (kind.spec().since == 1).then(|| full(kind))
}

/// Every field of the kind as version 3 has it; `None` where version 3 changed nothing.
pub fn full_of_three(kind: Kind) -> Option<Body> {
    (kind == Kind::SecondScore).then(|| full(kind))
}

/// Every field of the kind as version 4 has it; `None` where version 4 changed nothing.
pub fn full_of_four(kind: Kind) -> Option<Body> {
    let adjustable = || Brace { bar_per_side: Some(true), ..sized_brace() };
    Some(match full_of_two(kind)? {
        Body::BraceFitted(body) => BraceFitted { brace: adjustable(), ..body }.into(),
        Body::BraceChanged(body) => BraceChanged { brace: Some(adjustable()), ..body }.into(),
        _ => return None,
    })
}

/// Only what the kind cannot do without, as its golden file has it.
pub fn minimal(kind: Kind) -> Body {
    crate::golden::latest(kind)[1].body.clone()
}

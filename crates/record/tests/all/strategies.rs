//! Any body of any kind, in bounds or not: the wire form must carry what was written either way.

use proptest::{collection::vec, option::of, prelude::*, sample::select};
use record::*;

fn text() -> impl Strategy<Value = String> {
    prop_oneof!["\\PC{0,12}", "[\\x00-\\x7f]{0,6}", Just("“½ − 😀”\\\"".to_owned())]
}

fn any_day() -> impl Strategy<Value = Day> {
    (Day::FIRST.number()..=Day::LAST.number()).prop_map(Day::from_number)
}

fn hours() -> impl Strategy<Value = f64> {
    prop_oneof![0.0..=24.0, prop::num::f64::NORMAL | prop::num::f64::ZERO | prop::num::f64::SUBNORMAL]
}

fn one<T: Copy + std::fmt::Debug + 'static>(all: &[T]) -> impl Strategy<Value = T> + use<T> {
    select(all.to_vec())
}

fn side() -> impl Strategy<Value = Side> {
    one(&Side::BOTH)
}

fn uuid() -> impl Strategy<Value = uuid::Uuid> {
    any::<u128>().prop_map(uuid::Uuid::from_u128)
}

fn pirani() -> impl Strategy<Value = Pirani> {
    prop::array::uniform6(of(one(&HalfPoint::ALL))).prop_map(|points| {
        let mut foot = Pirani::default();
        Sign::ALL.into_iter().zip(points).for_each(|(sign, point)| foot.set(sign, point));
        foot
    })
}

fn dimeglio() -> impl Strategy<Value = Dimeglio> {
    let angle = prop_oneof![any::<i16>().prop_map(Angle::Deg), any::<u8>().prop_map(Angle::Points)];
    (prop::array::uniform4(of(angle)), prop::array::uniform4(of(any::<bool>()))).prop_map(
        |(angles, signs)| {
            let mut foot = Dimeglio::default();
            AngleItem::ALL.into_iter().zip(angles).for_each(|(item, angle)| foot.set_angle(item, angle));
            DimeglioSign::ALL.into_iter().zip(signs).for_each(|(sign, present)| foot.set_sign(sign, present));
            foot
        },
    )
}

fn walking() -> impl Strategy<Value = Walking> {
    prop::array::uniform4(of(any::<u8>())).prop_map(|[ankle, pain, shoes, carer]| Walking {
        ankle,
        pain,
        shoes,
        carer,
    })
}

fn signs() -> impl Strategy<Value = RelapseSigns> {
    let deformities = prop::array::uniform4(of(one(Deformity::ALL)));
    let seen = prop::array::uniform3(of(any::<bool>()));
    (deformities, seen, of(one(Evertors::ALL))).prop_map(|(deformities, seen, evertors)| {
        let [equinus, heel_varus, adductus, cavus] = deformities;
        let [dynamic_supination, early_heel_rise, lateral_cuneiform_ossified] = seen;
        RelapseSigns {
            equinus,
            heel_varus,
            adductus,
            cavus,
            dynamic_supination,
            early_heel_rise,
            evertors,
            lateral_cuneiform_ossified,
        }
    })
}

fn brace() -> impl Strategy<Value = Brace> {
    let boot = (side(), of(any::<i16>()), of(any::<i16>()), of(any::<u16>()), of(text())).prop_map(
        |(side, abduction_deg, dorsiflexion_deg, length_mm, size)| Boot {
            side,
            abduction_deg,
            dorsiflexion_deg,
            length_mm,
            size,
        },
    );
    (vec(boot, 0..3), of(any::<u16>()), of(any::<bool>()), of(text()))
        .prop_map(|(boots, bar_mm, bar_per_side, label)| Brace { boots, bar_mm, bar_per_side, label })
}

fn carer() -> impl Strategy<Value = Carer> {
    (text(), of(text()), of(text()), of(text())).prop_map(|(name, relation, phone, language)| Carer {
        name,
        relation,
        phone,
        language,
    })
}

fn registration() -> impl Strategy<Value = Registration> {
    let known = (of(any_day()), of(one(Sex::ALL)), of(any::<u8>()), of(any::<u16>()));
    (text(), text(), vec(text(), 0..3), known, vec(carer(), 0..3), of(text())).prop_map(
        |(
            family_name,
            given_name,
            numbers,
            (born, sex, gestation_weeks, birth_weight_g),
            carers,
            address,
        )| {
            Registration {
                family_name,
                given_name,
                numbers,
                born,
                sex,
                gestation_weeks,
                birth_weight_g,
                carers,
                address,
            }
        },
    )
}

fn assessment() -> impl Strategy<Value = Assessment> {
    let scores =
        (pirani(), of(any::<u8>().prop_map(Halves)), dimeglio(), of(any::<u8>()), walking(), signs());
    let measures = (of(any::<i16>()), of(any::<i16>()), of(any::<u16>()));
    (side(), scores, measures, of(text()), of(text())).prop_map(
        |(side, scores, (abduction_deg, dorsiflexion_deg, foot_length_mm), scored_by, note)| {
            let (pirani, stated_total, dimeglio, stated_dimeglio_total, walking, signs) = scores;
            Assessment {
                side,
                pirani,
                stated_total,
                dimeglio,
                stated_dimeglio_total,
                walking,
                signs,
                abduction_deg,
                dorsiflexion_deg,
                foot_length_mm,
                scored_by,
                note,
            }
        },
    )
}

fn cast_applied() -> impl Strategy<Value = CastApplied> {
    let numbers = (of(any::<u8>()), of(any::<i16>()), of(any::<i16>()));
    (side(), of(one(CastPurpose::ALL)), of(one(CastMaterial::ALL)), numbers, of(text())).prop_map(
        |(side, purpose, material, (number, abduction_deg, dorsiflexion_deg), cast_by)| CastApplied {
            side,
            purpose,
            number,
            material,
            abduction_deg,
            dorsiflexion_deg,
            cast_by,
        },
    )
}

fn braces() -> BoxedStrategy<Body> {
    prop_oneof![
        (brace(), of(one(Regime::ALL)), of(any::<u8>()), of(text())).prop_map(
            |(brace, regime, hours_prescribed, fitted_by)| BraceFitted {
                brace,
                regime,
                hours_prescribed,
                fitted_by
            }
            .into()
        ),
        (one(BraceChange::ALL), of(brace()), of(one(Regime::ALL)), of(any::<u8>()), of(text())).prop_map(
            |(change, brace, regime, hours_prescribed, note)| BraceChanged {
                change,
                brace,
                regime,
                hours_prescribed,
                note
            }
            .into()
        ),
        (any_day(), any_day(), hours(), of(any::<u16>()), of(text())).prop_map(
            |(from, to, hours_per_day, days_without, reason)| WearReported {
                from,
                to,
                hours_per_day,
                days_without,
                reason
            }
            .into()
        ),
        (any_day(), any_day(), hours(), any::<u16>(), of(text())).prop_map(
            |(from, to, hours_per_day, days_judged, logger)| WearLogged {
                from,
                to,
                hours_per_day,
                days_judged,
                logger
            }
            .into()
        ),
    ]
    .boxed()
}

fn tenotomies() -> BoxedStrategy<Body> {
    prop_oneof![
        (side(), of(any_day()), of(text())).prop_map(|(side, planned_on, place)| TenotomyBooked {
            side,
            planned_on,
            place
        }
        .into()),
        (side(), of(one(Anaesthesia::ALL)), of(any::<i16>()), of(text()), of(text())).prop_map(
            |(side, anaesthesia, dorsiflexion_after_deg, complication, done_by)| TenotomyDone {
                side,
                anaesthesia,
                dorsiflexion_after_deg,
                complication,
                done_by
            }
            .into()
        ),
        (side(), one(Procedure::ALL), of(text())).prop_map(|(side, procedure, note)| OtherSurgery {
            side,
            procedure,
            note
        }
        .into()),
        (side(), of(one(RelapseGrade::ALL)), of(text())).prop_map(|(side, grade, note)| RelapseNoted {
            side,
            grade,
            note
        }
        .into()),
        (side(), one(RemovalReason::ALL), of(text())).prop_map(|(side, why, note)| CastRemoved {
            side,
            why,
            note
        }
        .into()),
        (of(side()), one(ProblemKind::ALL), any::<bool>(), of(text()), of(one(Helped::ALL)), of(text()))
            .prop_map(|(side, what, settled, advised, helped, note)| Problem {
                side,
                what,
                settled,
                advised,
                helped,
                note
            }
            .into()),
    ]
    .boxed()
}

fn appointments() -> BoxedStrategy<Body> {
    prop_oneof![
        (any_day(), of(text()), of(one(Purpose::ALL))).prop_map(|(for_day, time, purpose)| AppointmentMade {
            for_day,
            time,
            purpose
        }
        .into()),
        of(text()).prop_map(|time| AppointmentAttended { time }.into()),
        of(text()).prop_map(|reason| AppointmentMissed { reason }.into()),
        (any_day(), of(one(CancelledBy::ALL)), of(text()))
            .prop_map(|(for_day, by, reason)| AppointmentCancelled { for_day, by, reason }.into()),
        (one(ContactWay::ALL), any::<bool>(), of(text()), of(text()))
            .prop_map(|(way, reached, whom, note)| ContactAttempt { way, reached, whom, note }.into()),
    ]
    .boxed()
}

fn beginnings() -> BoxedStrategy<Body> {
    let seen = || of(one(Screened::ALL));
    prop_oneof![
        registration().prop_map(Body::from).boxed(),
        (of(text()), of(text())).prop_map(|(from, reason)| Referral { from, reason }.into()),
        (side(), of(one(Nature::ALL)), of(any::<bool>()), of(text())).prop_map(
            |(side, nature, complex, earlier_treatment)| Diagnosis {
                side,
                nature,
                complex,
                earlier_treatment
            }
            .into()
        ),
        (seen(), seen(), seen(), of(text())).prop_map(|(hips, spine, nerve_and_muscle, note)| Screening {
            hips,
            spine,
            nerve_and_muscle,
            note
        }
        .into()),
        assessment().prop_map(Body::from).boxed(),
        (assessment(), of(uuid())).prop_map(|(seen, first)| SecondScore {
            side: seen.side,
            first: first.map(EntryId::new),
            pirani: seen.pirani,
            dimeglio: seen.dimeglio,
            scored_by: seen.scored_by,
            note: seen.note,
        }
        .into()),
        (of(any::<u16>()), of(one(ShoulderWidth::ALL)), of(text())).prop_map(
            |(shoulder_mm, shoulder_width, note)| BodyMeasured { shoulder_mm, shoulder_width, note }.into()
        ),
        cast_applied().prop_map(Body::from),
    ]
    .boxed()
}

fn ends() -> BoxedStrategy<Body> {
    prop_oneof![
        of(text()).prop_map(|to| Transfer { to }.into()),
        of(text()).prop_map(|cause| Death { cause }.into()),
        of(text()).prop_map(|reason| LostDeclared { reason }.into()),
        (one(DischargeReason::ALL), of(text())).prop_map(|(reason, note)| Discharge { reason, note }.into()),
        text().prop_map(|text| Note { text }.into()),
        (uuid(), text()).prop_map(|(id, reason)| Withdrawal { entry: EntryId::new(id), reason }.into()),
    ]
    .boxed()
}

// Boxed: left to themselves the types of these strategies take more stack than a test's thread has.
fn plain() -> BoxedStrategy<Body> {
    prop_oneof![beginnings(), tenotomies(), braces(), appointments(), ends()].boxed()
}

/// Any body of any kind, corrections among them.
pub fn body() -> impl Strategy<Value = Body> {
    let correction = (uuid(), plain(), of(any_day()), text()).prop_map(|(id, body, on, reason)| {
        Correction { entry: EntryId::new(id), body: Box::new(body), on, reason }.into()
    });
    prop_oneof![9 => plain(), 1 => correction]
}

/// Any entry.
pub fn entry() -> impl Strategy<Value = Entry> {
    let ids = (uuid(), uuid(), uuid(), uuid(), of(uuid()));
    (ids, body(), any_day(), any::<i64>()).prop_map(|((id, child, by, site, follows), body, on, seconds)| {
        Entry {
            id: EntryId::new(id),
            child: ChildId::new(child),
            body,
            on,
            at: Timestamp::from_seconds(seconds % 4_000_000_000),
            by: UserId::new(by),
            site: SiteId::new(site),
            follows: follows.map(EntryId::new),
        }
    })
}

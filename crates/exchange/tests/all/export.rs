//! What is written out is read back without a map as the same course.

use crate::common::{day, import, import_table, stamp};
use exchange::{Nothing, Plan, export_csv, export_xlsx, read_table};
use record::{
    Angle, Assessment, Body, BraceFitted, CastApplied, CastPurpose, CastRemoved, ChildId, Diagnosis,
    Discharge, DischargeReason, Entry, EntryId, HalfPoint, Nature, Note, Pirani, Registration, RelapseNoted,
    RemovalReason, Side, TenotomyDone, Withdrawal,
};
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

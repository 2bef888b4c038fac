//! Files of ten further invented clinics that are kept next to the repository, with their truth.

use super::{
    evaluate::{Fate, evaluate},
    fact::{Fact, FactKind, Place, Truth, halves},
};
use crate::common::{ids, stamp};
use exchange::{Nothing, Stamp, guess, plan, read_mapped};
use record::{Day, Side, Sign};
use serde_json::Value;
use std::path::{Path, PathBuf};

/// The files, and how many facts are still wrong, invented or silently missing; the numbers can only go down.
const FILES: [(&str, usize); 11] = [
    ("01_french.xlsx", 0),
    ("04_us.csv", 0),
    ("07_arabic.xlsx", 0),
    ("09_long.csv", 0),
    ("11_one_cell_sum.xlsx", 0),
    ("11c_ta_and_pop.xlsx", 0),
    ("16_status_columns.csv", 0),
    ("17_sides_in_words_en.csv", 0),
    ("17_sides_in_words_en_side.csv", 0),
    ("18_codes_012_rows.csv", 0),
    ("19_three_row_heads.xlsx", 12),
];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../shared/samples/clinics")
}

/// Half points as text, from a number of points.
fn points(value: &Value) -> String {
    // Scores are between 0 and 6.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let number = (value.as_f64().unwrap() * 2.0).round() as u32;
    halves(number)
}

fn truth(json: &Value) -> Truth {
    let mut truth = Truth::default();
    for child in json["children"].as_array().unwrap() {
        let number = child["number"].as_str().unwrap();
        let visits = child["visits"].as_array().unwrap();
        let all: Vec<Place> = visits.iter().flat_map(places).collect();
        let mut put = |kind, value: &str| {
            all.iter().for_each(|&place| truth.put(Fact::of_child(kind, number), value, place));
        };
        let text = |key: &str| child[key].as_str().unwrap_or_default();
        put(FactKind::Child, &format!("{} {}", text("given"), text("family")));
        if child["born"].is_string() && child["born_about"].is_null() {
            put(FactKind::Born, text("born"));
        }
        put(FactKind::Sex, if text("sex") == "f" { "female" } else { "male" });
        for visit in visits {
            of_visit(&mut truth, number, visit);
        }
    }
    truth
}

fn places(visit: &Value) -> Vec<Place> {
    let rows = visit["src"].as_array().unwrap().iter();
    rows.map(|place| (0, usize::try_from(place[1].as_u64().unwrap()).unwrap())).collect()
}

fn of_visit(truth: &mut Truth, number: &str, visit: &Value) {
    let on: Day = visit["date"].as_str().unwrap().parse().unwrap();
    let places = places(visit);
    let mut put = |fact: Fact, value: String| {
        places.iter().for_each(|&place| truth.put(fact.clone(), value.clone(), place));
    };
    if !visit["brace"].is_null() {
        put(Fact::of_day(FactKind::Brace, number, on), "yes".to_owned());
    }
    for side in Side::BOTH {
        let foot = &visit["feet"][side.word()];
        if foot.is_null() {
            continue;
        }
        let mut of_foot = |kind, value: String| put(Fact::of_foot(kind, number, side, on), value);
        if foot["signs"].is_object() {
            let signs = Sign::ALL.map(|sign| points(&foot["signs"][sign.key()]));
            of_foot(FactKind::Signs, signs.join(" "));
        } else if !foot["total"].is_null() {
            of_foot(FactKind::Total, points(&foot["total"]));
        }
        // A number, a blank text for a cast without one, and nothing where no cast was put on.
        match &foot["cast"] {
            Value::Number(number) if number.as_u64() != Some(0) => {
                of_foot(FactKind::Cast, number.to_string())
            }
            Value::String(text) if !text.is_empty() => of_foot(FactKind::Cast, text.trim().to_owned()),
            _ => {}
        }
        for (key, kind) in [("tenotomy", FactKind::Tenotomy), ("relapse", FactKind::Relapse)] {
            if foot[key].as_bool() == Some(true) {
                of_foot(kind, "yes".to_owned());
            }
        }
        if let Some(total) = foot["dimeglio"].as_u64() {
            of_foot(FactKind::Dimeglio, total.to_string());
        }
    }
}

#[test]
fn the_clinics_next_to_the_repository_come_in_without_a_silent_fault() {
    if !folder().is_dir() {
        println!("skipped: the files are not next to the repository");
        return;
    }
    // These clinics go on seeing children after the day of the other tests.
    let later = Stamp {
        at: "2026-10-01T12:00:00Z".parse().unwrap(),
        today: "2026-10-01".parse().unwrap(),
        ..stamp()
    };
    let mut faults = Vec::new();
    for (name, not_yet) in FILES {
        let bytes = std::fs::read(folder().join(name)).unwrap();
        let json = std::fs::read(folder().join(format!("{name}.truth.json"))).unwrap();
        let truth = truth(&serde_json::from_slice(&json).unwrap());
        let table = read_mapped(&bytes, name, None).unwrap();
        let plan = plan(&table, &guess(&table), &Nothing, &later, &mut ids(1), &mut |_| {});
        let tally = evaluate(&plan, &truth);
        println!(
            "{name:30} facts {:4} right {:5.1} % partial {:4} refused {:4} asked {:4} silent {:4} WRONG {:4} EXTRA {:4} questions {}",
            tally.facts(),
            tally.right_percent(),
            tally.of(Fate::Partial),
            tally.of(Fate::Refused),
            tally.of(Fate::Asked),
            tally.of(Fate::Silent),
            tally.of(Fate::Wrong),
            tally.of(Fate::Extra),
            plan.report.questions.len(),
        );
        if tally.grave() != not_yet {
            let examples: Vec<&String> = tally.grave_examples().take(5).collect();
            faults.push(format!(
                "{name} has {} grave faults, {not_yet} are listed: {examples:#?}",
                tally.grave()
            ));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

//! A map file settles what a guess leaves open, and its errors name the line.

use crate::common::{import_with, table, told};
use exchange::{MapFile, Meaning, guess};
use rstest::rstest;

#[test]
fn headings_and_letters_sides_visits_and_words() {
    let plan = import_with(
        "Akte,Wer,Wann,Q1,Q2,Getan\n1,Ole By,05/03/2024,4,3,Zug\n",
        "date_order = \"day first\"\n[columns]\nAkte = \"number\"\nWer = \"name\"\nC = \"visit_date\"\n\
         Q1 = { meaning = \"total\", side = \"right\" }\nQ2 = { meaning = \"total\", side = \"left\" }\nGetan = \"done\"\n\
         [done]\nZug = \"cast\"\n",
    );
    assert_eq!(
        told(&plan),
        [
            "right assessment 2024-03-05",
            "right cast_applied 2024-03-05",
            "left assessment 2024-03-05",
            "left cast_applied 2024-03-05"
        ]
    );
}

#[rstest]
#[case("date_order = \"sideways\"", 1, "no order of dates")]
#[case("\n[columns]\nA = \"posterior_creese\"", 3, "did you mean “posterior_crease”?")]
#[case("[columns]\nA = \"number\"\n\"Nowhere\" = \"name\"", 3, "no column “Nowhere”")]
#[case("[columns]\nA = { meaning = \"total\", side = \"up\" }", 2, "right or left")]
#[case("[sides]\nmiddle = [\"M\"]", 2, "no side")]
#[case("[done]\nZug = \"choo\"", 2, "not known as something done")]
#[case("header_row = 0", 1, "counts from 1")]
#[case("[columns", 1, "")]
#[case("colour = 3", 1, "unknown field")]
fn an_error_names_its_line(#[case] toml: &str, #[case] line: usize, #[case] text: &str) {
    let table = table("Hosp No,Name\n1,Ole By\n");
    let error = MapFile::from_toml(toml).and_then(|map| map.apply(&table)).unwrap_err();
    assert_eq!(error.line, line, "{error}");
    assert!(error.to_string().contains(text), "{error}");
}

#[test]
fn a_guess_written_as_a_map_file_reads_back_as_itself() {
    let table = table(
        "Hosp No,Name,Date 1,R total 1,L total 1,Date 2,R total 2,L total 2,PC,PC,Zzz\n1,Ole By,2024-01-13,4,4,2024-01-20,3,3,1,1,q\n",
    );
    let map = guess(&table);
    let again = MapFile::from_toml(&map.to_toml()).unwrap().apply(&table).unwrap();
    let plain = |map: &exchange::ColumnMap| {
        map.columns.iter().map(|c| (c.meaning, c.side, c.visit)).collect::<Vec<_>>()
    };
    assert_eq!(plain(&again), plain(&map));
}

#[test]
fn a_guess_gives_way_to_the_map_file() {
    let table = table("Visit,Date,Name\n2024-01-13,2024-01-14,Ole By\n");
    assert_eq!(guess(&table).columns[0].meaning, Some(Meaning::VisitDate));
    let map = MapFile::from_toml("[columns]\nDate = \"visit_date\"\n").unwrap().apply(&table).unwrap();
    assert_eq!((map.columns[0].meaning, map.columns[1].meaning), (None, Some(Meaning::VisitDate)));
}

#[test]
fn every_meaning_has_a_key_that_leads_back_to_it() {
    for meaning in Meaning::all() {
        assert_eq!(Meaning::from_key(&meaning.key()), Some(meaning));
        assert!(!meaning.words().is_empty());
    }
}

#[test]
fn another_header_row() {
    let table = table("Hosp No,Name,Visit\nA,B,C\n1,Ole By,2024-01-13\n").with_header_row(2).unwrap();
    assert_eq!(table.headers, ["A", "B", "C"]);
    assert!(table.with_header_row(9).is_err());
}

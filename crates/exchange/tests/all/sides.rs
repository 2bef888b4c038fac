//! Which foot. A letter that means two things is settled from the file or refused.

use crate::common::{import, import_with, of_row, told};
use exchange::Disposition;
use rstest::rstest;

fn rows(heading: &str, sides: &[&str]) -> String {
    let mut text = format!("{heading}\n");
    for (at, side) in sides.iter().enumerate() {
        text.push_str(&format!("{at},Child Number{at}x,2024-03-{:02},{side},4\n", 13 + at));
    }
    text
}

const ENGLISH: &str = "ID,Name,Date,Side,Total";

#[rstest]
#[case("R", "right")]
#[case("Rt.", "right")]
#[case("right foot", "right")]
#[case("RIGHT", "right")]
#[case("derecho", "right")]
#[case("direita", "right")]
#[case("droite", "right")]
#[case("rechts", "right")]
#[case("dx", "right")]
#[case("kulia", "right")]
#[case("sağ", "right")]
#[case("kanan", "right")]
#[case("L", "left")]
#[case("lt", "left")]
#[case("izquierdo", "left")]
#[case("esquerda", "left")]
#[case("gauche", "left")]
#[case("links", "left")]
#[case("sx", "left")]
#[case("kushoto", "left")]
#[case("sol", "left")]
#[case("kiri", "left")]
fn words_for_one_foot(#[case] word: &str, #[case] side: &str) {
    assert_eq!(told(&import(&rows(ENGLISH, &[word]))), [format!("{side} assessment 2024-03-13")], "{word}");
}

#[rstest]
#[case("B")]
#[case("both")]
#[case("Bilateral")]
#[case("bilat.")]
#[case("R+L")]
#[case("R & L")]
#[case("L/R")]
#[case("both feet")]
#[case("ambos")]
#[case("les deux")]
#[case("beide")]
#[case("beidseits")]
#[case("entrambi")]
#[case("keduanya")]
fn words_for_both_feet(#[case] word: &str) {
    assert_eq!(told(&import(&rows(ENGLISH, &[word]))).len(), 2, "{word}");
}

#[test]
fn a_letter_by_itself_is_refused_where_the_language_does_not_settle_it() {
    for letter in ["D", "I", "E", "G", "S", "K", "X", "1", "RL?"] {
        let plan = import(&rows(ENGLISH, &[letter]));
        assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "unknown-side")), "{letter}");
    }
}

#[rstest]
#[case("Historia,Nombre,Fecha,Lado,Puntaje", "D", "I")]
#[case("Prontuário,Nome,Data,Lado,Pontuação", "D", "E")]
#[case("N° dossier,Nom et prénom,Date,Côté,Score", "D", "G")]
#[case("N. cartella,Cognome e nome,Data,Lato,Punteggio", "D", "S")]
#[case("Fallnummer,Patientenname,Datum,Seite,Gesamt", "R", "L")]
fn letters_of_a_language_are_settled_by_their_pair(
    #[case] heading: &str,
    #[case] right: &str,
    #[case] left: &str,
) {
    let plan = import(&rows(heading, &[right, left]));
    assert_eq!(told(&plan), ["right assessment 2024-03-13", "left assessment 2024-03-14"], "{heading}");
    let plan = import(&rows(heading, &[right]));
    assert_eq!(told(&plan), ["right assessment 2024-03-13"], "{heading}");
}

/// One of the Russian letters alone may stand for another word, and is asked about.
#[test]
fn russian_letters_are_settled_by_their_pair() {
    let heading = "№ карты,ФИО,Дата,Стопа,Балл Пирани";
    let plan = import(&rows(heading, &["П", "Л", "п+л"]));
    assert_eq!(told(&plan)[..2], ["right assessment 2024-03-13", "left assessment 2024-03-14"]);
    assert_eq!(told(&plan).len(), 4, "{:?}", told(&plan));
    let plan = import(&rows(heading, &["П"]));
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "unknown-side")));
    let asked: Vec<&str> = plan.report.questions.iter().map(|question| question.id.as_str()).collect();
    assert_eq!(asked, ["side: п"]);
}

#[test]
fn two_alphabets_of_sides_in_one_file_are_both_refused() {
    let plan = import(&rows("Historia,Nombre,Fecha,Lado,Puntaje", &["D", "L", "R", "derecho"]));
    assert_eq!(plan.report.dispositions.refused, 3);
    assert_eq!(told(&plan), ["right assessment 2024-03-16"]);
}

#[test]
fn turkish_s_is_refused_since_both_words_begin_with_it() {
    let plan = import(&rows("Dosya no,Ad soyad,Tarih,Taraf,Toplam", &["S", "sol"]));
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "unknown-side")));
    assert_eq!(told(&plan), ["left assessment 2024-03-14"]);
}

#[test]
fn letters_in_headings_need_their_pair() {
    let plan = import("Historia,Nombre,Fecha,Puntaje D,Puntaje I\n1,Ole By,2024-03-13,4,3\n");
    assert_eq!(told(&plan), ["right assessment 2024-03-13", "left assessment 2024-03-13"]);
    let plan = import("ID,Name,Date,Total D\n1,Ole By,2024-03-13,4\n");
    assert_eq!(plan.report.assessments, 0);
}

#[test]
fn a_map_file_settles_a_word() {
    let plan = import_with(&rows(ENGLISH, &["D", "Z"]), "[sides]\nright = [\"d\"]\nleft = [\"Z\"]\n");
    assert_eq!(told(&plan), ["right assessment 2024-03-13", "left assessment 2024-03-14"]);
}

#[test]
fn words_that_name_another_foot_than_the_row_are_not_acted_upon() {
    let plan = import(
        "ID,Name,Date,Side,Total,Done\n1,Ole By,2024-03-13,both,4,left tenotomy\n1,Ole By,2024-04-13,L,4,left cast\n",
    );
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "unknown-word")));
    assert_eq!(
        told(&plan),
        [
            "right assessment 2024-03-13",
            "left assessment 2024-03-13",
            "note 2024-03-13",
            "left assessment 2024-04-13",
            "left cast_applied 2024-04-13"
        ]
    );
}

#[test]
fn a_heading_with_an_unsettled_side_letter_is_not_taken_without_it() {
    for heading in ["Posterior crease D", "Posterior crease I", "Total (D)", "V1 total E"] {
        let map = exchange::guess(&crate::common::table(&format!(
            "ID,Name,Date,{heading}\n1,Ole By,2024-03-13,1\n"
        )));
        assert_eq!(map.columns[3].meaning, None, "{heading}: {}", map.columns[3].reason);
    }
}

#[test]
fn portuguese_letters_after_a_visit_number() {
    let plan = import("Prontuário,Paciente,Data 1,Total 1 D,Total 1 E\n1,Ole By,2024-03-13,4,3\n");
    assert_eq!(told(&plan), ["right assessment 2024-03-13", "left assessment 2024-03-13"]);
}

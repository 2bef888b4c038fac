//! Which child. Two records are never made one; where name and number disagree a person is asked.

use crate::common::{Memory, bodies, import, import_table, of_row, table};
use exchange::Disposition;
use record::{Body, Registration};

const HEAD: &str = "Hosp No,Name,DOB,Date,Side,Total\n";

fn children(plan: &exchange::Plan) -> Vec<Registration> {
    bodies(plan, |b| if let Body::Registration(b) = b { Some(b.clone()) } else { None })
}

#[test]
fn a_slip_of_spelling_is_the_same_child_with_a_question() {
    let plan = import(&format!(
        "{HEAD}1,\"Okonjo, Amadi\",2024-01-05,2024-02-01,R,4\n1,\"Okonyo, Amadi\",2024-01-05,2024-02-08,R,3\n"
    ));
    assert_eq!(of_row(&plan, 3), Some((Disposition::Question, "number-name-differs")));
    assert_eq!((plan.report.children, plan.report.assessments), (1, 2));
}

#[test]
fn the_same_words_in_another_order_are_the_same_name() {
    let plan = import(&format!(
        "{HEAD}1,\"Okonjo, Amadi\",2024-01-05,2024-02-01,R,4\n1,AMADI OKONJO,2024-01-05,2024-02-08,R,3\n"
    ));
    assert_eq!(of_row(&plan, 3), None);
}

#[test]
fn another_name_under_the_same_number_is_refused() {
    for (name, born) in [
        ("Vint, Bo", "2023-05-05"),
        ("Vint, Bo", "2024-01-05"),
        ("Okonjo, Teodor", "2024-01-05"),
        ("Okonjo, Amara", "2024-01-05"),
    ] {
        let plan = import(&format!(
            "{HEAD}1,\"Okonjo, Amadi\",2024-01-05,2024-02-01,R,4\n1,\"{name}\",{born},2024-02-08,R,3\n"
        ));
        assert_eq!(of_row(&plan, 3), Some((Disposition::Refused, "number-name-differs")), "{name}");
        assert_eq!(plan.report.assessments, 1);
    }
}

#[test]
fn the_same_name_with_another_birthday_under_one_number_is_asked_about() {
    let plan = import(&format!(
        "{HEAD}1,\"Okonjo, Amadi\",2024-01-05,2024-02-01,R,4\n1,\"Okonjo, Amadi\",2024-01-06,2024-02-08,R,3\n"
    ));
    assert_eq!(of_row(&plan, 3), Some((Disposition::Question, "number-name-differs")));
}

#[test]
fn one_child_under_two_numbers_is_offered_and_kept_apart() {
    let plan = import(&format!(
        "{HEAD}1,\"Okonjo, Amadi\",2024-01-05,2024-02-01,R,4\n9,\"Okonjo, Amadi\",2024-01-05,2024-02-08,R,3\n"
    ));
    assert_eq!(of_row(&plan, 3), Some((Disposition::Imported, "possible-match")));
    assert_eq!((plan.report.children, plan.report.possible_matches), (2, 1));
    let offered = &plan.report.matches[0];
    assert_eq!((offered.child.number.as_deref(), offered.other.number.as_deref()), (Some("9"), Some("1")));
    assert_ne!(offered.child.id, offered.other.id);
}

#[test]
fn a_like_name_with_the_same_birthday_is_offered_and_a_sibling_is_not() {
    let plan = import(&format!(
        "{HEAD}1,\"Okonjo, Amadi\",2024-01-05,2024-02-01,R,4\n2,\"Okonyo, Amadi\",2024-01-05,2024-02-08,R,3\n3,\"Okonjo, Teodor\",2024-01-05,2024-02-08,R,3\n"
    ));
    assert_eq!(plan.report.possible_matches, 1);
    assert_eq!(of_row(&plan, 3), Some((Disposition::Imported, "possible-match")));
    assert_eq!(of_row(&plan, 4), None);
}

#[test]
fn without_any_number_name_and_birthday_are_the_child() {
    let plan = import(
        "Name,DOB,Date,Side,Total\nAmadi Okonjo,2024-01-05,2024-02-01,R,4\nAmadi Okonjo,2024-01-05,2024-02-08,R,3\nAmadi Okonjo,2024-03-09,2024-04-08,R,3\n",
    );
    assert_eq!(plan.report.children, 2);
    assert_eq!(plan.report.dispositions.imported, 3);
}

#[test]
fn a_name_that_two_children_bear_needs_more() {
    let plan = import(
        "Name,DOB,Date,Side,Total\nAmadi Okonjo,2024-01-05,2024-02-01,R,4\nAmadi Okonjo,2023-03-09,2024-02-08,R,3\nAmadi Okonjo,,2024-04-08,R,3\n",
    );
    assert_eq!(of_row(&plan, 4), Some((Disposition::Refused, "which-child")));
}

#[test]
fn neither_name_nor_number_is_no_child() {
    let plan = import(&format!("{HEAD},,,2024-02-01,R,4\n"));
    assert_eq!(of_row(&plan, 2), Some((Disposition::Refused, "no-child")));
    assert_eq!(plan.entries, Vec::new());
}

#[test]
fn a_known_child_is_found_by_its_number_if_the_name_agrees() {
    let known = Memory(import(&format!("{HEAD}1,\"Okonjo, Amadi\",2024-01-05,2024-02-01,R,4\n")).entries);
    let again = |name: &str| {
        import_table(&table(&format!("{HEAD}1,\"{name}\",2024-01-05,2024-03-01,R,2\n")), None, &known)
    };
    let same = again("Okonjo, Amadi");
    assert_eq!((same.report.new_children, same.report.children, same.entries.len()), (0, 1, 1));
    assert_eq!(same.entries[0].child, known.0[0].child);
    assert_eq!(of_row(&again("Vint, Bo"), 2), Some((Disposition::Refused, "number-name-differs")));
}

#[test]
fn a_known_child_under_another_number_is_offered() {
    let known = Memory(import(&format!("{HEAD}1,\"Okonjo, Amadi\",2024-01-05,2024-02-01,R,4\n")).entries);
    let plan =
        import_table(&table(&format!("{HEAD}5,\"Okonjo, Amadi\",2024-01-05,2024-03-01,R,2\n")), None, &known);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Imported, "possible-match")));
    assert!(plan.report.matches[0].known);
    assert_ne!(plan.entries[0].child, known.0[0].child);
}

#[test]
fn a_child_is_registered_once_on_its_first_day_with_all_that_its_rows_say() {
    let plan = import(
        "Hosp No,Name,DOB,Sex,Mother's name,Phone,Village,Date,Side,Total\n1,Amadi Okonjo,,,,,,2024-02-08,R,4\n1,Amadi Okonjo,2024-01-05,M,Ngozi,+254 700 000,Hilltop,2024-02-01,R,5\n",
    );
    let registered: Vec<_> =
        plan.entries.iter().filter(|e| matches!(e.body, Body::Registration(_))).collect();
    assert_eq!((registered.len(), registered[0].on.to_string().as_str()), (1, "2024-02-01"));
    let child = children(&plan).remove(0);
    assert_eq!((child.given_name.as_str(), child.family_name.as_str()), ("Amadi", "Okonjo"));
    assert_eq!(child.born.map(|b| b.to_string()).as_deref(), Some("2024-01-05"));
    assert_eq!(
        (child.carers[0].name.as_str(), child.carers[0].relation.as_deref()),
        ("Ngozi", Some("mother"))
    );
    assert_eq!(
        (child.carers[0].phone.as_deref(), child.address.as_deref()),
        (Some("+254 700 000"), Some("Hilltop"))
    );
}

#[test]
fn a_script_in_a_name_stays_text() {
    let plan = import(&format!("{HEAD}1,\"<script>alert(1)</script>, Bo\",2024-01-05,2024-02-01,R,4\n"));
    assert_eq!(children(&plan)[0].family_name, "<script>alert(1)</script>");
}

#[test]
fn what_a_known_child_lacks_is_registered_anew_and_only_once() {
    let known = Memory(import("Hosp No,Name,Date,Side,Total\n1,Amadi Okonjo,2024-02-01,R,4\n").entries);
    let text = "Hosp No,Name,DOB,Date,Side,Total\n1,Amadi Okonjo,2024-01-05,2024-02-01,R,4\n1,Amadi Okonjo,2024-01-05,2024-02-08,R,3\n";
    let plan = import_table(&table(text), None, &known);
    assert_eq!(
        children(&plan).iter().map(|c| c.born.map(|b| b.to_string())).collect::<Vec<_>>(),
        [Some("2024-01-05".to_owned())]
    );
    assert_eq!((plan.report.dispositions.imported, plan.entries.len()), (2, 2));
    let whole = Memory([known.0, plan.entries].concat());
    assert_eq!(import_table(&table(text), None, &whole).entries, Vec::new());
}

#[test]
fn a_birth_that_a_later_row_tells_after_a_visit_is_refused() {
    let plan = import(
        "Hosp No,Name,DOB,Date,Side,Total\n1,Amadi Okonjo,,2024-02-01,R,4\n1,Amadi Okonjo,2024-02-05,2024-02-08,R,3\n",
    );
    assert_eq!(of_row(&plan, 3), Some((Disposition::Refused, "before-birth")));
}

#[test]
fn letters_for_the_sex_are_settled_from_the_file() {
    let sexes = |head: &str, letters: &[&str]| -> Vec<Option<record::Sex>> {
        let mut text = format!("{head}\n");
        for (at, letter) in letters.iter().enumerate() {
            text.push_str(&format!("{at},Child Number{at}x,{letter},2024-02-01,4\n"));
        }
        children(&import(&text)).iter().map(|child| child.sex).collect()
    };
    let (boy, girl) = (Some(record::Sex::Male), Some(record::Sex::Female));
    let (english, spanish) = ("ID,Name,Sex,Date,R total", "Historia,Paciente,Sexo,Fecha,Puntaje derecho");
    assert_eq!(sexes(english, &["M", "F", "male"]), [boy, girl, boy]);
    // Hombre and mujer; and M alone, which could be masculino or mujer.
    assert_eq!(sexes(spanish, &["H", "M"]), [boy, girl]);
    assert_eq!(sexes(spanish, &["M", "F"]), [boy, girl]);
    assert_eq!(sexes(spanish, &["M"]), [None]);
    assert_eq!(sexes("Dosya no,Hasta adı,Cinsiyet,Tarih,Sağ toplam", &["E", "K"]), [boy, girl]);
}

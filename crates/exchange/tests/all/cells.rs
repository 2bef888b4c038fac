//! Cells that name what was done, in the words of many clinics: several acts in one cell, each with its own
//! foot and its own number. The expectation of every case was written down before the program read it.
//!
//! Expected: the acts of each foot, `T` tenotomy, `C` cast with its number, `O` cast removed, `X` relapse,
//! `K` tenotomy booked; then of the child, `B` brace, `V` seen. `?` means that nothing is taken as done, the
//! words are kept as a note, and the row is asked about.

use crate::common::{import_with, row_report};
use exchange::{Disposition, Plan};
use record::{Body, Side};

/// Headings of a clinic for number, name, day, then side and total, or the totals of both feet, then what
/// was done; and its words for right, left and both.
struct Clinic {
    language: &'static str,
    start: &'static str,
    one_foot: &'static str,
    two_feet: &'static str,
    done: &'static str,
    sides: [&'static str; 3],
}

const CLINICS: &[Clinic] = &[
    Clinic {
        language: "en",
        start: "Hosp No,Name,Date",
        one_foot: "Side,Total",
        two_feet: "Total R,Total L",
        done: "Done",
        sides: ["R", "L", "B"],
    },
    Clinic {
        language: "fr",
        start: "N° dossier,Nom et prénom,Date",
        one_foot: "Côté,Score",
        two_feet: "Score D,Score G",
        done: "Geste",
        sides: ["D", "G", "bilat."],
    },
    Clinic {
        language: "es",
        start: "Historia,Nombre completo,Fecha",
        one_foot: "Lado,Puntaje",
        two_feet: "Puntaje D,Puntaje I",
        done: "Procedimiento",
        sides: ["D", "I", "ambos"],
    },
    Clinic {
        language: "pt",
        start: "Prontuário,Nome completo,Data",
        one_foot: "Lado,Pontuação",
        two_feet: "Pontuação D,Pontuação E",
        done: "Procedimento",
        sides: ["D", "E", "ambos"],
    },
    Clinic {
        language: "de",
        start: "Fallnummer,Patientenname,Datum",
        one_foot: "Seite,Gesamt",
        two_feet: "Gesamt R,Gesamt L",
        done: "Maßnahme",
        sides: ["rechts", "links", "beidseits"],
    },
    Clinic {
        language: "it",
        start: "N. cartella,Cognome e nome,Data",
        one_foot: "Lato,Punteggio",
        two_feet: "Punteggio D,Punteggio S",
        done: "Procedura",
        sides: ["D", "S", "bilaterale"],
    },
    Clinic {
        language: "sw",
        start: "Namba ya hospitali,Jina la mtoto,Tarehe",
        one_foot: "Upande,Jumla",
        two_feet: "Jumla kulia,Jumla kushoto",
        done: "Matibabu",
        sides: ["kulia", "kushoto", "yote"],
    },
    Clinic {
        language: "tr",
        start: "Dosya no,Ad soyad,Tarih",
        one_foot: "Taraf,Toplam",
        two_feet: "Toplam sağ,Toplam sol",
        done: "Tedavi",
        sides: ["sağ", "sol", "her iki"],
    },
    Clinic {
        language: "ar",
        start: "رقم الملف,اسم الطفل,تاريخ الزيارة",
        one_foot: "القدم,المجموع",
        two_feet: "مجموع بيراني يمين,مجموع بيراني يسار",
        done: "الإجراء",
        sides: ["يمين", "يسار", "كلاهما"],
    },
    Clinic {
        language: "hi",
        start: "मरीज संख्या,बच्चे का नाम,तारीख",
        one_foot: "तरफ,पिरानी स्कोर",
        two_feet: "पिरानी दायाँ,पिरानी बायाँ",
        done: "उपचार",
        sides: ["दायाँ", "बायाँ", "दोनों"],
    },
];

/// Language, feet of the row, cell, expected. Feet: `R`, `L`, `B` as the side column names them; `2`, `2R`
/// and `2L` where both feet have columns and both, the right or the left one is scored.
const CASES: &[(&str, &str, &str, &str)] = &[
    // Several acts in one cell, one foot.
    ("en", "R", "TA + POP 6", "R:TC6"),
    ("en", "L", "POP 6 + TA", "L:TC6"),
    ("en", "R", "TA/POP 5", "R:TC5"),
    ("en", "R", "T.A. + P.O.P. 5", "R:TC5"),
    ("en", "L", "POP 3", "L:C3"),
    ("en", "L", "3rd cast", "L:C3"),
    ("en", "L", "third cast", "L:C3"),
    ("en", "L", "cast no. 4", "L:C4"),
    ("en", "L", "POP #3", "L:C3"),
    ("en", "R", "tenotomy, cast 3/52", "R:TC"),
    ("en", "R", "Tenotomy & 4th cast (3 wks)", "R:TC4"),
    ("en", "R", "cast removed, brace fitted", "R:O B"),
    ("en", "R", "cast off + relapse", "R:OX"),
    ("en", "R", "BB given", "B"),
    ("en", "R", "r/v", "V"),
    ("en", "R", "F/U", "V"),
    ("en", "R", "POP 2 and POP 3", "?"),
    ("en", "R", "2 casts", "?"),
    ("en", "R", "POP 3, mother worried", "?"),
    ("en", "R", "POP 3 ?", "?"),
    ("en", "R", "cast → brace", "?"),
    ("en", "R", "TAL + POP 6", "?"),
    ("en", "R", "POP not done", "?"),
    // Each act with its own foot.
    ("en", "B", "R tenotomy, L cast", "R:TC L:C"),
    ("en", "B", "POP both, tenotomy Rt", "R:TC L:C"),
    ("en", "B", "left tenotomy, cast both", "R:C L:TC"),
    ("en", "B", "both tenotomy, cast both", "R:TC L:TC"),
    ("en", "B", "R TA + POP 6, L POP 6", "R:TC6 L:C6"),
    ("en", "B", "R: TA, POP 6; L: POP 4", "?"),
    ("en", "B", "POP 6 R, POP 4 L", "R:C6 L:C4"),
    ("en", "B", "POP R6 L4", "?"),
    ("en", "B", "left tenotomy right cast", "R:C L:TC"),
    ("en", "B", "tenotomy R and cast L", "R:TC L:C"),
    ("en", "B", "tenotomy (R), cast (both)", "R:TC L:C"),
    ("en", "B", "TA R + POP B/L", "R:TC L:C"),
    ("en", "B", "cast both", "R:C L:C"),
    ("en", "B", "POP both 5", "R:C5 L:C5"),
    ("en", "B", "both POP 5", "R:C5 L:C5"),
    ("en", "B", "cast R 3, TA L", "R:C3 L:TC"),
    ("en", "R", "?tenotomy", "?"),
    ("en", "R", "mother refused tenotomy", "?"),
    ("en", "R", "tenotomy not needed", "?"),
    ("en", "R", "no cast today", "?"),
    ("en", "R", "brace not available", "?"),
    ("en", "R", "cast 2, no tenotomy yet", "?"),
    ("en", "B", "POP x2", "R:C L:C"),
    ("en", "B", "relapse right", "R:X"),
    ("en", "B", "cast left", "L:C"),
    ("en", "B", "tenotomy R + cast", "?"),
    ("en", "B", "left tenotomy", "?"),
    ("en", "L", "left tenotomy, cast left", "L:TC"),
    ("en", "L", "left tenotomy + POP 5", "L:TC5"),
    ("en", "L", "right tenotomy", "?"),
    ("en", "L", "relapse left", "L:X"),
    ("en", "L", "relapse right", "?"),
    ("en", "2", "tenotomy both + POP", "R:TC L:TC"),
    ("en", "2", "Perc TAL bilat, LLC", "R:TC L:TC"),
    ("en", "2R", "Perc TAL R, LLC", "R:TC"),
    ("en", "2R", "tenotomy R + POP", "R:TC"),
    ("en", "2R", "tenotomy L + POP", "?"),
    ("en", "2", "tenotomy R + POP", "?"),
    ("en", "2", "POP L", "L:C"),
    ("en", "2", "POP", "R:C L:C"),
    ("en", "2", "Recurrence R", "R:X"),
    ("en", "2", "tenotomy + POP", "?"),
    // A letter of another language is not believed under English headings.
    ("en", "2", "POP D", "?"),
    ("en", "B", "tenotomia E", "?"),
    // French.
    ("fr", "D", "plâtre n° 3", "R:C3"),
    ("fr", "G", "plâtre + ténotomie gche", "L:TC"),
    ("fr", "D", "plâtre + ténotomie dte", "R:TC"),
    ("fr", "B", "plâtre + ténotomie bilatérale", "R:TC L:TC"),
    ("fr", "B", "ténotomie D, plâtre G", "R:TC L:C"),
    ("fr", "B", "plâtre D et G", "R:C L:C"),
    ("fr", "B", "plâtre des deux côtés, ténotomie droite", "R:TC L:C"),
    ("fr", "2", "ténotomie d, plâtre bilat", "R:TC L:C"),
    ("fr", "2", "plâtre G", "L:C"),
    ("fr", "B", "ténotomie G + plâtre", "?"),
    ("fr", "D", "2e plâtre", "R:C2"),
    ("fr", "D", "dépose plâtre, pose attelle", "R:O B"),
    ("fr", "D", "récidive D", "R:X"),
    ("fr", "D", "plâtre G", "?"),
    ("fr", "D", "plâtre refusé", "?"),
    ("fr", "D", "contrôle", "V"),
    // Spanish.
    ("es", "D", "yeso 4", "R:C4"),
    ("es", "I", "tenotomía izq + yeso", "L:TC"),
    ("es", "B", "tenotomía derecha, yeso bilateral", "R:TC L:C"),
    ("es", "B", "yeso ambos pies, tenotomía izda.", "R:C L:TC"),
    ("es", "B", "tenotomía D y yeso I", "R:TC L:C"),
    ("es", "2", "tenotomía I, yeso D", "R:C L:TC"),
    ("es", "D", "tenotomía der. + yeso 6", "R:TC6"),
    ("es", "D", "sin yeso", "?"),
    ("es", "D", "férula entregada", "B"),
    ("es", "D", "recidiva derecha", "R:X"),
    // Portuguese: E is the left foot, e is "and".
    ("pt", "E", "tenotomia E", "L:TC"),
    ("pt", "B", "tenotomia E, gesso D", "R:C L:TC"),
    ("pt", "B", "gesso D e E", "R:C L:C"),
    ("pt", "B", "tenotomia e gesso", "R:TC L:TC"),
    ("pt", "D", "tenotomia e gesso 5", "R:TC5"),
    ("pt", "B", "tenotomia dir., gesso bilateral", "R:TC L:C"),
    ("pt", "B", "gesso ambos, tenotomia esq", "R:C L:TC"),
    ("pt", "2", "tenotomia E + gesso E", "L:TC"),
    ("pt", "D", "tenotomia E", "?"),
    ("pt", "B", "tenotomia E", "?"),
    ("pt", "B", "TENOTOMIA E GESSO", "?"),
    ("pt", "D", "TENOTOMIA E GESSO", "R:TC"),
    ("pt", "D", "troca de gesso", "R:C"),
    ("pt", "D", "órtese entregue", "B"),
    ("pt", "D", "retorno", "V"),
    // German.
    ("de", "R", "Gips Nr. 4", "R:C4"),
    ("de", "R", "4. Gips", "R:C4"),
    ("de", "L", "Tenotomie li. + Gips", "L:TC"),
    ("de", "B", "Tenotomie re., Gips bds.", "R:TC L:C"),
    ("de", "B", "Gips beidseits, Tenotomie links", "R:C L:TC"),
    ("de", "B", "Tenotomie rechts und Gips links", "R:TC L:C"),
    ("de", "2", "Gips re", "R:C"),
    ("de", "R", "Gips li", "?"),
    ("de", "R", "Schiene angepasst", "B"),
    ("de", "R", "Rezidiv rechts", "R:X"),
    ("de", "R", "kein Gips", "?"),
    // Italian.
    ("it", "D", "gesso dx", "R:C"),
    ("it", "B", "tenotomia sx, gesso bilaterale", "R:C L:TC"),
    ("it", "B", "tenotomia destra e gesso sinistro", "R:TC L:C"),
    ("it", "S", "tenotomia S + gesso", "L:TC"),
    // Swahili.
    ("sw", "R", "plasta 3", "R:C3"),
    ("sw", "B", "tenotomia kulia, plasta kushoto", "R:TC L:C"),
    ("sw", "B", "tenotomia mguu wa kulia na plasta miguu yote", "R:TC L:C"),
    ("sw", "B", "plasta zote mbili", "R:C L:C"),
    ("sw", "L", "plasta kulia", "?"),
    ("sw", "L", "amepewa viatu", "B"),
    ("sw", "L", "ukaguzi", "V"),
    // Turkish.
    ("tr", "R", "tenotomi + alçı", "R:TC"),
    ("tr", "B", "sağ tenotomi, sol alçı", "R:TC L:C"),
    ("tr", "B", "her iki ayak alçı, tenotomi sol", "R:C L:TC"),
    // Arabic.
    ("ar", "R", "جبس", "R:C"),
    ("ar", "R", "جبس ٣", "R:C3"),
    ("ar", "R", "قطع وتر أخيل + جبس", "R:TC"),
    ("ar", "R", "قطع وتر أخيل وجبس", "R:TC"),
    ("ar", "B", "قطع وتر أخيل يمين، جبس يسار", "R:TC L:C"),
    ("ar", "B", "قطع الوتر الأيسر + جبس القدمين", "R:C L:TC"),
    ("ar", "B", "جبس كلاهما", "R:C L:C"),
    ("ar", "L", "جبس يمين", "?"),
    ("ar", "R", "تسليم الجهاز", "B"),
    ("ar", "R", "متابعة", "V"),
    ("ar", "R", "انتكاس", "R:X"),
    ("ar", "R", "بدون جبس", "?"),
    ("ar", "R", "تطويل وتر أخيل", "?"),
    // Hindi.
    ("hi", "R", "प्लास्टर", "R:C"),
    ("hi", "R", "प्लास्टर ४", "R:C4"),
    ("hi", "R", "टेनोटॉमी + प्लास्टर", "R:TC"),
    ("hi", "B", "टेनोटॉमी दायाँ, प्लास्टर बायाँ", "R:TC L:C"),
    ("hi", "B", "टेनोटॉमी बायाँ और प्लास्टर दोनों", "R:C L:TC"),
    ("hi", "L", "प्लास्टर दायाँ", "?"),
    ("hi", "R", "ब्रेस दिया", "B"),
    ("hi", "R", "जाँच", "V"),
    ("hi", "R", "प्लास्टर नहीं", "?"),
];

fn read(language: &str, feet: &str, cell: &str) -> Plan {
    let clinic = CLINICS.iter().find(|clinic| clinic.language == language).unwrap();
    let (shape, values) = match feet {
        "2" => (clinic.two_feet, "4,3"),
        "2R" => (clinic.two_feet, "4,"),
        "2L" => (clinic.two_feet, ",3"),
        _ => (clinic.one_foot, ""),
    };
    let side = match feet {
        "R" | "D" => Some(0),
        "L" | "G" | "I" | "E" | "S" => Some(1),
        "B" => Some(2),
        _ => None,
    };
    let values = side.map_or_else(|| values.to_owned(), |at| format!("{},4", clinic.sides[at]));
    // A second child settles the letters of the side column, as a real file of the clinic would.
    let others = side.map_or(String::new(), |_| {
        let [right, left, _] = clinic.sides;
        format!("2,Bo Vint,2024-03-13,{right},4,\n3,Ida Moe,2024-03-13,{left},4,\n")
    });
    let text = format!(
        "{},{shape},{}\n1,Ole By,2024-03-13,{values},\"{cell}\"\n{others}",
        clinic.start, clinic.done
    );
    import_with(&text, "[columns]\nF = \"done\"\n")
}

fn of_foot(plan: &Plan, side: Side) -> String {
    let child = plan.entries.first().map(|entry| entry.child);
    let bodies = plan.entries.iter().filter(|entry| Some(entry.child) == child).map(|entry| &entry.body);
    let mut out = String::new();
    for body in bodies.filter(|body| body.side() == Some(side)) {
        out.push_str(&match body {
            Body::TenotomyDone(_) => "T".to_owned(),
            Body::CastApplied(cast) => {
                format!("C{}", cast.number.map_or_else(String::new, |number| number.to_string()))
            }
            Body::CastRemoved(_) => "O".to_owned(),
            Body::RelapseNoted(_) => "X".to_owned(),
            Body::TenotomyBooked(_) => "K".to_owned(),
            Body::Assessment(_) => String::new(),
            other => format!("{other:?}"),
        });
    }
    out
}

fn outcome(plan: &Plan) -> String {
    let asked = row_report(plan, 2).is_some_and(|row| row.disposition == Disposition::Question);
    let refused = row_report(plan, 2).is_some_and(|row| row.disposition == Disposition::Refused);
    let mut out = Vec::new();
    for (letter, side) in [("R", Side::Right), ("L", Side::Left)] {
        let acts = of_foot(plan, side);
        if !acts.is_empty() {
            out.push(format!("{letter}:{acts}"));
        }
    }
    let child = plan.entries.first().map(|entry| entry.child);
    for entry in plan.entries.iter().filter(|entry| Some(entry.child) == child) {
        match &entry.body {
            Body::BraceFitted(_) => out.push("B".to_owned()),
            Body::AppointmentAttended(_) => out.push("V".to_owned()),
            Body::Note(_) if asked => out.push("?".to_owned()),
            _ => {}
        }
    }
    if refused {
        out.push("refused".to_owned());
    }
    out.join(" ")
}

#[test]
fn each_cell_becomes_what_it_says_or_a_question() {
    let mut wrong = Vec::new();
    for &(language, feet, cell, expected) in CASES {
        let plan = read(language, feet, cell);
        let found = outcome(&plan);
        if found != expected {
            let row = row_report(&plan, 2).map(|row| row.remark.text.clone()).unwrap_or_default();
            wrong.push(format!("{language} {feet} “{cell}”: {expected} expected, {found} found; {row}"));
        }
    }
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), CASES.len(), wrong.join("\n"));
}

#[test]
fn there_are_cases_enough_and_in_languages_enough() {
    let languages: std::collections::BTreeSet<&str> = CASES.iter().map(|case| case.0).collect();
    assert!(CASES.len() >= 100 && languages.len() >= 8, "{} in {}", CASES.len(), languages.len());
}

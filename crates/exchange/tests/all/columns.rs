//! Headings in many languages and habits.

use crate::common::{bodies, import, table};
use exchange::{Meaning, guess};
use record::Body;
use rstest::rstest;

/// Each file says the same: one child, right foot, 13 January 2024, signs 1 ½ 1 0 ½ 1, fourth cast.
#[rstest]
#[case::english(
    "Hosp No,Surname,First name,DOB,Date of visit,Side,Posterior crease,Empty heel,Rigid equinus,Medial crease,Curved lateral border,Lateral head of talus,Total,Cast no",
    "right"
)]
#[case::spanish(
    "Historia clínica,Apellidos,Nombre,Fecha de nacimiento,Fecha,Lado,Pliegue posterior,Talón vacío,Equino rígido,Pliegue medial,Borde lateral,Cabeza del astrágalo,Total,Nº yeso",
    "derecho"
)]
#[case::portuguese(
    "Prontuário,Sobrenome,Nome,Data de nascimento,Data da consulta,Lado,Prega posterior,Calcanhar vazio,Equino rígido,Prega medial,Borda lateral,Cabeça do tálus,Total,Nº gesso",
    "direito"
)]
#[case::french(
    "N° dossier,Nom,Prénom,Date de naissance,Date de consultation,Côté,Pli postérieur,Talon vide,Équin rigide,Pli médial,Bord latéral,Tête du talus,Score total,Plâtre n°",
    "droit"
)]
#[case::german(
    "Fallnummer,Nachname,Vorname,Geburtsdatum,Datum,Seite,Hintere Falte,Leere Ferse,Rigider Spitzfuß,Mediale Falte,Lateraler Rand,Taluskopf,Gesamt,Gips Nr.",
    "rechts"
)]
#[case::italian(
    "N. cartella,Cognome,Nome,Data di nascita,Data visita,Lato,Piega posteriore,Tallone vuoto,Equino rigido,Piega mediale,Bordo laterale,Testa dell'astragalo,Totale,N. gesso",
    "destro"
)]
#[case::dutch(
    "Patiëntnummer,Achternaam,Voornaam,Geboortedatum,Datum,Zijde,Achterste plooi,Lege hiel,Rigide equinus,Mediale plooi,Laterale rand,Taluskop,Totaal,Gips nr",
    "rechts"
)]
#[case::swahili(
    "Namba ya hospitali,Jina la ukoo,Jina la kwanza,Tarehe ya kuzaliwa,Tarehe,Upande,Mkunjo wa nyuma,Kisigino tupu,Equinus ngumu,Mkunjo wa ndani,Ukingo wa nje,Kichwa cha talus,Jumla,Namba ya plasta",
    "kulia"
)]
#[case::turkish(
    "Dosya no,Soyadı,Adı,Doğum tarihi,Tarih,Taraf,Arka çizgi,Boş topuk,Rijit ekin,İç çizgi,Dış kenar,Talus başı,Toplam,Alçı no",
    "sağ"
)]
#[case::indonesian(
    "No. RM,Nama belakang,Nama depan,Tanggal lahir,Tanggal,Sisi,Lipatan posterior,Tumit kosong,Equinus kaku,Lipatan medial,Batas lateral,Kepala talus,Jumlah,Gips ke",
    "kanan"
)]
#[case::short_forms("UHID,Surname,First name,D.O.B,Visit,Ft,PC,EH,RE,MC,CLB,TH,TPS,POP no", "Rt")]
fn a_heading_is_known_in_ten_languages(#[case] headings: &str, #[case] right: &str) {
    let text = format!("{headings}\n77,Okonjo,Amadi,2023-12-30,2024-01-13,{right},1,0.5,1,0,0.5,1,4,4\n");
    let plan = import(&text);
    let unknown: Vec<_> =
        plan.report.columns.iter().filter(|c| c.meaning.is_none()).map(|c| (&c.header, &c.reason)).collect();
    assert!(unknown.is_empty(), "{unknown:?}");
    assert_eq!(plan.report.dispositions.imported, 1, "{:?}", plan.report.not_plain);
    let child =
        bodies(&plan, |b| if let Body::Registration(b) = b { Some(b.clone()) } else { None }).remove(0);
    assert_eq!(
        (child.family_name.as_str(), child.given_name.as_str(), child.numbers[0].as_str()),
        ("Okonjo", "Amadi", "77")
    );
    let foot = bodies(&plan, |b| if let Body::Assessment(b) = b { Some(b.clone()) } else { None }).remove(0);
    let signs: Vec<_> = record::Sign::ALL.iter().map(|&s| foot.pirani.sign(s).map(|p| p.text())).collect();
    // In the record's order: lateral border, medial crease, talar head, posterior crease, rigid equinus, empty heel.
    assert_eq!(signs, [Some("0.5"), Some("0"), Some("1"), Some("1"), Some("1"), Some("0.5")]);
    assert_eq!(foot.side, record::Side::Right);
    let cast = bodies(&plan, |b| if let Body::CastApplied(b) = b { Some(b.clone()) } else { None }).remove(0);
    assert_eq!(cast.number, Some(4));
}

#[rstest]
#[case("MFCS", Meaning::Midfoot)]
#[case("HFCS", Meaning::Hindfoot)]
#[case("hospNo", Meaning::Number)]
#[case("Total (0-6)", Meaning::Total)]
#[case("Pirani /6", Meaning::Total)]
#[case("Postrior crease", Meaning::Sign(record::Sign::PosteriorCrease))]
#[case("DF (deg)", Meaning::Dorsiflexion)]
#[case("Next appt", Meaning::NextAppointment)]
#[case("Mother's name", Meaning::Carer)]
#[case("Treatment/Procedure", Meaning::Done)]
#[case("Hospital No / MRN", Meaning::Number)]
#[case("Pli post.", Meaning::Sign(record::Sign::PosteriorCrease))]
#[case("Tête talus", Meaning::Sign(record::Sign::TalarHead))]
#[case("Flex. dorsale", Meaning::Dorsiflexion)]
fn habits_of_writing_a_heading(#[case] heading: &str, #[case] meaning: Meaning) {
    let map = guess(&table(&format!("Ref,Who,{heading}\n1,Ole By,\n")));
    let found = map.columns.iter().find(|c| c.header == heading).unwrap();
    assert_eq!(found.meaning, Some(meaning), "{}", found.reason);
}

#[test]
fn a_column_whose_cells_are_of_another_kind_is_not_believed() {
    let map = guess(&table(
        "ID,Name,DOB,Total\n1,Ole By,yes,2024-01-05\n2,Bo Vint,no,2024-02-05\n3,Ida Moe,yes,2024-02-13\n",
    ));
    assert!(map.columns[2].meaning.is_none(), "{:?}", map.columns[2]);
    assert!(map.columns[3].meaning.is_none(), "{:?}", map.columns[3]);
    assert!(map.columns[3].reason.contains("dates"));
}

#[test]
fn every_guess_gives_its_reason_and_its_confidence() {
    let map = guess(&table("Hosp No,Name,Visit,Side,Zzz\n1,Ole By,13/01/2024,R,q\n"));
    assert!(map.columns.iter().all(|column| !column.reason.is_empty()));
    assert!(map.columns[..4].iter().all(|column| column.confidence >= 90));
    assert_eq!((map.columns[4].confidence, map.columns[4].meaning), (0, None));
}

#[test]
fn what_is_not_understood_is_said() {
    let plan = import("Hosp No,Name,Visit,Side,Total,Zzz\n1,Ole By,13/01/2024,R,4,q\n");
    assert!(plan.report.remarks.iter().any(|text| text.contains("Zzz")), "{:?}", plan.report.remarks);
}

#[test]
fn dimeglio_in_degrees_and_in_points() {
    let plan = import(
        "ID,Name,Date,Side,Equinus,Varus,Derotation,Adduction,Posterior crease,Medial crease,Cavus,Muscle\n1,Ole By,2024-01-13,R,50,30,10,20,1,1,0,0\n",
    );
    let foot = bodies(&plan, |b| if let Body::Assessment(b) = b { Some(b.clone()) } else { None }).remove(0);
    // 50° 4, 30° 3, 10° 2, 20° 3 (an edge counts as the more severe band), two signs: 14.
    assert_eq!(foot.dimeglio.total(), Some(14));
    assert!(foot.pirani.is_empty());
    let plan = import(
        "ID,Name,Date,Side,Equinus,Varus,Derotation,Adduction,Dimeglio total\n1,Ole By,2024-01-13,R,4,3,2,3,12\n",
    );
    let foot = bodies(&plan, |b| if let Body::Assessment(b) = b { Some(b.clone()) } else { None }).remove(0);
    assert_eq!(foot.dimeglio.equinus, Some(record::Angle::Points(4)));
    assert_eq!(foot.stated_dimeglio_total, Some(12));
}

//! Ceilings of local anaesthetics: each number worked out by hand from a row that was read.

use crate::story::{Story, day};
use course::Course;
use guidance::anaesthetic::{
    AddedUp, BadConcentration, Ceiling, Concentration, ConcentrationUnit, DoseBasis, EvidenceStatus,
    LocalAnaesthetic, NoCeiling, NoDoseBasis, NoShare, NoTopical, PlannedProduct, TopicalLimit,
    TopicalProduct, ceiling_rows, cut_rows, percent_words, scaled, topical_rows,
};
use guidance::{InfantCutRule, Protocol};
use record::{MedicineAnswer, Medicines, Registration, Weighed};

const BORN: &str = "2024-03-01";

/// A child born at so many weeks, with a weight in grams on a day.
fn child(gestation_weeks: Option<u8>, weight: Option<(&str, u16)>) -> Story {
    let mut story = Story::default();
    let (born, given_name) = (Some(day(BORN)), "Ada".to_owned());
    story.add(
        day(BORN),
        Registration {
            born,
            given_name,
            gestation_weeks,
            birth_weight_g: Some(3200),
            ..Registration::default()
        },
    );
    if let Some((on, grams)) = weight {
        story.add(day(on), Weighed::grams(grams));
    }
    story
}

fn course(story: &Story, on: &str) -> Course {
    Course::of(Story::child(), &story.entries, day(on))
}

/// The basis of a child born at 40 weeks and weighed on the day itself.
fn basis(on: &str, grams: u16) -> DoseBasis {
    let story = child(Some(40), Some((on, grams)));
    DoseBasis::of(&course(&story, on), day(on)).expect("a basis")
}

fn amounts(
    drug: LocalAnaesthetic,
    basis: &DoseBasis,
    rule: InfantCutRule,
) -> (String, Option<String>, String) {
    let ceiling = Ceiling::of(drug, basis, rule).expect("a ceiling");
    let cut = ceiling.cut.map(|(amount, _)| amount.mg_words());
    (ceiling.full.mg_words(), cut, ceiling.to_go_by().mg_words())
}

fn percent(text: &str, drug: LocalAnaesthetic) -> Concentration {
    Concentration::read(Some(text), Some(ConcentrationUnit::Percent), drug).expect("a solution")
}

#[test]
fn ten_weeks_and_5200_g() {
    let basis = basis("2024-05-10", 5200);
    // BNF for Children 2018-2019, read: 3 mg/kg × 5.2 kg = 15.6 mg; cut by 30 % (Pediatrics footnote, read):
    // 2.1 mg/kg × 5.2 kg = 10.92 mg, rounded down to 10.9. Not settled: the lower one.
    let lidocaine = |rule| amounts(LocalAnaesthetic::Lidocaine, &basis, rule);
    let both = ("15.6 mg".to_owned(), Some("10.9 mg".to_owned()));
    let with = |go_by: &str| (both.0.clone(), both.1.clone(), go_by.to_owned());
    assert_eq!(lidocaine(InfantCutRule::NotSettled), with("10.9 mg"));
    assert_eq!(lidocaine(InfantCutRule::Cut), with("10.9 mg"));
    assert_eq!(lidocaine(InfantCutRule::NoCut), with("15.6 mg"));
    // UMEM 2023, read: 7 mg/kg × 5.2 kg = 36.4 mg; × 0.7 = 25.48 mg.
    assert_eq!(
        amounts(LocalAnaesthetic::LidocaineAdrenaline, &basis, InfantCutRule::NotSettled),
        ("36.4 mg".to_owned(), Some("25.4 mg".to_owned()), "25.4 mg".to_owned())
    );
    // Bupivacaine was read for 1 to 12 years only.
    let none = Ceiling::of(LocalAnaesthetic::Bupivacaine, &basis, InfantCutRule::NotSettled);
    assert_eq!(none, Err(NoCeiling::NoneRead("bupivacaine without adrenaline")));
    assert_eq!(
        none.unwrap_err().to_string(),
        "No ceiling is known here for bupivacaine without adrenaline at this age: use your formulary."
    );
}

#[test]
fn the_lowest_of_the_rows_that_were_read_counts() {
    let basis = basis("2025-03-01", 9000);
    let ceiling = Ceiling::of(LocalAnaesthetic::Lidocaine, &basis, InfantCutRule::NotSettled).unwrap();
    // At 12 months 3 (BNF for Children), 4 (UMEM) and 5 mg/kg (label) were read; 4.5 is from memory.
    let per_kg: Vec<u32> = ceiling.rows.iter().map(|row| row.ug_per_kg).collect();
    assert_eq!(per_kg, [3000, 4000, 5000]);
    assert_eq!((ceiling.full.ug_per_kg, ceiling.cut), (3000, None));
}

/// Published worked examples.
#[test]
fn volumes_agree_with_the_worked_examples_that_were_published() {
    // "0.3 mL/kg of 1%" (BNF for Children 2018-2019): 8 kg at 9 months, 0.3 × 8 = 2.4 mL.
    let at_nine_months = basis("2024-12-01", 8000);
    let lidocaine =
        Ceiling::of(LocalAnaesthetic::Lidocaine, &at_nine_months, InfantCutRule::NotSettled).unwrap();
    assert_eq!(lidocaine.to_go_by().ml_words(percent("1", LocalAnaesthetic::Lidocaine)), "2.40 mL");
    // "0.8 mL/kg of 0.25%" (UMEM 2023): 12 kg at 2 years, 0.8 × 12 = 9.6 mL.
    let at_two_years = basis("2026-03-01", 12_000);
    let bupivacaine =
        Ceiling::of(LocalAnaesthetic::Bupivacaine, &at_two_years, InfantCutRule::NotSettled).unwrap();
    assert_eq!(bupivacaine.to_go_by().ml_words(percent("0,25", LocalAnaesthetic::Bupivacaine)), "9.60 mL");
    // Rounded down: 2.1 mg/kg × 5.2 kg = 10.92 mg; of 20 mg/mL 0.546 mL.
    let infant = basis("2024-05-10", 5200);
    let cut = Ceiling::of(LocalAnaesthetic::Lidocaine, &infant, InfantCutRule::NotSettled).unwrap();
    let two_percent =
        Concentration::read(Some("20"), Some(ConcentrationUnit::MgPerMl), LocalAnaesthetic::Lidocaine);
    assert_eq!(cut.to_go_by().ml_words(two_percent.unwrap()), "0.54 mL");
}

#[test]
fn a_concentration_in_the_other_unit_is_refused() {
    use ConcentrationUnit::{MgPerMl, Percent};
    use LocalAnaesthetic::{Bupivacaine, Lidocaine, LidocaineAdrenaline};
    for (drug, text, unit) in [
        (Lidocaine, "1", MgPerMl),
        (Lidocaine, "2", MgPerMl),
        (LidocaineAdrenaline, "0.5", MgPerMl),
        (Lidocaine, "10", Percent),
        (Lidocaine, "5", Percent),
        (Lidocaine, "20", Percent),
        (Bupivacaine, "0.25", MgPerMl),
        (Bupivacaine, "0.5", MgPerMl),
        (Bupivacaine, "2.5", Percent),
        (Lidocaine, "0", Percent),
    ] {
        let refused = Concentration::read(Some(text), Some(unit), drug).expect_err(text);
        assert!(matches!(refused, BadConcentration::NotUsual { .. }), "{refused}");
        assert!(refused.to_string().contains("check number and unit"), "{refused}");
    }
}

/// No number is a usual solution in both units, so that the wrong unit is always noticed.
#[test]
fn no_number_is_usual_in_both_units() {
    for drug in LocalAnaesthetic::ALL {
        for thousandths in 1..=30_000_u32 {
            let text = format!("{}.{:03}", thousandths / 1000, thousandths % 1000);
            let usual = |unit| Concentration::read(Some(&text), Some(unit), drug).is_ok();
            let both = usual(ConcentrationUnit::Percent) && usual(ConcentrationUnit::MgPerMl);
            assert!(!both, "{text} of {}", drug.words());
        }
    }
}

#[test]
fn what_is_missing_about_a_solution_has_its_own_sentence() {
    let drug = LocalAnaesthetic::Lidocaine;
    let percent = Some(ConcentrationUnit::Percent);
    let sentences = [
        Concentration::read(None, percent, drug),
        Concentration::read(Some("1"), None, drug),
        Concentration::read(Some("one"), percent, drug),
        Concentration::read(Some("1e3"), percent, drug),
        Concentration::read(Some("-1"), percent, drug),
    ]
    .map(|read| read.expect_err("no solution").to_string());
    assert!(sentences[0].starts_with("The concentration of lidocaine"), "{}", sentences[0]);
    assert!(sentences[1].starts_with("The unit of the concentration"), "{}", sentences[1]);
    assert!(sentences[2..].iter().all(|text| text.contains("is not a concentration")), "{sentences:?}");
    assert_eq!(["1", "0.25", "0,125", "12."].map(scaled), [Some(1000), Some(250), Some(125), Some(12_000)]);
    assert_eq!(["", ".5", "0.0001", "1.2.3", "1 000", "9999999"].map(scaled), [None; 6]);
}

/// Reads the table of the evidence: drug, group, value, source, status.
fn evidence() -> Vec<[String; 5]> {
    let mut reader = include_str!("../data/local_anaesthetic.csv").lines();
    assert_eq!(reader.next(), Some("drug,group,max_mg_per_kg,note,source,status"));
    let cells = |line: &str| {
        let mut quoted = false;
        let mut cells = vec![String::new()];
        for char in line.chars() {
            match char {
                '"' => quoted = !quoted,
                ',' if !quoted => cells.push(String::new()),
                char => cells.last_mut().unwrap().push(char),
            }
        }
        let [drug, group, value, _, source, status] = cells.try_into().expect("six cells");
        [drug, group, value, source, status]
    };
    reader.map(cells).collect()
}

/// The program's rows are those of the table of evidence, each with its source and its status.
#[test]
fn every_row_is_one_of_the_evidence_with_the_same_status() {
    let evidence = evidence();
    let name = |drug| match drug {
        LocalAnaesthetic::Lidocaine => "lidocaine plain",
        LocalAnaesthetic::LidocaineAdrenaline => "lidocaine with adrenaline",
        LocalAnaesthetic::Bupivacaine => "bupivacaine plain",
    };
    let mut met: Vec<[String; 5]> = ceiling_rows()
        .iter()
        .map(|row| {
            let value = record::bounds::number_words(f64::from(row.ug_per_kg) / 1000.0);
            let status = row.status.key().to_owned();
            [name(row.drug).to_owned(), row.group.clone(), value, row.source.clone(), status]
        })
        .collect();
    met.extend(cut_rows().iter().map(|row| {
        let value = format!("x 0.{}", row.keep_percent);
        ["any amide".to_owned(), row.group.clone(), value, row.source.clone(), row.status.key().to_owned()]
    }));
    let (mut met, mut evidence) = (met, evidence);
    met.sort();
    evidence.sort();
    assert_eq!(met, evidence);
}

/// On every day of twelve years, no row that is from memory or worked out gives a number: each number is that of a
/// row that was read, or that cut by one that was read.
#[test]
fn no_row_from_memory_or_worked_out_gives_a_number() {
    let unread: Vec<u32> = ceiling_rows()
        .iter()
        .filter(|row| row.status != EvidenceStatus::Read)
        .map(|row| row.ug_per_kg)
        .collect();
    assert_eq!(unread.len(), 5, "4.5, 2.5, 3.15, 1.75 and 1.4 mg/kg");
    for months in 0..160 {
        let on = day(BORN).plus_months(months).to_string();
        let basis = basis(&on, 3200);
        for drug in LocalAnaesthetic::ALL {
            let Ok(ceiling) = Ceiling::of(drug, &basis, InfantCutRule::NotSettled) else { continue };
            assert!(ceiling.rows.iter().all(|row| row.status == EvidenceStatus::Read));
            let shown = [Some(ceiling.full), ceiling.cut.map(|(amount, _)| amount)];
            for amount in shown.into_iter().flatten() {
                assert!(!unread.contains(&amount.ug_per_kg), "{} at {months} months", drug.words());
            }
        }
    }
}

#[test]
fn a_ceiling_is_known_only_for_the_ages_that_were_read() {
    // Lidocaine from birth, with adrenaline from one month, bupivacaine from one year, nothing from twelve years.
    for (on, known) in [
        ("2024-03-01", [true, false, false]),
        ("2024-03-31", [true, false, false]),
        ("2024-04-01", [true, true, false]),
        ("2025-02-28", [true, true, false]),
        ("2025-03-01", [true, true, true]),
        ("2036-02-29", [true, true, true]),
        ("2036-03-01", [false, false, false]),
    ] {
        let basis = basis(on, 3200);
        let is_known = |drug| Ceiling::of(drug, &basis, InfantCutRule::NotSettled).is_ok();
        assert_eq!(LocalAnaesthetic::ALL.map(is_known), known, "{on}");
    }
}

#[test]
fn the_younger_age_decides_about_the_cut() {
    for (weeks, on, cut) in [
        // Born at 32 weeks: 8 weeks younger, so that 6 months of corrected age come on 26 October 2024.
        (Some(32), "2024-10-25", true),
        (Some(32), "2024-10-26", false),
        (Some(40), "2024-08-31", true),
        (Some(40), "2024-09-01", false),
        // Not recorded: as young as it can be, born at 22 weeks, 18 weeks younger: 6 months come on 5 January 2025.
        (None, "2025-01-04", true),
        (None, "2025-01-05", false),
    ] {
        let story = child(weeks, Some((on, 6500)));
        let basis = DoseBasis::of(&course(&story, on), day(on)).expect("a basis");
        let ceiling = Ceiling::of(LocalAnaesthetic::Lidocaine, &basis, InfantCutRule::NotSettled).unwrap();
        assert_eq!(ceiling.cut.is_some(), cut, "{weeks:?} {on}: {}", basis.age.words());
    }
}

fn refusals(story: &Story, on: &str) -> Vec<NoDoseBasis> {
    DoseBasis::of(&course(story, on), day(on)).expect_err("refused")
}

#[test]
fn without_weight_or_age_there_is_no_ceiling_and_each_has_its_sentence() {
    // The weight at birth, 3200 g, is on record and is not used.
    assert_eq!(refusals(&child(Some(40), None), "2024-03-03"), [NoDoseBasis::NoWeight]);
    let weighed = child(Some(40), Some(("2024-05-03", 5200)));
    assert!(DoseBasis::of(&course(&weighed, "2024-05-10"), day("2024-05-10")).is_ok(), "seven days");
    let old = refusals(&weighed, "2024-05-11");
    assert_eq!(
        old[0].to_string(),
        "The last weight, 5200 g, is of 3 May 2024: more than 7 days before 11 May 2024. Weigh the child again."
    );
    let mut nobody = Story::default();
    nobody.add(day(BORN), Registration { given_name: "Ada".into(), ..Registration::default() });
    assert_eq!(refusals(&nobody, "2024-05-10"), [NoDoseBasis::NoWeight, NoDoseBasis::NoBirthDay]);
    // 29 weeks at birth and 10 weeks old: 39 weeks from conception.
    let before_term = child(Some(29), Some(("2024-05-10", 2900)));
    assert_eq!(refusals(&before_term, "2024-05-10"), [NoDoseBasis::BeforeTerm]);
}

#[test]
fn a_weight_in_doubt_stops_the_ceiling_until_it_is_confirmed() {
    let mut story = child(Some(40), Some(("2024-05-09", 5200)));
    let odd = story.add(day("2024-05-10"), Weighed::grams(11_400));
    let found = refusals(&story, "2024-05-10");
    assert!(matches!(found.as_slice(), [NoDoseBasis::InDoubt(_)]), "{found:?}");
    assert!(found[0].to_string().starts_with("In doubt: Weight 11400 g on 10 May 2024"), "{}", found[0]);
    story.answer(day("2024-05-10"), record::Note { text: "weighed again".into() }, Some(odd));
    assert!(DoseBasis::of(&course(&story, "2024-05-10"), day("2024-05-10")).is_ok());
}

fn cream(story: &Story, on: &str) -> Result<TopicalLimit, NoTopical> {
    let course = course(story, on);
    let basis = DoseBasis::of(&course, day(on)).expect("a basis");
    TopicalLimit::of(TopicalProduct::LidocainePrilocaine, &basis, &course)
}

#[test]
fn the_cream_has_its_limits_of_age_birth_and_medicines() {
    let term = child(Some(40), Some(("2024-05-31", 5600)));
    // Under 3 months 1 g on 10 cm² (Medsafe 1999; product information), from 3 months 2 g on 20 cm².
    let limit = cream(&term, "2024-05-31").expect("a limit");
    assert_eq!((limit.most, limit.product.amount_words(limit.most).as_str()), (1000, "1 g"));
    assert!(limit.row.terms.contains("10 cm²") && limit.row.terms.contains("1 hour"));
    assert!(limit.cautions.iter().any(|text| text.contains("Medicines are not recorded")), "{limit:?}");
    assert_eq!(cream(&term, "2024-06-01").expect("a limit").most, 2000);
    let early = child(Some(36), Some(("2024-05-10", 4600)));
    assert_eq!(cream(&early, "2024-05-10"), Err(NoTopical::BornEarly(36)));
    let unknown = child(None, Some(("2024-05-10", 4600)));
    assert_eq!(cream(&unknown, "2024-05-10"), Err(NoTopical::GestationUnknown));
    let year = child(Some(40), Some(("2025-03-01", 9000)));
    assert_eq!(cream(&year, "2025-03-01"), Err(NoTopical::NoneRead("lidocaine–prilocaine cream")));
    for (answer, methaemoglobin, refused) in [
        (MedicineAnswer::Named, Some(true), true),
        (MedicineAnswer::Named, Some(false), false),
        (MedicineAnswer::Named, None, false),
        (MedicineAnswer::None, None, false),
    ] {
        let mut story = term.clone();
        let which = (answer == MedicineAnswer::Named).then(|| "co-trimoxazole".to_owned());
        story.add(day("2024-05-31"), Medicines { answer, which, methaemoglobin });
        let limit = cream(&story, "2024-05-31");
        assert_eq!(limit == Err(NoTopical::Methaemoglobin), refused, "{limit:?}");
        let asks = |limit: TopicalLimit| limit.cautions.iter().any(|text| text.contains("look each one up"));
        let open = answer == MedicineAnswer::Named && methaemoglobin.is_none();
        assert_eq!(limit.is_ok_and(asks), open, "{answer:?} {methaemoglobin:?}");
    }
}

#[test]
fn tetracaine_under_one_month_shows_that_the_sources_disagree() {
    let limit = |on| {
        let story = child(Some(40), Some((on, 4000)));
        let course = course(&story, on);
        let basis = DoseBasis::of(&course, day(on)).expect("a basis");
        TopicalLimit::of(TopicalProduct::TetracaineGel, &basis, &course).map(|limit| limit.most)
    };
    let young = limit("2024-03-31").expect_err("refused").to_string();
    assert!(young.contains("unlicensed") && young.contains("contraindicated"), "{young}");
    assert_eq!(limit("2024-04-01"), Ok(1000));
    assert!(topical_rows().iter().all(|row| row.status == EvidenceStatus::Read && !row.source.is_empty()));
}

fn injected(drug: LocalAnaesthetic, percent: &str, millilitres: &str) -> PlannedProduct {
    PlannedProduct::injected(drug, Some(percent), Some(ConcentrationUnit::Percent), Some(millilitres))
        .unwrap()
}

fn sum(planned: &[PlannedProduct], rule: InfantCutRule) -> AddedUp {
    let story = child(Some(40), Some(("2024-05-10", 5000)));
    let course = course(&story, "2024-05-10");
    let basis = DoseBasis::of(&course, day("2024-05-10")).expect("a basis");
    AddedUp::of(planned, &basis, &course, rule)
}

#[test]
fn injection_and_cream_add_up_as_shares_of_their_ceilings() {
    // 5 kg, 2.1 mg/kg: ceiling 10.5 mg. 0.7 mL of 1 % are 7 mg, 66.67 %; 0.3 g of cream of 1 g are 30 %.
    let cream = |grams| PlannedProduct::topical(TopicalProduct::LidocainePrilocaine, grams);
    let injection = injected(LocalAnaesthetic::Lidocaine, "1", "0.7");
    let fits = sum(&[injection.clone(), cream("0.3")], InfantCutRule::NotSettled);
    let shares: Vec<u64> = fits.shares.iter().map(|share| share.share).collect();
    assert_eq!(shares, [6667, 3000]);
    assert_eq!(
        (fits.is_too_much(), fits.verdict().unwrap().as_str()),
        (false, "96.7 % of the ceiling together.")
    );
    // 66.67 + 34 = 100.67 %: each alone is below its ceiling.
    let over = sum(&[injection.clone(), cream("0,34")], InfantCutRule::NotSettled);
    assert!(over.is_too_much());
    assert_eq!(
        over.verdict().unwrap(),
        "Too much: 100.7 % of the ceiling together. Do not give this; give less, or leave a product out."
    );
    // Where the clinic does not cut, the ceiling is 15 mg and the injection 46.67 %.
    assert!(!sum(&[injection, cream("0,34")], InfantCutRule::NoCut).is_too_much());
    assert_eq!(percent_words(6667), "66.7 %");
}

#[test]
fn exactly_the_ceiling_is_not_too_much_and_a_drop_more_is() {
    // 10.5 mg are 1.05 mL of 1 %.
    let of = |ml| sum(&[injected(LocalAnaesthetic::Lidocaine, "1", ml)], InfantCutRule::NotSettled);
    assert_eq!((of("1.05").total(), of("1.05").is_too_much()), (10_000, false));
    assert!(of("1.051").is_too_much());
}

#[test]
fn what_is_left_counts_what_else_is_given() {
    let basis = basis("2024-05-10", 5000);
    let ceiling = Ceiling::of(LocalAnaesthetic::Lidocaine, &basis, InfantCutRule::NotSettled).unwrap();
    let solution = percent("1", LocalAnaesthetic::Lidocaine);
    let cream = PlannedProduct::topical(TopicalProduct::LidocainePrilocaine, "0.5");
    // Half of the cream's limit leaves half of 10.5 mg: 5.25 mg, 0.525 mL.
    assert_eq!(sum(&[cream], InfantCutRule::NotSettled).left_words(&ceiling, solution), "0.52 mL");
}

#[test]
fn a_sum_with_something_unknown_in_it_says_so_and_gives_no_all_clear() {
    let known = injected(LocalAnaesthetic::Lidocaine, "1", "0.1");
    let unknown = injected(LocalAnaesthetic::Bupivacaine, "0.25", "0.1");
    let with = |product: PlannedProduct| sum(&[known.clone(), product], InfantCutRule::NotSettled);
    let told = with(unknown);
    assert!(matches!(told.unknown.as_slice(), [NoShare::Ceiling(_)]), "{told:?}");
    assert!(told.verdict().unwrap().starts_with("It cannot be told"), "{told:?}");
    for text in ["a lot", "0", "-1", "1000", ""] {
        let told = with(PlannedProduct::topical(TopicalProduct::LidocainePrilocaine, text));
        assert!(matches!(told.unknown.as_slice(), [NoShare::Amount(_)]), "{told:?}");
    }
    let no_solution = PlannedProduct::injected(LocalAnaesthetic::Lidocaine, None, None, Some("0.1")).unwrap();
    assert!(matches!(with(no_solution).unknown.as_slice(), [NoShare::Solution(_)]));
    assert_eq!(PlannedProduct::injected(LocalAnaesthetic::Lidocaine, None, None, None), None);
}

#[test]
fn whether_to_cut_is_a_value_of_the_protocol_and_not_settled_at_first() {
    let protocol = Protocol::built_in();
    assert_eq!(protocol.infant_cut, InfantCutRule::NotSettled);
    let own = Protocol::with_clinic_file("[anaesthetic]\ncut_under_6_months = \"no-cut\"").unwrap();
    assert_eq!(own.infant_cut, InfantCutRule::NoCut);
    let setting = own.setting("anaesthetic.cut_under_6_months").unwrap();
    assert_eq!((setting.value.as_str(), setting.changed), ("not cut", true));
    assert!(Protocol::with_clinic_file("[anaesthetic]\ncut_under_6_months = \"half\"").is_err());
}

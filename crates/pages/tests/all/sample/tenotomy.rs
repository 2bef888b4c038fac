//! The list before a tenotomy, complete and not, and the list of a day for the theatre.

use super::{Invented, day, frame, in_casts, today};
use guidance::{
    InfantCutRule, Protocol,
    anaesthetic::{
        AddedUp, Ceiling, ConcentrationUnit, DoseBasis, LocalAnaesthetic, PlannedProduct, TopicalLimit,
        TopicalProduct,
    },
    before_tenotomy::TenotomyChecklist,
};
use maud::Markup;
use pages::{
    Here,
    tenotomy::{
        CeilingAnswer, CeilingView, DrugView, TenotomyView, TheatreDayRow, TheatreDayView, TopicalView,
        ceiling_field, tenotomy, theatre_day,
    },
};
use record::{
    Allergies, AllergyAnswer, Consent, ConsentAnswer, ConsentMatter, MedicineAnswer, Medicines, Sex, Side,
    TenotomyBooked, Weighed,
};

/// Both feet booked in two days; weighed and asked about everything but medicines.
fn booked(given: &str) -> Invented {
    let mut child = in_casts(given);
    for side in Side::BOTH {
        child.wrote(
            "2024-05-07",
            TenotomyBooked { planned_on: Some(today() + 2), ..TenotomyBooked::of(side) },
        );
    }
    child.wrote("2024-05-13", Weighed::grams(4350));
    let which = Some("penicillin: rash".to_owned());
    child.wrote("2024-05-13", Allergies { which, ..Allergies::of(AllergyAnswer::Named) });
    child.wrote("2024-05-13", Medicines::of(MedicineAnswer::None));
    let relation = Some("mother".to_owned());
    child.wrote(
        "2024-05-13",
        Consent { relation, ..Consent::of(ConsentMatter::Tenotomy, ConsentAnswer::Given) },
    );
    child
}

fn list(child: &Invented) -> TenotomyChecklist {
    TenotomyChecklist::of(&child.outlook(), &Protocol::built_in(), today() + 2)
}

fn ceiling(child: &Invented, millilitres: &str) -> CeilingView {
    let course = child.outlook().course;
    let lidocaine = LocalAnaesthetic::Lidocaine;
    let typed = [("conc", "1"), ("unit", "percent"), ("ml", millilitres)];
    let typed = typed.map(|(part, text)| (ceiling_field(lidocaine.key(), part), text.to_owned())).into();
    let answer = DoseBasis::of(&course, today() + 2).map(|basis| {
        let planned: Vec<PlannedProduct> = [
            PlannedProduct::injected(
                lidocaine,
                Some("1"),
                Some(ConcentrationUnit::Percent),
                Some(millilitres),
            ),
            PlannedProduct::injected(LocalAnaesthetic::LidocaineAdrenaline, Some("1"), None, None),
            Some(PlannedProduct::topical(TopicalProduct::TetracaineGel, "0.5")),
        ]
        .into_iter()
        .flatten()
        .collect();
        let solution = |drug| {
            planned.iter().find_map(|planned| match planned {
                PlannedProduct::Injected { drug: of, solution, .. } if *of == drug => Some(solution.clone()),
                _ => None,
            })
        };
        let rule = InfantCutRule::NotSettled;
        let drugs = LocalAnaesthetic::ALL.map(|drug| {
            let solution = solution(drug);
            DrugView { drug, ceiling: Ceiling::of(drug, &basis, rule), solution }
        });
        let topical = TopicalProduct::ALL
            .map(|product| TopicalView { product, limit: TopicalLimit::of(product, &basis, &course) });
        let sum = AddedUp::of(&planned, &basis, &course, rule);
        CeilingAnswer { basis, drugs: drugs.into(), topical: topical.into(), sum }
    });
    CeilingView { typed, answer }
}

pub fn pages(given: &str) -> Vec<(&'static str, Markup)> {
    let known = booked(given);
    let unknown = Invented::new(4199, given, "Lindqvist", "2024-04-02", Sex::Male);
    let view = |child: &Invented| TenotomyView {
        who: child.who(),
        list: list(child),
        ceiling: ceiling(child, "0.9"),
    };
    let row = |child: &Invented, time: Option<&str>| TheatreDayRow {
        who: child.who(),
        time: time.map(str::to_owned),
        place: Some("Harbour theatre".into()),
        list: Some(list(child)),
        cautions: vec!["Born preterm, at 33 weeks.".into()],
    };
    let closed = TheatreDayRow {
        who: pages::parts::Who::restricted(unknown.child, vec!["4200".into()]),
        time: None,
        place: None,
        list: None,
        cautions: vec!["This record is restricted.".into()],
    };
    let rows = vec![row(&known, Some("08:30")), row(&unknown, None), closed];
    let here = frame(Here::Child);
    vec![
        ("tenotomy", tenotomy(&here, &view(&known))),
        ("tenotomy-open", tenotomy(&here, &view(&unknown))),
        ("theatre-day", theatre_day(&frame(Here::Theatre), &TheatreDayView { on: today() + 2, rows })),
        (
            "theatre-day-none",
            theatre_day(&frame(Here::Theatre), &TheatreDayView { on: day("2024-06-01"), rows: Vec::new() }),
        ),
    ]
}

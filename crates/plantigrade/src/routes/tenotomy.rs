//! The list before a tenotomy, with the ceilings of local anaesthetics. Nothing that is typed on the page is saved.

use super::day::day_of;
use crate::{
    app::App,
    web::{Fail, PageResult, Shared, Visitor, page as shown, work},
};
use axum::extract::{Path, Query, State};
use clinic::ChildRecord;
use guidance::{
    InfantCutRule,
    anaesthetic::{
        AddedUp, Ceiling, ConcentrationUnit, DoseBasis, LocalAnaesthetic, PlannedProduct, TopicalLimit,
        TopicalProduct,
    },
    before_tenotomy::TenotomyChecklist,
};
use pages::{
    Here,
    tenotomy::{CeilingAnswer, CeilingView, DrugView, TenotomyView, TopicalView, ceiling_field},
};
use record::{ChildId, Day};
use std::collections::BTreeMap;

/// The longest text that is read from a field of the page, in characters.
const TYPED_CHARS: usize = 12;

/// The page: for the day in the query, otherwise for the next tenotomy that is booked.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(query): Query<BTreeMap<String, String>>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let drawn = work(&app, move |app| Ok(pages::tenotomy::tenotomy(&frame, &view(app, child, &query)?)));
    shown(drawn.await?)
}

/// What page and paper show, with what is typed in the query.
///
/// # Errors
/// When the child is not on record, or the day in the query is none.
pub(super) fn view(
    app: &App,
    child: ChildId,
    query: &BTreeMap<String, String>,
) -> Result<TenotomyView, Fail> {
    let asked = query.get("on").filter(|text| !text.trim().is_empty());
    let asked = asked.map(|text| day_of(app, Some(text.as_str()))).transpose()?;
    let known = app.known(child, app.clock.today())?;
    let course = &known.outlook.course;
    let on = asked.unwrap_or_else(|| TenotomyChecklist::day_for(course, app.clock.today()));
    let protocol = app.records.protocol();
    Ok(TenotomyView {
        who: app.who(course),
        list: TenotomyChecklist::of(&known.outlook, &protocol, on),
        ceiling: ceiling(&known, on, protocol.infant_cut, typed(query)),
    })
}

/// The fields of the page as typed, each shortened.
fn typed(query: &BTreeMap<String, String>) -> BTreeMap<String, String> {
    let short = |text: &str| text.trim().chars().take(TYPED_CHARS).collect::<String>();
    let filled = query.iter().map(|(name, text)| (name.clone(), short(text)));
    filled.filter(|(name, text)| name != "on" && !text.is_empty()).collect()
}

fn ceiling(
    known: &ChildRecord,
    on: Day,
    rule: InfantCutRule,
    typed: BTreeMap<String, String>,
) -> CeilingView {
    let course = &known.outlook.course;
    let answer = DoseBasis::of(course, on).map(|basis| {
        let planned: Vec<PlannedProduct> = planned(&typed).collect();
        let drugs = LocalAnaesthetic::ALL.map(|drug| DrugView {
            drug,
            ceiling: Ceiling::of(drug, &basis, rule),
            solution: planned.iter().find_map(|planned| match planned {
                PlannedProduct::Injected { drug: of, solution, .. } if *of == drug => Some(solution.clone()),
                _ => None,
            }),
        });
        let topical = TopicalProduct::ALL
            .map(|product| TopicalView { product, limit: TopicalLimit::of(product, &basis, course) });
        let sum = AddedUp::of(&planned, &basis, course, rule);
        CeilingAnswer { basis, drugs: drugs.into(), topical: topical.into(), sum }
    });
    CeilingView { typed, answer }
}

/// What is meant to be used, as typed.
fn planned(typed: &BTreeMap<String, String>) -> impl Iterator<Item = PlannedProduct> {
    let of = |key: &str, part: &str| typed.get(&ceiling_field(key, part)).map(String::as_str);
    let injected = LocalAnaesthetic::ALL.into_iter().filter_map(move |drug| {
        let unit = of(drug.key(), "unit").and_then(ConcentrationUnit::from_key);
        PlannedProduct::injected(drug, of(drug.key(), "conc"), unit, of(drug.key(), "ml"))
    });
    let topical = TopicalProduct::ALL
        .into_iter()
        .filter_map(move |product| Some(PlannedProduct::topical(product, of(product.key(), "amount")?)));
    injected.chain(topical)
}

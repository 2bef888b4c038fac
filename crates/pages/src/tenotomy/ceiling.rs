//! The ceilings of local anaesthetics, with a small form for what is meant to be used. The form only computes:
//! nothing of it is saved.

use crate::{parts::Who, words};
use guidance::{
    InfantCutRule,
    anaesthetic::{
        AddedUp, BadConcentration, Ceiling, CeilingAmount, Concentration, ConcentrationUnit, DoseBasis,
        FORMULARY_RULES, INFANT_NOTES, LocalAnaesthetic, NoCeiling, NoDoseBasis, NoTopical, TopicalLimit,
        TopicalProduct, percent_words,
    },
};
use maud::{Markup, html};
use record::Day;
use std::collections::BTreeMap;

/// The ceilings for one child.
#[derive(Debug, Clone)]
pub struct CeilingView {
    /// What was typed, by the name of its field; see [`ceiling_field`].
    pub typed: BTreeMap<String, String>,
    /// The weight and age they rest on, or why there are none.
    pub answer: Result<CeilingAnswer, Vec<NoDoseBasis>>,
}

/// What is known for a weight and an age.
#[derive(Debug, Clone)]
pub struct CeilingAnswer {
    /// The weight and age.
    pub basis: DoseBasis,
    /// Drugs that are injected.
    pub drugs: Vec<DrugView>,
    /// Creams and gels.
    pub topical: Vec<TopicalView>,
    /// What is meant to be used, added up.
    pub sum: AddedUp,
}

/// A drug that is injected.
#[derive(Debug, Clone)]
pub struct DrugView {
    /// The drug.
    pub drug: LocalAnaesthetic,
    /// Its ceiling.
    pub ceiling: Result<Ceiling, NoCeiling>,
    /// The solution that was typed, if any.
    pub solution: Option<Result<Concentration, BadConcentration>>,
}

/// A cream or gel.
#[derive(Debug, Clone)]
pub struct TopicalView {
    /// The product.
    pub product: TopicalProduct,
    /// Its limit.
    pub limit: Result<TopicalLimit, NoTopical>,
}

/// The name of a field: the key of the drug or product, and `conc`, `unit`, `ml` or `amount`.
#[must_use]
pub fn ceiling_field(key: &str, part: &str) -> String {
    format!("{key}.{part}")
}

pub(super) fn ceiling(who: &Who, on: Day, view: &CeilingView) -> Markup {
    html! {
        section.card.ceiling aria-labelledby="ceiling-head" {
            h2 id="ceiling-head" { "Ceiling of the local anaesthetic" }
            p.caution { (FORMULARY_RULES) }
            @match &view.answer {
                Err(why) => {
                    p { strong { "No ceiling can be given." } }
                    ul { @for why in why { li { (why) } } }
                },
                Ok(answer) => { (known(who, on, view, answer)) },
            }
        }
    }
}

fn known(who: &Who, on: Day, view: &CeilingView, answer: &CeilingAnswer) -> Markup {
    let basis = &answer.basis;
    html! {
        p { "Computed for " strong { (basis.weight.grams) " g" } " (weighed on " (words::day(basis.weight.on)) ") on " (words::day(on)) ". " (basis.age.words()) }
        form.ceiling-form method="get" action={ (who.href()) "/tenotomy#ceiling-head" } {
            input type="hidden" name="on" value=(on);
            ul.plain.ceiling-list {
                @for drug in &answer.drugs { (drug_row(view, answer, drug)) }
                @for product in &answer.topical { (topical_row(view, product)) }
            }
            p.actions { button type="submit" { "Compute" } }
        }
        (sum(&answer.sum))
        details { summary { "What was read about infants" } ul { @for (text, source) in INFANT_NOTES { li { (text) " " span.hint { "(" (source) ")" } } } } }
    }
}

fn drug_row(view: &CeilingView, answer: &CeilingAnswer, drug: &DrugView) -> Markup {
    let key = drug.drug.key();
    // What is most often used is open, and whatever was typed.
    let open = drug.solution.is_some() || drug.drug == LocalAnaesthetic::Lidocaine;
    html! {
        li { details.ceiling-drug open[open] {
            summary {
                (words::capital(drug.drug.words())) ": "
                @match &drug.ceiling {
                    Ok(ceiling) => { "not more than " strong { (with_per_kg(ceiling.to_go_by())) } },
                    Err(_) => "no ceiling is known here",
                }
            }
            @match &drug.ceiling {
                Err(why) => p { (why) },
                Ok(ceiling) => {
                    (two_rules(ceiling))
                    div.ceiling-fields {
                        (number(view, &ceiling_field(key, "conc"), "Concentration on the ampoule", drug.drug.words()))
                        (unit(view, &ceiling_field(key, "unit"), drug.drug.words()))
                        (number(view, &ceiling_field(key, "ml"), "mL meant to be given", drug.drug.words()))
                    }
                    @match &drug.solution {
                        Some(Ok(solution)) => { (volumes(answer, ceiling, *solution)) },
                        Some(Err(why)) => p.field-error { (why) },
                        None => p.hint { "For millilitres, type the concentration: without it no volume is given." },
                    }
                    (sources(ceiling))
                },
            }
        } }
    }
}

/// "10.9 mg (2.1 mg/kg)".
fn with_per_kg(amount: CeilingAmount) -> String {
    format!("{} ({})", amount.mg_words(), amount.per_kg_words())
}

/// Both amounts where the sources disagree, and which to go by.
fn two_rules(ceiling: &Ceiling) -> Markup {
    html! {
        @if let Some((cut, row)) = ceiling.cut {
            p {
                "Under 6 months two rules were read: " (with_per_kg(ceiling.full)) ", and cut by " (100 - row.keep_percent) " % for amides: " (with_per_kg(cut)) ". "
                @match ceiling.rule {
                    InfantCutRule::NotSettled => "The clinic has not settled which holds: go by the lower one until it has.",
                    InfantCutRule::Cut => "The clinic has settled that the cut holds.",
                    InfantCutRule::NoCut => "The clinic has settled that there is no cut.",
                }
                " " a href="/protocol/value/anaesthetic.cut_under_6_months" { "Protocol" }
            }
        }
    }
}

fn volumes(answer: &CeilingAnswer, ceiling: &Ceiling, solution: Concentration) -> Markup {
    html! {
        p.ceiling-mg { "Of " (solution.words()) ": not more than " strong { (ceiling.to_go_by().ml_words(solution)) } " (rounded down)"
            @if !answer.sum.shares.is_empty() && answer.sum.unknown.is_empty() {
                "; beside everything typed here there is room for " (answer.sum.left_words(ceiling, solution)) " more"
            }
            "." }
    }
}

fn sources(ceiling: &Ceiling) -> Markup {
    let rows = ceiling.rows.iter().map(|row| {
        let per_kg = record::bounds::number_words(f64::from(row.ug_per_kg) / 1000.0);
        format!("{per_kg} mg/kg ({}, {})", row.group, row.source)
    });
    let rows: Vec<String> = rows.collect();
    html! { p.hint { "Read: " (rows.join("; ")) "." @if rows.len() > 1 { " The lowest counts." } @if let Some((_, row)) = ceiling.cut { " Cut: " (row.source) "." } } }
}

fn topical_row(view: &CeilingView, one: &TopicalView) -> Markup {
    let product = one.product;
    let field = ceiling_field(product.key(), "amount");
    let label = format!("Amount meant to be used, in {}", product.unit());
    html! {
        li { details.ceiling-drug open[!typed(view, &field).is_empty()] {
            summary {
                (words::capital(product.words())) ": "
                @match &one.limit {
                    Ok(limit) => { "not more than " strong { (product.amount_words(limit.most)) } },
                    Err(_) => "no amount is given here",
                }
            }
            @match &one.limit {
                Err(why) => p { (why) },
                Ok(limit) => {
                    p { (words::capital(&limit.row.terms)) "." }
                    @for caution in &limit.cautions { p { (caution) } }
                    div.ceiling-fields { (number(view, &field, &label, product.words())) }
                    p.hint { "Read: " (limit.row.group) ", " (limit.row.source) "." }
                },
            }
        } }
    }
}

/// What is meant to be used, added up.
fn sum(sum: &AddedUp) -> Markup {
    html! {
        @if let Some(verdict) = sum.verdict() {
            div.ceiling-sum role="status" {
                h3 { "Together" }
                ul { @for share in &sum.shares { li { (share.words) ": " (percent_words(share.share)) " of its ceiling" } } @for why in &sum.unknown { li { (why) } } }
                @if sum.is_too_much() || !sum.unknown.is_empty() { p.message.warning { strong { (verdict) } } } @else { p { strong { (verdict) } } }
                p.hint { "Local anaesthetics add to each other, creams and gels included; shares of the ceilings are added up (common practice, no source). What was given earlier today counts too: type it here." }
            }
        }
    }
}

fn field_id(name: &str) -> String {
    format!("f-{}", name.replace('.', "-"))
}

fn typed<'a>(view: &'a CeilingView, name: &str) -> &'a str {
    view.typed.get(name).map_or("", String::as_str)
}

fn number(view: &CeilingView, name: &str, label: &str, of: &str) -> Markup {
    let id = field_id(name);
    html! {
        div { label for=(id) { (label) span.sr { ", " (of) } } input id=(id) name=(name) type="text" inputmode="decimal" maxlength="12" autocomplete="off" value=(typed(view, name)); }
    }
}

/// No unit is chosen beforehand: a wrong one makes the dose wrong ten times.
fn unit(view: &CeilingView, name: &str, of: &str) -> Markup {
    let (id, chosen) = (field_id(name), typed(view, name));
    html! {
        div { label for=(id) { "Its unit" span.sr { ", " (of) } } select id=(id) name=(name) {
            option value="" selected[chosen.is_empty()] { "choose" }
            @for unit in ConcentrationUnit::ALL { option value=(unit.key()) selected[chosen == unit.key()] { (unit.words()) } }
        } }
    }
}

//! The ceilings of local anaesthetics, with a small form for what is meant to be used. The form only computes:
//! nothing of it is saved.

use crate::{
    parts::{Who, paper_text},
    words,
};
use guidance::{
    InfantCutRule,
    anaesthetic::{
        AddedUp, BadConcentration, Ceiling, CeilingAmount, Concentration, ConcentrationUnit, DoseBasis,
        FORMULARY_RULES, INFANT_NOTES, LocalAnaesthetic, NoCeiling, NoDoseBasis, NoTopical, TopicalLimit,
        TopicalProduct, percent_words,
    },
};
use maud::{Markup, html};
use messages::{PaperBlock, PaperText};
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

const HEADING: &str = "Ceiling of the local anaesthetic";
const NO_CEILING: &str = "No ceiling can be given.";
const OF_INFANTS: &str = "What was read about infants";
const TOGETHER: &str = "Together";
const CONCENTRATION: &str = "Concentration on the ampoule";
const MILLILITRES: &str = "mL meant to be given";
const ADDED: &str = "Local anaesthetics add to each other, creams and gels included; shares of the ceilings are added up (common practice, no source). What was given earlier today counts too: type it here.";

pub(super) fn ceiling(who: &Who, on: Day, view: &CeilingView) -> Markup {
    html! {
        section.card.ceiling aria-labelledby="ceiling-head" {
            h2 id="ceiling-head" { (HEADING) }
            p.caution { (FORMULARY_RULES) }
            @match &view.answer {
                Err(why) => {
                    p { strong { (NO_CEILING) } }
                    ul { @for why in why { li { (why) } } }
                },
                Ok(answer) => { (known(who, on, view, answer)) },
            }
        }
    }
}

/// The same on paper: no amount without the rules that stand above it.
pub(super) fn ceiling_blocks(on: Day, view: &CeilingView) -> Vec<PaperBlock> {
    let mut blocks = vec![
        PaperBlock::Heading(HEADING.to_owned()),
        PaperBlock::Paragraph(PaperText::default().strong(FORMULARY_RULES)),
    ];
    match &view.answer {
        Err(why) => blocks.extend([
            PaperBlock::Paragraph(PaperText::default().strong(NO_CEILING)),
            PaperBlock::List(why.iter().map(|why| why.to_string().into()).collect()),
        ]),
        Ok(answer) => {
            blocks.push(PaperBlock::Paragraph(rests_on(on, &answer.basis)));
            blocks.extend(answer.drugs.iter().map(|drug| drug_block(answer, drug)));
            blocks.extend(answer.topical.iter().map(|one| topical_block(view, one)));
            blocks.extend(sum_block(&answer.sum));
            let notes = INFANT_NOTES.map(|(text, source)| PaperText::from(format!("{text} ({source})")));
            let notes = [PaperBlock::Small(OF_INFANTS.into()), PaperBlock::List(notes.into())];
            blocks.push(PaperBlock::Together(notes.into()));
        }
    }
    blocks
}

/// What the ceilings are computed from.
fn rests_on(on: Day, basis: &DoseBasis) -> PaperText {
    let weighed = format!(" (weighed on {}) on {}. ", basis.weight.on.words(), on.words());
    let weight = format!("{} g", basis.weight.grams);
    PaperText::of("Computed for ").strong(weight).and(weighed).and(basis.age.words())
}

fn known(who: &Who, on: Day, view: &CeilingView, answer: &CeilingAnswer) -> Markup {
    html! {
        p { (paper_text(&rests_on(on, &answer.basis))) }
        form.ceiling-form method="get" action={ (who.href()) "/tenotomy#ceiling-head" } {
            input type="hidden" name="on" value=(on);
            ul.plain.ceiling-list {
                @for drug in &answer.drugs { (drug_row(view, answer, drug)) }
                @for product in &answer.topical { (topical_row(view, product)) }
            }
            p.actions { button type="submit" { "Compute" } }
        }
        (sum(&answer.sum))
        details { summary { (OF_INFANTS) } ul { @for (text, source) in INFANT_NOTES { li { (text) " " span.hint { "(" (source) ")" } } } } }
    }
}

/// A drug and its ceiling.
fn drug_head(drug: &DrugView) -> PaperText {
    let name = format!("{}: ", words::capital(drug.drug.words()));
    match &drug.ceiling {
        Ok(ceiling) => PaperText::of(name).and("not more than ").strong(with_per_kg(ceiling.to_go_by())),
        Err(_) => PaperText::of(name).and("no ceiling is known here"),
    }
}

fn drug_row(view: &CeilingView, answer: &CeilingAnswer, drug: &DrugView) -> Markup {
    let key = drug.drug.key();
    // What is most often used is open, and whatever was typed.
    let open = drug.solution.is_some() || drug.drug == LocalAnaesthetic::Lidocaine;
    html! {
        li { details.ceiling-drug open[open] {
            summary { (paper_text(&drug_head(drug))) }
            @match &drug.ceiling {
                Err(why) => p { (why) },
                Ok(ceiling) => {
                    @if let Some(rules) = two_rules(ceiling) { p { (rules) " " a href="/protocol/value/anaesthetic.cut_under_6_months" { "Protocol" } } }
                    div.ceiling-fields {
                        (number(view, &ceiling_field(key, "conc"), CONCENTRATION, drug.drug.words()))
                        (unit(view, &ceiling_field(key, "unit"), drug.drug.words()))
                        (number(view, &ceiling_field(key, "ml"), MILLILITRES, drug.drug.words()))
                    }
                    @match &drug.solution {
                        Some(Ok(solution)) => p.ceiling-mg { (paper_text(&volumes(answer, ceiling, *solution))) },
                        Some(Err(why)) => p.field-error { (why) },
                        None => p.hint { "For millilitres, type the concentration: without it no volume is given." },
                    }
                    p.hint { (sources(ceiling)) }
                },
            }
        } }
    }
}

/// The same on paper, with room for the ampoule where none was typed.
fn drug_block(answer: &CeilingAnswer, drug: &DrugView) -> PaperBlock {
    let mut lines = vec![PaperBlock::Paragraph(drug_head(drug))];
    match &drug.ceiling {
        Err(why) => lines.push(PaperBlock::Small(why.to_string().into())),
        Ok(ceiling) => {
            lines.extend(two_rules(ceiling).map(|rules| PaperBlock::Paragraph(rules.into())));
            lines.push(PaperBlock::Paragraph(match &drug.solution {
                Some(Ok(solution)) => volumes(answer, ceiling, *solution),
                Some(Err(why)) => PaperText::default().strong(why.to_string()),
                None => {
                    let ampoule = PaperText::of(format!("{CONCENTRATION} ")).blank();
                    ampoule.and(format!(" {MILLILITRES} ")).blank()
                }
            }));
            lines.push(PaperBlock::Small(sources(ceiling).into()));
        }
    }
    PaperBlock::Together(lines)
}

/// "10.9 mg (2.1 mg/kg)".
fn with_per_kg(amount: CeilingAmount) -> String {
    format!("{} ({})", amount.mg_words(), amount.per_kg_words())
}

/// Both amounts where the sources disagree, and which to go by.
fn two_rules(ceiling: &Ceiling) -> Option<String> {
    let (cut, row) = ceiling.cut?;
    let (full, cut, percent) = (with_per_kg(ceiling.full), with_per_kg(cut), 100 - row.keep_percent);
    let settled = match ceiling.rule {
        InfantCutRule::NotSettled => {
            "The clinic has not settled which holds: go by the lower one until it has."
        }
        InfantCutRule::Cut => "The clinic has settled that the cut holds.",
        InfantCutRule::NoCut => "The clinic has settled that there is no cut.",
    };
    Some(format!(
        "Under 6 months two rules were read: {full}, and cut by {percent} % for amides: {cut}. {settled}"
    ))
}

fn volumes(answer: &CeilingAnswer, ceiling: &Ceiling, solution: Concentration) -> PaperText {
    let text = PaperText::of(format!("Of {}: not more than ", solution.words()));
    let text = text.strong(ceiling.to_go_by().ml_words(solution)).and(" (rounded down)");
    if answer.sum.shares.is_empty() || !answer.sum.unknown.is_empty() {
        return text.and(".");
    }
    let left = answer.sum.left_words(ceiling, solution);
    text.and(format!("; beside everything typed here there is room for {left} more."))
}

fn sources(ceiling: &Ceiling) -> String {
    let rows = ceiling.rows.iter().map(|row| {
        let per_kg = record::bounds::number_words(f64::from(row.ug_per_kg) / 1000.0);
        format!("{per_kg} mg/kg ({}, {})", row.group, row.source)
    });
    let rows: Vec<String> = rows.collect();
    let lowest = if rows.len() > 1 { " The lowest counts." } else { "" };
    let cut = ceiling.cut.map_or_else(String::new, |(_, row)| format!(" Cut: {}.", row.source));
    format!("Read: {}.{lowest}{cut}", rows.join("; "))
}

/// A product and its limit.
fn topical_head(one: &TopicalView) -> PaperText {
    let name = format!("{}: ", words::capital(one.product.words()));
    match &one.limit {
        Ok(limit) => PaperText::of(name).and("not more than ").strong(one.product.amount_words(limit.most)),
        Err(_) => PaperText::of(name).and("no amount is given here"),
    }
}

/// The terms of a product and what to be careful of, a sentence each.
fn terms(limit: &TopicalLimit) -> Vec<String> {
    let terms = format!("{}.", words::capital(&limit.row.terms));
    [terms].into_iter().chain(limit.cautions.iter().cloned()).collect()
}

fn topical_source(limit: &TopicalLimit) -> String {
    format!("Read: {}, {}.", limit.row.group, limit.row.source)
}

fn amount_label(product: TopicalProduct) -> String {
    format!("Amount meant to be used, in {}", product.unit())
}

fn topical_row(view: &CeilingView, one: &TopicalView) -> Markup {
    let product = one.product;
    let field = ceiling_field(product.key(), "amount");
    html! {
        li { details.ceiling-drug open[!typed(view, &field).is_empty()] {
            summary { (paper_text(&topical_head(one))) }
            @match &one.limit {
                Err(why) => p { (why) },
                Ok(limit) => {
                    @for sentence in terms(limit) { p { (sentence) } }
                    div.ceiling-fields { (number(view, &field, &amount_label(product), product.words())) }
                    p.hint { (topical_source(limit)) }
                },
            }
        } }
    }
}

/// The same on paper, with what was typed or room to write it.
fn topical_block(view: &CeilingView, one: &TopicalView) -> PaperBlock {
    let mut lines = vec![PaperBlock::Paragraph(topical_head(one))];
    match &one.limit {
        Err(why) => lines.push(PaperBlock::Small(why.to_string().into())),
        Ok(limit) => {
            lines.extend(terms(limit).into_iter().map(|sentence| PaperBlock::Paragraph(sentence.into())));
            let label = PaperText::of(format!("{}: ", amount_label(one.product)));
            let amount = match typed(view, &ceiling_field(one.product.key(), "amount")) {
                "" => label.blank(),
                amount => label.strong(amount),
            };
            lines.push(PaperBlock::Paragraph(amount));
            lines.push(PaperBlock::Small(topical_source(limit).into()));
        }
    }
    PaperBlock::Together(lines)
}

/// The shares of what is meant to be used, and why the share of something is not known.
fn share_lines(sum: &AddedUp) -> Vec<String> {
    let shares = sum.shares.iter();
    let shares =
        shares.map(|share| format!("{}: {} of its ceiling", share.words, percent_words(share.share)));
    shares.chain(sum.unknown.iter().map(ToString::to_string)).collect()
}

/// Whether what is meant to be used is a warning.
fn sum_warns(sum: &AddedUp) -> bool {
    sum.is_too_much() || !sum.unknown.is_empty()
}

/// What is meant to be used, added up.
fn sum(sum: &AddedUp) -> Markup {
    html! {
        @if let Some(verdict) = sum.verdict() {
            div.ceiling-sum role="status" {
                h3 { (TOGETHER) }
                ul { @for line in share_lines(sum) { li { (line) } } }
                p.message[sum_warns(sum)].warning[sum_warns(sum)] { strong { (verdict) } }
                p.hint { (ADDED) }
            }
        }
    }
}

fn sum_block(sum: &AddedUp) -> Option<PaperBlock> {
    let verdict = PaperText::default().strong(sum.verdict()?);
    let verdict =
        if sum_warns(sum) { PaperBlock::Warning(vec![verdict]) } else { PaperBlock::Paragraph(verdict) };
    Some(PaperBlock::Together(vec![
        PaperBlock::Paragraph(PaperText::default().strong(TOGETHER)),
        PaperBlock::List(share_lines(sum).into_iter().map(PaperText::from).collect()),
        verdict,
        PaperBlock::Small(ADDED.into()),
    ]))
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

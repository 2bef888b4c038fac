//! Documents for the family of a child: what there is, and each as a page to read and print.

use super::document_handed::texts as read_texts;
use crate::{
    app::App,
    document_texts::DocumentTexts,
    web::{Fail, PageResult, Shared, Visitor, page as shown, work},
};
use axum::extract::{Path, Query, State};
use clinic::ChildRecord;
use letters::{
    ExpectTopic, FamilyDocument, FamilyDocumentKind, FamilyFacts, FamilyStage, Language, LastHanded,
    LetterLanguage, NoDocument, PlanChoices, Wording, appointment_letter, brace_sheet, cast_sheet,
    expect_sheet, family_plan,
    html::{self, DocumentLook, PageFrame, Printed},
    last_handed, missed_visit_letter, nursery_letter, wear_diary,
};
use maud::{Markup, html as drawn};
use pages::{
    DocumentChoice, DocumentLanguage, DocumentsView, Here, LanguageChoice, LookChoice, Message, RequestError,
};
use record::{ChildId, CorrectedLog, HandedDocument, Right};
use serde::Deserialize;
use std::collections::HashMap;

/// The language, the look, and what is left in.
#[derive(Debug, Deserialize)]
pub struct DocumentQuery {
    lang: Option<String>,
    forecast: Option<String>,
    #[serde(rename = "type")]
    type_size: Option<String>,
    style: Option<String>,
    done: Option<String>,
}

impl DocumentQuery {
    /// Whether what is likely is left in.
    pub(super) fn choices(&self) -> PlanChoices {
        PlanChoices { with_forecast: self.forecast.as_deref() == Some("on") }
    }

    /// The language that is named, if one is.
    pub(super) fn chosen(&self) -> Result<Option<Language>, Fail> {
        let of = |tag: &str| Language::from_tag(tag).ok_or_else(Fail::not_found);
        self.lang.as_deref().map(of).transpose()
    }

    fn look(&self) -> LookChoice {
        LookChoice {
            large: self.type_size.as_deref() == Some("large"),
            pictures_first: self.style.as_deref() == Some("pictures"),
        }
    }
}

/// The language in which a family's documents open: the one chosen, or the first recorded for a carer, or English.
fn language_for(chosen: Option<Language>, read: &[String]) -> (Language, LanguageChoice) {
    let ours = read.iter().find_map(|words| Language::of_words(words));
    match (chosen, ours) {
        (Some(language), _) => (language, LanguageChoice::Chosen),
        (None, Some(language)) => (language, LanguageChoice::OfFamily),
        (None, None) if read.is_empty() => (Language::English, LanguageChoice::NoneRecorded),
        (None, None) => (Language::English, LanguageChoice::NotOurs),
    }
}

/// What there is.
pub async fn list(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<DocumentQuery>,
) -> PageResult {
    let chosen = asked.chosen()?;
    let mut frame = app.frame(&visitor, Here::Child);
    let handed = asked.done.as_deref() == Some("handed");
    frame.message =
        handed.then(|| Message::Done("It is saved that the document was handed over.".to_owned()));
    let markup = work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let contact = app.contact();
        let facts = FamilyFacts::of(&known.outlook, &app.records.protocol(), &contact, &[], today);
        let carers = known.outlook.course.about.carers.iter();
        let read: Vec<String> = carers.filter_map(|carer| carer.language.clone()).collect();
        let (language, choice) = language_for(chosen, &read);
        let (texts, handed) = (read_texts(app)?, last_handed(&CorrectedLog::of(&known.entries, today)));
        let (first, more) = choices(&facts, &handed);
        let view = DocumentsView {
            who: app.who(&known.outlook.course),
            carers_read: read,
            choice,
            languages: Language::ALL.into_iter().map(|one| of_language(&texts, one, language)).collect(),
            look: asked.look(),
            first,
            more,
            has_telephone: contact.telephone.is_some(),
        };
        Ok(pages::documents(&frame, &view))
    })
    .await?;
    shown(markup)
}

/// One document as it is printed.
struct Asked {
    kind: FamilyDocumentKind,
    language: Language,
    look: LookChoice,
    choices: PlanChoices,
    may_hand: bool,
}

/// One document.
pub async fn one(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, key)): Path<(ChildId, String)>,
    Query(query): Query<DocumentQuery>,
) -> PageResult {
    let asked = Asked {
        kind: FamilyDocumentKind::from_key(&key).ok_or_else(Fail::not_found)?,
        language: query.chosen()?.unwrap_or(Language::English),
        look: query.look(),
        choices: query.choices(),
        may_hand: visitor.may(Right::RecordClinical),
    };
    let markup = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let document = document(app, &known, asked.kind, asked.choices)?;
        printed(&known, &asked, &read_texts(app)?, &document)
    })
    .await?;
    shown(markup)
}

/// The page. A translation that awaits review is printed beside the language of the clinic.
fn printed(
    known: &ChildRecord,
    asked: &Asked,
    texts: &DocumentTexts,
    document: &FamilyDocument,
) -> Result<Markup, Fail> {
    let wording = texts.wording(asked.language);
    let english = wording.awaits_review().then(|| texts.wording(Language::English));
    let above = above(known, asked, &wording);
    let look = DocumentLook { large: asked.look.large, pictures_first: asked.look.pictures_first };
    let printed = Printed { wording: &wording, beside: english.as_ref(), look };
    let frame = PageFrame { style: "/assets/letters.css", above: Some(&above) };
    html::page_as(document, printed, frame).map_err(|error| Fail::fault(&error.to_string()))
}

/// A document about a child, from what is recorded until today.
///
/// # Errors
/// When it is not made for this child.
pub(super) fn document(
    app: &App,
    known: &ChildRecord,
    kind: FamilyDocumentKind,
    choices: PlanChoices,
) -> Result<FamilyDocument, Fail> {
    let contact = app.contact();
    let forecasts =
        if choices.with_forecast { app.records.forecasts(&known.outlook.course)? } else { Vec::new() };
    let protocol = app.records.protocol();
    let facts = FamilyFacts::of(&known.outlook, &protocol, &contact, &forecasts, app.clock.today());
    let document = facts.and_then(|facts| made(&facts, kind, choices)).map_err(refused)?;
    Ok(document.with_letterhead(&contact))
}

fn refused(why: NoDocument) -> Fail {
    Fail(RequestError::NotMade(why.to_string()))
}

fn of_language(texts: &DocumentTexts, language: Language, chosen: Language) -> DocumentLanguage {
    DocumentLanguage {
        tag: language.tag(),
        name: language.own_name(),
        english: language.recorded().words(),
        // Only the chosen one is spoken of.
        awaits_review: language == chosen && texts.wording(language).awaits_review(),
        chosen: language == chosen,
    }
}

fn made(
    facts: &FamilyFacts<'_>,
    kind: FamilyDocumentKind,
    choices: PlanChoices,
) -> Result<FamilyDocument, NoDocument> {
    match kind {
        FamilyDocumentKind::Plan => Ok(family_plan(facts, choices)),
        FamilyDocumentKind::CastSheet => cast_sheet(facts),
        FamilyDocumentKind::BraceSheet => brace_sheet(facts),
        FamilyDocumentKind::Expect(topic) => Ok(expect_sheet(facts, topic)),
        FamilyDocumentKind::AppointmentLetter => appointment_letter(facts),
        FamilyDocumentKind::MissedVisitLetter => missed_visit_letter(facts),
        FamilyDocumentKind::NurseryLetter => nursery_letter(facts),
        FamilyDocumentKind::WearDiary => wear_diary(facts),
    }
}

/// What suits the stage first, then the others; each with why it cannot be made.
fn choices(
    facts: &Result<FamilyFacts<'_>, NoDocument>,
    handed: &HashMap<HandedDocument, LastHanded>,
) -> (Vec<DocumentChoice>, Vec<DocumentChoice>) {
    let suits = facts.as_ref().map_or_else(|_| Vec::new(), suiting);
    let choice = |kind: FamilyDocumentKind| {
        let made =
            facts.as_ref().map_err(|why| *why).and_then(|facts| made(facts, kind, PlanChoices::default()));
        DocumentChoice {
            key: kind.key(),
            name: kind.words(),
            refused: made.err().map(|why| why.to_string()),
            has_pdf: kind.has_pdf(),
            handed: kind.recorded().and_then(|document| handed.get(&document)).map(handed_words),
        }
    };
    let others = FamilyDocumentKind::ALL.into_iter().filter(|kind| !suits.contains(kind));
    (suits.iter().copied().map(choice).collect(), others.map(choice).collect())
}

/// The documents of a stage, the likeliest first.
fn suiting(facts: &FamilyFacts<'_>) -> Vec<FamilyDocumentKind> {
    use FamilyDocumentKind::{
        AppointmentLetter, BraceSheet, CastSheet, Expect, NurseryLetter, Plan, WearDiary,
    };
    let any = |stages: &[FamilyStage]| !facts.feet_where(|stage| stages.contains(&stage)).is_empty();
    let mut kinds = vec![Plan];
    if any(&[FamilyStage::FirstVisit, FamilyStage::Casts]) {
        kinds.extend([CastSheet, Expect(ExpectTopic::FirstCasts)]);
    }
    if any(&[FamilyStage::HeelCord, FamilyStage::LastCast]) {
        kinds.extend([CastSheet, Expect(ExpectTopic::HeelCord), Expect(ExpectTopic::FirstWeekOfBrace)]);
    }
    if any(&[FamilyStage::BraceDayAndNight]) {
        kinds.extend([BraceSheet, Expect(ExpectTopic::FirstWeekOfBrace), WearDiary]);
    }
    if any(&[FamilyStage::BraceAtNight]) {
        kinds.extend([BraceSheet, Expect(ExpectTopic::NightsAndNaps), WearDiary, NurseryLetter]);
    }
    if any(&[FamilyStage::AfterBrace]) {
        kinds.push(Expect(ExpectTopic::TurningBack));
    }
    kinds.push(AppointmentLetter);
    let mut once = Vec::new();
    kinds
        .into_iter()
        .filter(|kind| {
            !once.contains(kind) && {
                once.push(*kind);
                true
            }
        })
        .collect()
}

/// "on 4 March 2025, in Swahili, to Grace, without an interpreter".
fn handed_words(last: &LastHanded) -> String {
    let mut words = format!("on {}, in {}", last.on.words(), last.handed.language.words());
    if let Some(to) = last.handed.to.as_deref().map(str::trim).filter(|to| !to.is_empty()) {
        words.push_str(&format!(", to {to}"));
    }
    match last.handed.with_interpreter {
        Some(true) => words.push_str(", read through with an interpreter"),
        Some(false) => words.push_str(", without an interpreter"),
        None => {}
    }
    words
}

/// What the staff see above the document on the screen.
fn above(known: &ChildRecord, asked: &Asked, wording: &Wording) -> Markup {
    let child = known.outlook.course.child;
    let Asked { kind, language, look, choices, may_hand } = asked;
    let (tag, key, look) = (language.tag(), kind.key(), look.query());
    let plan = *kind == FamilyDocumentKind::Plan;
    let (same, other) = if choices.with_forecast { ("&forecast=on", "") } else { ("", "&forecast=on") };
    drawn! {
        p lang="en" {
            a href={ "/child/" (child) "/documents?lang=" (tag) (look) } { "Back to the documents" }
            " · Print this page with the browser, or share it from there"
            @if kind.has_pdf() && !wording.awaits_review() {
                ", or open it "
                a href={ "/child/" (child) "/documents/" (key) "/pdf?lang=" (tag) (same) } { "as PDF" }
            }
            "."
            @if plan {
                " · " a href={ "/child/" (child) "/documents/plan?lang=" (tag) (look) (other) } {
                    @if choices.with_forecast { "Leave out what is likely" } @else { "With what is likely" }
                }
            }
            @if *may_hand && kind.recorded().is_some() {
                " · " a href={ "/child/" (child) "/handed-over?document=" (key) "&lang=" (tag) } { "Handed over" }
            }
        }
        @if wording.awaits_review() {
            p lang="en" { strong { "This translation awaits review, " } "so that it stands beside the English. Has it been read through with an interpreter?" }
        }
        @for text in wording.left_out() {
            p lang="en" { strong { "The clinic’s text “" (text.id) "” cannot be used. " } "The text of the program is printed in its place. " (text.why.to_string()) }
        }
    }
}

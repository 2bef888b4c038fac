//! Documents for the family of a child: what there is, and each as a page to read and print.

use crate::{
    app::App,
    web::{Fail, PageResult, Shared, Visitor, page as shown, work},
};
use axum::extract::{Path, Query, State};
use clinic::ChildRecord;
use letters::{
    ClinicContact, ExpectTopic, FamilyDocument, FamilyDocumentKind, FamilyFacts, FamilyStage, Language,
    NoDocument, PlanChoices, appointment_letter, brace_sheet, cast_sheet, expect_sheet, family_plan,
    html::{self, PageFrame},
    missed_visit_letter, nursery_letter, wear_diary,
};
use maud::{Markup, html as drawn};
use pages::{DocumentChoice, DocumentLanguage, DocumentsView, Here, RequestError};
use record::ChildId;
use serde::Deserialize;

/// The language, and what is left in.
#[derive(Debug, Deserialize)]
pub struct DocumentQuery {
    lang: Option<String>,
    forecast: Option<String>,
}

impl DocumentQuery {
    /// Whether what is likely is left in.
    pub(super) fn choices(&self) -> PlanChoices {
        PlanChoices { with_forecast: self.forecast.as_deref() == Some("on") }
    }

    /// English unless another one is named.
    pub(super) fn language(&self) -> Result<Language, Fail> {
        self.lang
            .as_deref()
            .map_or(Ok(Language::English), |tag| Language::from_tag(tag).ok_or_else(Fail::not_found))
    }
}

/// What there is.
pub async fn list(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<DocumentQuery>,
) -> PageResult {
    let chosen = asked.language()?;
    let frame = app.frame(&visitor, Here::Child);
    let markup = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let contact = contact(app);
        let facts =
            FamilyFacts::of(&known.outlook, &app.records.protocol(), &contact, &[], app.clock.today());
        let about = &known.outlook.course.about;
        let read = about.carers.iter().filter_map(|carer| carer.language.clone());
        let (first, more) = choices(&facts);
        let view = DocumentsView {
            who: app.who(&known.outlook.course),
            carers_read: read.collect(),
            languages: Language::ALL.into_iter().map(|language| of_language(language, chosen)).collect(),
            first,
            more,
            has_telephone: contact.telephone.is_some(),
        };
        Ok(pages::documents(&frame, &view))
    })
    .await?;
    shown(markup)
}

/// One document.
pub async fn one(
    State(app): State<Shared>,
    _visitor: Visitor,
    Path((child, key)): Path<(ChildId, String)>,
    Query(asked): Query<DocumentQuery>,
) -> PageResult {
    let kind = FamilyDocumentKind::from_key(&key).ok_or_else(Fail::not_found)?;
    let language = asked.language()?;
    let choices = asked.choices();
    let markup = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let document = document(app, &known, kind, choices)?;
        let above = above(&known, kind, language, choices.with_forecast);
        let frame = PageFrame { style: "/assets/letters.css", above: Some(&above) };
        html::page(&document, language, frame).map_err(|error| Fail::fault(&error.to_string()))
    })
    .await?;
    shown(markup)
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
    let contact = contact(app);
    let forecasts =
        if choices.with_forecast { app.records.forecasts(&known.outlook.course)? } else { Vec::new() };
    let protocol = app.records.protocol();
    let facts = FamilyFacts::of(&known.outlook, &protocol, &contact, &forecasts, app.clock.today());
    facts.and_then(|facts| made(&facts, kind, choices)).map_err(refused)
}

fn refused(why: NoDocument) -> Fail {
    Fail(RequestError::Refused(why.to_string()))
}

fn contact(app: &App) -> ClinicContact {
    let settings = app.settings();
    ClinicContact { name: settings.name.clone(), telephone: settings.telephone.clone() }
}

fn of_language(language: Language, chosen: Language) -> DocumentLanguage {
    DocumentLanguage {
        tag: language.tag(),
        name: language.own_name(),
        awaits_review: language.awaits_review(),
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
fn choices(facts: &Result<FamilyFacts<'_>, NoDocument>) -> (Vec<DocumentChoice>, Vec<DocumentChoice>) {
    let suits = facts.as_ref().map_or_else(|_| Vec::new(), suiting);
    let choice = |kind: FamilyDocumentKind| {
        let made =
            facts.as_ref().map_err(|why| *why).and_then(|facts| made(facts, kind, PlanChoices::default()));
        DocumentChoice { key: kind.key(), name: kind.words(), refused: made.err().map(|why| why.to_string()) }
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

/// What the staff see above the document on the screen.
fn above(known: &ChildRecord, kind: FamilyDocumentKind, language: Language, with_forecast: bool) -> Markup {
    let child = known.outlook.course.child;
    let (tag, plan) = (language.tag(), kind == FamilyDocumentKind::Plan);
    let (same, other) = if with_forecast { ("&forecast=on", "") } else { ("", "&forecast=on") };
    drawn! {
        p lang="en" {
            a href={ "/child/" (child) "/documents?lang=" (tag) } { "Back to the documents" }
            " · Print this page with the browser, or share it from there, or open it "
            a href={ "/child/" (child) "/documents/" (kind.key()) "/pdf?lang=" (tag) (same) } { "as PDF" }
            "."
            @if plan {
                " · " a href={ "/child/" (child) "/documents/plan?lang=" (tag) (other) } {
                    @if with_forecast { "Leave out what is likely" } @else { "With what is likely" }
                }
            }
        }
        @if language.awaits_review() {
            p lang="en" { strong { "This translation awaits review. " } "Has it been read through with an interpreter?" }
        }
    }
}

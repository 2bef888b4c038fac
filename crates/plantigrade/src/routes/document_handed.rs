//! Recording that a document was handed to the family.

use super::{
    form_drafts,
    submission::{Draft, Submission},
};
use crate::{
    app::App,
    document_texts::DocumentTexts,
    forms::{self, Reader},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Path, Query, State};
use letters::{FamilyDocumentKind, Language};
use maud::Markup;
use pages::{
    DocumentHandedView, Frame, Here,
    document_handed::{DOCUMENT, LANGUAGE, WITH_INTERPRETER},
    fields::{Filled, ON},
};
use record::{Carer, ChildId, Kind};
use serde::Deserialize;

/// Which document in which language.
#[derive(Debug, Deserialize)]
pub struct HandedQuery {
    document: Option<String>,
    lang: Option<String>,
}

/// A document in a language.
#[derive(Clone, Copy)]
struct Handed {
    kind: FamilyDocumentKind,
    language: Language,
}

impl Handed {
    fn of(key: &str, tag: &str) -> Result<Self, Fail> {
        let kind = FamilyDocumentKind::from_key(key).filter(|kind| kind.recorded().is_some());
        let found = kind.zip(Language::from_tag(tag)).map(|(kind, language)| Self { kind, language });
        found.ok_or_else(Fail::not_found)
    }
}

/// The form.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<HandedQuery>,
) -> PageResult {
    let (document, tag) = (asked.document.unwrap_or_default(), asked.lang.unwrap_or_default());
    let handed = Handed::of(&document, &tag)?;
    let (mut frame, user) = (app.frame(&visitor, Here::Child), visitor.user()?);
    let drawn = work(&app, move |app| {
        let filled = Filled::default().with(ON, app.clock.today().to_string());
        let name = format!("/child/{child}/handed-over?document={document}&lang={tag}");
        let filled = form_drafts::begin(app, user, &name, &mut frame, filled)?;
        drawn(app, &frame, child, handed, filled)
    });
    shown(drawn.await?)
}

fn awaits_review(app: &App, language: Language) -> Result<bool, Fail> {
    Ok(texts(app)?.wording(language).awaits_review())
}

/// The clinic's texts of documents.
///
/// # Errors
/// When their history cannot be read.
pub(super) fn texts(app: &App) -> Result<DocumentTexts, Fail> {
    DocumentTexts::read(&app.dir).map_err(|error| Fail::fault(&format!("the texts of documents: {error}")))
}

fn drawn(app: &App, frame: &Frame, child: ChildId, handed: Handed, filled: Filled) -> Result<Markup, Fail> {
    let known = app.known(child, app.clock.today())?;
    let about = &known.outlook.course.about;
    let view = DocumentHandedView {
        who: app.who(&known.outlook.course),
        document: (handed.kind.key(), handed.kind.words()),
        language: (handed.language.tag(), handed.language.recorded().words()),
        awaits_review: awaits_review(app, handed.language)?,
        carers: about.carers.iter().map(carer_words).filter(|words| !words.is_empty()).collect(),
        filled,
        once: app.once().to_string(),
    };
    Ok(pages::document_handed(frame, &view))
}

fn carer_words(carer: &Carer) -> String {
    let relation = carer.relation.as_deref().map(str::trim).filter(|relation| !relation.is_empty());
    match (carer.name.trim(), relation) {
        ("", relation) => relation.unwrap_or_default().to_owned(),
        (name, Some(relation)) => format!("{name} ({relation})"),
        (name, None) => name.to_owned(),
    }
}

/// Saves the form.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let handed = Handed::of(filled.value(DOCUMENT), filled.value(LANGUAGE))?;
    let frame = app.frame(&visitor, Here::Child);
    let saved = work(&app, move |app| {
        let draft = match read(app, &filled, awaits_review(app, handed.language)?) {
            Ok(draft) => draft,
            Err(filled) => return drawn(app, &frame, child, handed, filled).map(Some),
        };
        let submission = Submission::of_form(app, child, by, &filled);
        match submission.save(app, vec![draft])?.or_form(&filled) {
            Ok(()) => Ok(None),
            Err(filled) => drawn(app, &frame, child, handed, filled).map(Some),
        }
    });
    match saved.await? {
        None => to(&format!("/child/{child}/documents?lang={}&done=handed", handed.language.tag())),
        Some(form) => again(form),
    }
}

/// The entry of a form, or the form with what is wrong. Whether an interpreter was there is asked where the
/// translation awaits review, and never assumed.
fn read(app: &App, filled: &Filled, asks: bool) -> Result<Draft, Filled> {
    let mut reader = Reader::of(filled);
    let on = reader.clinical_day(ON, app.clock.today());
    let mut errors = reader.errors;
    let body = forms::body_of(Kind::DocumentHanded, filled, on.unwrap_or_else(|| app.clock.today()));
    let body = body.map_err(|more| errors.extend(more));
    let mut sent = Filled { errors, ..filled.clone() };
    if asks && filled.given(WITH_INTERPRETER).is_none() {
        sent = sent.wrong(WITH_INTERPRETER, "Say whether it was read through with an interpreter.");
    }
    match (on, body) {
        (Some(on), Ok(body)) if sent.errors.is_empty() => Ok(Draft::new(body, on)),
        _ => Err(sent),
    }
}

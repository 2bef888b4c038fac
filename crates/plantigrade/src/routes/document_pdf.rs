//! Documents for the family as PDF.

use super::{
    document_handed::texts as read_texts,
    documents::{self, DocumentQuery},
};
use crate::web::{Fail, PageResult, Shared, work};
use axum::{
    extract::{Path, Query, State},
    http::header,
    response::IntoResponse,
};
use letters::{
    FamilyDocumentKind, Language,
    pdf::{PaperSize, PdfFault, pdf_as},
};
use pages::RequestError;
use record::ChildId;
use serde::Deserialize;

/// A PDF has no room for two languages beside each other.
const AWAITS_REVIEW: &str = "This translation awaits review. Print the document from its page instead: there each sentence stands beside the English one. A lead can confirm the translation under “Languages of documents” once a clinician who speaks it has read it.";

/// The paper.
#[derive(Debug, Deserialize)]
pub struct PaperQuery {
    paper: Option<String>,
}

impl PaperQuery {
    /// That of the clinic unless another one is named.
    fn paper(&self, of_clinic: PaperSize) -> Result<PaperSize, Fail> {
        let named = self.paper.as_deref().map(|key| PaperSize::from_key(key).ok_or_else(Fail::not_found));
        named.unwrap_or(Ok(of_clinic))
    }
}

/// One document.
pub async fn one(
    State(app): State<Shared>,
    Path((child, key)): Path<(ChildId, String)>,
    Query(asked): Query<DocumentQuery>,
    Query(on): Query<PaperQuery>,
) -> PageResult {
    let kind = FamilyDocumentKind::from_key(&key).ok_or_else(Fail::not_found)?;
    let (language, choices, paper) =
        (asked.chosen()?.unwrap_or(Language::English), asked.choices(), on.paper(app.settings().paper)?);
    let bytes = work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let document = documents::document(app, &known, kind, choices)?;
        let wording = read_texts(app)?.wording(language);
        if wording.awaits_review() {
            return Err(Fail(RequestError::Refused(AWAITS_REVIEW.to_owned())));
        }
        pdf_as(&document, &wording, paper, today).map_err(refused)
    });
    let headers = [
        (header::CONTENT_TYPE, "application/pdf".to_owned()),
        (header::CONTENT_DISPOSITION, shown_as(kind, language)),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    Ok((headers, bytes.await?).into_response())
}

/// Shown by the browser, which prints and saves it. The name of the file names no child: it stays in lists of files.
fn shown_as(kind: FamilyDocumentKind, language: Language) -> String {
    format!("inline; filename=\"{}-{}.pdf\"", kind.key(), language.tag())
}

fn refused(fault: PdfFault) -> Fail {
    match fault {
        PdfFault::NoTypeface(_) | PdfFault::OnlyAsPage(_) => Fail(RequestError::Refused(fault.to_string())),
        _ => Fail::fault(&fault.to_string()),
    }
}

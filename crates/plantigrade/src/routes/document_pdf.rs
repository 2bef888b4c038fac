//! Documents for the family as PDF.

use super::{
    document_handed::texts as read_texts,
    documents::{self, DocumentQuery},
};
use crate::web::{Fail, PageResult, Shared, work};
use axum::{
    extract::{Path, Query, State},
    http::header,
    response::{IntoResponse, Response},
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
    ///
    /// # Errors
    /// When one is named that there is not.
    pub(super) fn paper(&self, of_clinic: PaperSize) -> Result<PaperSize, Fail> {
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
            return Err(Fail(RequestError::NotMade(AWAITS_REVIEW.to_owned())));
        }
        pdf_as(&document, &wording, paper, today).map_err(refused)
    });
    Ok(answer(&format!("{}-{}", kind.key(), language.tag()), bytes.await?))
}

/// A PDF as an answer: shown by the browser, which prints and saves it. The name of the file, without its ending, names
/// no child: it stays in lists of files.
pub(super) fn answer(name: &str, bytes: Vec<u8>) -> Response {
    let headers = [
        (header::CONTENT_TYPE, "application/pdf".to_owned()),
        (header::CONTENT_DISPOSITION, format!("inline; filename=\"{name}.pdf\"")),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    (headers, bytes).into_response()
}

/// Why there is no PDF: what cannot be printed is refused in words, and anything else is an error of the program.
pub(super) fn refused(fault: PdfFault) -> Fail {
    match fault {
        PdfFault::NoTypeface(_) | PdfFault::OnlyAsPage(_) => Fail(RequestError::NotMade(fault.to_string())),
        _ => Fail::fault(&fault.to_string()),
    }
}

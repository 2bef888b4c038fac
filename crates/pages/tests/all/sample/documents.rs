//! The documents for a family.

use super::{frame, in_casts};
use maud::Markup;
use pages::{DocumentChoice, DocumentLanguage, DocumentsView, Here};

/// In a translation that awaits review, without a telephone, with a document that cannot be made.
pub fn page(given: &str) -> Markup {
    let choice = |key, name, why: Option<&str>| DocumentChoice { key, name, refused: why.map(str::to_owned) };
    let language = |tag, name: &str, chosen| DocumentLanguage {
        tag,
        name: name.into(),
        awaits_review: tag != "en",
        chosen,
    };
    let view = DocumentsView {
        who: in_casts(given).who(),
        carers_read: vec!["Swahili".into()],
        languages: vec![language("en", "English", false), language("sw", "Kiswahili", true)],
        first: vec![choice("plan", "Family plan", None), choice("cast-sheet", "Cast care sheet", None)],
        more: vec![choice("brace-sheet", "Brace sheet", Some("No brace is recorded as worn."))],
        has_telephone: false,
    };
    pages::documents(&frame(Here::Child), &view)
}

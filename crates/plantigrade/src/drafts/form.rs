//! Which forms have drafts: those by which a visit or an entry is recorded.

use pages::AddKind;
use record::{ChildId, Right};

/// A form that can be kept as a draft. It is named by its address: the path to which it is sent, with what tells
/// several forms at one path apart, such as the day of a visit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftForm {
    /// The address by which it is named.
    pub name: String,
    /// The child that it is about, if it is about one.
    pub child: Option<ChildId>,
    /// What it is, in words: "Visit".
    pub words: String,
    /// The address of the page on which it is filled in.
    pub page: String,
    /// What is needed to see and send it.
    pub needs: Right,
    /// Whether the form has its own field for the day; otherwise what it records counts for the day on which it is
    /// saved.
    pub dated: bool,
}

impl DraftForm {
    /// The form of a name; `None` if there is none that can be kept.
    #[must_use]
    pub fn of(name: &str) -> Option<Self> {
        let (path, query) = name.split_once('?').unwrap_or((name, ""));
        if name.len() > 300 || !is_plain(query) || !is_plain(&path.replace('/', "")) {
            return None;
        }
        let parts: Vec<&str> = path.strip_prefix('/')?.split('/').collect();
        if parts == ["register"] {
            return Some(Self::new(name, None, ("New child", Right::RecordContact, false)));
        }
        let ["child", child, rest @ ..] = parts.as_slice() else { return None };
        let child: ChildId = child.parse().ok()?;
        let form = Self::new(name, Some(child), about(rest)?);
        Some(match rest {
            ["add", kind] => {
                let kind = AddKind::from_key(kind)?;
                Self { words: kind_words(kind), needs: Right::for_kind(kind.kind()), ..form }
            }
            ["brace", _] => Self { page: format!("/child/{child}/brace"), ..form },
            ["entry", entry, _] => Self { page: format!("/child/{child}/entry/{entry}"), ..form },
            _ => form,
        })
    }

    fn new(name: &str, child: Option<ChildId>, (words, needs, dated): (&str, Right, bool)) -> Self {
        let (name, page) = (name.to_owned(), name.to_owned());
        Self { name, child, words: words.to_owned(), page, needs, dated }
    }

    /// The path to which the form is sent.
    #[must_use]
    pub fn path(&self) -> &str {
        self.name.split('?').next().unwrap_or_default()
    }

    /// The form that was sent to a path; `named` is the name that it carries, which counts only if it belongs to the
    /// path.
    #[must_use]
    pub fn sent_to(path: &str, named: &str) -> Option<Self> {
        Self::of(named).filter(|form| form.path() == path).or_else(|| Self::of(path))
    }
}

/// Words, right and whether it has a day, of the forms about a child.
fn about(rest: &[&str]) -> Option<(&'static str, Right, bool)> {
    Some(match rest {
        ["visit"] => ("Visit", Right::RecordClinical, true),
        ["add", _] => ("Entry", Right::RecordContact, true),
        ["call"] => ("Telephone call", Right::RecordContact, false),
        ["put-off"] => ("Putting calls off", Right::RecordClinical, false),
        ["wear"] => ("Diary of wear", Right::RecordClinical, true),
        ["letters", _, "photographs"] => ("Photographs in a letter", Right::RecordClinical, false),
        ["handed-over"] => ("Document handed over", Right::RecordClinical, true),
        ["family"] => ("Brothers and sisters", Right::RecordContact, false),
        ["second-score", _] => ("Second score", Right::RecordClinical, true),
        ["brace", "measure"] => ("Measuring for the brace", Right::RecordClinical, false),
        ["brace", "fit"] => ("Settings of the brace", Right::RecordClinical, false),
        ["appointment", _, "move"] => ("Moving an appointment", Right::RecordContact, false),
        ["entry", _, "correct"] => ("Correction", Right::RecordContact, true),
        ["entry", _, "withdraw"] => ("Withdrawal", Right::RecordContact, false),
        _ => return None,
    })
}

fn kind_words(kind: AddKind) -> String {
    pages::words::capital(kind.kind().words())
}

/// Whether a query, or a path without its slashes, has only what the program itself puts into the name of a form.
fn is_plain(part: &str) -> bool {
    part.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '=' | '&'))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    const CHILD: &str = "/child/0190a000-0000-7000-8000-000000000000";

    #[test]
    fn forms_of_a_child_are_known_with_their_page() {
        let of = |rest: &str| DraftForm::of(&format!("{CHILD}/{rest}"));
        let visit = of("visit?on=2025-03-04").unwrap();
        assert_eq!((visit.words.as_str(), visit.dated), ("Visit", true));
        assert_eq!(visit.page, format!("{CHILD}/visit?on=2025-03-04"));
        assert_eq!(visit.path(), format!("{CHILD}/visit"));
        assert_eq!(of("brace/fit").unwrap().page, format!("{CHILD}/brace"));
        assert_eq!(of("entry/0190a000-0000-7000-8000-000000000001/correct").unwrap().child, visit.child);
        assert_eq!(of("add/diagnosis").unwrap().needs, Right::RecordClinical);
        let letter = of("letters/clinic-summary/photographs").unwrap();
        assert_eq!((letter.needs, letter.dated), (Right::RecordClinical, false));
        assert_eq!(letter.page, format!("{CHILD}/letters/clinic-summary/photographs"));
        for none in [
            "",
            "join/x",
            "add/nothing",
            "wear/logger",
            "visit/preview",
            "visit?on=//x",
            "trouble",
            "letters/clinic-summary",
        ] {
            assert_eq!(of(none), None, "{none}");
        }
        for odd in ["entry/1\r2/correct", "entry/1\n/withdraw", "appointment/a b/move", "second-score/%2F"] {
            assert_eq!(of(odd), None, "{odd:?} would be part of the address of a page");
        }
        assert_eq!(DraftForm::of("/child/x/visit"), None);
        assert_eq!(DraftForm::of("/settings"), None);
        assert_eq!(DraftForm::of("//elsewhere.example/register"), None);
    }

    #[test]
    fn a_form_cannot_name_another() {
        let visit = format!("{CHILD}/visit");
        let named = format!("{visit}?on=2025-03-04");
        assert_eq!(DraftForm::sent_to(&visit, &named).unwrap().name, named);
        assert_eq!(DraftForm::sent_to(&visit, "/register").unwrap().name, visit);
        assert_eq!(DraftForm::sent_to("/settings", "/register"), None);
    }
}

//! The title that a file has in lists of files and for screen readers: what the document is, in its own language, and
//! whose it is never.

use crate::{document::FamilyDocument, wording::Wording};
use messages::{Arg, Language, MessageFault, Sentence};

/// In place of a name.
const GAP: &str = "…";
/// What a title may have between a name and the rest; the second is that of Amharic.
const COLONS: [char; 2] = [':', '፦'];

/// The title of the file of a document. In English it is that of its page; in another language it is the title of the
/// document with a gap in place of the name.
///
/// # Errors
/// When the title is missing in the language.
pub(super) fn file_title(document: &FamilyDocument, wording: &Wording) -> Result<String, MessageFault> {
    if wording.language() == Language::English {
        return Ok(document.kind.words().to_owned());
    }
    let nameless = document.title.args.iter().map(|(name, arg)| {
        let arg = if *name == "name" { Arg::Text(GAP.to_owned()) } else { arg.clone() };
        (*name, arg)
    });
    let nameless = Sentence { id: document.title.id, args: nameless.collect() };
    let title = without_outer_gap(&wording.text(&nameless)?);
    // The clinic's own title may be the name alone.
    let says_nothing = title.chars().all(|letter| !letter.is_alphanumeric());
    Ok(if says_nothing { document.kind.words().to_owned() } else { title })
}

/// Without a gap that a colon parts from the rest.
fn without_outer_gap(title: &str) -> String {
    let title = title.trim();
    let after = title.strip_prefix(GAP).map(str::trim_start).and_then(|rest| rest.strip_prefix(COLONS));
    let before = title.strip_suffix(GAP).map(str::trim_end).and_then(|rest| rest.strip_suffix(COLONS));
    after.or(before).unwrap_or(title).trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gap_before_or_after_a_colon_is_left_out() {
        for (title, expected) in [
            ("…: los primeros yesos", "los primeros yesos"),
            ("… : les premiers plâtres", "les premiers plâtres"),
            ("ዕቅድ፦ …", "ዕቅድ"),
            ("خطة العلاج: …", "خطة العلاج"),
            ("Plan para …", "Plan para …"),
            ("… y el yeso", "… y el yeso"),
            ("…", "…"),
        ] {
            assert_eq!(without_outer_gap(title), expected, "{title}");
        }
    }
}

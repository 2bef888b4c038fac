//! Reading a diary from a picture: the upload. What is read fills the form of the diary, which a person then checks.

use crate::{
    Frame, HelpTopic, frame,
    parts::{self, Who},
};
use maud::{Markup, html};

/// The form field with the picture.
pub const PHOTO: &str = "photo";

/// The page.
#[derive(Debug, Clone)]
pub struct DiaryScanView {
    /// The child.
    pub who: Who,
    /// Why the picture just sent fills in nothing. One or more sentences.
    pub error: Option<String>,
}

/// The page.
#[must_use]
pub fn diary_scan(frame: &Frame, view: &DiaryScanView) -> Markup {
    let wrong = view.error.is_some();
    let body = html! {
        (parts::band(&view.who, "reading a diary", frame.today))
        @if let Some(error) = &view.error {
            div.errors role="alert" { p { strong { "Nothing was filled in. " } (error) } }
        }
        section.card aria-labelledby="scan-head" {
            h2 id="scan-head" { "A picture of the diary" }
            p { "For the " a href={ (view.who.href()) "/documents" } { "wear diary" } " with a code and a black square in each corner. What is read is filled into the form of the diary. You compare it with the paper and save; nothing is saved before." }
            ol {
                li { "Lay the sheet flat, in even light." }
                li { "Take the picture from straight above. The sheet fills it, with all four corners." }
                li { "Choose the picture here." }
            }
            form method="post" action={ (view.who.href()) "/wear/scan" } enctype="multipart/form-data" {
                (parts::csrf(&frame.csrf))
                div.field { label for="f-photo" { "Picture, JPEG or PNG" } input id="f-photo" type="file" name=(PHOTO) accept="image/jpeg,image/png" required aria-invalid=[wrong.then_some("true")]; }
                p.actions { button.primary type="submit" { "Read the diary of " (view.who.shown_name()) } " " a.button href={ (view.who.href()) "/wear" } { "Enter it by hand" } }
            }
            p.hint { "The picture is not kept." }
        }
        (parts::caution())
    };
    frame::page(frame, HelpTopic::Wear, "Reading a diary", &body)
}

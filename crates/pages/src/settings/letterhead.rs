//! The clinic's letterhead: lines, logo, signature, and people to whom families may talk.

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What},
    frame, parts,
};
use maud::{Markup, html};

/// The logo as it is saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LogoShown {
    /// The address under which it is shown.
    pub href: String,
    /// Its size in words.
    pub words: String,
}

/// The page.
#[derive(Debug, Clone)]
pub struct LetterheadView {
    /// The form of the lines.
    pub filled: Filled,
    /// The logo, if there is one.
    pub logo: Option<LogoShown>,
    /// Why the file that was sent is not taken.
    pub logo_refused: Option<String>,
}

/// The page.
#[must_use]
pub fn letterhead(frame: &Frame, view: &LetterheadView) -> Markup {
    let fields = [
        Field::new("letter_lines", "Lines under the name of the clinic", What::Long)
            .hint("Address, telephone, mail: at most six lines. Printed small at the head of letters and documents."),
        Field::new("letter_signature", "Lines under the signature", What::Long)
            .hint("At most three. The name of the person who makes the letter is printed above them."),
        Field::new("people_to_talk_to", "People families may talk to", What::Long)
            .hint("At most six, one in each line, such as parents of older children who agreed to be named. Printed below the plan and the sheets that say what to expect."),
    ];
    let body = html! {
        h1 { "Letterhead" }
        p.lead { "What the clinic prints at the head and the foot of its letters and documents. Name and telephone are under " a href="/settings" { "Settings" } "." }
        (parts::error_summary(&view.filled))
        div.settings-columns {
            section.card aria-labelledby="lines-head" {
                h2 id="lines-head" { "Lines" }
                form method="post" action="/settings/letterhead" {
                    (parts::csrf(&frame.csrf))
                    @for field in &fields { (parts::field(&view.filled, field)) }
                    button.primary type="submit" { "Save" }
                }
            }
            section.card aria-labelledby="logo-head" {
                h2 id="logo-head" { "Logo" }
                (logo(frame, view))
            }
        }
        p.actions { a.button href="/settings" { "Back to the settings" } }
    };
    frame::page(frame, HelpTopic::Letterhead, "Letterhead", &body)
}

fn logo(frame: &Frame, view: &LetterheadView) -> Markup {
    let described = view.logo_refused.as_ref().map(|_| "f-logo-error");
    html! {
        @match &view.logo {
            Some(logo) => {
                p { img.logo-shown src=(logo.href) alt="The logo of the clinic"; }
                p.rel { (logo.words) }
                form.inline method="post" action="/settings/logo/remove" {
                    (parts::csrf(&frame.csrf))
                    button.quiet type="submit" { "Remove the logo" }
                }
            },
            None => p { "No logo is set." },
        }
        form method="post" action="/settings/logo" enctype="multipart/form-data" {
            (parts::csrf(&frame.csrf))
            div.field {
                label for="f-logo" { "A picture" }
                input id="f-logo" type="file" name="file" accept="image/png,image/jpeg" required aria-describedby={ "f-logo-hint" @if let Some(error) = described { " " (error) } } aria-invalid=[described.map(|_| "true")];
                p.hint id="f-logo-hint" { "PNG or JPEG, at most 5 MB. It is made small, and nothing but its pixels is kept." }
                @if let Some(why) = &view.logo_refused { p.field-error id="f-logo-error" { span.error-word { "Not accepted: " } (why) } }
            }
            button type="submit" { "Use this logo" }
        }
    }
}

//! The protocol in force.

use crate::{Frame, frame, parts, words};
use guidance::ProtocolSetting;
use maud::{Markup, html};

/// Every value of the protocol.
#[derive(Debug, Clone)]
pub struct ProtocolView<'a> {
    /// The values, in order; those whose keys begin alike stand together.
    pub settings: &'a [ProtocolSetting],
    /// Where the clinic's own values are kept, in words; `None` where it has none.
    pub clinic_file: Option<String>,
}

/// The protocol: every value with its source, published range, and whether the clinic changed it.
#[must_use]
pub fn protocol(frame: &Frame, view: &ProtocolView<'_>) -> Markup {
    let changed = view.settings.iter().filter(|setting| setting.changed).count();
    let body = html! {
        h1 { "Protocol in force" }
        p.lead {
            "Every interval, threshold and age by which next steps and calls for attention are found. "
            @match (changed, &view.clinic_file) {
                (0, None) => "These are the built-in values.",
                (0, Some(_)) => "The clinic's own file changes none of them.",
                (1, _) => "The clinic changed one value; it is marked.",
                (n, _) => { "The clinic changed " (n) " values; they are marked." },
            }
        }
        @if let Some(file) = &view.clinic_file { p { "The clinic's own values: " code { (file) } } }
        (parts::caution())
        @for group in view.settings.chunk_by(|a, b| section(a) == section(b)) { (table(group)) }
    };
    frame::page(frame, "Protocol", &body)
}

fn section(setting: &ProtocolSetting) -> &str {
    setting.key.split_once('.').map_or("general", |(section, _)| section)
}

fn table(group: &[ProtocolSetting]) -> Markup {
    let title = group.first().map_or("", section);
    html! {
        section.settings {
            h2 { (words::capital(&title.replace('_', " "))) }
            div.scroll tabindex="0" role="region" aria-label={ "Table: " (title.replace('_', " ")) } {
                table.stack role="table" {
                    thead role="rowgroup" { tr role="row" { th role="columnheader" scope="col" { "What" } th role="columnheader" scope="col" { "In force" } th role="columnheader" scope="col" { "Published" } th role="columnheader" scope="col" { "Source" } } }
                    tbody role="rowgroup" { @for setting in group { (row(setting)) } }
                }
            }
        }
    }
}

fn row(setting: &ProtocolSetting) -> Markup {
    html! {
        tr.changed[setting.changed] role="row" {
            th role="rowheader" scope="row" { (setting.label) code.key { (breakable(setting.key)) } }
            td role="cell" data-label="In force" {
                strong { (setting.value) }
                @if setting.changed { span.changed-note { "changed by this clinic; built in: " (setting.built_in) } }
            }
            td role="cell" data-label="Published" { (setting.published) @if !setting.permitted.is_empty() { span.permitted { "may be set to " (setting.permitted) } } }
            td role="cell" data-label="Source" { (setting.source) @if let Some(words) = mark_words(setting) { span.permitted { (words) } } }
        }
    }
}

/// A key that a narrow column breaks between its words and not within one.
fn breakable(key: &str) -> Markup {
    html! { @for part in key.split_inclusive(['.', '_']) { (part) wbr; } }
}

/// How far the source was followed, where the source does not say so itself.
fn mark_words(setting: &ProtocolSetting) -> Option<&'static str> {
    match setting.mark {
        "read" => Some("read there"),
        "from memory" => Some("from memory: check it before relying on it"),
        mark if mark.is_empty() || setting.source.contains(mark) => None,
        mark => Some(mark),
    }
}

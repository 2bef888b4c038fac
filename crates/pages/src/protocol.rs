//! The protocol in force.

use crate::{Frame, HelpTopic, frame, parts, words};
use guidance::{ProtocolSetting, SourceMark};
use maud::{Markup, html};

/// Every value of the protocol.
#[derive(Debug, Clone)]
pub struct ProtocolView<'a> {
    /// The values, ordered so that those of one section follow each other.
    pub settings: &'a [ProtocolSetting],
    /// The file with the clinic's own values; `None` if it has none.
    pub clinic_file: Option<String>,
}

/// The page of the protocol: every value with its source and published range, and whether the clinic changed it.
#[must_use]
pub fn protocol(frame: &Frame, view: &ProtocolView<'_>) -> Markup {
    let changed = view.settings.iter().filter(|setting| setting.changed).count();
    let body = html! {
        h1 { "Protocol in force" }
        p.lead {
            "Every interval, threshold and age on which next steps and calls for attention are based. "
            @match (changed, &view.clinic_file) {
                (0, None) => "These are the built-in values.",
                (0, Some(_)) => "The clinic's own file changes none of them.",
                (1, _) => "The clinic changed one value; it is marked.",
                (n, _) => { "The clinic changed " (n) " values; they are marked." },
            }
        }
        @if let Some(file) = &view.clinic_file { p { "The clinic's own values: " code { (file) } } }
        p.actions { a.button href="/protocol/history" { "History: who changed what" } }
        (parts::caution())
        @for group in view.settings.chunk_by(|a, b| section(a) == section(b)) { (table(group)) }
    };
    frame::page(frame, HelpTopic::Protocol, "Protocol", &body)
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
                    thead role="rowgroup" { tr role="row" { th role="columnheader" scope="col" { "Setting" } th role="columnheader" scope="col" { "Value" } th role="columnheader" scope="col" { "Published" } th role="columnheader" scope="col" { "Source" } } }
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
            td role="cell" data-label="Value" {
                strong { (setting.value) }
                @if setting.changed { span.changed-note { "changed by this clinic; built-in value: " (setting.built_in) } }
                " " a.change-value href=(value_href(setting.key)) { "Change" span.sr { ": " (setting.label) } }
            }
            td role="cell" data-label="Published" { (setting.published) @if !setting.permitted.is_empty() { span.permitted { "permitted: " (setting.permitted) } } }
            td role="cell" data-label="Source" { (setting.source) @if let Some(words) = mark_words(setting) { span.permitted { (words) } } }
        }
    }
}

/// The page on which a value is changed.
pub(crate) fn value_href(key: &str) -> String {
    format!("/protocol/value/{key}")
}

/// A key that a narrow column wraps between its words and not within one.
fn breakable(key: &str) -> Markup {
    html! { @for part in key.split_inclusive(['.', '_']) { (part) wbr; } }
}

/// Whether the source was read, where the text of the source does not state it.
pub(crate) fn mark_words(setting: &ProtocolSetting) -> Option<&'static str> {
    match setting.mark {
        SourceMark::Read => Some("read in the source"),
        SourceMark::FromMemory => Some("from memory: check it before relying on it"),
        SourceMark::NoSource if setting.source.contains(setting.mark.words()) => None,
        SourceMark::NoSource => Some(setting.mark.words()),
    }
}

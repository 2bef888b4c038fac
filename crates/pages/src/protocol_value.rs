//! One value of the protocol: what is published about it, the form that changes it, and its history.

use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What, settings as names},
    frame, parts,
    protocol::{mark_words, value_href},
    settings::{HistoryRow, history_table},
};
use guidance::{ProtocolSetting, SettingControl, SourceMark};
use maud::{Markup, html};

/// A value with its form.
#[derive(Debug, Clone)]
pub struct ProtocolValueView<'a> {
    /// The value.
    pub setting: &'a ProtocolSetting,
    /// The form.
    pub filled: Filled,
    /// The version of the value from which the form was made.
    pub seen: String,
    /// What somebody else changed since the form was shown.
    pub newer: Option<String>,
    /// Its changes, the latest first.
    pub history: Vec<HistoryRow>,
}

/// The form with the value in force.
#[must_use]
pub fn filled_value(setting: &ProtocolSetting) -> Filled {
    let part = |n: usize| setting.parts.get(n).cloned().unwrap_or_default();
    match setting.control {
        SettingControl::TwoEnds { .. } => {
            Filled::default().with(names::VALUE, part(0)).with(names::VALUE_TO, part(1))
        }
        SettingControl::Ascending { .. } => Filled::default().with(names::VALUE, setting.parts.join(", ")),
        _ => Filled::default().with(names::VALUE, part(0)),
    }
}

/// The page.
#[must_use]
pub fn protocol_value(frame: &Frame, view: &ProtocolValueView<'_>) -> Markup {
    let setting = view.setting;
    let body = html! {
        p.step-of { a href="/protocol" { "Protocol" } }
        h1 { (setting.label) }
        p.lead { "In force: " strong { (setting.value) } @if setting.changed { ", set by this clinic" } @else { ", the " (origin(setting)) " value" } "." }
        @if let Some(newer) = &view.newer { p.look { strong { "Not saved yet. " } (newer) " Compare, then save again." } }
        (parts::error_summary(&view.filled))
        (facts(setting))
        (form(frame, view))
        section aria-labelledby="history-head" {
            h2 id="history-head" { "Changes of this value" }
            @if view.history.is_empty() { p { "It was never changed." } } @else { (history_table(&view.history)) }
        }
        p.actions { a.button href="/protocol" { "All values" } a.button href="/protocol/history" { "History of the protocol" } }
        (parts::caution())
    };
    frame::page(frame, HelpTopic::Protocol, setting.label, &body)
}

/// What a built-in value is called: one without a source was never published.
fn origin(setting: &ProtocolSetting) -> &'static str {
    if setting.mark == SourceMark::NoSource { "built-in" } else { "published" }
}

fn facts(setting: &ProtocolSetting) -> Markup {
    html! {
        dl.facts.value-facts {
            div { dt { "Built-in value" } dd { (setting.built_in) } }
            div { dt { "Permitted" } dd { (setting.permitted) } }
            div.wide { dt { "Published" } dd { (setting.published) } }
            div.wide { dt { "Source" } dd { (setting.source) @if let Some(words) = mark_words(setting) { " (" (words) ")" } } }
            div { dt { "Key in the file" } dd { code { (setting.key) } } }
        }
    }
}

fn form(frame: &Frame, view: &ProtocolValueView<'_>) -> Markup {
    let why = Field::new(names::WHY, "Reason", What::Text)
        .needed()
        .hint("Shown in the history, with your name and the time.");
    html! {
        form.card.value-form method="post" action=(value_href(view.setting.key)) {
            h2 { "Change it" }
            p { "Next steps, calls and lists of every child follow the new value as soon as it is saved." }
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::SEEN, &view.seen))
            (control(&view.filled, view.setting))
            (parts::field(&view.filled, &why))
            div.actions {
                button.primary type="submit" name=(names::DO) value="save" { "Save" }
                // It needs no new value, only the reason.
                @if view.setting.changed { button type="submit" name=(names::DO) value="back" formnovalidate { "Back to the " (origin(view.setting)) " value, " (view.setting.built_in) } }
            }
        }
    }
}

fn control(filled: &Filled, setting: &ProtocolSetting) -> Markup {
    let whole = |low: i16, high: i16| What::Whole { min: low.into(), max: high.into(), unit: setting.unit };
    let one = |label: &'static str, what: What| {
        parts::field(filled, &Field::new(names::VALUE, label, what).needed())
    };
    match &setting.control {
        SettingControl::Whole { low, high } => one("New value", whole(*low, *high)),
        SettingControl::TwoEnds { low, high } => html! {
            div.two-ends {
                (one("From", whole(*low, *high)))
                (parts::field(filled, &Field::new(names::VALUE_TO, "To", whole(*low, *high)).needed()))
            }
        },
        SettingControl::Ascending { .. } => parts::field(
            filled,
            &Field::new(names::VALUE, "New values", What::Text)
                .needed()
                .hint("Separated by commas, the smallest first."),
        ),
        SettingControl::Points { low, high } => html! {
            (one("New value", What::Decimal { min: i32::from(*low) / 2, max: (i32::from(*high) + 1) / 2, unit: setting.unit }))
        },
        SettingControl::Names(rules) => rule(filled, rules),
    }
}

fn rule(filled: &Filled, rules: &[(String, String)]) -> Markup {
    let id = parts::field_id(names::VALUE);
    html! {
        fieldset.rules {
            legend { "Rule " span.needed { "required" } }
            @for (n, (name, words)) in rules.iter().enumerate() {
                @let id = if n == 0 { id.clone() } else { format!("{id}-{n}") };
                p.check { input type="radio" id=(id) name=(names::VALUE) value=(name) required checked[filled.value(names::VALUE) == name]; label for=(id) { (words) } }
            }
            (parts::field_error(filled, names::VALUE))
        }
    }
}

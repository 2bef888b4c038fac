//! One entry: its original contents, its corrections or withdrawal, and the forms to correct or withdraw it.

use crate::{
    Frame, HelpTopic,
    add::{entry_fields, kind_title, on_field},
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Tile, Who},
    words,
};
use course::Fate;
use maud::{Markup, html};
use record::{Body, Day, Entry, EntryId, Kind, Right};

/// An entry with its corrections and withdrawal.
#[derive(Debug, Clone)]
pub struct EntryView<'a> {
    /// The child.
    pub who: Who,
    /// The entry as it was first written.
    pub entry: &'a Entry,
    /// Name of the writer.
    pub by: String,
    /// When it was written, in the clinic's time, in words.
    pub written: String,
    /// Whether it is valid, corrected or withdrawn.
    pub fate: Fate,
    /// All its corrections and its withdrawal, oldest first.
    pub amendments: Vec<Amendment<'a>>,
    /// The current day and contents; `None` once withdrawn.
    pub current: Option<(Day, &'a Body)>,
    /// The form to correct it, filled with the current contents by `fields::values_of` and with `on`.
    pub correct: Filled,
    /// The form to withdraw it.
    pub withdraw: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
    /// What was written in one step with this entry, if it lists any.
    pub step: Option<StepShown>,
    /// The entry of another record from which this one was recorded again, with its address and who wrote it
    /// when.
    pub origin: Option<(String, String)>,
    /// Whether the whole visit of the day can be put right from here.
    pub of_a_visit: bool,
    /// What a fitting of the brace took out of the clinic's stock.
    pub stock: Option<EntryStock>,
}

/// What a fitting of the brace took out of the clinic's stock, and what can be done about it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct EntryStock {
    /// What was taken and what is left, in sentences.
    pub lines: Vec<String>,
    /// Whether something is still out of stock that the entry no longer names.
    pub outdated: bool,
    /// Whether something can be put back.
    pub can_put_back: bool,
    /// Whether something can be taken.
    pub can_take: bool,
}

/// What was written in one step.
#[derive(Debug, Clone)]
pub struct StepShown {
    /// The entries of this record, in words.
    pub entries: Vec<(EntryId, String)>,
    /// The address of the other record's entry that lists its part, and the other child's name.
    pub other: Option<(String, String)>,
    /// Whether it can be taken back; not once it was.
    pub can_be_taken_back: bool,
    /// What was written since about its entries.
    pub since: Vec<String>,
    /// The form to take it back.
    pub filled: Filled,
    /// What that form was made from.
    pub seen: String,
}

/// One correction or withdrawal.
#[derive(Debug, Clone)]
pub struct Amendment<'a> {
    /// The entry that corrects or withdraws the other.
    pub entry: &'a Entry,
    /// Name of the writer.
    pub by: String,
    /// When, in words.
    pub written: String,
}

/// The page of one entry.
#[must_use]
pub fn entry(frame: &Frame, view: &EntryView<'_>) -> Markup {
    let title = kind_title(view.entry.kind());
    let body = html! {
        (parts::band(&view.who, &title, frame.today))
        (fate(view))
        @if let Some(stock) = &view.stock { (stock_card(frame, view, stock)) }
        section.card {
            h2 { "As written" }
            p.written { "For " (words::day(view.entry.on)) ". Written by " (view.by) ", " (view.written) "." }
            (as_written(view))
            @if let Some((href, written)) = &view.origin { p.written { "Recorded again from " a href=(href) { "another record" } ", " (written) "." } }
            @if view.entry.kind() == Kind::SecondScore {
                p.actions { a.button href={ (view.who.href()) "/both-scores/" (view.entry.id) } { "Both scores side by side" } }
            }
        }
        @for (n, amendment) in view.amendments.iter().enumerate() { (amended(view, n, amendment)) }
        @if let Some(step) = &view.step { (step_card(frame, view, step)) }
        @if can_be_amended(view) && may_amend(frame, view) { (correct_form(frame, view)) (withdraw_form(frame, view)) (whole_visit(frame, view)) }
        p.actions { a.button href=(view.who.href()) { "Back to " (view.who.shown_name()) } }
    };
    frame::page(frame, HelpTopic::Correct, &title, &body)
}

fn may_amend(frame: &Frame, view: &EntryView<'_>) -> bool {
    frame.may(Right::to_write(&view.entry.body))
}

/// What the fitting took out of stock, with one tap to put it back or to take it.
fn stock_card(frame: &Frame, view: &EntryView<'_>, stock: &EntryStock) -> Markup {
    let button = |step: &str, words: &str| {
        html! { button type="submit" name=(STOCK_STEP) value=(step) { (words) " for " (view.who.shown_name()) } }
    };
    html! {
        section.card id="stock" aria-labelledby="stock-head" {
            h2 id="stock-head" { "Stock" }
            @if stock.outdated { p.message.warning { strong { "Check this: " } "This entry was changed since, and what it took is still out of stock." } }
            ul.plain-list { @for line in &stock.lines { li { (line) } } }
            @if stock.can_put_back || stock.can_take {
                form method="post" action={ (link(view, view.entry.id)) "/stock" } {
                    (parts::csrf(&frame.csrf))
                    p.actions {
                        @if stock.can_put_back { (button(PUT_BACK, "Put back into stock")) }
                        @if stock.outdated { (button(STAYS_OUT, "Leave it out of stock")) }
                        @if stock.can_take { (button(TAKE, "Take out of stock")) }
                    }
                }
            }
        }
    }
}

/// The form field with what is done about the stock of an entry: [`PUT_BACK`], [`STAYS_OUT`] or [`TAKE`].
pub const STOCK_STEP: &str = "stock_step";
/// Puts back what an entry took.
pub const PUT_BACK: &str = "put-back";
/// Leaves what a changed entry took where it is.
pub const STAYS_OUT: &str = "stays-out";
/// Takes what an entry names.
pub const TAKE: &str = "take";

fn can_be_amended(view: &EntryView<'_>) -> bool {
    !view.entry.kind().spec().amends && view.current.is_some()
}

/// The entry in one sentence with its values folded where the form below shows them; otherwise its values.
fn as_written(view: &EntryView<'_>) -> Markup {
    let body = parts::entry_body(view.who.id, &view.entry.body);
    html! {
        @if can_be_amended(view) && view.entry.kind() != Kind::SecondScore {
            p { strong { (view.entry.body.sentence()) } }
            details.more { summary { "Every value as written" } (body) }
        } @else { (body) }
    }
}

/// The way from one wrong entry to the whole visit.
fn whole_visit(frame: &Frame, view: &EntryView<'_>) -> Markup {
    let on = view.current.map_or(view.entry.on, |(on, _)| on);
    html! {
        @if view.of_a_visit && frame.may(Right::RecordClinical) {
            p.actions { a.button href={ (view.who.href()) "/visit/" (on) "/change" } { "The whole visit of " (on.words()) " is wrong" } }
        }
    }
}

/// What was written in one step, and the form that takes it back.
fn step_card(frame: &Frame, view: &EntryView<'_>, step: &StepShown) -> Markup {
    html! {
        section.card {
            h2 { "Written in one step" }
            @if let Some((href, name)) = &step.other { p { "The other part is in the record of " a href=(href) { (name) } "." } }
            ul.plain { @for (entry, said) in &step.entries { li { a href=(link(view, *entry)) { (said) } } } }
            @if step.entries.is_empty() { p { "Nothing more was written in this record." } }
        }
        @if step.can_be_taken_back && frame.may(Right::RecordClinical) { (take_back_form(frame, view, step)) } @else { (parts::error_summary(&step.filled)) }
    }
}

fn take_back_form(frame: &Frame, view: &EntryView<'_>, step: &StepShown) -> Markup {
    let field =
        Field { name: fields::TAKE_BACK_REASON.into(), ..reason_field("Why it was wrong to do this.") };
    let since = parts::field_id(fields::SURE);
    let contents = html! {
        (parts::hidden(fields::SEEN, &step.seen))
        (parts::confirmation(&step.filled))
        @if !step.since.is_empty() {
            h3 { "Recorded since; stays as it is" }
            ul.plain { @for said in &step.since { li { (said) } } }
            p.check {
                input type="checkbox" id=(since) name=(fields::SURE) value="yes" checked[step.filled.value(fields::SURE) == "yes"] aria-describedby=[step.filled.has_error(fields::SURE).then(|| format!("{since}-error"))];
                label for=(since) { "I have seen this; take the step back anyway" }
            }
            (parts::field_error(&step.filled, fields::SURE))
        }
        (parts::field(&step.filled, &field))
        p.actions { button.grave type="submit" { "Take this back for " (view.who.shown_name()) } }
    };
    let hint = "What was recorded before holds again, in every record concerned. This step stays readable.";
    amend_form(frame, view, &step.filled, ("/take-back", "Take this back", hint), &contents)
}

fn link(view: &EntryView<'_>, entry: EntryId) -> String {
    format!("{}/entry/{entry}", view.who.href())
}

fn fate(view: &EntryView<'_>) -> Markup {
    html! {
        @match view.fate {
            Fate::Unchanged => p.fate { "This entry is unchanged." },
            Fate::Corrected { .. } => p.fate.fate-amended { strong { "Corrected." } " The last correction below is now valid." },
            Fate::Withdrawn { .. } => p.fate.fate-amended { strong { "Withdrawn." } " It no longer counts, but stays readable here." },
            Fate::Amends { entry } => p.fate { "This entry amends " a href=(link(view, entry)) { "another entry" } "." },
        }
    }
}

fn amended(view: &EntryView<'_>, n: usize, amendment: &Amendment<'_>) -> Markup {
    let last = n + 1 == view.amendments.len();
    html! {
        section.card.amendment {
            @match &amendment.entry.body {
                Body::Correction(correction) => {
                    h2 { "Correction" @if last && view.current.is_some() { " " span.rel { "now valid" } } }
                    p { strong { "Reason: " } (correction.reason) }
                    @if let Some(on) = correction.on { p { "Day corrected to " (words::day(on)) "." } }
                    (parts::entry_body(view.who.id, &correction.body))
                },
                Body::Withdrawal(withdrawal) => { h2 { "Withdrawal" } p { strong { "Reason: " } (withdrawal.reason) } },
                other => { h2 { (kind_title(other.kind())) } },
            }
            p.written { "Written by " (amendment.by) ", " (amendment.written) "." }
        }
    }
}

fn reason_field(kind: &'static str) -> Field {
    Field::new(fields::REASON, "Reason", What::Text).needed().hint(kind)
}

/// The reason of a correction, as a tap or in words. Its form field has another name because some kinds have a
/// reason of their own.
fn correct_reason(filled: &Filled) -> Markup {
    let usual = fields::USUAL_CORRECTIONS.map(|(key, words)| Tile::new(key, words));
    let other = [Tile::new("other", "Another reason")];
    let tiles: Vec<Tile<'_>> = usual.into_iter().chain(other).collect();
    let legend = html! { "Why it was wrong " span.needed { "required" } };
    let name = fields::CORRECT_REASON;
    let id = parts::field_id(name);
    html! {
        (parts::tiles(filled, fields::CORRECT_WHY, "words reasons", &legend, &tiles))
        div.field.line.in-words {
            label for=(id) { "In words" }
            input id=(id) name=(name) type="text" autocomplete="off" placeholder=" " value=(filled.value(name)) aria-describedby=[filled.has_error(name).then(|| format!("{id}-error"))];
            (parts::field_error(filled, name))
        }
    }
}

/// A folded form that amends the entry; open if it has errors.
fn amend_form(
    frame: &Frame,
    view: &EntryView<'_>,
    filled: &Filled,
    (path, title, hint): (&str, &str, &str),
    contents: &Markup,
) -> Markup {
    html! {
        details.card.amend open[!filled.errors.is_empty() || frame.is_restored(filled)] {
            summary { h2 { (title) } }
            p { (hint) }
            (parts::error_summary(filled))
            form method="post" action={ (link(view, view.entry.id)) (path) } {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::ONCE, &view.once))
                (parts::draft(filled))
                (contents)
            }
        }
    }
}

/// The form to correct the entry: what is filled, the rest one tap away, reason and button always in sight.
fn correct_form(frame: &Frame, view: &EntryView<'_>) -> Markup {
    let (filled, kind) = (&view.correct, view.entry.kind());
    let (shown, rest): (Vec<Field>, Vec<Field>) =
        entry_fields(kind, filled).into_iter().partition(|field| is_filled(filled, field));
    html! {
        section.card.amend aria-labelledby="correct-head" {
            h2 id="correct-head" { "Correct this entry" }
            p.hint { "The original stays readable. What you save here replaces it." }
            (parts::error_summary(filled))
            form method="post" action={ (link(view, view.entry.id)) "/correct" } {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::ONCE, &view.once))
                (parts::draft(filled))
                (parts::confirmation(filled))
                (parts::field(filled, &on_field(kind)))
                @for field in &shown { (parts::field(filled, field)) }
                @if !rest.is_empty() {
                    details.more open[shown.is_empty()] {
                        summary { "Fields that are empty (" (rest.len()) ")" }
                        @for field in &rest { (parts::field(filled, field)) }
                    }
                }
                div.amend-bar {
                    (correct_reason(filled))
                    p.actions { button.primary type="submit" { "Save correction for " (view.who.shown_name()) } }
                }
            }
        }
    }
}

fn is_filled(filled: &Filled, field: &Field) -> bool {
    field.needed || filled.given(&field.name).is_some() || filled.has_error(&field.name)
}

fn withdraw_form(frame: &Frame, view: &EntryView<'_>) -> Markup {
    let filled = &view.withdraw;
    let field = Field {
        name: fields::WITHDRAW_REASON.into(),
        ..reason_field("For example: wrong child, wrong foot, did not happen.")
    };
    let contents = html! {
        (parts::field(filled, &field))
        p.actions { button.grave type="submit" { "Withdraw this entry of " (view.who.shown_name()) } }
    };
    let hint = "It will no longer count, but stays readable with your reason.";
    amend_form(frame, view, filled, ("/withdraw", "Withdraw this entry", hint), &contents)
}

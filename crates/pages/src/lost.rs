//! The lost list: families who have not come and were not reached, with the attempts made and the next one.

use crate::{
    Frame, HelpTopic, frame,
    parts::{self, Pager, Who},
    words,
};
use guidance::Attention;
use maud::{Markup, html};
use record::Right;

/// One page of the lost list.
#[derive(Debug, Clone)]
pub struct LostView {
    /// The children of this page, longest on the list first.
    pub rows: Vec<LostRow>,
    /// The page of the list.
    pub pager: Pager,
}

/// One child on the lost list.
#[derive(Debug, Clone)]
pub struct LostRow {
    /// The child.
    pub who: Who,
    /// Since when the child is on the list, the attempts made, and the next one.
    pub lost: Attention,
    /// The calls that were open when the child came on the list.
    pub open: Vec<Attention>,
}

/// The page.
#[must_use]
pub fn lost(frame: &Frame, view: &LostView) -> Markup {
    let body = html! {
        header.page-head { div {
            h1 { "Lost list" }
            p.tally { (words::count(view.pager.total as i64, "child", "children")) " not seen for longer than the protocol allows and not reached" }
        } }
        p { "A child is on this list when the time without a visit that the protocol allows has passed and at least one attempt to reach the family has failed. Try the next way from the day shown, and record each attempt. The child leaves the list when the family is reached or comes. " @if frame.may(Right::SeeClinical) { a href="/attention" { "Needs attention" } } }
        @if view.rows.is_empty() { (parts::empty("Nobody is on the lost list.", &html! { @if frame.may(Right::SeeClinical) { p { a href="/attention" { "Needs attention" } } } })) }
        @else { ul.call-list { @for row in &view.rows { (lost_row(frame, row)) } } }
        (parts::pager(&view.pager))
        (parts::caution())
    };
    frame::page(frame, HelpTopic::Lost, "Lost list", &body)
}

fn lost_row(frame: &Frame, row: &LostRow) -> Markup {
    let href = row.who.href();
    let name = row.who.shown_name();
    html! {
        li.call.call-2 {
            div.call-who { (parts::who_line(&row.who, frame.today)) }
            div.call-what {
                p.call-text { (row.lost.text.words()) }
                @if frame.may(Right::SeeClinical) {
                    details.why { summary { "Attempts to reach the family" } (parts::reason_list(row.who.id, &row.lost.because)) }
                    (parts::more_calls(row.who.id, &row.open, frame.today, ["call open when the child came on this list", "calls open when the child came on this list"]))
                }
            }
            div.call-when {
                span.call-from { "on the list since " (words::day_and_relative(row.lost.from, frame.today)) }
                a.button href={ (href) "/call?back=lost" } { "Record an attempt" span.sr { ": " (name) } }
                @if frame.may(Right::RecordClinical) {
                    a href={ (href) "/add/lost-declared" } { "Declare lost" span.sr { ": " (name) } }
                    a href={ (href) "/add/discharge" } { "Close the file" span.sr { ": " (name) } }
                }
            }
        }
    }
}

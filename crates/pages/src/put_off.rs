//! The form that puts off calls of a child until a day ("not before").

use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Who},
};
use guidance::Attention;
use maud::{Markup, html};
use record::ContactWay;

/// The form field of one rule that is put off.
#[must_use]
pub fn rule_field(rule: &str) -> String {
    format!("rule.{rule}")
}

/// The form field with the day from which the calls apply again.
pub const UNTIL: &str = "until";
/// The form field with the reason.
pub const BECAUSE: &str = "because";
/// The form field with the way in which the family was contacted.
pub const WAY: &str = "way";
/// The form field that states whether the family was reached.
pub const REACHED: &str = "reached";

/// The form.
#[derive(Debug, Clone)]
pub struct PutOffView {
    /// The child.
    pub who: Who,
    /// The calls that can be put off: in the list today, and of a lower urgency than "today".
    pub calls: Vec<Attention>,
    /// The values in the form.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The page.
#[must_use]
pub fn put_off(frame: &Frame, view: &PutOffView) -> Markup {
    let PutOffView { who, calls, filled, once } = view;
    let yes_no = What::Choice(vec![("yes", "yes"), ("no", "no")]);
    let ways = ContactWay::ALL.iter().map(|way| (way.key(), way.words())).collect();
    let fields = [
        Field::new(UNTIL, "Not before", What::Day).needed(),
        Field::new(BECAUSE, "Reason", What::Text).needed(),
        Field::new(WAY, "How you tried to reach the family", What::Choice(ways)).needed(),
        Field::new(REACHED, "Was the family reached?", yes_no).needed(),
    ];
    let body = html! {
        (parts::band(who, "Put off calls until a day", frame.today))
        (parts::error_summary(filled))
        @if calls.is_empty() {
            p.message.warning { "No call of this child can be put off today. A call that is due today must be dealt with today." }
        } @else {
            form.card.add method="post" action={ (who.href()) "/put-off" } {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::ONCE, once))
                (parts::draft(filled))
                p { "The calls you choose are removed from the list until the day you enter, and are shown below it as put off. New calls still appear." }
                fieldset {
                    legend { "Which calls" }
                    @for call in calls {
                        @let name = rule_field(call.rule);
                        @let id = parts::field_id(&name);
                        p { input type="checkbox" id=(id) name=(name) value="yes" checked[filled.value(&name) == "yes"]; " " label for=(id) { (call.text.words()) } }
                    }
                }
                @for field in &fields { (parts::field(filled, field)) }
                p.actions { button.primary type="submit" { "Put off for " (who.shown_name()) } " " a.button href="/attention" { "Leave without saving" } }
            }
        }
    };
    frame::page(frame, HelpTopic::PutOff, "Not before a day", &body)
}

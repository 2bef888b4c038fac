//! The band that identifies the child on every page about one child.

use crate::{in_language::PageLanguage, words};
use course::{Age, Course, Standing};
use maud::{Markup, html};
use messages::Sentence;
use record::{BirthOrder, ChildId, Day, Sex, Sides};

/// The identity of a child, as shown on a page so that nobody records something for the wrong child.
#[derive(Debug, Clone)]
pub struct Who {
    /// The child.
    pub id: ChildId,
    /// Full name; empty where there is only a number.
    pub name: String,
    /// Day of birth, where known.
    pub born: Option<Day>,
    /// About when, reckoned from an age, where the day of birth is not known.
    pub born_about: Option<Day>,
    /// Weeks of gestation, where known.
    pub gestation_weeks: Option<u8>,
    /// Sex, where known.
    pub sex: Option<Sex>,
    /// Hospital numbers, the current one first.
    pub numbers: Vec<String>,
    /// The affected feet; `None` where not recorded.
    pub sides: Option<Sides>,
    /// Whether the clinic still follows the child.
    pub standing: Standing,
    /// The birth order, of a twin.
    pub birth_order: Option<BirthOrder>,
    /// The other twins whose records are in the clinic, so that nobody takes one for the other.
    pub twins: Vec<Twin>,
    /// Whether the reader may not open the record: then only the numbers are known here.
    pub restricted: bool,
}

/// The other twin, as shown next to a child.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Twin {
    /// The child.
    pub id: ChildId,
    /// Its name, or a text in its place.
    pub name: String,
    /// Its birth order.
    pub order: Option<BirthOrder>,
}

impl Twin {
    /// "Bilal Osei, born second".
    fn words(&self, language: PageLanguage) -> String {
        let name = match self.name.as_str() {
            RESTRICTED_NAME => language.named("who-restricted"),
            name => name.to_owned(),
        };
        match self.order {
            None => name,
            order => format!("{name}, {}", language.birth_order(order)),
        }
    }
}

/// In place of the name of a child whose record the reader may not open.
pub const RESTRICTED_NAME: &str = "Restricted record";
/// Beside it, in place of what is not shown.
pub const RESTRICTED_HINT: &str = "age and feet are not shown to you";

impl Who {
    /// The identity from a course. The names of twins are in other records: the caller adds them.
    #[must_use]
    pub fn of(course: &Course) -> Self {
        Self {
            id: course.child,
            name: name_of(course),
            born: course.about.born,
            born_about: course.about.born_about,
            gestation_weeks: course.about.gestation_weeks,
            sex: course.about.sex,
            numbers: course.about.numbers.clone(),
            sides: course.affected(),
            standing: course.standing,
            birth_order: course.birth_order(),
            twins: Vec::new(),
            restricted: false,
        }
    }

    /// A child whose record the reader may not open: its numbers are left, so that the clinic can act.
    #[must_use]
    pub fn restricted(id: ChildId, numbers: Vec<String>) -> Self {
        Self {
            id,
            name: RESTRICTED_NAME.to_owned(),
            born: None,
            born_about: None,
            gestation_weeks: None,
            sex: None,
            numbers,
            sides: None,
            standing: Standing::Active,
            birth_order: None,
            twins: Vec::new(),
            restricted: true,
        }
    }

    /// The name, or a text in its place.
    #[must_use]
    pub fn shown_name(&self) -> String {
        name_words(&self.name, &self.numbers)
    }

    /// The same on a page in a language. A name is never translated, a text in its place is.
    #[must_use]
    pub fn shown_name_in(&self, language: PageLanguage) -> String {
        match (self.restricted, self.name.trim(), self.numbers.first()) {
            (true, RESTRICTED_NAME, _) => language.named("who-restricted"),
            (_, "", Some(number)) => {
                language.text(&Sentence::new("who-no-name").with("number", number.as_str()))
            }
            (_, "", None) => language.named("who-no-name-no-number"),
            (_, name, _) => name.to_owned(),
        }
    }

    /// "Twin, born first. The other twin: Bilal Osei, born second."; `None` for a child without a twin here.
    #[must_use]
    pub fn twin_words(&self) -> Option<String> {
        self.twin_words_in(PageLanguage::English)
    }

    /// The same on a page in a language.
    #[must_use]
    pub fn twin_words_in(&self, language: PageLanguage) -> Option<String> {
        let others: Vec<String> = self.twins.iter().map(|twin| twin.words(language)).collect();
        let own = language.birth_order(self.birth_order);
        let id = if others.len() > 1 { "who-twins" } else { "who-twin" };
        let twin = Sentence::new(id).with("own", own.as_str()).with("others", others.join("; ").as_str());
        (!others.is_empty()).then(|| language.text(&twin))
    }

    /// "7 weeks", with the corrected age where the child came early; "age unknown".
    #[must_use]
    pub fn age(&self, today: Day) -> String {
        self.age_in(PageLanguage::English, today)
    }

    /// The same on a page in a language.
    #[must_use]
    pub fn age_in(&self, language: PageLanguage, today: Day) -> String {
        let Some(born) = self.born else {
            let about = |born: Day| {
                let age = language.age(Age::on(today, born, None).said());
                language.text(&Sentence::new("age-about").with("age", age.as_str()))
            };
            return self.born_about.map_or_else(|| language.named("age-unknown"), about);
        };
        let age = Age::on(today, born, self.gestation_weeks);
        let words = language.age(age.said());
        match age.corrected_days {
            // Beyond two years a corrected age is no longer usual (common practice, no source).
            Some(days) if age.months < 24 => format!("{words} ({})", corrected(language, days)),
            _ => words,
        }
    }

    /// "no. 4121" or "no number".
    #[must_use]
    pub fn number(&self) -> String {
        self.number_in(PageLanguage::English)
    }

    /// The same on a page in a language.
    #[must_use]
    pub fn number_in(&self, language: PageLanguage) -> String {
        let number =
            |number: &String| language.text(&Sentence::new("who-number").with("number", number.as_str()));
        self.numbers.first().map_or_else(|| language.named("who-no-number"), number)
    }

    /// URL of the child's page.
    #[must_use]
    pub fn href(&self) -> String {
        format!("/child/{}", self.id)
    }
}

/// The name as known on the day of the course. Nothing is known of a child whose registration is later, as on a page
/// about an earlier day or where the clock has gone back.
fn name_of(course: &Course) -> String {
    match course.registered {
        Some(_) => course.about.full_name(),
        None => format!("No registration up to {}", course.as_of.words()),
    }
}

/// A name, or a text in its place.
#[must_use]
pub fn name_words(name: &str, numbers: &[String]) -> String {
    match (name.trim(), numbers.first()) {
        ("", Some(number)) => format!("No name, number {number}"),
        ("", None) => "No name, no number".to_owned(),
        (name, _) => name.to_owned(),
    }
}

fn corrected(language: PageLanguage, days: i32) -> String {
    let id = if days < 0 { "age-before-term" } else { "age-corrected" };
    language.text(&Sentence::new(id).with("span", language.span(days).as_str()))
}

/// "right foot", "left foot", "both feet", "no affected foot recorded".
#[must_use]
pub fn feet_words(sides: Option<Sides>) -> &'static str {
    sides.map_or("no affected foot recorded", Sides::words)
}

fn standing_words(standing: Standing) -> Option<(&'static str, Day)> {
    match standing {
        Standing::Active => None,
        Standing::Discharged(day) => Some(("Discharged", day)),
        Standing::Transferred(day) => Some(("Transferred to another clinic", day)),
        Standing::Died(day) => Some(("Died", day)),
        Standing::Lost(day) => Some(("Declared lost to follow-up", day)),
    }
}

/// The band with the page's only `h1`: full name, purpose of the page, age, date of birth, number, feet.
#[must_use]
pub fn band(who: &Who, purpose: &str, today: Day) -> Markup {
    html! {
        header.band {
            h1 {
                a.band-name href=(who.href()) { (who.shown_name()) }
                @if !purpose.is_empty() { span.sr { ": " } span.band-purpose { (purpose) } }
            }
            @if who.restricted { p.hint { (who.number()) " · " (RESTRICTED_HINT) } }
            @else { dl.band-facts {
                div { dt { "Age" } dd { (who.age(today)) } }
                div { dt { "Born" } dd { (born_words(who)) } }
                div { dt { "Number" } dd { (who.numbers.first().map_or("none", String::as_str)) } }
                div { dt { "Affected" } dd { (feet_words(who.sides)) } }
                @if let Some(sex) = who.sex { div { dt { "Sex" } dd { (sex.words()) } } }
            } }
            (twin_note(who))
            @if let Some((word, day)) = standing_words(who.standing) {
                p.standing { strong { (word) } ", " (words::day(day)) }
            }
        }
    }
}

/// Both twins by name and birth order, with a link to the other record.
fn twin_note(who: &Who) -> Markup {
    let own = who.birth_order.map_or("birth order not recorded", BirthOrder::words);
    html! {
        @if !who.twins.is_empty() {
            p.twin {
                strong { "Twin, " (own) ". " } "Do not confuse with "
                @for (n, twin) in who.twins.iter().enumerate() {
                    @if n > 0 { "; " }
                    a href={ "/child/" (twin.id) } { (twin.name) }
                    @if let Some(order) = twin.order { ", " (order.words()) }
                }
                "."
            }
        }
    }
}

/// "12 May 2024"; "about 12 May 2024" where it is reckoned from an age.
pub(crate) fn born_words(who: &Who) -> Markup {
    html! {
        @match (who.born, who.born_about) {
            (Some(born), _) => { (words::day(born)) }
            (None, Some(about)) => { "about " (words::day(about)) }
            (None, None) => { "not known" }
        }
    }
}

/// One line that identifies a child: link with name, then age, date of birth, number, feet.
#[must_use]
pub fn who_line(who: &Who, today: Day) -> Markup {
    who_line_in(PageLanguage::English, who, today)
}

/// The same on a page in a language.
#[must_use]
pub fn who_line_in(language: PageLanguage, who: &Who, today: Day) -> Markup {
    html! {
        span.who {
            a.who-name href=(who.href()) { (who.shown_name_in(language)) }
            span.who-facts { (who_facts_in(language, who, today)) }
            @if let Some(words) = who.twin_words_in(language) { span.who-twin { (words) } }
        }
    }
}

/// What tells a child from others beside its name: age, day of birth, number, feet.
pub(crate) fn who_facts_in(language: PageLanguage, who: &Who, today: Day) -> Markup {
    html! {
        @if who.restricted { (who.number_in(language)) " · " (language.named("who-restricted-hint")) }
        @else {
            (who.age_in(language, today)) " · "
            @match (who.born, who.born_about) {
                (Some(born), _) => { (language.named("who-born")) " " (language.time_element(born)) " · " }
                (None, Some(about)) => { (language.named("who-born-about")) " " (language.time_element(about)) " · " }
                (None, None) => {}
            }
            (who.number_in(language)) " · " (language.feet(who.sides))
        }
    }
}

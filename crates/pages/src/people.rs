//! People: who works here, with which roles; adding, renaming and disabling them, and ending their sessions.

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What},
    frame, parts,
    second_factor::{AccountEventRow, history},
    words,
};
use maud::{Markup, html};
use record::{Role, Roles, UserId};

pub use crate::fields::ACT;

/// The form field with the name shown.
pub const NAME: &str = "name";
/// The form field with the sign-in name.
pub const SIGN_IN_NAME: &str = "sign_in_name";
/// The form field with the reason of a reset.
pub const WHY: &str = "why";

/// The form field of a role.
#[must_use]
pub fn role_field(role: Role) -> String {
    format!("role_{}", role.key())
}

/// Everybody who works here.
#[derive(Debug, Clone)]
pub struct PeopleView {
    /// By sign-in name.
    pub rows: Vec<PersonRow>,
    /// The form that adds somebody.
    pub filled: Filled,
}

/// One person.
#[derive(Debug, Clone)]
pub struct PersonRow {
    /// The person.
    pub id: UserId,
    /// The name shown on entries.
    pub name: String,
    /// The name to sign in with.
    pub sign_in_name: String,
    /// Their roles.
    pub roles: Roles,
    /// Whether they are disabled.
    pub disabled: bool,
    /// When they last signed in, in words.
    pub last_sign_in: Option<String>,
    /// Until when they can choose a password of their own with a one-time password, in words; or that it expired.
    pub one_time: Option<String>,
    /// Sessions that have not ended, each in words.
    pub sessions: Vec<String>,
    /// The second factor in words.
    pub second: String,
    /// Whether there is a second factor that could be reset.
    pub has_second: bool,
}

/// A one-time password that was made just now. It is shown once and is saved nowhere.
#[derive(Debug, Clone)]
pub struct OneTimePassword {
    /// The password.
    pub text: String,
    /// Until when it can be used, in words.
    pub until: String,
}

/// One person, with what can be changed.
#[derive(Debug, Clone)]
pub struct PersonView {
    /// The person.
    pub row: PersonRow,
    /// The values of the forms, with what is wrong.
    pub filled: Filled,
    /// The one-time password, where one was made just now.
    pub one_time: Option<OneTimePassword>,
    /// Whether it is the person signed in.
    pub is_self: bool,
    /// What happened to the ways in which the person signs in, the latest first.
    pub history: Vec<AccountEventRow>,
}

/// The page of all people.
#[must_use]
pub fn people(frame: &Frame, view: &PeopleView) -> Markup {
    let (here, gone): (Vec<&PersonRow>, Vec<&PersonRow>) = view.rows.iter().partition(|row| !row.disabled);
    let body = html! {
        header.page-head { div {
            h1 { "People" }
            p.tally { (words::count(here.len() as i64, "person", "people")) " can sign in" @if !gone.is_empty() { " · " (gone.len()) " disabled" } }
        } }
        (parts::error_summary(&view.filled))
        ul.people { @for row in &here { (person_row(row)) } }
        @if !gone.is_empty() {
            details { summary { "Disabled (" (gone.len()) ")" }
                p.hint { "They cannot sign in. Their names stay on what they recorded." }
                ul.people { @for row in &gone { (person_row(row)) } }
            }
        }
        (add_form(frame, &view.filled))
    };
    frame::page(frame, HelpTopic::People, "People", &body)
}

fn person_row(row: &PersonRow) -> Markup {
    html! {
        li.person {
            div {
                a.person-name href={ "/people/" (row.id) } { (row.name) }
                p.person-facts { "signs in as " (row.sign_in_name) }
            }
            p { (words::capital(&row.roles.words())) }
            p.person-facts {
                @if row.disabled { "Disabled. " }
                @else if let Some(one_time) = &row.one_time { (one_time) " " }
                @match &row.last_sign_in { Some(at) => { "Last sign-in " (at) }, None => "Has not signed in yet" }
                @if !row.sessions.is_empty() { " · " (words::count(row.sessions.len() as i64, "session", "sessions")) }
                " · " (row.second)
            }
        }
    }
}

fn names() -> [Field; 2] {
    [
        Field::new(NAME, "Name", What::Text).needed().hint("Shown with everything the person records."),
        Field::new(SIGN_IN_NAME, "Sign-in name", What::Text).needed(),
    ]
}

fn add_form(frame: &Frame, filled: &Filled) -> Markup {
    html! {
        section aria-labelledby="add-head" {
            form.card method="post" action="/people" {
                h2 id="add-head" { "Add a person" }
                p { "A one-time password is shown once after this. The person signs in with it and chooses a password that nobody else knows." }
                (parts::csrf(&frame.csrf))
                div.grid { @for field in names() { (parts::field(filled, &field)) } }
                (roles(filled, "add"))
                button.primary type="submit" { "Add this person" }
            }
        }
    }
}

/// A box for each role, with what it allows.
fn roles(filled: &Filled, form: &str) -> Markup {
    html! {
        fieldset.roles {
            legend { "Roles " span.needed { "at least one" } }
            (parts::field_error(filled, "roles"))
            @for role in Role::ALL {
                @let (name, id) = (role_field(role), format!("{form}-{}", role.key()));
                p.check {
                    input type="checkbox" id=(id) name=(name) value="yes" checked[filled.value(&name) == "yes"];
                    label for=(id) { (words::capital(role.words())) span.hint { (role.does()) } }
                }
            }
        }
    }
}

/// The page of one person.
#[must_use]
pub fn person(frame: &Frame, view: &PersonView) -> Markup {
    let row = &view.row;
    let body = html! {
        header.page-head { div {
            h1 { (row.name) }
            p.tally { (words::capital(&row.roles.words())) @if row.disabled { " · disabled" } }
        } }
        (parts::error_summary(&view.filled))
        @if let Some(one_time) = &view.one_time { (handed_over(row, one_time)) }
        @else if let Some(one_time) = &row.one_time { p.message.note role="status" { (one_time) } }
        (form(frame, row, "rename", "Names", &html! {
            div.grid { @for field in names() { (parts::field(&view.filled, &field)) } }
            button type="submit" { "Save the names" }
        }))
        (form(frame, row, "roles", "Roles", &html! { (roles(&view.filled, "role")) button type="submit" { "Save the roles" } }))
        (form(frame, row, "reset", "Password", &html! {
            p { "If the password is lost: a one-time password is shown once. Sessions end, and the present password stops working." }
            button type="submit" { "Make a one-time password" }
        }))
        (second_factor(frame, view))
        (sessions(frame, row))
        (door(frame, view))
        (history(&view.history))
        p.actions { a.button href="/people" { "All people" } }
    };
    frame::page(frame, HelpTopic::People, "A person of the clinic", &body)
}

/// One of the forms about a person.
fn form(frame: &Frame, row: &PersonRow, act: &str, title: &str, contents: &Markup) -> Markup {
    html! {
        form.card method="post" action={ "/people/" (row.id) } {
            h2 { (title) }
            (parts::csrf(&frame.csrf))
            (parts::hidden(ACT, act))
            (contents)
        }
    }
}

fn handed_over(row: &PersonRow, one_time: &OneTimePassword) -> Markup {
    html! {
        section.card.one-time role="status" {
            h2 { "One-time password for " (row.name) }
            p.one-time-text { code { (one_time.text) } }
            p { "Write it down for the person now: it is not shown again. It is valid until " (one_time.until) " and works once. " (row.name) " signs in as " strong { (row.sign_in_name) } " with it, and then chooses a password." }
        }
    }
}

/// The second factor; a person resets the own one only by removing it, which asks for a code.
fn second_factor(frame: &Frame, view: &PersonView) -> Markup {
    let row = &view.row;
    let why = Field::new(WHY, "Reason", What::Text)
        .needed()
        .hint("Such as “telephone lost”. It stays in the history below.");
    let contents = html! {
        p { (row.second) "." }
        @if view.is_self { p { a href="/account/second-factor" { "Change your own second factor" } } }
        @else if row.has_second {
            p { "If telephone, passkeys and recovery codes are lost: see that it is really " (row.name) " who asks. Codes, passkeys and recovery codes are removed, sessions end, and the password alone signs in until a new one is set up." }
            (parts::field(&view.filled, &why))
            button type="submit" { "Reset the second factor" }
        }
    };
    form(frame, row, "reset-second-factor", "Second factor", &contents)
}

fn sessions(frame: &Frame, row: &PersonRow) -> Markup {
    let contents = html! {
        @if row.sessions.is_empty() { p { "Not signed in anywhere." } }
        @else {
            ul.plain { @for session in &row.sessions { li { (session) } } }
            button type="submit" { "End every session" }
        }
    };
    form(frame, row, "end", "Sessions", &contents)
}

/// Disabling and enabling.
fn door(frame: &Frame, view: &PersonView) -> Markup {
    let row = &view.row;
    if row.disabled {
        let contents = html! {
            p { "Enabled again, the person signs in with the earlier password and has the roles above." }
            button type="submit" { "Enable " (row.name) }
        };
        return form(frame, row, "enable", "Disabled", &contents);
    }
    let contents = html! {
        p { "A disabled person cannot sign in, and every session ends at once. The name stays on what was recorded." }
        @if view.is_self { p { strong { "This is your own account: you will be signed out." } } }
        button type="submit" { "Disable " (row.name) }
    };
    form(frame, row, "disable", "Disable", &contents)
}

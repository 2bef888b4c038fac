//! People, the own account, the list of the theatre, and pages as a coordinator sees them.

use super::{day, frame, in_casts, today};
use maud::Markup;
use pages::{
    AccountEventRow, AccountView, ChoosePasswordView, Frame, Here, OneTimePassword, OwnPin, OwnSession,
    PIN_AGAIN, PeopleView, PersonRow, PersonView, TheatreRow, TheatreView,
    fields::Filled,
    people::{NAME, SIGN_IN_NAME, role_field},
};
use record::{Role, Roles, Side, UserId};
use uuid::Uuid;

fn person(number: u128, name: &str, sign_in_name: &str, roles: Roles) -> PersonRow {
    PersonRow {
        id: UserId::new(Uuid::from_u128(number)),
        name: name.into(),
        sign_in_name: sign_in_name.into(),
        roles,
        disabled: false,
        last_sign_in: Some("13 May 2024, 08:04".into()),
        one_time: None,
        sessions: vec!["Since 13 May 2024, 08:04, last used 13 May 2024, 11:20".into()],
        second: "Second factor: codes, 1 passkey; 9 recovery codes left".into(),
        has_second: true,
    }
}

fn hint() -> &'static str {
    "At least 15 characters. Three or four words in a row are easy to remember."
}

pub fn history() -> Vec<AccountEventRow> {
    let row = |what: &str, why: Option<&str>| AccountEventRow {
        when: "2 May 2024, 10:31".into(),
        who: "Hanne Kvist".into(),
        what: what.into(),
        why: why.map(str::to_owned),
    };
    vec![
        row("Time-based codes were set up", None),
        row("The second factor was reset", Some("telephone lost")),
    ]
}

/// What a coordinator sees.
pub fn coordinator(here: Here) -> Frame {
    Frame { rights: Roles::NONE.with(Role::Coordinator).rights(), ..frame(here) }
}

pub fn pages() -> Vec<(&'static str, Markup)> {
    let hanne = person(1, "Hanne Kvist", "hanne", Roles::FIRST);
    let ole = PersonRow {
        one_time: Some("Has a one-time password, valid until 17 May 2024, 09:12.".into()),
        last_sign_in: None,
        sessions: Vec::new(),
        second: "No second factor yet: one is required".into(),
        has_second: false,
        ..person(2, "Ole Brandt", "ole", Roles::NONE.with(Role::Coordinator))
    };
    let gone = PersonRow {
        disabled: true,
        sessions: Vec::new(),
        ..person(3, "Rut Dahl", "rut", Roles::NONE.with(Role::Clinician))
    };
    let wrong = Filled::default()
        .with(NAME, "Ida")
        .wrong(SIGN_IN_NAME, "There is already an account with the name “ida”.");
    let list = PeopleView { rows: vec![hanne.clone(), ole.clone(), gone.clone()], filled: Filled::default() };
    let filled = |row: &PersonRow| {
        let names =
            Filled::default().with(NAME, row.name.as_str()).with(SIGN_IN_NAME, row.sign_in_name.as_str());
        row.roles.iter().fold(names, |filled, role| filled.with(role_field(role), "yes"))
    };
    let one_time = OneTimePassword { text: "k7pm-q2xd-9wta-bfr4".into(), until: "17 May 2024, 09:12".into() };
    let new = PersonView {
        filled: filled(&ole),
        row: ole,
        one_time: Some(one_time),
        is_self: false,
        history: Vec::new(),
    };
    let own =
        PersonView { filled: filled(&hanne), row: hanne, one_time: None, is_self: true, history: history() };
    let disabled =
        PersonView { filled: filled(&gone), row: gone, one_time: None, is_self: false, history: history() };
    let people = frame(Here::People);
    let mut all = vec![
        ("people", pages::people(&people, &list)),
        ("people-wrong", pages::people(&people, &PeopleView { filled: wrong, ..list })),
        ("person-new", pages::person(&people, &new)),
        ("person-self", pages::person(&people, &own)),
        ("person-disabled", pages::person(&people, &disabled)),
    ];
    all.extend(own_pages());
    all.extend(theatre());
    all
}

fn own_pages() -> Vec<(&'static str, Markup)> {
    let session = |key: &str, is_this| OwnSession {
        key: key.into(),
        words: "Since 14 May 2024, 08:04, last used 14 May 2024, 11:20".into(),
        is_this,
    };
    let account = AccountView {
        name: "Hanne Kvist".into(),
        sign_in_name: "hanne".into(),
        roles: Roles::FIRST,
        second: "Second factor: codes; 10 recovery codes left.".into(),
        sessions: vec![session("a", true), session("b", false)],
        password_hint: hint(),
        pin: Some(OwnPin {
            device: "Tablet, cast room".into(),
            is_set: true,
            is_off: true,
            hint: "4 to 8 digits, not all the same, not in a row and not a year.",
            filled: Filled::default().wrong(PIN_AGAIN, "The two PINs are not the same."),
        }),
        filled: Filled::default().wrong("old_password", "The present password is wrong."),
    };
    let choose = ChoosePasswordView {
        token: "token".into(),
        name: "Ole Brandt".into(),
        password_hint: hint(),
        filled: Filled::default(),
    };
    let outside = Frame { user: None, rights: record::Rights::NONE, ..frame(Here::Elsewhere) };
    vec![
        ("account", pages::account(&frame(Here::Account), &account)),
        ("choose-password", pages::choose_password(&outside, &choose)),
    ]
}

fn theatre() -> Vec<(&'static str, Markup)> {
    let child = in_casts("Asta");
    let row = |planned_on, feet, cautions: &[&str]| TheatreRow {
        who: child.who(),
        planned_on,
        feet,
        place: Some("Harbour theatre".into()),
        cautions: cautions.iter().map(|text| (*text).to_owned()).collect(),
        known: vec!["Weight: 5200 g on 4 May 2024.".into()],
        open: vec!["Allergies".into(), "Dorsiflexion before (left foot)".into()],
    };
    let booked = day("2024-05-07");
    let both = vec![(Side::Right, booked), (Side::Left, booked)];
    let rows = vec![
        row(Some(today() + 2), both, &["Born preterm, at 33 weeks.", "Left foot: complex or atypical."]),
        row(Some(today() - 3), vec![(Side::Left, booked)], &[]),
        row(None, vec![(Side::Right, booked)], &[]),
    ];
    let theatre = Frame { rights: Roles::NONE.with(Role::Theatre).rights(), ..frame(Here::Theatre) };
    vec![
        ("theatre", pages::theatre(&theatre, &TheatreView { rows })),
        ("theatre-none", pages::theatre(&theatre, &TheatreView { rows: Vec::new() })),
    ]
}

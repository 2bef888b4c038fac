//! Routes of signing in, of people and their accounts, of drafts and devices.

use super::{OPEN, PEOPLE, SIGNED_IN};
use crate::routes::{
    Route, account, choose_password, devices, form, form_drafts, looks, passkeys, people, restore,
    second_factor, second_step, sends, session, sign_in, start,
};
use axum::routing::{get, post};

/// Those at which a page is drawn.
pub(super) fn pages() -> Vec<Route> {
    vec![
        form("/start/{token}", OPEN, OPEN, get(start::form).post(start::set_up)),
        form("/start/{token}/restore", OPEN, OPEN, get(restore::form).post(restore::send)),
        form("/sign-in", OPEN, OPEN, get(sign_in::form).post(sign_in::sign_in)),
        form("/sign-in/second/{token}", OPEN, OPEN, get(second_step::form).post(second_step::send)),
        form("/choose-password/{token}", OPEN, OPEN, get(choose_password::form).post(choose_password::save)),
        form("/people", PEOPLE, PEOPLE, get(people::list).post(people::add)),
        form("/people/{id}", PEOPLE, PEOPLE, get(people::one).post(people::change)),
        form("/account", SIGNED_IN, SIGNED_IN, get(account::page).post(account::change_password)),
        form(
            "/account/second-factor",
            SIGNED_IN,
            SIGNED_IN,
            get(second_factor::page).post(second_factor::change),
        ),
        // Who sees and does what there follows from the locked session and the PIN or password.
        form("/unlock", OPEN, OPEN, get(session::form).post(session::unlock)),
        looks("/drafts", SIGNED_IN, get(form_drafts::list)),
        form("/devices", PEOPLE, PEOPLE, get(devices::list).post(devices::expect)),
        // Which devices may come to them is asked before: `admission`.
        form("/enrol", OPEN, OPEN, get(devices::enrol_form).post(devices::enrol)),
        looks("/trust", OPEN, get(devices::trust)),
    ]
}

/// Those that save, redirect or return a file, and draw a page only if something is refused.
pub(super) fn actions() -> Vec<Route> {
    vec![
        looks("/demo/{token}", OPEN, get(sign_in::by_link)),
        sends("/sign-in/passkey", OPEN, post(passkeys::sign_in)),
        sends(pages::second_factor::CHALLENGE_PATH, OPEN, post(passkeys::challenge)),
        sends("/sign-out", SIGNED_IN, post(sign_in::sign_out)),
        sends("/account/end", SIGNED_IN, post(account::end_session)),
        sends("/account/language", SIGNED_IN, post(account::change_language)),
        sends("/account/pin", SIGNED_IN, post(account::change_pin)),
        // Tells nothing but how long the own session lasts.
        looks("/session", OPEN, get(session::state)),
        sends("/session/stay", SIGNED_IN, post(session::stay)),
        sends("/session/lock", SIGNED_IN, post(session::lock)),
        // Takes a form for the person whose token it carries, and shows nothing.
        sends("/draft", OPEN, post(form_drafts::save)),
        sends("/drafts/discard", SIGNED_IN, post(form_drafts::discard)),
        sends("/devices/{id}/remove", PEOPLE, post(devices::remove)),
        looks(pages::CERTIFICATE_PATH, OPEN, get(devices::certificate)),
    ]
}

//! A tablet that several people use: switching by PIN, drafts, and the end of a session over a filled form; and the
//! own clinic beside the invented one. The children are invented.

use crate::{
    TODAY,
    clinic::Clinic,
    journey::tap,
    run,
    tab::{Browsing, Tab},
};
use std::time::Duration;

const MAREN: &str = "maren";
const TOVE: &str = "tove";
const PASSWORD: &str = "invented clinic";
const MARENS_PIN: &str = "4071";
const TOVES_PIN: &str = "9036";

async fn sign_in(tab: &Tab, clinic: &Clinic, name: &str) {
    tab.go(&clinic.at("/sign-in")).await;
    fill_sign_in(tab, name).await;
    tab.says("Sign out").await;
}

async fn fill_sign_in(tab: &Tab, name: &str) {
    tab.type_into("#f-sign-in-name", name).await;
    tab.type_into("#f-password", PASSWORD).await;
    tab.click_on(&tab.named("Sign in").await).await;
}

async fn set_pin(tab: &Tab, clinic: &Clinic, pin: &str) {
    tab.go(&clinic.at("/account")).await;
    tab.type_into("#f-pin", pin).await;
    tab.type_into("#f-pin-again", pin).await;
    tab.type_into("#f-pin-password", PASSWORD).await;
    tab.click_on(&tab.named("Set the PIN").await).await;
    tab.says("The PIN is set on this device.").await;
}

/// Types a PIN on the keypad of the lock, with a finger.
async fn type_pin(tab: &Tab, pin: &str) {
    for digit in pin.chars() {
        tab.click(&format!("dialog [data-digit='{digit}']")).await;
    }
}

async fn covered(tab: &Tab) {
    tab.until("the lock", "document.querySelector('dialog.cover[open] form') !== null").await;
}

async fn uncovered(tab: &Tab) {
    tab.until("the page", "document.querySelector('dialog.cover') === null").await;
}

/// A child of the invented clinic whose visit can be recorded, as the address of its page.
async fn a_child(tab: &Tab, clinic: &Clinic) -> String {
    tab.go(&clinic.at("/day")).await;
    tab.eval("new URL(document.querySelector('main a[href*=\"/visit\"]').href).pathname.split('/visit')[0]")
        .await
}

/// Fills in a sign, and waits until it is saved as a draft.
async fn begin_a_visit(tab: &Tab, clinic: &Clinic, child: &str) -> String {
    tab.go(&clinic.at(&format!("{child}/visit"))).await;
    let side: String =
        tab.eval("document.querySelector('input[name$=\".medial_crease\"]').name.split('.')[0]").await;
    let name = format!("{side}.medial_crease");
    tap(tab, &name, "0.5").await;
    tab.part_says(".draft-state", "Draft saved").await;
    name
}

async fn ticked(tab: &Tab, name: &str) -> String {
    tab.eval(&format!("document.querySelector(\"input[name='{name}']:checked\")?.value ?? 'none'")).await
}

/// Maren and Tove, both with a PIN on one tablet; Maren uses it.
async fn two_people(tab: &Tab, clinic: &Clinic) {
    tab.size(820, 1180).await;
    tab.touch().await;
    sign_in(tab, clinic, MAREN).await;
    set_pin(tab, clinic, MARENS_PIN).await;
    tab.click(&tab.named_in("header", "Switch").await).await;
    covered(tab).await;
    tab.click_on(&tab.named_in("dialog", "Somebody else, with a password").await).await;
    fill_sign_in(tab, TOVE).await;
    set_pin(tab, clinic, TOVES_PIN).await;
    switch(tab, "Maren", MARENS_PIN).await;
}

/// Switches the tablet to another person, whose page is opened then.
async fn switch(tab: &Tab, name: &str, pin: &str) {
    tab.click(&tab.named_in("header", "Switch").await).await;
    covered(tab).await;
    tab.click(&tab.named_in("dialog", name).await).await;
    tab.until("the keypad", "document.querySelector('dialog [data-keypad]:not([hidden])') !== null").await;
    type_pin(tab, pin).await;
    tab.click_on(&tab.named_in("dialog", "Switch to").await).await;
}

async fn user(tab: &Tab) -> String {
    tab.text_of("header .user").await
}

#[test]
fn a_tablet_is_switched_between_two_people_by_pin() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        two_people(&tab, &clinic).await;
        assert!(user(&tab).await.contains("Maren"), "{}", user(&tab).await);

        let child = a_child(&tab, &clinic).await;
        let sign = begin_a_visit(&tab, &clinic, &child).await;
        switch(&tab, "Tove", TOVES_PIN).await;
        assert!(user(&tab).await.contains("Tove"), "{}", user(&tab).await);
        assert_eq!(tab.path().await, format!("{child}/visit"), "the page stays for who may see it");
        assert_eq!(ticked(&tab, &sign).await, "", "what another person filled in is shown");
        assert!(!tab.text().await.contains("not saved"), "the draft of another person is shown");

        switch(&tab, "Maren", MARENS_PIN).await;
        tab.go(&clinic.at(&format!("{child}/visit"))).await;
        tab.part_says(".restored", "restored: not saved yet").await;
        assert_eq!(ticked(&tab, &sign).await, "0.5");
        tab.click_on(".save").await;
        tab.says("The visit is saved.").await;
        tab.go(&clinic.at("/drafts")).await;
        tab.says("No drafts").await;
        assert!(tab.troubles().is_empty(), "the browser complains: {:?}", tab.troubles());
        browsing.close().await;
    });
}

#[test]
fn a_locked_page_is_covered_and_comes_back_as_it_was() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(390, 844).await;
        tab.touch().await;
        sign_in(&tab, &clinic, MAREN).await;
        set_pin(&tab, &clinic, MARENS_PIN).await;
        let child = a_child(&tab, &clinic).await;
        let sign = begin_a_visit(&tab, &clinic, &child).await;
        assert!(user(&tab).await.contains("Maren"), "who is signed in cannot be seen on a telephone");
        let name = tab.text_of(".band-name").await;
        tab.click(&tab.named_in("header", "Lock").await).await;
        covered(&tab).await;
        assert!(!tab.text().await.contains(&name), "a locked page can be read");
        let seen: bool =
            tab.eval("document.querySelector('main').checkVisibility({ visibilityProperty: true })").await;
        assert!(!seen, "the page below the lock is shown");
        // Another tab, and a page asked for by its address.
        let other = browsing.tab().await;
        other.go(&clinic.at(&child)).await;
        assert_eq!(other.path().await, "/unlock");
        assert!(!other.text().await.contains(&name), "a locked session shows a child");

        type_pin(&tab, "1111").await;
        tab.click(&tab.named_in("dialog", "Unlock").await).await;
        tab.says("The PIN is wrong").await;
        type_pin(&tab, MARENS_PIN).await;
        tab.click(&tab.named_in("dialog", "Unlock").await).await;
        uncovered(&tab).await;
        assert_eq!(ticked(&tab, &sign).await, "0.5", "the form is not as it was");
        assert_eq!(tab.text_of(".band-name").await, name);
        browsing.close().await;
    });
}

#[test]
fn a_session_ends_over_a_filled_form_and_the_visit_is_saved_after_signing_in() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        tab.touch().await;
        sign_in(&tab, &clinic, MAREN).await;
        let child = a_child(&tab, &clinic).await;
        let sign = begin_a_visit(&tab, &clinic, &child).await;

        // Somewhere else Maren ends every other session, so that this one is over.
        let elsewhere = Browsing::start().await;
        let other = elsewhere.tab().await;
        sign_in(&other, &clinic, MAREN).await;
        other.go(&clinic.at("/account")).await;
        for _ in 0..4 {
            let end = "[...document.querySelectorAll('.sessions li')].find((li) => !li.innerText.includes('this one'))?.querySelector('button')";
            if other.eval::<bool>(&format!("!({end})")).await {
                break;
            }
            other.eval::<()>(&format!("({end}).setAttribute('data-end', '')")).await;
            other.click_on("[data-end]").await;
        }

        tab.click(".save").await;
        covered(&tab).await;
        tab.says("The session has ended.").await;
        assert_eq!(tab.value("#again-name").await, MAREN);
        tab.type_into("#again-password", PASSWORD).await;
        tab.click_on(&tab.named_in("dialog", "Sign in").await).await;
        tab.says("The visit is saved.").await;
        assert!(!sign.is_empty());
        tab.go(&clinic.at("/drafts")).await;
        tab.says("No drafts").await;
        elsewhere.close().await;
        browsing.close().await;
    });
}

#[test]
fn a_notice_comes_three_minutes_before_the_end_of_a_session() {
    run(async {
        // Locked and signed out after five minutes: the notice comes after two.
        let data = tempfile::tempdir().unwrap();
        std::fs::write(data.path().join("clinic.toml"), "idle_minutes = 5\nlock_minutes = 5\n").unwrap();
        let clinic = Clinic::serve(data.path(), TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        crate::journey::make_the_account(&tab, &clinic).await;
        tokio::time::sleep(Duration::from_secs(110)).await;
        tab.says("You will be signed out in 3 minutes.").await;
        tab.click(&tab.named_in(".ending", "Stay signed in").await).await;
        tab.until("the notice to go", "document.querySelector('.ending') === null").await;
        browsing.close().await;
    });
}

#[test]
fn a_draft_outlives_a_browser_that_is_killed() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        tab.touch().await;
        sign_in(&tab, &clinic, MAREN).await;
        let child = a_child(&tab, &clinic).await;
        let sign = begin_a_visit(&tab, &clinic, &child).await;
        browsing.kill().await;

        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        sign_in(&tab, &clinic, MAREN).await;
        tab.part_says(".unsaved", "1 draft not saved").await;
        tab.click_on(".unsaved a").await;
        tab.click_on(&tab.named("Open").await).await;
        tab.part_says(".restored", "restored: not saved yet").await;
        assert_eq!(ticked(&tab, &sign).await, "0.5");

        // Another person sees nothing of it.
        let other = Browsing::start().await;
        let theirs = other.tab().await;
        theirs.size(820, 1180).await;
        sign_in(&theirs, &clinic, "osei").await;
        theirs.go(&clinic.at(&format!("{child}/visit"))).await;
        assert_eq!(ticked(&theirs, &sign).await, "", "shown to another person");
        other.close().await;

        // Signing out asks.
        tab.go(&clinic.at("/day")).await;
        tab.click_on(&tab.named_in("header", "Sign out").await).await;
        tab.says("You have 1 draft: keep it for next time, or discard it?").await;
        tab.click_on(&tab.named("Discard it and sign out").await).await;
        sign_in(&tab, &clinic, MAREN).await;
        tab.go(&clinic.at("/drafts")).await;
        tab.says("No drafts").await;
        browsing.close().await;
    });
}

#[test]
fn without_scripts_a_locked_device_is_unlocked_and_a_late_form_comes_back() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        tab.without_scripts().await;
        sign_in(&tab, &clinic, MAREN).await;
        set_pin(&tab, &clinic, MARENS_PIN).await;
        let child = a_child(&tab, &clinic).await;
        tab.go(&clinic.at(&format!("{child}/call"))).await;
        tab.type_into("textarea[name=said]", "The cast is wet.").await;
        // Locked in another tab of the same browser.
        let other = browsing.tab().await;
        other.size(820, 1180).await;
        other.without_scripts().await;
        other.go(&clinic.at("/day")).await;
        other.click_on(&other.named_in("header", "Lock").await).await;
        assert_eq!(other.path().await, "/unlock");
        tab.click("input[name=reached][value=yes] + label").await;
        tab.click_on("form.call-form button[type=submit].primary").await;
        assert_eq!(tab.path().await, "/unlock");
        tab.type_into("#unlock-pin", MARENS_PIN).await;
        tab.click_on(&tab.named("Unlock").await).await;
        tab.part_says(".restored", "restored: not saved yet").await;
        assert_eq!(tab.value("textarea[name=said]").await, "The cast is wet.");
        browsing.close().await;
    });
}

#[test]
fn the_own_clinic_and_the_invented_one_side_by_side_in_one_browser() {
    run(async {
        let data = tempfile::tempdir().unwrap();
        let own = Clinic::serve(data.path(), TODAY);
        let invented = Clinic::demo(40, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        let beside = browsing.tab().await;
        for one in [&tab, &beside] {
            one.size(1280, 900).await;
        }
        crate::journey::make_the_account(&tab, &own).await;
        sign_in(&beside, &invented, MAREN).await;
        set_pin(&beside, &invented, MARENS_PIN).await;
        for _ in 0..2 {
            tab.go(&own.at("/register")).await;
            tab.type_into("#f-family-name", "Invented").await;
            tab.part_says(".draft-state", "Draft saved").await;
            beside.go(&invented.at("/register")).await;
            beside.type_into("#f-family-name", "Other").await;
            beside.part_says(".draft-state", "Draft saved").await;
        }
        tab.go(&own.at("/register")).await;
        assert_eq!(tab.value("#f-family-name").await, "Invented");
        assert!(user(&tab).await.contains("Ida") && user(&beside).await.contains("Maren"));
        // One is locked, the other is not.
        beside.click(&beside.named_in("header", "Lock").await).await;
        covered(&beside).await;
        tab.go(&own.at("/day")).await;
        assert_eq!(tab.path().await, "/day");
        type_pin(&beside, MARENS_PIN).await;
        beside.click(&beside.named_in("dialog", "Unlock").await).await;
        uncovered(&beside).await;
        browsing.close().await;
    });
}

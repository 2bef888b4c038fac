//! Codes, recovery codes and passkeys in a real browser. The codes are computed by the browser itself from the secret
//! that the page shows (RFC 6238 with WebCrypto), passkeys come from the browser's virtual authenticator.

use crate::{
    authenticator::VirtualAuthenticator,
    clinic::Clinic,
    journey::{FIRST_VISIT, PASSWORD, begin_the_account, make_the_account},
    run, screens,
    tab::{Browsing, Finger, Tab},
};

const WINDOWS: [(u32, u32); 3] = [(390, 844), (820, 1180), (1280, 900)];

/// Keeps a picture of the page at each width, light and dark.
async fn keep(tab: &Tab, name: &str) {
    for window in WINDOWS {
        tab.size(window.0, window.1).await;
        for theme in ["light", "dark"] {
            tab.media("screen", theme).await;
            tab.settle().await;
            let wide: bool = tab.eval("document.documentElement.scrollWidth > innerWidth + 1").await;
            assert!(!wide, "{name} is wider than {}", window.0);
            screens::keep(&format!("{name}-{theme}-{}.png", window.0), &tab.whole_picture(window).await);
        }
    }
    tab.size(820, 1180).await;
    tab.media("screen", "light").await;
}

/// The code of a secret in base 32 for a step after the present one, computed in the page by WebCrypto.
async fn code(tab: &Tab, secret: &str, later: i64) -> String {
    let script = format!(
        r#"(async () => {{
            const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";
            const bits = [..."{secret}".replaceAll(" ", "")].map((c) => letters.indexOf(c).toString(2).padStart(5, "0")).join("");
            const bytes = bits.match(/.{{8}}/g).map((byte) => parseInt(byte, 2));
            const key = await crypto.subtle.importKey("raw", new Uint8Array(bytes), {{ name: "HMAC", hash: "SHA-1" }}, false, ["sign"]);
            const counter = new DataView(new ArrayBuffer(8));
            counter.setBigUint64(0, BigInt(Math.floor(Date.now() / 30000) + {later}));
            const tag = new DataView(await crypto.subtle.sign("HMAC", key, counter.buffer));
            const number = tag.getUint32(tag.getUint8(19) & 15) & 0x7fffffff;
            return String(number % 1000000).padStart(6, "0");
        }})()"#
    );
    tab.eval(&script).await
}

async fn sign_out(tab: &Tab) {
    tab.click_on("form[action='/sign-out'] button").await;
    tab.says("Sign in").await;
}

async fn password(tab: &Tab) {
    tab.type_into("#f-sign-in-name", "ida").await;
    tab.type_into("#f-password", PASSWORD).await;
    tab.click_on("form[action='/sign-in'] button").await;
}

/// Waits until somebody is signed in.
async fn inside(tab: &Tab) {
    tab.part_says("header.top", "Sign out").await;
    assert_eq!(tab.path().await, "/day");
}

/// Opens the page of the second factor and gives the password again.
async fn confirmed(tab: &Tab, clinic: &str) {
    tab.go(&format!("{clinic}/account/second-factor")).await;
    if tab.text().await.contains("Your password first") {
        tab.type_into("#f-old-password", PASSWORD).await;
        tab.click_on(&tab.named("Go on").await).await;
    }
}

/// The clinic at the name that every computer has for itself: passkeys need a name.
fn by_name(clinic: &Clinic) -> String {
    clinic.at("").replace("127.0.0.1", "localhost")
}

#[test]
fn codes_are_set_up_and_sign_in_once_and_a_recovery_code_helps_out() {
    run(async {
        let data = tempfile::tempdir().unwrap();
        let clinic = Clinic::serve(data.path(), FIRST_VISIT);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        tab.touch().await;
        make_the_account(&tab, &clinic).await;
        tab.go(&clinic.at("/account")).await;
        tab.press_on(Finger::Touch, &tab.named("Codes and passkeys").await).await;
        keep(&tab, "second-factor-password").await;
        confirmed(&tab, &clinic.at("")).await;
        tab.says("Not at this address").await;
        tab.press_on(Finger::Touch, &tab.named("Set up codes").await).await;
        keep(&tab, "second-factor-secret").await;
        let secret = tab.text_of(".secret code").await;
        tab.type_into("#f-code", &code(&tab, &secret, 0).await).await;
        tab.press_on(Finger::Touch, &tab.named("Confirm").await).await;
        tab.says("They are not shown again.").await;
        let codes = recovery_codes(&tab).await;
        keep(&tab, "second-factor-recovery-codes").await;
        screens::keep("second-factor-recovery-codes.pdf", &tab.paper().await);
        tab.press_on(Finger::Touch, &tab.named("I have saved them").await).await;
        sign_out(&tab).await;

        password(&tab).await;
        tab.says("Second step").await;
        keep(&tab, "second-step-code").await;
        let now = code(&tab, &secret, 1).await;
        tab.type_into("#f-code", &now).await;
        tab.click_on(&tab.named("Sign in").await).await;
        inside(&tab).await;
        sign_out(&tab).await;
        password(&tab).await;
        tab.type_into("#f-code", &now).await;
        tab.click_on(&tab.named("Sign in").await).await;
        tab.says("was used already").await;
        assert_eq!(tab.status().await, 422);
        keep(&tab, "second-step-refused").await;
        tab.type_into("#f-code", &codes[0]).await;
        tab.click_on(&tab.named("Sign in").await).await;
        inside(&tab).await;
        tab.go(&clinic.at("/account/second-factor")).await;
        tab.says("9 recovery codes are left.").await;
        keep(&tab, "second-factor-codes").await;
        let troubles: Vec<_> = tab.troubles().into_iter().filter(|one| !one.text.contains("422")).collect();
        assert!(troubles.is_empty(), "the browser complains: {troubles:?}");
        browsing.close().await;
    });
}

/// Sets the clinic up at its name, and adds a passkey. Returns the device that has it, and the recovery codes.
async fn with_passkey(tab: &Tab, clinic: &Clinic) -> (VirtualAuthenticator, Vec<String>) {
    make_the_account(tab, clinic).await;
    sign_out(tab).await;
    let name = by_name(clinic);
    tab.go(&format!("{name}/sign-in")).await;
    password(tab).await;
    let device = VirtualAuthenticator::of(tab).await;
    confirmed(tab, &name).await;
    tab.type_into("#f-passkey-name", "Tablet, cast room").await;
    keep(tab, "second-factor-new-passkey").await;
    tab.press_on(Finger::Touch, &tab.named("Add a passkey").await).await;
    tab.says("The passkey is added.").await;
    let codes = recovery_codes(tab).await;
    assert_eq!(device.credentials(tab).await.len(), 1);
    tab.go(&format!("{name}/account/second-factor")).await;
    tab.part_says(".sessions", "Tablet, cast room, for localhost").await;
    (device, codes)
}

async fn recovery_codes(tab: &Tab) -> Vec<String> {
    let codes: Vec<String> =
        tab.eval("[...document.querySelectorAll('.recovery-codes code')].map((e) => e.innerText)").await;
    assert_eq!(codes.len(), 10);
    codes
}

#[test]
fn a_passkey_signs_in_without_name_and_password() {
    run(async {
        let data = tempfile::tempdir().unwrap();
        let clinic = Clinic::serve(data.path(), FIRST_VISIT);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        tab.touch().await;
        let (device, _) = with_passkey(&tab, &clinic).await;
        keep(&tab, "second-factor-passkeys").await;
        sign_out(&tab).await;
        keep(&tab, "sign-in-with-passkey").await;
        tab.press_on(Finger::Touch, &tab.named("Sign in with a passkey").await).await;
        inside(&tab).await;
        tab.part_says(".foot-of-page", "Ida Brandt").await;
        sign_out(&tab).await;

        // The password alone opens nothing; the passkey is its second step.
        password(&tab).await;
        tab.says("Now your passkey.").await;
        keep(&tab, "second-step-passkey").await;
        tab.press_on(Finger::Touch, &tab.named("Use your passkey").await).await;
        inside(&tab).await;
        sign_out(&tab).await;

        // A device that does not recognise its user.
        device.verifies(&tab, false).await;
        tab.press(Finger::Touch, &tab.named("Sign in with a passkey").await).await;
        tab.says("No passkey was used").await;
        assert_eq!(tab.path().await, "/sign-in");

        // At the address of numbers the page says where passkeys work.
        tab.go(&clinic.at("/sign-in")).await;
        tab.says("Passkeys work when this page is opened as http://localhost:").await;
        assert!(tab.troubles().is_empty(), "the browser complains: {:?}", tab.troubles());
        browsing.close().await;
    });
}

/// Signs in with a recovery code, in another browser, and removes the passkey.
async fn remove_elsewhere(clinic: &Clinic, recovery: &str) {
    let browsing = Browsing::start().await;
    let tab = browsing.tab().await;
    tab.size(1280, 900).await;
    tab.go(&clinic.at("/sign-in")).await;
    password(&tab).await;
    tab.says("Your passkey works when the page is opened as http://localhost:").await;
    tab.type_into("#f-code", recovery).await;
    tab.click_on(&tab.named("Sign in").await).await;
    inside(&tab).await;
    confirmed(&tab, &clinic.at("")).await;
    tab.says("there may be a copy of it").await;
    tab.click_on(".sessions button").await;
    tab.says("The passkey is removed").await;
    browsing.close().await;
}

#[test]
fn a_copied_passkey_and_a_removed_one_are_refused() {
    run(async {
        let data = tempfile::tempdir().unwrap();
        let clinic = Clinic::serve(data.path(), FIRST_VISIT);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        tab.touch().await;
        let (device, codes) = with_passkey(&tab, &clinic).await;
        sign_out(&tab).await;
        let before = device.credentials(&tab).await;
        tab.press_on(Finger::Touch, &tab.named("Sign in with a passkey").await).await;
        inside(&tab).await;
        sign_out(&tab).await;

        // The device as it was before its last use: its counter begins again below what was seen.
        device.becomes(&tab, before).await;
        tab.press_on(Finger::Touch, &tab.named("Sign in with a passkey").await).await;
        tab.says("there may be a copy of it").await;
        assert_eq!(tab.status().await, 422);
        keep(&tab, "sign-in-copied-passkey").await;

        // The page is open, and meanwhile the passkey is removed.
        let offered = tab.named("Sign in with a passkey").await;
        remove_elsewhere(&clinic, &codes[0]).await;
        tab.press_on(Finger::Touch, &offered).await;
        tab.says("This passkey is not known here").await;
        assert_eq!(tab.status().await, 422);
        tab.go(&format!("{}/sign-in", by_name(&clinic))).await;
        assert!(!tab.text().await.contains("passkey"), "nobody has one");
        password(&tab).await;
        inside(&tab).await;
        browsing.close().await;
    });
}

#[test]
fn a_lead_on_the_clinics_network_is_led_to_set_one_up() {
    run(async {
        let data = tempfile::tempdir().unwrap();
        let clinic = Clinic::serve_network(data.path(), FIRST_VISIT);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        tab.touch().await;
        begin_the_account(&tab, &clinic).await;
        tab.says("Set up first").await;
        assert_eq!(tab.path().await, "/account/second-factor");
        keep(&tab, "second-factor-required").await;
        tab.go(&clinic.at("/day")).await;
        assert_eq!(tab.path().await, "/account/second-factor", "nothing else opens");
        tab.press_on(Finger::Touch, &tab.named("Set up codes").await).await;
        let secret = tab.text_of(".secret code").await;
        tab.type_into("#f-code", &code(&tab, &secret, 0).await).await;
        tab.press_on(Finger::Touch, &tab.named("Confirm").await).await;
        tab.press_on(Finger::Touch, &tab.named("I have saved them").await).await;
        inside(&tab).await;
        tab.go(&clinic.at("/settings")).await;
        tab.says("By default: required for leads").await;
        tab.go(&clinic.at("/people")).await;
        tab.says("Second factor: codes; 10 recovery codes left").await;
        assert!(tab.troubles().is_empty(), "the browser complains: {:?}", tab.troubles());
        browsing.close().await;
    });
}

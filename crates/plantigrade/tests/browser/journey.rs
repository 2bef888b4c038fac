//! The way of one child, from the first account to the second visit, with real touches and keys. What is
//! asserted is what the clinician reads. The child is invented.

use crate::{
    clinic::Clinic,
    run,
    tab::{Browsing, Finger, Tab},
};
use record::{Side, Sign};

pub const FIRST_VISIT: &str = "2024-05-14"; // a Tuesday
const SECOND_VISIT: &str = "2024-05-21"; // a week later
pub const PASSWORD: &str = "three geese in a row";
const NUMBER: &str = "K-4173";

/// Points of the six signs in the order of `Sign::ALL`: lateral border, medial crease, head of talus,
/// then posterior crease, rigid equinus, empty heel.
type Points = [&'static str; 6];

const FIRST_RIGHT: Points = ["1", "1", "0.5", "1", "1", "1"]; // 2.5 + 3 = 5.5
const FIRST_LEFT: Points = ["0.5", "1", "0.5", "1", "1", "0.5"]; // 2 + 2.5 = 4.5
const SECOND_RIGHT: Points = ["0.5", "1", "0.5", "1", "1", "1"]; // 2 + 3 = 5
const SECOND_LEFT: Points = ["0.5", "0.5", "0.5", "1", "1", "0.5"]; // 1.5 + 2.5 = 4

#[test]
fn from_the_first_account_to_the_second_visit() {
    run(async {
        let data = tempfile::tempdir().unwrap();
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        tab.touch().await;

        let clinic = Clinic::serve(data.path(), FIRST_VISIT);
        make_the_account(&tab, &clinic).await;
        sign_out(&tab).await;
        sign_in(&tab).await;
        find_and_register(&tab, true).await;
        first_visit(&tab).await;
        drop(clinic);

        let clinic = Clinic::serve(data.path(), SECOND_VISIT);
        assert!(
            !clinic.printed.contains("/start/"),
            "the link for the first account works once: {}",
            clinic.printed
        );
        tab.go(&clinic.at("/day")).await;
        sign_in(&tab).await;
        second_visit(&tab).await;
        correct_a_score(&tab).await;
        find_again(&tab, &clinic).await;
        sign_out(&tab).await;
        tab.go(&clinic.at("/day")).await;
        tab.says("Sign in").await;
        assert_eq!(tab.path().await, "/sign-in", "a page is shown to one who signed out");

        assert!(tab.troubles().is_empty(), "the browser complains: {:?}", tab.troubles());
        browsing.close().await;
    });
}

#[test]
fn without_scripts_a_child_is_registered_and_a_visit_recorded() {
    run(async {
        let data = tempfile::tempdir().unwrap();
        let clinic = Clinic::serve(data.path(), FIRST_VISIT);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(1280, 900).await;
        tab.without_scripts().await;
        make_the_account(&tab, &clinic).await;
        let toggle: bool = tab.eval("document.querySelector('[data-theme-toggle]').hidden").await;
        assert!(toggle, "the script ran although scripts are off");
        find_and_register(&tab, false).await;

        tab.click_on(&tab.named("Record a visit").await).await;
        for (side, points) in [(Side::Right, FIRST_RIGHT), (Side::Left, FIRST_LEFT)] {
            for (sign, point) in Sign::ALL.into_iter().zip(points) {
                tab.click(&tile(&format!("{side}.{}", sign.key()), point)).await;
            }
            tab.click(&tile(&format!("{side}.cast"), "correction")).await;
        }
        assert_eq!(total(&tab, Side::Right).await, "not scored", "a sum moved although scripts are off");
        tab.click_on(".save").await;
        tab.says("The visit is saved.").await;
        tab.says("5.5 of 6 on 14 May 2024").await;
        tab.says("4.5 of 6 on 14 May 2024").await;
        tab.says("cast 1").await;
        browsing.close().await;
    });
}

/// The tile of an answer.
fn tile(name: &str, value: &str) -> String {
    format!("input[name='{name}'][value='{value}'] + label")
}

async fn ticked(tab: &Tab, name: &str) -> String {
    tab.eval(&format!("document.querySelector(\"input[name='{name}']:checked\")?.value ?? 'none'")).await
}

/// Taps an answer with a finger; the page has taken it when this returns.
pub async fn tap(tab: &Tab, name: &str, value: &str) {
    tab.press(Finger::Touch, &tile(name, value)).await;
    let taken = format!("document.querySelector(\"input[name='{name}'][value='{value}']\").checked");
    tab.until(&format!("{name} to be {value}"), &taken).await;
}

pub async fn make_the_account(tab: &Tab, clinic: &Clinic) {
    begin_the_account(tab, clinic).await;
    tab.says("Encrypt the records?").await;
    tab.click_on(&tab.named("Go on without encryption").await).await;
    tab.says("Tuesday 14 May 2024").await;
    tab.says("Ida Brandt, physiotherapist").await;
}

/// The form of the first account.
pub async fn begin_the_account(tab: &Tab, clinic: &Clinic) {
    assert!(clinic.link.contains("/start/"), "no link for the first account: {}", clinic.printed);
    tab.go(&clinic.link).await;
    tab.says("The first account").await;
    tab.type_into("#f-name", "Ida Brandt, physiotherapist").await;
    tab.type_into("#f-sign-in-name", "ida").await;
    tab.type_into("#f-password", PASSWORD).await;
    tab.type_into("#f-password-again", PASSWORD).await;
    tab.click_on(&tab.named("Create this account").await).await;
}

async fn sign_out(tab: &Tab) {
    tab.click_on("form[action='/sign-out'] button").await;
    assert_eq!(tab.path().await, "/sign-in");
}

async fn sign_in(tab: &Tab) {
    tab.says("Sign in").await;
    tab.type_into("#f-sign-in-name", "ida").await;
    tab.type_into("#f-password", PASSWORD).await;
    tab.click_on("main button[type=submit]").await;
    assert_eq!(tab.path().await, "/day");
}

/// From any page to the record of the child.
async fn find_and_register(tab: &Tab, scripts: bool) {
    tab.click_on(".nav a[href='/find']").await;
    tab.click_on(".own-pages a[href='/register']").await;
    register(tab, scripts).await;
}

/// On the page that registers a child.
pub async fn register(tab: &Tab, scripts: bool) {
    tab.type_into("#f-family-name", "Quillfeather").await;
    tab.type_into("#f-given-name", "Isaura").await;
    tab.type_into("#f-number", NUMBER).await;
    tab.type_day("#f-born", "2024-04-30").await;
    if scripts {
        tap(tab, "sides", "both").await;
    } else {
        tab.click(&tile("sides", "both")).await;
    }
    assert_eq!(ticked(tab, "sides").await, "both");
    tab.click_on(&tab.named("Register this child").await).await;
    tab.says("The child is registered.").await;
    for words in ["Isaura Quillfeather", "2 weeks", "30 April 2024", NUMBER, "both feet", "What comes next"] {
        tab.says(words).await;
    }
}

/// What the total of a foot says.
async fn total(tab: &Tab, side: Side) -> String {
    sum(tab, side, "total").await
}

async fn sum(tab: &Tab, side: Side, which: &str) -> String {
    tab.text_of(&format!("section[aria-labelledby='{side}-foot'] .score-{which}")).await.trim().to_owned()
}

/// Taps the six tiles of a foot and reads the sums as they grow: `[midfoot, hindfoot, total]` at the end.
async fn tap_the_signs(tab: &Tab, side: Side, points: Points, sums: [&str; 3]) {
    assert_eq!(total(tab, side).await, "not scored");
    for (done, (sign, point)) in Sign::ALL.into_iter().zip(points).enumerate() {
        let name = format!("{side}.{}", sign.key());
        tap(tab, &name, point).await;
        if done == 2 {
            // Half a score is said to be half a score.
            assert_eq!(sum(tab, side, "midfoot").await, sums[0]);
            assert_eq!(sum(tab, side, "hindfoot").await, "not scored");
            assert_eq!(total(tab, side).await, "incomplete, 3 of 6 signs");
        }
    }
    for (which, expected) in ["midfoot", "hindfoot", "total"].into_iter().zip(sums) {
        assert_eq!(sum(tab, side, which).await, expected, "{side} {which}");
    }
}

async fn first_visit(tab: &Tab) {
    tab.press_on(Finger::Touch, &tab.named("Record a visit").await).await;
    tab.says("Next step, before this visit").await;
    tap_the_signs(tab, Side::Right, FIRST_RIGHT, ["2.5 of 3", "3 of 3", "5.5 of 6"]).await;
    tap_the_signs(tab, Side::Left, FIRST_LEFT, ["2 of 3", "2.5 of 3", "4.5 of 6"]).await;
    for side in Side::BOTH {
        tap(tab, &format!("{side}.cast"), "correction").await;
    }
    tab.part_says("#preview", "Next step if saved now").await;
    // The next cast is due 5 to 10 days after the last (the protocol's range): 14 + 5 = 19, 14 + 10 = 24.
    tab.part_says("#preview", "19–24 May 2024").await;
    // Days within it are offered; none is taken until it is tapped.
    assert_eq!(ticked(tab, "next.day").await, "", "a day was taken that nobody chose");
    tap(tab, "next.day", SECOND_VISIT).await;
    tab.press_on(Finger::Touch, ".save").await;

    tab.says("The visit is saved.").await;
    for words in ["5.5 of 6 on 14 May 2024", "4.5 of 6 on 14 May 2024", "cast 1", "In correction"] {
        tab.says(words).await;
    }
    next_step_with_reasons(tab).await;
}

/// The next step stands with its window; one press shows why, from which entry and from which source.
async fn next_step_with_reasons(tab: &Tab) {
    // Both feet had the same first cast on the same day, so that they share one card.
    tab.part_says(".child-next", "Both feet").await;
    tab.part_says(".child-next", "19–24 May 2024").await;
    tab.part_says(".child-main", "clinician").await;
    let why = ".child-next details.why:not(.otherwise)";
    let before: bool = tab.eval(&format!("document.querySelector({why:?}).open")).await;
    assert!(!before, "the reasons are folded at first");
    tab.click(&format!("{why} > summary")).await;
    tab.part_says(why, "14 May 2024").await;
    tab.part_says(why, "Source:").await;
    let facts: usize = tab.eval(&format!("document.querySelectorAll('{why} .fact a').length")).await;
    assert!(facts > 0, "no reason leads to its entry");
}

async fn second_visit(tab: &Tab) {
    tab.says("Tuesday 21 May 2024").await;
    tab.part_says(".day-row", "Isaura Quillfeather").await;
    tab.click_on(&tab.named("Arrived").await).await;
    tab.says("Here now").await;
    tab.press_on(Finger::Touch, &tab.named("Record visit").await).await;
    tab.says("Cast 1, on since 14 May 2024").await;
    tab.says("Last score 5.5 on 14 May 2024").await;
    assert_eq!(ticked(tab, "right.lateral_border").await, "", "last time’s answer is shown, never given");
    for side in Side::BOTH {
        tap(tab, &format!("{side}.cast_off"), "planned").await;
    }
    tap_the_signs(tab, Side::Right, SECOND_RIGHT, ["2 of 3", "3 of 3", "5 of 6"]).await;
    tap_the_signs(tab, Side::Left, SECOND_LEFT, ["1.5 of 3", "2.5 of 3", "4 of 6"]).await;
    for side in Side::BOTH {
        tap(tab, &format!("{side}.cast"), "correction").await;
    }
    // 21 + 5 = 26, 21 + 10 = 31.
    tab.part_says("#preview", "26–31 May 2024").await;
    tab.press_on(Finger::Touch, ".save").await;
    tab.says("The visit is saved.").await;
    for words in [
        "5 of 6 on 21 May 2024",
        "4 of 6 on 21 May 2024",
        "cast 2, correction, since 21 May 2024",
        "26–31 May 2024",
    ] {
        tab.says(words).await;
    }
}

/// The medial crease of the right foot was half a point, not a whole one: 1.5 + 3 = 4.5 instead of 5.
async fn correct_a_score(tab: &Tab) {
    tab.click_on(&tab.named_in(".timeline", "Right foot: Pirani 5").await).await;
    tab.says("This entry is unchanged.").await;
    tab.says("Correct this entry").await;
    tab.click(&tile("pirani.medial_crease", "0.5")).await;
    tab.click(&tile("correct_why", "value")).await;
    tab.click_on(&tab.named("Save correction").await).await;
    tab.says("The correction is saved.").await;
    tab.says("4.5 of 6 on 21 May 2024").await;
    let line = tab
        .eval::<String>("document.querySelector('.timeline .entry.corrected').innerText")
        .await
        .replace('\n', " ");
    for words in ["Pirani 4.5", "corrected", "was:", "Pirani 5"] {
        assert!(line.contains(words), "the timeline does not show the correction: {line}");
    }
    tab.part_says(".timeline", "Wrong value typed").await;
}

async fn find_again(tab: &Tab, clinic: &Clinic) {
    for typed in ["Isora Quilfether", NUMBER, "30.4.2024"] {
        tab.go(&clinic.at("/find")).await;
        tab.type_into("#q", typed).await;
        let here = "location.search.startsWith('?search=') && document.getElementById('found').innerText.includes('1 child found')";
        tab.until("results while typing", here).await;
        let address: String = tab.eval("decodeURIComponent(location.href)").await;
        assert!(!address.contains(typed), "{address}");
        let found = tab.text_of("#found").await;
        assert!(found.contains("Isaura Quillfeather") && found.contains("1 child found"), "{typed}: {found}");
    }
    tab.click_on("#found .who-name").await;
    tab.says("cast 2, correction, since 21 May 2024").await;
}

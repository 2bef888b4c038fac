//! The form of a visit under fingers and keys: what is in sight, how far the keyboard has to go, and what follows
//! the form while it is filled in.

use crate::{
    TODAY,
    clinic::Clinic,
    run, stops,
    tab::{Browsing, Finger, Key, Tab},
};
use record::{Side, Sign};

/// Both feet in casts, and both in a brace, in the invented clinic.
const IN_CASTS: u32 = 15;
const IN_BRACE: u32 = 27;
/// The most presses of the tab key for a visit of two feet.
const TAB_STOPS: usize = 30;

async fn form_of(tab: &Tab, clinic: &Clinic, child: u32) {
    let path = stops::child(tab, child).await;
    tab.go(&clinic.at(&format!("{path}/visit"))).await;
}

fn chosen(name: &str) -> String {
    format!("document.querySelector(\"input[name='{name}']:checked\")?.value")
}

async fn tap(tab: &Tab, name: &str, value: &str) {
    tab.press(Finger::Touch, &format!("input[name='{name}'][value='{value}'] + label")).await;
    tab.until(&format!("{name} to be {value}"), &format!("{} === '{value}'", chosen(name))).await;
}

/// Where the buttons of the first sign end, and where what can be seen ends: at the window's edge or at the bar that
/// lies above it.
const FIRST_SIGN: &str = "(() => {
    const row = document.querySelector('.foot .sign-tiles .tile-row').getBoundingClientRect();
    const bar = document.querySelector('.bar');
    const sticky = getComputedStyle(bar).position === 'sticky';
    const end = sticky ? Math.min(innerHeight, bar.getBoundingClientRect().top) : innerHeight;
    return [Math.round(row.top), Math.round(row.bottom), Math.round(end), scrollY]; })()";

#[test]
fn the_first_sign_is_in_sight_without_scrolling() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.go(&clinic.link).await;
        for (width, height) in [(390, 844), (820, 1180), (1280, 800)] {
            tab.size(width, height).await;
            for child in [IN_CASTS, IN_BRACE] {
                form_of(&tab, &clinic, child).await;
                tab.settle().await;
                let [top, bottom, end, scrolled]: [i32; 4] = tab.eval(FIRST_SIGN).await;
                println!("{width}×{height}, child {child}: first sign {top} to {bottom} of {end}");
                assert_eq!(scrolled, 0);
                assert!(
                    bottom <= end,
                    "{width}×{height}: the first sign ends at {bottom}, and {end} is in sight"
                );
            }
        }
        browsing.close().await;
    });
}

#[test]
fn a_visit_of_two_feet_is_recorded_by_keyboard_alone() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(1280, 900).await;
        tab.go(&clinic.link).await;
        form_of(&tab, &clinic, IN_CASTS).await;
        let mut stops = tab.tab_to("the link past the navigation", "e.matches('.skip')").await;
        tab.press_key(Key::Enter).await;
        for side in Side::BOTH {
            for sign in Sign::ALL {
                // The arrow leads from the last answer, not assessed, to the first.
                stops += answer(&tab, &format!("{side}.{}", sign.key()), "0").await;
            }
            stops += jump(&tab, &format!("{side}.cast_off")).await;
            stops += answer(&tab, &format!("{side}.cast_off"), "planned").await;
            stops += answer(&tab, &format!("{side}.cast"), "correction").await;
            let next = if side == Side::Right { "left.lateral_border" } else { "next.day" };
            stops += jump(&tab, next).await;
        }
        tab.press_key(Key::ArrowDown).await;
        let day: String = tab.eval(&chosen("next.day")).await;
        assert!(day.parse::<record::Day>().is_ok(), "a proposed day: {day}");
        stops += tab.tab_to("the link to the button that saves", "e.matches('.jump')").await;
        tab.press_key(Key::Enter).await;
        tab.until("the button that saves", "document.activeElement.id === 'save'").await;
        tab.enter_on().await;
        tab.says("The visit is saved.").await;
        println!("{stops} presses of the tab key");
        assert!(stops <= TAB_STOPS, "{stops} presses of the tab key");
        browsing.close().await;
    });
}

/// Goes to a question by the tab key and takes its next answer; returns the presses of the tab key.
async fn answer(tab: &Tab, name: &str, value: &str) -> usize {
    let stops = tab.tab_to(name, &format!("e.name === '{name}'")).await;
    tab.press_key(Key::ArrowDown).await;
    tab.until(&format!("{name} to be {value}"), &format!("{} === '{value}'", chosen(name))).await;
    stops
}

/// Follows the next link for the keyboard; the focus is then on this question.
async fn jump(tab: &Tab, name: &str) -> usize {
    let stops = tab.tab_to(&format!("the link to {name}"), "e.matches('.jump')").await;
    tab.press_key(Key::Enter).await;
    tab.until(name, &format!("document.activeElement.name === '{name}'")).await;
    stops
}

#[test]
fn a_negative_angle_is_entered_without_a_minus_on_the_keypad() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(390, 844).await;
        tab.touch().await;
        tab.go(&clinic.link).await;
        form_of(&tab, &clinic, IN_CASTS).await;
        let field = "#f-right-dorsiflexion-deg";
        let button = |class: &str| format!(".stepper:has({field}) .{class}");
        assert_eq!(tab.value(field).await, "", "untouched is not measured");
        tab.type_into(field, "20").await;
        tab.press(Finger::Touch, &button("step-sign")).await;
        assert_eq!(tab.value(field).await, "-20");
        tab.press(Finger::Touch, &button("step-more")).await;
        assert_eq!(tab.value(field).await, "-15");

        // The first press takes the last value, which stands dashed beside the label.
        let field = "#f-right-abduction-deg";
        let last: Option<String> =
            tab.eval(&format!("document.querySelector('.stepper:has({field})').dataset.last")).await;
        let last = last.expect("the invented child has a last value");
        tab.press(Finger::Touch, &format!(".stepper:has({field}) .step-less")).await;
        assert_eq!(tab.value(field).await, last);
        let dashed: String =
            tab.eval(&format!("getComputedStyle(document.querySelector('{field}')).outlineStyle")).await;
        assert_eq!(dashed, "dashed");
        // A sign without a number stays nothing.
        let field = "#f-left-dorsiflexion-deg";
        tab.press(Finger::Touch, &format!(".stepper:has({field}) .step-sign")).await;
        assert_eq!(tab.value(field).await, "");
        browsing.close().await;
    });
}

#[test]
fn days_and_purpose_follow_the_form() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        tab.touch().await;
        tab.go(&clinic.link).await;
        form_of(&tab, &clinic, IN_CASTS).await;
        // Details are asked with the act, not before.
        let seen = |selector: &str| format!("document.querySelector({selector:?}).checkVisibility()");
        let (material, anaesthetic) = (seen("#f-right-cast-material"), seen("#f-right-anaesthesia"));
        assert!(!tab.eval::<bool>(&material).await && !tab.eval::<bool>(&anaesthetic).await);
        for side in Side::BOTH {
            tap(&tab, &format!("{side}.cast"), "correction").await;
        }
        assert!(tab.eval::<bool>(&material).await);
        tab.part_says("#preview", "Next step if saved now").await;
        let first: String = tab.eval("document.querySelectorAll(\"input[name='next.day']\")[1].value").await;
        tap(&tab, "next.day", &first).await;
        tab.until("the purpose of that day", &format!("{} === 'cast'", chosen("next.purpose"))).await;

        for side in Side::BOTH {
            tap(&tab, &format!("{side}.tenotomy"), "done").await;
            tap(&tab, &format!("{side}.cast"), "after_tenotomy").await;
        }
        assert!(tab.eval::<bool>(&anaesthetic).await);
        // The chosen day is no longer proposed, and says so; the person decides.
        tab.part_says("#next-days", "chosen before").await;
        assert_eq!(tab.eval::<String>(&chosen("next.day")).await, first);
        tap(&tab, "next.day", "").await;
        tab.until("no purpose without a day", &format!("{} === ''", chosen("next.purpose"))).await;

        // Another day of the visit is never called today, and enter saves nothing.
        tab.part_says(".visit-when", "today").await;
        tab.press(Finger::Touch, ".visit-when > summary").await;
        tab.type_day("#f-on", "2024-05-10").await;
        let said = "document.getElementById('visit-day').textContent";
        tab.until("the changed day", &format!("{said} === 'Friday 10 May 2024, 4 days ago'")).await;
        tab.type_into("#f-right-foot-length-mm", "82").await;
        tab.press_key(Key::Enter).await;
        tab.settle().await;
        assert!(tab.path().await.ends_with("/visit"));
        assert_eq!(tab.value("#f-right-foot-length-mm").await, "82");
        tab.press_on(Finger::Touch, &tab.named("Show the form for this day").await).await;
        tab.part_says(".foot-whose", "no. SK20015").await;
        assert_eq!(tab.value("#f-right-foot-length-mm").await, "82", "what was filled in stays");
        assert!(tab.troubles().is_empty(), "the browser complains: {:?}", tab.troubles());
        browsing.close().await;
    });
}

#[test]
fn without_scripts_the_form_is_shown_again_with_the_days_that_follow() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(390, 844).await;
        tab.go(&clinic.link).await;
        let path = stops::child(&tab, IN_CASTS).await;
        tab.without_scripts().await;
        tab.go(&clinic.at(&format!("{path}/visit"))).await;
        let days =
            "[...document.querySelectorAll(\"input[name='next.day']\")].map((radio) => radio.value).join()";
        let before: String = tab.eval(days).await;
        for side in Side::BOTH {
            tab.click(&format!("input[name='{side}.tenotomy'][value='done'] + label")).await;
            tab.click(&format!("input[name='{side}.cast'][value='after_tenotomy'] + label")).await;
        }
        tab.click("input[name='right.anaesthesia'][value='local'] + label").await;
        tab.click_on(&tab.named("Show again with days that follow from the form").await).await;
        assert!(tab.path().await.ends_with("/visit"), "the form again");
        assert_ne!(tab.eval::<String>(days).await, before);
        assert_eq!(tab.eval::<String>(&chosen("right.anaesthesia")).await, "local");
        tab.part_says("#preview", "Next step if saved now").await;
        browsing.close().await;
    });
}

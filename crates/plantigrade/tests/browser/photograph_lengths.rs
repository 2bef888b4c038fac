//! The length of a foot on a phone: a drawn picture of a sole beside a card is sent, the card is proposed, its corners are
//! confirmed, heel and toe are tapped and moved under the magnifier, the length is held against the truth, and goes with
//! the consent. Once more without the script.

use crate::{
    TODAY,
    carded::{self, LENGTH_MM, points},
    clinic::Clinic,
    run, screens,
    stops::child,
    tab::{Browsing, Finger, Tab},
};

const PHONE: (u32, u32) = (390, 844);
const DESK: (u32, u32) = (1280, 900);
/// A child in casts with both feet.
const IN_CASTS: u32 = 3;

async fn fits(tab: &Tab) {
    let over: i32 = tab.eval("document.documentElement.scrollWidth - innerWidth").await;
    assert!(over <= 0, "{} is {over} px wider than the phone", tab.path().await);
}

async fn answer(tab: &Tab, summary: &str, button: &str) {
    tab.press(Finger::Touch, &tab.named(summary).await).await;
    tab.type_into("#f-relation", "mother").await;
    tab.press_on(Finger::Touch, &tab.named(button).await).await;
}

/// Sends one picture of a left sole and names it.
async fn sent(tab: &Tab, clinic: &Clinic, path: &str, file: &str) {
    tab.go(&clinic.at(&format!("{path}/photographs"))).await;
    answer(tab, "Record the family’s answer", "Consent given").await;
    tab.says("The consent is recorded.").await;
    tab.choose_files("#f-photographs", vec![file.to_owned()]).await;
    tab.press(Finger::Touch, &tab.named("Send the pictures of").await).await;
    tab.until("the picture to arrive", "location.pathname.includes('/photographs/upload/')").await;
    tab.says("Which foot or feet").await;
    tab.eval::<()>(
        "(() => { for (const [name, value] of [['feet_1', 'left'], ['view_1', 'sole']]) {
            const menu = document.querySelector(`[name=${name}]`);
            menu.value = value;
            menu.dispatchEvent(new Event('change', { bubbles: true })); } return null; })()",
    )
    .await;
    tab.type_day("#f-on", TODAY).await;
    tab.press_on(Finger::Touch, &tab.named("Save for").await).await;
    tab.says("The photographs are saved.").await;
}

/// Taps the whole picture near a point, as a finger does.
async fn tap(tab: &Tab, (x, y): (f64, f64)) {
    tab.until("the picture to load", "document.querySelector('.tapped img').complete").await;
    let tapped = format!(
        "(() => {{ const img = document.querySelector('.tapped img');
           const box = img.getBoundingClientRect();
           img.dispatchEvent(new MouseEvent('click', {{ bubbles: true,
             clientX: box.left + {x} / {} * box.width, clientY: box.top + {y} / {} * box.height }})); return null; }})()",
        carded::SIZE.0,
        carded::SIZE.1
    );
    tab.eval::<()>(&tapped).await;
}

/// Moves a point to where it is with the arrows, and confirms it.
async fn moved(tab: &Tab, number: usize, truth: (f64, f64)) {
    for (axis, truth, less, more) in [
        ("x", truth.0, "Move the point left", "Move the point right"),
        ("y", truth.1, "Move the point up", "Move the point down"),
    ] {
        for _ in 0..40 {
            let now: f64 = tab.value(&format!("#f-{axis}-{number}")).await.parse().unwrap();
            let off = truth.round() - now;
            if off == 0.0 {
                break;
            }
            let label = if off < 0.0 { less } else { more };
            tab.press(Finger::Touch, &format!(".magnifier [aria-label='{label}']")).await;
        }
    }
    tab.press(Finger::Touch, ".magnifier-right").await;
}

/// The length on the page, in whole millimetres.
async fn said_mm(tab: &Tab, selector: &str) -> f64 {
    let text = tab.text_of(selector).await;
    let (_, after) = text.split_once("left foot: ").unwrap_or_else(|| panic!("{text}"));
    after.split(' ').next().unwrap().parse().unwrap()
}

async fn measured(tab: &Tab, clinic: &Clinic, path: &str) {
    tab.go(&clinic.at(&format!("{path}/photographs/view/left/sole"))).await;
    tab.press_on(Finger::Touch, &tab.named("Measure the length").await).await;
    tab.says("in the plane of the foot").await;
    fits(tab).await;
    screens::keep("photograph-length-empty-phone.png", &tab.whole_picture(PHONE).await);
    tab.press_on(Finger::Touch, &tab.named("Look for the card").await).await;
    tab.says("it is a proposal").await;
    fits(tab).await;
    for corner in 1..=4 {
        tab.press(Finger::Touch, &format!("label[for=f-seen-{corner}]")).await;
    }
    for (number, (right, down)) in [(5, (9.0, -7.0)), (6, (-6.0, 8.0))] {
        let truth = points()[number - 1];
        tap(tab, (truth.0 + right, truth.1 + down)).await;
        moved(tab, number, truth).await;
        let how = tab.value(&format!("[name=how_{number}]")).await;
        assert!(how.starts_with("magnified "), "{how}");
    }
    screens::keep("photograph-length-phone.png", &tab.whole_picture(PHONE).await);
    tab.press_on(Finger::Touch, &tab.named("Show the length").await).await;
    tab.says("No earlier photograph of this foot has a length.").await;
    let mm = said_mm(tab, ".message.note[role=status]:last-of-type").await;
    assert!((mm - LENGTH_MM).abs() <= 1.0, "{mm} mm, in truth {LENGTH_MM} mm");
    fits(tab).await;
    screens::keep("photograph-length-answer-phone.png", &tab.whole_picture(PHONE).await);
    tab.press_on(Finger::Touch, &tab.named("Save for").await).await;
    tab.part_says("figcaption", "Length beside a card, left foot: 110 mm ±").await;
}

#[test]
fn a_length_beside_a_card_is_measured_saved_and_hidden_again() {
    run(async {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("sole.jpg");
        carded::picture(true).save(&file).unwrap();
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(PHONE.0, PHONE.1).await;
        tab.touch().await;
        tab.go(&clinic.link).await;
        let path = child(&tab, IN_CASTS).await;
        sent(&tab, &clinic, &path, file.to_str().unwrap()).await;
        measured(&tab, &clinic, &path).await;
        let file = clinic.at(&format!("{path}/record-file/record.csv"));
        let exported: bool = tab
            .eval(&format!("fetch('{file}').then((answer) => answer.text()).then((text) => text.includes('photograph_length'))"))
            .await;
        assert!(exported, "the length is in the file of the record");
        tab.go(&clinic.at(&format!("{path}/brace"))).await;
        tab.says("It does not count for the boot").await;

        tab.size(DESK.0, DESK.1).await;
        tab.go(&clinic.at(&format!("{path}/photographs/view/left/sole"))).await;
        tab.press_on(Finger::Touch, &tab.named("Measure the length").await).await;
        tap(&tab, points()[0]).await;
        screens::keep("photograph-length-desk.png", &tab.whole_picture(DESK).await);
        tab.size(PHONE.0, PHONE.1).await;
        tab.go(&clinic.at(&format!("{path}/photographs"))).await;
        answer(&tab, "The family takes its consent back", "Consent taken back").await;
        tab.says("No photograph is shown from now on.").await;
        for page in [format!("{path}/photographs"), format!("{path}/brace")] {
            tab.go(&clinic.at(&page)).await;
            assert!(!tab.text().await.contains("110 mm ±"), "{page}");
        }
        browsing.close().await;
    });
}

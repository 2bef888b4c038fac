//! A clinic encrypted at its first start: offer, passphrase, recovery sheet on paper, restart, unlocking, and the day.
//! Then the passphrase is lost, and the sheet opens the records.

use crate::{
    axe,
    clinic::Clinic,
    journey::{FIRST_VISIT, PASSWORD, begin_the_account, register},
    run, screens,
    tab::{Browsing, Tab},
};
use std::{fs, path::Path};

const PASSPHRASE: &str = "heron quay lantern";
const WINDOWS: [(u32, u32); 3] = [(390, 844), (820, 1180), (1280, 900)];

/// Looks at the page in both themes and three widths.
async fn look(tab: &Tab, name: &str) {
    for (width, height) in WINDOWS {
        tab.size(width, height).await;
        for theme in ["light", "dark"] {
            tab.media("screen", theme).await;
            tab.settle().await;
            screens::keep(&format!("{name}-{width}-{theme}.png"), &tab.whole_picture((width, height)).await);
            let wide: u32 = tab.eval("document.documentElement.scrollWidth").await;
            assert!(wide <= width, "{name} is {wide} px wide at {width}");
            let small: Vec<String> = tab.eval("[...document.querySelectorAll('main button, main input:not([type=hidden]):not([type=checkbox]), main summary, main a.button')].filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 43.5).map((e) => e.outerHTML.slice(0, 80))").await;
            assert!(small.is_empty(), "{name} at {width}: {small:?}");
            let judged = axe::judge(tab).await;
            let wrong: Vec<String> = judged
                .violations
                .iter()
                .map(|found| format!("{} at {}", found.rule, found.selector))
                .collect();
            assert!(wrong.is_empty() && judged.passed > 10, "{name} at {width}, {theme}: {wrong:?}");
        }
    }
    tab.size(390, 844).await;
    tab.media("screen", "light").await;
}

/// The sheet as it is printed: A4, a page for each sheet.
async fn paper(tab: &Tab, name: &str, pages: usize) {
    tab.media("", "light").await;
    let pdf = tab.paper().await;
    screens::keep(&format!("{name}.pdf"), &pdf);
    let sheets = pdf.windows(12).filter(|part| *part == b"/Type /Page\n").count();
    assert_eq!(sheets, pages, "{name}");
    // 595 by 842 points are A4 (ISO 216: 210 by 297 mm), to a point.
    let text = String::from_utf8_lossy(&pdf);
    let boxes: Vec<&str> =
        text.split("/MediaBox [").skip(1).filter_map(|rest| rest.split(']').next()).collect();
    assert!(!boxes.is_empty(), "{name} names no size");
    for size in boxes {
        let numbers: Vec<f64> = size.split_whitespace().map(|number| number.parse().unwrap()).collect();
        assert!((numbers[2] - 595.3).abs() < 1.5 && (numbers[3] - 841.9).abs() < 1.5, "{name}: {size}");
    }
}

async fn groups(tab: &Tab) -> Vec<String> {
    tab.eval("[...document.querySelectorAll('.code-groups li')].map((e) => e.innerText.trim())").await
}

async fn unlock(tab: &Tab, clinic: &Clinic, passphrase: &str) {
    tab.go(&clinic.at("/")).await;
    tab.says("Unlock the records").await;
    tab.type_into("#f-key", passphrase).await;
    tab.click_on(&tab.named("Unlock").await).await;
}

#[test]
fn a_clinic_is_encrypted_at_its_first_start_and_unlocked_after_the_next() {
    run(async {
        let home = tempfile::tempdir().unwrap();
        let folder = home.path().join("records");
        let clinic = Clinic::serve(&folder, FIRST_VISIT);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(390, 844).await;
        begin_the_account(&tab, &clinic).await;
        tab.says("Encrypt the records?").await;
        tab.type_into("#f-passphrase", PASSPHRASE).await;
        tab.type_into("#f-passphrase-again", PASSPHRASE).await;
        tab.type_into("#f-own-password", PASSWORD).await;
        tab.click_on(&tab.named("Show the recovery sheet").await).await;
        tab.says("Print the recovery sheet").await;
        look(&tab, "recovery-sheet").await;
        paper(&tab, "recovery-sheet", 1).await;
        let code = groups(&tab).await;
        assert_eq!(code.len(), 8, "{code:?}");
        tab.type_into("#f-last-group", &code[7]).await;
        tab.click_on(&tab.named("Encrypt the records now").await).await;
        // The page that waits goes on by itself.
        tab.until("the clinic to be open again", "document.querySelector('h1')?.innerText === 'Your clinic'")
            .await;
        tab.go(&clinic.at("/register")).await;
        register(&tab, true).await;
        tab.go(&clinic.at("/settings/encryption")).await;
        tab.says("The records on this computer are encrypted.").await;
        look(&tab, "encryption-on").await;
        let start = fs::read(folder.join("records.sqlite")).unwrap();
        assert!(!start.starts_with(b"SQLite format"), "the records are plain");
        clinic.interrupt();
        after_a_restart(&tab, &folder).await;
        the_passphrase_is_lost(&tab, &folder, &code).await;
        browsing.close().await;
    });
}

/// The page of locked records leads to the day.
async fn after_a_restart(tab: &Tab, folder: &Path) {
    let clinic = Clinic::serve(folder, FIRST_VISIT);
    assert!(clinic.printed.contains("encrypted and locked"), "{}", clinic.printed);
    tab.go(&clinic.at("/day")).await;
    tab.says("Unlock the records").await;
    look(tab, "locked").await;
    tab.click("main summary").await;
    look(tab, "locked-lost").await;
    unlock(tab, &clinic, "heron quay lanterns").await;
    tab.says("This passphrase does not open these records.").await;
    let _ = tab.troubles();
    look(tab, "locked-wrong").await;
    unlock(tab, &clinic, PASSPHRASE).await;
    tab.says("Nobody is expected on this day.").await;
    tab.says("Tuesday 14 May 2024").await;
    tab.go(&clinic.at("/find?q=Quillfeather")).await;
    tab.says("Isaura Quillfeather").await;
    clinic.interrupt();
}

/// The code of the sheet opens the records, and so do the halves of a new one.
async fn the_passphrase_is_lost(tab: &Tab, folder: &Path, code: &[String]) {
    let clinic = Clinic::serve(folder, FIRST_VISIT);
    tab.go(&clinic.at("/")).await;
    tab.click("main summary").await;
    tab.type_into("#recovery-code", &code.join(" ").to_uppercase()).await;
    tab.click_on(&tab.named("Unlock with the recovery sheet").await).await;
    tab.says("Choose a new passphrase").await;
    look(tab, "locked-new-passphrase").await;
    tab.type_into("#f-passphrase", "four quiet boats").await;
    tab.type_into("#f-passphrase-again", "four quiet boats").await;
    tab.click_on(&tab.named("Save it and unlock").await).await;
    tab.says("Nobody is expected on this day.").await;
    // A sheet in two halves, each on a page of its own.
    tab.go(&clinic.at("/settings/encryption")).await;
    tab.type_into("#f-sheet-password", PASSWORD).await;
    tab.click("#sheet-split").await;
    tab.click_on(&tab.named("Show a new recovery sheet").await).await;
    tab.says("half 2 of 2").await;
    look(tab, "recovery-sheet-halves").await;
    paper(tab, "recovery-sheet-halves", 2).await;
    let halves = groups(tab).await;
    tab.type_into("#f-last-group", &halves[15]).await;
    tab.click_on(&tab.named("Use this code from now on").await).await;
    tab.says("The new recovery code is in use.").await;
    clinic.interrupt();

    let clinic = Clinic::serve(folder, FIRST_VISIT);
    tab.go(&clinic.at("/")).await;
    tab.click("main summary").await;
    tab.type_into("#recovery-code", &halves[..8].join("-")).await;
    tab.type_into("#other-half", &halves[8..].join("-")).await;
    tab.click_on(&tab.named("Unlock with the recovery sheet").await).await;
    tab.says("Choose a new passphrase").await;
    unlock(tab, &clinic, "four quiet boats").await;
    tab.says("Nobody is expected on this day.").await;
    clinic.interrupt();
}

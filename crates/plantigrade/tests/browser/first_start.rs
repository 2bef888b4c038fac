//! The first start from nothing: account, name and days of the clinic, the first child and the first visit; and the
//! protocol changed on its page. What is asserted is what the clinician reads. The child is invented.

use crate::{
    clinic::Clinic,
    journey::{FIRST_VISIT, make_the_account, register, tap},
    run,
    tab::{Browsing, Finger, Tab, Trouble},
};

/// A form was refused on purpose: the browser reports that and nothing else.
fn refused(tab: &Tab) {
    let troubles = tab.troubles();
    let expected = |trouble: &Trouble| trouble.text.contains("422");
    assert!(!troubles.is_empty() && troubles.iter().all(expected), "{troubles:?}");
}

/// Fills the form of the clinic's name and days: Tuesdays and Thursdays.
async fn name_the_clinic(tab: &Tab) {
    tab.says("Your clinic").await;
    assert_eq!(tab.value("#f-clinic-name").await, "", "no name is proposed that nobody chose");
    tab.type_into("#f-clinic-name", "Harbour Road clinic").await;
    tab.click("label[for='f-days']").await;
    tab.click_on(&tab.named("Save and go on").await).await;
    tab.says("No weekday is ticked.").await;
    refused(tab);
    for day in ["tuesday", "thursday"] {
        tab.press(Finger::Touch, &format!("label[for='f-weekday-{day}']")).await;
    }
    tab.click_on(&tab.named("Save and go on").await).await;
    tab.says("How do you want to begin?").await;
    for way in ["Import a spreadsheet", "New child", "Look round an invented clinic", "plantigrade demo"] {
        tab.says(way).await;
    }
    tab.part_says(".mark-clinic", "Harbour Road clinic").await;
}

/// Closes Tuesday 21 May, the first clinic day on which the next cast is due.
async fn close_a_day(tab: &Tab, clinic: &Clinic) {
    tab.go(&clinic.at("/settings")).await;
    tab.type_day("#f-closed-from", "2024-05-21").await;
    tab.type_into("#f-closed-why", "training").await;
    tab.click_on(&tab.named("Add these days").await).await;
    tab.part_says(".closures", "21 May 2024: training").await;
}

/// The first visit with a cast on each foot, and the appointment that is proposed for it.
async fn first_visit(tab: &Tab) -> Vec<String> {
    tab.press_on(Finger::Touch, &tab.named("Record a visit").await).await;
    for side in ["right", "left"] {
        tap(tab, &format!("{side}.cast"), "correction").await;
    }
    // The next cast is due 5 to 10 days after the first (the protocol's range): 14 + 5 = 19, 14 + 10 = 24.
    tab.part_says("#preview", "19–24 May 2024").await;
    let days =
        "[...document.querySelectorAll(\"input[name='next.day'][value^='2024']\")].map((i) => i.value)";
    tab.eval(days).await
}

#[test]
fn the_first_start_from_nothing_to_the_first_visit() {
    run(async {
        let data = tempfile::tempdir().unwrap();
        let folder = data.path().join("not there yet");
        let clinic = Clinic::serve(&folder, FIRST_VISIT);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(390, 844).await;
        tab.touch().await;
        make_the_account(&tab, &clinic).await;
        name_the_clinic(&tab).await;
        close_a_day(&tab, &clinic).await;
        tab.go(&clinic.at("/first-steps")).await;
        tab.click_on(".ways a[href='/register']").await;
        register(&tab, true).await;
        let offered = first_visit(&tab).await;
        assert_eq!(
            offered,
            ["2024-05-23"],
            "the one clinic day of the window on which the clinic is not closed"
        );
        tap(&tab, "next.day", "2024-05-23").await;
        tab.press_on(Finger::Touch, ".save").await;
        tab.says("The visit is saved.").await;
        tab.go(&clinic.at("/day?on=2024-05-23")).await;
        tab.says("Thursday 23 May 2024").await;
        tab.part_says(".day-row", "Isaura Quillfeather").await;
        tab.go(&clinic.at("/day?on=2024-05-21")).await;
        tab.says("The clinic is closed: training.").await;
        assert!(tab.troubles().is_empty(), "the browser complains: {:?}", tab.troubles());
        browsing.close().await;
    });
}

#[test]
fn a_protocol_value_changed_on_its_page_moves_the_next_steps_and_its_history_shows_who_did_it() {
    run(async {
        let data = tempfile::tempdir().unwrap();
        let clinic = Clinic::serve(data.path(), FIRST_VISIT);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        tab.touch().await;
        make_the_account(&tab, &clinic).await;
        tab.go(&clinic.at("/register")).await;
        register(&tab, true).await;
        first_visit(&tab).await;
        tab.press_on(Finger::Touch, ".save").await;
        tab.says("The visit is saved.").await;
        let child = tab.path().await;
        tab.part_says(".child-next", "19–24 May 2024").await;

        tab.go(&clinic.at("/protocol")).await;
        tab.click_on("a.change-value[href$='casting.interval_range_days']").await;
        tab.says("5–10 days").await;
        tab.type_into("#f-value", "8").await;
        tab.type_into("#f-value-to", "6").await;
        tab.type_into("#f-why", "We see every child weekly").await;
        tab.click_on(&tab.named("Save").await).await;
        tab.part_says("#f-value-error", "the smaller first; permitted: 2–21 days").await;
        refused(&tab);
        tab.type_into("#f-value", "6").await;
        tab.type_into("#f-value-to", "8").await;
        tab.click_on(&tab.named("Save").await).await;
        tab.says("The value is saved.").await;

        // 14 + 6 = 20, 14 + 8 = 22.
        tab.go(&clinic.at(&child)).await;
        tab.part_says(".child-next", "20–22 May 2024").await;
        tab.go(&clinic.at("/protocol/history")).await;
        for words in ["5–10 days", "6–8 days", "Ida Brandt, physiotherapist", "We see every child weekly"]
        {
            tab.part_says(".history", words).await;
        }
        assert!(tab.troubles().is_empty(), "the browser complains: {:?}", tab.troubles());
        browsing.close().await;
    });
}

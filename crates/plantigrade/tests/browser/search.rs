//! The search box in the header of every page, and what a tablet shows of a child at once.

use crate::{
    TODAY,
    clinic::Clinic,
    run, stops,
    tab::{Browsing, Tab},
};

/// The number of the carer of child 3 of the invented clinic, as a person reads it.
async fn phone(tab: &Tab, clinic: &Clinic) -> String {
    tab.go(&clinic.at(&stops::child(tab, 3).await)).await;
    tab.text_of(".child-phone .phone").await
}

#[test]
fn a_child_is_found_from_any_page_by_the_telephone_of_its_carer() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.go(&clinic.link).await;
        let typed = phone(&tab, &clinic).await;
        let name = tab.text_of(".band-name").await;
        for (width, height) in [(390, 844), (820, 1180), (1280, 900)] {
            tab.size(width, height).await;
            for path in ["/day", "/results", "/register"] {
                tab.go(&clinic.at(path)).await;
                tab.type_into("#seek", &typed).await;
                tab.part_says("#found-above", &name).await;
                let list = tab.text_of("#found-above").await;
                assert!(
                    list.contains("1 child found") && list.contains("telephone"),
                    "{path} {width}: {list}"
                );
                let right: f64 =
                    tab.eval("document.querySelector('#found-above').getBoundingClientRect().right").await;
                assert!(right <= f64::from(width), "the list is cut off at {width}");
                tab.click_on("#found-above .who-name").await;
                assert_eq!(tab.text_of(".band-name").await, name, "{path}");
            }
        }
        browsing.close().await;
    });
}

#[test]
fn without_scripts_the_box_leads_to_the_page_of_what_was_found() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.go(&clinic.link).await;
        let typed = phone(&tab, &clinic).await;
        let name = tab.text_of(".band-name").await;
        tab.without_scripts().await;
        tab.go(&clinic.at("/day")).await;
        tab.type_into("#seek", &typed).await;
        tab.click_on(".seek button").await;
        assert_eq!(tab.path().await, "/find");
        let found = tab.text_of("#found").await;
        assert!(found.contains(&name) && found.contains("found because: telephone"), "{found}");
        browsing.close().await;
    });
}

/// Children of the invented clinic at ordinary stages: first visit, one foot and both feet in casts, ready, booked,
/// full time, nights, discharged.
const ORDINARY: [u32; 8] = [0, 2, 3, 5, 6, 25, 29, 33];

#[test]
fn a_tablet_shows_who_what_is_urgent_what_is_next_and_the_pictures_at_once() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.go(&clinic.link).await;
        tab.size(820, 1180).await;
        for number in ORDINARY {
            tab.go(&clinic.at(&stops::child(&tab, number).await)).await;
            // A real clinic has no line that says it is invented.
            tab.eval::<()>("document.querySelector('.invented').remove()").await;
            let ends: Vec<f64> = tab
                .eval("[...document.querySelectorAll('header.band, .child-phone, .child-attention, .child-next, svg.picture')].filter((e) => e.checkVisibility()).map((e) => e.getBoundingClientRect().bottom)")
                .await;
            assert!(ends.len() >= 5, "child {number}: {ends:?}");
            assert!(ends.is_sorted(), "child {number}: the parts stand in another order: {ends:?}");
            assert!(ends.iter().all(|end| *end <= 1180.0), "child {number}: below the fold: {ends:?}");
        }
        browsing.close().await;
    });
}

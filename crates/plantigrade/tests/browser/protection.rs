//! Who may not see a page is refused plainly and that is noted; a restricted record opens for a stated reason, on a
//! phone, without scripts.

use crate::{
    TODAY,
    clinic::Clinic,
    run, screens,
    stops::child,
    tab::{Browsing, Tab},
};

const PHONE: (u32, u32) = (390, 844);
/// A child in casts.
const IN_CASTS: u32 = 3;

async fn signed_in(browsing: &Browsing, clinic: &Clinic, name: &str) -> Tab {
    let tab = browsing.tab().await;
    tab.size(PHONE.0, PHONE.1).await;
    tab.go(&clinic.at("/sign-in")).await;
    tab.type_into("#f-sign-in-name", name).await;
    tab.type_into("#f-password", "invented clinic").await;
    tab.click_on(&tab.named("Sign in").await).await;
    tab
}

async fn follow(tab: &Tab, words: &str) {
    tab.click_on(&tab.named(words).await).await;
}

async fn fits(tab: &Tab) {
    let over: i32 = tab.eval("document.documentElement.scrollWidth - innerWidth").await;
    assert!(over <= 0, "{} is {over} px wider than the window", tab.path().await);
}

#[test]
fn a_role_that_may_not_see_a_page_is_refused_plainly_and_the_access_log_shows_it() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let (of_lead, of_coordinator) = (Browsing::start().await, Browsing::start().await);
        let lead = of_lead.tab().await;
        lead.go(&clinic.link).await;
        let path = child(&lead, IN_CASTS).await;
        let coordinator = signed_in(&of_coordinator, &clinic, "liv").await;
        coordinator.go(&clinic.at(&format!("{path}/visit"))).await;
        assert_eq!(coordinator.status().await, 403);
        coordinator.says("Your role does not allow this").await;
        coordinator.says("You may not record scores, treatment and decisions.").await;
        coordinator.says("It needs the role treating clinician or lead").await;
        fits(&coordinator).await;
        coordinator.troubles();
        lead.go(&clinic.at("/access-log?refused=yes")).await;
        let rows = lead.text_of("tbody").await;
        for words in ["Liv", "record: visit", "refused: may not record scores, treatment and decisions"] {
            assert!(rows.contains(words), "{words}: {rows}");
        }
        let href = format!("tbody a[href='{path}']");
        assert_eq!(lead.eval::<usize>(&format!("document.querySelectorAll({href:?}).length")).await, 1);
        follow(&lead, "Check every row").await;
        lead.says("nothing is wrong").await;
        of_lead.close().await;
        of_coordinator.close().await;
    });
}

#[test]
fn a_restricted_record_opens_for_a_stated_reason_and_the_lead_is_told() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let (of_lead, of_clinician) = (Browsing::start().await, Browsing::start().await);
        let lead = of_lead.tab().await;
        lead.size(PHONE.0, PHONE.1).await;
        lead.go(&clinic.link).await;
        let path = child(&lead, IN_CASTS).await;
        lead.go(&clinic.at(&path)).await;
        let name = lead.text_of("a.band-name").await;
        // The lead names a colleague and not the other one.
        lead.go(&clinic.at(&format!("{path}/restriction"))).await;
        fits(&lead).await;
        let tove = "([...document.querySelectorAll('label')].find((l) => l.innerText.startsWith('Tove')).click(), true)";
        assert!(lead.eval::<bool>(tove).await);
        lead.type_into("#f-reason", "Child of a colleague.").await;
        follow(&lead, "Restrict this record").await;
        lead.says("Restricted to Tove").await;
        let clinician = signed_in(&of_clinician, &clinic, "osei").await;
        clinician.without_scripts().await;
        clinician.go(&clinic.at("/attention")).await;
        assert!(!clinician.text().await.contains(&name), "the list names the child");
        clinician.go(&clinic.at(&path)).await;
        assert_eq!(clinician.status().await, 403);
        clinician.says("This record is restricted").await;
        assert!(!clinician.text().await.contains(&name));
        fits(&clinician).await;
        screens::keep("restricted-asked.png", &clinician.picture().await);
        clinician.click(&clinician.named("Emergency care").await).await;
        follow(&clinician, "Open the record for 60 minutes").await;
        assert_eq!(clinician.path().await, path);
        assert_eq!(clinician.text_of("a.band-name").await, name);
        clinician.troubles();
        lead.go(&clinic.at("/day")).await;
        lead.says("1 restricted record was opened by somebody not named").await;
        fits(&lead).await;
        follow(&lead, "Look and acknowledge").await;
        lead.says("Emergency care").await;
        screens::keep("restricted-told.png", &lead.whole_picture(PHONE).await);
        follow(&lead, "I have looked at these").await;
        lead.go(&clinic.at("/day")).await;
        assert!(!lead.text().await.contains("opened by somebody not named"));
        lead.go(&clinic.at("/access-log?restricted=yes")).await;
        let rows = lead.text_of("tbody").await;
        assert!(
            rows.contains("Osei") && rows.contains("opened although restricted: Emergency care"),
            "{rows}"
        );
        of_lead.close().await;
        of_clinician.close().await;
    });
}

//! What was recorded wrongly is put right in one step: wrong foot, wrong child, wrong day, a mark of the day,
//! a child registered twice, and a family that did not come. On a phone and on a tablet, once without scripts.

use crate::{
    TODAY,
    clinic::Clinic,
    run,
    stops::child,
    tab::{Browsing, Tab},
};

const PHONE: (u32, u32) = (390, 844);
const TABLET: (u32, u32) = (820, 1180);

/// A child in casts with both feet, and another.
const IN_CASTS: u32 = 3;
const OTHER: u32 = 2;

/// The invented clinic, signed in.
async fn begin((width, height): (u32, u32), scripts: bool) -> (Clinic, Browsing, Tab) {
    let clinic = Clinic::demo(60, TODAY);
    let browsing = Browsing::start().await;
    let tab = browsing.tab().await;
    tab.size(width, height).await;
    tab.go(&clinic.link).await;
    if !scripts {
        tab.without_scripts().await;
    }
    (clinic, browsing, tab)
}

/// Presses what these words name, and waits for the page it leads to.
async fn follow(tab: &Tab, words: &str) {
    tab.click_on(&tab.named(words).await).await;
}

/// Nothing is wider than the window.
async fn fits(tab: &Tab) {
    let over: i32 = tab.eval("document.documentElement.scrollWidth - innerWidth").await;
    assert!(over <= 0, "{} is {over} px wider than the window", tab.path().await);
}

/// Ticks what has to be looked at first, if there is anything.
async fn check(tab: &Tab) {
    if tab.eval::<bool>("!!document.querySelector('#f-checked')").await {
        tab.click("#f-checked").await;
    }
}

/// The last score of a foot on a child's page, as the timeline has it.
async fn scores(tab: &Tab) -> Vec<String> {
    tab.eval(
        "[...document.querySelectorAll('.day-of')].flatMap((day) => [...day.querySelectorAll('.entry:not(.withdrawn) > a:first-child')]).map((a) => a.textContent).filter((text) => text.includes('Pirani')).slice(0, 2)",
    )
    .await
}

async fn wrong_foot(tab: &Tab, clinic: &Clinic) {
    let path = child(tab, IN_CASTS).await;
    tab.go(&clinic.at(&path)).await;
    let before = scores(tab).await;
    let [right, left] = &before[..] else { panic!("two feet are scored: {before:?}") };
    assert!(right.starts_with("Right foot") && left.starts_with("Left foot"), "{before:?}");
    tab.click_on(".visit-of").await;
    fits(tab).await;
    follow(tab, "Wrong foot").await;
    fits(tab).await;
    tab.part_says(".change-list", &right.replacen("Right", "Left", 1)).await;
    follow(tab, "Exchange the feet for").await;
    tab.says("Right and left of the visit are exchanged.").await;
    let after = scores(tab).await;
    let exchanged = [right.replacen("Right", "Left", 1), left.replacen("Left", "Right", 1)];
    assert!(exchanged.iter().all(|score| after.contains(score)), "{before:?} became {after:?}");
    // One line in the record of today, and from it the way back.
    follow(tab, "recorded for the other foot: Recorded for the wrong foot").await;
    tab.click(&tab.named("Take this back").await).await;
    tab.type_into("#f-take-back-reason", "it was the right foot after all").await;
    follow(tab, "Take this back for").await;
    tab.says("The step is taken back.").await;
    assert_eq!(scores(tab).await, before);
}

async fn wrong_child(tab: &Tab, clinic: &Clinic) {
    let (path, other) = (child(tab, IN_CASTS).await, child(tab, OTHER).await);
    tab.go(&clinic.at(&other)).await;
    let name = tab.text_of(".band-name").await;
    tab.go(&clinic.at(&path)).await;
    let own = tab.text_of(".band-name").await;
    let moved = scores(tab).await;
    tab.click_on(".visit-of").await;
    tab.type_into("#q-child", "SK20002").await;
    follow(tab, "Find the child").await;
    follow(tab, &format!("Visit of {name}")).await;
    tab.part_says(".from-to", &own).await;
    tab.part_says(".from-to", &name).await;
    fits(tab).await;
    // The other child has one foot on record and the visit is about both: it is asked about.
    tab.says("The visit would be about the left foot; on record is: right foot.").await;
    tab.click("#f-checked").await;
    tab.click_on(&tab.named(&format!("Move from {own} to {name}")).await).await;
    if tab.status().await == 422 {
        tab.type_into("#f-confirm", "both feet, seen again").await;
        follow(tab, &format!("Move from {own} to {name}")).await;
    }
    tab.says("The visit is moved to the other child.").await;
    assert_ne!(scores(tab).await, moved);
    tab.go(&clinic.at(&other)).await;
    tab.part_says(".timeline", "moved here from another child").await;
    tab.part_says(".timeline", "from another record").await;
    tab.part_says(".timeline", &moved[0]).await;
}

async fn wrong_day(tab: &Tab, clinic: &Clinic) {
    let path = child(tab, 8).await;
    tab.go(&clinic.at(&path)).await;
    tab.click_on(".visit-of").await;
    let on: String = tab.eval("document.querySelector('#to-day').value").await;
    let to = (on.parse::<record::Day>().unwrap() - 1).to_string();
    // A date field without scripts takes its value as well.
    tab.type_day("#to-day", &to).await;
    follow(tab, "Show the change").await;
    tab.part_says(".change-list", "→ on").await;
    check(tab).await;
    follow(tab, "Move to").await;
    if tab.status().await == 422 {
        tab.type_into("#f-confirm", "the sheet has this day").await;
        follow(tab, "Move to").await;
    }
    tab.says("The visit is moved to the other day.").await;
    let words = to.parse::<record::Day>().unwrap().words();
    tab.part_says(".timeline", &format!("moved to {words}")).await;
}

async fn undo_arrived(tab: &Tab, clinic: &Clinic) {
    tab.go(&clinic.at("/day")).await;
    let expected = tab.text_of(".tally").await;
    follow(tab, "Arrived").await;
    tab.says("Here now").await;
    fits(tab).await;
    follow(tab, "Undo: not here").await;
    tab.says("The mark is taken back.").await;
    assert_eq!(tab.text_of(".tally").await, expected);
}

async fn did_not_come(tab: &Tab, clinic: &Clinic) {
    tab.go(&clinic.at("/day")).await;
    follow(tab, "Did not come").await;
    follow(tab, "Call the family").await;
    fits(tab).await;
    let number: String = tab.eval("document.querySelector('.numbers a[href^=\"tel:\"]').href").await;
    assert!(number.len() > 8, "{number}");
    tab.click("input[name=reached][value=yes] + label").await;
    tab.type_into("#f-said", "The bus did not run.").await;
    let first: String = tab.eval("document.querySelectorAll('input[name=day]')[1].value").await;
    tab.click(&format!("input[name=day][value='{first}'] + label")).await;
    follow(tab, "Save call for").await;
    tab.says("The call is saved.").await;
    tab.go(&clinic.at("/calls")).await;
    tab.says("1 called").await;
    tab.part_says(".day-group", "The bus did not run.").await;
    fits(tab).await;
    tab.go(&clinic.at(&format!("/day?on={first}"))).await;
    tab.says("Expected").await;
}

async fn joined(tab: &Tab, clinic: &Clinic) {
    let (kept, other) = (child(tab, 5).await, child(tab, 4).await);
    tab.go(&clinic.at(&other)).await;
    let lines = "document.querySelectorAll('.timeline .entry').length";
    let before: usize = tab.eval(lines).await;
    tab.go(&clinic.at(&format!("{kept}/join"))).await;
    tab.type_into("#q", "SK20004").await;
    tab.click_on("form.find button").await;
    tab.click_on(".found a.button").await;
    fits(tab).await;
    tab.type_into("#f-reason", "The mother showed both cards.").await;
    tab.click("#f-sure").await;
    for radio in ["detail.born", "detail.sex"] {
        let there: bool = tab.eval(&format!("!!document.querySelector(\"input[name='{radio}']\")")).await;
        if there {
            tab.click(&format!("input[name='{radio}'][value=kept]")).await;
        }
    }
    let clashes: Vec<String> = tab
        .eval("[...new Set([...document.querySelectorAll('input[name^=\"clash.\"]')].map((e) => e.name))]")
        .await;
    for clash in clashes {
        tab.click(&format!("input[name='{clash}'][value=both] + label")).await;
    }
    follow(tab, "Join both in the record of").await;
    if tab.status().await == 422 {
        tab.type_into("#f-confirm", "both feet are treated").await;
        follow(tab, "Join both in the record of").await;
    }
    tab.says("The records are joined.").await;
    tab.part_says(".timeline", "from another record").await;
    let path = tab.path().await;
    tab.go(&clinic.at(&other)).await;
    assert_eq!(tab.path().await, path, "the other record leads to the one in use");
    follow(tab, "Another record of the same child was joined to this one").await;
    tab.click(&tab.named("Take this back").await).await;
    tab.type_into("#f-take-back-reason", "they are two children").await;
    follow(tab, "Take this back for").await;
    tab.says("The step is taken back.").await;
    tab.go(&clinic.at(&other)).await;
    assert_eq!(tab.path().await, other);
    let after: usize = tab.eval(lines).await;
    assert!(after >= before, "{before} lines before, {after} after");
}

#[test]
fn on_a_phone() {
    run(async {
        let (clinic, browsing, tab) = begin(PHONE, true).await;
        wrong_foot(&tab, &clinic).await;
        wrong_child(&tab, &clinic).await;
        undo_arrived(&tab, &clinic).await;
        did_not_come(&tab, &clinic).await;
        browsing.close().await;
    });
}

#[test]
fn on_a_tablet_without_scripts() {
    run(async {
        let (clinic, browsing, tab) = begin(TABLET, false).await;
        wrong_foot(&tab, &clinic).await;
        wrong_day(&tab, &clinic).await;
        undo_arrived(&tab, &clinic).await;
        joined(&tab, &clinic).await;
        browsing.close().await;
    });
}

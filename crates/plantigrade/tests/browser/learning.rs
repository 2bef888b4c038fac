//! Learning to score on a phone: a foot is scored blind, the answer is looked at, and the next day it is asked again.

use crate::{
    TODAY,
    clinic::Clinic,
    journey::{PASSWORD, make_the_account},
    run, screens,
    tab::{Browsing, Finger, Tab},
};
use practice::{CaseKey, DrawnCase, SET};
use record::Sign;

const PHONE: (u32, u32) = (390, 844);
const NEXT_DAY: &str = "2024-05-15";
const SIGN: Sign = Sign::LateralBorder;

async fn fits(tab: &Tab) {
    let over: i32 = tab.eval("document.documentElement.scrollWidth - innerWidth").await;
    assert!(over <= 0, "{} is {over} px wider than the phone", tab.path().await);
}

/// The foot that the exercise shows.
async fn case(tab: &Tab) -> DrawnCase {
    let (seed, drawing) = (tab.value("[name=seed]").await, tab.value("[name=drawing]").await);
    DrawnCase::of(CaseKey::read(&seed, &drawing).unwrap()).unwrap()
}

/// Scores the foot of the exercise, right, and looks at the answer.
async fn score(tab: &Tab, foot: usize) {
    tab.says("Which level?").await;
    assert_eq!(tab.path().await, format!("/practice/sign/{}", SIGN.key()));
    let told: usize = tab.eval("document.querySelectorAll('.drawn-foot .line-mark').length").await;
    assert_eq!(told, 0, "what to look at is marked before the answer");
    fits(tab).await;
    screens::keep(&format!("learning-exercise-{foot}.png"), &tab.whole_picture(PHONE).await);
    let right = case(tab).await.level(SIGN);
    tab.press(Finger::Touch, &format!("input[name='level'][value='{}'] + label", right.text())).await;
    tab.press_on(Finger::Touch, &tab.named("Answer").await).await;
    tab.says("The same.").await;
    tab.says(&format!("You gave {0}, and it is drawn at {0}.", right.text())).await;
    let told: usize = tab.eval("document.querySelectorAll('.drawn-foot .line-mark').length").await;
    assert!(told > 0, "the answer marks what to look at");
    fits(tab).await;
    screens::keep(&format!("learning-answer-{foot}.png"), &tab.whole_picture(PHONE).await);
}

async fn sign_in(tab: &Tab) {
    tab.type_into("#f-sign-in-name", "ida").await;
    tab.type_into("#f-password", PASSWORD).await;
    tab.press_on(Finger::Touch, &tab.named("Sign in").await).await;
}

#[test]
fn a_sign_is_scored_blind_seen_and_asked_again_the_next_day() {
    run(async {
        let data = tempfile::tempdir().unwrap();
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(PHONE.0, PHONE.1).await;
        tab.touch().await;

        let clinic = Clinic::serve(data.path(), TODAY);
        make_the_account(&tab, &clinic).await;
        tab.go(&clinic.at("/practice")).await;
        tab.says("foot 1 of a set of 3").await;
        fits(&tab).await;
        tab.press_on(Finger::Touch, &tab.named("Score a foot: curved lateral border").await).await;
        for foot in 1..=SET {
            score(&tab, foot).await;
            if foot < SET {
                tab.press_on(Finger::Touch, &tab.named("Next foot: curved lateral border").await).await;
            }
        }
        tab.says("This sign is asked again on 15 May 2024.").await;
        tab.go(&clinic.at("/practice")).await;
        tab.says("on 15 May 2024, box 1 of 5").await;
        drop(clinic);

        let clinic = Clinic::serve(data.path(), NEXT_DAY);
        tab.go(&clinic.at("/practice")).await;
        sign_in(&tab).await;
        tab.says("due since 15 May 2024, box 1 of 5").await;
        screens::keep("learning-next-day.png", &tab.whole_picture(PHONE).await);
        // What has been due longest is asked first.
        tab.press_on(Finger::Touch, &tab.named("Score a foot: curved lateral border").await).await;
        score(&tab, SET + 1).await;
        tab.says("1 of 3 feet of this set are scored.").await;

        tab.press_on(Finger::Touch, &tab.named("Your progress").await).await;
        tab.says("4 drawn feet scored").await;
        tab.says("the same in 4 of 4").await;
        tab.says("cannot be told from 4 of at least 15 feet").await;
        fits(&tab).await;
        screens::keep("learning-progress.png", &tab.whole_picture(PHONE).await);
        // An answer of the day before, looked at again.
        tab.press_on(Finger::Touch, "#last ~ div tbody tr:last-child a").await;
        tab.says("1 of 3 feet of this set are scored.").await;
        assert_eq!(tab.path().await, "/practice/answer/1");
        assert!(tab.troubles().is_empty(), "the browser complains: {:?}", tab.troubles());
        browsing.close().await;
    });
}

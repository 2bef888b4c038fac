//! Practice on the clinic's own photographs: only with a consent, an open record and two people who agree; no page says
//! whose foot it is.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    access_log::person,
    clinic::{AMINA, Browser, Clinic, Page, TODAY},
    photographs::{answer, consented, jpeg, kept, photographs},
    photographs_in_letters::allowed,
};
use axum::http::StatusCode;
use record::{ChildId, EntryId, HalfPoint, Kind, PhotographView, Role, Side, Sign, UserId};

const PATH: &str = "/practice/photographs";
const SIGNS: [&str; 6] =
    ["lateral_border", "medial_crease", "talar_head", "posterior_crease", "rigid_equinus", "empty_heel"];

/// The right foot of a child, photographed from its sole and scored by Ida and Bo today: alike on the lateral border,
/// differently on the medial crease. Osei has scored nothing.
struct Photographed {
    clinic: Clinic,
    ida: Browser,
    bo: Browser,
    osei: Browser,
    osei_user: UserId,
    child: ChildId,
    sole: EntryId,
}

impl Photographed {
    async fn new() -> Self {
        let (clinic, mut ida) = Clinic::signed_in().await;
        let (_, mut bo) = person(&clinic, "bo", Role::Clinician).await;
        let (osei_user, osei) = person(&clinic, "osei", Role::Clinician).await;
        let child = consented(&clinic, &mut ida, AMINA).await;
        allowed(&mut ida, child, "no", "yes").await;
        let pictures = [
            ("right", PhotographView::Sole, jpeg(1)),
            ("left", PhotographView::Sole, jpeg(2)),
            ("both", PhotographView::BothFeet, jpeg(3)),
        ];
        kept(&mut ida, child, TODAY, &pictures).await;
        let visit = format!("/child/{child}/visit");
        let signs: Vec<String> = SIGNS.iter().map(|sign| format!("right.{sign}")).collect();
        let mut fields = vec![("on", TODAY), ("right.cast", "correction")];
        fields.extend(signs.iter().map(|sign| (sign.as_str(), "0.5")));
        assert_eq!(ida.send(&visit, &visit, &fields).await.status, StatusCode::SEE_OTHER);
        let first = clinic.entries(child).into_iter().find(|entry| entry.kind() == Kind::Assessment).unwrap();
        let second = format!("/child/{child}/second-score/{}", first.id);
        let given = |sign: &str| if sign == "right.medial_crease" { "1" } else { "0.5" };
        let fields: Vec<(&str, &str)> = signs.iter().map(|sign| (sign.as_str(), given(sign))).collect();
        let page = bo.send(&second, &second, &fields).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
        let soles = photographs(&clinic, child);
        let is_right = |side: &&(EntryId, record::Photograph)| side.1.side.each() == [Side::Right];
        let sole = soles.iter().find(is_right).unwrap().0;
        Self { clinic, ida, bo, osei, osei_user, child, sole }
    }

    fn path(&self, sign: Sign) -> String {
        format!("/child/{}/photographs/{}/score/{}", self.child, self.sole, sign.key())
    }

    fn saved(&self) -> Vec<(Sign, HalfPoint, HalfPoint)> {
        let rows = self.clinic.app.records.practice().on_photographs(self.osei_user).unwrap();
        rows.into_iter().map(|row| (row.sign, row.given, row.reference)).collect()
    }
}

/// Whether a page says whose foot it is.
fn names(page: &Page) -> bool {
    ["Vesterholt", "Amina", "CF-101", "18 February 2025"].iter().any(|word| page.text.contains(word))
}

#[tokio::test]
async fn a_sign_that_two_people_scored_alike_is_scored_blind_once_and_counted_apart() {
    let mut all = Photographed::new().await;
    let begin = all.osei.get(PATH).await;
    assert!(begin.shown("main").contains("1 sign to score"), "{}", begin.shown("main"));
    let path = all.path(Sign::LateralBorder);
    assert!(begin.text.contains(&path) && !names(&begin), "{}", begin.text);
    let page = all.osei.get(&path).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert!(!names(&page), "{}", page.text);
    assert_eq!(page.count("img[alt='Photograph of a right foot, sole']"), 1, "{}", page.text);
    assert!(!page.form(&path).contains_key("level"), "no level is chosen beforehand");
    let missing = all.osei.send(&path, &path, &[]).await;
    assert_eq!(missing.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", missing.text);
    assert!(missing.shown(".errors").contains("Choose a level.") && !names(&missing), "{}", missing.text);

    let form = page.form(&path);
    let sly = [("csrf", form["csrf"].as_str()), ("level", "1"), ("reference", "1")];
    let sent = all.osei.post(&path, &sly).await;
    assert_eq!((sent.status, sent.location()), (StatusCode::SEE_OTHER, path.as_str()), "{}", sent.text);
    let expected = [(Sign::LateralBorder, HalfPoint::One, HalfPoint::Half)];
    assert_eq!(all.saved(), expected);
    let shown = all.osei.get(&path).await;
    assert!(!names(&shown) && shown.count("form.practice-form") == 0, "{}", shown.text);
    let told = "You gave 1, and the two people who examined this foot both gave 0.5: yours is higher.";
    assert!(shown.shown("main").contains(told), "{}", shown.shown("main"));
    // Sent once more, with what is known now.
    let again = all.osei.post(&path, &[("csrf", form["csrf"].as_str()), ("level", "0.5")]).await;
    assert_eq!(again.status, StatusCode::SEE_OTHER);
    assert_eq!(all.saved(), expected);
    assert!(all.osei.get("/practice/progress").await.shown(".tally").contains("0 drawn feet"));
    let row = all.osei.get(PATH).await.shown("tbody tr:first-child");
    assert!(row.contains("Curved lateral border") && row.contains("0 of 1"), "{row}");
    let record = all.osei.get("/practice/record").await.shown("section[aria-labelledby=photographs]");
    assert!(record.contains("0 of 1"), "{record}");
}

#[tokio::test]
async fn without_two_who_agree_there_is_no_reference_and_who_scored_the_foot_is_not_asked() {
    let mut all = Photographed::new().await;
    // The medial crease was scored differently; what is felt, and what another view shows, is not asked on a sole.
    for sign in Sign::ALL.into_iter().filter(|sign| *sign != Sign::LateralBorder) {
        let page = all.osei.get(&all.path(sign)).await;
        assert_eq!(page.status, StatusCode::NOT_FOUND, "{sign:?}");
    }
    // The left foot was photographed and not scored, and a picture of both feet is of no one foot.
    for (entry, _) in photographs(&all.clinic, all.child).into_iter().filter(|(entry, _)| *entry != all.sole)
    {
        let path = format!("/child/{}/photographs/{entry}/score/lateral_border", all.child);
        assert_eq!(all.osei.get(&path).await.status, StatusCode::NOT_FOUND);
    }
    let path = all.path(Sign::LateralBorder);
    for browser in [&mut all.ida, &mut all.bo] {
        assert!(browser.get(PATH).await.shown("main").contains("No photograph can be scored now."));
        assert_eq!(browser.get(&path).await.status, StatusCode::NOT_FOUND);
    }
}

#[tokio::test]
async fn nothing_is_shown_or_taken_once_the_consent_is_taken_back_or_the_record_restricted() {
    let mut all = Photographed::new().await;
    let path = all.path(Sign::LateralBorder);
    let form = all.osei.get(&path).await.form(&path);
    let fields = [("csrf", form["csrf"].as_str()), ("level", "0.5")];
    answer(&mut all.ida, all.child, "withdrawn").await;
    assert_eq!(all.osei.get(&path).await.status, StatusCode::NOT_FOUND);
    assert_eq!(all.osei.post(&path, &fields).await.status, StatusCode::NOT_FOUND);
    assert!(all.osei.get(PATH).await.shown("main").contains("No photograph can be scored now."));
    // A consent to pictures in the record, and in letters, covers no practice of the staff.
    answer(&mut all.ida, all.child, "given").await;
    allowed(&mut all.ida, all.child, "yes", "no").await;
    assert_eq!(all.osei.get(&path).await.status, StatusCode::NOT_FOUND);
    assert_eq!(all.osei.post(&path, &fields).await.status, StatusCode::NOT_FOUND);
    allowed(&mut all.ida, all.child, "no", "yes").await;
    assert_eq!(all.osei.get(&path).await.status, StatusCode::OK);

    let (tove, _) = person(&all.clinic, "tove", Role::Clinician).await;
    let restriction = format!("/child/{}/restriction", all.child);
    let named = format!("person.{tove}");
    let restrict = [(named.as_str(), "yes"), ("reason", "Child of a colleague."), ("do", "restrict")];
    let page = all.ida.send(&restriction, &restriction, &restrict).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    assert_eq!(all.osei.get(&path).await.status, StatusCode::FORBIDDEN);
    assert_eq!(all.osei.post(&path, &fields).await.status, StatusCode::FORBIDDEN);
    let begin = all.osei.get(PATH).await;
    assert!(!begin.text.contains(&all.child.to_string()), "{}", begin.text);
    assert!(all.saved().is_empty());
}

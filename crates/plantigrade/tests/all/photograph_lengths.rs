//! The length of a foot on a photograph beside a card: typed, found, tapped without the script, and where it is shown.

use crate::{
    carded::{self, LENGTH_MM, points},
    clinic::{AMINA, Browser, Clinic, Page, TODAY, day},
    photographs::{answer, consented, kept, photographs},
};
use axum::http::StatusCode;
use image::{ExtendedColorType, codecs::jpeg::JpegEncoder};
use record::{Body, ChildId, EntryId, PhotographLengthMeasured, PhotographView, ScaleCard, Side};

fn jpeg(with_card: bool) -> Vec<u8> {
    let picture = carded::picture(with_card);
    let mut out = Vec::new();
    let (width, height) = picture.dimensions();
    JpegEncoder::new_with_quality(&mut out, 92)
        .encode(picture.as_raw(), width, height, ExtendedColorType::Rgb8)
        .unwrap();
    out
}

/// A sole with a card on record, and the address of the page that measures its length.
async fn with_sole(clinic: &Clinic, browser: &mut Browser, with_card: bool) -> (ChildId, EntryId, String) {
    let child = consented(clinic, browser, AMINA).await;
    kept(browser, child, TODAY, &[("left", PhotographView::Sole, jpeg(with_card))]).await;
    let entry = photographs(clinic, child)[0].0;
    (child, entry, format!("/child/{child}/photographs/{entry}/length"))
}

/// The fields of the true points, all or some.
fn fields(from: usize, to: usize) -> Vec<(String, String)> {
    let point = |n: usize| {
        let (x, y) = points()[n];
        [(format!("x_{}", n + 1), format!("{x:.0}")), (format!("y_{}", n + 1), format!("{y:.0}"))]
    };
    (from..to).flat_map(point).collect()
}

async fn send(browser: &mut Browser, path: &str, fields: &[(String, String)], act: &str) -> Page {
    let mut fields: Vec<(&str, &str)> =
        fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    fields.push(("act", act));
    browser.send(path, path, &fields).await
}

/// The length that is said, in whole millimetres.
fn said_mm(text: &str) -> f64 {
    let (_, after) = text.split_once("Length, left foot: ").unwrap_or_else(|| panic!("{text}"));
    after.split(' ').next().unwrap().parse().unwrap()
}

fn last_length(clinic: &Clinic, child: ChildId) -> PhotographLengthMeasured {
    let Body::PhotographLengthMeasured(said) = clinic.entries(child).pop().unwrap().body else { panic!() };
    said
}

/// The address of the first enlarged corner.
fn first_corner(page: &Page) -> String {
    let html = page.html();
    let image = scraper::Selector::parse(".photograph-corner img").unwrap();
    html.select(&image).next().unwrap().attr("src").unwrap().to_owned()
}

#[tokio::test]
async fn a_length_is_measured_by_typed_points_saved_and_shown() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let (child, entry, path) = with_sole(&clinic, &mut browser, true).await;
    let page = browser.get(&path).await;
    for words in ["in the plane of the foot", "where the edges would meet", "never chooses a boot"] {
        assert!(page.text.contains(words), "{words}");
    }
    let shown = send(&mut browser, &path, &fields(0, 6), "look").await;
    assert_eq!(shown.status, StatusCode::OK, "{}", shown.text);
    let said = shown.shown(".message.note");
    // Whole pixels at 7 px a millimetre move each end by at most a tenth of a millimetre.
    assert!((said_mm(&said) - LENGTH_MM).abs() <= 1.0, "{said}");
    assert!(said.contains("in the plane of the card") && said.contains("about 0."), "{said}");
    assert!(said.contains("No earlier photograph of this foot has a length."), "{said}");
    let saved = send(&mut browser, &path, &fields(0, 6), "save").await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    let length = last_length(&clinic, child);
    assert_eq!((length.photograph, length.side, length.card), (entry, Side::Left, ScaleCard::BankCard));
    // Typed without a magnifier: 3 px of error at every point.
    assert_eq!((length.corner_error_px, length.tap_error_px), (3.0, 3.0));
    assert_eq!(length.taps.points().len(), 6);
    assert!((length.length_mm - LENGTH_MM).abs() < 0.6 && length.error_mm > 1.0, "{length:?}");
    let caption = browser.get(saved.location()).await.shown("figcaption");
    assert!(caption.contains("Length beside a card, left foot: 110 mm ± "), "{caption}");
    let entries = browser.get(&format!("/child/{child}?entries=all")).await;
    assert!(entries.text.contains("on a photograph: length 110 mm"), "in the record");
    let file = browser.get(&format!("/child/{child}/record-file/record.csv")).await;
    assert!(file.text.contains("photograph_length"), "in the file of the record");
    // Beside the boots, and not for them.
    let brace = browser.get(&format!("/child/{child}/brace")).await;
    assert!(
        brace.text.contains("110 mm ± ") && brace.text.contains("does not count for the boot"),
        "{}",
        brace.text
    );
    let known = clinic.app.known(child, day(TODAY)).unwrap();
    assert!(known.outlook.course.foot_lengths.is_empty());
    // Without a consent it is gone from every page about photographs.
    answer(&mut browser, child, "withdrawn").await;
    assert_eq!(browser.get(&path).await.status, StatusCode::NOT_FOUND);
    assert_eq!(browser.get(saved.location()).await.status, StatusCode::NOT_FOUND);
    assert!(!browser.get(&format!("/child/{child}/photographs")).await.text.contains("110 mm"));
    assert!(!browser.get(&format!("/child/{child}/brace")).await.text.contains("110 mm ± "));
}

#[tokio::test]
async fn points_that_give_no_length_are_refused_and_nothing_is_saved() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let (child, _, path) = with_sole(&clinic, &mut browser, true).await;
    let before = clinic.entries(child).len();
    for (field, value, part) in [
        ("x_6", "9999", "A point is not within the picture."),
        ("x_6", "", "Tap this point"),
        ("y_2", "left", "A whole number of pixels is expected."),
        ("y_2", "250", "The card is seen at a slant of"),
        ("y_3", "10", "not the corners of a card"),
        // A found corner is confirmed by itself.
        ("how_1", "found", "Look at corner 1"),
    ] {
        let mut fields = fields(0, 6);
        let how = format!("found {},{}", fields[0].1, fields[1].1);
        let value = if value == "found" { how } else { value.to_owned() };
        fields.retain(|(name, _)| name != field);
        fields.push((field.to_owned(), value));
        let page = send(&mut browser, &path, &fields, "save").await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}: {}", page.text);
        assert!(page.shown(".errors").contains(part), "{field}: {}", page.shown(".errors"));
    }
    assert_eq!(clinic.entries(child).len(), before);
}

#[tokio::test]
async fn the_card_is_proposed_and_every_corner_confirmed() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let (child, _, path) = with_sole(&clinic, &mut browser, true).await;
    let found = send(&mut browser, &path, &fields(4, 6), "find").await;
    assert_eq!(found.status, StatusCode::OK, "{}", found.text);
    assert!(found.text.contains("it is a proposal"), "{}", found.shown(".message"));
    assert_eq!(found.count(".photograph-corner img"), 4);
    let mut proposed: Vec<(String, String)> = found.form(&path).into_iter().collect();
    proposed.retain(|(name, _)| name.starts_with(['x', 'y', 'h']));
    for (n, truth) in points().iter().enumerate().take(4) {
        let near = (1..=4).any(|m| {
            let of = |axis: &str| found.form(&path)[&format!("{axis}_{m}")].parse::<f64>().unwrap();
            (of("x") - truth.0).hypot(of("y") - truth.1) < 3.0
        });
        assert!(near, "corner {n} at {truth:?} was not found: {proposed:?}");
    }
    // What was found is asked about until each corner is ticked.
    let refused = send(&mut browser, &path, &proposed, "look").await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    for n in 1..=4 {
        assert!(refused.shown(".errors").contains(&format!("Look at corner {n}")));
        proposed.push((format!("seen_{n}"), "yes".to_owned()));
    }
    let saved = send(&mut browser, &path, &proposed, "save").await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.shown(".errors"));
    let length = last_length(&clinic, child);
    assert_eq!((length.corner_error_px, length.tap_error_px), (1.0, 3.0));
    assert!((length.length_mm - LENGTH_MM).abs() < 1.0, "{length:?}");
    // The enlarged corners are pictures of this child only, and of the size that was asked for.
    let corner = first_corner(&found);
    assert_eq!(browser.get(&corner).await.status, StatusCode::OK);
    let other = consented(&clinic, &mut browser, &[("family_name", "Brekke"), ("number", "B-1")]).await;
    let of_other = corner.replace(&child.to_string(), &other.to_string());
    assert_eq!(browser.get(&of_other).await.status, StatusCode::NOT_FOUND);
    let base = corner.rsplit_once('/').unwrap().0.to_owned();
    for part in ["1-2", "1-2-x", "99999-1-1", "1-2-3-4"] {
        assert_eq!(browser.get(&format!("{base}/{part}")).await.status, StatusCode::NOT_FOUND, "{part}");
    }
}

#[tokio::test]
async fn without_a_card_nothing_is_proposed() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let (_, _, path) = with_sole(&clinic, &mut browser, false).await;
    let page = send(&mut browser, &path, &[], "find").await;
    assert!(page.shown(".message.note").contains("No card was found"), "{}", page.text);
    assert_eq!(page.count(".photograph-corner"), 0);
}

/// A browser without the script sends where the picture was tapped, in pixels of the screen.
#[tokio::test]
async fn a_point_is_set_without_the_script_in_three_taps() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let (_, _, path) = with_sole(&clinic, &mut browser, true).await;
    let truth = points()[0];
    // The picture of 1,200 × 1,600 is shown 225 × 300; the tap is some 50 pixels of the picture off.
    let rough = [
        ("whole.x".to_owned(), format!("{:.0}", (truth.0 + 50.0) * 300.0 / 1600.0)),
        ("whole.y".to_owned(), format!("{:.0}", (truth.1 - 50.0) * 300.0 / 1600.0)),
    ];
    let mut page = send(&mut browser, &path, &rough, "").await;
    let mut spans = Vec::new();
    for _ in 0..2 {
        let (_, part) = page.text.split_once("name=\"part_shown\" value=\"").unwrap();
        let part = part.split('"').next().unwrap().to_owned();
        let numbers: Vec<f64> = part.split(' ').map(|number| number.parse().unwrap()).collect();
        let [point, x, y, span] = *numbers.as_slice() else { panic!("{part}") };
        assert_eq!(point, 0.0);
        spans.push(span);
        let tapped = |truth: f64, middle: f64| format!("{:.0}", ((truth - middle) / span + 0.5) * 300.0);
        let fields = [
            ("part_shown".to_owned(), part.clone()),
            ("part.x".to_owned(), tapped(truth.0, x)),
            ("part.y".to_owned(), tapped(truth.1, y)),
        ];
        page = send(&mut browser, &path, &fields, "").await;
    }
    assert_eq!(spans, [320.0, 60.0]);
    let form = page.form(&path);
    let off = |name: &str, truth: f64| (form[name].parse::<f64>().unwrap() - truth).abs();
    assert!(off("x_1", truth.0) <= 1.0 && off("y_1", truth.1) <= 1.0, "{form:?}");
    assert!(form["how_1"].starts_with("magnified "), "{form:?}");
    assert!(page.text.contains("Point 2, second corner of the card: tap roughly where it is"));
}

#[tokio::test]
async fn a_change_is_held_against_the_readings_that_were_repeated() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let sole = ("left", PhotographView::Sole, jpeg(true));
    kept(&mut browser, child, TODAY, &[sole.clone(), ("left", PhotographView::OuterSide, jpeg(true))]).await;
    let path = |n: usize| format!("/child/{child}/photographs/{}/length", photographs(&clinic, child)[n].0);
    let saved = send(&mut browser, &path(0), &fields(0, 6), "save").await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    // The toe 40 px or some 6 mm lower.
    let mut shorter = fields(0, 5);
    let (x, y) = points()[5];
    shorter.extend([("x_6".to_owned(), format!("{x:.0}")), ("y_6".to_owned(), format!("{:.0}", y + 40.0))]);
    let said = send(&mut browser, &path(1), &shorter, "look").await.shown(".message.note");
    assert!(said.contains("Change: −") && said.contains("no photograph has been read twice"), "{said}");
    let again = send(&mut browser, &path(0), &fields(0, 6), "save").await;
    assert_eq!(again.status, StatusCode::SEE_OTHER);
    let said = send(&mut browser, &path(1), &shorter, "look").await.shown(".message.note");
    assert!(said.contains("One reading has a standard error of 0.0 mm"), "{said}");
    assert!(said.contains("That is more than the error"), "{said}");
    let said = send(&mut browser, &path(1), &fields(0, 6), "look").await.shown(".message.note");
    assert!(said.contains("Change: 0 mm") && said.contains("That is not more than the error"), "{said}");
}

#[tokio::test]
async fn a_wrong_foot_takes_the_length_with_it_and_other_views_have_none() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let (child, entry, path) = with_sole(&clinic, &mut browser, true).await;
    send(&mut browser, &path, &fields(0, 6), "save").await;
    let known = || clinic.app.known(child, day(TODAY)).unwrap();
    assert_eq!(known().photograph_lengths(day(TODAY)).len(), 1);
    let length = clinic.entries(child).pop().unwrap().id;
    let (page, action) =
        (format!("/child/{child}/entry/{length}"), format!("/child/{child}/entry/{length}/correct"));
    let by_hand = [("side", "right"), ("correct_why", "foot")];
    let refused = browser.send(&page, &action, &by_hand).await;
    assert!(refused.text.contains("not corrected by hand"), "{}", refused.text);
    let (page, action) =
        (format!("/child/{child}/entry/{entry}"), format!("/child/{child}/entry/{entry}/correct"));
    let corrected = browser.send(&page, &action, &by_hand).await;
    assert_eq!(corrected.status, StatusCode::SEE_OTHER, "{}", corrected.text);
    assert!(known().photograph_lengths(day(TODAY)).is_empty());
    kept(&mut browser, child, TODAY, &[("left", PhotographView::Front, jpeg(false))]).await;
    let front = photographs(&clinic, child)[1].0;
    let page = browser.get(&format!("/child/{child}/photographs/{front}/length")).await;
    assert!(page.text.contains("No length is measured on this view"), "{}", page.text);
    let pair = browser.get(&format!("/child/{child}/photographs/view/left/front")).await;
    assert!(!pair.text.contains("Measure the length"), "{}", pair.text);
}

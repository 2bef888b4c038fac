//! Photographs: sent, named, shown under a consent, hidden without one, made safe to keep, measured.

use crate::{
    clinic::{AMINA, Browser, Clinic, Page, TODAY, day},
    commands::PROGRAM,
};
use axum::{
    body::Body as RequestBody,
    http::{Request, StatusCode, header},
};
use image::{ExtendedColorType, RgbImage, codecs::jpeg::JpegEncoder};
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    trial_reading::{TrialLimits, TrialReader},
};
use record::{Body, ChildId, EntryId, Photograph, PhotographView, Sides};
use std::{fs, path::Path};

/// A name that a telephone wrote into the picture.
const NAME_IN_FILE: &str = "Amina V. left foot Hillside";

/// A picture of this size in which no two are alike.
fn drawn(seed: u32, width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let wave = ((x * (3 + seed % 5) / 7) ^ (y * 2)) as u8;
        image::Rgb([wave, wave / 2 + 40, (seed * 37 % 200) as u8])
    })
}

pub fn jpeg(seed: u32) -> Vec<u8> {
    jpeg_of(seed, 640, 480)
}

fn jpeg_of(seed: u32, width: u32, height: u32) -> Vec<u8> {
    let picture = drawn(seed, width, height);
    let mut out = Vec::new();
    JpegEncoder::new_with_quality(&mut out, 92)
        .encode(picture.as_raw(), width, height, ExtendedColorType::Rgb8)
        .unwrap();
    out
}

/// Camera data: a description, the time, a position. Little-endian TIFF, by the specification of EXIF (from memory).
fn camera_data(taken: &str) -> Vec<u8> {
    let entry = |tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        let mut out = Vec::new();
        out.extend(tag.to_le_bytes());
        out.extend(kind.to_le_bytes());
        out.extend(count.to_le_bytes());
        out.extend(value);
        out
    };
    let name = format!("{NAME_IN_FILE}\0");
    // 8 bytes of head, three entries, then an entry of the time, then two of the position.
    let (first, exif) = (8u32, 8 + 2 + 3 * 12 + 4);
    let gps = exif + 2 + 12 + 4;
    let data = gps + 2 + 2 * 12 + 4;
    let (name_at, time_at) = (data, data + name.len() as u32);
    let latitude_at = time_at + 20;
    let mut tiff = b"II*\0".to_vec();
    tiff.extend(first.to_le_bytes());
    tiff.extend(3u16.to_le_bytes());
    tiff.extend(entry(0x010e, 2, name.len() as u32, name_at.to_le_bytes()));
    tiff.extend(entry(0x8769, 4, 1, exif.to_le_bytes()));
    tiff.extend(entry(0x8825, 4, 1, gps.to_le_bytes()));
    tiff.extend(0u32.to_le_bytes());
    tiff.extend(1u16.to_le_bytes());
    tiff.extend(entry(0x9003, 2, 20, time_at.to_le_bytes()));
    tiff.extend(0u32.to_le_bytes());
    tiff.extend(2u16.to_le_bytes());
    tiff.extend(entry(1, 2, 2, *b"N\0\0\0"));
    tiff.extend(entry(2, 5, 3, latitude_at.to_le_bytes()));
    tiff.extend(0u32.to_le_bytes());
    tiff.extend(name.as_bytes());
    tiff.extend(format!("{taken}\0").as_bytes());
    for (whole, part) in [(59u32, 1u32), (54, 1), (1234, 100)] {
        tiff.extend(whole.to_le_bytes());
        tiff.extend(part.to_le_bytes());
    }
    tiff
}

/// A JPEG with what a telephone adds.
fn of_telephone(seed: u32, taken: &str) -> Vec<u8> {
    let (plain, data) = (jpeg(seed), camera_data(taken));
    let mut out = plain[..2].to_vec();
    out.extend([0xff, 0xe1]);
    out.extend((data.len() as u16 + 8).to_be_bytes());
    out.extend(b"Exif\0\0");
    out.extend(data);
    out.extend(&plain[2..]);
    out
}

/// The head of a PNG that says that it is this large, and nothing behind it.
fn head_of_png(width: u32, height: u32) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, width, height);
    encoder.set_color(png::ColorType::Rgb);
    drop(encoder.write_header().unwrap());
    out
}

/// A picture bomb: a valid PNG of one colour, small as a file.
fn bomb(side: u32) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, side, side);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::One);
    let row = vec![0; (side as usize).div_ceil(8) * side as usize];
    encoder.write_header().unwrap().write_image_data(&row).unwrap();
    out
}

pub async fn consented(clinic: &Clinic, browser: &mut Browser, fields: &[(&str, &str)]) -> ChildId {
    let child = clinic.child(browser, fields).await;
    answer(browser, child, "given").await;
    child
}

pub async fn answer(browser: &mut Browser, child: ChildId, answer: &str) {
    let path = format!("/child/{child}/photographs");
    let fields = [("relation", "mother"), ("answer", answer)];
    let page = browser.send(&path, &format!("{path}/consent"), &fields).await;
    assert_eq!(page.location(), format!("{path}?done={answer}"), "{}", page.text);
}

/// Sends files as the form of the page does.
async fn sent(browser: &mut Browser, child: ChildId, files: &[(&str, Vec<u8>)]) -> Page {
    let path = format!("/child/{child}/photographs");
    let form = browser.get(&path).await.form(&path);
    let mut body = Vec::new();
    for name in ["csrf", "once"] {
        let value = &form[name];
        body.extend(
            format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")
                .into_bytes(),
        );
    }
    for (name, bytes) in files {
        body.extend(
            format!("--edge\r\nContent-Disposition: form-data; name=\"photographs\"; filename=\"{name}\"\r\nContent-Type: image/jpeg\r\n\r\n")
                .into_bytes(),
        );
        body.extend_from_slice(bytes);
        body.extend(b"\r\n");
    }
    body.extend(b"--edge--\r\n");
    let request = Request::post(path)
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge")
        .header("sec-fetch-site", "same-origin")
        .body(RequestBody::from(body))
        .unwrap();
    browser.request(request).await
}

/// Sends pictures that are all taken and names them; every one is of this day.
pub async fn kept(
    browser: &mut Browser,
    child: ChildId,
    on: &str,
    pictures: &[(&str, PhotographView, Vec<u8>)],
) {
    let files: Vec<(&str, Vec<u8>)> = pictures.iter().map(|(_, _, bytes)| ("a.jpg", bytes.clone())).collect();
    let page = sent(browser, child, &files).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let names = page.location().to_owned();
    let mut fields: Vec<(String, String)> = vec![("on".into(), on.into()), ("act".into(), "save".into())];
    for (n, (feet, view, _)) in pictures.iter().enumerate() {
        fields.push((format!("feet_{}", n + 1), (*feet).to_owned()));
        fields.push((format!("view_{}", n + 1), view.key().to_owned()));
    }
    let fields: Vec<(&str, &str)> =
        fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let page = browser.send(&names, &names, &fields).await;
    assert_eq!(page.location(), format!("/child/{child}/photographs?done=saved"), "{}", page.text);
}

pub fn photographs(clinic: &Clinic, child: ChildId) -> Vec<(EntryId, Photograph)> {
    let known = clinic.app.known(child, day(TODAY)).unwrap();
    known.photographs(day(TODAY)).into_iter().map(|one| (one.entry, one.photograph)).collect()
}

/// The bytes of every file of a folder, and of those below it.
pub fn every_byte(folder: &Path) -> Vec<u8> {
    let mut all = Vec::new();
    for found in fs::read_dir(folder).unwrap() {
        let path = found.unwrap().path();
        all.extend(if path.is_dir() { every_byte(&path) } else { fs::read(&path).unwrap() });
    }
    all
}

pub fn holds(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|window| window == part)
}

pub async fn picture(browser: &mut Browser, child: ChildId, entry: EntryId, size: &str) -> Page {
    browser.get(&format!("/child/{child}/photographs/{entry}/{size}")).await
}

#[tokio::test]
async fn pictures_are_sent_named_and_shown_by_foot_view_and_day() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let (left, both) = (jpeg(1), jpeg(2));
    kept(
        &mut browser,
        child,
        TODAY,
        &[("left", PhotographView::Sole, left), ("both", PhotographView::BothFeet, both)],
    )
    .await;
    let on_record = photographs(&clinic, child);
    let said: Vec<(Sides, PhotographView)> = on_record.iter().map(|(_, one)| (one.side, one.view)).collect();
    assert_eq!(said, [(Sides::Left, PhotographView::Sole), (Sides::Both, PhotographView::BothFeet)]);
    assert_eq!((on_record[0].1.width_px, on_record[0].1.height_px), (640, 480));
    for path in [format!("/child/{child}"), format!("/child/{child}/photographs")] {
        let page = browser.get(&path).await;
        assert_eq!(page.count(".photograph-strip img"), 2, "{path}");
        let captions = page.shown(".photograph-strip figcaption");
        assert!(
            captions.contains("Left foot, sole") && captions.contains("Both feet together"),
            "{captions}"
        );
        assert!(captions.contains("4 March 2025") && captions.contains("2 weeks"), "{captions}");
    }
    let shown = picture(&mut browser, child, on_record[0].0, "whole").await;
    assert_eq!(
        (shown.status, shown.headers[header::CONTENT_TYPE].to_str().unwrap()),
        (StatusCode::OK, "image/jpeg")
    );
    assert_eq!(shown.headers[header::CACHE_CONTROL], "no-store");
    assert_eq!(picture(&mut browser, child, on_record[0].0, "small").await.status, StatusCode::OK);
    assert_eq!(picture(&mut browser, child, on_record[0].0, "huge").await.status, StatusCode::NOT_FOUND);
    // Not by the address of another child.
    let other = consented(&clinic, &mut browser, &[("family_name", "Brekke"), ("number", "B-1")]).await;
    assert_eq!(picture(&mut browser, other, on_record[0].0, "whole").await.status, StatusCode::NOT_FOUND);
    let pair = browser.get(&format!("/child/{child}/photographs/view/left/sole")).await;
    assert!(pair.shown("h1, figcaption").contains("Left foot, sole"), "{}", pair.text);
    assert_eq!(pair.count(".photograph-pair img"), 1);
}

#[tokio::test]
async fn nothing_is_taken_or_shown_without_a_consent_and_a_withdrawal_hides_all_at_once() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let page = browser.get(&format!("/child/{child}/photographs")).await;
    assert!(page.text.contains("No answer of the family about photographs is recorded"), "{}", page.text);
    assert_eq!(page.count("input[type=file]"), 0);
    answer(&mut browser, child, "given").await;
    kept(&mut browser, child, TODAY, &[("left", PhotographView::Sole, jpeg(1))]).await;
    let waits = sent(&mut browser, child, &[("b.jpg", jpeg(2))]).await.location().to_owned();
    assert_eq!(browser.get(&waits).await.status, StatusCode::OK);
    let (entry, of) = photographs(&clinic, child).remove(0);
    answer(&mut browser, child, "withdrawn").await;
    assert_eq!(picture(&mut browser, child, entry, "whole").await.status, StatusCode::NOT_FOUND);
    assert_eq!(picture(&mut browser, child, entry, "small").await.status, StatusCode::NOT_FOUND);
    assert_eq!(browser.get(&waits).await.status, StatusCode::NOT_FOUND);
    assert_eq!(browser.get(&format!("{waits}/1")).await.status, StatusCode::NOT_FOUND);
    assert_eq!(
        browser.get(&format!("/child/{child}/photographs/{entry}/measure")).await.status,
        StatusCode::NOT_FOUND
    );
    assert_eq!(
        browser.get(&format!("/child/{child}/photographs/view/left/sole")).await.status,
        StatusCode::NOT_FOUND
    );
    for path in [format!("/child/{child}"), format!("/child/{child}/photographs")] {
        let page = browser.get(&path).await;
        assert_eq!(page.count(".photograph-strip img"), 0, "{path}");
        assert!(page.text.contains("1 photograph is on record and not shown"), "{path}: {}", page.text);
    }
    // What is exported names no picture that could be opened with it: the picture itself is in no file.
    let csv = browser.get(&format!("/child/{child}/record-file/record.csv")).await;
    let stored = clinic.app.pictures().read(of.picture, clinic::KeptSize::Whole).unwrap().unwrap();
    assert!(!holds(csv.text.as_bytes(), &stored[200..240]));
    // Given again: they are there again.
    answer(&mut browser, child, "given").await;
    assert_eq!(picture(&mut browser, child, entry, "whole").await.status, StatusCode::OK);
}

#[tokio::test]
async fn a_day_before_the_consent_is_refused() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let names = sent(&mut browser, child, &[("a.jpg", jpeg(1))]).await.location().to_owned();
    for (on, said) in [
        ("2025-03-03", "No consent to photographs was in force on 3 March 2025."),
        ("2025-02-01", "lies before the day of birth"),
        ("2025-03-05", "is in the future"),
        ("", "The day is missing"),
    ] {
        let fields = [("on", on), ("feet_1", "left"), ("view_1", "sole"), ("act", "save")];
        let page = browser.send(&names, &names, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{on}");
        assert!(page.shown(".errors").contains(said), "{on}: {}", page.shown(".errors"));
    }
    assert!(photographs(&clinic, child).is_empty());
    assert!(clinic.app.pictures().hashes().unwrap().is_empty(), "nothing is kept before it is named");
}

#[tokio::test]
async fn foot_and_view_are_never_chosen_for_a_person() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let names =
        sent(&mut browser, child, &[("left.jpg", jpeg(1)), ("b.jpg", jpeg(2))]).await.location().to_owned();
    let form = browser.get(&names).await.form(&names);
    for field in ["feet_1", "view_1", "feet_2", "view_2", "on"] {
        assert_eq!(form[field], "", "{field} is chosen beforehand");
    }
    let page = browser.send(&names, &names, &[("on", TODAY), ("feet_1", "left"), ("act", "save")]).await;
    let errors = page.shown(".errors");
    for said in ["Picture 1: say which view", "Picture 2: say which foot", "Picture 2: say which view"] {
        assert!(errors.contains(said), "{errors}");
    }
    // What was chosen is still there; a foot that does not fit the view is refused.
    assert_eq!(page.form(&names)["feet_1"], "left");
    let fields =
        [("on", TODAY), ("feet_1", "left"), ("view_1", "squatting"), ("leave_2", "yes"), ("act", "save")];
    let page = browser.send(&names, &names, &fields).await;
    assert!(page.shown(".errors").contains("Picture 1: This view shows both feet"), "{}", page.text);
    let fields = [("on", TODAY), ("feet_1", "left"), ("view_1", "sole"), ("leave_2", "yes"), ("act", "save")];
    let page = browser.send(&names, &names, &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    assert_eq!(photographs(&clinic, child).len(), 1, "the one that was left out is not kept");
    assert_eq!(clinic.app.pictures().hashes().unwrap().len(), 1);
    // Sent once more, as by a second tap.
    assert!(browser.get(&names).await.status == StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn the_clock_of_the_camera_is_asked_about_and_never_taken_over() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let file = of_telephone(1, "2025:01:09 10:12:30");
    let names = sent(&mut browser, child, &[("a.jpg", file)]).await.location().to_owned();
    let page = browser.get(&names).await;
    assert!(page.text.contains("The camera says 9 January 2025, 10:12"), "{}", page.text);
    assert!(page.text.contains("The file said where it was taken; that was removed."), "{}", page.text);
    let said = [("on", TODAY), ("feet_1", "left"), ("view_1", "sole"), ("act", "save")];
    let page = browser.send(&names, &names, &said).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        page.text.contains("The camera says that picture 1 was taken on 9 January 2025"),
        "{}",
        page.text
    );
    let mut sure = said.to_vec();
    sure.push(("sure", "yes"));
    let page = browser.send(&names, &names, &sure).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let (_, kept) = photographs(&clinic, child).remove(0);
    assert_eq!(kept.taken_at, None, "the time was not confirmed");
    // Of today, and the time confirmed: the day stands in the form already.
    let file = of_telephone(2, "2025:03:04 09:05:00");
    let names = sent(&mut browser, child, &[("a.jpg", file)]).await.location().to_owned();
    assert_eq!(browser.get(&names).await.form(&names)["on"], TODAY);
    let fields = [("feet_1", "left"), ("view_1", "outer-side"), ("time_1", "09:05"), ("act", "save")];
    assert_eq!(browser.send(&names, &names, &fields).await.status, StatusCode::SEE_OTHER);
    assert_eq!(photographs(&clinic, child)[1].1.taken_at.as_deref(), Some("09:05"));
}

#[tokio::test]
async fn no_stored_or_answered_byte_has_the_position_the_camera_or_a_name_of_the_file() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let file = of_telephone(1, "2025:03:04 09:05:00");
    let traces: [&[u8]; 3] =
        [NAME_IN_FILE.as_bytes(), b"Exif\0\0", &[54, 0, 0, 0, 1, 0, 0, 0, 0xd2, 4, 0, 0]];
    for trace in traces {
        assert!(holds(&file, trace), "the file itself has it");
    }
    let page = sent(&mut browser, child, &[("Amina Vesterholt left.jpg", file)]).await;
    let names = page.location().to_owned();
    let waiting = every_byte(clinic.dir.path());
    let fields = [("on", TODAY), ("feet_1", "left"), ("view_1", "sole"), ("act", "save")];
    assert_eq!(browser.send(&names, &names, &fields).await.status, StatusCode::SEE_OTHER);
    let (_, one) = photographs(&clinic, child).remove(0);
    let pictures = clinic.app.pictures();
    let whole = pictures.read(one.picture, clinic::KeptSize::Whole).unwrap().unwrap();
    let small = pictures.read(one.picture, clinic::KeptSize::Thumbnail).unwrap().unwrap();
    let folder = every_byte(clinic.dir.path());
    for trace in traces.into_iter().chain([b"Vesterholt left.jpg".as_slice()]) {
        for (place, bytes) in
            [("waiting", &waiting), ("whole", &whole), ("small", &small), ("folder", &folder)]
        {
            assert!(!holds(bytes, trace), "{trace:?} is in {place}");
        }
    }
    let longest = image::load_from_memory(&small).unwrap();
    assert_eq!((longest.width(), longest.height()), (320, 240));
}

#[tokio::test]
async fn hostile_files_get_one_sentence_each_and_the_others_are_taken() {
    let trial = TrialReader::of_program(PROGRAM.into(), TrialLimits::default());
    let (clinic, mut browser) = Clinic::signed_in_with(trial).await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let mut cut = jpeg(5);
    cut.truncate(cut.len() / 2);
    let files = [
        ("a.jpg", jpeg(1)),
        // 100 million pixels; 12,000 on a side are 144 million, in a file of some 20 kB.
        ("large.png", head_of_png(10_000, 10_000)),
        ("bomb.png", bomb(12_000)),
        ("renamed.jpg", b"PK\x03\x04 a workbook under another name".to_vec()),
        ("cut.jpg", cut),
        ("foto.heic", b"\0\0\0\x18ftypheic\0\0\0\0heicmif1".to_vec()),
        ("tiny.png", head_of_png(40, 40)),
        ("heavy.jpg", vec![0xff; 25 << 20]),
    ];
    let page = sent(&mut browser, child, &files).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let page = browser.get(page.location()).await;
    let said = page.shown(".errors li");
    let lines: Vec<&str> = said.lines().collect();
    assert_eq!(lines.len(), 7, "{said}");
    for (number, part) in [
        (2, "million pixels"),
        (3, "million pixels"),
        (4, "neither a JPEG nor a PNG"),
        (5, "not complete"),
        (6, "HEIC"),
        (7, "only 40 × 40 pixels"),
        (8, "larger than 24 MB"),
    ] {
        let line = lines.iter().find(|line| line.starts_with(&format!("Picture {number}:")));
        assert!(line.is_some_and(|line| line.contains(part)), "{number} {part}: {said}");
    }
    assert_eq!(page.count(".photograph-name"), 1, "the good one is taken");
    assert_eq!(browser.get("/day").await.status, StatusCode::OK);
}

#[tokio::test]
async fn five_hundred_pictures_at_once_and_none_are_refused_in_one_sentence() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let tiny = jpeg(1);
    let files: Vec<(&str, Vec<u8>)> = (0..500).map(|_| ("a.jpg", tiny[..900].to_vec())).collect();
    let page = sent(&mut browser, child, &files).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let said = page.shown(".errors");
    assert!(said.contains("500 pictures were chosen, and at most 24 are taken at once."), "{said}");
    let page = sent(&mut browser, child, &[("", Vec::new())]).await;
    assert!(page.shown(".errors").contains("No picture was chosen."), "{}", page.text);
    assert!(clinic.app.pictures().waiting_of(child).unwrap().is_empty(), "nothing half-kept");
    assert!(clinic.app.pictures().hashes().unwrap().is_empty());
}

/// The records are small and the file of photographs may not grow beyond a size, as on a disk that is nearly full.
#[tokio::test]
async fn a_disk_that_is_nearly_full_keeps_nothing_by_half() {
    let dir = tempfile::tempdir().unwrap();
    let app = App::open_with(dir.path(), Clock::new(Some(day(TODAY))), Mode::default(), Some(400)).unwrap();
    let app = std::sync::Arc::new(app);
    let clinic = Clinic { router: plantigrade::routes::router(app.clone()), app, dir };
    clinic.account(crate::clinic::NAME, crate::clinic::PASSWORD);
    let mut browser = clinic.browser_signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    // 400 pages are 1.6 MB; twelve pictures with their thumbnails and their margins are more.
    let files: Vec<(&str, Vec<u8>)> = (0..24).map(|seed| ("a.jpg", jpeg(seed))).collect();
    let page = sent(&mut browser, child, &files).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.text);
    assert!(page.shown(".errors").contains("The disk is full"), "{}", page.shown(".errors"));
    assert!(clinic.app.pictures().waiting_of(child).unwrap().is_empty());
    // What is small enough is still taken.
    let page = sent(&mut browser, child, &files[..1]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
}

#[tokio::test]
async fn a_wrong_foot_is_corrected_with_a_reason_and_the_picture_never_exchanged() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    kept(&mut browser, child, TODAY, &[("left", PhotographView::Sole, jpeg(1))]).await;
    let (entry, was) = photographs(&clinic, child).remove(0);
    let (page, action) =
        (format!("/child/{child}/entry/{entry}"), format!("/child/{child}/entry/{entry}/correct"));
    let refused = browser.send(&page, &action, &[("side", "right")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "a reason is needed");
    let other = "ab".repeat(32);
    let swapped = [("side", "right"), ("correct_why", "foot"), ("picture", other.as_str())];
    let refused = browser.send(&page, &action, &swapped).await;
    assert!(refused.text.contains("A correction never exchanges the picture"), "{}", refused.text);
    let saved = browser.send(&page, &action, &[("side", "right"), ("correct_why", "foot")]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    let (_, now) = photographs(&clinic, child).remove(0);
    assert_eq!(now, Photograph { side: Sides::Right, ..was });
    let strip = browser.get(&format!("/child/{child}")).await.shown(".photograph-strip");
    assert!(strip.contains("Right foot, sole") && !strip.contains("Left foot"), "{strip}");
    // A withdrawn entry shows nothing.
    let withdraw = format!("/child/{child}/entry/{entry}/withdraw");
    let saved = browser.send(&page, &withdraw, &[("withdraw_reason", "another child")]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER);
    assert_eq!(picture(&mut browser, child, entry, "whole").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn the_picture_of_another_child_is_asked_about() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let other = consented(&clinic, &mut browser, &[("family_name", "Brekke"), ("number", "B-1")]).await;
    kept(&mut browser, child, TODAY, &[("left", PhotographView::Sole, jpeg(1))]).await;
    let names = sent(&mut browser, other, &[("a.jpg", jpeg(1))]).await.location().to_owned();
    let fields = [("on", TODAY), ("feet_1", "left"), ("view_1", "sole"), ("act", "save")];
    let page = browser.send(&names, &names, &fields).await;
    assert!(page.text.contains("was kept before, and not for this child"), "{}", page.text);
    assert!(!page.text.contains("Vesterholt"), "and not whose it is");
    assert!(photographs(&clinic, other).is_empty());
}

#[tokio::test]
async fn an_angle_is_measured_by_typed_points_and_compared_with_the_last() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    kept(
        &mut browser,
        child,
        TODAY,
        &[
            ("left", PhotographView::Sole, jpeg_of(1, 1600, 1200)),
            ("left", PhotographView::Sole, jpeg_of(2, 1600, 1200)),
            ("left", PhotographView::OuterSide, jpeg(3)),
        ],
    )
    .await;
    let on_record = photographs(&clinic, child);
    let path = |n: usize| format!("/child/{child}/photographs/{}/measure", on_record[n].0);
    assert!(browser.get(&path(2)).await.text.contains("No angle is measured on this view"));
    // Heel back, heel front, forefoot: up the picture, then by 30° to the left. On the sole of a left foot with the
    // toes up its inner edge lies to the left: the forefoot is turned in by 30°.
    let points =
        [("x_1", "800"), ("y_1", "1100"), ("x_2", "800"), ("y_2", "750"), ("x_3", "575"), ("y_3", "360")];
    let with = |act: &'static str| points.iter().copied().chain([("act", act)]).collect::<Vec<_>>();
    let shown = browser.send(&path(0), &path(0), &with("look")).await;
    assert_eq!(shown.status, StatusCode::OK, "{}", shown.text);
    let said = shown.shown(".message.note");
    assert!(said.contains("left foot: 30° ± "), "{said}");
    assert!(said.contains("No earlier photograph of this foot has this angle."), "{said}");
    let saved = browser.send(&path(0), &path(0), &with("save")).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    let Body::PhotographAngleMeasured(angle) = clinic.entries(child).pop().unwrap().body else { panic!() };
    assert_eq!(
        (angle.photograph, angle.taps.to_string().as_str()),
        (on_record[0].0, "800,1100 800,750 575,360")
    );
    // tan 30° is 225 / 390 to within half a degree.
    assert!((angle.degrees - 30.0).abs() < 0.5, "{}", angle.degrees);
    let pair = browser.get(saved.location()).await.shown("figcaption");
    assert!(pair.contains("left foot: 30° ± "), "{pair}");
    // On the second picture, with the change and the clinic's own error.
    let said = browser.send(&path(1), &path(1), &with("look")).await.shown(".message.note");
    assert!(said.contains("Change: 0°") && said.contains("no photograph has been read twice"), "{said}");
    let again = browser.send(&path(0), &path(0), &with("save")).await;
    assert_eq!(again.status, StatusCode::SEE_OTHER);
    let said = browser.send(&path(1), &path(1), &with("look")).await.shown(".message.note");
    assert!(said.contains("One reading has a standard error of 0.0°"), "{said}");
    // No goniometer's figure comes of it.
    let known = clinic.app.known(child, day(TODAY)).unwrap();
    assert!(known.outlook.course.feet.iter().all(|foot| foot.scores.is_empty()));
    for (field, value, part) in [
        ("x_3", "9999", "Point 3 is not within the picture."),
        ("x_3", "", "Tap this point"),
        ("x_3", "left", "A whole number of pixels is expected."),
        ("y_2", "1095", "too close together"),
    ] {
        let mut fields = with("look");
        fields.retain(|(name, _)| *name != field);
        fields.push((field, value));
        let page = browser.send(&path(0), &path(0), &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{field} {value}");
        assert!(page.shown(".errors").contains(part), "{field} {value}: {}", page.shown(".errors"));
    }
    // Once the photograph is of the other foot, its angle no longer counts.
    let entry = on_record[0].0;
    let (page, action) =
        (format!("/child/{child}/entry/{entry}"), format!("/child/{child}/entry/{entry}/correct"));
    let corrected = browser.send(&page, &action, &[("side", "right"), ("correct_why", "foot")]).await;
    assert_eq!(corrected.status, StatusCode::SEE_OTHER, "{}", corrected.text);
    let known = clinic.app.known(child, day(TODAY)).unwrap();
    assert!(known.photograph_angles(day(TODAY)).is_empty());
}

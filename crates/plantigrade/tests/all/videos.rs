//! Videos of gait: sent, named, played in parts under a consent, hidden without one, made safe to keep.

use crate::{
    clinic::{AMINA, Browser, Clinic, Page, TODAY, day},
    commands::PROGRAM,
    photographs::{every_byte, holds},
};
use axum::{
    body::{Body as RequestBody, to_bytes},
    http::{Request, StatusCode, header},
};
use mp4::{Movie, TRACES, one};
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    trial_reading::{TrialLimits, TrialReader},
};
use record::{ChildId, EntryId, GaitActivity, GaitVideo, GaitView};
use std::sync::Arc;
use tower::ServiceExt;
use webm::Recording;

#[allow(dead_code)]
#[path = "../../../videos/tests/all/world/mp4.rs"]
pub mod mp4;
#[allow(dead_code)]
#[path = "../../../videos/tests/all/world/webm.rs"]
pub mod webm;

/// A film of so many pictures: no two of these are the same video.
pub fn film(pictures: u8) -> Vec<u8> {
    Movie { pictures, ..Movie::default() }.bytes()
}

pub async fn consented(clinic: &Clinic, browser: &mut Browser, fields: &[(&str, &str)]) -> ChildId {
    let child = clinic.child(browser, fields).await;
    answer(browser, child, "given").await;
    child
}

pub async fn answer(browser: &mut Browser, child: ChildId, answer: &str) {
    let path = format!("/child/{child}/videos");
    let fields = [("relation", "mother"), ("answer", answer)];
    let page = browser.send(&path, &format!("{path}/consent"), &fields).await;
    assert_eq!(page.location(), format!("{path}?done={answer}"), "{}", page.text);
}

/// Sends files as the form of the page does.
async fn sent(browser: &mut Browser, child: ChildId, files: &[(&str, Vec<u8>)]) -> Page {
    let path = format!("/child/{child}/videos");
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
            format!("--edge\r\nContent-Disposition: form-data; name=\"video\"; filename=\"{name}\"\r\nContent-Type: video/mp4\r\n\r\n")
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

/// What a person says about a walk filmed from the side. The file says 3 March, so that the day is confirmed.
const WALK: [(&str, &str); 5] =
    [("activity", "walking"), ("view", "side"), ("act", "save"), ("on", TODAY), ("sure", "yes")];

/// Sends a video that is taken and names it.
pub async fn kept(browser: &mut Browser, child: ChildId, bytes: Vec<u8>) {
    let page = sent(browser, child, &[("a.mov", bytes)]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let names = page.location().to_owned();
    let page = browser.send(&names, &names, &WALK).await;
    assert_eq!(page.location(), format!("/child/{child}/videos?done=saved"), "{}", page.text);
}

pub fn videos(clinic: &Clinic, child: ChildId) -> Vec<(EntryId, GaitVideo)> {
    let known = clinic.app.known(child, day(TODAY)).unwrap();
    known.videos(day(TODAY)).into_iter().map(|one| (one.entry, one.video)).collect()
}

pub fn stored(clinic: &Clinic, of: &GaitVideo) -> Vec<u8> {
    clinic.app.videos().read(of.video, 0..u64::MAX).unwrap().unwrap()
}

fn address(child: ChildId, entry: EntryId) -> String {
    format!("/child/{child}/videos/{entry}/film")
}

/// Asks for a part of a video: status, headers, bytes.
async fn part(
    browser: &mut Browser,
    path: &str,
    range: Option<&str>,
) -> (StatusCode, axum::http::HeaderMap, Vec<u8>) {
    // Cookies as the browser has them, and the bytes as they come.
    let cookies: Vec<String> =
        browser.cookies.iter().map(|(name, value)| format!("{name}={value}")).collect();
    let mut request =
        Request::get(path).header(header::HOST, "localhost").header(header::COOKIE, cookies.join("; "));
    if let Some(range) = range {
        request = request.header(header::RANGE, range);
    }
    let response = browser.router.clone().oneshot(request.body(RequestBody::empty()).unwrap()).await.unwrap();
    let (parts, body) = response.into_parts();
    (parts.status, parts.headers, to_bytes(body, usize::MAX).await.unwrap().to_vec())
}

#[tokio::test]
async fn a_video_is_sent_named_and_shown_by_day() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    kept(&mut browser, child, film(12)).await;
    let (entry, on_record) = videos(&clinic, child).remove(0);
    assert_eq!((on_record.activity, on_record.view), (GaitActivity::Walking, GaitView::Side));
    // Twelve pictures of 50 of 600 ticks a second.
    assert_eq!(on_record.duration_ms, 1000);
    assert_eq!(on_record.size_bytes as usize, stored(&clinic, &on_record).len());
    let page = browser.get(&format!("/child/{child}/videos")).await;
    assert_eq!(page.count("video[controls][playsinline][muted]"), 1);
    assert!(page.text.contains(&format!("src=\"{}\"", address(child, entry))), "{}", page.text);
    let shown = page.shown(".gait-video");
    for part in ["4 March 2025", "Walking, from the side", "1 second", "2 weeks", "ida of the clinic"] {
        assert!(shown.contains(part), "{part}: {shown}");
    }
    // Not by the address of another child.
    let other = consented(&clinic, &mut browser, &[("family_name", "Brekke"), ("number", "B-1")]).await;
    assert_eq!(browser.get(&address(other, entry)).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_video_is_answered_whole_or_in_the_part_that_is_asked_for() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    // Two pieces of the store and some.
    kept(&mut browser, child, padded(600_000)).await;
    let (entry, video) = videos(&clinic, child).remove(0);
    let (path, whole) = (address(child, entry), stored(&clinic, &video));
    let size = whole.len();
    assert!(size > 2 * clinic::VIDEO_PIECE_BYTES, "{size}");
    let (status, headers, bytes) = part(&mut browser, &path, None).await;
    assert_eq!((status, bytes == whole), (StatusCode::OK, true));
    assert_eq!(headers[header::CONTENT_TYPE], "video/mp4");
    assert_eq!(headers[header::ACCEPT_RANGES], "bytes");
    assert_eq!(headers[header::CACHE_CONTROL], "no-store");
    let edge = clinic::VIDEO_PIECE_BYTES;
    for (range, expected) in [
        ("bytes=0-0".to_owned(), 0..1),
        ("bytes=0-".to_owned(), 0..size),
        (format!("bytes={}-{}", edge - 3, edge + 2), edge - 3..edge + 3),
        (format!("bytes={edge}-{edge}"), edge..edge + 1),
        (format!("bytes={}-{}", size - 1, size + 500), size - 1..size),
        ("bytes=-7".to_owned(), size - 7..size),
    ] {
        let (status, headers, bytes) = part(&mut browser, &path, Some(&range)).await;
        assert_eq!(status, StatusCode::PARTIAL_CONTENT, "{range}");
        let said = format!("bytes {}-{}/{size}", expected.start, expected.end - 1);
        assert_eq!(headers[header::CONTENT_RANGE], said, "{range}");
        assert_eq!(headers[header::CACHE_CONTROL], "no-store");
        assert!(bytes == whole[expected], "{range}");
    }
    let (status, headers, bytes) = part(&mut browser, &path, Some(&format!("bytes={size}-"))).await;
    assert_eq!((status, bytes.len()), (StatusCode::RANGE_NOT_SATISFIABLE, 0));
    assert_eq!(headers[header::CONTENT_RANGE], format!("bytes */{size}"));
    let (status, ..) = part(&mut browser, &path, Some("bytes=0-1,5-6")).await;
    assert_eq!(status, StatusCode::OK, "several ranges are answered with the whole");
    // Signed out, nothing of it is answered.
    browser.cookies.clear();
    for range in [None, Some("bytes=0-0")] {
        let (status, _, bytes) = part(&mut browser, &path, range).await;
        assert!(status != StatusCode::OK && status != StatusCode::PARTIAL_CONTENT, "{status}");
        assert!(!holds(&bytes, b"ftyp"));
    }
}

/// A film whose first picture is so many bytes longer.
fn padded(padding: usize) -> Vec<u8> {
    Movie { padding, ..Movie::default() }.bytes()
}

#[tokio::test]
async fn nothing_is_taken_or_shown_without_a_consent_of_its_own_and_a_withdrawal_hides_all_at_once() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = crate::photographs::consented(&clinic, &mut browser, AMINA).await;
    let page = browser.get(&format!("/child/{child}/videos")).await;
    assert!(page.text.contains("No answer of the family about videos is recorded"), "{}", page.text);
    assert!(page.text.contains("A consent to photographs is none to videos"), "{}", page.text);
    assert_eq!(page.count("input[type=file]"), 0);
    answer(&mut browser, child, "given").await;
    kept(&mut browser, child, film(12)).await;
    let waits = sent(&mut browser, child, &[("b.mp4", film(8))]).await.location().to_owned();
    let (entry, _) = videos(&clinic, child).remove(0);
    let waiting = format!("{waits}/film");
    assert_eq!(browser.get(&waits).await.status, StatusCode::OK);
    assert_eq!(part(&mut browser, &waiting, Some("bytes=0-9")).await.0, StatusCode::PARTIAL_CONTENT);
    answer(&mut browser, child, "withdrawn").await;
    for path in [address(child, entry), waiting.clone()] {
        for range in [None, Some("bytes=0-9")] {
            assert_eq!(part(&mut browser, &path, range).await.0, StatusCode::NOT_FOUND, "{path}");
        }
    }
    assert_eq!(browser.get(&waits).await.status, StatusCode::NOT_FOUND);
    let page = browser.get(&format!("/child/{child}/videos")).await;
    assert_eq!(page.count("video"), 0);
    assert!(page.text.contains("1 video is on record and not shown"), "{}", page.text);
    // Photographs have their own consent, which still holds.
    let page = browser.get(&format!("/child/{child}/photographs")).await;
    assert!(page.text.contains("The family consents to photographs since"), "{}", page.text);
    let refused = sent_without_page(&mut browser, child).await;
    assert!(refused.text.contains("No consent to videos is in force."), "{}", refused.text);
    answer(&mut browser, child, "given").await;
    assert_eq!(part(&mut browser, &address(child, entry), None).await.0, StatusCode::OK);
}

/// Sends a video with the token of another form of the page, as where the consent is taken back meanwhile.
async fn sent_without_page(browser: &mut Browser, child: ChildId) -> Page {
    let path = format!("/child/{child}/videos");
    let csrf = browser.get(&path).await.form(&format!("{path}/consent"))["csrf"].clone();
    let mut body =
        format!("--edge\r\nContent-Disposition: form-data; name=\"csrf\"\r\n\r\n{csrf}\r\n").into_bytes();
    body.extend(b"--edge\r\nContent-Disposition: form-data; name=\"video\"; filename=\"a\"\r\n\r\n");
    body.extend(film(8));
    body.extend(b"\r\n--edge--\r\n");
    let request = Request::post(path)
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge")
        .header("sec-fetch-site", "same-origin")
        .body(RequestBody::from(body))
        .unwrap();
    browser.request(request).await
}

#[tokio::test]
async fn nothing_is_chosen_for_a_person_and_what_the_file_says_is_asked_about() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let names = sent(&mut browser, child, &[("Amina walks.mov", film(12))]).await.location().to_owned();
    let page = browser.get(&names).await;
    let form = page.form(&names);
    for field in ["activity", "view", "on"] {
        assert_eq!(form[field], "", "{field} is chosen beforehand");
    }
    assert!(page.text.contains("The sound was removed."), "{}", page.text);
    assert!(page.text.contains("The file said where it was taken; that was removed."), "{}", page.text);
    assert!(page.text.contains("The file says 3 March 2025"), "{}", page.text);
    let page = browser.send(&names, &names, &[("act", "save")]).await;
    let errors = page.shown(".errors");
    for said in ["Say what the child does.", "Say from where it was taken.", "The day is missing"] {
        assert!(errors.contains(said), "{errors}");
    }
    for (on, said) in [
        ("2025-03-03", "No consent to videos was in force on 3 March 2025."),
        ("2025-02-01", "lies before the day of birth"),
        ("2025-03-05", "is in the future"),
        (TODAY, "The file says that it was taken on 3 March 2025."),
    ] {
        let fields = [("activity", "walking"), ("view", "side"), ("on", on), ("act", "save")];
        let page = browser.send(&names, &names, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{on}");
        assert!(page.shown(".errors").contains(said), "{on}: {}", page.shown(".errors"));
    }
    assert!(videos(&clinic, child).is_empty());
    let page = browser.send(&names, &names, &WALK).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    assert_eq!(videos(&clinic, child)[0].1.taken_at, None, "the time was not confirmed");
    // Sent once more, as by a second tap.
    assert_eq!(browser.get(&names).await.status, StatusCode::NOT_FOUND);
    assert_eq!(videos(&clinic, child).len(), 1);
}

#[tokio::test]
async fn no_stored_byte_has_the_place_the_device_the_sound_or_the_name_of_the_file() {
    for file in [film(12), Recording::default().bytes()] {
        let (clinic, mut browser) = Clinic::signed_in().await;
        let child = consented(&clinic, &mut browser, AMINA).await;
        let page = sent(&mut browser, child, &[("Amina Vesterholt walks.mov", file.clone())]).await;
        let waiting = every_byte(clinic.dir.path());
        let names = page.location().to_owned();
        assert_eq!(browser.send(&names, &names, &WALK).await.status, StatusCode::SEE_OTHER);
        let folder = every_byte(clinic.dir.path());
        let traces = TRACES.into_iter().chain(webm::TRACES).filter(|(_, trace)| holds(&file, trace));
        let mut seen = 0;
        for (what, trace) in traces.chain([("the name of the file", b"Vesterholt walks".as_slice())]) {
            assert!(!holds(&waiting, trace), "{what} is in the folder while it waits");
            assert!(!holds(&folder, trace), "{what} is in the folder");
            seen += 1;
        }
        assert!(seen >= 8, "{seen}");
    }
}

#[tokio::test]
async fn hostile_files_get_a_sentence_and_nothing_of_them_is_kept() {
    let trial = TrialReader::of_program(PROGRAM.into(), TrialLimits::default());
    let (clinic, mut browser) = Clinic::signed_in_with(trial).await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let whole = film(12);
    let huge =
        [one(b"ftyp", b"isom\0\0\0\0"), b"\0\0\0\x01mdat\x7f\xff\xff\xff\xff\xff\xff\xff".to_vec()].concat();
    let deep: Vec<u8> =
        (1..=100_000_u32).rev().flat_map(|left| [(8 * left).to_be_bytes(), *b"moov"].concat()).collect();
    let endless = [one(b"ftyp", b"isom\0\0\0\0"), b"\0\0\0\x04free".to_vec()].concat();
    for (file, said) in [
        (b"PK\x03\x04 a workbook under another name".to_vec(), "This is no video that can be taken"),
        (Movie { film: false, ..Movie::default() }.bytes(), "sound only and no film"),
        (whole[..whole.len() / 2].to_vec(), "the file ends too early"),
        (huge, "the file ends too early"),
        ([one(b"ftyp", b"isom\0\0\0\0"), deep].concat(), "There is no film in this file"),
        (endless, "is damaged"),
        (Movie { ticks: 4000, ..Movie::default() }.bytes(), "longer than 60 seconds"),
        (Movie { entry: *b"mp4v", ..Movie::default() }.bytes(), "browsers do not play"),
        (one(b"ftyp", &vec![0; 60 << 20]), "larger than 60 MB"),
        (Vec::new(), "The file is empty"),
    ] {
        let page = sent(&mut browser, child, &[("walk.mp4", file)]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{said}");
        let errors = page.shown(".errors");
        assert!(errors.contains("Nothing was kept.") && errors.contains(said), "{said}: {errors}");
    }
    assert!(clinic.app.videos().hashes().unwrap().is_empty());
    assert!(clinic.app.videos().waiting_of(child).unwrap().is_empty());
    // The server lives on.
    assert_eq!(sent(&mut browser, child, &[("a.mp4", whole)]).await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn five_hundred_videos_at_once_and_none_are_refused_in_one_sentence() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let files: Vec<(&str, Vec<u8>)> = (0..500).map(|_| ("a.mp4", film(8))).collect();
    let page = sent(&mut browser, child, &files).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let said = page.shown(".errors");
    assert!(said.contains("500 videos were chosen, and one is taken at a time."), "{said}");
    let page = sent(&mut browser, child, &[("", Vec::new())]).await;
    assert!(page.shown(".errors").contains("No video was chosen."), "{}", page.text);
    assert!(clinic.app.videos().hashes().unwrap().is_empty(), "nothing half-kept");
}

/// The file of pictures and videos may not grow beyond a size, as on a disk that is nearly full.
#[tokio::test]
async fn a_disk_that_is_nearly_full_keeps_nothing_by_half() {
    let dir = tempfile::tempdir().unwrap();
    let app = App::open_with(dir.path(), Clock::new(Some(day(TODAY))), Mode::default(), Some(400)).unwrap();
    let app = Arc::new(app);
    let clinic = Clinic { router: plantigrade::routes::router(app.clone()), app, dir };
    clinic.account(crate::clinic::NAME, crate::clinic::PASSWORD);
    let mut browser = clinic.browser_signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    // 400 pages are 1.6 MB.
    let page = sent(&mut browser, child, &[("a.mp4", padded(3_000_000))]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.text);
    assert!(page.shown(".errors").contains("The disk is full"), "{}", page.shown(".errors"));
    assert!(clinic.app.videos().hashes().unwrap().is_empty());
    assert!(clinic.app.videos().waiting_of(child).unwrap().is_empty());
    // What is small enough is still taken.
    assert_eq!(sent(&mut browser, child, &[("a.mp4", film(8))]).await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_forgotten_video_leaves_no_trace() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let names = sent(&mut browser, child, &[("a.mov", film(12))]).await.location().to_owned();
    // The slice of the third picture.
    let trace = &mp4::slice(2)[8..60];
    assert!(holds(&every_byte(clinic.dir.path()), trace));
    let page = browser.send(&names, &names, &[("act", "forget")]).await;
    assert_eq!(page.location(), format!("/child/{child}/videos?done=forgotten"));
    assert!(clinic.app.videos().hashes().unwrap().is_empty());
    assert!(!holds(&every_byte(clinic.dir.path()), trace), "nothing of it is left in any file");
}

#[tokio::test]
async fn a_wrong_view_is_corrected_with_a_reason_and_the_video_never_exchanged() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    kept(&mut browser, child, film(12)).await;
    let (entry, was) = videos(&clinic, child).remove(0);
    let page = format!("/child/{child}/entry/{entry}");
    let action = format!("{page}/correct");
    let refused = browser.send(&page, &action, &[("view", "front")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "a reason is needed");
    let other = "ab".repeat(32);
    let swapped = [("view", "front"), ("correct_why", "value"), ("video", other.as_str())];
    let refused = browser.send(&page, &action, &swapped).await;
    assert!(refused.text.contains("A correction never exchanges the video"), "{}", refused.text);
    let saved = browser.send(&page, &action, &[("view", "front"), ("correct_why", "value")]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    assert_eq!(videos(&clinic, child).remove(0).1, GaitVideo { view: GaitView::Front, ..was });
    // A withdrawn entry shows nothing.
    let withdraw = format!("{page}/withdraw");
    let saved = browser.send(&page, &withdraw, &[("withdraw_reason", "another child")]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER);
    assert_eq!(browser.get(&address(child, entry)).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn the_video_of_another_child_is_asked_about() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let other = consented(&clinic, &mut browser, &[("family_name", "Brekke"), ("number", "B-1")]).await;
    kept(&mut browser, child, film(12)).await;
    let names = sent(&mut browser, other, &[("a.mp4", film(12))]).await.location().to_owned();
    let fields = [("activity", "walking"), ("view", "side"), ("on", TODAY), ("act", "save")];
    let page = browser.send(&names, &names, &fields).await;
    assert!(page.text.contains("was kept before, and not for this child"), "{}", page.text);
    assert!(!page.text.contains("Vesterholt"), "and not whose it is");
    assert!(videos(&clinic, other).is_empty());
    // Forgetting it here leaves that of the other child.
    browser.send(&names, &names, &[("act", "forget")]).await;
    assert_eq!(clinic.app.videos().hashes().unwrap().len(), 1);
}

/// What a family gets and what leaves the clinic names the video and has nothing of it.
#[tokio::test]
async fn no_export_has_a_video_in_it() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    kept(&mut browser, child, film(12)).await;
    let (_, video) = videos(&clinic, child).remove(0);
    let trace = &mp4::slice(2)[8..60];
    assert!(holds(&stored(&clinic, &video), trace));
    let csv = browser.get(&format!("/child/{child}/record-file/record.csv")).await;
    assert!(csv.text.contains(&video.video.to_string()), "{}", csv.text);
    let copy = part(&mut browser, &format!("/child/{child}/family-copy"), None).await;
    assert_eq!(copy.0, StatusCode::OK);
    for bytes in [csv.text.as_bytes(), &copy.2] {
        assert!(!holds(bytes, trace));
    }
}

/// Parts over a bad network: lost answers, gaps, another person, and what is refused at the end.
#[tokio::test]
async fn a_broken_sending_goes_on_where_it_stopped() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let whole = film(12);
    let (half, total) = (whole.len() / 2, whole.len());
    let path = format!("/child/{child}/videos");
    let form = browser.get(&path).await.form(&path);
    let file = uuid::Uuid::now_v7();
    let at = format!("{path}/part?file={file}&total={total}");
    let send = |start: usize, bytes: &[u8]| {
        Request::post(format!("{at}&start={start}"))
            .header(header::CONTENT_TYPE, "application/octet-stream")
            .header("sec-fetch-site", "same-origin")
            .header("x-form-token", &form["csrf"])
            .body(RequestBody::from(bytes.to_vec()))
            .unwrap()
    };
    assert_eq!(browser.get(&at).await.text, "0");
    assert_eq!(browser.request(send(0, &whole[..half])).await.text, half.to_string());
    assert_eq!(browser.request(send(0, &whole[..half])).await.text, half.to_string(), "taken once");
    let files = format!("{file}:{total}");
    let fields =
        [("csrf", form["csrf"].as_str()), ("once", form["once"].as_str()), ("files", files.as_str())];
    let early = browser.post(&format!("{path}/arrived"), &fields).await;
    assert!(early.shown(".errors").contains("not received completely"), "{}", early.text);
    assert_eq!(browser.request(send(half, &whole[half..])).await.text, total.to_string());
    let done = browser.post(&format!("{path}/arrived"), &fields).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    assert_eq!(browser.get(&at).await.text, "0", "the parts are forgotten");
    for (what, trace) in TRACES {
        assert!(!holds(&every_byte(clinic.dir.path()), trace), "{what} is left of the parts");
    }
    // One that is too large is refused before it is sent.
    let large = format!("{path}/part?file={file}&total={}", (60 << 20) + 1);
    assert!(browser.get(&large).await.status.is_client_error());
}

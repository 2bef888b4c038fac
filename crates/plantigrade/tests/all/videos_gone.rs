//! Videos that leave: with an erasure, after a restore, and a backup in which one is missing.

use crate::{
    backups::{BackedUp, PASSPHRASE},
    clinic::{AMINA, Clinic, TODAY, day},
    photographs::{every_byte, holds},
    videos::{answer, consented, film, kept, mp4, videos},
};
use axum::http::StatusCode;
use clinic::NewErasureRequest;
use plantigrade::{
    app::{App, Mode},
    backing_up::{self, give_erasures_to, give_withdrawals_to},
    restoring::{RestoreWish, restore},
    settings::Settings,
};
use record::{Body, Entry, EntryId, GaitVideo, Timestamp, UserId, VideoHash};
use safekeeping::UnlockSecret;
use std::fs;

#[tokio::test]
async fn an_erased_record_leaves_no_video() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    kept(&mut browser, child, film(12)).await;
    let trace = &mp4::slice(2)[8..60];
    assert!(holds(&every_byte(clinic.dir.path()), trace));
    let (first, second) = (UserId::new(uuid::Uuid::now_v7()), UserId::new(uuid::Uuid::now_v7()));
    let at = clinic.app.clock.now();
    let request = NewErasureRequest {
        child,
        entries: None,
        by: first,
        at,
        reason: "asked for".into(),
        basis: "the law".into(),
    };
    let requests = clinic.app.records.erasure_requests();
    let number = requests.add(request).unwrap();
    requests.carry_out(number, second, at, clinic.entries(child).len()).unwrap();
    assert!(clinic.app.videos().hashes().unwrap().is_empty());
    assert!(!holds(&every_byte(clinic.dir.path()), trace), "nothing of it is left in any file");
}

/// A backup with videos of two children is made; then one family takes its consent back and the record of the other is
/// erased. The restored backup shows neither. A consent to photographs is not touched by either.
#[tokio::test]
async fn an_older_backup_brings_back_no_video_that_was_withdrawn_or_erased() {
    let mut site = BackedUp::new().await;
    let [hidden, erased] = [site.children[0], site.children[1]];
    crate::photographs::answer(&mut site.browser, hidden, "given").await;
    for (child, pictures) in [(hidden, 8), (erased, 12)] {
        answer(&mut site.browser, child, "given").await;
        kept(&mut site.browser, child, film(pictures)).await;
    }
    let made = site.made();
    let (dir, stick) = (site.clinic.dir.path().to_owned(), site.stick.path());
    fs::write(dir.join("clinic.toml"), format!("[backups]\nfolders = [{stick:?}]\n")).unwrap();
    let ((entry, _), (_, gone)) =
        (videos(&site.clinic, hidden).remove(0), videos(&site.clinic, erased).remove(0));
    answer(&mut site.browser, hidden, "withdrawn").await;
    let (records, clock) = (&site.clinic.app.records, site.clinic.app.clock);
    for entry in site.clinic.entries(erased) {
        records.erase(entry.id, "asked for", UserId::new(uuid::Uuid::now_v7()), clock.now()).unwrap();
    }
    let settings = Settings::read(&dir).unwrap();
    give_erasures_to(&dir, records, &settings);
    give_withdrawals_to(&dir, records, &settings, day(TODAY));
    let place = tempfile::tempdir().unwrap();
    let to = place.path().join("records");
    let wish = RestoreWish {
        file: made.file.clone(),
        to: to.clone(),
        until: None,
        move_aside: false,
        reason: "the disk was lost".into(),
        at: Timestamp::from_seconds(clock.now().seconds() + 60),
    };
    restore(&wish, &UnlockSecret::typed(PASSPHRASE, None).unwrap()).unwrap();
    let app = std::sync::Arc::new(App::open(&to, clock, Mode::default()).unwrap());
    let hashes = app.videos().hashes().unwrap();
    assert!(!hashes.contains(&gone.video) && hashes.len() == 1, "{hashes:?}");
    let clinic = Clinic { router: plantigrade::routes::router(app.clone()), app, dir: place };
    let mut browser = clinic.browser_signed_in().await;
    let page = browser.get(&format!("/child/{hidden}/videos")).await;
    assert!(page.text.contains("after the backup was made that was restored"), "{}", page.text);
    let film = format!("/child/{hidden}/videos/{entry}/film");
    assert_eq!(browser.get(&film).await.status, StatusCode::NOT_FOUND);
    let page = browser.get(&format!("/child/{hidden}/photographs")).await;
    assert!(page.text.contains("The family consents to photographs since"), "{}", page.text);
    // The family is asked again, and consents.
    std::thread::sleep(std::time::Duration::from_millis(1_100));
    answer(&mut browser, hidden, "given").await;
    assert_eq!(browser.get(&film).await.status, StatusCode::OK);
}

#[tokio::test]
async fn a_backup_without_its_videos_fails_the_drill() {
    let mut site = BackedUp::new().await;
    let child = site.children[0];
    answer(&mut site.browser, child, "given").await;
    kept(&mut site.browser, child, film(12)).await;
    let drill = || backing_up::drill(&site.on(site.clinic.app.clock), site.stick.path()).unwrap().wrong;
    site.made();
    assert_eq!(drill(), Vec::<String>::new());
    // An entry whose video is not kept, as where the file was lost.
    let like = site.clinic.entries(child).pop().unwrap();
    let Body::GaitVideo(video) = like.body else { panic!() };
    let body = GaitVideo { video: VideoHash::new([9; 32]), ..video }.into();
    let entry = Entry { id: EntryId::new(uuid::Uuid::now_v7()), body, ..like };
    site.clinic.app.records.append(vec![entry]).unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1_100));
    site.made();
    assert_eq!(drill(), ["1 videos that its entries name are not in it."]);
}

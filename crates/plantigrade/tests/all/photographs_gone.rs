//! Photographs that leave: with an erasure, after a restore, and a backup in which one is missing.

use crate::{
    backups::{BackedUp, PASSPHRASE},
    clinic::{AMINA, Clinic, TODAY, day},
    commands::{code, err, out, run},
    photographs::{answer, consented, every_byte, holds, jpeg, kept, photographs, picture},
};
use axum::http::StatusCode;
use clinic::{NewErasureRequest, PICTURES_FILE};
use plantigrade::{
    app::{App, Mode},
    backing_up::{self, EVENTS_FILE, give_erasures_to, give_withdrawals_to},
    checks,
    restoring::{RestoreWish, restore},
    settings::Settings,
};
use record::{Body, Entry, EntryId, Photograph, PhotographView, Timestamp, UserId};
use safekeeping::UnlockSecret;
use std::fs;

#[tokio::test]
async fn an_erased_record_leaves_no_picture() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    kept(&mut browser, child, TODAY, &[("left", PhotographView::Sole, jpeg(1))]).await;
    let (_, one) = photographs(&clinic, child).remove(0);
    let stored = clinic.app.pictures().read(one.picture, clinic::KeptSize::Whole).unwrap().unwrap();
    let part = &stored[stored.len() / 2..stored.len() / 2 + 32];
    assert!(holds(&every_byte(clinic.dir.path()), part));
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
    assert!(clinic.app.pictures().hashes().unwrap().is_empty());
    assert!(!holds(&every_byte(clinic.dir.path()), part), "nothing of it is left in any file");
}

/// A backup with photographs of two children is made; then one family takes its consent back and the record of the
/// other is erased. The restored backup shows neither.
#[tokio::test]
async fn an_older_backup_brings_back_no_picture_that_was_withdrawn_or_erased() {
    let mut site = BackedUp::new().await;
    let [hidden, erased] = [site.children[0], site.children[1]];
    for (child, seed) in [(hidden, 1), (erased, 2)] {
        answer(&mut site.browser, child, "given").await;
        kept(&mut site.browser, child, TODAY, &[("left", PhotographView::Sole, jpeg(seed))]).await;
    }
    let made = site.made();
    let (dir, stick) = (site.clinic.dir.path().to_owned(), site.stick.path());
    fs::write(dir.join("clinic.toml"), format!("[backups]\nfolders = [{stick:?}]\n")).unwrap();
    let of = |clinic: &Clinic, child| photographs(clinic, child).remove(0);
    let ((entry, _), (_, gone)) = (of(&site.clinic, hidden), of(&site.clinic, erased));
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
    assert!(to.join(PICTURES_FILE).exists());
    let app = std::sync::Arc::new(App::open(&to, clock, Mode::default()).unwrap());
    let hashes = app.pictures().hashes().unwrap();
    assert!(!hashes.contains(&gone.picture) && hashes.len() == 1, "{hashes:?}");
    let clinic = Clinic { router: plantigrade::routes::router(app.clone()), app, dir: place };
    let mut browser = clinic.browser_signed_in().await;
    let page = browser.get(&format!("/child/{hidden}/photographs")).await;
    assert!(page.text.contains("after the backup was made that was restored"), "{}", page.text);
    assert_eq!(picture(&mut browser, hidden, entry, "whole").await.status, StatusCode::NOT_FOUND);
    // The family is asked again, and consents.
    std::thread::sleep(std::time::Duration::from_millis(1_100));
    answer(&mut browser, hidden, "given").await;
    assert_eq!(picture(&mut browser, hidden, entry, "whole").await.status, StatusCode::OK);
}

#[tokio::test]
async fn a_backup_without_its_pictures_fails_the_drill() {
    let mut site = BackedUp::new().await;
    let child = site.children[0];
    answer(&mut site.browser, child, "given").await;
    kept(&mut site.browser, child, TODAY, &[("left", PhotographView::Sole, jpeg(1))]).await;
    let drill = || backing_up::drill(&site.on(site.clinic.app.clock), site.stick.path()).unwrap();
    site.made();
    assert_eq!(drill().wrong, Vec::<String>::new());
    // An entry whose picture is not kept, as where the file was lost.
    let like = site.clinic.entries(child).pop().unwrap();
    let Body::Photograph(photograph) = like.body else { panic!() };
    let picture = record::PictureHash::new([9; 32]);
    let body = Photograph { picture, ..photograph }.into();
    let entry = Entry { id: EntryId::new(uuid::Uuid::now_v7()), body, ..like };
    site.clinic.app.records.append(vec![entry]).unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1_100));
    site.made();
    assert_eq!(drill().wrong, ["1 photograph that an entry names is missing or not as it was written."]);
    assert_eq!(drill().photographs, ["1 photograph of the child CF-101 is not kept."]);
    // The list of backups can be read without a key: no number of a child is in it.
    let events = fs::read_to_string(site.clinic.dir.path().join(EVENTS_FILE)).unwrap();
    assert!(events.contains("missing or not as it was written") && !events.contains("CF-101"), "{events}");
}

/// A byte of a kept picture is changed, as by a failing disk: the check of the records, the command and the drill of a
/// backup made of it all find it and say whose it is. Nothing else stops.
#[tokio::test]
async fn a_changed_byte_in_a_kept_picture_is_found_and_named() {
    let mut site = BackedUp::new().await;
    let child = site.children[0];
    answer(&mut site.browser, child, "given").await;
    let two = [("left", PhotographView::Sole, jpeg(1)), ("right", PhotographView::Sole, jpeg(2))];
    kept(&mut site.browser, child, TODAY, &two).await;
    let data = site.clinic.dir.path();
    let sound = run(data, &["verify"]);
    assert_eq!(code(&sound), 0, "{}", err(&sound));
    assert!(out(&sound).contains("2 photographs that entries name were read"), "{}", out(&sound));
    let (_, one) = photographs(&site.clinic, child).remove(0);
    let stored = site.clinic.app.pictures().read(one.picture, clinic::KeptSize::Whole).unwrap().unwrap();
    let file = data.join(PICTURES_FILE);
    let mut bytes = fs::read(&file).unwrap();
    let part = &stored[stored.len() / 2..stored.len() / 2 + 32];
    let at = bytes.windows(32).position(|window| window == part).unwrap();
    bytes[at] ^= 1;
    fs::write(&file, bytes).unwrap();
    let sentence = "1 photograph of the child CF-101 is not as it was written.";
    let report = site.clinic.app.records.check_pictures(&site.clinic.app.pictures(), day(TODAY)).unwrap();
    assert_eq!((report.named, report.faults_count, report.faults), (2, 1, vec![sentence.to_owned()]));
    let found = run(data, &["verify"]);
    assert_eq!(code(&found), 4, "{}", err(&found));
    assert!(
        out(&found).contains(sentence) && err(&found).contains("The entries are whole"),
        "{}",
        err(&found)
    );
    checks::check_now(&site.clinic.app).unwrap();
    let noted = checks::last(data).unwrap().unwrap();
    assert!(noted.to.contains("every entry is as it was saved; photographs: 1 photograph"), "{}", noted.to);
    let page = site.browser.get("/day").await;
    assert!(page.text.contains("missing or not as it was written"), "{}", page.text);
    assert_eq!(
        picture(&mut site.browser, child, photographs(&site.clinic, child)[1].0, "whole").await.status,
        StatusCode::OK
    );
    kept(&mut site.browser, child, TODAY, &[("left", PhotographView::Sole, jpeg(3))]).await;
    // Two of the three are sound and can be sealed.
    let made = site.made();
    assert_eq!((made.pieces, made.left_out), (2, 1));
    let outcome = backing_up::drill(&site.on(site.clinic.app.clock), site.stick.path()).unwrap();
    assert_eq!(outcome.photographs, ["1 photograph of the child CF-101 is not kept."]);
    assert!(!outcome.passed());
}

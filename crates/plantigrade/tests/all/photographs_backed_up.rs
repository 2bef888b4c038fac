//! Photographs and videos beside the backups: sealed once, put together again, missed, damaged, removed, and sealed anew
//! after a change of the key.

use crate::{
    backups::{BackedUp, PASSPHRASE, names},
    clinic::{Clinic, TODAY, day},
    commands::{code, err, out, run},
    photographs::{answer, every_byte, holds, jpeg, kept, photographs},
    videos::{self, film, stored, videos},
};
use backups::{
    BackupFile, BackupHeader, BackupSource, Manifest, PieceContents, PieceId, SealedPieces, clinic_id,
};
use clinic::{FILE_NAME, KeptSize, PICTURES_FILE, PICTURES_INDEX_FILE, VIDEO_PIECE_BYTES};
use plantigrade::{
    app::{App, Mode},
    backing_up::{self, BackupKeys, DrillOutcome, MissingPieces, give_erasures_to},
    clock::Clock,
    found_backups,
    restoring::{RestoreReport, RestoreWish, restore},
    settings::Settings,
};
use record::{ChildId, Photograph, PhotographView, PictureHash, Timestamp, UserId, VideoHash};
use safekeeping::UnlockSecret;
use std::{
    fs,
    path::{Path, PathBuf},
};
use tempfile::TempDir;

/// What is added to a piece when it is sealed, at most: the header of the file (below 1,000 bytes, with a stanza of
/// random length that readers pass over), the own beginning (20 + 1 + 2 × 36 bytes), a nonce of 16, and 16 for each
/// 64 kB begun.
fn sealed_at_most(plain: usize) -> u64 {
    (plain + 1_000 + 93 + 16 + 16 * (plain / 65_536 + 1)) as u64
}

/// Every kept picture and every kept video, with their bytes.
type Everything = (Vec<(PictureHash, PieceContents)>, Vec<(VideoHash, Vec<u8>)>);

impl BackedUp {
    /// One with a photograph of each child, and a video of the first.
    async fn with_pictures() -> Self {
        let mut site = Self::new().await;
        let [one, two] = site.children;
        for (child, seed) in [(one, 1), (two, 2)] {
            answer(&mut site.browser, child, "given").await;
            site.photograph(child, seed).await;
        }
        videos::answer(&mut site.browser, one, "given").await;
        videos::kept(&mut site.browser, one, film(12)).await;
        site
    }

    async fn photograph(&mut self, child: ChildId, seed: u32) {
        kept(&mut self.browser, child, TODAY, &[("left", PhotographView::Sole, jpeg(seed))]).await;
    }

    fn of(&self, child: ChildId) -> Photograph {
        photographs(&self.clinic, child).pop().unwrap().1
    }

    fn store(&self) -> SealedPieces {
        let keys = BackupKeys::needed(self.clinic.dir.path()).unwrap();
        SealedPieces::beside(self.stick.path(), &clinic_id(self.clinic.app.site), &keys.key)
    }

    fn contents(&self, picture: PictureHash) -> PieceContents {
        let read = |size| self.clinic.app.pictures().read(picture, size).unwrap().unwrap();
        PieceContents::Picture(read(KeptSize::Whole), read(KeptSize::Thumbnail))
    }

    /// The sealed file of a photograph.
    fn file_of(&self, picture: PictureHash) -> PathBuf {
        self.file(&self.contents(picture).id())
    }

    fn file(&self, id: &PieceId) -> PathBuf {
        let store = self.store();
        store.folder().join(store.name(id))
    }

    fn drilled(&self) -> DrillOutcome {
        backing_up::drill(&self.on(self.clinic.app.clock), self.stick.path()).unwrap()
    }

    /// Every photograph and video of the clinic as it is kept.
    fn everything(&self) -> Everything {
        let pictures = self.children.into_iter().flat_map(|child| photographs(&self.clinic, child));
        let pictures = pictures.map(|(_, one)| (one.picture, self.contents(one.picture))).collect();
        let films = self.children.into_iter().flat_map(|child| videos(&self.clinic, child));
        (pictures, films.map(|(_, one)| (one.video, stored(&self.clinic, &one))).collect())
    }
}

fn restored(file: &Path, to: &Path) -> RestoreReport {
    let wish = RestoreWish {
        file: file.to_owned(),
        to: to.to_owned(),
        until: None,
        move_aside: true,
        reason: "the disk was lost".into(),
        at: Timestamp::from_seconds(1_741_100_000),
    };
    restore(&wish, &UnlockSecret::typed(PASSPHRASE, None).unwrap()).unwrap()
}

/// The backup, opened, and its files in a folder.
fn extracted(site: &BackedUp, file: &Path) -> (BackupHeader, Manifest, TempDir) {
    let keys = BackupKeys::needed(site.clinic.dir.path()).unwrap();
    let (file, work) = (BackupFile::open(file).unwrap(), tempfile::tempdir().unwrap());
    let manifest = file.unlock(&keys.key).unwrap().extract(work.path()).unwrap();
    (file.header, manifest, work)
}

/// Whether the records in a folder have every photograph and video of the clinic, byte for byte.
fn has_everything(site: &BackedUp, to: &Path) {
    let app = App::open(to, site.clinic.app.clock, Mode::default()).unwrap();
    let (pictures, films) = site.everything();
    assert_eq!((app.pictures().hashes().unwrap().len(), app.videos().hashes().unwrap().len()), (2, 1));
    for (hash, contents) in pictures {
        let read = |size| app.pictures().read(hash, size).unwrap().unwrap();
        assert!(PieceContents::Picture(read(KeptSize::Whole), read(KeptSize::Thumbnail)) == contents);
    }
    for (hash, bytes) in films {
        assert!(app.videos().read(hash, 0..u64::MAX).unwrap().unwrap() == bytes);
    }
    assert!(!to.join(PICTURES_INDEX_FILE).exists());
}

#[tokio::test]
async fn a_second_backup_seals_only_what_is_new() {
    let mut site = BackedUp::with_pictures().await;
    let first = site.made();
    let film = stored(&site.clinic, &videos(&site.clinic, site.children[0])[0].1).len();
    // Two photographs, and the pieces of the video.
    let pieces = 2 + film.div_ceil(VIDEO_PIECE_BYTES);
    assert_eq!((first.pieces, first.pieces_written, first.left_out), (pieces, pieces, 0));
    let before = site.store().lengths().unwrap();
    assert_eq!(before.len(), pieces);
    assert_eq!(before.values().sum::<u64>(), first.piece_bytes);

    let child = site.children[0];
    site.photograph(child, 3).await;
    let second = site.made_later();
    assert_eq!((second.pieces, second.pieces_written), (pieces + 1, 1));
    let after = site.store().lengths().unwrap();
    let new: Vec<u64> =
        after.iter().filter(|(name, _)| !before.contains_key(*name)).map(|(_, bytes)| *bytes).collect();
    let PieceContents::Picture(whole, small) = site.contents(site.of(child).picture) else { panic!() };
    let plain = whole.len() + small.len();
    assert_eq!(new.len(), 1);
    assert!((plain as u64..=sealed_at_most(plain)).contains(&new[0]), "{} of {plain}", new[0]);
    assert!(before.iter().all(|(name, bytes)| after.get(name) == Some(bytes)), "the others are as they were");

    // The file of the backup has the files that are in it, their list and its first line, and no picture: 16 bytes are
    // added for each 64 kB, and 1,000 at most for the header of the encrypted part.
    let (header, manifest, work) = extracted(&site, &second.file);
    let files: u64 = manifest.files.iter().map(|file| file.bytes).sum();
    let list = serde_json::to_vec(&manifest).unwrap().len() as u64;
    let line = serde_json::to_vec(&header).unwrap().len() as u64 + 1;
    let most = files + list + line + 16 * (files + list).div_ceil(65_536) + 16 + 1_000 + 100;
    assert!((files + list..=most).contains(&second.bytes), "{} of {files} + {list}", second.bytes);
    assert_eq!((header.plantigrade_backup, header.pieces.is_some()), (2, true));
    let named: Vec<&str> = manifest.files.iter().map(|file| file.name.as_str()).collect();
    assert!(named.contains(&PICTURES_INDEX_FILE) && !named.contains(&PICTURES_FILE), "{named:?}");
    let part = &whole[whole.len() / 2..whole.len() / 2 + 32];
    assert!(!holds(&every_byte(work.path()), part), "no picture is in the file");
    assert!(!holds(&every_byte(site.stick.path()), part), "and none beside it can be read");
    assert!(site.drilled().passed(), "{:?}", site.drilled().wrong);
    // Whoever looks for backups does not look through the pieces.
    let found = found_backups::newest_below(&[site.stick.path().to_owned()]);
    assert_eq!(found.len(), 2);
    let page = site.browser.get("/backups").await;
    assert_eq!(page.status, axum::http::StatusCode::OK);
}

#[tokio::test]
async fn a_restore_gives_every_picture_and_video_back_byte_for_byte() {
    let site = BackedUp::with_pictures().await;
    let made = site.made();
    let place = tempfile::tempdir().unwrap();
    let to = place.path().join("records");
    let report = restored(&made.file, &to);
    assert_eq!(report.missing, None);
    assert!(!report.notice().contains(".pictures"), "{}", report.notice());
    has_everything(&site, &to);
    let checked = run(&to, &["verify"]);
    assert_eq!(code(&checked), 0, "{}{}", out(&checked), err(&checked));
    // Each row has its margin of a page, so that an erasure overwrites a picture wholly.
    let conn = rusqlite::Connection::open(to.join(PICTURES_FILE)).unwrap();
    let margin: i64 =
        conn.query_row("SELECT min(length(margin)) FROM pictures", [], |row| row.get(0)).unwrap();
    assert_eq!(margin, 4_096);
    // The restored clinic goes on with the same pieces.
    drop(conn);
    let app = App::open(&to, site.clinic.app.clock, Mode::default()).unwrap();
    let clinic = backing_up::BackedUpClinic {
        dir: &to,
        records: &app.records,
        clock: site.clinic.app.clock,
        by: String::new(),
    };
    std::thread::sleep(std::time::Duration::from_millis(1_100));
    let next = backing_up::make(&clinic, site.stick.path()).unwrap();
    assert_eq!((next.pieces, next.pieces_written), (made.pieces, 0));
}

#[tokio::test]
async fn a_missing_picture_is_named_and_everything_else_is_restored() {
    let site = BackedUp::with_pictures().await;
    let made = site.made();
    let [first, second] = site.children.map(|child| site.of(child).picture);
    let file = site.file_of(first);
    fs::remove_file(&file).unwrap();
    let folder = site.store().folder().file_name().unwrap().to_str().unwrap().to_owned();
    let outcome = site.drilled();
    let named = file.file_name().unwrap().to_str().unwrap();
    assert!(
        outcome.wrong[0].contains(&folder) && outcome.wrong[0].contains("1 file is missing"),
        "{:?}",
        outcome.wrong
    );
    assert!(
        outcome.wrong[0].contains("1 photograph") && outcome.wrong[0].contains(named),
        "{:?}",
        outcome.wrong
    );
    assert_eq!(outcome.photographs, ["1 photograph of the child CF-101 is not kept."]);

    let place = tempfile::tempdir().unwrap();
    let to = place.path().join("records");
    let report = restored(&made.file, &to);
    let MissingPieces { photographs, video_pieces, missing, damaged, .. } = report.missing.clone().unwrap();
    assert_eq!((photographs, video_pieces, missing, damaged), (1, 0, 1, 0));
    assert!(report.notice().contains("1 photograph could not be restored"), "{}", report.notice());
    assert!(report.notice().contains(&folder), "{}", report.notice());
    let app = App::open(&to, site.clinic.app.clock, Mode::default()).unwrap();
    assert_eq!(app.pictures().hashes().unwrap(), [second].into(), "no empty picture is left");
    assert_eq!(app.videos().hashes().unwrap().len(), 1);
    assert_eq!(app.records.state().unwrap().mark.entries, made.state.mark.entries);
    drop(app);
    let checked = run(&to, &["verify"]);
    assert_eq!(code(&checked), 4, "{}", err(&checked));
    assert!(out(&checked).contains("1 photograph of the child CF-101 is not kept."), "{}", out(&checked));

    // Without the whole folder: two photographs and the pieces of one video.
    let carried = place.path().join("carried.backup");
    fs::copy(&made.file, &carried).unwrap();
    let report = restored(&carried, &to);
    let missing = report.missing.clone().unwrap();
    assert_eq!((missing.photographs, missing.videos, missing.damaged), (2, 1, 0));
    assert_eq!(missing.missing, made.pieces);
    assert!(
        report.notice().contains(&folder) && report.notice().contains("of 1 video"),
        "{}",
        report.notice()
    );
    let by_command = crate::restoring::restored(&carried, &to, PASSPHRASE, &["--move-aside"]);
    assert!(out(&by_command).contains("2 photographs and"), "{}{}", out(&by_command), err(&by_command));

    // The next backup seals the missing one anew.
    let next = site.made_later();
    assert_eq!(next.pieces_written, 1);
    assert_eq!(site.drilled().wrong, Vec::<String>::new());
}

#[tokio::test]
async fn a_changed_picture_fails_the_drill_and_the_next_backup_seals_it_anew() {
    let site = BackedUp::with_pictures().await;
    site.made();
    assert!(site.drilled().passed());
    let file = site.file_of(site.of(site.children[1]).picture);
    let mut bytes = fs::read(&file).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(&file, &bytes).unwrap();
    // A backup looks at the length alone.
    let made = site.made_later();
    assert_eq!(made.pieces_written, 0);
    let outcome = site.drilled();
    let named = file.file_name().unwrap().to_str().unwrap();
    assert!(
        outcome.wrong[0].contains("1 file is damaged") && outcome.wrong[0].contains(named),
        "{:?}",
        outcome.wrong
    );
    assert_eq!(outcome.photographs, ["1 photograph of the child W-77 is not kept."]);
    let place = tempfile::tempdir().unwrap();
    let missing = restored(&made.file, &place.path().join("records")).missing.unwrap();
    assert_eq!((missing.photographs, missing.damaged, missing.missing), (1, 1, 0));
    let next = site.made_later();
    assert_eq!(next.pieces_written, 1, "after a drill that failed all of them are read");
    assert_eq!(site.drilled().wrong, Vec::<String>::new());
    // One with another length is noticed without a drill.
    fs::write(&file, &bytes[..middle]).unwrap();
    assert_eq!(site.made_later().pieces_written, 1);
    assert!(site.drilled().passed());
}

#[tokio::test]
async fn a_video_comes_back_whole_or_not_at_all_and_the_drill_says_so() {
    let site = BackedUp::with_pictures().await;
    let made = site.made();
    let film = stored(&site.clinic, &videos(&site.clinic, site.children[0])[0].1);
    let first = PieceContents::Video(film.chunks(VIDEO_PIECE_BYTES).next().unwrap().to_vec());
    fs::remove_file(site.file(&first.id())).unwrap();
    let wrong = site.drilled().wrong;
    assert!(wrong.iter().any(|text| text.contains("1 piece of 1 video cannot be restored")), "{wrong:?}");
    assert!(wrong.contains(&"1 videos that its entries name are not in it.".to_owned()), "{wrong:?}");
    let place = tempfile::tempdir().unwrap();
    let to = place.path().join("records");
    let missing = restored(&made.file, &to).missing.unwrap();
    assert_eq!((missing.photographs, missing.video_pieces, missing.videos), (0, 1, 1));
    let app = App::open(&to, site.clinic.app.clock, Mode::default()).unwrap();
    assert!(app.videos().hashes().unwrap().is_empty());
    assert_eq!(app.pictures().hashes().unwrap().len(), 2);
}

/// Its picture is gone from beside the backup too: a restore erases its entry again, and nothing is missing.
#[tokio::test]
async fn what_was_erased_since_is_not_missed() {
    let site = BackedUp::with_pictures().await;
    let made = site.made();
    let (dir, stick) = (site.clinic.dir.path(), site.stick.path());
    fs::write(dir.join("clinic.toml"), format!("[backups]\nfolders = [{stick:?}]\n")).unwrap();
    let file = site.file_of(site.of(site.children[1]).picture);
    let records = &site.clinic.app.records;
    for entry in site.clinic.entries(site.children[1]) {
        records
            .erase(entry.id, "asked for", UserId::new(uuid::Uuid::now_v7()), site.clinic.app.clock.now())
            .unwrap();
    }
    give_erasures_to(dir, records, &Settings::read(dir).unwrap());
    fs::remove_file(file).unwrap();
    let place = tempfile::tempdir().unwrap();
    let report = restored(&made.file, &place.path().join("records"));
    assert_eq!(report.missing, None);
    assert!(report.records.erased_again >= 1);
}

/// Monday 6 January, Tuesday 7 January, and 4 March, 56 days later: by the rule the first goes, because the second is
/// the last of its week and of January.
#[tokio::test]
async fn pieces_are_removed_with_the_last_backup_that_lists_them_and_nothing_else_is() {
    let mut site = BackedUp::with_pictures().await;
    let on = |site: &BackedUp, today: &str| {
        backing_up::make(&site.on(Clock::new(Some(day(today)))), site.stick.path()).unwrap()
    };
    let first = on(&site, "2025-01-06");
    let gone = site.file_of(site.of(site.children[1]).picture);
    for entry in site.clinic.entries(site.children[1]) {
        let by = UserId::new(uuid::Uuid::now_v7());
        site.clinic.app.records.erase(entry.id, "asked for", by, site.clinic.app.clock.now()).unwrap();
    }
    let second = on(&site, "2025-01-07");
    assert_eq!((second.pieces, second.removed.len()), (first.pieces - 1, 0));
    assert!(gone.exists(), "the first backup still lists it");
    let folder = site.store().folder().to_owned();
    let notes = [folder.join("notes.txt"), gone.with_file_name("holiday.jpg")];
    notes.iter().for_each(|notes| fs::write(notes, "somebody's").unwrap());
    let third = on(&site, TODAY);
    assert_eq!(third.removed.len(), 1);
    assert!(!first.file.exists() && second.file.exists());
    assert!(!gone.exists() && notes.iter().all(|notes| notes.exists()));
    assert_eq!(site.store().lengths().unwrap().len(), third.pieces, "what is listed stays");
    assert_eq!(site.drilled().wrong, Vec::<String>::new());

    // While the list of a backup of this clinic cannot be read, nothing is removed.
    let unlisted = PieceContents::Video(vec![5; 700]);
    site.store().seal(&unlisted).unwrap();
    let damaged = site.stick.path().join(format!("plantigrade-{}-x.backup", clinic_id(site.clinic.app.site)));
    fs::write(&damaged, "damaged").unwrap();
    site.made_later();
    assert!(site.file(&unlisted.id()).exists());
    fs::remove_file(&damaged).unwrap();
    let child = site.children[0];
    site.photograph(child, 4).await;
    let last = site.made_later();
    assert!(!site.file(&unlisted.id()).exists());
    assert_eq!(site.store().lengths().unwrap().len(), last.pieces);
    assert_eq!(site.drilled().wrong, Vec::<String>::new());
}

#[tokio::test]
async fn after_a_change_of_the_key_all_is_sealed_anew_in_another_folder() {
    let site = BackedUp::with_pictures().await;
    let (dir, stick) = (site.clinic.dir.path(), site.stick.path());
    let first = site.made();
    let old = site.store().folder().to_owned();
    for file in [backing_up::KEY_FILE, backing_up::SLOTS] {
        fs::remove_file(dir.join(file)).unwrap();
    }
    backing_up::set_up(dir, PASSPHRASE).unwrap().unwrap();
    let second = site.made_later();
    assert_ne!(site.store().folder(), old);
    assert_eq!(second.pieces_written, first.pieces);
    // Each backup is restored from the pieces of its own key.
    let place = tempfile::tempdir().unwrap();
    for (name, made) in [("old", &first), ("new", &second)] {
        let to = place.path().join(name);
        assert_eq!(restored(&made.file, &to).missing, None, "{name}");
        has_everything(&site, &to);
    }
    // The folder of the earlier key goes with the last backup that names it.
    assert!(old.is_dir());
    fs::remove_file(&first.file).unwrap();
    site.made_later();
    assert!(!old.exists(), "{:?}", names(stick));
    assert_eq!(site.drilled().wrong, Vec::<String>::new());
}

/// A backup as earlier versions of the program wrote it: one file of form 1, with every picture in it.
#[tokio::test]
async fn a_backup_of_the_earlier_form_is_restored_and_tried_as_before() {
    let site = BackedUp::with_pictures().await;
    let made = site.made();
    let (header, manifest, work) = extracted(&site, &made.file);
    let data = site.clinic.dir.path();
    site.clinic.app.pictures().copy_to(work.path()).unwrap();
    let own =
        manifest.files.iter().map(|file| file.name.as_str()).filter(|name| *name != PICTURES_INDEX_FILE);
    let sources: Vec<BackupSource> = own
        .chain([PICTURES_FILE])
        .map(|name| BackupSource { name: name.to_owned(), path: work.path().join(name) })
        .collect();
    fs::remove_file(&made.file).unwrap();
    fs::remove_dir_all(site.store().folder()).unwrap();
    let (header, manifest) = (header.with_pieces(None), Manifest { pieces: Vec::new(), ..manifest });
    let keys = BackupKeys::needed(data).unwrap();
    let file = backups::write(site.stick.path(), &header, manifest, &keys.key, &sources).unwrap();
    let file = file.finish().unwrap();
    assert_eq!(BackupFile::open(&file).unwrap().header.plantigrade_backup, 1);
    assert_eq!(site.drilled().wrong, Vec::<String>::new());
    let place = tempfile::tempdir().unwrap();
    let to = place.path().join("records");
    assert_eq!(restored(&file, &to).missing, None);
    assert!(to.join(FILE_NAME).exists());
    has_everything(&site, &to);
    // Beside it the next backup seals all of them.
    assert_eq!(site.made_later().pieces_written, made.pieces);
}

/// A clinic without pictures has backups of form 1, and no folder of pieces.
#[tokio::test]
async fn a_clinic_without_pictures_has_no_folder_of_pieces() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, crate::clinic::AMINA).await;
    answer(&mut browser, child, "given").await;
    backing_up::set_up(clinic.dir.path(), PASSPHRASE).unwrap();
    let site = BackedUp { clinic, browser, stick: tempfile::tempdir().unwrap(), children: [child, child] };
    let made = site.made();
    assert_eq!((made.pieces, made.piece_bytes), (0, 0));
    assert!(!site.store().folder().exists());
    assert_eq!(BackupFile::open(&made.file).unwrap().header.plantigrade_backup, 1);
}

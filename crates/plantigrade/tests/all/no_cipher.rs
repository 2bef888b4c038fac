//! A build that cannot encrypt: it says so on every page, and refuses encrypted records.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    clinic::Clinic,
    commands::{code, err, run},
};
use safekeeping::{KeySlots, RecordsKey, SLOTS_FILE};
use std::fs;

#[tokio::test]
async fn every_page_says_that_the_records_are_not_encrypted() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    for path in
        ["/day", "/find", "/settings", "/settings/encryption", "/first-steps/encryption", "/help", "/nowhere"]
    {
        let page = browser.get(path).await;
        assert_eq!(page.count(".unencrypted"), 1, "{path}: {}", page.text);
        assert!(page.shown(".unencrypted").contains("cannot encrypt"), "{path}");
    }
    let mut stranger = Clinic::invented().router;
    let _ = &mut stranger;
    let mut browser = crate::clinic::Browser::new(stranger);
    assert_eq!(browser.get("/sign-in").await.count(".unencrypted"), 1);
}

#[test]
fn encrypted_records_are_refused_with_a_sentence() {
    let dir = tempfile::tempdir().unwrap();
    let key = RecordsKey::new();
    fs::write(dir.path().join(SLOTS_FILE), KeySlots::new(&key).to_text().unwrap()).unwrap();
    fs::write(dir.path().join(clinic::FILE_NAME), [0x5a; 8_192]).unwrap();
    for args in [&["verify"][..], &["serve", "--no-open", "--listen", "127.0.0.1:0"]] {
        let output = run(dir.path(), args);
        assert_eq!(code(&output), 9, "{args:?}: {}", err(&output));
        assert!(err(&output).contains("this build of the program has no encryption"), "{}", err(&output));
    }
    assert_eq!(fs::read(dir.path().join(clinic::FILE_NAME)).unwrap(), [0x5a; 8_192]);
}

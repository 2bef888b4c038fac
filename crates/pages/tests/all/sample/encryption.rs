//! The pages about encryption.

use super::frame;
use maud::Markup;
use pages::{
    BackupOnDisk, Frame, Here, RestoreView,
    encryption::{
        self, EncryptionState, EncryptionView, LAST_GROUP, OWN_PASSWORD, PASSPHRASE, RecoverySheetView,
        SheetPurpose,
    },
    fields::Filled,
};
use record::Rights;

const HINT: &str = "At least 12 characters.";

fn view(state: EncryptionState) -> EncryptionView {
    EncryptionView { state, hint: HINT, filled: Filled::default(), trouble: None }
}

fn groups(first: &str) -> Vec<String> {
    let rest = ["4kwmz", "p7c3d", "hy2vf", "jr6tn", "9sgxa", "ekb5q", "u2m8w"];
    std::iter::once(first).chain(rest).map(str::to_owned).collect()
}

pub fn pages() -> Vec<(&'static str, Markup)> {
    let settings = Frame { invented: false, ..frame(Here::Settings) };
    let ways = ["the passphrase", "the recovery code on its sheet", "the key file “start.key”"];
    let encrypted = EncryptionState::Encrypted(ways.map(str::to_owned).to_vec());
    let refused = EncryptionView {
        filled: Filled::default()
            .wrong(PASSPHRASE, "The passphrase needs at least 12 characters.")
            .wrong(OWN_PASSWORD, "Your own password is wrong."),
        trouble: Some("The disk is full.".into()),
        ..view(EncryptionState::Plain)
    };
    let cannot = Frame { cannot_encrypt: true, ..frame(Here::Day) };
    let mut all = vec![
        ("encryption-plain", encryption::encryption(&settings, &view(EncryptionState::Plain))),
        ("encryption-refused", encryption::encryption(&settings, &refused)),
        ("encryption-on", encryption::encryption(&settings, &view(encrypted.clone()))),
        (
            "encryption-invented",
            encryption::encryption(&settings, &view(EncryptionState::NotHere("Invented."))),
        ),
        ("encryption-no-cipher", encryption::encryption(&cannot, &view(EncryptionState::NoCipher))),
        ("first-encryption", encryption::first_encryption(&settings, &view(EncryptionState::Plain))),
        ("first-encryption-none", encryption::first_encryption(&cannot, &view(EncryptionState::NoCipher))),
        ("first-encryption-done", encryption::first_encryption(&settings, &view(encrypted))),
    ];
    all.extend(sheets(&settings));
    all
}

fn sheets(frame: &Frame) -> Vec<(&'static str, Markup)> {
    let sheet = RecoverySheetView {
        purpose: SheetPurpose::Encrypt,
        sheets: vec![groups("n3xqd")],
        folder: "/home/clinic/plantigrade".into(),
        asks_for_backup: true,
        last_copy: Some("13 May 2024, 17:30".into()),
        filled: Filled::default(),
    };
    let halves = RecoverySheetView {
        purpose: SheetPurpose::NewSheet,
        sheets: vec![groups("b8fja"), groups("z6ruc")],
        asks_for_backup: false,
        last_copy: None,
        filled: Filled::default().wrong(LAST_GROUP, "This is not the last group. Type it from the paper."),
        ..sheet.clone()
    };
    vec![
        ("recovery-sheet", encryption::recovery_sheet(frame, &sheet)),
        ("recovery-sheet-halves", encryption::recovery_sheet(frame, &halves)),
    ]
}

/// A backup is restored before anybody can sign in.
pub fn restores() -> Vec<(&'static str, Markup)> {
    let frame = Frame { user: None, rights: Rights::NONE, ..frame(Here::Elsewhere) };
    let found = [("/media/stick/plantigrade-3f2a-20240513T1700.backup", "13 May 2024 17:00, 4210 entries")]
        .map(|(path, words)| BackupOnDisk { path: path.into(), words: words.into() });
    let filled =
        Filled::default().with("reason", "new computer").wrong("secret", "This passphrase is wrong.");
    let restore = RestoreView { token: "one-time".into(), found: found.to_vec(), filled };
    let none = RestoreView { found: Vec::new(), ..restore.clone() };
    vec![("restore", pages::restore(&frame, &restore)), ("restore-none", pages::restore(&frame, &none))]
}

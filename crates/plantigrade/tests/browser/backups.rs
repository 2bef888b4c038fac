//! A backup by button, the loss of the folder, the restore, and the drill with its date on the page.

use crate::{
    clinic::{Clinic, WITNESSES},
    journey::{FIRST_VISIT, make_the_account, register},
    run,
    tab::{Browsing, Tab},
};
use std::{
    fs,
    io::Write,
    path::{Path, PathBuf},
    process::{Command, Output, Stdio},
};

const PASSPHRASE: &str = "four quiet herons wading";

/// Sets backups up on the page, and prints the recovery code.
async fn set_up(tab: &Tab, clinic: &Clinic, stick: &Path) {
    tab.go(&clinic.at("/backups")).await;
    tab.type_into("#f-backup-passphrase", PASSPHRASE).await;
    tab.type_into("#f-backup-passphrase-again", PASSPHRASE).await;
    tab.click_on(&tab.named("Set up backups").await).await;
    tab.says("Recovery code of the backups").await;
    assert!(tab.paper().await.starts_with(b"%PDF"), "it can be printed");
    tab.click_on(&tab.named("The code is printed: go on").await).await;
    tab.type_into("#f-backup-folder-1", stick.to_str().unwrap()).await;
    tab.click_on(&tab.named("Save").await).await;
    tab.says("The next backup is made by this.").await;
}

async fn back_up_and_try(tab: &Tab) {
    tab.click_on(&tab.named("Make a backup now").await).await;
    tab.says("read back and checked entry by entry").await;
    tab.click_on(&tab.named("Try the newest backup now").await).await;
    tab.says("The newest backup was opened and equals the records.").await;
    tab.says("Passed on 14 May 2024").await;
}

fn command(arguments: &[&str], typed: Option<&str>) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_plantigrade"));
    command.args(arguments).env_remove("PLANTIGRADE_DATA").env(WITNESSES.0, WITNESSES.1);
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let _ = child.stdin.take().unwrap().write_all(format!("{}\n", typed.unwrap_or_default()).as_bytes());
    child.wait_with_output().unwrap()
}

fn done(output: &Output) -> String {
    let (out, err) = (String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert!(output.status.success(), "{out}{err}");
    out.into_owned()
}

fn newest(stick: &Path) -> PathBuf {
    let mut found: Vec<PathBuf> = fs::read_dir(stick).unwrap().map(|file| file.unwrap().path()).collect();
    found.retain(|path| path.extension().is_some_and(|end| end == "backup"));
    found.sort();
    found.pop().unwrap()
}

#[test]
fn a_lost_folder_is_restored_from_the_backup_made_by_button() {
    run(async {
        let place = tempfile::tempdir().unwrap();
        let (folder, stick) = (place.path().join("records"), place.path().join("stick"));
        fs::create_dir(&stick).unwrap();
        let clinic = Clinic::serve(&folder, FIRST_VISIT);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        make_the_account(&tab, &clinic).await;
        tab.go(&clinic.at("/register")).await;
        register(&tab, true).await;
        set_up(&tab, &clinic, &stick).await;
        back_up_and_try(&tab).await;
        clinic.interrupt();

        fs::remove_dir_all(&folder).unwrap();
        let (file, to) = (newest(&stick), folder.to_str().unwrap());
        let restore =
            ["restore", file.to_str().unwrap(), "--to", to, "--reason", "lost", "--passphrase-stdin"];
        let told = done(&command(&restore, Some(PASSPHRASE)));
        assert!(told.contains("By the witness of this folder"), "{told}");
        let told = done(&command(&["verify", "--data", to], None));
        assert!(told.contains("Nothing was changed or lost"), "{told}");

        let clinic = Clinic::serve(&folder, FIRST_VISIT);
        tab.go(&clinic.at("/sign-in")).await;
        tab.type_into("#f-sign-in-name", "ida").await;
        tab.type_into("#f-password", crate::journey::PASSWORD).await;
        tab.click_on(&tab.named("Sign in").await).await;
        tab.go(&clinic.at("/records")).await;
        tab.says("Restored from the backup of").await;
        assert_eq!(tab.eval::<usize>("document.querySelectorAll('.records-notice').length").await, 0);
        tab.go(&clinic.at("/backups")).await;
        tab.click_on(&tab.named("Try the newest backup now").await).await;
        tab.says("Passed on 14 May 2024").await;
        assert!(tab.troubles().is_empty(), "the browser complains: {:?}", tab.troubles());
        browsing.close().await;
    });
}

/// The old computer is gone, and with it its witness: the link of the first start leads to the restore.
#[test]
fn a_new_computer_takes_the_backup_over_by_the_page() {
    run(async {
        let place = tempfile::tempdir().unwrap();
        let (folder, stick) = (place.path().join("old"), place.path().join("stick"));
        fs::create_dir(&stick).unwrap();
        let clinic = Clinic::serve(&folder, FIRST_VISIT);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(820, 1180).await;
        make_the_account(&tab, &clinic).await;
        tab.go(&clinic.at("/register")).await;
        register(&tab, true).await;
        set_up(&tab, &clinic, &stick).await;
        back_up_and_try(&tab).await;
        clinic.interrupt();

        let new = place.path().join("new");
        let clinic = Clinic::serve(&new, FIRST_VISIT);
        tab.go(&clinic.link).await;
        tab.click_on(&tab.named("Restore the backup").await).await;
        let file = newest(&stick);
        tab.type_into("#f-other-file", file.to_str().unwrap()).await;
        tab.type_into("#f-secret", "four quiet herons standing").await;
        tab.click_on(&tab.named("Restore it").await).await;
        tab.says("does not open").await;
        tab.type_into("#f-secret", PASSPHRASE).await;
        tab.click_on(&tab.named("Restore it").await).await;
        tab.says("These records were restored from the backup of").await;
        tab.go(&clinic.at("/sign-in")).await;
        tab.type_into("#f-sign-in-name", "ida").await;
        tab.type_into("#f-password", crate::journey::PASSWORD).await;
        tab.click_on(&tab.named("Sign in").await).await;
        tab.go(&clinic.at("/records")).await;
        tab.says("new computer").await;
        tab.says("How many entries were saved after the backup cannot be told").await;
        // The wrong passphrase, and the page while nothing else answers.
        let told = tab.troubles().into_iter().map(|trouble| format!("{trouble:?}"));
        let troubles: Vec<String> =
            told.filter(|trouble| !trouble.contains("422") && !trouble.contains("503")).collect();
        assert!(troubles.is_empty(), "the browser complains: {troubles:?}");
        clinic.interrupt();
        let told = done(&command(&["verify", "--data", new.to_str().unwrap()], None));
        assert!(told.contains("Nothing was changed or lost"), "{told}");
        browsing.close().await;
    });
}

//! Encrypted records and the commands: encrypting, unlocking, changing the key, and being killed meanwhile.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    at_rest::{PASSPHRASE, files, readable, slots_of},
    commands::{PROGRAM, WITNESSES, code, err, out, run},
    importing::SHEET,
};
use safekeeping::SLOTS_FILE;
use std::{
    fs,
    io::Write as _,
    path::{Path, PathBuf},
    process::{Command, Output, Stdio},
    time::{Duration, Instant},
};

/// Runs a command with a key file, and text on its standard input.
fn typed(data: &Path, args: &[&str], input: &str) -> Output {
    let mut process = command(data, args).stdin(Stdio::piped()).spawn().unwrap();
    // The command may have ended before it reads.
    let _ = process.stdin.take().unwrap().write_all(input.as_bytes());
    process.wait_with_output().unwrap()
}

fn command(data: &Path, args: &[&str]) -> Command {
    let mut command = Command::new(PROGRAM);
    command.env(WITNESSES.0, WITNESSES.1).args(args).args(["--data", data.to_str().unwrap()]);
    command.stdout(Stdio::piped()).stderr(Stdio::piped()).env_remove("PLANTIGRADE_KEY_FILE");
    command
}

/// A plain folder with two children, made by the command.
fn plain(dir: &Path) -> PathBuf {
    let (sheet, data) = (dir.join("visits.csv"), dir.join("data"));
    fs::write(&sheet, SHEET).unwrap();
    assert_eq!(code(&run(&data, &["import", sheet.to_str().unwrap()])), 3);
    data
}

fn text_of(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// Encrypts by the command; returns the key file.
fn encrypt(data: &Path, dir: &Path) -> PathBuf {
    let (key, sheet) = (dir.join("start.key"), dir.join("sheet.txt"));
    let args = [
        "encrypt",
        "--no-backup",
        "--passphrase-stdin",
        "--new-key-file",
        text_of(&key),
        "--sheet",
        text_of(&sheet),
    ];
    let done = typed(data, &args, &format!("{PASSPHRASE}\n{PASSPHRASE}\n"));
    assert_eq!(code(&done), 0, "{}{}", out(&done), err(&done));
    assert!(out(&done).contains("entries of 2 children are encrypted"), "{}", out(&done));
    key
}

#[test]
fn commands_encrypt_unlock_and_change_the_key() {
    let dir = tempfile::tempdir().unwrap();
    let data = plain(dir.path());
    let backup = dir.path().join("backup");
    let asked = typed(&data, &["encrypt", "--passphrase-stdin"], "");
    assert_eq!(code(&asked), 2, "a copy first, or not: {}", err(&asked));
    let weak = ["encrypt", "--backup", text_of(&backup), "--passphrase-stdin", "--sheet", "/dev/null/none"];
    let refused = typed(&data, &weak, "short\nshort\n");
    assert_eq!(code(&refused), 3, "{}", err(&refused));
    assert_eq!(code(&typed(&backup, &["verify"], "")), 0, "the copy is whole");
    let key = encrypt(&data, dir.path());
    assert_eq!(readable(&[&data], &["Brannock", "Ostwick", "SQLite format"]), Vec::<String>::new());
    let verify = |key: &Path| typed(&data, &["verify", "--key-file", text_of(key)], "");
    let checked = verify(&key);
    assert_eq!(code(&checked), 0, "{}{}", out(&checked), err(&checked));
    let child = typed(&data, &["child", "701", "--key-file", text_of(&key)], "");
    assert!(out(&child).contains("Brannock"), "{}{}", out(&child), err(&child));
    // In the environment, and as a credential of the system.
    let by_environment = command(&data, &["verify"]).env("PLANTIGRADE_KEY_FILE", &key).output().unwrap();
    assert_eq!(code(&by_environment), 0, "{}", err(&by_environment));
    let credentials = dir.path().join("credentials");
    fs::create_dir(&credentials).unwrap();
    fs::copy(&key, credentials.join("plantigrade-key")).unwrap();
    let by_credential =
        command(&data, &["verify"]).env("CREDENTIALS_DIRECTORY", &credentials).output().unwrap();
    assert_eq!(code(&by_credential), 0, "{}", err(&by_credential));
    // Encrypting twice, and a new passphrase, code and key.
    let again = typed(&data, &["encrypt", "--no-backup", "--key-file", text_of(&key)], "");
    assert_eq!(code(&again), 3, "{}", err(&again));
    let before = slots_of(&data);
    let change = ["change-key", "--passphrase-stdin", "--key-file", text_of(&key)];
    let changed = typed(&data, &change, "four quiet boats\nfour quiet boats\n");
    assert_eq!(code(&changed), 0, "{}", err(&changed));
    assert!(slots_of(&data).unlock_with_passphrase("four quiet boats").is_ok());
    assert_eq!(slots_of(&data).key_name(), before.key_name(), "the same key, locked anew");
    let sheet = dir.path().join("halves.txt");
    let halves = typed(
        &data,
        &["recovery-sheet", "--split", "--sheet", text_of(&sheet), "--key-file", text_of(&key)],
        "",
    );
    assert_eq!(code(&halves), 0, "{}", err(&halves));
    let text = fs::read_to_string(&sheet).unwrap();
    assert!(text.contains("HALF 1 OF 2") && text.contains('\u{c}') && text.contains("HALF 2 OF 2"), "{text}");
    let (new_key, new_sheet) = (dir.path().join("second.key"), dir.path().join("second.txt"));
    let all = [
        "change-key",
        "--records-key",
        "--passphrase-stdin",
        "--new-key-file",
        text_of(&new_key),
        "--sheet",
        text_of(&new_sheet),
        "--key-file",
        text_of(&key),
    ];
    let done = typed(&data, &all, &format!("{PASSPHRASE}\n{PASSPHRASE}\n"));
    assert_eq!(code(&done), 0, "{}{}", out(&done), err(&done));
    assert!(out(&done).contains("no longer unlock them; make new ones: start.key"), "{}", out(&done));
    assert_ne!(slots_of(&data).key_name(), before.key_name());
    assert_eq!((code(&verify(&key)), code(&verify(&new_key))), (9, 0));
}

#[cfg(unix)]
#[test]
fn refused_rows_are_for_their_owner_and_never_go_into_an_encrypted_folder() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let data = plain(dir.path());
    let refused = dir.path().join("visits.refused.csv");
    assert_eq!(fs::metadata(&refused).unwrap().permissions().mode() & 0o777, 0o600);
    let key = encrypt(&data, dir.path());
    fs::remove_file(&refused).unwrap();
    // A folder in which nothing can be made: /dev/fd has the sheet under a number.
    let sheet = fs::File::open(dir.path().join("visits.csv")).unwrap();
    let process =
        command(&data, &["import", "/dev/stdin", "--key-file", text_of(&key)]).stdin(sheet).output().unwrap();
    let told = err(&process);
    assert!(!told.contains("panicked"), "{told}");
    let plain: Vec<_> =
        files(&data).into_iter().filter(|path| path.to_string_lossy().contains("refused")).collect();
    assert_eq!(plain, Vec::<PathBuf>::new());
    assert_eq!(readable(&[&data], &["Brannock", "Ostwick"]), Vec::<String>::new());
}

#[test]
fn a_wrong_missing_or_foreign_key_is_a_sentence_each_and_changes_nothing() {
    let (one, two) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let (data, other) = (plain(one.path()), plain(two.path()));
    let (key, foreign) = (encrypt(&data, one.path()), encrypt(&other, two.path()));
    let not_a_key = one.path().join("letter.txt");
    fs::write(&not_a_key, "Dear colleague,\n").unwrap();
    let gone = one.path().join("gone.key");
    let before = |data: &Path| -> Vec<(PathBuf, Vec<u8>)> {
        let mut all: Vec<_> =
            files(data).into_iter().filter(|path| !text_of(path).ends_with("-shm")).collect();
        all.sort();
        all.into_iter().map(|path| (path.clone(), fs::read(path).unwrap())).collect()
    };
    let whole = before(&data);
    for (args, words) in [
        (&["verify", "--key-file", text_of(&foreign)][..], "does not open these records"),
        (&["verify", "--key-file", text_of(&gone)], "cannot be read"),
        (&["verify", "--key-file", text_of(&not_a_key)], "is no key file"),
        (&["verify"], "The records are encrypted. Run this at a terminal"),
        (&["import", "nowhere.csv", "--key-file", text_of(&foreign)], "does not open these records"),
        (
            &["salvage", "--to", text_of(&one.path().join("new")), "--key-file", text_of(&foreign)],
            "does not open",
        ),
    ] {
        let output = typed(&data, args, "");
        assert_eq!(code(&output), 9, "{args:?}: {}{}", out(&output), err(&output));
        assert!(err(&output).contains(words), "{args:?}: {}", err(&output));
    }
    assert_eq!(before(&data), whole);
    // Key slots of another clinic: they open, but not these records.
    let own = fs::read(data.join(SLOTS_FILE)).unwrap();
    fs::copy(other.join(SLOTS_FILE), data.join(SLOTS_FILE)).unwrap();
    let output = typed(&data, &["verify", "--key-file", text_of(&foreign)], "");
    assert_eq!(code(&output), 9, "{}", err(&output));
    assert!(err(&output).contains("another key than that of this folder"), "{}", err(&output));
    // Without slots at all.
    fs::remove_file(data.join(SLOTS_FILE)).unwrap();
    let output = typed(&data, &["verify"], "");
    assert!(err(&output).contains("key-slots.json is missing beside it"), "{}", err(&output));
    fs::write(data.join(SLOTS_FILE), own).unwrap();
    assert_eq!(before(&data), whole);
    assert_eq!(code(&typed(&data, &["verify", "--key-file", text_of(&key)], "")), 0);
}

fn copy_folder(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        if entry.path().is_dir() {
            copy_folder(&entry.path(), &to.join(entry.file_name()));
        } else {
            fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
        }
    }
}

/// Kills a command at many moments after it has begun to write new files; `check` looks at what is left.
fn killed_at_many_moments(
    template: &Path,
    args: &dyn Fn(&Path) -> Vec<String>,
    check: &dyn Fn(&Path, &Path) -> &'static str,
) {
    const ROUNDS: u32 = 24;
    let dir = tempfile::tempdir().unwrap();
    let begin = |folder: &Path| {
        let data = folder.join("data");
        copy_folder(template, &data);
        let args = args(folder);
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let mut process = command(&data, &args).stdin(Stdio::piped()).spawn().unwrap();
        process.stdin.take().unwrap().write_all(format!("{PASSPHRASE}\n{PASSPHRASE}\n").as_bytes()).unwrap();
        let begun = Instant::now();
        while !data.join("encryption.new").exists() && process.try_wait().unwrap().is_none() {
            assert!(begun.elapsed() < Duration::from_secs(120), "it never began");
            std::thread::sleep(Duration::from_micros(200));
        }
        (data, process, Instant::now())
    };
    let timed = dir.path().join("timed");
    let (_, mut process, begun) = begin(&timed);
    assert!(process.wait().unwrap().success());
    let whole = begun.elapsed();
    let round = |number: u32, wait: Duration| {
        let folder = dir.path().join(format!("round{number}"));
        let (data, mut process, _) = begin(&folder);
        std::thread::sleep(wait);
        // It may have finished by itself.
        let _ = process.kill();
        process.wait().unwrap();
        let state = check(&folder, &data);
        for left in ["encryption.new", "encryption.ready"] {
            assert!(!data.join(left).exists(), "round {number}: {left} is left");
        }
        fs::remove_dir_all(&folder).unwrap();
        state
    };
    let share = |number: u32| whole.mul_f64(f64::from(number) / f64::from(ROUNDS - 2));
    let mut states: Vec<&str> = (0..ROUNDS).map(|number| round(number, share(number))).collect();
    // A computer that has become slower since the first whole run: longer waits, until one is long enough.
    let mut longer = whole;
    while states.iter().all(|state| *state == states[0]) && longer < Duration::from_secs(60) {
        longer *= 2;
        states.push(round(ROUNDS, longer));
    }
    println!("killed within {whole:?}: {states:?}");
    let first = states[0];
    assert!(states.iter().any(|state| *state != first), "always the same: {states:?}");
}

#[test]
fn encrypt_killed_at_any_moment_leaves_one_or_the_other() {
    let dir = tempfile::tempdir().unwrap();
    let template = plain(dir.path());
    let args = |folder: &Path| {
        let (key, sheet) = (folder.join("start.key"), folder.join("sheet.txt"));
        let args = [
            "encrypt",
            "--no-backup",
            "--passphrase-stdin",
            "--new-key-file",
            text_of(&key),
            "--sheet",
            text_of(&sheet),
        ];
        args.map(str::to_owned).to_vec()
    };
    killed_at_many_moments(&template, &args, &|folder, data| {
        let key = folder.join("start.key");
        let checked = typed(data, &["verify", "--key-file", text_of(&key)], "");
        assert_eq!(code(&checked), 0, "{}{}", out(&checked), err(&checked));
        let child = typed(data, &["child", "701", "--key-file", text_of(&key)], "");
        assert!(out(&child).contains("Brannock"), "{}", err(&child));
        if data.join(SLOTS_FILE).exists() {
            assert_eq!(readable(&[data], &["Brannock", "SQLite format"]), Vec::<String>::new());
            "encrypted"
        } else {
            "plain"
        }
    });
}

#[test]
fn a_change_of_the_key_killed_at_any_moment_leaves_one_or_the_other() {
    let dir = tempfile::tempdir().unwrap();
    let template = plain(dir.path());
    let old = encrypt(&template, dir.path());
    let args = |folder: &Path| {
        let (key, sheet) = (folder.join("second.key"), folder.join("second.txt"));
        let args = [
            "change-key",
            "--records-key",
            "--passphrase-stdin",
            "--key-file",
            text_of(&old),
            "--new-key-file",
            text_of(&key),
            "--sheet",
            text_of(&sheet),
        ];
        args.map(str::to_owned).to_vec()
    };
    killed_at_many_moments(&template, &args, &|folder, data| {
        let with = |key: &Path| code(&typed(data, &["verify", "--key-file", text_of(key)], ""));
        match (with(&old), with(&folder.join("second.key"))) {
            (0, 9) => "old key",
            (9, 0) => "new key",
            other => panic!("{other:?}"),
        }
    });
}

/// Killed while an import writes: the records are whole, and nothing readable is left.
#[test]
fn a_kill_while_entries_are_written_leaves_nothing_readable() {
    let dir = tempfile::tempdir().unwrap();
    let data = plain(dir.path());
    let key = encrypt(&data, dir.path());
    let sheet = dir.path().join("many.csv");
    let mut text = "Hosp No,Name,DOB,Sex,Visit,Side,PC,EH,RE,MC,CLB,LHT,Total,Cast no\n".to_owned();
    for number in 0..1_500 {
        text.push_str(&format!(
            "9{number},\"Zorzabel, Quillon\",23/01/2025,M,13/02/2025,R,1,1,1,1,1,1,6,1\n"
        ));
    }
    fs::write(&sheet, text).unwrap();
    for round in 1..=4_u64 {
        let args = ["import", text_of(&sheet), "--key-file", text_of(&key)];
        let mut process = command(&data, &args).stdin(Stdio::null()).spawn().unwrap();
        std::thread::sleep(Duration::from_millis(400 * round));
        let _ = process.kill();
        process.wait().unwrap();
        let found = readable(&[&data], &["Zorzabel", "Quillon", "Brannock"]);
        assert_eq!(found, Vec::<String>::new(), "round {round}");
    }
    let checked = typed(&data, &["verify", "--key-file", text_of(&key)], "");
    assert_eq!(code(&checked), 0, "{}{}", out(&checked), err(&checked));
}

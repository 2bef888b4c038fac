//! The keys of what every command prints with `--json`: others read them by name, so they do not change
//! unnoticed. The values are tested where they are computed.

use crate::{
    backups::PASSPHRASE,
    clinic::day,
    commands::{PROGRAM, code, err, opened, out, run},
};
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    serve,
};
use record::{Entry, EntryId, Note};
use serde_json::Value;
use std::{collections::BTreeSet, fmt::Write as _, fs, path::Path, process::Command};

/// The day of [`run`].
const ON: &str = "2025-03-04";

/// Every path of keys in a value; the items of a list are one.
fn paths(value: &Value, at: &str, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) => {
            fields.iter().for_each(|(key, value)| paths(value, &format!("{at}.{key}"), found));
        }
        Value::Array(items) => items.iter().for_each(|item| paths(item, &format!("{at}[]"), found)),
        _ => {}
    }
    if !at.is_empty() {
        found.insert(at.to_owned());
    }
}

fn written(dir: &Path, name: &str, text: &str) -> String {
    let path = dir.join(name);
    fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

/// A logger that is warm by night, every quarter of an hour over a week.
fn logger() -> String {
    let mut text = "time,temperature\n".to_owned();
    for quarter in 0..7 * 96 {
        let (night, noise) = (!(28..80).contains(&(quarter % 96)), f64::from(quarter % 5) / 20.0);
        let celsius = if night { 32.0 } else { 21.0 } + noise;
        let (date, minutes) = (1 + quarter / 96, 15 * (quarter % 96));
        let _ = writeln!(text, "2025-02-{date:02} {:02}:{:02},{celsius:.2}", minutes / 60, minutes % 60);
    }
    text
}

/// Times of two causes in two groups, with a missing value.
fn times() -> String {
    let row = |n: usize| format!("{},{},{},{}\n", 1 + n * 7 % 23, n % 3, ["a", "b"][n % 2], n % 11);
    format!("time,cause,group,x\n{}9,1,a,\n", (0..60).map(row).collect::<String>())
}

fn ratings() -> String {
    let row = |n: usize| format!("{n},one,{}\n{n},two,{}\n", n % 3, (n + n % 4 / 3) % 3);
    format!("subject,rater,score\n{}", (0..20).map(row).collect::<String>())
}

/// The keys of the list of imports and of undoing one, with an entry that is kept and an import undone.
fn keys_of_undoing(data: &Path, sheet: &str) -> BTreeSet<String> {
    let value = |args: &[&str]| {
        let output = run(data, args);
        serde_json::from_str::<Value>(&out(&output)).unwrap_or_else(|error| panic!("{args:?}: {error}"))
    };
    run(data, &["import", sheet]);
    let id = value(&["import", "--list", "--json"])["imports"][0]["id"].as_str().unwrap().to_owned();
    let app = opened(data, Clock::new(Some(day(ON))));
    let import = app.records.entries_of_import(id.parse().unwrap()).unwrap();
    let note = Note { text: "looked at again".into() }.into();
    let (note_id, follows) = (EntryId::new(app.once()), Some(import[1].id));
    app.records.append(vec![Entry { id: note_id, body: note, follows, ..import[1].clone() }]).unwrap();
    drop(app);
    let undone = value(&["import", "--undo", &id, "--reason", "wrong file", "--json"]);
    let list = value(&["import", "--list", "--json"]);
    let mut found = BTreeSet::new();
    for (name, value) in [("import --undo", undone), ("import --list", list)] {
        let mut keys = BTreeSet::new();
        paths(&value, "", &mut keys);
        found.extend(keys.into_iter().map(|key| format!("{name} {key}")));
    }
    found
}

/// A request to erase that was carried out, and a retention period, so that their lists have every key.
fn asked_and_done(app: &App, child: record::ChildId) {
    let settings = app.dir.join("clinic.toml");
    let text = fs::read_to_string(&settings).unwrap();
    fs::write(&settings, format!("retention_until_age = 1\n{text}")).unwrap();
    let accounts = app.records.accounts().all().unwrap();
    let (requests, now) = (app.records.erasure_requests(), app.clock.now());
    let entries = app.records.entries(child).unwrap();
    let new = clinic::NewErasureRequest {
        child,
        entries: Some(vec![entries[entries.len() - 1].id]),
        by: accounts[0].id,
        at: now,
        reason: "Request of the family.".into(),
        basis: "Article 17".into(),
    };
    let number = requests.add(new).unwrap();
    requests.carry_out(number, accounts[1].id, now, 1).unwrap();
}

/// The keys of a restore.
fn keys_of_restoring(stick: &Path, to: &Path) -> BTreeSet<String> {
    let mut backups = fs::read_dir(stick).unwrap().map(|file| file.unwrap().path());
    let backup = backups.find(|path| path.extension().is_some_and(|end| end == "backup")).unwrap();
    let output = crate::restoring::restored(&backup, to, PASSPHRASE, &["--json"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let mut keys = BTreeSet::new();
    paths(&serde_json::from_str(&out(&output)).unwrap(), "", &mut keys);
    keys.into_iter().map(|key| format!("restore {key}")).collect()
}

#[test]
#[allow(clippy::too_many_lines, reason = "a list of commands")]
fn the_keys_of_the_json_of_every_command_are_those_recorded() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let mode = Mode { secure: false, behind_proxy: false, invented: true, here: None };
    let app = serve::demo_app(&data, 60, 7, Clock::new(Some(day(ON))), mode).unwrap();
    let with_steps = app.records.children(Some(true), None, 0, 60).unwrap().0;
    asked_and_done(&app, with_steps[0].child);
    drop(app);
    let file = |name: &str, text: &str| written(dir.path(), name, text);
    let (times, ratings, logger) =
        (file("t.csv", &times()), file("r.csv", &ratings()), file("l.csv", &logger()));
    let sheet = file("v.csv", crate::importing::SHEET);
    let (small, large) = (
        file("a.toml", "horizon_weeks = 8\n[referrals]\nper_year = 30\n"),
        file("b.toml", "[referrals]\nper_year = 60\n"),
    );
    let mut commands: Vec<(&str, Vec<&str>)> = vec![
        ("due", vec!["due", "--all"]),
        ("audit", vec!["audit"]),
        ("audit --year", vec!["audit", "--year", "2024"]),
        ("audit --agreement", vec!["audit", "--agreement"]),
        ("backtest", vec!["backtest"]),
        ("people list", vec!["people", "list"]),
        ("access-log list", vec!["access-log", "list"]),
        ("access-log verify", vec!["access-log", "verify"]),
        ("erasure list", vec!["erasure", "list"]),
        ("retention", vec!["retention"]),
        ("verify", vec!["verify"]),
        ("capacity", vec!["capacity", &small, "--compare", &large, "--runs", "10"]),
        ("import", vec!["import", &sheet, "--check-only"]),
        ("wear", vec!["wear", &logger]),
        (
            "survival",
            vec![
                "survival", &times, "--time", "time", "--event", "cause", "--causes", "1,2", "--by", "group",
                "--cox", "x",
            ],
        ),
        (
            "agreement",
            vec!["agreement", &ratings, "--subject", "subject", "--rater", "rater", "--score", "score"],
        ),
    ];
    let stick = dir.path().join("stick");
    fs::create_dir(&stick).unwrap();
    plantigrade::backing_up::set_up(&data, PASSPHRASE).unwrap();
    let stick = stick.to_str().unwrap().to_owned();
    commands.push(("backup", vec!["backup", "--to", &stick]));
    commands.push(("drill", vec!["drill", "--of", &stick]));
    let numbers: Vec<String> =
        with_steps.iter().take(8).filter_map(|child| child.numbers.first().cloned()).collect();
    commands.extend(numbers.iter().map(|number| ("child", vec!["child", number])));
    let mut found = BTreeSet::new();
    for (name, args) in commands {
        let all = [&args[..], &["--json"]].concat();
        let of_records = !matches!(args[0], "wear" | "survival" | "agreement");
        let output =
            if of_records { run(&data, &all) } else { Command::new(PROGRAM).args(all).output().unwrap() };
        assert!([0, 3].contains(&code(&output)), "{args:?}: {}", err(&output));
        let value = serde_json::from_str(&out(&output)).unwrap_or_else(|error| panic!("{args:?}: {error}"));
        let mut keys = BTreeSet::new();
        paths(&value, "", &mut keys);
        found.extend(keys.into_iter().map(|key| format!("{name} {key}")));
    }
    found.extend(keys_of_restoring(Path::new(&stick), &dir.path().join("restored")));
    found.extend(keys_of_undoing(&dir.path().join("other"), &sheet));
    let found = found.into_iter().map(|line| line + "\n").collect::<String>();
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/json-keys.txt");
    let recorded = fs::read_to_string(golden).unwrap();
    if found != recorded {
        let actual = Path::new(env!("CARGO_TARGET_TMPDIR")).join("json-keys.txt");
        fs::write(&actual, &found).unwrap();
        let lines = |text: &str| text.lines().map(str::to_owned).collect::<BTreeSet<_>>();
        let (found, recorded) = (lines(&found), lines(&recorded));
        let new: Vec<_> = found.difference(&recorded).collect();
        let gone: Vec<_> = recorded.difference(&found).collect();
        panic!("new {new:?}, gone {gone:?}; all in {}", actual.display());
    }
}

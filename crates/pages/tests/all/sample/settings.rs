//! The settings, the first start and a value of the protocol with invented data.

use super::{day, frame};
use guidance::Protocol;
use maud::Markup;
use pages::{
    BackupPlace, BackupRow, BackupsView, ClosureRow, CopiesView, DecisionRow, ErasedHolder, HelpTopic, Here,
    HistoryRow, HistoryView, ImportMapRow, ImportMapsView, Message, ProtocolValueView, RecordsProblem,
    RecordsView, SecondFactorSettings, SettingsView,
    fields::{Filled, settings as names},
};

pub fn pages() -> Vec<(&'static str, Markup)> {
    let mut all = clinic();
    all.extend(first_start());
    all.extend(values());
    all.extend(maps_and_copies());
    all.extend(super::encryption::pages());
    all
}

fn filled() -> Filled {
    Filled::default()
        .with(names::NAME, "Harbour Road clinic")
        .with(names::DAYS, names::SOME_DAYS)
        .with("weekday.tuesday", "yes")
        .with("weekday.friday", "yes")
        .with(names::IDLE_MINUTES, "30")
        .with(names::LOCK_MINUTES, "5")
}

fn view() -> SettingsView {
    let row = |line: &str, expected: &[(&str, usize)]| ClosureRow {
        closure: line.parse().unwrap(),
        expected: expected.iter().map(|(on, count)| (day(on), *count)).collect(),
    };
    SettingsView {
        filled: filled(),
        seen: "3 30 Tuesday, Friday Harbour Road clinic".into(),
        newer: None,
        closures: vec![
            row("2024-05-21 training of all staff", &[("2024-05-21", 3)]),
            row("2024-12-24 to 2025-01-01 closed for the holidays", &[]),
        ],
        past: vec!["2024-05-01 public holiday".parse().unwrap()],
        new_closure: Filled::default(),
        doubts: vec!["The clinic is held on Fridays, for which the capacity page has no places.".into()],
        second_factor: second_factor(),
    }
}

fn second_factor() -> SecondFactorSettings {
    SecondFactorSettings {
        filled: Filled::default()
            .with(names::SECOND_FACTOR, "leads")
            .with(names::USE_CODES, "yes")
            .with(names::USE_PASSKEYS, "yes"),
        default: "optional",
        answers: vec![
            ("optional", "optional"),
            ("leads", "required for leads"),
            ("everybody", "required for everybody"),
        ],
        without: vec!["Ole Brandt".into()],
    }
}

fn clinic() -> Vec<(&'static str, Markup)> {
    let mut saved = frame(Here::Settings);
    saved.message = Some(Message::Done("The closed days are saved.".into()));
    let refused = SettingsView {
        filled: filled()
            .with(names::IDLE_MINUTES, "2")
            .wrong(names::IDLE_MINUTES, "A whole number of minutes from 5 to 720 is expected."),
        ..view()
    };
    let newer = SettingsView {
        newer: Some(
            "Ole Brandt changed this to “20 minutes” on 14 May 2024, 09:12, after you had opened the page."
                .into(),
        ),
        ..view()
    };
    let closure = SettingsView {
        new_closure: Filled::default()
            .with(names::CLOSED_FROM, "2024-06-03")
            .with(names::CLOSED_TO, "2024-06-01")
            .wrong(names::CLOSED_TO, "The last day lies before the first."),
        closures: Vec::new(),
        past: Vec::new(),
        doubts: Vec::new(),
        second_factor: SecondFactorSettings {
            filled: Filled::default()
                .with(names::SECOND_FACTOR, "everybody")
                .wrong(names::SECOND_FACTOR, "Allow codes or passkeys, or choose “optional”."),
            ..second_factor()
        },
        ..view()
    };
    let history = HistoryView {
        topic: HelpTopic::Settings,
        title: "History of the settings",
        about: "Every change of the clinic’s name, its days, its closed days and the time without use. Nothing here can be changed.",
        back: ("/settings", "Settings"),
        rows: rows(),
        left_out: 12,
        unreadable: 1,
        file: "clinic.history.jsonl",
    };
    let none = HistoryView { rows: Vec::new(), left_out: 0, unreadable: 0, ..history.clone() };
    vec![
        ("settings", pages::settings(&saved, &view())),
        ("settings-refused", pages::settings(&frame(Here::Settings), &refused)),
        ("settings-newer", pages::settings(&frame(Here::Settings), &newer)),
        ("settings-closure-refused", pages::settings(&frame(Here::Settings), &closure)),
        ("settings-history", pages::setting_history(&frame(Here::Settings), &history)),
        ("settings-history-none", pages::setting_history(&frame(Here::Settings), &none)),
    ]
}

fn rows() -> Vec<HistoryRow> {
    let row = |what: &str, from: &str, to: &str, who: Option<&str>| HistoryRow {
        what: what.into(),
        href: None,
        when: "14 May 2024, 09:12".into(),
        who: who.map(str::to_owned),
        from: from.into(),
        to: to.into(),
        why: None,
    };
    vec![
        row("Closed days", "", "2024-05-21 training of all staff", Some("Hanne Kvist")),
        row("Clinic days", "any day", "Tuesday, Friday", Some("Ole Brandt")),
        row("Sign out after", "30 minutes", "20 minutes", None),
    ]
}

fn first_start() -> Vec<(&'static str, Markup)> {
    let elsewhere = frame(Here::Elsewhere);
    let refused = Filled::default()
        .with(names::NAME, "Harbour Road clinic")
        .with(names::DAYS, names::SOME_DAYS)
        .wrong(names::DAYS, "No weekday is ticked. Tick the days of the clinic, or choose “on any day”.");
    vec![
        ("first-steps-clinic", pages::first_clinic(&elsewhere, &Filled::default())),
        ("first-steps-clinic-refused", pages::first_clinic(&elsewhere, &refused)),
        ("first-steps", pages::first_steps(&elsewhere, true)),
    ]
}

fn values() -> Vec<(&'static str, Markup)> {
    let own = "[casting]\ninterval_range_days = [6, 8]\n";
    let protocol = Protocol::with_clinic_file(own).unwrap();
    let history = vec![HistoryRow {
        what: "The next cast is due between".into(),
        href: Some("/protocol/value/casting.interval_range_days".into()),
        when: "14 May 2024, 09:12".into(),
        who: Some("Ole Brandt".into()),
        from: "5–10 days".into(),
        to: "6–8 days".into(),
        why: Some("We see every child weekly.".into()),
    }];
    let of = |key: &str, filled: Option<Filled>, history: Vec<HistoryRow>| {
        let setting = protocol.setting(key).unwrap();
        let filled = filled.unwrap_or_else(|| pages::filled_value(setting));
        let view = ProtocolValueView { setting, filled, seen: "1 [6, 8]".into(), newer: None, history };
        pages::protocol_value(&frame(Here::Protocol), &view)
    };
    let refused = Filled::default()
        .with(names::VALUE, "6")
        .with(names::VALUE_TO, "30")
        .with(names::WHY, "Weekly clinic")
        .wrong(names::VALUE, "6–30 days is outside the permitted range, 2–21 days.");
    let range = "casting.interval_range_days";
    let all = HistoryView {
        topic: HelpTopic::Protocol,
        title: "History of the protocol",
        about: "Every change of a value: who made it, when, and why. Nothing here can be changed.",
        back: ("/protocol", "Protocol"),
        rows: history.clone(),
        left_out: 0,
        unreadable: 0,
        file: "protocol.history.jsonl",
    };
    vec![
        ("protocol-value", of(range, None, history)),
        ("protocol-value-refused", of(range, Some(refused), Vec::new())),
        ("protocol-value-list", of("bracing.early_reviews_weeks", None, Vec::new())),
        ("protocol-value-points", of("scoring.worse_points", None, Vec::new())),
        ("protocol-value-rule", of("bracing.outgrown_rule", None, Vec::new())),
        ("protocol-history", pages::setting_history(&frame(Here::Protocol), &all)),
    ]
}

fn maps_and_copies() -> Vec<(&'static str, Markup)> {
    let map = ImportMapRow {
        key: "0123456789abcdef01234567".into(),
        when: "3 May 2024, 10:20 by Ole Brandt".into(),
        columns: vec![
            ("Dossier".into(), "hospital number".into()),
            ("Pied".into(), "side".into()),
            ("Pirani".into(), "Pirani total, right".into()),
        ],
        answers: 4,
        error: None,
    };
    let broken = ImportMapRow {
        key: "1123456789abcdef01234567".into(),
        when: String::new(),
        columns: Vec::new(),
        answers: 0,
        error: Some("Line 3 of the map file: expected a value.".into()),
    };
    let maps = ImportMapsView { saved: vec![map.clone()], deleted: vec![broken] };
    let copies = CopiesView {
        last: Some((
            "13 May 2024, 17:30, by Ole Brandt".into(),
            "/media/stick/plantigrade-20240513T173002Z".into(),
            "12840 entries of 412 children checked".into(),
        )),
        records: "/home/clinic/plantigrade".into(),
        filled: Filled::default(),
    };
    let refused = CopiesView {
        last: None,
        filled: Filled::default()
            .with(names::FOLDER, "backups")
            .wrong(names::FOLDER, "Enter the whole path of the folder, from the beginning."),
        ..copies.clone()
    };
    let frame = frame(Here::Settings);
    let begin = BackupsView { has_key: false, places: Vec::new(), trouble: None, ..backups_view() };
    let groups: Vec<String> =
        ["kq7m2", "4zxya", "9hbwc", "t3n5d", "rr2fg", "8vy6e", "pj4ks", "u5caz"].map(str::to_owned).into();
    vec![
        ("backups", pages::backups(&with_notice(&frame), &backups_view())),
        ("backups-begin", pages::backups(&frame, &begin)),
        (
            "backups-refused",
            pages::backups(
                &frame,
                &BackupsView {
                    settings: Filled::default()
                        .with("backup_folder_1", "stick")
                        .wrong("backup_folder_1", "Enter the whole path of the folder, from the beginning."),
                    ..backups_view()
                },
            ),
        ),
        ("backup-code", pages::backup_code(&frame, "Hillside clinic", &groups, "13 May 2024, 17:30")),
        ("import-maps", pages::import_maps(&frame, &maps)),
        ("import-maps-none", pages::import_maps(&frame, &ImportMapsView::default())),
        ("records", pages::records(&frame, &records_view(None))),
        ("records-lost", pages::records(&with_notice(&frame), &records_view(Some(lost(true))))),
        ("records-lost-coordinator", pages::records(&with_notice(&frame), &records_view(Some(lost(false))))),
        ("records-damaged", pages::records(&with_notice(&frame), &records_view(Some(damaged())))),
        ("records-clock", pages::records(&with_notice(&frame), &records_view(Some(early_clock())))),
        ("records-copied", pages::records(&with_notice(&frame), &records_view(Some(copied_here())))),
        ("copies", pages::copies(&frame, &copies)),
        ("copies-refused", pages::copies(&frame, &refused)),
    ]
}

const LOST: &str = "The records end at entry 1,204, but entry 1,219 was saved on 3 March 2024, 14:02. 15 entries are missing. An older copy was put back, or the end of the records was lost.";

fn with_notice(frame: &pages::Frame) -> pages::Frame {
    let notice = pages::StandingNotice {
        text: format!("{LOST} Nothing can be saved until this is settled."),
        href: "/records",
    };
    pages::Frame { standing: vec![notice], ..frame.clone() }
}

fn records_view(problem: Option<RecordsProblem>) -> RecordsView {
    RecordsView {
        problem,
        folder: "/home/clinic/plantigrade".into(),
        mark: "1a2b3c4d at entry 12840".into(),
        checked: Some("13 May 2024, 17:30: nothing was changed or lost, as far as the check can tell (12840 entries of 412 children).".into()),
        witness_head: Some("5e6f7a8b at line 4102".into()),
        drill: Some("13 May 2024, 17:32: passed. 12840 entries equal to the records.".into()),
        may_back_up: true,
        witness: Some("/home/clinic/.local/state/plantigrade/witness/plantigrade-0123456789ab/witness.log".into()),
        decisions: vec![DecisionRow {
            when: "2 January 2024, 09:10".into(),
            who: "Ole Brandt".into(),
            about: LOST.into(),
            reason: "The copy of Monday was put back after the disk failed.".into(),
        }],
        filled: Filled::default(),
    }
}

fn backups_view() -> BackupsView {
    let good = BackupRow {
        when: "13 May 2024, 17:30".into(),
        entries: Some(12_840),
        receipt: Some("1a2b3c4d at entry 12840; witness 5e6f7a8b at line 4102".into()),
        size: "21.4 MB".into(),
        file: "plantigrade-0a1b2c3d-2024-05-13T153000Z.backup".into(),
        state: "Made by itself, read back and checked".into(),
        good: true,
        drill: Some("Drill passed on 13 May 2024, 17:32".into()),
    };
    let damaged = BackupRow {
        when: "A file that is no good backup".into(),
        size: "3 kB".into(),
        state: "/media/stick/plantigrade-0a1b2c3d-2024-05-01T153000Z.backup is not a backup of this program, or its beginning is damaged.".into(),
        ..BackupRow::default()
    };
    BackupsView {
        has_key: true,
        key_trouble: None,
        trouble: Some("The last good backup of these records was made on 13 May 2024, 17:30.".into()),
        places: vec![
            BackupPlace {
                folder: "/media/stick".into(),
                drill: Some(("13 May 2024, 17:32".into(), true, "12840 entries equal to the records, 412 summaries computed anew are the same; 6 entries were saved since.".into())),
                failed: Some(("14 May 2024, 17:30".into(), "The disk of /media/stick is full. The earlier backups there are as they were. Make room, or choose another place.".into())),
                backups: vec![good, damaged],
                pieces: Some((1_240, "312.4 MB".into())),
                ..BackupPlace::default()
            },
            BackupPlace {
                folder: "/home/clinic/backups".into(),
                away: Some("/home/clinic/backups is not there. If it is a disk or a stick, connect it.".into()),
                warning: Some("This folder is on the same disk as the records.".into()),
                drill: Some(("6 May 2024, 17:32".into(), false, "1 entries of the records that are not in the copy; the first: entry 12 of the log.".into())),
                ..BackupPlace::default()
            },
        ],
        rule: "once a day, not before 17:00".into(),
        holding_erased: vec![ErasedHolder {
            file: "/media/stick/plantigrade-0a1b2c3d-2024-05-13T153000Z.backup".into(),
            until: "27 May 2026".into(),
        }],
        records: "/home/clinic/plantigrade".into(),
        invented: false,
        passphrase: Filled::default(),
        settings: Filled::default().with("backup_folder_1", "/media/stick").with("backup_every_hours", "24"),
    }
}

fn lost(may_accept: bool) -> RecordsProblem {
    RecordsProblem::NotThoseSaved { sentence: LOST.into(), may_accept }
}

fn damaged() -> RecordsProblem {
    RecordsProblem::Damaged {
        sentence: "The records file is damaged: 2 entries cannot be read, and 1 child is not shown because something of theirs is missing: Bilal Osei, no. 4121.".into(),
        what: "the records file is damaged (database disk image is malformed)".into(),
        missing: vec![120, 121],
        children: vec!["Bilal Osei, no. 4121".into()],
    }
}

fn copied_here() -> RecordsProblem {
    let sentence = "On 3 March 2024, 14:02 these records were opened where nothing is known of their witness: they were copied or moved, or the witness was deleted. Whether entries were missing at their end cannot be told.";
    RecordsProblem::CopiedHere { sentence: sentence.into(), may_confirm: true }
}

fn early_clock() -> RecordsProblem {
    let sentence = "The clock of this computer shows 1 March 2024, 09:00, but the last entry was written on 3 March 2024, 14:02.";
    RecordsProblem::Clock { sentence: sentence.into(), may_confirm: true }
}

//! The history of the protocol: its file, and what was changed in the clinic's protocol file by hand.

use crate::{
    clock::Clock,
    setting_history::{ReadHistory, SettingChange, SettingHistory},
};
use guidance::{Protocol, ProtocolSetting};
use std::{io, path::Path};

/// The history of the protocol in the data folder.
pub const PROTOCOL_HISTORY: &str = "protocol.history.jsonl";

/// The history of the protocol.
///
/// # Errors
/// When it cannot be read.
pub fn history(dir: &Path) -> io::Result<ReadHistory> {
    SettingHistory::of(dir, PROTOCOL_HISTORY).read()
}

/// The line of a change that was found in the file.
#[must_use]
pub fn by_hand(before: &ProtocolSetting, after: &ProtocolSetting, clock: Clock) -> SettingChange {
    SettingChange {
        at: clock.now(),
        by: None,
        name: None,
        key: after.key.to_owned(),
        from: before.value.clone(),
        to: after.value.clone(),
        value: after.own().map(str::to_owned),
        why: None,
    }
}

/// Adds lines for the values that were changed in the file by hand since the last line about each.
///
/// # Errors
/// When the history cannot be read or written.
pub fn note_changes_by_hand(dir: &Path, protocol: &Protocol, clock: Clock) -> io::Result<()> {
    let (history, read) = (SettingHistory::of(dir, PROTOCOL_HISTORY), history(dir)?);
    let built_in = Protocol::built_in();
    let pairs = protocol.settings.iter().zip(&built_in.settings);
    let lines: Vec<SettingChange> = pairs
        .filter_map(|(setting, built_in)| {
            let last = read.last(setting.key);
            let known = last.and_then(|last| last.value.as_deref());
            let words = last.map(|last| last.to.clone());
            (known != setting.own()).then(|| SettingChange {
                from: words.unwrap_or_else(|| built_in.value.clone()),
                ..by_hand(built_in, setting, clock)
            })
        })
        .collect();
    if lines.is_empty() { Ok(()) } else { history.append(&lines).map(|_| ()) }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_change_in_the_file_gets_a_line_without_a_name_and_only_once() {
        let dir = tempfile::tempdir().unwrap();
        let own = Protocol::with_clinic_file("[casting]\ninterval_days = 6\n").unwrap();
        for _ in 0..2 {
            note_changes_by_hand(dir.path(), &own, Clock::default()).unwrap();
        }
        note_changes_by_hand(dir.path(), &Protocol::built_in(), Clock::default()).unwrap();
        let lines = history(dir.path()).unwrap().changes;
        let told: Vec<_> = lines.iter().map(|line| (line.from.as_str(), line.to.as_str())).collect();
        assert_eq!(told, [("7 days", "6 days"), ("6 days", "7 days")]);
        assert_eq!(lines[0].value.as_deref(), Some("6"));
        assert_eq!((lines[1].value.as_deref(), lines[1].by), (None, None));
    }
}

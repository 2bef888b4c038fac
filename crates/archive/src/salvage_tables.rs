//! The tables besides the entries that a salvage copies, and how their rows are recognised on a page.

use crate::file_pages::RawValue;

/// A table that is copied row by row besides the entries: name, columns, how many of them are its key, and how a row
/// of it is distinguished from those of other tables where the trees are damaged; `None` where it cannot be.
pub(crate) struct PlainTable {
    pub name: &'static str,
    pub columns: &'static [&'static str],
    pub key: usize,
    pub is_row: Option<fn(&[RawValue]) -> bool>,
}

pub(crate) const TABLES: &[PlainTable] = &[
    PlainTable {
        name: "accounts",
        columns: &[
            "id",
            "name",
            "name_key",
            "display_name",
            "password_hash",
            "created_at",
            "disabled",
            "one_time_until",
            "last_sign_in",
        ],
        key: 1,
        is_row: Some(
            |row| matches!(row, [RawValue::Bytes(id), RawValue::Text(_), RawValue::Text(_), RawValue::Text(_), RawValue::Text(hash), RawValue::Number(_), RawValue::Number(0 | 1), ..] if id.len() == 16 && hash.starts_with("$argon2")),
        ),
    },
    PlainTable {
        name: "account_roles",
        columns: &["account", "role"],
        key: 2,
        is_row: Some(
            |row| matches!(row, [RawValue::Bytes(id), RawValue::Text(role)] if id.len() == 16 && record::Role::from_key(role).is_some()),
        ),
    },
    PlainTable {
        name: "devices",
        columns: &[
            "id",
            "name",
            "made_by",
            "made_at",
            "code_hash",
            "code_expires",
            "token_hash",
            "enrolled_at",
            "last_used",
            "removed_by",
            "removed_at",
        ],
        key: 1,
        is_row: Some(
            |row| matches!(row, [RawValue::Bytes(id), RawValue::Text(_), RawValue::Bytes(by), RawValue::Number(_), _, RawValue::Number(_), _, _, _, _, _] if id.len() == 16 && by.len() == 16),
        ),
    },
    PlainTable {
        name: "settings",
        columns: &["key", "value"],
        key: 1,
        // The table `facts` has rows of the same form with one key, which is computed again.
        is_row: Some(
            |row| matches!(row, [RawValue::Text(key), RawValue::Text(_)] if key != "summary_version"),
        ),
    },
    PlainTable {
        name: "imports",
        columns: &["id", "file", "by", "at", "first_place", "last_place", "children"],
        key: 1,
        is_row: Some(
            |row| matches!(row, [RawValue::Bytes(id), RawValue::Text(_), RawValue::Bytes(by), RawValue::Number(_), RawValue::Number(_), RawValue::Number(_), RawValue::Number(_)] if id.len() == 16 && by.len() == 16),
        ),
    },
    PlainTable {
        name: "undone_imports",
        columns: &["import", "by", "at", "reason", "withdrawn", "kept"],
        key: 1,
        is_row: Some(
            |row| matches!(row, [RawValue::Bytes(id), RawValue::Bytes(by), RawValue::Number(_), RawValue::Text(_), RawValue::Number(_), RawValue::Number(_)] if id.len() == 16 && by.len() == 16),
        ),
    },
    PlainTable {
        name: "code_secrets",
        columns: &["account", "secret", "set_up_at", "last_step"],
        key: 1,
        is_row: Some(
            |row| matches!(row, [RawValue::Bytes(id), RawValue::Bytes(_), RawValue::Number(_), RawValue::Number(_)] if id.len() == 16),
        ),
    },
    PlainTable {
        name: "recovery_codes",
        columns: &["account", "code_hash", "salt", "used_at"],
        key: 2,
        is_row: Some(
            |row| matches!(row, [RawValue::Bytes(id), RawValue::Bytes(_), RawValue::Bytes(_), RawValue::Null | RawValue::Number(_)] if id.len() == 16),
        ),
    },
    PlainTable {
        name: "passkeys",
        columns: &[
            "id",
            "account",
            "name",
            "rp_id",
            "public_key",
            "sign_count",
            "backup_eligible",
            "created_at",
            "last_used",
        ],
        key: 1,
        is_row: Some(
            |row| matches!(row, [RawValue::Bytes(_), RawValue::Bytes(account), RawValue::Text(_), RawValue::Text(_), RawValue::Bytes(_), RawValue::Number(_), RawValue::Number(_), RawValue::Number(_), _] if account.len() == 16),
        ),
    },
    PlainTable {
        name: "pins",
        columns: &["account", "place", "pin_hash", "set_at", "wrong"],
        key: 2,
        is_row: Some(
            |row| matches!(row, [RawValue::Bytes(id), RawValue::Bytes(_), RawValue::Text(_), RawValue::Number(_), RawValue::Number(_)] if id.len() == 16),
        ),
    },
    PlainTable {
        name: "practice_answers",
        columns: &["number", "form", "account", "day", "sign", "seed", "drawing", "given", "reference"],
        key: 1,
        is_row: Some(
            |row| matches!(row, [RawValue::Number(_), RawValue::Bytes(form), RawValue::Bytes(account), RawValue::Number(_), RawValue::Text(sign), RawValue::Number(_), RawValue::Number(_), RawValue::Number(0..=2), RawValue::Number(0..=2)] if form.len() == 16 && account.len() == 16 && record::Sign::from_key(sign).is_some()),
        ),
    },
    PlainTable {
        name: "practice_photographs",
        columns: &["number", "account", "day", "child", "photograph", "sign", "given", "reference"],
        key: 1,
        is_row: Some(
            |row| matches!(row, [RawValue::Number(_), RawValue::Bytes(account), RawValue::Number(_), RawValue::Bytes(child), RawValue::Bytes(_), RawValue::Text(sign), RawValue::Number(0..=2), RawValue::Number(0..=2)] if account.len() == 16 && child.len() == 16 && record::Sign::from_key(sign).is_some()),
        ),
    },
    PlainTable {
        name: "restrictions",
        columns: &["number", "child", "by", "at", "reason", "people"],
        key: 1,
        is_row: Some(
            |row| matches!(row, [RawValue::Number(_), RawValue::Bytes(child), RawValue::Bytes(by), RawValue::Number(_), RawValue::Text(_), RawValue::Text(_) | RawValue::Null] if child.len() == 16 && by.len() == 16),
        ),
    },
    PlainTable {
        name: "restricted_openings",
        columns: &["number", "child", "by", "at", "until", "reason", "device"],
        key: 1,
        is_row: Some(
            |row| matches!(row, [RawValue::Number(_), RawValue::Bytes(child), RawValue::Bytes(by), RawValue::Number(_), RawValue::Number(_), RawValue::Text(_), RawValue::Text(_)] if child.len() == 16 && by.len() == 16),
        ),
    },
    PlainTable {
        name: "erasure_requests",
        columns: &[
            "number",
            "child",
            "entries",
            "by",
            "at",
            "reason",
            "basis",
            "decided_by",
            "decided_at",
            "done",
            "decision",
        ],
        key: 1,
        is_row: None,
    },
    PlainTable { name: "erased_kinds", columns: &["request", "kind", "count"], key: 2, is_row: None },
    PlainTable {
        name: "holds",
        columns: &["number", "child", "until", "by", "at", "reason"],
        key: 1,
        is_row: Some(
            |row| matches!(row, [RawValue::Number(_), RawValue::Bytes(child), RawValue::Number(_) | RawValue::Null, RawValue::Bytes(by), RawValue::Number(_), RawValue::Text(_)] if child.len() == 16 && by.len() == 16),
        ),
    },
    PlainTable {
        name: "account_events",
        columns: &["number", "account", "at", "done_by", "what", "why"],
        key: 1,
        is_row: None,
    },
    PlainTable {
        name: "decisions",
        columns: &["number", "what", "by", "at", "reason", "about", "place"],
        key: 1,
        is_row: None,
    },
];

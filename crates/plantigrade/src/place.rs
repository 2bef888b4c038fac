//! The folder of the records unless `--data` names another, and that of their witness unless the settings name another.
//!
//! Own code, because the crates for this task do not fit: `directories` and `dirs` depend on code under
//! a licence that this program does not ship (MPL-2.0), and `etcetera` takes the roaming folder on Windows,
//! where the records of existing users are not.

use clinic::WitnessPlace;
use sha2::{Digest, Sha256};
use std::{
    fmt::Write as _,
    path::{Path, PathBuf},
};

/// The variable that names another folder for witnesses than the usual one.
const WITNESS_VARIABLE: &str = "PLANTIGRADE_WITNESS";
/// Digits of the hash of a path that tell one clinic's witness from another's.
const PATH_DIGITS: usize = 12;

/// The folder in which the operating system expects the data of programs.
///
/// Linux and the like: `$XDG_DATA_HOME` or `~/.local/share`; macOS: `~/Library/Application Support`;
/// Windows: `%LOCALAPPDATA%`. `None` if the environment names no home folder.
#[must_use]
pub fn data_dir() -> Option<PathBuf> {
    choose(std::env::consts::OS, |name| {
        std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from)
    })
}

/// Where the witness of the records in a folder is: outside that folder, so that both are not lost or put back
/// together. The key is always in the usual place; `configured` is where the clinic wants the log.
///
/// Linux and the like: `$XDG_STATE_HOME` or `~/.local/state`; macOS and Windows: beside the usual folder of the
/// records. Below it each folder of records has its own, named by its path. `None` if the environment names no home
/// folder.
#[must_use]
pub fn witness_place(records: &Path, configured: Option<&Path>) -> Option<WitnessPlace> {
    let env = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let base = env(WITNESS_VARIABLE).or_else(|| choose_state(std::env::consts::OS, env))?;
    Some(witness_under(&base, records, configured))
}

/// The same below a folder of witnesses.
#[must_use]
pub fn witness_under(base: &Path, records: &Path, configured: Option<&Path>) -> WitnessPlace {
    let own = own_name(&whole_path(records));
    let key = base.join(&own);
    let log = configured.map_or_else(|| key.clone(), |folder| folder.join(&own));
    WitnessPlace { log, key }
}

fn choose_state(os: &str, env: impl Fn(&str) -> Option<PathBuf>) -> Option<PathBuf> {
    match os {
        "windows" | "macos" => choose(os, env).map(|data| data.with_file_name("Plantigrade witness")),
        _ => {
            let absolute = env("XDG_STATE_HOME").filter(|dir| dir.is_absolute());
            let home = || env("HOME").map(|home| home.join(".local").join("state"));
            absolute.or_else(home).map(|base| base.join("plantigrade").join("witness"))
        }
    }
}

/// The path of a folder that may not exist yet, without links.
fn whole_path(folder: &Path) -> PathBuf {
    let absolute = std::path::absolute(folder).unwrap_or_else(|_| folder.to_owned());
    if let Ok(found) = absolute.canonicalize() {
        return found;
    }
    match (absolute.parent().and_then(|parent| parent.canonicalize().ok()), absolute.file_name()) {
        (Some(parent), Some(name)) => parent.join(name),
        _ => absolute,
    }
}

/// The last name of the path, to be recognised, and the first digits of its hash.
fn own_name(records: &Path) -> String {
    let name = records.file_name().unwrap_or_default().to_string_lossy();
    let plain: String =
        name.chars().filter(|char| char.is_ascii_alphanumeric() || "-_".contains(*char)).take(40).collect();
    let mut own = format!("{plain}-");
    for byte in Sha256::digest(records.as_os_str().as_encoded_bytes()).iter().take(PATH_DIGITS / 2) {
        // Writing to a string does not fail.
        let _ = write!(own, "{byte:02x}");
    }
    own
}

fn choose(os: &str, env: impl Fn(&str) -> Option<PathBuf>) -> Option<PathBuf> {
    match os {
        "windows" => {
            let roaming = || env("USERPROFILE").map(|home| home.join("AppData").join("Local"));
            env("LOCALAPPDATA").or_else(roaming).map(|base| base.join("Plantigrade"))
        }
        "macos" => {
            env("HOME").map(|home| home.join("Library").join("Application Support").join("Plantigrade"))
        }
        _ => {
            let absolute = env("XDG_DATA_HOME").filter(|dir| dir.is_absolute());
            let home = || env("HOME").map(|home| home.join(".local").join("share"));
            absolute.or_else(home).map(|base| base.join("plantigrade"))
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn with(os: &str, pairs: &[(&str, &str)]) -> Option<PathBuf> {
        choose(os, |name| pairs.iter().find(|(key, _)| *key == name).map(|(_, value)| PathBuf::from(value)))
    }

    #[test]
    fn each_system_has_its_place() {
        let xdg = with("linux", &[("XDG_DATA_HOME", "/data"), ("HOME", "/home/a")]);
        assert_eq!(xdg.as_deref(), Some(Path::new("/data/plantigrade")));
        let home = with("linux", &[("HOME", "/home/a")]);
        assert_eq!(home.as_deref(), Some(Path::new("/home/a/.local/share/plantigrade")));
        let mac = with("macos", &[("HOME", "/Users/a")]);
        assert_eq!(mac.as_deref(), Some(Path::new("/Users/a/Library/Application Support/Plantigrade")));
        assert_eq!(with("windows", &[("LOCALAPPDATA", "L")]), Some(Path::new("L").join("Plantigrade")));
    }

    #[test]
    fn a_relative_xdg_folder_is_not_used_and_no_home_gives_nothing() {
        let relative = with("linux", &[("XDG_DATA_HOME", "data"), ("HOME", "/home/a")]);
        assert_eq!(relative.as_deref(), Some(Path::new("/home/a/.local/share/plantigrade")));
        assert_eq!(with("linux", &[]), None);
    }

    #[test]
    fn the_witness_is_outside_the_records_and_each_folder_has_its_own() {
        let of = |pairs: &[(&str, &str)], os: &str| {
            choose_state(os, |name| {
                pairs.iter().find(|(key, _)| *key == name).map(|(_, value)| PathBuf::from(value))
            })
        };
        let home = [("HOME", "/home/a")];
        assert_eq!(
            of(&home, "linux").as_deref(),
            Some(Path::new("/home/a/.local/state/plantigrade/witness"))
        );
        let set = [("HOME", "/home/a"), ("XDG_STATE_HOME", "/state")];
        assert_eq!(of(&set, "linux").as_deref(), Some(Path::new("/state/plantigrade/witness")));
        let mac = of(&home, "macos").unwrap();
        assert!(!mac.starts_with(with("macos", &home).unwrap()), "{mac:?}");
        assert_eq!(of(&[], "linux"), None);
        let (one, two) = (own_name(Path::new("/a/records")), own_name(Path::new("/b/records")));
        assert!(
            one.starts_with("records-") && one.len() == "records-".len() + PATH_DIGITS && one != two,
            "{one}"
        );
        assert_eq!(own_name(Path::new("/a/records")), one);
    }
}

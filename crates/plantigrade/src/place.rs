//! The folder of the records unless `--data` names another.
//!
//! Own code, because the crates for this task do not fit: `directories` and `dirs` depend on code under
//! a licence that this program does not ship (MPL-2.0), and `etcetera` takes the roaming folder on Windows,
//! where the records of existing users are not.

use std::path::PathBuf;

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
    use super::choose;
    use std::path::{Path, PathBuf};

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
}

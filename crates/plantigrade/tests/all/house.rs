//! The workspace agrees with its map: dependencies point downward, every crate is on the map, files stay short,
//! and every library may be shipped under our licence.

use serde_json::Value;
use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
    process::Command,
};

pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

/// A row of the room map: level, and what the room may use.
struct Room {
    level: u8,
    may_use: BTreeSet<String>,
    never: String,
}

fn map() -> BTreeMap<String, Room> {
    let text = fs::read_to_string(root().join("ARCHITECTURE.md")).unwrap();
    let mut rooms = BTreeMap::new();
    for line in text.lines().filter(|line| line.starts_with('|')) {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let [level, name, _holds, may_use, never] = cells[..] else { continue };
        let Ok(level) = level.parse() else { continue };
        let may_use = may_use.split(',').map(|name| name.trim().to_owned()).collect();
        rooms.insert(name.trim_matches('`').to_owned(), Room { level, may_use, never: never.to_owned() });
    }
    rooms
}

/// Every crate of the workspace with the crates of the workspace it uses, tests left out.
fn crates() -> BTreeMap<String, BTreeSet<String>> {
    let folders = fs::read_dir(root().join("crates")).unwrap().map(|entry| entry.unwrap().path());
    let manifests: BTreeMap<String, toml::Table> = folders
        .filter(|folder| folder.join("Cargo.toml").exists())
        .map(|folder| {
            let manifest = fs::read_to_string(folder.join("Cargo.toml")).unwrap();
            (folder.file_name().unwrap().to_string_lossy().into_owned(), manifest.parse().unwrap())
        })
        .collect();
    let uses = |manifest: &toml::Table| {
        let dependencies = manifest.get("dependencies").and_then(toml::Value::as_table);
        let names = dependencies.into_iter().flat_map(toml::Table::keys);
        names.filter(|name| manifests.contains_key(*name)).cloned().collect()
    };
    manifests.iter().map(|(name, manifest)| (name.clone(), uses(manifest))).collect()
}

#[test]
fn every_crate_is_on_the_map_and_nothing_else_is() {
    let on_map: BTreeSet<String> = map().into_keys().collect();
    let in_house: BTreeSet<String> = crates().into_keys().collect();
    assert_eq!(on_map, in_house);
    assert!(in_house.len() >= 7, "{in_house:?}");
}

#[test]
fn arrows_run_only_downward_and_only_where_the_map_allows() {
    let map = map();
    let mut edges = 0;
    for (name, uses) in crates() {
        for used in uses {
            edges += 1;
            assert!(map[&used].level < map[&name].level, "{name} uses {used}, which is not below it");
            assert!(map[&name].may_use.contains(&used), "{name} uses {used}, which the map does not allow");
        }
    }
    assert!(edges >= 10, "only {edges} arrows were found: the manifests are not being read");
}

#[test]
fn every_room_says_what_it_never_does() {
    for (name, room) in map() {
        assert!(room.never.len() > 10, "{name} has no never clause");
        let lib = root().join("crates").join(&name).join("src/lib.rs");
        let text = fs::read_to_string(lib).unwrap();
        assert!(text.starts_with("//!"), "{name} does not open with what it holds");
    }
}

pub fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
}

/// A longer file gives its reason on a line that begins `//! Long because`.
#[test]
fn no_source_file_is_longer_than_600_lines_without_a_reason() {
    let mut found = Vec::new();
    sources(&root().join("crates"), &mut found);
    assert!(found.len() > 100, "{}", found.len());
    let long: Vec<_> = found
        .iter()
        .filter(|path| {
            let text = fs::read_to_string(path).unwrap();
            text.lines().count() > 600 && !text.contains("//! Long because")
        })
        .collect();
    assert!(long.is_empty(), "{long:?}");
}

/// Licences that let the whole be shipped as MIT or Apache-2.0.
const LICENCES: [&str; 13] = [
    "MIT",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Zlib",
    "Unicode-3.0",
    "Unlicense",
    "0BSD",
    "CC0-1.0",
    "MIT-0",
    "BSL-1.0",
    "CDLA-Permissive-2.0",
];

/// Whether one of the choices of a licence expression is among ours; `AND` needs every part.
fn allowed(expression: &str) -> bool {
    let plain = expression.replace(['(', ')'], " ").replace('/', " OR ").replace(" WITH LLVM-exception", "");
    plain.split(" OR ").any(|choice| choice.split(" AND ").all(|part| LICENCES.contains(&part.trim())))
}

/// The packages that go into the binary; what only tests use is not shipped.
#[test]
fn every_library_that_is_shipped_has_a_licence_we_may_ship() {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let run = |arguments: &[&str]| {
        let output = Command::new(&cargo).args(arguments).current_dir(root()).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    };
    let tree =
        run(&["tree", "-p", "plantigrade", "-e", "normal", "--prefix", "none", "--locked", "-f", "{p}"]);
    let shipped: BTreeSet<&str> = tree.lines().filter_map(|line| line.split(' ').next()).collect();
    let metadata: Value =
        serde_json::from_str(&run(&["metadata", "--format-version", "1", "--locked"])).unwrap();
    let mut seen = 0;
    for package in metadata["packages"].as_array().unwrap() {
        let name = package["name"].as_str().unwrap();
        if shipped.contains(name) {
            seen += 1;
            let licence = package["license"].as_str().unwrap_or("none");
            assert!(allowed(licence), "{name} is under {licence}");
        }
    }
    assert!(seen > 100, "only {seen} packages were looked at");
}

/// A library that nothing uses is dropped: it costs building time and has to be trusted all the same.
#[test]
fn every_dependency_is_used() {
    let mut looked_at = 0;
    let mut named: BTreeSet<String> = BTreeSet::new();
    let mut unused = Vec::new();
    for name in crates().into_keys() {
        let folder = root().join("crates").join(&name);
        let manifest: toml::Table = fs::read_to_string(folder.join("Cargo.toml")).unwrap().parse().unwrap();
        let mut files = Vec::new();
        for part in ["src", "tests", "benches", "examples"].map(|part| folder.join(part)) {
            if part.is_dir() {
                sources(&part, &mut files);
            }
        }
        let text: String = files.iter().map(|file| fs::read_to_string(file).unwrap()).collect();
        let of = |table: &toml::Table, part: &str| table.get(part).and_then(toml::Value::as_table).cloned();
        let targets = of(&manifest, "target").unwrap_or_default();
        let by_target = targets.values().filter_map(toml::Value::as_table);
        for table in std::iter::once(&manifest).chain(by_target) {
            let parts = ["dependencies", "dev-dependencies"].into_iter().filter_map(|part| of(table, part));
            for used in parts.flat_map(|part| part.keys().cloned().collect::<Vec<_>>()) {
                named.insert(used.clone());
                looked_at += 1;
                let path = format!("{}::", used.replace('-', "_"));
                if !text.contains(&path) {
                    unused.push(format!("{name}: {used}"));
                }
            }
        }
    }
    assert!(looked_at >= 60, "only {looked_at} dependencies were found: the manifests are not being read");
    assert!(unused.is_empty(), "nothing uses {unused:#?}");
    let workspace: toml::Table = fs::read_to_string(root().join("Cargo.toml")).unwrap().parse().unwrap();
    let all = workspace["workspace"]["dependencies"].as_table().unwrap();
    let own = |value: &toml::Value| value.get("path").is_some();
    let idle = all.iter().filter(|(name, value)| !own(value) && !named.contains(*name));
    let idle: Vec<&String> = idle.map(|(name, _)| name).collect();
    assert!(idle.is_empty(), "the workspace lists {idle:?}, and no room uses it");
}

/// The name of a public type that a line declares.
fn public_type(line: &str) -> Option<&str> {
    let declared = line.trim_start().strip_prefix("pub ")?;
    let kinds = ["struct ", "enum ", "trait ", "type "];
    let name = kinds.iter().find_map(|kind| declared.strip_prefix(kind))?;
    name.split(|c: char| !c.is_alphanumeric() && c != '_').next().filter(|name| !name.is_empty())
}

/// A reader of a signature cannot distinguish two types with the same name, so each name is used once.
#[test]
fn every_public_type_name_is_used_once() {
    let mut places: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut files = Vec::new();
    sources(&root().join("crates"), &mut files);
    for file in files.iter().filter(|file| file.iter().any(|part| part == "src")) {
        let shown = file.strip_prefix(root()).unwrap().display().to_string();
        let text = fs::read_to_string(file).unwrap();
        // Types of unit tests at the end of a file are nobody else's.
        let code = text.split("#[cfg(test)]").next().unwrap();
        for name in code.lines().filter_map(public_type) {
            places.entry(name.to_owned()).or_default().insert(shown.clone());
        }
    }
    assert!(places.len() > 500, "only {} public types were found", places.len());
    let twice: Vec<_> = places.iter().filter(|(_, files)| files.len() > 1).collect();
    assert!(twice.is_empty(), "{twice:#?}");
}

/// The heads of the public functions and re-exports of a text that name the store itself.
fn store_handed_out(text: &str) -> Vec<&str> {
    let heads =
        [("pub use ", ';'), ("pub fn ", '{'), ("pub const fn ", '{')].into_iter().flat_map(|(begin, end)| {
            text.match_indices(begin).filter_map(move |(at, _)| text[at..].split(end).next())
        });
    let named = |head: &&str| {
        let mut words = head.split(|c: char| !(c.is_alphanumeric() || c == '_'));
        head.trim_end().ends_with(" archive") || words.any(|word| word == "Archive")
    };
    heads.filter(named).collect()
}

/// The binary has one door to the records: what it may ask is a method of `clinic`.
#[test]
fn the_clinic_does_not_hand_out_the_store() {
    for handed_out in [
        "pub use archive;",
        "pub const fn archive(&self) -> &Archive {",
        "pub use archive::{\n    Hit, Archive,\n};",
    ] {
        assert_eq!(store_handed_out(handed_out).len(), 1, "{handed_out}");
    }
    assert!(store_handed_out("pub use archive::{ArchiveError, Hit};").is_empty());
    let mut files = Vec::new();
    sources(&root().join("crates/clinic/src"), &mut files);
    let text: String = files.iter().map(|file| fs::read_to_string(file).unwrap()).collect();
    assert!(text.matches("pub fn ").count() > 40, "clinic was not read");
    let found = store_handed_out(&text);
    assert!(found.is_empty(), "{found:#?}");
}

/// The tests that are named but are no test of the workspace.
fn no_tests<'a>(named: &[&'a str]) -> Vec<&'a str> {
    let mut files = Vec::new();
    sources(&root().join("crates"), &mut files);
    let code: String = files.iter().map(|file| fs::read_to_string(file).unwrap()).collect();
    named.iter().copied().filter(|name| !code.contains(&format!("fn {name}()"))).collect()
}

/// Every test that the log of hazards names is a test of the workspace.
#[test]
fn the_tests_named_in_the_log_of_hazards_exist() {
    let text = fs::read_to_string(root().join("docs/hazards.md")).unwrap();
    let named: Vec<&str> = text.split('`').skip(1).step_by(2).collect();
    assert!(named.len() > 30, "only {} tests are named", named.len());
    assert_eq!(no_tests(&named), Vec::<&str>::new(), "docs/hazards.md");
}

/// Whether a name in code marks is that of a test, as `module::first_words_of_its_name_…` or `module::…`.
fn is_name_of_a_test(name: &str) -> bool {
    let last = name.rsplit("::").next().unwrap_or_default();
    name.contains("::") && (last.ends_with('…') || last.matches('_').count() > 3)
}

/// Every test that the page of what is noticed names, whole or by its first words, is in a file of that name.
#[test]
fn the_tests_named_in_the_page_of_reliability_exist() {
    let text = fs::read_to_string(root().join("docs/reliability.md")).unwrap();
    let named: Vec<&str> =
        text.split('`').skip(1).step_by(2).filter(|name| is_name_of_a_test(name)).collect();
    assert!(named.len() > 30, "only {} tests are named", named.len());
    let mut files = Vec::new();
    sources(&root().join("crates"), &mut files);
    let exists = |name: &&str| {
        let (module, words) = name.split_once("::").unwrap();
        let first_words = words.rsplit("::").next().unwrap().trim_end_matches('…');
        files.iter().any(|file| {
            file.file_stem().unwrap() == module
                && fs::read_to_string(file).unwrap().contains(&format!("fn {first_words}"))
        })
    };
    let missing: Vec<&str> = named.into_iter().filter(|name| !exists(name)).collect();
    assert_eq!(missing, Vec::<&str>::new(), "docs/reliability.md");
}

/// Every row of the table of security has a state that is said, a test where it is met, and a reason where it is not;
/// and every test that it names is a test of the workspace.
#[test]
fn the_table_of_security_names_tests_that_exist_and_reasons_where_there_are_none() {
    let text = fs::read_to_string(root().join("docs/security.md")).unwrap();
    let rows: Vec<Vec<&str>> = text
        .lines()
        .filter(|line| line.starts_with("| ") && line.matches(" | ").count() == 5)
        .map(|line| line.trim_matches('|').split(" | ").map(str::trim).collect())
        .filter(|cells: &Vec<&str>| cells[0].starts_with(|first: char| first.is_ascii_digit()))
        .collect();
    assert!(rows.len() > 170, "{} rows were read", rows.len());
    let (mut named, mut numbers) = (Vec::new(), BTreeSet::new());
    for row in &rows {
        let (number, state, why) = (row[0], row[3], row[4]);
        let tests: Vec<&str> = row[5].split('`').skip(1).step_by(2).collect();
        assert!(numbers.insert(number), "{number} is there twice");
        match state {
            "met" => assert!(!tests.is_empty(), "{number} is met, and no test shows it"),
            "partly met" | "not met" | "does not apply" => assert!(why.len() > 5, "{number} has no reason"),
            other => panic!("{number}: {other}"),
        }
        named.extend(tests);
    }
    assert_eq!(no_tests(&named), Vec::<&str>::new(), "docs/security.md");
    for state in ["met", "partly met", "not met", "does not apply"] {
        let count = rows.iter().filter(|row| row[3] == state).count();
        assert!(
            text.contains(&format!("{count} {state}")),
            "{count} rows are {state}, and the page says otherwise"
        );
    }
}

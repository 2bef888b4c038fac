//! What goes into the program: from where it comes, under which licence, what runs while it is built, and the bill of
//! materials. The database of known faults cannot be had here: it is published as a repository and not in a package
//! registry, so that `./check` does not ask it; docs/security.md says how a clinic's developer does.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../../examples/bill_of_materials/bill.rs"]
#[allow(dead_code)]
mod bill;

use crate::house::root;
use bill::{Material, Materials, bill};
use std::collections::{BTreeMap, BTreeSet};

fn shipped(with_build: bool) -> BTreeMap<String, Material> {
    Materials::of(&root(), &[]).unwrap().shipped(with_build).unwrap()
}

#[test]
fn every_library_comes_from_the_registry_with_its_check_sum() {
    let lock: toml::Table = std::fs::read_to_string(root().join("Cargo.lock")).unwrap().parse().unwrap();
    let (mut sources, mut own, mut wrong) = (BTreeSet::new(), 0, Vec::new());
    for package in lock["package"].as_array().unwrap() {
        let name = package["name"].as_str().unwrap();
        match package.get("source").and_then(toml::Value::as_str) {
            Some(source) => {
                sources.insert(source.to_owned());
                let checksum = package.get("checksum").and_then(toml::Value::as_str).unwrap_or_default();
                if !source.starts_with("registry+") || checksum.len() != 64 {
                    wrong.push(format!("{name} comes from {source}, check sum {checksum:?}"));
                }
            }
            None if root().join("crates").join(name).is_dir() => own += 1,
            None => wrong.push(format!("{name} comes from a folder outside the workspace")),
        }
    }
    assert!(wrong.is_empty(), "take it from the registry instead:\n{}", wrong.join("\n"));
    assert_eq!(sources.len(), 1, "more than one registry: {sources:?}");
    assert!(own > 10, "{own}");
    for manifest in std::fs::read_dir(root().join("crates")).unwrap() {
        let text = std::fs::read_to_string(manifest.unwrap().path().join("Cargo.toml")).unwrap_or_default();
        assert!(!text.contains("git =") && !text.contains("[patch"), "{text}");
    }
}

/// SHA-2 is there twice, because the library of backups uses an earlier one, and quick-xml, because the typesetting
/// reads its own styles of bibliographies, and nothing else, with an earlier one. Two versions of one of these would mean that a fault mended in one is still in the other.
const ONCE: [&str; 14] = [
    "argon2",
    "axum",
    "chacha20poly1305",
    "h2",
    "hyper",
    "libsqlite3-sys",
    "rcgen",
    "ring",
    "rusqlite",
    "rustls",
    "rustls-webpki",
    "tokio",
    "zip",
    "age",
];

#[test]
fn what_security_rests_on_is_there_once() {
    let mut versions = BTreeMap::<String, Vec<String>>::new();
    for material in shipped(false).into_values() {
        versions.entry(material.name).or_default().push(material.version);
    }
    let twice: Vec<_> =
        versions.iter().filter(|(name, found)| ONCE.contains(&name.as_str()) && found.len() > 1).collect();
    assert!(twice.is_empty(), "{twice:?}");
    assert!(versions.contains_key("ring") && versions.contains_key("rusqlite"), "the set is not read");
}

/// Build scripts that somebody looked at, and what each does beside asking the compiler which version it is. A new one
/// runs on the machine of every developer: read it before it is listed here.
const BUILD_SCRIPTS: [(&str, &str); 77] = [
    ("blake3", "compiles its own assembler and C"),
    ("codex", "writes generated Rust"),
    ("constant_time_eq", ""),
    ("cookie", ""),
    ("crc32fast", ""),
    ("crossbeam-deque", ""),
    ("crossbeam-epoch", ""),
    ("crossbeam-utils", ""),
    ("crunchy", "writes generated Rust"),
    ("curve25519-dalek", ""),
    ("encoding_rs", ""),
    ("fs-err", ""),
    ("generic-array", ""),
    ("getrandom", ""),
    ("httparse", ""),
    ("icu_calendar_data", "asks where other data is"),
    ("icu_collator_data", "asks where other data is"),
    ("icu_datetime_data", "asks where other data is"),
    ("icu_decimal_data", "asks where other data is"),
    ("icu_locale_data", "asks where other data is"),
    ("icu_locale_fallback_data", "asks where other data is"),
    ("icu_normalizer_data", "asks where other data is"),
    ("icu_plurals_data", "asks where other data is"),
    ("icu_properties_data", "asks where other data is"),
    ("icu_segmenter_data", "asks where other data is"),
    ("icu_time_data", "asks where other data is"),
    ("libc", "asks FreeBSD for its version"),
    ("libm", ""),
    ("libsqlite3-sys", "compiles the SQLite that comes with it"),
    ("mime_guess", "writes generated Rust"),
    ("multer", ""),
    ("nix", ""),
    ("num-traits", ""),
    ("object", ""),
    ("oid-registry", "writes generated Rust"),
    ("parking_lot_core", ""),
    ("paste", ""),
    ("plantigrade", "has the linker leave symbols out"),
    ("portable-atomic", ""),
    ("portable-atomic-util", ""),
    ("proc-macro-hack", ""),
    ("proc-macro2", ""),
    ("proc-macro2-diagnostics", ""),
    ("psm", "compiles its own assembler"),
    ("quote", ""),
    ("rayon-core", ""),
    ("ring", "compiles its own assembler and C; nasm on Windows"),
    ("rust_decimal", "copies its own description"),
    ("rustix", ""),
    ("rustls", ""),
    ("rustversion", "writes the version of the compiler"),
    ("serde", "writes generated Rust"),
    ("serde_core", "writes generated Rust"),
    ("serde_json", ""),
    ("slotmap", "asks for the version of the compiler"),
    ("sqlite-wasm-rs", "compiles SQLite; for browsers only, not built here"),
    ("stacker", "compiles its own C on Windows"),
    ("thiserror", ""),
    ("typst-utils", "asks git for the commit of its own source"),
    ("valuable", ""),
    ("wasm-bindgen", "for browsers only, not built here"),
    ("wasm-bindgen-shared", "asks git; for browsers only, not built here"),
    ("wasmparser", ""),
    ("winapi", "names libraries of Windows"),
    ("winapi-i686-pc-windows-gnu", "names libraries of Windows"),
    ("winapi-x86_64-pc-windows-gnu", "names libraries of Windows"),
    ("windows_aarch64_gnullvm", "names libraries of Windows"),
    ("windows_aarch64_msvc", "names libraries of Windows"),
    ("windows_i686_gnu", "names libraries of Windows"),
    ("windows_i686_gnullvm", "names libraries of Windows"),
    ("windows_i686_msvc", "names libraries of Windows"),
    ("windows_x86_64_gnu", "names libraries of Windows"),
    ("windows_x86_64_gnullvm", "names libraries of Windows"),
    ("windows_x86_64_msvc", "names libraries of Windows"),
    ("wit-bindgen", "for browsers only, not built here"),
    ("zerocopy", ""),
    ("zmij", ""),
];

/// Native libraries that are linked.
const LINKS: [&str; 6] =
    ["libsqlite3-sys", "psm", "rayon-core", "ring", "sqlite-wasm-rs", "wasm-bindgen-shared"];

#[test]
fn every_build_script_was_looked_at_and_none_asks_the_network() {
    let known: BTreeSet<&str> = BUILD_SCRIPTS.iter().map(|(name, _)| *name).collect();
    let (mut unknown, mut asks, mut seen) = (BTreeSet::new(), Vec::new(), 0);
    for material in shipped(true).into_values() {
        if material.links.is_some() && !LINKS.contains(&material.name.as_str()) {
            unknown.insert(format!("{} links {:?}", material.name, material.links));
        }
        let Some(path) = &material.build_script else { continue };
        seen += 1;
        if !known.contains(material.name.as_str()) {
            unknown.insert(format!("{}: read {path}", material.name));
        }
        let text = std::fs::read_to_string(path).unwrap();
        let network = ["TcpStream", "UdpSocket", "reqwest", "ureq", "\"curl\"", "\"wget\""];
        asks.extend(
            network.iter().filter(|word| text.contains(**word)).map(|word| format!("{path}: {word}")),
        );
    }
    assert!(unknown.is_empty(), "look at these build scripts and list them:\n{unknown:#?}");
    // Behind a feature for its own tests, which is off here: the library that would ask is not even in the lock file.
    let lock = std::fs::read_to_string(root().join("Cargo.lock")).unwrap();
    let cannot = |ask: &String| {
        ask.contains("/codex-") && ask.ends_with(": ureq") && !lock.contains("name = \"ureq\"")
    };
    asks.retain(|ask| !cannot(ask));
    assert!(asks.is_empty(), "{asks:#?}");
    assert!(seen > 30, "{seen}");
}

#[test]
fn the_bill_of_materials_agrees_with_the_lock_file_and_is_the_same_each_time() {
    let materials = shipped(false);
    let made = bill(&materials, None);
    assert_eq!(made, bill(&shipped(false), None), "the same lock file, the same bill");
    assert_eq!((&made["bomFormat"], &made["specVersion"]), (&"CycloneDX".into(), &"1.6".into()));
    assert!(made["metadata"].get("timestamp").is_none());
    assert_eq!(bill(&materials, Some(0))["metadata"]["timestamp"], "1970-01-01T00:00:00Z");
    assert_eq!(made["metadata"]["component"]["name"], "plantigrade");
    let serial = made["serialNumber"].as_str().unwrap();
    let id = serial.strip_prefix("urn:uuid:").unwrap();
    assert_eq!(uuid::Uuid::parse_str(id).unwrap().to_string(), id);
    let lock: toml::Table = std::fs::read_to_string(root().join("Cargo.lock")).unwrap().parse().unwrap();
    let of = |package: &toml::Value, name: &str| {
        package.get(name).and_then(|value| value.as_str().map(str::to_owned))
    };
    let locked: BTreeMap<(String, String), Option<String>> = lock["package"]
        .as_array()
        .unwrap()
        .iter()
        .map(|package| {
            let key = (of(package, "name").unwrap(), of(package, "version").unwrap());
            (key, of(package, "checksum"))
        })
        .collect();
    let components = made["components"].as_array().unwrap();
    assert!(components.len() > 200, "{}", components.len());
    let mut named = BTreeSet::from([made["metadata"]["component"]["bom-ref"].as_str().unwrap()]);
    for component in components {
        let text = |name: &str| component[name].as_str().unwrap_or_else(|| panic!("{name}: {component}"));
        assert_eq!(text("type"), "library");
        let key = (text("name").to_owned(), text("version").to_owned());
        let checksum = locked.get(&key).unwrap_or_else(|| panic!("{key:?} is not in the lock file"));
        let stated = component["hashes"][0]["content"].as_str().map(str::to_owned);
        assert_eq!(&stated, checksum, "{key:?}");
        assert!(!component["licenses"][0]["expression"].as_str().unwrap().is_empty(), "{key:?}");
        assert!(named.insert(text("bom-ref")), "{key:?} is there twice");
        assert_eq!(text("purl"), text("bom-ref"));
    }
    for dependency in made["dependencies"].as_array().unwrap() {
        assert!(named.contains(dependency["ref"].as_str().unwrap()));
        for used in dependency["dependsOn"].as_array().unwrap() {
            assert!(named.contains(used.as_str().unwrap()), "{used} is used and not listed");
        }
    }
    for tests_only in ["chromiumoxide", "proptest", "scraper"] {
        assert!(!components.iter().any(|component| component["name"] == tests_only), "{tests_only}");
    }
}

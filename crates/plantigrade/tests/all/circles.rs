//! No circle of imports between the modules of a crate.
//!
//! Modules are compared with their siblings: what a module and the modules inside it use of another module,
//! or of the modules inside that one, is one arrow. A module and its own children are one thing and may use
//! each other. A name that a parent only passes on (`pub use`) counts as use of the module that defines it.

use crate::house::{root, sources};
use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::Path,
};

type Module = Vec<String>;

/// The modules of a crate with the text of each, without comments and tests.
struct Modules {
    text: BTreeMap<Module, String>,
    /// What a module passes on: the name, and its path.
    passed_on: BTreeMap<Module, BTreeMap<String, Vec<String>>>,
}

impl Modules {
    fn of(src: &Path) -> Self {
        let mut files = Vec::new();
        sources(src, &mut files);
        let mut text = BTreeMap::new();
        for file in files {
            let inside = file.strip_prefix(src).unwrap().with_extension("");
            let mut module: Module = inside.iter().map(|part| part.to_str().unwrap().to_owned()).collect();
            if module.last().is_some_and(|last| matches!(last.as_str(), "mod" | "lib" | "main")) {
                module.pop();
            }
            text.insert(module, code(&fs::read_to_string(file).unwrap()));
        }
        let mut modules = Self { text, passed_on: BTreeMap::new() };
        for (module, text) in &modules.text {
            let names = used(text).into_iter().filter(|(public, _)| *public);
            let names = names.filter_map(|(_, path)| Some((path.last()?.clone(), path))).collect();
            modules.passed_on.insert(module.clone(), names);
        }
        modules
    }

    /// The module in which a path ends, as written in a module; `None` where it leads out of the crate.
    fn resolve(&self, from: &[String], path: &[String], depth: usize) -> Option<Module> {
        let (mut at, mut rest): (Module, &[String]) = match path.first()?.as_str() {
            "crate" => (Vec::new(), &path[1..]),
            "self" => (from.to_vec(), &path[1..]),
            "super" => (from.to_vec(), path),
            first => {
                let child = [from, &[first.to_owned()]].concat();
                self.text.contains_key(&child).then(|| (from.to_vec(), path))?
            }
        };
        while rest.first().is_some_and(|part| part == "super") {
            at.pop();
            rest = &rest[1..];
        }
        for part in rest {
            let child = [at.as_slice(), std::slice::from_ref(part)].concat();
            if self.text.contains_key(&child) {
                at = child;
                continue;
            }
            let known = self.passed_on.get(&at).and_then(|names| names.get(part)).filter(|_| depth < 8);
            return Some(known.and_then(|path| self.resolve(&at, path, depth + 1)).unwrap_or(at));
        }
        Some(at)
    }

    /// For each parent, which of its children use which others.
    fn arrows(&self) -> BTreeMap<Module, BTreeMap<String, BTreeSet<String>>> {
        let mut arrows: BTreeMap<Module, BTreeMap<String, BTreeSet<String>>> = BTreeMap::new();
        for (from, text) in &self.text {
            for (_, path) in used(text).into_iter().filter(|(public, _)| !public) {
                let Some(to) = self.resolve(from, &path, 0) else { continue };
                let shared = from.iter().zip(&to).take_while(|(one, other)| one == other).count();
                if let (Some(one), Some(other)) = (from.get(shared), to.get(shared)) {
                    let parent = arrows.entry(from[..shared].to_vec()).or_default();
                    parent.entry(one.clone()).or_default().insert(other.clone());
                }
            }
        }
        arrows
    }

    /// Siblings that lead back to themselves.
    fn circles(&self) -> Vec<String> {
        let mut found = Vec::new();
        for (parent, arrows) in self.arrows() {
            let inside: Vec<&String> =
                arrows.keys().filter(|one| leads(&arrows, one).contains(*one)).collect();
            if !inside.is_empty() {
                found.push(format!("in {parent:?}: {inside:?}"));
            }
        }
        found
    }
}

/// All that a module uses, and what that uses.
fn leads<'a>(arrows: &'a BTreeMap<String, BTreeSet<String>>, from: &String) -> BTreeSet<&'a String> {
    let mut seen = BTreeSet::new();
    let mut open: Vec<&String> = arrows.get(from).into_iter().flatten().collect();
    while let Some(next) = open.pop() {
        if seen.insert(next) {
            open.extend(arrows.get(next).into_iter().flatten());
        }
    }
    seen
}

/// A file's text up to its tests, without comments.
fn code(text: &str) -> String {
    let text = text.split("#[cfg(test)]\nmod ").next().unwrap_or(text);
    text.lines().map(|line| line.split("//").next().unwrap_or(line)).collect::<Vec<_>>().join("\n")
}

/// Every path of a text, and whether it is only passed on. `use` declarations are taken apart; of other
/// paths at least two parts are needed.
fn used(text: &str) -> Vec<(bool, Vec<String>)> {
    let mut found = Vec::new();
    let mut rest = String::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let plain = line.trim_start();
        let public = plain.starts_with("pub use ") || (plain.starts_with("pub(") && plain.contains(") use "));
        if !public && !plain.starts_with("use ") {
            rest.push_str(line);
            rest.push('\n');
            continue;
        }
        let mut tree = plain.split_once("use ").map(|(_, tree)| tree.to_owned()).unwrap_or_default();
        while !tree.contains(';') {
            let Some(next) = lines.next() else { break };
            tree.push_str(next);
        }
        taken_apart(tree.split(';').next().unwrap_or(""), &[], public, &mut found);
    }
    let within = |c: char| !(c.is_alphanumeric() || c == '_' || c == ':');
    let paths = rest.split(within).filter(|word| word.contains("::"));
    found.extend(paths.map(|path| (false, parts(path))).filter(|(_, path)| path.len() > 1));
    found
}

fn parts(path: &str) -> Vec<String> {
    let name = |part: &str| part.split(" as ").next().unwrap_or(part).trim().to_owned();
    path.split("::").map(name).filter(|part| !part.is_empty()).collect()
}

/// `a::{b, c::{d}}` as its paths.
fn taken_apart(tree: &str, before: &[String], public: bool, found: &mut Vec<(bool, Vec<String>)>) {
    let Some((head, inner)) = tree.split_once('{') else {
        let path = [before, &parts(tree)].concat();
        found.extend((path.len() > before.len()).then_some((public, path)));
        return;
    };
    let before = [before, &parts(head)].concat();
    let inner = inner.rsplit_once('}').map_or(inner, |(inner, _)| inner);
    let (mut depth, mut begin) = (0, 0);
    for (at, c) in inner.char_indices().chain([(inner.len(), ',')]) {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                taken_apart(&inner[begin..at], &before, public, found);
                begin = at + 1;
            }
            _ => {}
        }
    }
}

#[test]
fn modules_do_not_import_in_a_circle() {
    let crates = fs::read_dir(root().join("crates")).unwrap().map(|one| one.unwrap().path());
    let mut wrong = Vec::new();
    for folder in crates {
        let name = folder.file_name().unwrap().to_str().unwrap().to_owned();
        let circles = Modules::of(&folder.join("src")).circles();
        if !circles.is_empty() {
            wrong.push(format!("{name}: {}", circles.join("; ")));
        }
    }
    assert!(wrong.is_empty(), "circles of imports:\n{}", wrong.join("\n"));
}

/// The test itself can fail: two modules that use each other, one of them through a name passed on.
#[test]
fn a_circle_is_found_also_through_a_name_that_is_passed_on() {
    let dir = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| fs::write(dir.path().join(name), text).unwrap();
    write("lib.rs", "mod one;\nmod two;\nmod low;\npub use two::Two;\n");
    write("low.rs", "pub struct Low;\n");
    write("two.rs", "use crate::{low::Low, one};\npub struct Two(Low);\n// crate::nothing::here\n");
    write("one.rs", "pub fn one() -> usize { size_of::<u8>() }\n");
    assert_eq!(Modules::of(dir.path()).circles(), Vec::<String>::new());
    write("one.rs", "pub fn one(two: crate::Two) -> crate::Two { two }\n");
    assert_eq!(Modules::of(dir.path()).circles(), [r#"in []: ["one", "two"]"#]);
    write("one.rs", "#[cfg(test)]\nmod tests { use crate::Two; }\n");
    assert_eq!(Modules::of(dir.path()).circles(), Vec::<String>::new());
}

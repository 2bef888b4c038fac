//! The bill of materials in the form CycloneDX 1.6 (JSON; names of fields from memory of the specification): every
//! package that goes into the program, with version, licence, check sum and what it uses. It has no time of day unless
//! `SOURCE_DATE_EPOCH` gives one, so that the same lock file gives the same bill.

use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};
use std::{
    collections::{BTreeMap, BTreeSet},
    path::Path,
    process::Command,
};

/// What cargo knows of the packages: its metadata, and the text of the lock file.
pub struct Materials {
    metadata: Value,
    lock: String,
}

/// One package of the shipped set.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Material {
    pub name: String,
    pub version: String,
    /// As an expression of SPDX.
    pub licence: String,
    /// From where cargo takes it; `None` for a crate of this workspace.
    pub source: Option<String>,
    /// SHA-256 of the package as the lock file has it.
    pub checksum: Option<String>,
    /// The native library that it links.
    pub links: Option<String>,
    /// The file of its build script, and whether it runs while it is compiled by others.
    pub build_script: Option<String>,
    pub is_macro: bool,
    repository: Option<String>,
    uses: BTreeSet<String>,
}

impl Material {
    /// The package URL (purl), by which it is also referred to.
    pub fn purl(&self) -> String {
        format!("pkg:cargo/{}@{}", self.name, self.version)
    }
}

impl Materials {
    /// Asks cargo, without the network, about the workspace at `root` with these features of the program.
    ///
    /// # Errors
    /// What cargo says.
    pub fn of(root: &Path, features: &[String]) -> Result<Self, String> {
        let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
        let mut command = Command::new(cargo);
        command.args(["metadata", "--format-version", "1", "--locked", "--offline"]).current_dir(root);
        if !features.is_empty() {
            command.arg("--features").arg(features.join(","));
        }
        let output = command.output().map_err(|error| error.to_string())?;
        if !output.status.success() {
            return Err(String::from_utf8_lossy(&output.stderr).into_owned());
        }
        let metadata = serde_json::from_slice(&output.stdout).map_err(|error| error.to_string())?;
        let lock = std::fs::read_to_string(root.join("Cargo.lock")).map_err(|error| error.to_string())?;
        Ok(Self { metadata, lock })
    }

    /// The packages that go into the program; with those that only run while it is built, if asked for.
    ///
    /// # Errors
    /// When cargo's answer has another form than expected.
    pub fn shipped(&self, with_build: bool) -> Result<BTreeMap<String, Material>, String> {
        let packages = list(&self.metadata["packages"])?;
        let packages: BTreeMap<&str, &Value> =
            packages.iter().filter_map(|package| Some((package["id"].as_str()?, package))).collect();
        let nodes = list(&self.metadata["resolve"]["nodes"])?;
        let nodes: BTreeMap<&str, &Value> =
            nodes.iter().filter_map(|node| Some((node["id"].as_str()?, node))).collect();
        let root = packages.iter().find(|(_, package)| package["name"] == "plantigrade");
        let root = root.ok_or("there is no package plantigrade")?.0;
        let (mut open, mut found) = (vec![*root], BTreeMap::new());
        while let Some(id) = open.pop() {
            if found.contains_key(id) {
                continue;
            }
            let used = used_by(nodes.get(id).ok_or("a package is not resolved")?, with_build);
            let package = packages.get(id).ok_or("a package has no description")?;
            found.insert(id.to_owned(), self.material(package, &used, &packages));
            open.extend(used);
        }
        Ok(found.into_values().map(|material| (material.purl(), material)).collect())
    }

    fn material(&self, package: &Value, used: &[&str], packages: &BTreeMap<&str, &Value>) -> Material {
        let text = |name: &str| package[name].as_str().unwrap_or_default().to_owned();
        let optional = |name: &str| package[name].as_str().map(str::to_owned);
        let targets = package["targets"].as_array().cloned().unwrap_or_default();
        let of_kind = |kind: &str| {
            let is = |target: &&Value| {
                target["kind"].as_array().is_some_and(|kinds| kinds.iter().any(|one| one == kind))
            };
            targets.iter().find(is).and_then(|target| target["src_path"].as_str()).map(str::to_owned)
        };
        let purl = |id: &&str| {
            let package = packages.get(id)?;
            Some(format!("pkg:cargo/{}@{}", package["name"].as_str()?, package["version"].as_str()?))
        };
        Material {
            name: text("name"),
            version: text("version"),
            licence: text("license").replace(" / ", " OR ").replace('/', " OR "),
            source: optional("source"),
            checksum: self.checksum(&text("name"), &text("version")),
            links: optional("links"),
            build_script: of_kind("custom-build"),
            is_macro: of_kind("proc-macro").is_some(),
            repository: optional("repository"),
            uses: used.iter().filter_map(purl).collect(),
        }
    }

    fn checksum(&self, name: &str, version: &str) -> Option<String> {
        let head = format!("name = \"{name}\"\nversion = \"{version}\"\n");
        let rest = self.lock.split(&head).nth(1)?.split("[[package]]").next()?;
        rest.lines().find_map(|line| line.strip_prefix("checksum = \"")?.strip_suffix('"')).map(str::to_owned)
    }
}

fn list(value: &Value) -> Result<&Vec<Value>, String> {
    value.as_array().ok_or_else(|| "cargo’s answer has another form than expected".to_owned())
}

fn used_by(node: &Value, with_build: bool) -> Vec<&str> {
    let wanted = |kind: &Value| kind["kind"].is_null() || (with_build && kind["kind"] == "build");
    let uses = |dependency: &&Value| {
        dependency["dep_kinds"].as_array().is_some_and(|kinds| kinds.iter().any(wanted))
    };
    let dependencies = node["deps"].as_array().map(Vec::as_slice).unwrap_or_default();
    dependencies.iter().filter(uses).filter_map(|dependency| dependency["pkg"].as_str()).collect()
}

/// The bill. `epoch` is the time in seconds since 1970 that it carries, if one is given.
pub fn bill(shipped: &BTreeMap<String, Material>, epoch: Option<i64>) -> Value {
    let own = shipped.values().find(|material| material.name == "plantigrade");
    let others = shipped.values().filter(|material| material.name != "plantigrade");
    let components: Vec<Value> = others.map(|material| component(material, "library")).collect();
    let dependencies: Vec<Value> = shipped
        .values()
        .map(|material| json!({ "ref": material.purl(), "dependsOn": material.uses }))
        .collect();
    let mut metadata = Map::new();
    if let Some(time) = epoch.and_then(|epoch| jiff::Timestamp::from_second(epoch).ok()) {
        metadata.insert("timestamp".into(), time.to_string().into());
    }
    metadata.insert("component".into(), own.map_or(Value::Null, |own| component(own, "application")));
    let serial = serial(&components, &dependencies);
    json!({
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "serialNumber": serial,
        "version": 1,
        "metadata": metadata,
        "components": components,
        "dependencies": dependencies,
    })
}

fn component(material: &Material, kind: &str) -> Value {
    let mut component = json!({
        "type": kind,
        "bom-ref": material.purl(),
        "name": material.name,
        "version": material.version,
        "scope": "required",
        "licenses": [{ "expression": material.licence }],
        "purl": material.purl(),
    });
    if let Some(checksum) = &material.checksum {
        component["hashes"] = json!([{ "alg": "SHA-256", "content": checksum }]);
    }
    if let Some(repository) = &material.repository {
        component["externalReferences"] = json!([{ "type": "vcs", "url": repository }]);
    }
    component
}

/// A number of the bill that follows from its contents (the form of a UUID of version 8, RFC 9562, section 5.8).
fn serial(components: &[Value], dependencies: &[Value]) -> String {
    let text = json!([components, dependencies]).to_string();
    let digest: [u8; 32] = Sha256::digest(text.as_bytes()).into();
    let mut bytes = [0; 16];
    bytes.copy_from_slice(&digest[..16]);
    format!("urn:uuid:{}", uuid::Builder::from_custom_bytes(bytes).into_uuid())
}

//! The rules of the house that no compiler checks: which crate may know which, module docs, sizes, words, names.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::Context as _;

/// Which of our crates each crate may depend on. Arrows point down only.
const MAY_KNOW: &[(&str, &[&str])] = &[
    ("dw-core", &[]),
    ("dw-solve", &[]),
    ("dw-instance", &["dw-solve"]),
    ("dw-job", &["dw-core"]),
    ("dw-engine", &["dw-core", "dw-job", "dw-solve"]),
    ("dw-papers", &["dw-core", "dw-job", "dw-engine"]),
    ("doorwright", &["dw-core", "dw-job", "dw-solve", "dw-instance", "dw-engine", "dw-papers"]),
];

/// Crates the engine must never reach: input and output, clocks, services.
const NOT_IN_ENGINE: &[&str] =
    &["tokio", "axum", "sqlx", "typst", "reqwest", "chrono", "time", "jiff", "rand", "tempfile"];

/// Longest source file, data tables excepted.
const MAX_LINES: usize = 800;

/// Words that never describe a design as a whole: the authority having jurisdiction decides.
const BANNED: &[&str] = &["compliant", "guaranteed", "foolproof"];

/// Every fault found.
pub fn check(root: &Path) -> anyhow::Result<Vec<String>> {
    let mut faults = Vec::new();
    faults.extend(dependencies(root)?);
    faults.extend(engine_is_pure(root)?);
    let sources = sources(&root.join("crates"))?;
    for path in &sources {
        let text = fs::read_to_string(path).with_context(|| path.display().to_string())?;
        faults.extend(source(path, &text));
    }
    faults.extend(catalogue_names(root, &sources)?);
    faults.extend(words(root)?);
    Ok(faults)
}

fn dependencies(root: &Path) -> anyhow::Result<Vec<String>> {
    let mut faults = Vec::new();
    for entry in fs::read_dir(root.join("crates"))? {
        let folder = entry?.path();
        let name = folder.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let manifest = fs::read_to_string(folder.join("Cargo.toml"))?;
        let Some((_, allowed)) = MAY_KNOW.iter().find(|row| row.0 == name) else {
            faults.push(format!("{name}: not in the table of allowed dependencies"));
            continue;
        };
        let wanted = manifest.split("[dev-dependencies]").next().unwrap_or_default();
        let used =
            wanted.lines().filter_map(|line| line.split(['.', ' ', '=']).next()).filter(|dep| dep.starts_with("dw-"));
        faults.extend(used.filter(|dep| !allowed.contains(dep)).map(|dep| format!("{name} must not know {dep}")));
    }
    Ok(faults)
}

fn engine_is_pure(root: &Path) -> anyhow::Result<Vec<String>> {
    let tree = Command::new(env!("CARGO"))
        .args(["tree", "--package", "dw-engine", "--edges", "normal", "--prefix", "none", "--offline"])
        .current_dir(root)
        .output()
        .context("cargo tree")?;
    let tree = String::from_utf8_lossy(&tree.stdout).into_owned();
    anyhow::ensure!(tree.contains("dw-core"), "cargo tree said nothing about dw-engine");
    let reached = |name: &&&str| tree.lines().any(|line| line.split(' ').next() == Some(**name));
    Ok(NOT_IN_ENGINE.iter().filter(reached).map(|name| format!("dw-engine must not reach {name}")).collect())
}

fn sources(folder: &Path) -> anyhow::Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() && !path.ends_with("target") {
            found.extend(sources(&path)?);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

fn source(path: &Path, text: &str) -> Vec<String> {
    let mut faults = Vec::new();
    if !text.starts_with("//!") && !is_test(path) {
        faults.push(format!("{}: begins without a module comment", path.display()));
    }
    let lines = text.lines().count();
    if lines > MAX_LINES && !path.to_string_lossy().contains("table") {
        faults.push(format!("{}: {lines} lines; split it", path.display()));
    }
    if text.contains("todo!(") || text.contains("unimplemented!(") {
        faults.push(format!("{}: unfinished", path.display()));
    }
    faults
}

/// Whether a source is only compiled for tests: it stands under `tests`, or its parent declares it so.
fn is_test(path: &Path) -> bool {
    if path.components().any(|part| ["tests", "benches", "examples"].iter().any(|folder| part.as_os_str() == *folder)) {
        return true;
    }
    let (Some(name), Some(folder)) = (path.file_stem().and_then(|name| name.to_str()), path.parent()) else {
        return false;
    };
    let declared = format!("#[cfg(test)]\nmod {name};");
    let shared = format!("#[cfg(test)]\npub(crate) mod {name};");
    let parents = [folder.join("mod.rs"), folder.join("lib.rs"), folder.with_extension("rs")];
    let says = |parent: &PathBuf| {
        fs::read_to_string(parent).is_ok_and(|text| text.contains(&declared) || text.contains(&shared))
    };
    parents.iter().any(says)
}

/// No source names a device of the catalogue: rules and catalogue are data.
fn catalogue_names(root: &Path, sources: &[PathBuf]) -> anyhow::Result<Vec<String>> {
    let mut names = Vec::new();
    for entry in fs::read_dir(root.join("data/catalogue"))? {
        let text = fs::read_to_string(entry?.path())?;
        let ids = text.lines().filter_map(|line| line.strip_prefix("id = \"")?.strip_suffix('"').map(str::to_owned));
        names.extend(ids.filter(|id| id.starts_with("DW-")));
    }
    anyhow::ensure!(names.len() > 50, "the demo catalogue has lost its devices");
    let mut faults = Vec::new();
    for path in sources.iter().filter(|path| !is_test(path)) {
        let text = fs::read_to_string(path)?;
        let shipped = text.split("#[cfg(test)]").next().unwrap_or_default();
        let named = names.iter().filter(|name| shipped.contains(&format!("\"{name}\"")));
        faults.extend(named.map(|name| format!("{}: names the catalogue device {name}", path.display())));
    }
    Ok(faults)
}

/// Words no paper and no page may use of a design.
fn words(root: &Path) -> anyhow::Result<Vec<String>> {
    let mut faults = Vec::new();
    let mut paths: Vec<PathBuf> = sources(&root.join("crates"))?.into_iter().filter(|path| !is_test(path)).collect();
    for name in ["README.md", "ARCHITECTURE.md", "CHANGELOG.md"] {
        paths.push(root.join(name));
    }
    for path in paths.into_iter().filter(|path| path.exists()) {
        let text = fs::read_to_string(&path)?.to_lowercase();
        let used = BANNED.iter().filter(|word| text.contains(*word) && !text.contains(&format!("never \"{word}\"")));
        faults.extend(used.map(|word| format!("{}: uses the word {word}", path.display())));
    }
    Ok(faults)
}

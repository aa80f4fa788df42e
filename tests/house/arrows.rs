//! Which crate may use which, and where versions and lints live.

use crate::tree::{CRATES, lines_with, manifest, sources};

/// The three tables in which one crate names another.
const TABLES: [&str; 3] = ["dependencies", "dev-dependencies", "build-dependencies"];

/// Names in one table of dependencies, with those for particular targets.
fn dependencies(manifest: &toml::Table, table: &str) -> Vec<(String, toml::Value)> {
    let listed = |tables: &toml::Table| {
        let table = tables.get(table).and_then(toml::Value::as_table);
        table.into_iter().flatten().map(|(name, value)| (name.clone(), value.clone())).collect()
    };
    let mut all: Vec<_> = listed(manifest);
    let targets = manifest.get("target").and_then(toml::Value::as_table);
    for target in targets.into_iter().flatten().filter_map(|(_, target)| target.as_table()) {
        all.extend(listed(target));
    }
    all
}

#[test]
fn each_crate_uses_only_those_before_it() {
    for (place, name) in CRATES.iter().enumerate() {
        let manifest = manifest(&format!("crates/{name}/Cargo.toml"));
        for table in TABLES {
            for (used, _) in dependencies(&manifest, table) {
                if let Some(used_place) = CRATES.iter().position(|known| *known == used) {
                    assert!(used_place < place, "{name} must not use {used} ({table})");
                }
            }
        }
    }
}

/// Pictures are read beside the record: neither knows the other, the program brings them together.
#[test]
fn reader_stands_apart_from_record_and_paper() {
    for name in ["record", "tables", "paper"] {
        let manifest = manifest(&format!("crates/{name}/Cargo.toml"));
        for table in TABLES {
            let uses = dependencies(&manifest, table).iter().any(|(used, _)| used == "reader");
            assert!(!uses, "{name} must not use reader ({table})");
        }
    }
}

/// Tables cost crates of their own, so the window is built without them: what is built for it is looked for in the
/// lock file, from the program's manifest on.
#[test]
fn the_window_is_built_without_what_writes_tables() {
    for name in CRATES.into_iter().filter(|name| *name != "tables") {
        let manifest = manifest(&format!("crates/{name}/Cargo.toml"));
        for table in TABLES {
            let names = dependencies(&manifest, table).into_iter().map(|(used, _)| used);
            let wrong: Vec<_> =
                names.filter(|used| used == "tables" || used == "parquet").collect();
            assert!(wrong.is_empty(), "{name} must not use {wrong:?} ({table})");
        }
    }
    let built = built_for("samepoint");
    assert!(built.contains("egui") && built.contains("record"), "the lock file was not followed");
    assert!(!built.contains("parquet") && !built.contains("tables"));
    assert!(built_for("tables").contains("parquet"));
    // Nothing in C: what would build it is not among what tables alone bring.
    let own: Vec<_> = built_for("tables").difference(&built).cloned().collect();
    let c = ["cc", "cmake", "bindgen", "zstd-sys", "libz-sys", "lz4-sys"];
    assert!(!own.iter().any(|name| c.contains(&name.as_str())), "{own:?}");
}

/// Every crate that the lock file has a way to, from one of ours; more than is built, since what other systems need
/// and what tests need stands there too.
fn built_for(name: &str) -> std::collections::BTreeSet<String> {
    let lock = manifest("Cargo.lock");
    let packages = lock["package"].as_array().unwrap();
    let text = |value: &toml::Value| value.as_str().unwrap_or_default().to_owned();
    let first = |named: String| named.split(' ').next().unwrap_or_default().to_owned();
    let (mut found, mut next) = (std::collections::BTreeSet::new(), vec![name.to_owned()]);
    while let Some(name) = next.pop() {
        if !found.insert(name.clone()) {
            continue;
        }
        for package in packages.iter().filter(|package| text(&package["name"]) == name) {
            let uses = package.get("dependencies").and_then(toml::Value::as_array);
            next.extend(uses.into_iter().flatten().map(|used| first(text(used))));
        }
    }
    found
}

/// A path dependency or a `#[path]` would slip past the manifests.
#[test]
fn no_source_reaches_into_another_crate() {
    for name in CRATES {
        let reaching = lines_with(&sources(&format!("crates/{name}/src")), &["#[path"]);
        assert!(reaching.is_empty(), "{reaching:#?}");
    }
}

#[test]
fn versions_and_lints_live_in_one_place() {
    for name in CRATES {
        let manifest = manifest(&format!("crates/{name}/Cargo.toml"));
        let inherits = |table: &toml::Value| {
            table.get("workspace").and_then(toml::Value::as_bool) == Some(true)
        };
        assert!(manifest.get("lints").is_some_and(inherits), "{name} must inherit the lints");
        let package = manifest.get("package").and_then(toml::Value::as_table).unwrap();
        for key in ["version", "edition", "rust-version", "license", "publish"] {
            assert!(package.get(key).is_some_and(inherits), "{name} must inherit {key}");
        }
        for table in TABLES {
            for (used, how) in dependencies(&manifest, table) {
                assert!(inherits(&how), "{name} must take {used} from the workspace");
            }
        }
    }
}

/// A crate is declared because somebody uses it.
#[test]
fn every_declared_dependency_is_used() {
    let root = manifest("Cargo.toml");
    let declared = root["workspace"]["dependencies"].as_table().unwrap();
    let mut used = std::collections::BTreeSet::new();
    for name in CRATES {
        let manifest = manifest(&format!("crates/{name}/Cargo.toml"));
        for table in TABLES {
            used.extend(dependencies(&manifest, table).into_iter().map(|(name, _)| name));
        }
    }
    let unused: Vec<_> = declared.keys().filter(|name| !used.contains(*name)).collect();
    assert!(unused.is_empty(), "declared in the workspace, used by no crate: {unused:?}");
    // And what a crate declares stands in its sources, tests or examples.
    for name in CRATES {
        let manifest = manifest(&format!("crates/{name}/Cargo.toml"));
        let (own, around) = (sources(&format!("crates/{name}/src")), sources("tests"));
        let beside = sources(&format!("crates/{name}"));
        for table in TABLES {
            let texts = || match table {
                "dependencies" => own.iter().chain(&[]),
                _ => beside.iter().chain(&around),
            };
            for (used, _) in dependencies(&manifest, table) {
                let word = used.replace('-', "_");
                let named = texts().any(|source| source.text.contains(&format!("{word}::")));
                assert!(named, "{name} declares {used} and does not use it");
            }
        }
    }
}

#[test]
fn the_workspace_is_these_crates() {
    let manifest = manifest("Cargo.toml");
    let workspace = manifest.get("workspace").unwrap();
    let members: Vec<&str> = workspace
        .get("members")
        .and_then(toml::Value::as_array)
        .into_iter()
        .flatten()
        .filter_map(toml::Value::as_str)
        .collect();
    assert_eq!(members, CRATES.map(|name| format!("crates/{name}")));
}

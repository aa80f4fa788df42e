//! What a desktop is given with the package fits together: every file is there, the desktop file
//! opens the files that the program writes, and a name with spaces reaches it whole.

use std::collections::BTreeSet;
use std::fs;

use crate::tree::{manifest, root};

/// What is put where: the file as the package's list names it, and its place.
fn assets() -> Vec<(String, String)> {
    let package = manifest("crates/samepoint/Cargo.toml");
    let deb = package["package"]["metadata"]["deb"].as_table().unwrap().clone();
    let listed = deb["assets"].as_array().unwrap().clone();
    let part = |asset: &toml::Value, at: usize| asset[at].as_str().unwrap().to_owned();
    listed.iter().map(|asset| (part(asset, 0), part(asset, 1))).collect()
}

fn kept(name: &str) -> String {
    fs::read_to_string(root().join("assets/linux").join(name)).unwrap()
}

/// The ending of a list of what a program is built from (CycloneDX 1.5 recommends it).
const BILL: &str = ".cdx.json";

/// Each program of the package, for either system, has beside it what it is built from.
#[test]
fn every_program_comes_with_what_it_is_built_from() {
    let places: BTreeSet<String> = assets().into_iter().map(|(file, _)| file).collect();
    let programs: Vec<&String> =
        places.iter().filter(|file| places.contains(&format!("{file}{BILL}"))).collect();
    assert_eq!(programs, ["target/release/samepoint", "target/release/samepoint-tables"]);
    let packs = fs::read_to_string(root().join(".ci/package")).unwrap();
    assert!(packs.contains(".ci/sbom --check"), "nobody holds them against the programs");
}

/// `samepoint tables` looks for the other program beside itself.
#[test]
fn both_programs_are_put_side_by_side() {
    let beside: Vec<String> = assets()
        .into_iter()
        .filter(|(file, _)| file.starts_with("target/release/") && !file.ends_with(BILL))
        .map(|(file, place)| format!("{place}{}", file.trim_start_matches("target/release/")))
        .collect();
    assert_eq!(beside, ["usr/bin/samepoint", "usr/bin/samepoint-tables"]);
}

#[test]
fn every_file_of_the_package_is_there() {
    for (file, place) in assets() {
        assert!(!place.starts_with('/'), "{place}");
        if let Some(made) = file.strip_prefix("target/release/") {
            let program = made.trim_end_matches(BILL);
            assert!(["samepoint", "samepoint-tables"].contains(&program), "{program}");
        } else {
            let path = root().join("crates/samepoint").join(&file);
            let queries = file
                .strip_suffix("/*.sql")
                .map(|folder| root().join("crates/samepoint").join(folder));
            assert!(path.is_file() || queries.is_some_and(|folder| folder.is_dir()), "{file}");
        }
    }
}

/// Desktop Entry Specification 1.5: `%f` is one file, handed over as one argument whatever its name
/// holds, and must stand unquoted; `Icon` without a slash or an ending is looked up by name.
#[test]
fn the_desktop_file_opens_what_the_program_writes() {
    let desktop = kept("samepoint.desktop");
    let value = |key: &str| {
        let line = desktop.lines().find_map(|line| line.strip_prefix(&format!("{key}=")));
        line.unwrap_or_else(|| panic!("there is no {key}")).to_owned()
    };
    assert!(desktop.starts_with("[Desktop Entry]\n"));
    assert_eq!(value("Exec"), "samepoint %f");
    let types = kept("samepoint.xml");
    for listed in value("MimeType").split_terminator(';') {
        assert!(types.contains(&format!("<mime-type type=\"{listed}\">")), "{listed}");
    }
    let icon = format!("{}.", value("Icon"));
    let icons = assets().into_iter().filter(|(_, place)| place.contains("/apps/"));
    assert!(
        icons.map(|(_, place)| place).all(|place| place
            .rsplit('/')
            .next()
            .unwrap()
            .starts_with(&icon))
    );
    // The window's application id, by which a desktop knows whose window it is.
    let bench = fs::read_to_string(root().join("crates/samepoint/src/launch.rs")).unwrap();
    assert!(bench.contains(&format!("APP_ID: &str = \"{}\"", value("StartupWMClass"))));
}

/// The endings of the files that the program keeps.
fn extensions() -> BTreeSet<String> {
    let shop = fs::read_to_string(root().join("crates/record/src/shop/mod.rs")).unwrap();
    let told = shop.lines().filter(|line| line.contains("_EXTENSION: &str = "));
    let found: BTreeSet<String> =
        told.filter_map(|line| line.split('"').nth(1)).map(str::to_owned).collect();
    assert!(found.contains("samepoint") && found.len() >= 3, "{found:?}");
    found
}

#[test]
fn every_kind_of_file_has_its_type() {
    let types = kept("samepoint.xml");
    for extension in extensions() {
        assert!(types.contains(&format!("<glob pattern=\"*.{extension}\"/>")), "{extension}");
    }
}

/// What the installer for Windows puts there it takes away again: file types, keys, programs.
#[test]
fn the_installer_takes_away_what_it_brought() {
    let script = fs::read_to_string(root().join("assets/installer/samepoint.nsi")).unwrap();
    let (puts, takes) = script.split_once("Section \"Uninstall\"").unwrap();
    for extension in extensions() {
        assert!(puts.contains(&format!("!insertmacro type \"{extension}\" ")), "{extension}");
        assert!(takes.contains(&format!("!insertmacro no_type \"{extension}\"")), "{extension}");
    }
    let (_, section) = puts.split_once("\nSection").unwrap();
    let keys = section.lines().filter(|line| line.trim().starts_with("WriteReg"));
    let keys: BTreeSet<&str> = keys.filter_map(|line| line.split('"').nth(1)).collect();
    assert!(keys.len() >= 4, "{keys:?}");
    for key in keys.into_iter().filter(|key| !key.starts_with("${TYPES}")) {
        assert!(takes.contains(&format!("DeleteRegKey HKCU \"{key}\"")), "{key} is left behind");
    }
    let packs = fs::read_to_string(root().join(".ci/windows")).unwrap();
    let programs = ["samepoint.com", "samepoint.exe", "samepoint-tables.exe"];
    let beside = ["samepoint.cdx.json", "samepoint-tables.cdx.json", "notices.txt", "README.md"];
    let licences = ["LICENSE-MIT.txt", "LICENSE-APACHE.txt"];
    for file in programs.iter().chain(&beside).chain(&licences) {
        assert!(packs.contains(file), "{file} is not packed");
        assert!(takes.contains(&format!("Delete \"$INSTDIR\\{file}\"")), "{file} is left behind");
    }
}

/// AppStream 1.0, 2.1 and 2.1.3: the file is named after its component, which starts by a desktop file of
/// the package, and its newest release is what is built. (`appstreamcli validate --no-net` finds no fault.)
#[test]
fn what_a_software_centre_tells_is_of_this_package() {
    let told = kept("samepoint.metainfo.xml");
    let value = |from: &str, to: &str| {
        let (_, rest) = told.split_once(from).unwrap_or_else(|| panic!("there is no {from}"));
        rest.split(to).next().unwrap().to_owned()
    };
    let places: BTreeSet<String> = assets().into_iter().map(|(_, place)| place).collect();
    let id = value("<id>", "<");
    assert!(places.contains(&format!("usr/share/metainfo/{id}.metainfo.xml")), "{id}");
    assert_eq!(value("type=\"desktop-id\">", "<"), "samepoint.desktop");
    let workspace = manifest("Cargo.toml");
    let package = &workspace["workspace"]["package"];
    assert_eq!(value("<release version=\"", "\""), package["version"].as_str().unwrap());
    assert_eq!(value("<project_license>", "<"), package["license"].as_str().unwrap());
}

//! The shops named: each once, whatever way it was named, and a folder name for each that is safe everywhere.

use std::fs;
use std::path::{Path, PathBuf};

use record::Shop;
use sha2::{Digest as _, Sha256};

use crate::refusal::TablesRefusal;

/// Letters of a shop's name that its folder's name keeps.
const LONGEST: usize = 40;

/// A shop that tables are made of.
#[derive(Debug)]
pub struct NamedShop {
    /// Its folder, without links.
    pub folder: PathBuf,
    /// What it is called: its letterhead, else its folder.
    pub name: String,
    /// It as it was loaded.
    pub shop: Shop,
}

impl NamedShop {
    /// The shops of some folders, in the order in which they are named, since of equal files of one session the
    /// first shop's counts; and the folders that were named more than once.
    ///
    /// # Errors
    /// [`TablesRefusal::NoShop`]: one that cannot be read keeps all from being written, so that a share that is not
    /// there does not take its tables away.
    pub fn all(folders: &[PathBuf]) -> Result<(Vec<Self>, Vec<PathBuf>), TablesRefusal> {
        let (mut shops, mut again): (Vec<Self>, Vec<PathBuf>) = (Vec::new(), Vec::new());
        for named in folders {
            let no_shop = |why| TablesRefusal::NoShop { folder: named.clone(), why };
            let resolved = fs::canonicalize(named)
                .map_err(|why| no_shop(record::Error::io("open the shop", named, why)))?;
            if shops.iter().any(|known| known.folder == resolved) {
                again.push(named.clone());
                continue;
            }
            let shop = Shop::load(&resolved).map_err(no_shop)?;
            let letterhead = shop.letterhead.as_ref().map(|letterhead| letterhead.name.clone());
            let of_folder =
                || resolved.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let name = letterhead.unwrap_or_else(of_folder);
            shops.push(Self { folder: resolved, name, shop });
        }
        Ok((shops, again))
    }

    /// The name of its folder in a table: what is plain in its name, and eight digits of where it lies, which
    /// keep two shops of one name apart.
    #[must_use]
    pub fn partition(&self) -> String {
        format!("shop={}", safe_name(&self.name, &self.folder))
    }
}

/// Letters and digits of a name, everything else a hyphen; and eight digits of a path.
#[must_use]
pub fn safe_name(name: &str, path: &Path) -> String {
    let mut plain = String::new();
    for c in name.chars() {
        if c.is_ascii_alphanumeric() {
            plain.push(c);
        } else if !plain.ends_with('-') {
            plain.push('-');
        }
        if plain.len() >= LONGEST {
            break;
        }
    }
    let plain = plain.trim_matches('-');
    let plain = if plain.is_empty() { "shop" } else { plain };
    let hash = Sha256::digest(path.as_os_str().as_encoded_bytes());
    let digits: String = hash.iter().take(4).map(|byte| format!("{byte:02x}")).collect();
    format!("{plain}-{digits}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_of_a_shop_becomes_a_path() {
        let long = "x".repeat(5_000);
        let path = Path::new("/shops/one");
        for name in [
            "../../etc",
            "/",
            "\\\\server\\share",
            ".",
            "..",
            "",
            " ",
            "CON",
            "a:b*c?",
            "tab\there",
            "new\nline",
            "%2e%2e",
            "shop=x",
            "\u{202e}gnp",
            "Ångström",
            "…",
            "-",
            "a.",
            &long,
        ] {
            let safe = safe_name(name, path);
            let plain = |c: char| c.is_ascii_alphanumeric() || c == '-';
            assert!(safe.chars().all(plain) && safe.len() <= LONGEST + 9, "{name:?}: {safe}");
            assert!(safe.chars().next().is_some_and(|c| c.is_ascii_alphanumeric()), "{safe}");
            // Nothing that Windows keeps for itself, whatever the case: eight digits stand behind it.
            assert!(safe.len() > 9, "{safe}");
        }
        assert_eq!(safe_name("Two Benches", path), safe_name("Two/Benches", path));
        assert_ne!(safe_name("One", path), safe_name("One", Path::new("/shops/two")));
    }
}

//! What a session's summary leans on besides its own file: what its shop has under the names that the
//! session copied in, when its station's zero was off, the session it checks, the pictures it names.

use core::fmt::Debug;
use std::borrow::Cow;
use std::collections::HashMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use super::stamp::{FileStamp, Short, short};
use crate::fold::Session;
use crate::linked::Link;
use crate::review::{Beside, NamedPicture};

/// What a summary leans on, as it was.
#[derive(Debug, Deserialize, Serialize)]
pub(super) struct Leanings<'a> {
    #[serde(borrow)]
    values: Vec<LeansOnValue<'a>>,
    files: Vec<LeansOnFile>,
    pictures: Vec<LeansOnPicture>,
}

/// On all that the shop has of one kind under one name.
#[derive(Debug, Deserialize, Serialize)]
struct LeansOnValue<'a> {
    kind: ShopValue,
    /// As it stands in what is kept.
    #[serde(borrow)]
    name: Cow<'a, str>,
    was: Short,
}

/// On a file of the shop, or on there being none.
#[derive(Debug, Deserialize, Serialize)]
struct LeansOnFile {
    file: String,
    was: Option<FileStamp>,
}

/// On what lies in the shop's pictures under a SHA-256.
#[derive(Debug, Deserialize, Serialize)]
struct LeansOnPicture {
    sha256: String,
    files: Vec<LeansOnFile>,
}

/// What a shop has several of, by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
enum ShopValue {
    Window,
    Station,
    Camera,
    /// When a station's zero was off.
    Zero,
}

impl ShopValue {
    const KINDS: usize = 4;
}

/// The shop as it is now.
pub(super) struct ShopNow {
    folder: PathBuf,
    /// By kind.
    values: [HashMap<String, Short>; ShopValue::KINDS],
    /// The files in its pictures, by stem; read when they are first asked for. `None`: one has a name that
    /// is no text.
    pictures: OnceLock<HashMap<String, Option<Vec<String>>>>,
}

impl ShopNow {
    /// As it was loaded.
    pub(super) fn of(beside: &Beside) -> Self {
        let windows = beside.windows.iter().map(|kept| (kept.value.name.as_str(), &kept.value));
        let stations = beside.stations.iter().map(|kept| (kept.value.name.as_str(), &kept.value));
        let cameras = beside.cameras.iter().map(|kept| (kept.value.name.as_str(), &kept.value));
        let spells = beside.zeros.spells.iter().map(|spell| (spell.station.as_str(), spell));
        // As the kinds stand in their list.
        let values = [digests(windows), digests(stations), digests(cameras), digests(spells)];
        Self { folder: beside.folder.clone(), values, pictures: OnceLock::new() }
    }

    /// What it has of a kind under a name, as a digest; of nothing too.
    fn value(&self, kind: ShopValue, name: &str) -> Short {
        self.values
            .get(kind as usize)
            .and_then(|named| named.get(name))
            .copied()
            .unwrap_or_default()
    }

    fn sessions(&self) -> PathBuf {
        self.folder.join("sessions")
    }

    fn pictures(&self) -> PathBuf {
        self.folder.join("pictures")
    }

    /// The names of the files that are kept of a picture; `None` where one is no text.
    fn pictures_of(&self, sha256: &str) -> Option<&[String]> {
        let all = self.pictures.get_or_init(|| {
            let mut all: HashMap<String, Option<Vec<String>>> = HashMap::new();
            for entry in fs::read_dir(self.pictures()).into_iter().flatten().flatten() {
                let path = entry.path();
                let Some(stem) = path.file_stem().and_then(|stem| stem.to_str()) else { continue };
                let held = all.entry(stem.to_owned()).or_insert_with(|| Some(Vec::new()));
                match entry.file_name().into_string() {
                    Ok(name) => held.iter_mut().for_each(|held| held.push(name.clone())),
                    Err(_) => *held = None,
                }
            }
            all.values_mut().flatten().for_each(|names| names.sort());
            all
        });
        all.get(sha256).map_or(Some(&[]), |names| names.as_deref())
    }
}

/// Of all values with one name, in their order, a digest of all they hold: what is shown of a value when the
/// program is looked into tells every field of it.
fn digests<'a, T: Debug + 'a>(
    values: impl Iterator<Item = (&'a str, &'a T)>,
) -> HashMap<String, Short> {
    let mut shown: HashMap<String, String> = HashMap::new();
    for (name, value) in values {
        shown.entry(name.to_owned()).or_default().push_str(&format!("{value:?}\n"));
    }
    shown.into_iter().map(|(name, shown)| (name, short(shown.as_bytes()))).collect()
}

impl Leanings<'_> {
    /// What a session's summary leans on now; `None` where that cannot be noted.
    pub(super) fn of(session: &Session, shop: &ShopNow) -> Option<Self> {
        let window = session.windows.last().map(|said| said.body.name.clone());
        let station = session.stations.last().map(|said| said.body.name.clone());
        let camera = session.cameras.last().map(|said| said.body.name.clone());
        let named = [
            (ShopValue::Window, window),
            (ShopValue::Station, station.clone()),
            (ShopValue::Camera, camera),
            (ShopValue::Zero, station),
        ];
        let values = named.into_iter().filter_map(|(kind, name)| {
            let name = name?;
            Some(LeansOnValue { kind, was: shop.value(kind, &name), name: Cow::Owned(name) })
        });
        let values = values.collect();
        let checked = Link::of(session).map(|link| {
            let name = Path::new(&link.file).file_name()?.to_str()?;
            Some(LeansOnFile::of(&shop.sessions(), name))
        });
        let files = checked.into_iter().collect::<Option<Vec<_>>>()?;
        let pictures = NamedPicture::named(session).into_iter().map(|sha256| {
            let files = shop.pictures_of(&sha256)?.iter();
            let files = files.map(|name| LeansOnFile::of(&shop.pictures(), name)).collect();
            Some(LeansOnPicture { sha256, files })
        });
        let pictures = pictures.collect::<Option<Vec<_>>>()?;
        Some(Self { values, files, pictures })
    }

    /// Whether all of it is as it was.
    pub(super) fn still_hold(&self, shop: &ShopNow) -> bool {
        let same_value = |on: &LeansOnValue<'_>| shop.value(on.kind, &on.name) == on.was;
        let same_picture = |on: &LeansOnPicture| {
            let names: Vec<&str> = on.files.iter().map(|file| file.file.as_str()).collect();
            shop.pictures_of(&on.sha256).is_some_and(|now| now == names)
                && on.files.iter().all(|file| file.still_holds(&shop.pictures()))
        };
        self.values.iter().all(same_value)
            && self.files.iter().all(|file| file.still_holds(&shop.sessions()))
            && self.pictures.iter().all(same_picture)
    }
}

impl LeansOnFile {
    fn of(folder: &Path, name: &str) -> Self {
        Self { file: name.to_owned(), was: FileStamp::of(&folder.join(name)).ok() }
    }

    fn still_holds(&self, folder: &Path) -> bool {
        let path = folder.join(&self.file);
        match &self.was {
            Some(was) => was.still_holds(&path),
            None => FileStamp::of(&path).is_err(),
        }
    }
}

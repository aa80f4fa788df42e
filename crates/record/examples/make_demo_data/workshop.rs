//! Every file of the invented workshop, and the published tolerance windows, as bytes.

use std::collections::BTreeMap;
use std::error::Error;
use std::fs;
use std::path::Path;

use record::Shop;

use crate::{hands, pictures, readings, readme, sessions, shop, stock, year};

/// Path from the root of the project → contents.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// Makes them all, in a folder that is gone afterwards.
pub(crate) fn files() -> Result<Files, Box<dyn Error>> {
    let stories = readings::stories();
    let mut files = Files::new();
    let (year, second) = year::sessions()?;
    let text = readme::text(&stories, &year, &second)?;
    files.insert("demo-data/README.md".to_owned(), text.into_bytes());
    for told in year {
        files.insert(format!("demo-data/sessions/{}", told.file), told.bytes);
    }
    for (name, bytes) in year::checks::files()? {
        files.insert(format!("demo-data/checks/{name}"), bytes);
    }
    let (name, bytes) = year::study::file()?;
    files.insert(format!("demo-data/studies/{name}"), bytes);
    for (taken, seed) in pictures::taken().iter().zip(1..) {
        files.insert(format!("demo-data/pictures/{}", taken.file), pictures::png(taken, seed));
    }
    for story in stories {
        files.insert(format!("demo-data/readings/{}", story.file), story.text.into_bytes());
    }
    let folder = tempfile::tempdir()?;
    keep_shop(folder.path())?;
    sessions::write(&folder.path().join("sessions"))?;
    gather(folder.path(), "demo-data", &mut files)?;

    let other = tempfile::tempdir()?;
    year::second_shop::keep(&mut Shop::load(other.path())?)?;
    gather(other.path(), "demo-data/second-shop", &mut files)?;
    for (name, bytes) in second.files {
        files.insert(format!("demo-data/second-shop/{name}"), bytes);
    }

    let published = tempfile::tempdir()?;
    let mut assets = Shop::load(published.path())?;
    for window in shop::published_windows()? {
        assets.keep_window(window)?;
    }
    gather(published.path(), "assets", &mut files)?;
    Ok(files)
}

fn keep_shop(folder: &Path) -> Result<(), record::Error> {
    Shop::lay_out(folder)?;
    let mut kept = Shop::load(folder)?;
    for station in [shop::bench_2()?, shop::bench_3()?].into_iter().chain(year::shelf::stations()?)
    {
        kept.keep_station(station)?;
    }
    kept.keep_window(shop::shop_window()?)?;
    for window in shop::published_windows()?.into_iter().chain([year::shelf::strict_window()?]) {
        kept.keep_window(window)?;
    }
    for housing in [shop::heron_b(), shop::plover()].into_iter().chain(year::shelf::housings()) {
        kept.keep_housing(housing)?;
    }
    for unit in shop::units() {
        kept.keep_unit(unit)?;
    }
    kept.keep_camera(pictures::camera())?;
    kept.keep_stock(stock::stock())?;
    for hand in hands::listed() {
        kept.keep_hand(hand)?;
    }
    Ok(())
}

/// Takes every file under a folder; lock files, which begin with a dot, stay behind.
fn gather(folder: &Path, under: &str, files: &mut Files) -> Result<(), Box<dyn Error>> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        let name = format!("{under}/{name}");
        if path.is_dir() {
            gather(&path, &name, files)?;
        } else if !name.contains("/.") {
            files.insert(name, fs::read(&path)?);
        }
    }
    Ok(())
}

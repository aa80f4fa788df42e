//! Every file of the invented workshop, as bytes.

use std::collections::BTreeMap;

use crate::{readings, readme};

/// Relative path → contents.
pub(crate) fn files() -> BTreeMap<String, Vec<u8>> {
    let stories = readings::stories();
    let mut files = BTreeMap::new();
    files.insert("README.md".to_owned(), readme::text(&stories).into_bytes());
    for story in stories {
        files.insert(format!("readings/{}", story.file), story.text.into_bytes());
    }
    files
}

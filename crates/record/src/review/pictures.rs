//! The pictures that a session names, read again: each is named by the SHA-256 of its bytes, so one that is
//! gone, replaced or damaged in the shop's `pictures/` is known.
//!
//! What is found is said and does not change the exit code, like all that lies beside a session: its verdict
//! rests on what was typed.

use std::path::Path;

use crate::fact::Seq;
use crate::fold::Session;
use crate::shop::PictureFound;

/// A picture that a session names, and what lies in the shop under its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedPicture {
    /// The fact that names it.
    pub seq: Seq,
    /// What it shows, in the hand's words, or what it is to a reading.
    pub caption: String,
    /// The SHA-256 of its bytes, 64 hex digits.
    pub sha256: String,
    /// What lies there.
    pub found: PictureFound,
}

impl NamedPicture {
    /// Every picture that a session names, as it lies in a shop's folder, in the order of the facts.
    #[must_use]
    pub fn all(session: &Session, shop: &Path) -> Vec<Self> {
        let mut all = Vec::new();
        for said in &session.pictures {
            let picture = &said.body;
            all.push(Self {
                seq: said.seq,
                caption: format!("“{}”", picture.caption),
                sha256: picture.hash.clone(),
                found: PictureFound::of(shop, &picture.hash, Some(&picture.extension)),
            });
        }
        for said in &session.frames {
            let frame = &said.body;
            let mut named = |what: &str, sha256: &String| {
                all.push(Self {
                    seq: said.seq,
                    caption: format!("{what} reading {}", frame.reading),
                    sha256: sha256.clone(),
                    found: PictureFound::of(shop, sha256, None),
                });
            };
            named("of", &frame.picture_sha256);
            if let Some(background) = &frame.background_sha256 {
                named("with the lamp off, for", background);
            }
        }
        all.sort_by_key(|picture| picture.seq);
        all
    }

    /// The SHA-256 of every picture that a session names, as it stands there.
    #[must_use]
    pub fn named(session: &Session) -> Vec<String> {
        let pictures = session.pictures.iter().map(|said| said.body.hash.clone());
        let frames = session.frames.iter().flat_map(|said| {
            let frame = &said.body;
            std::iter::once(frame.picture_sha256.clone()).chain(frame.background_sha256.clone())
        });
        pictures.chain(frames).collect()
    }

    /// What is wrong with it, in a sentence; `None` where it is kept whole.
    #[must_use]
    pub fn trouble(&self) -> Option<String> {
        let Self { seq, caption, sha256, found } = self;
        let whole = *found == PictureFound::Whole;
        (!whole).then(|| format!("The picture {caption} (fact {seq}, SHA-256 {sha256}) {found}."))
    }
}

/// What is said of all of them in a review; nothing where none is named.
pub(super) fn words(pictures: &[NamedPicture]) -> Vec<String> {
    let troubles: Vec<String> = pictures.iter().filter_map(NamedPicture::trouble).collect();
    let whole = pictures.len() - troubles.len();
    let said = match (pictures.len(), whole) {
        (0, _) | (_, 0) => None,
        (1, _) => Some("The picture it names is kept whole.".to_owned()),
        (all, whole) if all == whole => {
            Some(format!("All {all} pictures that it names are kept whole."))
        }
        (all, whole) => {
            Some(format!("Of the {all} pictures that it names {whole} are kept whole."))
        }
    };
    said.into_iter().chain(troubles).collect()
}

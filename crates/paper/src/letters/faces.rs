//! The faces that letters are drawn from: the program's own, and such of the machine as have what those lack.

use std::sync::{Arc, LazyLock, Mutex, OnceLock, PoisonError};

use harfrust::{FontRef, Shaper, ShaperData};
use skrifa::MetadataProvider as _;
use skrifa::charmap::Charmap;

use super::face::Face;

/// Letters that are written from right to left, in faces of their own: why, `samepoint/src/theme/mod.rs` says.
pub const RIGHT_TO_LEFT: &[u8] = include_bytes!("../../../../assets/fonts/RightToLeft.ttf");
/// The same, bold.
pub const RIGHT_TO_LEFT_BOLD: &[u8] =
    include_bytes!("../../../../assets/fonts/RightToLeft-Bold.ttf");

/// So many faces of the machine are taken in before no further one is: a machine has a few for all scripts together.
const MOST_FOUND: usize = 64;

/// A face of the machine.
#[derive(Clone)]
pub struct FoundFace {
    /// The whole file.
    pub bytes: Arc<dyn AsRef<[u8]> + Send + Sync>,
    /// Which of the file's faces.
    pub index: u32,
}

impl core::fmt::Debug for FoundFace {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("FoundFace").field("index", &self.index).finish_non_exhaustive()
    }
}

/// Where faces of the machine come from.
pub trait FaceSource: Send + Sync {
    /// A face that has a character, if there is one; the same one as before where it is the same face.
    fn face_with(&self, character: char) -> Option<FoundFace>;
}

static SOURCE: OnceLock<Box<dyn FaceSource>> = OnceLock::new();

/// Lets whatever is put on paper from here on search the machine for characters that the program's own faces lack.
/// The first source counts. Without one such characters are told by their number.
pub fn search_further(source: Box<dyn FaceSource>) {
    // A second one is not listened to.
    let _ = SOURCE.set(source);
}

/// The source of the program, if it has one.
pub(super) fn source() -> Option<&'static dyn FaceSource> {
    SOURCE.get().map(Box::as_ref)
}

/// A face that letters are drawn from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum DrawnFace {
    /// One of those that are asked for.
    Own(Face),
    /// The one for letters from right to left.
    RightToLeft,
    /// The bold one for them.
    RightToLeftBold,
    /// One of the machine, by its place among those found so far.
    Found(usize),
}

impl DrawnFace {
    /// The face for letters from right to left that goes with one.
    pub(super) const fn right_to_left(face: Face) -> Self {
        match face {
            Face::Bold => Self::RightToLeftBold,
            Face::Plain | Face::Mono => Self::RightToLeft,
        }
    }

    /// The face, where it can be read.
    pub(super) fn read(self) -> Option<&'static ReadFace> {
        let [plain, bold, mono, right_to_left, right_to_left_bold] = &*READ;
        match self {
            Self::Own(Face::Plain) => plain.as_ref(),
            Self::Own(Face::Bold) => bold.as_ref(),
            Self::Own(Face::Mono) => mono.as_ref(),
            Self::RightToLeft => right_to_left.as_ref(),
            Self::RightToLeftBold => right_to_left_bold.as_ref(),
            Self::Found(place) => found().get(place).map(|face| face.read),
        }
    }

    /// Its file, and which of the file's faces it is.
    pub(crate) fn file(self) -> Option<(FaceFile, u32)> {
        let own = |bytes| Some((FaceFile::Own(bytes), 0));
        match self {
            Self::Own(face) => own(face.bytes()),
            Self::RightToLeft => own(RIGHT_TO_LEFT),
            Self::RightToLeftBold => own(RIGHT_TO_LEFT_BOLD),
            Self::Found(place) => {
                let face = found().get(place).map(|face| face.file)?;
                Some((FaceFile::Found(Arc::clone(&face.bytes)), face.index))
            }
        }
    }
}

/// A face's file.
#[derive(Clone)]
pub(crate) enum FaceFile {
    /// Part of the program.
    Own(&'static [u8]),
    /// The machine's.
    Found(Arc<dyn AsRef<[u8]> + Send + Sync>),
}

impl AsRef<[u8]> for FaceFile {
    fn as_ref(&self) -> &[u8] {
        match self {
            Self::Own(bytes) => bytes,
            Self::Found(bytes) => (**bytes).as_ref(),
        }
    }
}

/// A face that was read: what sets words in it, and which characters it has.
pub(super) struct ReadFace {
    font: FontRef<'static>,
    data: ShaperData,
    characters: Charmap<'static>,
}

impl ReadFace {
    fn of(bytes: &'static [u8], index: u32) -> Option<Self> {
        let font = FontRef::from_index(bytes, index).ok()?;
        let (data, characters) = (ShaperData::new(&font), font.charmap());
        Some(Self { font, data, characters })
    }

    /// What sets words in it.
    pub(super) fn shaper(&'static self) -> Shaper<'static> {
        self.data.shaper(&self.font).build()
    }

    /// Whether it has a letter for a character.
    pub(super) fn has(&self, character: char) -> bool {
        has(&self.characters, character)
    }
}

fn has(characters: &Charmap<'_>, character: char) -> bool {
    characters.map(character).is_some_and(|glyph| glyph.to_u32() != 0)
}

/// The program's own faces, read once: they are part of it.
static READ: LazyLock<[Option<ReadFace>; 5]> = LazyLock::new(|| {
    let [plain, bold, mono] = Face::ALL.map(Face::bytes);
    [plain, bold, mono, RIGHT_TO_LEFT, RIGHT_TO_LEFT_BOLD].map(|bytes| ReadFace::of(bytes, 0))
});

/// A face of the machine that was taken in: for as long as the program runs, as its own are.
#[derive(Clone, Copy)]
struct TakenIn {
    file: &'static FoundFace,
    read: &'static ReadFace,
}

static FOUND: Mutex<Vec<TakenIn>> = Mutex::new(Vec::new());

fn found() -> Vec<TakenIn> {
    FOUND.lock().unwrap_or_else(PoisonError::into_inner).clone()
}

/// A face of the machine with a character: one that was taken in before, else what the source names.
pub(super) fn found_with(source: &dyn FaceSource, character: char) -> Option<DrawnFace> {
    let mut taken_in = FOUND.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(place) = taken_in.iter().position(|face| face.read.has(character)) {
        return Some(DrawnFace::Found(place));
    }
    if taken_in.len() >= MOST_FOUND {
        return None;
    }
    let file = source.face_with(character)?;
    // Nothing is taken in of which no letter would be drawn.
    let face = FontRef::from_index((*file.bytes).as_ref(), file.index).ok()?;
    if !has(&face.charmap(), character) {
        return None;
    }
    let file: &'static FoundFace = Box::leak(Box::new(file));
    let read = ReadFace::of((*file.bytes).as_ref(), file.index)?;
    taken_in.push(TakenIn { file, read: Box::leak(Box::new(read)) });
    Some(DrawnFace::Found(taken_in.len() - 1))
}

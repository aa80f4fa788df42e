//! The picture on the shop's papers: its file as typed, opened by a worker, and shown as paper will have it.

use core::fmt;
use std::path::PathBuf;

use egui::Context;
use record::HeadPicture;

use super::fields::{FieldKind, Fields, FormField, FormWrong, WHICH_PICTURE};
use crate::pictures::head::{self, HeadRead};
use crate::pictures::refusal::NoGrey;
use crate::shell::path_sheet::typed_path;
use crate::widgets::chart::{GreyImage, GreyTexture};

/// The picture's path, as typed.
pub(crate) const PATH: &str = "picture";
/// Whether the papers are to have none.
pub(crate) const NONE: &str = "none";

const WHY: &str = "PNG or JPEG, at most 4 MiB and 16 million pixels. It stands at the head of reports and calibration \
                   sheets, in grey, so that it is the same from every printer; what is transparent is white. A copy is \
                   kept with the shop.";

/// What came of opening a picture.
pub(crate) type OpeningHead = Result<OpenedHead, NoGrey>;

/// A picture that was opened.
#[derive(Clone)]
pub(crate) struct OpenedHead {
    /// Where it came from.
    pub(crate) path: PathBuf,
    /// It.
    pub(crate) read: HeadRead,
    image: GreyImage,
}

impl OpenedHead {
    /// Reads a picture's file and makes it ready for the screen: a worker does.
    pub(crate) fn of(path: PathBuf) -> OpeningHead {
        let read = head::read(&path)?;
        let image = image_of(&read.picture);
        Ok(Self { path, read, image })
    }
}

fn image_of(picture: &paper::GreyPicture) -> GreyImage {
    let values: Vec<f32> = picture.grey().iter().copied().map(f32::from).collect();
    // Black is black and white is paper's white, whatever is in it.
    GreyImage::between(&values, picture.size_px().map(|side| side as usize), [0.0, 255.0])
}

/// A hand choosing it.
#[derive(Clone, Default)]
pub struct HeadDesk {
    /// Whether a dialog is open elsewhere.
    pub asking: bool,
    /// Whether a picture is being opened.
    pub opening: bool,
    /// Whether the form is kept once it is open.
    pub(crate) keep_then: bool,
    pub(crate) opened: Option<OpenedHead>,
    screen: Option<(PathBuf, GreyTexture)>,
}

impl PartialEq for HeadDesk {
    fn eq(&self, other: &Self) -> bool {
        (self.asking, self.opening) == (other.asking, other.opening)
    }
}

impl fmt::Debug for HeadDesk {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("HeadDesk").field("opening", &self.opening).finish_non_exhaustive()
    }
}

impl HeadDesk {
    /// The picture that is typed, where it is the one that is open.
    pub(crate) fn typed<'a>(&'a self, fields: &Fields) -> Option<&'a OpenedHead> {
        let typed = typed_path(&fields.text(PATH))?;
        self.opened.as_ref().filter(|opened| opened.path == typed)
    }

    /// Whether a picture is typed that is not open yet.
    pub(crate) fn wants_opening(&self, fields: &Fields) -> Option<PathBuf> {
        let typed = typed_path(&fields.text(PATH)).filter(|_| !fields.is_ticked(NONE))?;
        self.typed(fields).is_none().then_some(typed)
    }

    /// The open picture as the screen holds it, its first time handed over, and its width and height.
    pub(crate) fn screen(&mut self, ctx: &Context, fields: &Fields) -> Option<&GreyTexture> {
        let opened = self.typed(fields)?;
        let (path, image) = (opened.path.clone(), opened.image.clone());
        if self.screen.as_ref().is_none_or(|(of, _)| *of != path) {
            self.screen = Some((path, GreyTexture::new(ctx, image)));
        }
        self.screen.as_ref().map(|(_, picture)| picture)
    }
}

pub(super) fn fields(of: Option<&HeadPicture>) -> Fields {
    let mut fields = vec![
        FormField::new(PATH, "Path of the shop’s picture", FieldKind::Words).hint("none").why(WHY),
    ];
    if of.is_some_and(|of| of.sha256.is_some()) {
        fields.push(FormField::new(NONE, "No picture on the papers any more", FieldKind::Tick));
    }
    Fields(fields)
}

/// Which picture it is to be.
pub(super) fn value(fields: &Fields, desk: Option<&HeadDesk>) -> Result<HeadPicture, FormWrong> {
    if fields.is_ticked(NONE) {
        return Ok(HeadPicture::default());
    }
    let wrong = |why: &str| FormWrong { key: Some(PATH), why: why.to_owned() };
    match desk.and_then(|desk| desk.typed(fields)) {
        Some(opened) => Ok(HeadPicture { sha256: Some(record::sums::sha256(&opened.read.bytes)) }),
        None => Err(wrong(WHICH_PICTURE)),
    }
}

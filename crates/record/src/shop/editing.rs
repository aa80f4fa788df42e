//! What an editor does to a shop: keeps what is new under a name nothing else of its kind has, changes what is
//! there, and finds what was before.

use super::head_picture::{HEAD_PICTURE_FILE, HeadPicture};
use super::item::{self, ShopItem};
use super::letterhead::Letterhead;
use super::wording::{WORDING_FILE, Wording};
use super::{Kept, Shop, replaced};
use crate::error::Error;
use crate::fact::Camera;
use crate::fact::texts::plainly;
use crate::file::{Disk, Opener};
use crate::hands::Hand;
use crate::housing::Housing;
use crate::station::Station;
use crate::window::NamedWindow;

/// Who edits, and on what disk.
#[derive(Clone, Copy)]
pub struct Editing<'a> {
    /// Whose hand, and when.
    pub opener: &'a Opener,
    /// The disk.
    pub disk: &'a dyn Disk,
}

/// Something a hand may begin or change in a shop.
#[derive(Clone, Debug, PartialEq)]
pub enum Edited {
    /// Whose shop it is.
    Letterhead(Letterhead),
    /// Which picture its papers have.
    HeadPicture(HeadPicture),
    /// What it wants printed.
    Wording(Wording),
    /// A hand.
    Hand(Hand),
    /// A station.
    Station(Box<Station>),
    /// A tolerance window.
    Window(NamedWindow),
    /// A housing type.
    Housing(Housing),
    /// A camera map.
    Camera(Camera),
}

impl Shop {
    /// Keeps a value: in the place of the one of `before` where that is given, else as a new one.
    ///
    /// # Errors
    /// The value's own check; [`Error::NameTaken`] where a new one has the name of another; what
    /// [`Error::ChangedMeanwhile`] tells; [`Error::Io`].
    pub fn edit(
        &mut self,
        before: Option<&Edited>,
        after: Edited,
        by: Editing<'_>,
    ) -> Result<(), Error> {
        match after {
            Edited::Station(after) => {
                let before = match before {
                    Some(Edited::Station(before)) => Some(&**before),
                    _ => None,
                };
                edited(&self.folder.join("stations"), &mut self.stations, before, *after, by)
            }
            Edited::Window(after) => {
                let before = match before {
                    Some(Edited::Window(before)) => Some(before),
                    _ => None,
                };
                edited(&self.folder.join("windows"), &mut self.windows, before, after, by)
            }
            Edited::Housing(after) => {
                let before = match before {
                    Some(Edited::Housing(before)) => Some(before),
                    _ => None,
                };
                edited(&self.folder.join("housings"), &mut self.housings, before, after, by)
            }
            Edited::Camera(after) => {
                let before = match before {
                    Some(Edited::Camera(before)) => Some(before),
                    _ => None,
                };
                edited(&self.folder.join("cameras"), &mut self.cameras, before, after, by)
            }
            Edited::Hand(after) => {
                let before = match before {
                    Some(Edited::Hand(before)) => Some(before),
                    _ => None,
                };
                edited(&self.folder.join("hands"), &mut self.hands.known, before, after, by)
            }
            Edited::Letterhead(after) => {
                let file = super::letterhead::LETTERHEAD_FILE;
                edited_only(&self.folder, file, &mut self.letterhead, after, by)
            }
            Edited::HeadPicture(after) => {
                edited_only(&self.folder, HEAD_PICTURE_FILE, &mut self.head_picture, after, by)
            }
            Edited::Wording(after) => {
                edited_only(&self.folder, WORDING_FILE, &mut self.wording, after, by)
            }
        }
    }

    /// Old versions of something, the last to hold first, each with the day and time until which it held.
    ///
    /// # Errors
    /// [`Error::Io`] where they cannot be looked for.
    pub fn earlier(&self, of: &Edited) -> Result<Vec<(String, Edited)>, Error> {
        fn of_kind<T: ShopItem + PartialEq>(
            list: &[Kept<T>],
            of: &T,
            into: fn(T) -> Edited,
        ) -> Result<Vec<(String, Edited)>, Error> {
            let Some(kept) = list.iter().find(|kept| kept.value == *of) else {
                return Ok(Vec::new());
            };
            let found = replaced::earlier::<T>(&kept.path)?;
            Ok(found.into_iter().map(|(until, value)| (until, into(value))).collect())
        }
        match of {
            Edited::Letterhead(_) => {
                let path = self.folder.join(super::letterhead::LETTERHEAD_FILE);
                let found = replaced::earlier::<Letterhead>(&path)?;
                Ok(found
                    .into_iter()
                    .map(|(until, value)| (until, Edited::Letterhead(value)))
                    .collect())
            }
            Edited::HeadPicture(_) => {
                let found = replaced::earlier::<HeadPicture>(&self.folder.join(HEAD_PICTURE_FILE))?;
                let found = found.into_iter();
                Ok(found.map(|(until, value)| (until, Edited::HeadPicture(value))).collect())
            }
            Edited::Wording(_) => {
                let found = replaced::earlier::<Wording>(&self.folder.join(WORDING_FILE))?;
                let found = found.into_iter();
                Ok(found.map(|(until, value)| (until, Edited::Wording(value))).collect())
            }
            Edited::Hand(of) => of_kind(&self.hands.known, of, Edited::Hand),
            Edited::Station(of) => {
                of_kind(&self.stations, of, |station| Edited::Station(Box::new(station)))
            }
            Edited::Window(of) => of_kind(&self.windows, of, Edited::Window),
            Edited::Housing(of) => of_kind(&self.housings, of, Edited::Housing),
            Edited::Camera(of) => of_kind(&self.cameras, of, Edited::Camera),
        }
    }
}

/// The same for what a shop has one of, in a file of its own.
fn edited_only<T: ShopItem + PartialEq + Clone>(
    folder: &std::path::Path,
    file: &str,
    only: &mut Option<T>,
    after: T,
    by: Editing<'_>,
) -> Result<(), Error> {
    let before = only.clone();
    let path = folder.join(file);
    let mut kept: Vec<Kept<T>> =
        before.iter().map(|value| Kept { path: path.clone(), value: value.clone() }).collect();
    edited(folder, &mut kept, before.as_ref(), after, by)?;
    *only = kept.pop().map(|kept| kept.value);
    // Held as it is read: lines of its own are shown on one.
    only.iter_mut().for_each(plainly);
    Ok(())
}

fn edited<T: ShopItem + PartialEq>(
    folder: &std::path::Path,
    list: &mut Vec<Kept<T>>,
    before: Option<&T>,
    after: T,
    by: Editing<'_>,
) -> Result<(), Error> {
    let Some(before) = before else {
        let same = |kept: &&Kept<T>| {
            kept.value.name().trim().to_lowercase() == after.name().trim().to_lowercase()
        };
        if let Some(kept) = list.iter().find(same) {
            return Err(Error::NameTaken { name: kept.value.name().to_owned() });
        }
        list.push(item::keep(folder, after)?);
        return Ok(());
    };
    let Some(kept) = list.iter_mut().find(|kept| kept.value == *before) else {
        return Err(Error::ChangedMeanwhile { path: folder.to_owned() });
    };
    *kept = replaced::replace(kept, after, by.opener, by.disk)?;
    Ok(())
}

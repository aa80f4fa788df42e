//! Which session a command is about: that of the row at hand or the one looked over, else the bench's own.

use std::path::PathBuf;

use paper::Scene;
use paper::words::capital;
use record::practice::WITHHELD;
use record::{RealDisk, review};

use super::App;
use crate::places::Place;
use crate::places::review::Reviewed;
use crate::places::shelf::ShelfRow;
use crate::sheets::Sheet;
use crate::sheets::paths::ReportSheet;
use crate::shell::of_shop::OfShop;
use crate::shell::open_shop::words_of;
use crate::shell::path_sheet::PathSheet;
use crate::ui_command::UiCommand;

/// Said of a row of the shelf that names no session.
const NOT_BEGUN: &str = "The row at hand is a unit to be built: no session is begun with it yet. Enter on it begins one.";

impl App {
    /// The session that the hand is at in another place; `None`: the bench's own is meant.
    pub(crate) fn meant(&self) -> Option<PathBuf> {
        match self.place {
            Place::Shop => self.places.shop.meant(&self.shell),
            Place::Shelf => match &self.places.shelf.row {
                Some(ShelfRow::Session(path)) => Some(path.clone()),
                _ => None,
            },
            Place::Review => self.places.review.open.as_ref().map(|open| open.path.clone()),
            _ => None,
        }
    }

    /// Does a command about the session meant; whether there is one, and the command is about one.
    pub(super) fn about_meant(&mut self, command: UiCommand) -> bool {
        let about = match command {
            UiCommand::ToReview => matches!(self.place, Place::Shop | Place::Shelf),
            UiCommand::Report | UiCommand::SavePicture => true,
            _ => false,
        };
        if about && self.place == Place::Shelf && self.places.shelf.row == Some(ShelfRow::NotBegun)
        {
            self.shell.warn(NOT_BEGUN);
            return true;
        }
        let chart = self.place == Place::Shop && self.places.shop.chart_at_hand().is_some();
        if command == UiCommand::SavePicture && chart && self.meant().is_none() {
            self.ask_of_shop(OfShop::Chart);
            return true;
        }
        let Some(path) = self.meant().filter(|_| about) else { return false };
        if command == UiCommand::ToReview {
            self.review_session(path);
            return true;
        }
        // An examination that is sat is not answered by its own paper.
        match review(&path, &RealDisk) {
            Ok(account) if account.session.withholds() => self.say(WITHHELD),
            Ok(_) => {
                let name = words_of(&path);
                self.bring(if command == UiCommand::Report {
                    let to = path.with_file_name(format!("{name}.pdf"));
                    Sheet::Report(ReportSheet::of(&path, &to))
                } else {
                    let to = path.with_file_name(format!("{name} field.svg"));
                    Sheet::SavePicture(PathSheet::of(&path, &to))
                });
            }
            Err(why) => self.shell.warn(capital(&why.to_string())),
        }
        true
    }

    /// The session that the sheet in front is of; else the bench's own.
    pub(super) fn sheet_of(&self) -> Option<PathBuf> {
        let of = match &self.front {
            Sheet::Report(sheet) => sheet.path.of.clone(),
            Sheet::SavePicture(sheet) => sheet.of.clone(),
            _ => None,
        };
        of.or_else(|| Some(self.session.as_ref()?.file().path().to_owned()))
    }

    /// What the sheet in front draws, where it is of another session than the bench's: its last round.
    pub(crate) fn sheet_scene(&self) -> Option<Result<Scene, record::Error>> {
        let of = self.sheet_of()?;
        let at_bench = self.session.as_ref().map(|session| session.file().path().to_owned());
        if at_bench.as_ref() == Some(&of) {
            return None;
        }
        Some(Reviewed::open(of).map(|open| {
            let mut scene = Scene::clone(&open.stage.picture.scene);
            scene.caption = paper::caption(&open.account.session);
            scene
        }))
    }
}

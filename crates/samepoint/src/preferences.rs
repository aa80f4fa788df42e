//! What the program remembers about its user: a small RON file, never part of a record.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use record::file::plain;
use record::shown;
use serde::{Deserialize, Serialize};

use crate::pedals::{Pedal, Press};
use crate::services::time_stamp;
use crate::theme::Lighting;

/// Sessions kept in *recent*.
const RECENT: usize = 8;
/// Keys whose place is kept: nobody has more.
const KEYS: usize = 64;
/// Filters of the shop's table that are kept: more are not found again in a menu.
pub(crate) const MOST_FILTERS: usize = 24;
/// Other shops that are seen beside one: more are not told apart in a table.
pub(crate) const MOST_BESIDE: usize = 24;
/// Nobody stays away longer and is not asked: a day, minutes.
const LONGEST_PAUSE: u32 = 24 * 60;
const NAME: &str = "preferences.ron";
/// A larger file is none of ours, bytes.
const LARGEST: u64 = 1 << 20;

/// How much larger than usual everything may be drawn.
pub(crate) const SCALES: std::ops::RangeInclusive<f32> = 1.0..=2.0;

/// What is remembered. Unknown fields are refused, so that a typing slip is seen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Preferences {
    /// Whose hand logs: initials.
    pub hand: String,
    /// The shop last worked in.
    pub shop: Option<PathBuf>,
    /// Sessions last open, newest first.
    pub recent: Vec<PathBuf>,
    /// How far the ring angle steps on after a reading, degrees.
    pub step_deg: f64,
    /// Text and everything else drawn this much larger.
    pub scale: f32,
    /// The colours: for which room.
    pub lighting: Lighting,
    /// Whether the cautions were read once.
    pub cautions_read: bool,
    /// Whether the question of the first start was answered.
    pub welcomed: bool,
    /// What the last session was set up with.
    pub last_used: LastUsed,
    /// Which presses of pedals and spare keys give which commands.
    pub pedals: BTreeMap<Press, Pedal>,
    /// Whether what was logged is spoken, and by what.
    pub read_back: ReadBackWish,
    /// The program that writes the camera's frames to its standard output, and its arguments, parted by spaces;
    /// empty: the usual one. It is run: it stands here and in no shop's file.
    pub camera_command: String,
    /// After so many minutes without input it is asked who is at the bench, as at the start; 0: never,
    /// the initials given last go on.
    pub ask_after_minutes: u32,
    /// Where the private keys of seals made earlier are, by the public key's fingerprint: a file's path as
    /// typed, empty for the agent. Never a key itself.
    pub key_files: BTreeMap<String, PathBuf>,
    /// The columns of the shop's table, by their words; empty: the usual ones.
    pub shop_columns: Vec<String>,
    /// What was asked of the shop's table, by names of the hand's own.
    pub shop_filters: Vec<KeptFilter>,
    /// Folders of other shops that are seen beside a shop as one with it, by its own folder.
    pub shops_beside: BTreeMap<PathBuf, Vec<PathBuf>>,
}

/// What was asked of the shop's table, by a name.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct KeptFilter {
    /// Its name.
    pub name: String,
    /// Words that must all occur.
    pub words: String,
    /// Only this housing.
    pub housing: Option<String>,
    /// Only this station.
    pub station: Option<String>,
    /// Only this hand.
    pub hand: Option<String>,
    /// Only this shop, where several are seen as one, by what it is called.
    pub shop: Option<String>,
    /// Only this verdict, by its word.
    pub verdict: Option<String>,
    /// The first day, as typed.
    pub from: String,
    /// The last day, as typed.
    pub to: String,
    /// Only what should be looked at.
    pub only_troubled: bool,
    /// Practice too.
    pub with_practice: bool,
}

/// Whether what was logged is spoken, and by what.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct ReadBackWish {
    /// Whether it is.
    pub on: bool,
    /// The program that speaks its last argument, and the arguments before it, parted by spaces; empty: the
    /// system's usual one.
    pub command: String,
}

/// What a session was last set up with, by the names the shop has for it; empty where none was.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct LastUsed {
    /// The station.
    pub station: String,
    /// The housing type.
    pub housing: String,
    /// The tolerance window.
    pub window: String,
}

impl Default for Preferences {
    fn default() -> Self {
        Self {
            hand: String::new(),
            shop: None,
            recent: Vec::new(),
            step_deg: 60.0,
            scale: 1.0,
            lighting: Lighting::default(),
            cautions_read: false,
            welcomed: false,
            last_used: LastUsed::default(),
            pedals: BTreeMap::new(),
            read_back: ReadBackWish::default(),
            camera_command: String::new(),
            ask_after_minutes: 15,
            key_files: BTreeMap::new(),
            shop_columns: Vec::new(),
            shop_filters: Vec::new(),
            shops_beside: BTreeMap::new(),
        }
    }
}

impl Preferences {
    /// Reads them. What cannot be read or understood is set aside, never overwritten; the second
    /// value then says so.
    #[must_use]
    pub fn load(folder: &Path) -> (Self, Option<String>) {
        let path = folder.join(NAME);
        // A name that leads nowhere is nothing to read; one that is a pipe is something to set aside.
        let read = match plain::read_text(&path, LARGEST) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                return (Self::default(), None);
            }
            Err(error) => Err(error.to_string()),
            Ok(text) => ron::from_str::<Self>(&text).map_err(|error| {
                let place = error.span.start;
                format!("line {}, column {}: {}", place.line, place.col, error.code)
            }),
        };
        match read {
            Ok(preferences) => (preferences.mended(), None),
            Err(why) => {
                let aside = folder.join(format!("{NAME}.broken-{}", time_stamp().replace(':', "")));
                let kept = match fs::rename(&path, &aside) {
                    Ok(()) => format!("set aside as {}", shown::path(&aside)),
                    Err(error) => format!("could not be set aside: {error}"),
                };
                let notice = format!(
                    "Preferences not understood ({}); the file is {kept}. The usual ones are in use.",
                    shown::one_line(&why)
                );
                (Self::default(), Some(notice))
            }
        }
    }

    /// Numbers that would leave the window unusable go back to the usual ones.
    fn mended(mut self) -> Self {
        let usual = Self::default();
        if !(self.step_deg.is_finite() && (0.0..360.0).contains(&self.step_deg)) {
            self.step_deg = usual.step_deg;
        }
        if !SCALES.contains(&self.scale) {
            self.scale = usual.scale;
        }
        self.ask_after_minutes = self.ask_after_minutes.min(LONGEST_PAUSE);
        self.recent.truncate(RECENT);
        self.shop_filters.truncate(MOST_FILTERS);
        self.key_files = std::mem::take(&mut self.key_files).into_iter().take(KEYS).collect();
        self
    }

    /// Writes them: a new file beside, synced, then put in place of the old one.
    ///
    /// # Errors
    /// Whatever the disk says.
    pub fn save(&self, folder: &Path) -> std::io::Result<()> {
        fs::create_dir_all(folder)?;
        let text = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::default())
            .map_err(std::io::Error::other)?;
        let mut file = tempfile::NamedTempFile::new_in(folder)?;
        file.write_all(text.as_bytes())?;
        file.as_file().sync_all()?;
        file.persist(folder.join(NAME)).map_err(|error| error.error)?;
        Ok(())
    }

    /// Puts a session at the head of *recent*.
    pub fn remember(&mut self, session: &Path) {
        self.recent.retain(|path| path != session);
        self.recent.insert(0, session.to_owned());
        self.recent.truncate(RECENT);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_saved_comes_back() -> std::io::Result<()> {
        let folder = tempfile::tempdir()?;
        let mut preferences = Preferences { hand: "KT".to_owned(), ..Preferences::default() };
        for k in 0..12 {
            preferences.remember(Path::new(&format!("/shop/{k}.samepoint")));
        }
        preferences.remember(Path::new("/shop/7.samepoint"));
        preferences.save(folder.path())?;
        let (back, notice) = Preferences::load(folder.path());
        assert_eq!((back, notice), (preferences.clone(), None));
        assert_eq!(preferences.recent.len(), RECENT);
        assert_eq!(preferences.recent[0], Path::new("/shop/7.samepoint"));
        Ok(())
    }

    /// A broken file is kept under another name, and the user is told where and why.
    #[test]
    fn a_broken_file_is_set_aside() -> std::io::Result<()> {
        let folder = tempfile::tempdir()?;
        fs::write(folder.path().join(NAME), "(hand: \"KT\", colour: 3)")?;
        let (preferences, notice) = Preferences::load(folder.path());
        assert_eq!(preferences, Preferences::default());
        assert!(notice.is_some_and(|text| text.contains("set aside")));
        let kept: Vec<_> = fs::read_dir(folder.path())?.flatten().collect();
        assert_eq!(kept.len(), 1);
        assert!(kept[0].file_name().to_string_lossy().contains("broken"));
        Ok(())
    }

    #[test]
    fn useless_numbers_are_mended() -> std::io::Result<()> {
        let folder = tempfile::tempdir()?;
        fs::write(folder.path().join(NAME), "(step_deg: inf, scale: 0.0)")?;
        let (preferences, _) = Preferences::load(folder.path());
        assert_eq!(preferences, Preferences::default());
        Ok(())
    }
}

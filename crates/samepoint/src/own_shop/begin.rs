//! What is asked to begin a shop: its name, its address, its folder, its first hand.

use std::path::Path;

use jiff::civil::Date;
use record::{Hand, HandRole, Letterhead};

use crate::shell::path_sheet::PathSheet;

/// The sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BeginSheet {
    /// What the shop is called.
    pub name: String,
    /// Where it is.
    pub address: String,
    /// Where its folder is to be, and what was refused of all this.
    pub folder: PathSheet,
    /// The folder that is offered.
    offered: String,
    /// The first hand's initials; empty: no hand is listed yet.
    pub initials: String,
    /// Its name in full.
    pub hand_name: String,
    /// Whether it signs.
    pub signs: bool,
    /// Whether it countersigns what others sign.
    pub countersigns: bool,
    /// The hand that was offered.
    offered_hand: String,
    /// What was typed when Esc was pressed and warned of losing it.
    warned: Option<[String; 5]>,
}

impl BeginSheet {
    /// With a folder below the user's own that is not there yet.
    #[must_use]
    pub fn below(home: &Path, hand: &str) -> Self {
        let offered = (1..100)
            .map(|number| {
                home.join(if number == 1 { "shop".to_owned() } else { format!("shop-{number}") })
            })
            .find(|path| path.symlink_metadata().is_err())
            .unwrap_or_else(|| home.join("shop"));
        let folder = PathSheet::at(&offered);
        Self {
            offered: folder.path.clone(),
            folder,
            initials: hand.to_owned(),
            offered_hand: hand.to_owned(),
            signs: true,
            countersigns: true,
            ..Self::default()
        }
    }

    /// Whether something typed would be lost with it.
    #[must_use]
    pub fn holds_work(&self) -> bool {
        let offered = [&self.offered, &self.offered_hand].map(String::as_str);
        self.typed().iter().any(|text| !text.is_empty() && !offered.contains(&text.as_str()))
    }

    /// Whether it has just been said that what is typed would be lost: with another letter it is not said any more.
    #[must_use]
    pub fn asks_drop(&self) -> bool {
        self.warned.as_ref() == Some(&self.typed())
    }

    /// Says that what is typed would be lost.
    pub fn ask_drop(&mut self) {
        self.warned = Some(self.typed());
    }

    fn typed(&self) -> [String; 5] {
        [&self.name, &self.address, &self.folder.path, &self.initials, &self.hand_name]
            .map(Clone::clone)
    }

    /// What stands at the head of its papers.
    #[must_use]
    pub fn letterhead(&self) -> Letterhead {
        let [name, address] = [&self.name, &self.address].map(|text| text.trim().to_owned());
        Letterhead { name, address }
    }

    /// Its first hand, from today on; `None` where no initials are given.
    #[must_use]
    pub fn hand(&self, today: Date) -> Option<Hand> {
        let initials = self.initials.trim();
        let roles = [(self.signs, HandRole::Technician), (self.countersigns, HandRole::Supervisor)];
        (!initials.is_empty()).then(|| Hand {
            initials: initials.to_owned(),
            name: self.hand_name.trim().to_owned(),
            roles: roles.into_iter().filter_map(|(has, role)| has.then_some(role)).collect(),
            from: today,
            until: None,
            keys: Vec::new(),
            revoked: Vec::new(),
            note: String::new(),
        })
    }
}

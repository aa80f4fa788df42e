//! Lists that a shop brings along in a spreadsheet, as CSV: its units, its hands, or the sessions that wait to be
//! done. A signed result is not brought along this way: nothing follows from it.
//!
//! The first row names the columns, in any order; which of them there are says which [kind](ListKind) of list it
//! is. Columns are parted by commas, semicolons or tabs, as the first row is; a field with the mark in it stands in
//! quotes. Blank rows and rows that begin with `#` are nothing. Each row stands for itself: one that is refused
//! keeps no other from being kept, and one that is kept already is left as it is, so that a list may be read
//! again once it was put right.
//!
//! - what a row can be is here, and what it is in a shop: [`Shop::try_list`](crate::Shop::try_list);
//! - [`refusal`]: why a list, or a row of one, is refused; [`read`]: from bytes to rows.

pub mod read;
pub mod refusal;

use crate::hands::Hand;
use crate::unit::Unit;
use crate::units_waiting::WaitingUnit;

pub use read::{LONGEST_LIST, parse_list};
pub use refusal::{ListError, RowRefusal};

/// What a list is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ListKind {
    /// What the shop knows by its serial.
    Units,
    /// Who works in it.
    Hands,
    /// Units that wait for a session.
    Sessions,
}

impl ListKind {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Units, Self::Hands, Self::Sessions];

    /// Its columns: the first must be there, and so must `roles`.
    #[must_use]
    pub const fn columns(self) -> &'static [&'static str] {
        match self {
            Self::Units => &[
                "unit",
                "housing",
                "left_tube",
                "right_tube",
                "left_eyepiece",
                "right_eyepiece",
                "note",
            ],
            Self::Hands => &["initials", "roles", "name", "from", "until", "note"],
            Self::Sessions => &["unit", "due", "for", "condition"],
        }
    }

    /// How many of them must be there.
    #[must_use]
    pub const fn needed(self) -> usize {
        match self {
            Self::Hands => 2,
            Self::Units | Self::Sessions => 1,
        }
    }

    /// One of it, and several.
    #[must_use]
    pub const fn words(self) -> [&'static str; 2] {
        match self {
            Self::Units => ["unit", "units"],
            Self::Hands => ["hand", "hands"],
            Self::Sessions => ["session that waits", "sessions that wait"],
        }
    }
}

/// A list as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct ShopList {
    /// Of what.
    pub kind: ListKind,
    /// Its rows, in order.
    pub rows: Vec<ListRow>,
}

/// A row, and what it will be.
#[derive(Clone, Debug, PartialEq)]
pub struct ListRow {
    /// Its line in the file, from 1; of a row over several lines the first.
    pub line: u64,
    /// What it will be, or why it is refused.
    pub listed: Result<Listed, RowRefusal>,
}

/// What a row says.
#[derive(Clone, Debug, PartialEq)]
pub enum Listed {
    /// A unit to keep.
    Unit(Box<Unit>),
    /// A hand to keep.
    Hand {
        /// It.
        hand: Box<Hand>,
        /// Whether the row says from when it is in force.
        from_said: bool,
    },
    /// A unit to put on the list of those that wait.
    Waits(WaitingUnit),
    /// The shop has it so already: its name.
    Known(String),
}

impl Listed {
    /// Whether it is still to be kept.
    #[must_use]
    pub const fn is_new(&self) -> bool {
        !matches!(self, Self::Known(_))
    }

    /// What it is called.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Unit(unit) => &unit.name,
            Self::Hand { hand, .. } => &hand.initials,
            Self::Waits(unit) => &unit.unit,
            Self::Known(name) => name,
        }
    }

    /// What it will be, in words, without a full stop.
    #[must_use]
    pub fn words(&self) -> String {
        let mut parts: Vec<String> = Vec::new();
        let mut say = |word: &str, text: &str| {
            if !text.is_empty() {
                parts.push(format!("{word}{text}"));
            }
        };
        match self {
            Self::Unit(unit) => {
                say("housing ", &unit.housing);
                for (channel, tube) in unit.tubes.iter() {
                    say(&format!("{channel} tube "), &tube.serial);
                }
                for (channel, eyepiece) in unit.eyepieces.iter() {
                    say(&format!("{channel} eyepiece "), &eyepiece.serial);
                }
                say("", &unit.note);
            }
            Self::Hand { hand, .. } => {
                say("", &hand.name);
                let roles: Vec<&str> = hand.roles.iter().map(|role| role.word()).collect();
                say("", &roles.join(", "));
                say("from ", &hand.from.to_string());
                say("to ", &hand.until.map(|day| day.to_string()).unwrap_or_default());
                say("", &hand.note);
            }
            Self::Waits(unit) => {
                say("due ", &unit.due.map(|day| day.to_string()).unwrap_or_default());
                say("for ", &unit.purpose);
                say("", &unit.condition);
            }
            Self::Known(_) => say("", "is kept so already"),
        }
        if parts.is_empty() {
            return self.name().to_owned();
        }
        format!("{}: {}", self.name(), parts.join(" · "))
    }
}

impl ShopList {
    /// Rows that are still to be kept.
    pub fn new_rows(&self) -> impl Iterator<Item = &ListRow> {
        self.rows.iter().filter(|row| row.listed.as_ref().is_ok_and(Listed::is_new))
    }

    /// How many rows are refused.
    #[must_use]
    pub fn refused(&self) -> usize {
        self.rows.iter().filter(|row| row.listed.is_err()).count()
    }
}

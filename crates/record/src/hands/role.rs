//! What a hand may do, and why it may not.

use core::fmt;

use jiff::civil::Date;

/// What a hand may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HandRole {
    /// Learns: may read and log, and sign nothing.
    Trainee,
    /// Signs.
    Technician,
    /// Countersigns and returns.
    Supervisor,
}

impl HandRole {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Trainee => "trainee",
            Self::Technician => "technician",
            Self::Supervisor => "supervisor",
        }
    }
}

/// Why a hand may not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoAuthority {
    /// No initials were given.
    Nobody,
    /// The shop does not list it.
    NotListed {
        /// Its initials.
        hand: String,
        /// Whom they look like.
        like: Option<String>,
    },
    /// Its days have not begun, or are over.
    NotInForce {
        /// Its initials.
        hand: String,
        /// The day it was done.
        day: Date,
    },
    /// It has another role.
    LacksRole {
        /// Its initials.
        hand: String,
        /// What was done.
        to: &'static str,
        /// The role that takes.
        needs: HandRole,
    },
    /// It signed itself.
    OwnSignature {
        /// Its initials.
        hand: String,
    },
}

impl fmt::Display for NoAuthority {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nobody => f.write_str("no initials are given"),
            Self::NotListed { hand, like: None } => {
                write!(f, "the shop lists no hand “{hand}”")
            }
            Self::NotListed { hand, like: Some(like) } => write!(
                f,
                "the shop lists no hand “{hand}”; it looks like “{like}” and is not the same"
            ),
            Self::NotInForce { hand, day } => write!(f, "“{hand}” was not in force on {day}"),
            Self::LacksRole { hand, to, needs } => {
                write!(f, "“{hand}” may not {to}: that takes a {}", needs.word())
            }
            Self::OwnSignature { hand } => {
                write!(f, "“{hand}” signed it, and another hand must countersign")
            }
        }
    }
}

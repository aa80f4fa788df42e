//! Who may sign, countersign and return.

use jiff::civil::Date;

use super::list::Hands;
use super::role::{HandRole, NoAuthority};
use crate::fact::{is_nobody, same_hand};

/// Answering for a session, one way or the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act<'a> {
    /// Signing a verdict.
    Sign,
    /// Countersigning what a hand signed.
    Countersign {
        /// Whose signature it is.
        signed_by: &'a str,
    },
    /// Sending it back.
    Return,
}

impl Act<'_> {
    /// The role it takes.
    #[must_use]
    pub const fn role(self) -> HandRole {
        match self {
            Self::Sign => HandRole::Technician,
            Self::Countersign { .. } | Self::Return => HandRole::Supervisor,
        }
    }

    const fn verb(self) -> &'static str {
        match self {
            Self::Sign => "sign",
            Self::Countersign { .. } => "countersign",
            Self::Return => "return",
        }
    }
}

/// Whether a hand might do what it did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Authority {
    /// No list says who may.
    NotChecked,
    /// It might, by this role.
    Held(HandRole),
    /// It might not.
    Without(NoAuthority),
}

impl Hands {
    /// Whether a hand may do this on a day.
    #[must_use]
    pub fn authority(&self, initials: &str, act: Act<'_>, day: Date) -> Authority {
        if !self.lists_anybody() {
            return Authority::NotChecked;
        }
        let named = || initials.trim().to_owned();
        let refused = if is_nobody(initials) {
            NoAuthority::Nobody
        } else if let Some(hand) = self.hand(initials) {
            let signed_it =
                matches!(act, Act::Countersign { signed_by } if same_hand(signed_by, initials));
            if signed_it {
                NoAuthority::OwnSignature { hand: named() }
            } else if !hand.in_force(day) {
                NoAuthority::NotInForce { hand: named(), day }
            } else if !hand.roles.contains(&act.role()) {
                NoAuthority::LacksRole { hand: named(), to: act.verb(), needs: act.role() }
            } else {
                return Authority::Held(act.role());
            }
        } else {
            let like = self.looks_like(initials).map(|hand| hand.initials.clone());
            NoAuthority::NotListed { hand: named(), like }
        };
        Authority::Without(refused)
    }

    /// The hands that may do this on a day, by initials.
    #[must_use]
    pub fn who_may(&self, act: Act<'_>, day: Date) -> Vec<&str> {
        let all = self.known.iter().map(|kept| kept.value.initials.as_str());
        all.filter(|hand| matches!(self.authority(hand, act, day), Authority::Held(_))).collect()
    }
}

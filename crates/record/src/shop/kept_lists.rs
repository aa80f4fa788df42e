//! What a list from a spreadsheet is in a shop: what is new, what it has already, what it has otherwise; and keeping
//! what is new.

use super::Shop;
use crate::error::Error;
use crate::file::{Disk, FileOptions};
use crate::hands::Hand;
use crate::lists::{ListRow, Listed, RowRefusal, ShopList};
use crate::stamp::Stamp;
use crate::units_waiting::{UnitsWaiting, WaitingBody};

impl Shop {
    /// The list as it is in this shop; nothing is written. A row of what is kept as it says already is
    /// [`Listed::Known`], one of what is kept otherwise is refused.
    #[must_use]
    pub fn try_list(&self, list: &ShopList, disk: &dyn Disk) -> ShopList {
        let (waiting, _) = self.units_waiting(disk);
        let rows = list.rows.iter().map(|row| ListRow {
            line: row.line,
            listed: row.listed.clone().and_then(|listed| self.tried(listed, &waiting)),
        });
        ShopList { kind: list.kind, rows: rows.collect() }
    }

    fn tried(&self, listed: Listed, waiting: &UnitsWaiting) -> Result<Listed, RowRefusal> {
        let same = |name: &str| name.trim().to_lowercase() == listed.name().to_lowercase();
        let (there, as_said) = match &listed {
            Listed::Unit(unit) => {
                let kept = self.units.iter().map(|kept| &kept.value).find(|kept| same(&kept.name));
                (kept.is_some(), kept == Some(&**unit))
            }
            Listed::Hand { hand, from_said } => {
                let mut all = self.hands.known.iter().map(|kept| &kept.value);
                let kept = all.find(|kept| same(&kept.initials));
                // Keys come later, and from when it is in force may have been left to the day of reading.
                let says = |kept: &Hand| {
                    let mut roles = kept.roles.clone();
                    roles.sort_unstable();
                    let words = (&kept.name, kept.until, &kept.note);
                    roles == hand.roles
                        && words == (&hand.name, hand.until, &hand.note)
                        && (!from_said || kept.from == hand.from)
                };
                (kept.is_some(), kept.is_some_and(says))
            }
            Listed::Waits(unit) => {
                let mut all = waiting.units.iter().filter(|kept| kept.off.is_none());
                let kept = all.find(|kept| same(&kept.unit.unit));
                (kept.is_some(), kept.is_some_and(|kept| kept.unit == *unit))
            }
            Listed::Known(_) => (false, false),
        };
        match (there, as_said) {
            (false, _) => Ok(listed),
            (true, true) => Ok(Listed::Known(listed.name().to_owned())),
            (true, false) => Err(RowRefusal::Differs { name: listed.name().to_owned() }),
        }
    }

    /// Keeps what a row says; [`Listed::Known`] is left as it is.
    ///
    /// # Errors
    /// What keeps it from being written; nothing of this row is kept then.
    pub fn keep_listed(
        &mut self,
        listed: &Listed,
        now: Stamp,
        by: (&str, &str),
        options: FileOptions,
    ) -> Result<(), Error> {
        match listed {
            Listed::Unit(unit) => self.keep_unit((**unit).clone()).map(|_| ()),
            Listed::Hand { hand, .. } => self.keep_hand((**hand).clone()).map(|_| ()),
            Listed::Waits(unit) => {
                self.say_of_units(WaitingBody::Added(unit.clone()), now, by, options)
            }
            Listed::Known(_) => Ok(()),
        }
    }
}

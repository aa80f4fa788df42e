//! A new session's sheet filled in from the shelf: parts, turns, shims, and what was predicted of them.

use record::fact::{Body, Note};
use record::{PerChannel, Session, Typed, Unit};
use solver::Channel;

use super::{Choice, SetUpSheet};
use crate::app::App;
use crate::sheets::Sheet;
use crate::shell::effect::FromShelf;
use crate::shell::offers::Offers;
use crate::shell::refusals::Refusal;

impl SetUpSheet {
    /// Takes over what was chosen from the shelf.
    pub(crate) fn take_from_shelf(&mut self, offers: &Offers, from: FromShelf) {
        let FromShelf { unit, window, ipd_mm, .. } = &from;
        self.unit.clone_from(&unit.name);
        self.housing.clone_from(&unit.housing);
        self.tubes = unit.tubes.as_ref().map(|tube| tube.serial.clone());
        self.eyepieces = unit.eyepieces.as_ref().map(|eyepiece| eyepiece.serial.clone());
        // A ring keeps its numbering wherever its eyepiece sits.
        self.rings = PerChannel::from_fn(|channel| {
            let serial = &unit.eyepieces[channel].serial;
            let of_type = offers.units.iter().filter(|other| other.housing == unit.housing);
            let mut known =
                of_type.flat_map(|other| [&other.eyepieces.left, &other.eyepieces.right]);
            known.find(|one| one.serial == *serial).map(|one| one.ring).unwrap_or_default()
        });
        if let Some(place) = offers.windows.iter().position(|kept| kept.name == *window) {
            self.window = Choice::OfShop(place);
        }
        if let Some(typed) = ipd_mm.and_then(|mm| Typed::by_hand(&mm.to_string()).ok()) {
            typed.text().clone_into(&mut self.ipd_mm);
        }
        self.from_shelf = Some(from);
    }

    /// What was chosen from the shelf, while the sheet still names its unit, housing and parts.
    #[must_use]
    pub(crate) fn still_from_shelf(&self) -> Option<&FromShelf> {
        let from = self.from_shelf.as_ref().filter(|_| self.begins)?;
        let same = |typed: &str, chosen: &str| typed.trim() == chosen.trim();
        let parts = Channel::BOTH.into_iter().all(|channel| {
            same(&self.tubes[channel], &from.unit.tubes[channel].serial)
                && same(&self.eyepieces[channel], &from.unit.eyepieces[channel].serial)
        });
        let unit = same(&self.unit, &from.unit.name) && same(&self.housing, &from.unit.housing);
        (parts && unit).then_some(from)
    }

    /// Whether another tube is named for a pod than the one that is known to sit there.
    pub(super) fn other_tube(&self, channel: Channel, known: &Unit) -> bool {
        let (typed, known) = (self.tubes[channel].trim(), known.tubes[channel].serial.as_str());
        !typed.is_empty() && !known.is_empty() && typed != known
    }

    /// That turn and shims of a tube which is not the one that sat there are not known.
    #[must_use]
    pub(crate) fn other_tube_words(
        &self,
        offers: &Offers,
        session: Option<&Session>,
    ) -> Option<String> {
        let known = if self.begins { None } else { session.and_then(Session::unit) };
        let known = known.or_else(|| offers.unit(&self.unit))?;
        let pods: Vec<&str> = Channel::BOTH
            .into_iter()
            .filter(|&channel| {
                let built =
                    known.tubes[channel].turned_deg != 0.0 || !known.shims[channel].is_empty();
                built && self.other_tube(channel, known)
            })
            .map(Channel::word)
            .collect();
        if pods.is_empty() || self.still_from_shelf().is_some() {
            return None;
        }
        Some(format!(
            "Another {} tube than before: it goes on record as it usually sits, without shims. If it is turned or \
             shimmed, note a remedy that says so before reading.",
            pods.join(" and ")
        ))
    }

    /// Turns and shims of a unit that is built of what the shelf gave; of other parts than it gave none are
    /// known.
    pub(super) fn build_from_shelf(&self, unit: &mut Unit) {
        if self.from_shelf.is_none() || !self.begins {
            return;
        }
        let chosen = self.still_from_shelf().map(|from| &from.unit);
        for channel in Channel::BOTH {
            unit.tubes[channel].turned_deg =
                chosen.map_or(0.0, |chosen| chosen.tubes[channel].turned_deg);
            unit.shims[channel] =
                chosen.map(|chosen| chosen.shims[channel].clone()).unwrap_or_default();
        }
    }

    /// What was predicted, for the record.
    pub(super) fn predicted(&self) -> Option<Body> {
        let from = self.still_from_shelf()?;
        Some(Body::Note(Note { text: from.predicted.clone(), about: None }))
    }

    /// What the sheet says of it.
    #[must_use]
    pub(crate) fn shelf_words(&self) -> Option<String> {
        self.from_shelf.as_ref().filter(|_| self.begins)?;
        let Some(from) = self.still_from_shelf() else {
            return Some(
                "These are no longer the parts that were chosen from the shelf: neither their turns and shims nor \
                 the prediction go on record."
                    .to_owned(),
            );
        };
        let pod = |channel: Channel| {
            let tube = &from.unit.tubes[channel];
            let shims = &from.unit.shims[channel];
            let turned = if tube.turned_deg == 0.0 {
                "as usual".to_owned()
            } else {
                format!("turned {}", record::figures::degrees_short(tube.turned_deg))
            };
            let shims: Vec<String> = shims.iter().map(record::remedies::shim).collect();
            let shims = if shims.is_empty() { "no shim".to_owned() } else { shims.join(", ") };
            format!("{channel} tube {turned}, {shims}")
        };
        Some(format!(
            "From the shelf: {}; {}. Start it once the unit is built so.",
            pod(Channel::Left),
            pod(Channel::Right)
        ))
    }
}

impl App {
    /// A new session's sheet on which nothing is typed yet.
    ///
    /// # Errors
    /// Where another is half filled in.
    pub(crate) fn fresh_new_sheet(&mut self) -> Result<SetUpSheet, Refusal> {
        let is_new = |front: &Sheet| matches!(front, Sheet::SetUp(sheet) if sheet.begins);
        let typed = |front: &Sheet| matches!(front, Sheet::SetUp(sheet) if sheet.begins && !sheet.unit.trim().is_empty());
        if [&self.front].into_iter().chain(&self.behind).chain(&self.laid_by).any(typed) {
            return Err(Refusal::HalfFilledIn);
        }
        self.behind.retain(|front| !is_new(front));
        self.laid_by.retain(|front| !is_new(front));
        self.refresh_checks();
        let last = &self.shell.preferences.last_used;
        Ok(SetUpSheet::beginning(self.shell.shop.offers(), self.shell.known_hand(), last))
    }

    /// Opens a new session's sheet with what was chosen from the shelf.
    pub(crate) fn set_up_from_shelf(&mut self, from: FromShelf) -> Result<(), Refusal> {
        let mut sheet = self.fresh_new_sheet()?;
        sheet.take_from_shelf(self.shell.shop.offers(), from);
        self.bring(Sheet::SetUp(Box::new(sheet)));
        Ok(())
    }
}

//! The set-up as it is typed, and the facts it comes to.
//!
//! One sheet (`ui`) begins a session and, later, says things anew: only what is different becomes a fact.
//! Nothing is required but the unit's name and the hand's initials. `from_shelf`: filled in with parts that were
//! chosen from the shelf.

mod from_shelf;
pub(crate) mod ui;

use record::fact::{Body, Precondition, PreconditionItem, RoundOpened, RoundReason, Seq, Setup};
use record::{
    DailyCheck, Housing, NamedWindow, PerChannel, RingNumbering, Session, Stamp, Station, Typed,
    Unit,
};
use solver::Channel;

use super::station_words::NO_STATION;
use crate::bench::dioptre::dioptre_of;
use crate::preferences::LastUsed;
use crate::shell::effect::FromShelf;
use crate::shell::offers::Offers;
use crate::shell::refusals::Refusal;

/// Something chosen for the session.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Choice {
    /// None.
    #[default]
    None,
    /// What the session has already.
    AsItIs,
    /// One of the shop's, by its place.
    OfShop(usize),
}

/// What the hand says of today's check against the check standard.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CheckSaid {
    /// Nothing new.
    #[default]
    AsKnown,
    /// It read the standard right, just now.
    Right,
    /// It read it wrong, just now.
    Wrong,
}

/// The sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetUpSheet {
    /// The unit of the list of units waiting that it begins, and in which condition that came in.
    pub waiting: Option<(Seq, String)>,
    /// What was chosen from the shelf for it.
    pub from_shelf: Option<FromShelf>,
    /// Whether it begins a session; else it says things anew in the open one.
    pub begins: bool,
    /// The unit's name.
    pub unit: String,
    /// Whose hand logs: initials.
    pub hand: String,
    /// Its housing type, picked or typed.
    pub housing: String,
    /// Serial number of each tube.
    pub tubes: PerChannel<String>,
    /// Serial number of each eyepiece.
    pub eyepieces: PerChannel<String>,
    /// Which way round each ring is numbered.
    pub rings: PerChannel<RingNumbering>,
    /// The station.
    pub station: Choice,
    /// Today's check.
    pub check: CheckSaid,
    /// What was seen in it.
    pub check_note: String,
    /// The tolerance window.
    pub window: Choice,
    /// Interpupillary distance, mm.
    pub ipd_mm: String,
    /// What each dioptre stands at.
    pub dioptre: PerChannel<String>,
    /// Order or job number.
    pub job: String,
    /// Whose unit it is.
    pub customer: String,
    /// What was complained of.
    pub complaint: String,
    /// Anything else.
    pub note: String,
    /// What was seen to before reading.
    pub seen_to: Vec<(PreconditionItem, bool)>,
    /// What was refused.
    pub refused: Option<String>,
}

/// The one at a place, else the first; none where there is none.
const fn choice<T>(place: Option<usize>, of: &[T]) -> Choice {
    match place {
        Some(place) => Choice::OfShop(place),
        None if of.is_empty() => Choice::None,
        None => Choice::OfShop(0),
    }
}

/// What is seen to before reading, in the order of the work.
fn items() -> [PreconditionItem; 8] {
    [
        PreconditionItem::CautionsRead,
        PreconditionItem::StationChecked,
        PreconditionItem::UnitIdentified,
        PreconditionItem::DioptresAtZero,
        PreconditionItem::ObjectivesAtInfinity,
        PreconditionItem::IpdSet,
        PreconditionItem::UnitSeated,
        PreconditionItem::LampLow,
    ]
}

impl SetUpSheet {
    /// An empty sheet for a new session: station, housing and window as last used, where this shop has
    /// them, else its first.
    #[must_use]
    pub fn beginning(offers: &Offers, hand: &str, last: &LastUsed) -> Self {
        let mut names = offers.stations.iter().map(|station| &station.name);
        let station = choice(names.position(|name| *name == last.station), &offers.stations);
        let mut names = offers.windows.iter().map(|window| &window.name);
        let window = choice(names.position(|name| *name == last.window), &offers.windows);
        let housing = offers.housing(&last.housing).or_else(|| offers.housings.first());
        Self {
            begins: true,
            hand: hand.to_owned(),
            housing: housing.map(|housing| housing.name.clone()).unwrap_or_default(),
            station,
            window,
            seen_to: items().map(|item| (item, false)).to_vec(),
            ..Self::default()
        }
    }

    /// The open session's set-up, to be said anew.
    #[must_use]
    pub fn of_session(session: &Session, hand: &str) -> Self {
        let unit = session.unit().cloned().unwrap_or_default();
        let setup = session.setup.as_ref().map(|said| said.body.clone()).unwrap_or_default();
        let text = |typed: &Option<Typed>| {
            typed.as_ref().map_or_else(String::new, |typed| typed.text().to_owned())
        };
        let in_force = |there: bool| if there { Choice::AsItIs } else { Choice::None };
        let mut seen_to: Vec<(PreconditionItem, bool)> = items().map(|item| (item, false)).to_vec();
        for seen in &session.preconditions {
            match seen_to.iter_mut().find(|(item, _)| *item == seen.item) {
                Some((_, done)) => *done = seen.done,
                None => seen_to.push((seen.item.clone(), seen.done)),
            }
        }
        Self {
            begins: false,
            unit: unit.name,
            hand: hand.to_owned(),
            housing: session.housing().map_or(unit.housing, |housing| housing.name.clone()),
            tubes: unit.tubes.map(|tube| tube.serial),
            rings: unit.eyepieces.as_ref().map(|eyepiece| eyepiece.ring),
            eyepieces: unit.eyepieces.map(|eyepiece| eyepiece.serial),
            station: in_force(session.station().is_some()),
            window: in_force(session.window().is_some()),
            ipd_mm: text(&setup.ipd_mm),
            dioptre: setup.dioptre.as_ref().map(text),
            job: setup.job,
            customer: setup.customer,
            complaint: setup.complaint,
            note: setup.note,
            seen_to,
            ..Self::default()
        }
    }

    /// What the next session starts from once this sheet is taken; what is not named here stays as it
    /// was used before.
    pub fn remember_in(&self, last: &mut LastUsed, offers: &Offers, session: Option<&Session>) {
        let station = match self.station {
            Choice::None => None,
            Choice::AsItIs => session.and_then(Session::station),
            Choice::OfShop(place) => offers.stations.get(place),
        };
        if let Some(station) = station {
            last.station.clone_from(&station.name);
        }
        if let Some(window) = self.window(offers, session) {
            last.window.clone_from(&window.name);
        }
        if let Some(housing) = self.housing(offers, session) {
            last.housing = housing.name;
        }
    }

    /// Takes over what the shop knows of a unit.
    pub fn pick_unit(&mut self, unit: &Unit) {
        self.unit.clone_from(&unit.name);
        if !unit.housing.is_empty() {
            self.housing.clone_from(&unit.housing);
        }
        self.tubes = unit.tubes.as_ref().map(|tube| tube.serial.clone());
        self.eyepieces = unit.eyepieces.as_ref().map(|eyepiece| eyepiece.serial.clone());
        self.rings = unit.eyepieces.as_ref().map(|eyepiece| eyepiece.ring);
    }

    /// The station chosen, with what was said of its check.
    #[must_use]
    pub fn station(
        &self,
        offers: &Offers,
        session: Option<&Session>,
        now: Stamp,
    ) -> Option<Station> {
        let mut station = match self.station {
            Choice::None => None,
            Choice::AsItIs => session.and_then(Session::station).cloned(),
            Choice::OfShop(place) => offers.stations.get(place).cloned(),
        }?;
        if self.check != CheckSaid::AsKnown {
            station.checked = Some(DailyCheck {
                time: now,
                passed: self.check == CheckSaid::Right,
                note: self.check_note.trim().to_owned(),
            });
        }
        Some(station)
    }

    /// The window chosen.
    #[must_use]
    pub fn window<'a>(
        &self,
        offers: &'a Offers,
        session: Option<&'a Session>,
    ) -> Option<&'a NamedWindow> {
        match self.window {
            Choice::None => None,
            Choice::AsItIs => session.and_then(Session::window),
            Choice::OfShop(place) => offers.windows.get(place),
        }
    }

    /// The housing named: the session's own, the shop's, or one of which only the name is known.
    #[must_use]
    pub fn housing(&self, offers: &Offers, session: Option<&Session>) -> Option<Housing> {
        let name = self.housing.trim();
        let here = session.and_then(Session::housing).filter(|here| here.name == name);
        if name.is_empty() {
            return None;
        }
        Some(here.or_else(|| offers.housing(name)).cloned().unwrap_or_else(|| Housing::named(name)))
    }

    /// The unit as built: what the session or the shop knows of it, with what is on the sheet.
    fn built(&self, offers: &Offers, session: Option<&Session>, housing: Option<&Housing>) -> Unit {
        let known = if self.begins { None } else { session.and_then(Session::unit) };
        let mut unit = known.or_else(|| offers.unit(&self.unit)).cloned().unwrap_or_default();
        self.unit.trim().clone_into(&mut unit.name);
        unit.housing = housing.map(|housing| housing.name.clone()).unwrap_or_default();
        for channel in Channel::BOTH {
            if self.other_tube(channel, &unit) {
                // What is known of turn and shims was the other tube's.
                unit.tubes[channel].turned_deg = 0.0;
                unit.shims[channel].clear();
            }
            self.tubes[channel].trim().clone_into(&mut unit.tubes[channel].serial);
            self.eyepieces[channel].trim().clone_into(&mut unit.eyepieces[channel].serial);
            unit.eyepieces[channel].ring = self.rings[channel];
        }
        self.build_from_shelf(&mut unit);
        unit
    }

    fn setup(&self) -> Result<Setup, Refusal> {
        let number = |field: &'static str, text: &str| match text.trim() {
            "" => Ok(None),
            text => Typed::by_hand(text).map(Some).map_err(|why| Refusal::Field { field, why }),
        };
        let dioptre = |name: &'static str, text: &str| match text.trim() {
            "" => Ok(None),
            text => dioptre_of(name, text).map(Some),
        };
        let ipd_mm = number("Interpupillary distance", &self.ipd_mm)?;
        let [least, most] = IPD_MM;
        if let Some(ipd) = ipd_mm.as_ref().filter(|ipd| !(least..=most).contains(&ipd.value())) {
            return Err(Refusal::Beyond {
                field: "Interpupillary distance",
                least: least.to_string(),
                most: most.to_string(),
                unit: "mm",
                shown: ipd.shown(),
            });
        }
        Ok(Setup {
            job: self.job.trim().to_owned(),
            customer: self.customer.trim().to_owned(),
            complaint: self.complaint.trim().to_owned(),
            ipd_mm,
            dioptre: PerChannel {
                left: dioptre("Left dioptre", &self.dioptre.left)?,
                right: dioptre("Right dioptre", &self.dioptre.right)?,
            },
            note: self.note.trim().to_owned(),
        })
    }

    /// The facts that say what the session does not say yet, in the order to add them. A new
    /// session's first round is not among them.
    ///
    /// # Errors
    /// What is missing or no number, in the user's words.
    pub fn facts(
        &self,
        offers: &Offers,
        session: Option<&Session>,
        now: Stamp,
    ) -> Result<Vec<Body>, Refusal> {
        if self.unit.trim().is_empty() {
            return Err(Refusal::NoUnitName);
        }
        if self.hand.trim().is_empty() {
            return Err(Refusal::NoHand);
        }
        let session = if self.begins { None } else { session };
        let setup = self.setup()?;
        let mut facts: Vec<Body> = Vec::new();
        facts.extend(self.round_ended(offers, session, now).map(Body::RoundOpened));
        let station = self.station(offers, session, now).or_else(|| {
            session.is_none_or(|here| here.station().is_none()).then(|| Station::plain(NO_STATION))
        });
        let here = session.and_then(Session::station);
        facts.extend(station.filter(|station| here != Some(station)).map(Body::Station));
        let here = session.and_then(Session::window);
        let window = self.window(offers, session).filter(|window| here != Some(*window));
        facts.extend(window.cloned().map(Body::Window));
        let housing = self.housing(offers, session);
        let built = self.built(offers, session, housing.as_ref());
        let here = session.and_then(Session::housing);
        facts.extend(housing.filter(|housing| here != Some(housing)).map(Body::Housing));
        if session.and_then(Session::unit) != Some(&built) {
            facts.push(Body::Unit(built));
        }
        let here = session.and_then(|here| here.setup.as_ref()).map(|said| &said.body);
        if *here.unwrap_or(&Setup::default()) != setup {
            facts.push(Body::Setup(setup));
        }
        for (item, done) in &self.seen_to {
            let before = session
                .and_then(|here| here.preconditions.iter().find(|seen| seen.item == *item))
                .is_some_and(|seen| seen.done);
            if before != *done {
                facts.push(Body::Precondition(Precondition {
                    item: item.clone(),
                    done: *done,
                    note: String::new(),
                }));
            }
        }
        facts.extend(self.predicted());
        Ok(facts)
    }

    /// The round that opens because something other than a ring was touched, if readings of the
    /// open one are to be set apart.
    #[must_use]
    pub fn round_ended(
        &self,
        offers: &Offers,
        session: Option<&Session>,
        now: Stamp,
    ) -> Option<RoundOpened> {
        let session = session.filter(|_| !self.begins)?;
        session.round()?.in_use().next()?;
        let opened = |why, note: &str| Some(RoundOpened { why, note: note.to_owned() });
        if let (Some(before), Some(after)) =
            (session.station(), self.station(offers, Some(session), now))
            && !after.reads_as(before)
        {
            return opened(RoundReason::StationZeroed, "another station map in the set-up");
        }
        let housing = self.housing(offers, Some(session));
        let built = self.built(offers, Some(session), housing.as_ref());
        if let Some(before) = session.unit()
            && built.is_rebuilt_from(before)
        {
            let eyepiece = built.eyepieces != before.eyepieces;
            let why = if eyepiece { RoundReason::EyepieceOut } else { RoundReason::Other };
            return opened(why, "other parts in the set-up");
        }
        let before = &session.setup.as_ref()?.body;
        let after = self.setup().ok()?;
        let moved = |before: &Option<Typed>, after: &Option<Typed>| matches!((before, after), (Some(before), Some(after)) if before.value() != after.value());
        if Channel::BOTH.iter().any(|&c| moved(&before.dioptre[c], &after.dioptre[c])) {
            return opened(RoundReason::Dioptre, "another dioptre in the set-up");
        }
        if moved(&before.ipd_mm, &after.ipd_mm) {
            return opened(RoundReason::Other, "another interpupillary distance in the set-up");
        }
        None
    }
}

/// Between these an interpupillary distance is one, millimetres: wider than people are on both sides (common
/// practice, no source), so that what is beyond is a slip of the hand.
const IPD_MM: [f64; 2] = [30.0, 100.0];

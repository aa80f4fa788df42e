//! The shop: reading its sessions, finding one, going to it.

use std::fmt::Display;
use std::path::{Path, PathBuf};

use paper::words::capital;
use record::SessionSummary;
use record::ledger::{Noting, set_end_aside};
use record::shop::{ReturnedSession, sort_for};

use record::shop::survey::seek::SortBy;

use super::chart::Leads;
use super::columns::of_words;
use super::other_shops::remembered;
use super::reading::{self, ToRead};
use super::{ShopAction, ShopPage, Surveying, waits_here};
use crate::shell::Shell;
use crate::shell::effect::Effect;
use crate::shell::open_shop::program;
use crate::shell::refusals::NO_SHOP;

impl Surveying {
    /// Does what was asked.
    pub fn apply(&mut self, action: ShopAction, shell: &mut Shell) -> Vec<Effect> {
        match action {
            ShopAction::Show(part) => {
                self.part = part;
                self.refresh();
            }
            ShopAction::Do(command) => return vec![Effect::Do(command)],
            ShopAction::CheckStation(station) => return vec![Effect::CheckStation(station)],
            ShopAction::Filter => self.refresh(),
            ShopAction::Sort(by) => {
                self.sort = if self.sort.0 == by { (by, !self.sort.1) } else { (by, false) };
                self.refresh();
            }
            ShopAction::OpenUnit(unit) => {
                self.part = ShopPage::Units;
                self.unit.turn_to(unit, self.survey.as_deref(), &shell.workers());
                self.refresh();
            }
            ShopAction::AllUnits => self.unit.list_all(),
            ShopAction::OpenRoundRobin(unit) => {
                self.part = ShopPage::RoundRobin;
                self.round_robin.turn_to(unit, self.survey.as_ref(), &shell.workers());
                self.refresh();
            }
            ShopAction::AllRoundRobins => self.round_robin.list_all(),
            ShopAction::CompareBenches(compared) => self.round_robin.compare(compared),
            ShopAction::ChartAt(place) => self.chart_at = place,
            ShopAction::Column(column) => self.turn_column(column, shell),
            ShopAction::KeepFilter => {
                self.filter_refused = self.keep_filter(shell).err().map(|why| why.to_string());
            }
            ShopAction::ApplyFilter(name) => {
                let kept = shell.preferences.shop_filters.iter().find(|kept| kept.name == name);
                if let Some(kept) = kept.cloned() {
                    self.apply_filter(kept);
                }
            }
            ShopAction::RemoveFilter(name) => {
                shell.preferences.shop_filters.retain(|kept| kept.name != name);
            }
            ShopAction::Compare(quantity) => {
                self.quantity = Some(quantity);
                self.refresh();
            }
            ShopAction::ByHand(by_hand) => {
                self.by_hand = by_hand;
                self.refresh();
            }
            ShopAction::Again => {
                self.read(shell, true);
            }
            ShopAction::Follow(Leads::Days(from, to)) => self.show_days(from, to),
            ShopAction::Follow(Leads::Session(index)) | ShopAction::Review(index) => {
                return self.session_file(index, shell).map(Effect::Review).into_iter().collect();
            }
            ShopAction::AddShop => self.add_shop(shell),
            ShopAction::ChooseShop => self.choose_shop(shell),
            ShopAction::RemoveShop(folder) => self.remove_shop(&folder, shell),
            ShopAction::ReviewWaiting => return vec![Effect::NextWaiting],
            ShopAction::ReviewFile(path) => return vec![Effect::Review(path)],
            ShopAction::SetLedgerEndAside(path) => self.set_ledger_end_aside(&path, shell),
            ShopAction::RecallListTo(path) => return self.write_recall_list(&path, shell),
            ShopAction::WriteOfShop(asked) => return self.write_of_shop(&asked, shell),
            ShopAction::Bench(index) => {
                return self
                    .session_file(index, shell)
                    .map(Effect::OpenAtBench)
                    .into_iter()
                    .collect();
            }
        }
        Vec::new()
    }

    /// Reads everything anew when the hand comes here.
    pub fn come(&mut self, shell: &mut Shell) {
        self.today = Some(shell.now().date());
        self.columns = of_words(&shell.preferences.shop_columns);
        self.just_opened = false;
        self.read_sessions(shell);
    }

    /// Makes it that of a shop that was just opened; nothing of another one is read any longer.
    pub(crate) fn turn_to_opened(&mut self) {
        // One that reads still must be heard before another may read.
        let mut reading = std::mem::take(&mut self.reading);
        reading.leave();
        *self = Self { reading, just_opened: true, ..Self::default() };
    }

    /// Whether the sessions of a shop that was just opened are still to be read, or are being.
    #[must_use]
    pub(crate) fn is_looking_at_opened(&self) -> bool {
        self.just_opened || self.survey.is_none() && self.reading.is_going_on()
    }

    /// Looks at a shop that was opened since the last frame: at all its sessions where most were read before, so that
    /// they are there when they are asked for, else only for what was sent back.
    pub(crate) fn look_at_opened(&mut self, shell: &Shell) {
        if std::mem::take(&mut self.just_opened) {
            self.look_for_returns(shell);
        }
    }

    /// Shows a column, or no longer; one stays.
    fn turn_column(&mut self, column: SortBy, shell: &mut Shell) {
        let on = self.columns.contains(&column);
        let wanted = |one: &SortBy| if *one == column { !on } else { self.columns.contains(one) };
        let columns: Vec<SortBy> = SortBy::EVERY.into_iter().filter(wanted).collect();
        if columns.is_empty() {
            return;
        }
        let words = columns.iter().map(|column| column.word().to_owned());
        shell.preferences.shop_columns = words.collect();
        self.columns = columns;
    }

    /// Goes on in a ledger file whose end is missing, on the hand's word.
    fn set_ledger_end_aside(&mut self, path: &Path, shell: &mut Shell) {
        let done = shell.named_hand().map_err(String::from).and_then(|hand| {
            let options = shell.file_options();
            let noting = Noting { program: program(), hand, agreed: false, options };
            set_end_aside(path, &noting).map_err(|why| why.to_string())
        });
        match done {
            Ok(aside) => {
                shell.say(capital(&aside.to_string()));
                self.read_sessions(shell);
            }
            Err(why) => shell.warn(why),
        }
    }

    /// The session at hand: of the row chosen, or of what is looked at.
    #[must_use]
    pub fn meant(&self, shell: &Shell) -> Option<PathBuf> {
        self.session_file(self.at_hand()?, shell)
    }

    /// The file of a session by its index.
    #[must_use]
    pub fn session_file(&self, index: usize, shell: &Shell) -> Option<PathBuf> {
        let session = self.session(index)?;
        let survey = self.survey.as_ref().filter(|survey| index < survey.sessions.len());
        let within = if survey.is_some() { "sessions" } else { "practice" };
        let own = &shell.shop.offers().folder;
        let folder = survey.and_then(|survey| survey.folders.get(session.folder)).unwrap_or(own);
        Some(folder.join(within).join(&session.file))
    }

    /// The files of sessions of the open shop that are signed and wait for a countersignature, those signed first
    /// first. Others' are countersigned in their own shop.
    #[must_use]
    pub fn waiting_files(&self, shell: &Shell) -> Vec<PathBuf> {
        let survey = self.survey.as_deref();
        let sessions = survey.iter().flat_map(|survey| &survey.sessions).enumerate();
        let waits = sessions.filter(|(_, session)| waits_here(session));
        let signed = |session: &SessionSummary| session.signed_as.as_ref().map(|signed| signed.day);
        let mut waits: Vec<_> = waits.map(|(index, session)| (signed(session), index)).collect();
        waits.sort_unstable();
        waits.into_iter().filter_map(|(_, index)| self.session_file(index, shell)).collect()
    }

    /// Reads the sessions of the shop, whole those whose files changed since they were read last; what was
    /// read before stays in sight meanwhile.
    pub fn read_sessions(&mut self, shell: &Shell) {
        self.read(shell, false);
    }

    fn read(&mut self, shell: &Shell, anew: bool) {
        let folder = shell.shop.offers().folder.clone();
        if folder.as_os_str().is_empty() {
            self.refused = Some(NO_SHOP.to_owned());
            return;
        }
        self.refused = None;
        let what = ToRead { folder, beside: remembered(shell).to_vec(), anew };
        self.reading.ask(what, shell.services.folders.survey_cache(), &shell.workers());
    }

    /// Looks for what a supervisor sent back: reading the sessions tells it, where most of them were read before and no
    /// other shop must be looked at for it.
    pub fn look_for_returns(&mut self, shell: &Shell) {
        let kept = || {
            let folder = &shell.shop.offers().folder;
            remembered(shell).is_empty()
                && shell.services.folders.survey_cache().keeps_any_of(folder)
        };
        if self.survey.is_some() || kept() {
            self.read_sessions(shell);
        } else {
            self.look_through_for_returns(shell);
        }
    }

    fn look_through_for_returns(&mut self, shell: &Shell) {
        let Some(shop) = shell.shop.shop().cloned() else { return };
        self.returns.start(&shell.workers(), move || reading::returned(&shop));
    }

    /// Says on the page why the sessions were not read; what was sent back is told all the same.
    fn refuse(&mut self, why: &dyn Display, shell: &Shell) {
        self.refused = Some(why.to_string());
        if self.survey.is_none() {
            self.look_through_for_returns(shell);
        }
    }

    fn take_returned(&mut self, found: Vec<ReturnedSession>, shell: &mut Shell) {
        self.returned = found;
        sort_for(&mut self.returned, shell.known_hand());
        tell_returns(&self.returned, shell);
    }

    /// Hears what the sessions come to; whether that changed.
    pub fn hear(&mut self, shell: &mut Shell) -> bool {
        match self.returns.hear() {
            None => {}
            Some(Ok(found)) => self.take_returned(found, shell),
            Some(Err(broken)) => shell.warn_of(&broken),
        }
        self.unit.hear();
        self.round_robin.hear();
        self.hear_other_shops(shell);
        let Some(found) = self.reading.hear(&shell.workers()) else { return false };
        match found {
            Ok(Ok(read)) => {
                self.take(read.surveyed);
                self.take_returned(read.returned, shell);
                self.together = read.together;
                self.practised = Some(read.practised);
                self.practice_sessions = read.practice_sessions;
            }
            Ok(Err(why)) => self.refuse(&why, shell),
            Err(broken) => self.refuse(&broken, shell),
        }
        self.refresh();
        // Sessions may have been added to the unit in sight, or have other places in the list.
        let unit = std::mem::take(&mut self.unit.unit);
        if !unit.is_empty() {
            let at = self.unit.at;
            self.unit.turn_to(unit, self.survey.as_deref(), &shell.workers());
            self.unit.at = at;
        }
        let unit = std::mem::take(&mut self.round_robin.unit);
        if !unit.is_empty() {
            let at = self.round_robin.at;
            self.round_robin.turn_to(unit, self.survey.as_ref(), &shell.workers());
            self.round_robin.at = at;
        }
        true
    }
}

/// Says what was sent back, unless something else is being said; the comment is in the shop.
fn tell_returns(found: &[ReturnedSession], shell: &mut Shell) {
    let [first, others @ ..] = found else { return };
    if shell.notice.is_some() {
        return;
    }
    let more = match others.len() {
        0 => String::new(),
        count => format!(" and {count} more"),
    };
    let (unit, by) = (&first.unit, &first.by);
    shell.say(format!("Returned by {by}: {unit}{more}. The shop (Alt+H) says why."));
}

//! The shop: reading its sessions, finding one, going to it.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use paper::PaperSize;
use paper::words::capital;
use record::ledger::{Noting, set_end_aside};
use record::shop::survey::SurveyCache;
use record::shop::{ReturnedSession, sort_for};

use super::beside::Heard;
use super::chart::Leads;
use super::{ShopAction, ShopPage, Surveying, reading};
use crate::dialogs::DialogAnswer;
use crate::jobs::Broken;
use crate::report_file::write_recall_list;
use crate::shell::Shell;
use crate::shell::beside::only_looked_at;
use crate::shell::effect::{Effect, ToWrite};
use crate::shell::open_shop::program;
use crate::shell::refusals::NO_SHOP;

impl Surveying {
    /// Does what was asked.
    pub fn apply(&mut self, action: ShopAction, shell: &mut Shell) -> Vec<Effect> {
        match action {
            ShopAction::Show(part) => {
                self.part = part;
                self.refresh();
                self.compare_benches(None, shell);
            }
            ShopAction::RobinUnit(unit) => self.compare_benches(Some(unit), shell),
            ShopAction::AddBeside => {
                if self.beside.add(shell) {
                    self.read_sessions(shell);
                }
            }
            ShopAction::AddAgain => {
                if self.beside.add_again(shell) {
                    self.read_sessions(shell);
                }
            }
            ShopAction::RemoveBeside(folder) => {
                if self.beside.remove(&folder, shell) {
                    self.read_sessions(shell);
                }
            }
            ShopAction::ChooseBeside => {
                self.beside.adding.asking = true;
                return vec![Effect::AskShopBeside];
            }
            ShopAction::Do(command) => return vec![Effect::Do(command)],
            ShopAction::CheckStation(station) => return vec![Effect::CheckStation(station)],
            ShopAction::Filter => self.refresh(),
            ShopAction::Sort(by) => {
                self.sort = if self.sort.0 == by { (by, !self.sort.1) } else { (by, false) };
                self.refresh();
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
                let cache = shell.services.folders.survey_cache().read_anew();
                self.read_with(shell, cache);
            }
            ShopAction::Follow(Leads::Days(from, to)) => self.show_days(from, to),
            ShopAction::Follow(Leads::Session(index)) | ShopAction::Review(index) => {
                return self.session_file(index, shell).map(Effect::Review).into_iter().collect();
            }
            ShopAction::ReviewFile(path) => return vec![Effect::Review(path)],
            ShopAction::SetLedgerEndAside(path) => self.set_ledger_end_aside(&path, shell),
            ShopAction::RecallListTo(path) => return self.write_recall_list(&path, shell),
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
        self.look_for_returns(shell);
        self.read_sessions(shell);
    }

    /// Goes on in a ledger file whose end is missing, on the hand's word.
    fn set_ledger_end_aside(&mut self, path: &Path, shell: &mut Shell) {
        if let Some(shop) = shell.lies_beside(path) {
            return shell.warn(only_looked_at(&shop));
        }
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

    /// Asks where the recall list is to go, once the sessions are read.
    pub fn ask_recall_list(&mut self, shell: &mut Shell) -> Vec<Effect> {
        let folder = shell.shop.offers().folder.clone();
        if folder.as_os_str().is_empty() {
            shell.say(NO_SHOP);
        } else if self.survey.is_none() {
            if !self.reading.is_going_on() {
                self.read_sessions(shell);
            }
            shell.say("The shop’s sessions are being read; ask for the list again when they are.");
        } else {
            let path = folder.join(format!("recall {}.pdf", shell.now().date()));
            return vec![Effect::AskWhere(ToWrite::RecallList, path)];
        }
        Vec::new()
    }

    /// Writes the recall list as it stands on screen.
    fn write_recall_list(&self, to: &Path, shell: &Shell) -> Vec<Effect> {
        let Some(survey) = &self.survey else { return Vec::new() };
        vec![match write_recall_list(survey, to, shell.now(), PaperSize::A4) {
            Ok(()) => {
                Effect::Written(format!("Recall list written to {}", record::shown::path(to)))
            }
            Err(why) => Effect::NotWritten(why.to_string()),
        }]
    }

    /// The file of a session by its index.
    #[must_use]
    pub fn session_file(&self, index: usize, shell: &Shell) -> Option<PathBuf> {
        let session = self.session(index)?;
        let folder = self.survey.as_ref()?.folders.get(session.folder);
        let folder = folder.unwrap_or(&shell.shop.offers().folder);
        Some(folder.join("sessions").join(&session.file))
    }

    /// Reads the sessions of the shop, whole those whose files changed since they were read last; what was
    /// read before stays in sight meanwhile.
    pub fn read_sessions(&mut self, shell: &Shell) {
        self.read_with(shell, shell.services.folders.survey_cache());
    }

    fn read_with(&mut self, shell: &Shell, cache: SurveyCache) {
        let folder = shell.shop.offers().folder.clone();
        if folder.as_os_str().is_empty() {
            self.refused = Some(NO_SHOP.to_owned());
            return;
        }
        self.refused = None;
        let others = self.beside.folders.clone();
        self.reading.start(&shell.workers(), move || reading::read(&folder, &others, &cache));
    }

    /// Hears which folder was chosen in a dialog, if that was asked for here: it is looked at beside this
    /// shop then.
    pub(crate) fn hear_folder(
        &mut self,
        answer: &Result<DialogAnswer, Broken>,
        shell: &mut Shell,
    ) -> bool {
        let Some(heard) = self.beside.hear(answer) else { return false };
        if heard == Heard::Folder && self.beside.add(shell) {
            self.read_sessions(shell);
        }
        true
    }

    /// Reads what several benches measured of a unit, or of the one that is in sight, if they are.
    fn compare_benches(&mut self, unit: Option<String>, shell: &Shell) {
        if self.part != ShopPage::RoundRobin {
            return;
        }
        let Some(survey) = &self.survey else { return };
        let unit = unit.unwrap_or_else(|| self.robin.known.unit.clone());
        let disk = Arc::clone(&shell.services.disk);
        self.robin.read(survey, unit, disk, &shell.workers());
    }

    /// Looks for what a supervisor sent back.
    pub fn look_for_returns(&mut self, shell: &Shell) {
        let Some(shop) = shell.shop.shop().cloned() else { return };
        self.returns.start(&shell.workers(), move || reading::returned(&shop));
    }

    /// Hears what the sessions come to; whether that changed.
    pub fn hear(&mut self, shell: &mut Shell) -> bool {
        match self.returns.hear() {
            None => {}
            Some(Ok(found)) => {
                self.returned = found;
                sort_for(&mut self.returned, shell.known_hand());
                tell_returns(&self.returned, shell);
            }
            Some(Err(broken)) => shell.warn_of(&broken),
        }
        if self.robin.hear() {
            self.refresh();
        }
        let Some(found) = self.reading.hear() else { return false };
        match found {
            Ok(Ok((survey, practised))) => {
                self.take_up(survey);
                self.practised = Some(practised);
            }
            Ok(Err(why)) => self.refused = Some(why.to_string()),
            Err(broken) => self.refused = Some(broken.to_string()),
        }
        self.refresh();
        self.compare_benches(None, shell);
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

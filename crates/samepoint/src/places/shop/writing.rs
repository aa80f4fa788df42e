//! What is put into files of the shop: where is asked, then it is written.

use std::path::{Path, PathBuf};

use paper::PaperSize;
use record::shop::free_path;
use record::shop::survey::chosen::chosen_csv;

use super::{Surveying, columns};
use crate::report_file::{write_chosen_table, write_recall_list};
use crate::shell::Shell;
use crate::shell::effect::{Effect, ToWrite};
use crate::shell::of_shop::{OfShop, OfShopSheet};
use crate::shell::refusals::NO_SHOP;

impl Surveying {
    /// The shop's folder, once its sessions are read; else it is said what is missing.
    fn read_folder(&mut self, shell: &mut Shell) -> Option<PathBuf> {
        let folder = shell.shop.offers().folder.clone();
        if folder.as_os_str().is_empty() {
            shell.say(NO_SHOP);
            return None;
        }
        if self.survey.is_none() {
            if !self.reading.is_going_on() {
                self.read_sessions(shell);
            }
            shell.say("The shop’s sessions are being read; ask for it again when they are.");
            return None;
        }
        Some(folder)
    }

    /// Asks where the recall list is to go, once the sessions are read.
    pub fn ask_recall_list(&mut self, shell: &mut Shell) -> Vec<Effect> {
        let Some(folder) = self.read_folder(shell) else { return Vec::new() };
        let path = folder.join(format!("recall {}.pdf", shell.now().date()));
        vec![Effect::AskWhere(ToWrite::RecallList, path)]
    }

    /// Writes the recall list as it stands on screen.
    pub(super) fn write_recall_list(&self, to: &Path, shell: &Shell) -> Vec<Effect> {
        let Some(survey) = &self.survey else { return Vec::new() };
        vec![match write_recall_list(survey, to, shell.now(), PaperSize::A4) {
            Ok(()) => {
                Effect::Written(format!("Recall list written to {}", record::shown::path(to)))
            }
            Err(why) => Effect::NotWritten(why.to_string()),
        }]
    }

    /// Asks where something else is to go.
    pub(crate) fn ask_of_shop(&mut self, what: OfShop, shell: &mut Shell) -> Vec<Effect> {
        let Some(folder) = self.read_folder(shell) else { return Vec::new() };
        let today = shell.now().date();
        let sheet = match what {
            OfShop::Table => {
                self.columns = columns::of_words(&shell.preferences.shop_columns);
                let path = free_path(&folder, &format!("sessions {today}"), "csv");
                OfShopSheet::new(what, &path, self.table_holds())
            }
        };
        vec![Effect::AskOfShop(Box::new(sheet))]
    }

    /// What a table of what is in sight will hold, in words.
    fn table_holds(&self) -> String {
        let practice = if self.filter.with_practice { self.practice_sessions.len() } else { 0 };
        let all = self.survey.as_ref().map_or(0, |survey| survey.sessions.len()) + practice;
        let columns: Vec<&str> = self.columns.iter().map(|column| column.word()).collect();
        format!(
            "{} of {all} sessions, as the table has them in sight. Columns: file, practice, {}.",
            self.rows.len(),
            columns.join(", ")
        )
    }

    /// Writes it.
    pub(super) fn write_of_shop(&self, what: OfShop, to: &Path, _: &Shell) -> Vec<Effect> {
        let written = match what {
            OfShop::Table => {
                let rows = self.rows.iter().filter_map(|index| self.session(*index));
                let folders = self.survey.as_ref().map_or(&[][..], |survey| &survey.folders);
                chosen_csv(rows, folders, &self.columns)
                    .map_err(|why| why.to_string())
                    .and_then(|bytes| write_chosen_table(to, &bytes).map_err(|why| why.to_string()))
                    .map(|()| "Table written to")
            }
        };
        vec![match written {
            Ok(said) => Effect::Written(format!("{said} {}", record::shown::path(to))),
            Err(why) => Effect::NotWritten(why),
        }]
    }
}

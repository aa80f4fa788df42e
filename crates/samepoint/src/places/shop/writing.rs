//! What is put into files of the shop: where is asked, then it is written.

use std::path::{Path, PathBuf};

use jiff::civil::Date;
use paper::PaperSize;
use record::shop::free_path;
use record::shop::survey::chosen::chosen_csv;
use record::shop::survey::period::Period;
use record::{Survey, shown};

use super::{Surveying, columns};
use crate::audit_pack::{PackAsked, pack};
use crate::report_file::{
    NotWritten, ReportRefusal, shops_name, write_chart, write_chosen_table, write_month_report,
    write_recall_list,
};
use crate::shell::Shell;
use crate::shell::effect::{Effect, ToWrite};
use crate::shell::of_shop::{OfShop, OfShopSheet, WriteOfShop};
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
            Ok(()) => Effect::Written(format!("Recall list written to {}", shown::path(to))),
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
            OfShop::Chart => {
                let Some(chart) = self.chart_at_hand() else { return Vec::new() };
                let name = format!("{} {today}", self.part.text());
                let path = free_path(&folder, &name, "svg");
                OfShopSheet::new(what, &path, format!("{}.", chart.title))
            }
            OfShop::Month => {
                // The month before: this one is not over.
                let before = today.first_of_month().yesterday().unwrap_or(today);
                let month = Period::month_of(before).name();
                let path = folder.join(format!("month {month}.pdf"));
                let mut sheet = OfShopSheet::new(what, &path, String::new());
                sheet.days = [month, String::new()];
                sheet
            }
            OfShop::Audit => {
                let year = today.first_of_year().yesterday().unwrap_or(today).first_of_year();
                let path = folder.join(format!("audit {today}"));
                let mut sheet = OfShopSheet::new(what, &path, String::new());
                sheet.days = [year.to_string(), today.to_string()];
                sheet.going_on = self.packing.is_going_on();
                sheet
            }
        };
        vec![Effect::AskOfShop(Box::new(sheet))]
    }

    /// What a table of what is in sight will hold, in words.
    fn table_holds(&self) -> String {
        let practice = if self.filter.with_practice { self.practice_sessions.len() } else { 0 };
        let all = self.survey.as_ref().map_or(0, |survey| survey.sessions.len()) + practice;
        let in_sight = self.columns_in_sight();
        let columns: Vec<&str> = in_sight.iter().map(|column| column.word()).collect();
        format!(
            "{} of {all} sessions, as the table has them in sight. Columns: file, practice, {}.",
            self.rows.len(),
            columns.join(", ")
        )
    }

    /// Writes it.
    pub(super) fn write_of_shop(&mut self, asked: &WriteOfShop, shell: &Shell) -> Vec<Effect> {
        let to = asked.to.as_path();
        let written = match asked.what {
            OfShop::Table => self.write_table(to),
            OfShop::Chart => self.write_chart(to, shell),
            OfShop::Month => self.write_month(asked, shell),
            OfShop::Audit => match asked_period(&asked.days) {
                Ok(period) => {
                    let shop = shell.shop.offers().folder.clone();
                    let (now, paper) = (shell.now(), PaperSize::A4);
                    let asked = PackAsked { shop, to: asked.to.clone(), period, now, paper };
                    self.packing.start(&shell.workers(), move || (asked.to.clone(), pack(&asked)));
                    return vec![Effect::BeingWritten];
                }
                Err(why) => Err(ReportRefusal::Table(why).of(to)),
            },
        };
        vec![match written {
            Ok(said) => Effect::Written(format!("{said} {}", shown::path(to))),
            Err(why) => Effect::NotWritten(why.to_string()),
        }]
    }

    fn write_table(&self, to: &Path) -> Result<&'static str, NotWritten> {
        let rows = self.rows.iter().filter_map(|index| self.session(*index));
        let folders = self.survey.as_ref().map_or(&[][..], |survey| &survey.folders);
        let bytes = chosen_csv(rows, folders, &self.columns_in_sight())
            .map_err(|why| ReportRefusal::Table(why).of(to))?;
        write_chosen_table(to, &bytes)?;
        Ok("Table written to")
    }

    fn write_chart(&self, to: &Path, shell: &Shell) -> Result<&'static str, NotWritten> {
        let whose = format!("{}, drawn on {}", self.shops(shell), shell.now().date());
        let chart = self.chart_at_hand().map(|chart| chart.on_paper(&whose));
        write_chart(to, &chart.unwrap_or_default())?;
        Ok("Picture written to")
    }

    /// What the shop is called, or the several seen as one.
    fn shops(&self, shell: &Shell) -> String {
        match self.survey.as_ref().filter(|survey| survey.folders.len() > 1) {
            Some(several) => shops_name(several),
            None => shell.shop.offers().shop.clone(),
        }
    }

    fn write_month(&self, asked: &WriteOfShop, shell: &Shell) -> Result<&'static str, NotWritten> {
        let [month, _] = &asked.days;
        let month = Period::month(month).map_err(|why| ReportRefusal::Table(why).of(&asked.to))?;
        let none = Survey::default();
        let survey = self.survey.as_deref().unwrap_or(&none);
        let now = (shell.now(), PaperSize::A4);
        write_month_report(survey, month, &self.shops(shell), &asked.to, now)?;
        Ok("Monthly report written to")
    }

    /// Hears what became of an audit pack, once.
    pub(crate) fn hear_pack(&mut self) -> Option<Effect> {
        Some(match self.packing.hear()? {
            Ok((to, Ok(packed))) => Effect::Written(format!(
                "Audit pack written to {}: {}",
                shown::path(&to),
                packed.words()
            )),
            Ok((_, Err(why))) => Effect::NotWritten(why.to_string()),
            Err(broken) => Effect::NotWritten(broken.to_string()),
        })
    }
}

/// The days typed, both in the period.
fn asked_period([from, until]: &[String; 2]) -> Result<Period, record::Error> {
    let day = |text: &String| {
        let refused = || record::Error::NotADate { text: text.clone() };
        text.trim().parse::<Date>().map_err(|_| refused())
    };
    Period::new(day(from)?, day(until)?)
}

//! Every command a hand can give: one table that menus, keys, help and tests share.
//!
//! - `table`: a row for each command; `row`: what a row says, and [`Scope`] and [`Need`];
//! - `keys`: which were pressed.

mod keys;
mod row;
mod table;

use egui::KeyboardShortcut;

pub(crate) use row::{Need, Scope};
pub use table::UiCommand;

impl UiCommand {
    /// What a button or list calls it.
    #[must_use]
    pub const fn text(self) -> &'static str {
        self.row().text
    }

    /// What it does, in one sentence.
    #[must_use]
    pub const fn tip(self) -> &'static str {
        self.row().tip
    }

    /// Its keys: the one that is shown, then those that some keyboards and hands expect.
    #[must_use]
    pub const fn keys(self) -> &'static [KeyboardShortcut] {
        self.row().keys
    }

    /// Where it is listed: its keys act there and nowhere else.
    #[must_use]
    pub const fn scope(self) -> Scope {
        self.row().scope
    }

    /// What must be there for it to do anything, in the order in which it is told.
    #[must_use]
    pub const fn needs(self) -> &'static [Need] {
        self.row().needs
    }

    /// What else it may be looked for by.
    const fn also(self) -> &'static str {
        match self {
            Self::Report => "print pdf export save as",
            Self::CaseLabel => "print pdf svg png export sticker barcode",
            Self::RecallList | Self::MonthReport | Self::AuditPack => "print pdf export",
            Self::ShopTable => "csv export save spreadsheet",
            Self::RoomLight => "theme dark mode night vision bright appearance",
            Self::Larger | Self::Smaller | Self::UsualSize => "zoom font scale",
            Self::KeepCopy => "save as backup export",
            Self::Glossary => "help meaning explain",
            _ => "",
        }
    }

    /// Whether every word of a filter is in what it is called or does, or may be looked for by.
    #[must_use]
    pub fn matches(self, filter: &str) -> bool {
        let said = format!("{} {} {}", self.text(), self.tip(), self.also()).to_lowercase();
        filter.to_lowercase().split_whitespace().all(|word| said.contains(word))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No two commands share a key, and each has words.
    #[test]
    fn every_command_has_its_own_key_and_words() {
        for (k, command) in UiCommand::ALL.iter().enumerate() {
            assert!(!command.text().is_empty() && command.tip().ends_with('.'));
            for other in &UiCommand::ALL[k + 1..] {
                let shared = command.keys().iter().find(|key| other.keys().contains(key));
                assert!(shared.is_none(), "{command:?} {other:?}");
                assert_ne!(command.text(), other.text());
            }
        }
    }

    #[test]
    fn a_filter_finds_by_parts_of_words() {
        let found = |filter: &str| {
            UiCommand::ALL.into_iter().filter(|command| command.matches(filter)).count()
        };
        assert_eq!(found(""), UiCommand::ALL.len());
        assert!(UiCommand::DioptreMoved.matches("round diop"));
        assert_eq!(found("zeroed anew"), 1);
        // Words that others use for it.
        assert!(UiCommand::Report.matches("print") && UiCommand::Report.matches("PDF"));
        assert!(UiCommand::RoomLight.matches("theme") && UiCommand::RoomLight.matches("dark"));
        assert_eq!(found("no such thing"), 0);
    }
}

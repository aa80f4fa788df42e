//! Many readings at once: rows from a spreadsheet, a CSV file. Each becomes a fact of its own, so
//! each can be undone or withdrawn by itself.

use record::{import_csv, paste};

use super::RowBlock;
use crate::app::App;
use crate::bench::blocks::ImportSheet;
use crate::bench::blocks::PasteSheet;
use crate::sheets::Sheet;

impl App {
    /// Shows the sheet for rows, with those that were pasted already.
    pub(crate) fn show_paste_sheet(&mut self, text: String) {
        if !text.is_empty() {
            // New rows are meant, not those that were left.
            self.laid_by.retain(|held| !matches!(held, Sheet::Paste(_)));
        }
        self.bring(Sheet::Paste(PasteSheet { text, ..PasteSheet::default() }));
        self.preview_paste();
    }

    pub(crate) fn show_import_sheet(&mut self) {
        self.bring(Sheet::Import(ImportSheet::default()));
    }

    /// Looks at the pasted rows: what each will be, or why not.
    pub(crate) fn preview_paste(&mut self) {
        let (Sheet::Paste(sheet), Some(session)) = (&mut self.front, &self.session) else { return };
        let (channel, unit) = (self.entry.channel, self.entry.unit);
        sheet.block = RowBlock::pasted(&sheet.text, channel, unit, session.state());
        sheet.refused = None;
    }

    /// Reads the file named on the sheet.
    pub(crate) fn read_csv(&mut self) {
        let (Sheet::Import(sheet), Some(session)) = (&mut self.front, &self.session) else {
            return;
        };
        let Some(path) = sheet.path.chosen() else { return };
        sheet.block = RowBlock::default();
        match import_csv::read(&path) {
            Ok(readings) if readings.rows().len() > paste::ROW_LIMIT => {
                let (found, limit) = (readings.rows().len(), paste::ROW_LIMIT);
                sheet.path.refused = Some(format!(
                    "{found} readings are more than a round takes at once, which is {limit}. Split \
                     the file."
                ));
            }
            Ok(readings) => {
                sheet.path.refused = None;
                sheet.block = RowBlock::imported(&readings, session.state());
            }
            Err(why) => sheet.path.refused = Some(format!("{}: {why}", record::shown::path(&path))),
        }
    }

    /// Logs the rows that are readings; what is refused stays on the sheet to be put right.
    pub(crate) fn log_block(&mut self) {
        let (Sheet::Paste(PasteSheet { block, .. }) | Sheet::Import(ImportSheet { block, .. })) =
            self.front.clone()
        else {
            return;
        };
        let first = self.shell.who_first().and_then(|()| self.rested_first());
        if first.is_ok() {
            self.tell_of_check();
        }
        let closed = first.err().map(String::from).or_else(|| self.closed());
        let now = self.shell.services.clock.now();
        let (hand, unit) = (self.shell.hand(), self.entry.unit);
        let Some(session) = &mut self.session else { return };
        let Some(round) = session.state().round().map(|round| round.id) else { return };
        let logged = match closed {
            Some(why) => Err(why),
            None => session
                .append_all(block.facts(round), now, &hand, unit)
                .map_err(|why| why.to_string()),
        };
        self.selected = None;
        let (count, refused) = match logged {
            Ok(count) => (count, block.refused()),
            Err(why) => {
                match &mut self.front {
                    Sheet::Paste(sheet) => sheet.refused = Some(why),
                    Sheet::Import(sheet) => sheet.path.refused = Some(why),
                    _ => {}
                }
                return;
            }
        };
        if self.entry.purpose == record::fact::Purpose::Confirm {
            self.ring_as_last_logged();
        }
        self.entry.turn_to_purpose(record::fact::Purpose::Log);
        match &mut self.front {
            Sheet::Paste(sheet) if refused > 0 => {
                sheet.text = block.left_over();
                self.preview_paste();
            }
            _ => self.clear_front(),
        }
        self.view.fit();
        let readings = paper::words::counted_s(count, "reading");
        self.say(format!("{readings} logged from the block."));
    }
}

//! What a hand asks of a calibration. Each step opens its file, adds what was said, waits until it is on disk and lets
//! go of it: what cannot be written is refused and still stands in the fields.

use std::path::PathBuf;

use paper::PaperSize;
use paper::words::capital;
use record::calibrations::{
    Calibrating, CalibrationAbout, CalibrationBody, CalibrationFile, CalibrationHeader,
    DeviationRead, FlipSeen, FoundBy, fold, review_calibration,
};
use record::fact::{Seq, Withdrawn};
use record::{Access, Act, Authority, Edited, Editing, Meaning as _};

use super::{FindAction, FindField, FindSheet, FindWrong, terms_fact};
use crate::app::App;
use crate::calibration_file::write_calibration_sheet;
use crate::sheets::Sheet;
use crate::shell::open_shop::program;
use crate::shell::refusals::{NO_HAND, NO_SHOP, no_station};

impl App {
    /// The map of the station that is checked by itself: the session's, else the shop's first.
    pub(crate) fn find_map(&mut self) {
        match self.station_to_check() {
            Some(name) => self.find_map_of(&name),
            None => self.say("This shop has no station whose map could be found; add one first."),
        }
    }

    /// Brings the calibration of a station to the front: the last one that nobody signed yet, else a new one.
    pub(crate) fn find_map_of(&mut self, name: &str) {
        let today = self.shell.now().date();
        let Some(station) = self.shell.shop.station(name).cloned() else {
            self.say(NO_SHOP);
            return;
        };
        let gone_on = self.calibration_to_go_on_with(name);
        let mut sheet = FindSheet::of(station, gone_on, self.shell.known_hand(), today);
        if let Some(path) = &sheet.path {
            let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            sheet.done = format!("Goes on with {}.", record::shown::one_line(&file));
        }
        self.bring(Sheet::FindMap(Box::new(sheet)));
    }

    fn calibration_to_go_on_with(&self, station: &str) -> Option<(PathBuf, Calibrating)> {
        let paths = self.shell.shop.shop()?.calibrations().ok()?;
        let disk = &*self.shell.services.disk;
        let read = paths
            .into_iter()
            .filter_map(|path| Some((review_calibration(&path, disk).ok()?, path)));
        let open = read.filter(|(review, _)| {
            review.means.station() == station && review.means.signed.is_none()
        });
        let last =
            open.max_by_key(|(review, _)| review.means.last.map(record::Stamp::unix_milliseconds));
        last.map(|(review, path)| (path, review.means))
    }

    pub(crate) fn find_action(&mut self, action: FindAction) {
        let done = match action {
            FindAction::Flip(channel, axis, falls) => {
                let seen = CalibrationBody::Flip(FlipSeen { channel, axis, falls });
                self.say_of_map(|_| Ok(vec![seen])).map(|_| String::new())
            }
            FindAction::Log => self.log_deviation(),
            FindAction::TakeBack => self.take_back(),
            FindAction::AskWhy(of) => {
                if let Sheet::FindMap(sheet) = &mut self.front {
                    sheet.asked_why(of);
                }
                Ok(String::new())
            }
            FindAction::LeaveOut(seq) => self.leave_deviation_out(seq),
            FindAction::Anew => {
                let Sheet::FindMap(sheet) = &self.front else { return };
                let (station, hand) =
                    (sheet.station.clone(), sheet.text(FindField::Hand).to_owned());
                let today = self.shell.now().date();
                self.front = Sheet::FindMap(Box::new(FindSheet::of(station, None, &hand, today)));
                Ok("A new calibration: its file is begun with the first thing said.".to_owned())
            }
            FindAction::Sign => self.sign_map(),
            FindAction::Paper => self.map_on_paper(),
            FindAction::Agree => {
                if let Sheet::FindMap(sheet) = &mut self.front {
                    sheet.agree = Some(true);
                }
                Ok("Agreed; now do it again.".to_owned())
            }
        };
        let Sheet::FindMap(sheet) = &mut self.front else { return };
        sheet.asks_drop = false;
        match done {
            Ok(done) => {
                sheet.wrong = None;
                sheet.done = done;
            }
            Err(wrong) => {
                sheet.focus = wrong.0;
                sheet.show_wrong = true;
                sheet.wrong = Some(wrong);
            }
        }
    }

    /// Says facts in the sheet's file, each once the one before was taken; they are on disk when this returns.
    fn say_of_map(
        &mut self,
        says: impl FnOnce(&FindSheet) -> Result<Vec<CalibrationBody>, FindWrong>,
    ) -> Result<Vec<Seq>, FindWrong> {
        let Sheet::FindMap(sheet) = &self.front else { return Ok(Vec::new()) };
        let says = says(sheet)?;
        let hand = sheet.text(FindField::Hand).trim().to_owned();
        if hand.is_empty() {
            return Err((Some(FindField::Hand), NO_HAND.to_owned()));
        }
        let (path, agree, name) = (sheet.path.clone(), sheet.agree, sheet.station.name.clone());
        let told = |why: record::Error| (None, capital(&format!("{why}.")));
        // What is refused begins no file. A reading of what is shown in the same breath is tried once that is in it.
        let of_now = |says: &CalibrationBody| matches!(says, CalibrationBody::Read(read) if read.deviation == 0);
        for says in says.iter().filter(|says| !of_now(says)) {
            sheet.means.admits(says).map_err(told)?;
        }
        let now = self.shell.services.clock.now();
        let options = self.shell.file_options();
        let (mut file, path) = match path {
            Some(path) => (CalibrationFile::open(&path, options).map_err(told)?, path),
            None => {
                let shop = self.shell.shop.shop().ok_or_else(|| (None, NO_SHOP.to_owned()))?;
                let path = shop.new_calibration_path(now.date(), &name).map_err(told)?;
                let header =
                    CalibrationHeader::begun(program(), CalibrationAbout { station: name });
                let file = CalibrationFile::create(&path, header.map_err(told)?, &hand, options);
                (file.map_err(told)?, path)
            }
        };
        if let Sheet::FindMap(sheet) = &mut self.front {
            sheet.path = Some(path.clone());
        }
        match file.access() {
            Access::AskFirst { missing } if agree != Some(true) => {
                let why = format!(
                    "Files cannot be {missing} in this folder: agree to write all the same."
                );
                if let Sheet::FindMap(sheet) = &mut self.front {
                    sheet.path = path.exists().then_some(path);
                    sheet.agree = Some(false);
                }
                return Err((None, why));
            }
            Access::AskFirst { .. } => file.agree().map_err(told)?,
            Access::ReadOnly(why) => return Err((None, capital(&format!("{why}.")))),
            Access::Writing => {}
        }
        let mut seqs: Vec<Seq> = Vec::new();
        for says in says {
            // A reading of what was shown in the same breath.
            let says = match (says, seqs.first()) {
                (CalibrationBody::Read(read), Some(first)) if read.deviation == 0 => {
                    CalibrationBody::Read(DeviationRead { deviation: *first, ..read })
                }
                (says, _) => says,
            };
            fold(file.facts()).admits(&says).map_err(told)?;
            seqs.push(file.append(says, now, &hand).map_err(told)?);
        }
        let means = fold(file.facts());
        let finished = file.finish();
        drop(file);
        self.named_on_sheet(&hand);
        hand.clone_into(&mut self.shell.preferences.hand);
        if let Sheet::FindMap(sheet) = &mut self.front {
            match finished {
                Ok(()) => sheet.knows(means),
                Err(why) => {
                    // What is on disk counts, and nothing else.
                    if let Ok(review) = review_calibration(&path, &*self.shell.services.disk) {
                        sheet.knows(review.means);
                    }
                    return Err(told(why));
                }
            }
        }
        Ok(seqs)
    }

    fn log_deviation(&mut self) -> Result<String, FindWrong> {
        let mut told = String::new();
        self.say_of_map(|sheet| {
            let (shown, read) = sheet.deviation()?;
            let again = sheet.same_as(&shown);
            told = if again.is_some() { "Read again.".to_owned() } else { "Logged.".to_owned() };
            let mut says = Vec::new();
            if again.is_none() {
                says.push(CalibrationBody::Shown(shown));
            }
            let deviation = again.unwrap_or(0);
            says.extend(read.into_iter().map(|(channel, x, y)| {
                CalibrationBody::Read(DeviationRead { deviation, channel, x, y })
            }));
            Ok(says)
        })?;
        if let Sheet::FindMap(sheet) = &mut self.front {
            sheet.logged();
        }
        Ok(told)
    }

    fn take_back(&mut self) -> Result<String, FindWrong> {
        let mut told = String::new();
        self.say_of_map(|sheet| {
            let nothing = || (None, "Nothing is logged that could be taken back.".to_owned());
            let reading = sheet.means.last_undone().ok_or_else(nothing)?;
            let read = sheet.means.readings.iter().find(|read| read.seq == reading);
            told = match read {
                Some(read) => format!(
                    "Taken back: {} {}, {}.",
                    read.taken.channel.word(),
                    read.taken.x.shown(),
                    read.taken.y.shown()
                ),
                None => "The deviation is taken back.".to_owned(),
            };
            let reason = "taken back by hand".to_owned();
            Ok(vec![CalibrationBody::Withdrawn(Withdrawn { reading, reason })])
        })?;
        Ok(told)
    }

    fn leave_deviation_out(&mut self, reading: Seq) -> Result<String, FindWrong> {
        self.say_of_map(|sheet| {
            let reason = sheet.text(FindField::Reason).trim().to_owned();
            if reason.is_empty() {
                let why =
                    "Say why it is left out: it stays in the file, and on paper, with the reason.";
                return Err((Some(FindField::Reason), why.to_owned()));
            }
            Ok(vec![CalibrationBody::Withdrawn(Withdrawn { reading, reason })])
        })?;
        if let Sheet::FindMap(sheet) = &mut self.front {
            sheet.asked_why(None);
        }
        Ok("Left out. Read it again if it is to count.".to_owned())
    }

    /// Says the terms, signs what follows, and puts it into the station; the old one is kept by date.
    fn sign_map(&mut self) -> Result<String, FindWrong> {
        let today = self.shell.now().date();
        let Sheet::FindMap(sheet) = &self.front else { return Ok(String::new()) };
        sheet.terms(today)?;
        if sheet.holds_work() {
            let why = "Log what is typed first, or empty its fields.".to_owned();
            return Err((Some(FindField::X), why));
        }
        let hand = sheet.text(FindField::Hand).trim().to_owned();
        let hands = self.shell.shop.shop().map(|shop| &shop.hands);
        if let Some(Authority::Without(why)) =
            hands.map(|hands| hands.authority(&hand, Act::Sign, today))
        {
            return Err((Some(FindField::Hand), capital(&format!("{why}."))));
        }
        self.say_of_map(|sheet| {
            let terms = sheet.terms(today)?;
            Ok(terms_fact(&sheet.means, terms).into_iter().collect())
        })?;
        let signed = self.say_of_map(|sheet| {
            let numbers = sheet.means.numbers(&program());
            let numbers = numbers.map_err(|gap| (None, capital(&format!("{gap}."))))?;
            Ok(vec![CalibrationBody::Signed(numbers)])
        })?;
        if let Sheet::FindMap(sheet) = &self.front
            && let Some(path) = sheet.path.clone()
        {
            self.note_calibrated(&path, signed);
        }
        self.take_into_station()
    }

    /// Puts what was signed into the station, once it is read back and follows.
    fn take_into_station(&mut self) -> Result<String, FindWrong> {
        let Sheet::FindMap(sheet) = &self.front else { return Ok(String::new()) };
        let (Some(path), name) = (sheet.path.clone(), sheet.station.name.clone()) else {
            return Ok(String::new());
        };
        let told = |why: record::Error| (None, capital(&format!("{why}.")));
        let disk = std::sync::Arc::clone(&self.shell.services.disk);
        let review = review_calibration(&path, &*disk).map_err(told)?;
        let (true, Some(line), Some(signed)) =
            (review.is_good(), review.signing_line.clone(), &review.means.signed)
        else {
            return Err((None, review.words().join(" ")));
        };
        let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let by = FoundBy { file, line };
        let before = self.shell.shop.station(&name).cloned();
        let before = before.ok_or_else(|| (None, no_station(&name)))?;
        let Some(after) = review.means.applied(&signed.body, &by, &before) else {
            return Ok(String::new());
        };
        let options = self.shell.file_options();
        let editing = Editing { opener: &options.opener, disk: &*disk };
        let shop = self.shell.shop.shop.as_mut().ok_or_else(|| (None, NO_SHOP.to_owned()))?;
        shop.edit(
            Some(&Edited::Station(Box::new(before))),
            Edited::Station(Box::new(after.clone())),
            editing,
        )
        .map_err(|why| (None, format!("It is signed, but the station stays as it was: {why}.")))?;
        let today = self.shell.now().date();
        self.shell.shop.refresh_kept(today);
        if let Sheet::FindMap(sheet) = &mut self.front {
            sheet.station = after;
            sheet.knows(review.means);
        }
        self.say(format!("The map of {name} is found, signed and kept."));
        Ok("Signed; the station has this map now, and what it was is kept by its date.".to_owned())
    }

    fn map_on_paper(&mut self) -> Result<String, FindWrong> {
        let Sheet::FindMap(sheet) = &self.front else { return Ok(String::new()) };
        let nothing = || (None, "Nothing is said yet that could be put on paper.".to_owned());
        let path = sheet.path.clone().ok_or_else(nothing)?;
        let to = path.with_extension("pdf");
        write_calibration_sheet(&path, &to, PaperSize::A4, &*self.shell.services.disk)
            .map_err(|why| (None, capital(&why.to_string())))?;
        Ok(format!("Its sheet is in {}.", record::shown::path(&to)))
    }
}

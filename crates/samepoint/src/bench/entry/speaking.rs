//! What was logged is handed to whoever speaks it.

use super::reading_back::GONE;
use crate::app::App;
use crate::speech::{Hush, say};
use paper::words::capital;
use record::Typed;
use record::fact::{Reading, Seen};
use solver::{Channel, PerChannel};

impl App {
    /// Says what was logged, where that is wanted.
    pub(crate) fn read_back(&mut self, reading: &Reading) {
        if self.shell.preferences.read_back.on {
            self.speak(spoken(reading));
        }
    }

    /// Says a sentence that shows whether speech works.
    pub(crate) fn try_speech(&mut self) {
        self.reading_back.told = false;
        self.speak("What is logged is read back like this.".to_owned());
    }

    /// Whether it is spoken; by what.
    pub(crate) fn set_read_back(&mut self, wish: crate::preferences::ReadBackWish) {
        if !wish.on {
            self.reading_back.next = None;
            self.reading_back.hush.hush();
        }
        self.reading_back.told = false;
        self.shell.preferences.read_back = wish;
    }

    fn speak(&mut self, sentence: String) {
        if self.reading_back.saying.is_going_on() {
            self.reading_back.next = Some(sentence);
            return;
        }
        let hush = Hush::default();
        self.reading_back.hush = hush.clone();
        let command = self.shell.preferences.read_back.command.clone();
        let workers = self.shell.workers();
        self.reading_back.saying.start(&workers, move || say(&command, &sentence, &hush));
    }

    /// Hears that it was said, or why not: told once, until something else is tried.
    pub(crate) fn hear_reading_back(&mut self) {
        let failed = match self.reading_back.saying.hear() {
            None => return,
            Some(Ok(said)) => said.err(),
            Some(Err(broken)) => Some(format!("{}.", broken.why())),
        };
        match failed {
            None => self.reading_back.told = false,
            Some(why) if !self.reading_back.told => {
                self.reading_back.told = true;
                self.shell.warnings.push(format!(
                    "What is logged is not read back: {why} Readings are logged all the same. Under \
                     Pedals and read-back (Alt+Y) another program can be named, or reading back be \
                     switched off."
                ));
            }
            Some(_) => {}
        }
        if let Some(next) = self.reading_back.next.take() {
            self.speak(next);
        }
    }

    /// Ends what is being said.
    pub(crate) fn hush_before_leaving(&mut self) {
        self.reading_back.next = None;
        self.reading_back.hush.hush();
        if self.reading_back.saying.is_going_on() && self.reading_back.saying.wait(GONE).is_none() {
            log::warn!("the program that speaks did not end in time");
        }
    }
}

/// A reading as it is spoken: signs as words, since programs leave them out.
fn spoken(reading: &Reading) -> String {
    let number = |typed: &Typed| typed.shown().replace(['−', '-'], "minus ");
    let ring = |channel: Option<Channel>, deg: &Option<Typed>| {
        let name = channel.map_or_else(|| "ring".to_owned(), |channel| format!("{channel} ring"));
        deg.as_ref()
            .map_or_else(|| format!("{name} not read"), |deg| format!("{name} {}", number(deg)))
    };
    let rings = |rings: &PerChannel<Option<Typed>>| {
        Channel::BOTH.map(|channel| ring(Some(channel), &rings[channel])).join(", ")
    };
    let said = match &reading.seen {
        Seen::Direction(read) => format!(
            "{}, {}, x {}, y {}",
            read.channel,
            ring(None, &read.ring_deg),
            number(&read.x),
            number(&read.y)
        ),
        Seen::Relative(read) => {
            format!("{}, x {}, y {}", rings(&read.ring_deg), number(&read.x), number(&read.y))
        }
        Seen::Box(read) => {
            let inside = if read.inside { "in the box" } else { "outside" };
            format!("{}, {inside}", rings(&read.ring_deg))
        }
    };
    format!("{}.", capital(&said))
}
